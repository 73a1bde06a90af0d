//! What lies over a screen: lists, texts and prompts, one on another.

use ampwalk_core::edit::Address;
use ampwalk_core::explain::Explanation;
use tui_input::Input;

use crate::ask::Ask;
use crate::outside::Compare;
use crate::placing::{Moves, Placing};
use crate::sheets::Shown;
use crate::trip::{Question, Recovery};

/// One thing over the screen. The last in the stack has the keys.
#[derive(Clone, Debug)]
pub enum Layer {
    /// The findings of the setup, worst first.
    Findings(List),
    /// What is wrong with the file.
    Problems(List),
    /// How a number came about, and the other numbers of what it is about.
    Explanation {
        /// What stands over it.
        title: String,
        /// What is shown, the number that was asked for first.
        explained: Vec<Explanation>,
        /// The row that is kept visible, counted from 0.
        row: usize,
    },
    /// Every entry of the plan.
    Entries(List),
    /// The keys of one entry.
    Form {
        /// Which.
        of: Address,
        /// The chosen key, counted from 0.
        row: usize,
    },
    /// A question that is answered by a line.
    Ask(Ask),
    /// Why a head does not go on a socket, or what is wrong with it.
    WhyNot(Page),
    /// Whether a generator is needed.
    Producer(Page),
    /// What tracing tells.
    Traced(Page),
    /// A sheet, as it is printed.
    Sheet(Shown),
    /// Two texts of the plan, to choose from.
    Compare(Compare),
    /// Every key that works here.
    Help(Page),
    /// Every command by its name.
    Palette(Prompt),
    /// A head or socket by its name.
    Find(Prompt),
    /// The question what went.
    Went(Question),
    /// What a trip comes to.
    Recovery(Box<Recovery>),
    /// Heads are being put on sockets; the screen below stays in sight.
    Placing(Placing),
    /// Moves that were worked out.
    Moves(Moves),
}

/// A list with one row chosen.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct List {
    /// The chosen row, counted from 0.
    pub row: usize,
}

/// A text that may be longer than its place.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Page {
    /// What stands over it.
    pub title: String,
    /// Its paragraphs; made anew from the command table where it is the help.
    pub paragraphs: Vec<String>,
    /// Lines above the first that is shown.
    pub scroll: usize,
}

/// A line that is being typed, with what it matches.
#[derive(Clone, Debug, Default)]
pub struct Prompt {
    /// What was typed.
    pub input: Input,
    /// The chosen match, counted from 0.
    pub row: usize,
}
