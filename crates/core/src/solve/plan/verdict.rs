//! The producer's answer: whether a generator is needed, proven as far as it is.
//!
//! - `no`: every head has a socket on the mains with no limit broken. The placement is the proof; it was
//!   assessed as a whole, by what knows nothing of the search.
//! - `only-if`: not as it is, but after a small change that the crew or the owner can make. Each change that
//!   is told was made in a copy of the plan, and that was solved and assessed again.
//! - `yes`: not so either. The limit that binds is told with needed and there, and what to hire.
//!
//! Risks are no reason for a generator: an RCD that may drop while a head is struck, an untested RCD, a
//! breaker over 0.8 of its rating. Nor is a contract that is passed for no longer than it bears. What the
//! limits are is said at [`super::assign`]. A set or a battery station of the plan's own is house power to
//! nobody here: what is pinned to one needs it.

mod change;
mod electric;
mod hire;
mod house;
mod reason;
mod trial;

use std::cell::Cell;

use crate::network::Network;
use crate::rule::words::{list, number};
use crate::solve::{Effort, Level, Progress};

use super::{Assignment, Sources};
pub use hire::Hire;
use house::{House, on_house};
pub use reason::Reason;

/// Whether a generator is needed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Need {
    /// The house carries everything.
    No,
    /// The house carries everything after one of the ways out.
    OnlyIf,
    /// It does not.
    Yes,
}

impl Need {
    /// The word that other programs read.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::No => "no",
            Self::OnlyIf => "only-if",
            Self::Yes => "yes",
        }
    }
}

/// Who has to agree to a way out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Asks {
    /// The crew can do it by itself.
    Crew,
    /// The owner of the place, or whoever runs it.
    Owner,
}

impl Asks {
    /// The word that other programs read.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Crew => "crew",
            Self::Owner => "owner",
        }
    }
}

/// A change after which the house carries everything.
#[derive(Clone, Debug)]
pub struct WayOut {
    /// What to do, in a sentence.
    pub action: String,
    /// What that gains, in `unit`; `None` where it is no quantity.
    pub gains: Option<f64>,
    /// The unit of it.
    pub unit: &'static str,
    /// Who has to agree.
    pub asks: Asks,
    /// The placement that works then, with the changed plan in it: the proof.
    pub proof: Assignment,
}

/// The producer's answer.
#[derive(Clone, Debug)]
pub struct ProducersAnswer {
    /// Whether a generator is needed.
    pub need: Need,
    /// Whether that is proven: always for `no`; else, that no placement on the mains lights everything as the
    /// plan is. Unproven, one may exist that was not found.
    pub is_proven: bool,
    /// Whether the caller stopped it, so that not everything was tried.
    pub was_stopped: bool,
    /// The answer in a sentence or two.
    pub summary: String,
    /// What stands in the way; `None` with `no`.
    pub reason: Option<Reason>,
    /// Changes with which it works, what costs least first. Empty with `no` and `yes`.
    pub ways_out: Vec<WayOut>,
    /// What to hire if none of them is taken; `None` with `no`.
    pub hire: Option<Hire>,
    /// The best placement on the mains: with `no` the proof, else what the house does carry.
    pub house: Assignment,
}

/// What stands beside every verdict.
pub const CAUTION: &str = "This is planning, by the numbers in the plan; it certifies nothing. Local codes and a \
licensed electrician decide, and nothing is tied in to a board without one.";

/// Whether a generator is needed to light every setup of a plan.
///
/// `go_on` is told how far the search under way is, and asked whether to go on; once it says no, what is known
/// so far comes back, and `is_proven` says what it is worth. With a caller that always says yes, the same
/// plan has the same answer.
#[must_use]
pub fn generator(
    network: &Network,
    effort: Effort,
    go_on: &mut dyn FnMut(&Progress) -> bool,
) -> ProducersAnswer {
    let stopped = Cell::new(false);
    let mut go_on = |now: &Progress| {
        stopped.set(stopped.get() || !go_on(now));
        !stopped.get()
    };
    let house = deciding(network, effort, &mut go_on);
    if house.works {
        let summary = all_placed(&house.assignment);
        return ProducersAnswer {
            need: Need::No,
            is_proven: true,
            was_stopped: stopped.get(),
            summary,
            reason: None,
            ways_out: Vec::new(),
            hire: None,
            house: house.assignment,
        };
    }
    let is_proven = house::is_out_of_the_question(network, &house, enough(network, effort), &mut go_on);
    let why = reason::reason(network, &house);
    let ways_out = trial::ways_out(network, &house, &why, effort, &mut go_on);
    let mut not_on_the_house = reason::dark(network, &house);
    if not_on_the_house.is_empty() {
        not_on_the_house = reason::in_the_way(&house.assignment.network, &why);
    }
    let hire = hire::hire(network, &not_on_the_house);
    let need = if ways_out.is_empty() { Need::Yes } else { Need::OnlyIf };
    let was_stopped = stopped.get();
    let helps = match (ways_out.len(), was_stopped) {
        (0, false) => "no small change was found that helps".to_owned(),
        (0, true) => "it was stopped before every small change was tried".to_owned(),
        (1, _) => "what is told here does without a generator".to_owned(),
        (count, _) => format!("any one of {count} ways out does without a generator"),
    };
    let summary = told(network, is_proven, &helps, hire.as_ref());
    ProducersAnswer {
        need,
        is_proven,
        was_stopped,
        summary,
        reason: Some(why),
        ways_out,
        hire,
        house: house.assignment,
    }
}

/// Questions to the caller for which a search goes on after everything is lit, to move less and run less lead.
const POLISH: usize = 40;

/// Heads that are on, times sockets.
fn size(network: &Network) -> usize {
    (electric::on_anywhere(network).len() * network.sockets.len()).max(1)
}

/// Up to this size of a plan a round takes next to no time.
const SMALL: usize = 2_000;

/// To decide, less is enough than to place heads well; and less the longer each round takes.
fn enough(network: &Network, effort: Effort) -> Effort {
    let rounds = effort.rounds / 4 * SMALL / size(network).max(SMALL);
    let nodes = effort.nodes / 10 * SMALL / size(network).max(SMALL);
    Effort { rounds: rounds.max(effort.rounds / 100), nodes: nodes.max(effort.nodes / 100), ..effort }
}

/// The best placement on the mains, as far as it takes to decide.
fn deciding(network: &Network, effort: Effort, go_on: &mut dyn FnMut(&Progress) -> bool) -> House {
    let mut lit = 0;
    on_house(network, Sources::Mains, enough(network, effort), &mut |now| {
        lit += usize::from(now.best.of(Level::Dark) == 0);
        lit < POLISH && now.proven == 0 && go_on(now)
    })
}

fn all_placed(assignment: &Assignment) -> String {
    let moves = match assignment.moves.len() {
        0 => "with every head where it is".to_owned(),
        1 => "with 1 head moved".to_owned(),
        count => format!("with {count} heads moved"),
    };
    let drops = if assignment.objective.odds > 0.0 {
        " An RCD may drop while heads are struck, and is reset then: that is a risk, no reason for a generator."
    } else {
        ""
    };
    format!(
        "The house carries every head of every setup, {moves}; its fullest circuit is at {} %.{drops}",
        number(assignment.tightest_percent)
    )
}

fn told(network: &Network, is_proven: bool, helps: &str, hire: Option<&Hire>) -> String {
    let heads = hire.map_or(String::new(), |hire| list(hire.heads.iter().map(|at| network.head_id(*at))));
    let sure = if is_proven {
        "Proven: as the plan is, no placement on house power lights everything."
    } else {
        "As the plan is, no placement on house power was found that lights everything; that there is none is not \
         proven."
    };
    let what = if heads.is_empty() {
        "the house does not do".to_owned()
    } else {
        format!("the house does not carry {heads}")
    };
    format!("As it is, {what}; {helps}. {sure}")
}
