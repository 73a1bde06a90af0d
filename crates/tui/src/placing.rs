//! Heads put on sockets by the program: what is asked, what is known so far, what came of it.
//!
//! The screens only ask ([`crate::effect::Effect::Place`]) and take the answer in
//! ([`crate::event::Event::Placed`]): the host works it out aside, by [`work_out`].

use std::sync::Arc;
use std::time::Duration;

use ampwalk_core::file;
use ampwalk_core::network::{Network, SetupAt};
use ampwalk_core::solve::plan::{Assignment, Start, Wishes, assign};
use ampwalk_core::solve::{self, Effort};
use ampwalk_papers::Kind;

use crate::event::Event;
use crate::producer;
use crate::sheets;

/// What is wished.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Wish {
    /// The heads that are left, moving none.
    Rest,
    /// All of them, moving as few as it takes.
    Few,
    /// All of them, wherever they are now.
    Afresh,
    /// All of them on the mains, to know whether a generator is needed: nothing is moved by it.
    OnTheHouse,
    /// A sheet, as it is printed.
    Sheet {
        /// Which.
        kind: Kind,
        /// Of which setup, where it is of one.
        setup: Option<SetupAt>,
    },
    /// Every sheet, written beside the plan. The host does it: it has the files.
    HandOut,
}

impl Wish {
    /// The command that asks for it.
    #[must_use]
    pub const fn command(self) -> &'static str {
        match self {
            Self::Rest => "place-rest",
            Self::Few => "place-few",
            Self::Afresh => "place-afresh",
            Self::OnTheHouse => "generator",
            Self::Sheet { .. } => "show-sheet",
            Self::HandOut => "hand-out",
        }
    }

    const fn start(self) -> Start {
        match self {
            Self::Rest => Start::Staying,
            Self::Few => Start::AsPlanned,
            Self::Afresh | Self::OnTheHouse | Self::Sheet { .. } | Self::HandOut => Start::Fresh,
        }
    }
}

/// A question to the solver.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Request {
    /// Which one: the answer says it again.
    pub number: u64,
    /// The plan's text.
    pub text: String,
    /// What is wished.
    pub wish: Wish,
    /// How much is tried.
    pub effort: Effort,
}

/// What is known while it is being worked out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Progress {
    /// Heads with a socket so far.
    pub placed: usize,
    /// Heads in all.
    pub heads: usize,
    /// Levels that are proven, from the heaviest down.
    pub proven: usize,
    /// Time since it was asked.
    pub elapsed: Duration,
}

impl Progress {
    /// What the solver says, so long after it was asked.
    #[must_use]
    pub const fn of(told: &solve::Progress, elapsed: Duration) -> Self {
        Self { placed: told.placed, heads: told.items, proven: told.proven, elapsed }
    }

    /// What is proven so far, in words.
    #[must_use]
    pub const fn proof(&self) -> &'static str {
        match self.proven {
            0 => "nothing is proven yet",
            1 => "proven: none lights more",
            2 => "proven: none lights more, with fewer generators",
            3 => "proven down to the chance of a trip",
            4 => "proven down to the moves",
            _ => "proven",
        }
    }
}

/// A question that is being worked out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Placing {
    /// What was asked.
    pub request: Request,
    /// What is known so far; `None`: nothing yet.
    pub progress: Option<Progress>,
    /// Whether the best so far was asked for.
    pub state: State,
}

/// How a question stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum State {
    /// It is being worked out.
    Working,
    /// The best so far is to be taken.
    Enough,
}

/// What came of it.
#[derive(Clone, Debug)]
pub struct Placed {
    /// What was asked.
    pub request: Request,
    /// How it ended.
    pub ending: Ending,
    /// The plan before, resolved.
    pub before: Network,
    /// The answer.
    pub assignment: Assignment,
}

/// How the working out ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ending {
    /// By itself.
    Finished,
    /// It was stopped: the best so far.
    Stopped,
}

/// Works a question out, and says so: as [`work_out`]; where it is the producer's, as
/// [`producer::work_out`]; where a sheet is asked for, as [`sheets::make`].
pub fn answer(request: Request, go_on: &mut dyn FnMut(&solve::Progress) -> bool) -> Event {
    match request.wish {
        Wish::OnTheHouse => Event::Answered(Box::new(producer::work_out(request, go_on))),
        Wish::Sheet { kind, setup } => Event::Made(Box::new(sheets::make(request, kind, setup, go_on))),
        Wish::HandOut => {
            Event::HandedOut { request, outcome: Err("Only the program itself writes files".to_owned()) }
        }
        Wish::Rest | Wish::Few | Wish::Afresh => Event::Placed(Box::new(work_out(request, go_on))),
    }
}

/// Works a question out. `go_on` is told how far it is and asked whether to go on; once it says no, the
/// best so far comes back. Pure: the caller has the clock.
pub fn work_out(request: Request, go_on: &mut dyn FnMut(&solve::Progress) -> bool) -> Placed {
    let before = Network::of(Arc::new(file::parse(&request.text).plan));
    let wishes = Wishes { start: request.wish.start(), effort: request.effort, ..Wishes::default() };
    let mut ending = Ending::Finished;
    let assignment = assign(&before, wishes, &mut |now| {
        let on = go_on(now);
        if !on {
            ending = Ending::Stopped;
        }
        on
    });
    Placed { request, ending, before, assignment }
}

/// Moves that were worked out, and what has become of them.
#[derive(Clone, Debug)]
pub struct Moves {
    /// What came of the question.
    pub placed: Box<Placed>,
    /// Whether the plan has them.
    pub fate: Fate,
    /// The chosen row, counted from 0.
    pub row: usize,
}

/// What has become of moves.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fate {
    /// Only shown: the plan is as it was.
    Offered,
    /// The plan has them.
    Taken,
}
