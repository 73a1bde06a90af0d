//! What comes next: whether anybody resets, who, what must be off before, and the two branches.

use crate::assess::Assessment;
use crate::network::{HeadAt, Network};
use crate::plan::{Board, Reset};
use crate::rule::words::{list, number};

use super::cause::Pattern;
use super::device::{Lost, names};
use super::part::Parts;
use super::{MOST_RESETS, Trip};

/// What comes next.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Step {
    /// One reset, with the heads off.
    Reset,
    /// It held: heads back one by one, the suspects not.
    Held,
    /// Nobody resets it: the fault is looked for first.
    NoReset,
    /// Two resets were made: a licensed electrician.
    Electrician,
}

/// What comes next, in words.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Advice {
    /// What it is.
    pub step: Step,
    /// It in a few words: `then reset RA once`.
    pub line: String,
    /// What is minded before, each a sentence: who may, what is off, what comes on together.
    pub before: Vec<String>,
    /// What follows where the reset holds; empty where none is to be tried.
    pub if_held: String,
    /// What follows where it does not.
    pub if_not: String,
    /// Resets so far.
    pub resets: u32,
}

pub(super) fn advice(
    network: &Network,
    assessment: &Assessment,
    trip: &Trip,
    parts: &Parts,
    suspects: &[HeadAt],
) -> Advice {
    let pattern = Pattern::of(&trip.lost);
    let what = names(network, &trip.lost);
    let step = step(trip, pattern);
    let line = match step {
        Step::Reset if pattern == Pattern::Supply => format!("then, once {what} is back:"),
        Step::Reset if pattern == Pattern::Meter => "then reset the meter once:".to_owned(),
        Step::Reset if trip.resets > 0 => format!("then reset {what} one last time:"),
        Step::Reset => format!("then reset {what} once:"),
        Step::Held => format!("{what} held: back one by one"),
        Step::NoReset => format!("NO RESET of {what}"),
        Step::Electrician => format!("NO MORE RESETS of {what}"),
    };
    let before = match step {
        Step::Reset => before_a_reset(network, assessment, trip, parts),
        Step::Held => held(network, trip, suspects),
        Step::NoReset => vec![
            "A breaker and an RCD together mean a fault to earth: unplug, touch nothing wet or hot, keep \
             people away."
                .replace("an RCD", &format!("an {}", network.region.words.rcd)),
            "A licensed electrician finds it before anybody resets.".to_owned(),
        ],
        Step::Electrician => {
            vec!["Two resets are the most. Leave it off, tell the owner: a licensed electrician.".to_owned()]
        }
    };
    let (if_held, if_not) =
        if step == Step::Reset { branches(network, trip, suspects) } else { Default::default() };
    Advice { step, line, before, if_held, if_not, resets: trip.resets }
}

fn step(trip: &Trip, pattern: Pattern) -> Step {
    if !pattern.may_be_reset() {
        Step::NoReset
    } else if trip.reset == Reset::Held {
        Step::Held
    } else if trip.resets >= MOST_RESETS {
        Step::Electrician
    } else {
        Step::Reset
    }
}

/// Heads off, who may, and what would come on together.
fn before_a_reset(network: &Network, assessment: &Assessment, trip: &Trip, parts: &Parts) -> Vec<String> {
    let what = names(network, &trip.lost);
    let mut lines = Vec::new();
    let dark = parts.dark.len();
    let together = together(network, assessment, trip);
    match (dark, together) {
        (0, _) => lines.push(format!("Whatever is plugged in behind {what} is off before.")),
        (1, _) => lines.push(format!("The head on {what} is off before.")),
        (_, Some((all, limit))) => lines.push(format!(
            "All {dark} heads on {what} off before: together they bring {} A on {} A.",
            number(all),
            number(limit)
        )),
        (_, None) => lines.push(format!("All {dark} heads on {what} off before, not to come on together.")),
    }
    if trip.reset == Reset::DidNotHold {
        lines.push(
            "It did not hold with the heads off: the house's own. Leave it, tell the owner. One more only \
             if the owner has switched something off behind it."
                .to_owned(),
        );
    }
    lines.push(who(network, trip));
    lines
}

/// Inrush of all heads of a circuit that a reset brings back against its breaker's magnetic band, where it
/// reaches that.
fn together(network: &Network, assessment: &Assessment, trip: &Trip) -> Option<(f64, f64)> {
    let circuits = trip.lost.iter().flat_map(|lost| match lost {
        Lost::Circuit(at) => std::slice::from_ref(at),
        Lost::Rcd(at) => &network.rcds[*at].darkens,
        Lost::Supply(_) | Lost::Meter(_) => &[],
    });
    let used = &assessment.setups[trip.setup].circuits;
    circuits
        .filter_map(|at| used[*at].inrush.as_ref())
        .map(|inrush| (inrush.all.counts.0, inrush.limit.0))
        .find(|(all, limit)| all >= limit)
}

/// Who may reset it (common practice, no source).
fn who(network: &Network, trip: &Trip) -> String {
    let words = &network.region.words;
    let is_portable = |lost: &Lost| match lost {
        Lost::Rcd(at) => network.sockets.iter().any(|(_, socket)| socket.portable == Some(*at)),
        _ => false,
    };
    match Pattern::of(&trip.lost) {
        Pattern::Supply => format!(
            "A main switch is for the owner and a licensed electrician, a service fuse for the grid; no {} \
             covers off.",
            words.board
        ),
        Pattern::Meter => "Whoever holds the contract resets the meter.".to_owned(),
        _ if trip.lost.iter().all(is_portable) => {
            format!("It sits in the {}: whoever plugged it in resets it.", words.socket)
        }
        _ if network.plan.location.board == Some(Board::Found) => {
            format!("Only with the owner's yes; switches only, no {} covers off.", words.board)
        }
        _ => {
            let locked = network.plan.location.board == Some(Board::Locked);
            let state = if locked { "is locked" } else { "is not found yet" };
            format!("The {} {state}: ask the owner, who resets it or lets you; no covers off.", words.board)
        }
    }
}

fn ids(network: &Network, heads: &[HeadAt]) -> String {
    list(heads.iter().map(|head| network.head_id(*head)))
}

/// It held: what goes on, and what does not.
fn held(network: &Network, trip: &Trip, suspects: &[HeadAt]) -> Vec<String> {
    let mut lines = vec!["One head at a time, in this order; the one that drops it stays off.".to_owned()];
    if !suspects.is_empty() {
        lines.push(format!(
            "{} off until tried alone behind a tested {}; if that drops, the fault is found: a competent \
             person tests it.",
            stay(network, suspects),
            network.region.words.rcd
        ));
    }
    let left = MOST_RESETS.saturating_sub(trip.resets);
    lines.push(match left {
        0 => "If it goes again: no reset, a licensed electrician.".to_owned(),
        _ => "If it goes again: one last reset, with the head that did it off.".to_owned(),
    });
    lines
}

fn stay(network: &Network, suspects: &[HeadAt]) -> String {
    format!("{} {}", ids(network, suspects), if suspects.len() == 1 { "stays" } else { "stay" })
}

fn branches(network: &Network, trip: &Trip, suspects: &[HeadAt]) -> (String, String) {
    let held = if suspects.is_empty() {
        "the rest back one by one".to_owned()
    } else {
        format!("the rest back one by one; {} off", stay(network, suspects))
    };
    let not = if trip.resets + 1 >= MOST_RESETS {
        "leave it off: a licensed electrician"
    } else {
        "the house's own fault: leave it, tell the owner"
    };
    (held, not.to_owned())
}
