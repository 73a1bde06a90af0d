//! Everything that goes out.

use crate::placing::Request;
use crate::settings::Setting;

/// What the host is to do.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Effect {
    /// Write this text where the plan lives, unless another program wrote there since; answer with
    /// [`crate::event::Event::Saved`] or [`crate::event::Event::Superseded`].
    Save {
        /// The whole file.
        text: String,
        /// The last [`crate::event::Event::Changed`] that the text has in it; 0: there was none.
        seen: u64,
    },
    /// Put this text, which the user did not want in the plan, beside it; answer with
    /// [`crate::event::Event::Told`], where it is.
    SetAside(String),
    /// Leave at once; every edit has been handed out to be saved.
    Quit,
    /// Stop the process and hand the terminal back, as the shell's job control expects.
    Suspend,
    /// Put this on the clipboard.
    Copy(String),
    /// Remember this choice for every plan; where that does not work, answer with
    /// [`crate::event::Event::Told`].
    Keep(Setting),
    /// Work this out aside, by [`crate::placing::answer`]: tell now and then how far it is by
    /// [`crate::event::Event::Placing`], and answer with the event that comes of it.
    Place(Request),
    /// Stop working out the question of this number: nobody waits for it, or the best so far will do.
    StopPlacing(u64),
    /// Something was refused.
    Bell,
    /// Answer with [`crate::event::Event::Time`], what time it is here.
    AskTime,
}
