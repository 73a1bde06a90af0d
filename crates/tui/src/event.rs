//! Everything that comes in.

use crossterm::event::{KeyEvent, MouseEvent};

use crate::outside::Unsaved;
use crate::placing::{Placed, Progress, Request};
use crate::producer::Answered;
use crate::sheets::Made;

/// What text stands on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ground {
    /// Light text on something dark.
    Dark,
    /// Dark text on something light.
    Light,
}

/// What came in. The host turns what the terminal and the disk say into these, and nothing else.
#[derive(Clone, Debug)]
pub enum Event {
    /// A key was pressed, or repeats. Releases are not handed in.
    Key(KeyEvent),
    /// The mouse did something.
    Mouse(MouseEvent),
    /// The terminal has another size, columns and rows.
    Resize {
        /// Columns.
        width: u16,
        /// Rows.
        height: u16,
    },
    /// Text was pasted.
    Paste(String),
    /// A save ended; `Err` with words for the user where it did not work.
    Saved(Result<(), String>),
    /// A save ended, and nothing was written: another program wrote first, of which [`Event::Changed`] tells.
    Superseded,
    /// Another program wrote the file.
    Changed {
        /// Which of these events it is, counted from 1.
        number: u64,
        /// What the file said before.
        before: String,
        /// What it says now; `Err`: why it cannot be read, in words.
        theirs: Result<String, String>,
    },
    /// Edits were found that an earlier run of the program could not save.
    Found(Unsaved),
    /// Whoever else had the plan open has left: it may be edited.
    Free,
    /// What time it is here, asked for by [`crate::effect::Effect::AskTime`]: `2026-03-02T14:05:00`.
    Time(String),
    /// The terminal has said, late, what its ground is like.
    Ground(Ground),
    /// How far the question of this number is.
    Placing {
        /// Which question.
        number: u64,
        /// How far it is.
        progress: Progress,
    },
    /// A question to the solver is answered.
    Placed(Box<Placed>),
    /// The producer's question is answered.
    Answered(Box<Answered>),
    /// A sheet was made.
    Made(Box<Made>),
    /// Sheets were handed out, or why they were not; in words for the user.
    HandedOut {
        /// What was asked.
        request: Request,
        /// What came of it.
        outcome: Result<String, String>,
    },
    /// Nothing else has come in: what was put off is done, see [`crate::model::Model::has_put_off`].
    Spare,
    /// The host has something to say.
    Told(String),
}
