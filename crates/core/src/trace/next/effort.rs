//! What tracing takes: rounds, breakers switched, sockets visited again, minutes.

use crate::trace::CircuitSet;

use super::{Options, count};

/// Minutes for a breaker off and on again, and a look at what hangs on it (common practice, no source).
pub const MINUTES_A_FLIP: f64 = 0.25;
/// Minutes to see whether one socket is dead, on the way along the others (common practice, no source).
pub const MINUTES_A_VISIT: f64 = 0.25;
/// Minutes for a walk to the board and back, and the word that it goes dark (common practice, no source).
pub const MINUTES_A_ROUND: f64 = 2.0;

/// What tracing takes until all is known that can be: expected values.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Effort {
    /// Walks to the board.
    pub rounds: f64,
    /// Breakers switched off and on again.
    pub flips: f64,
    /// Sockets looked at again.
    pub visits: f64,
}

/// Circuits that hang together, as some socket may be on any two of them, and their sockets.
struct Part {
    circuits: CircuitSet,
    sockets: usize,
}

impl Effort {
    /// Minutes in all.
    #[must_use]
    pub fn minutes(&self) -> f64 {
        self.rounds * MINUTES_A_ROUND + self.flips * MINUTES_A_FLIP + self.visits * MINUTES_A_VISIT
    }

    /// One breaker after the other, until every socket was dead once; the last circuit is known without.
    ///
    /// With *m* sockets, each on any of *n* circuits as likely, *r* breakers have darkened all of them with
    /// probability (*r/n*)^*m*, and *m*·(1 − *r/n*) of them are still to be visited.
    pub(super) fn one_at_a_time(options: &Options<'_>) -> Self {
        let mut effort = Self::default();
        for (classes, part) in classes(options) {
            let sockets = count(part.sockets);
            for gone in 0..classes.saturating_sub(1) {
                let share = count(gone) / count(classes);
                let needed = 1.0 - share.powf(sockets);
                effort.rounds += needed;
                effort.flips += needed;
                effort.visits += sockets * (1.0 - share);
            }
        }
        effort
    }

    /// Half of what is possible at once, again and again. Parts that do not touch are halved in the same rounds.
    ///
    /// *n* circuits take ⌊log₂ *n*⌋ rounds, and one more for those sockets that are on one of the 2·(*n* −
    /// 2^⌊log₂ *n*⌋) circuits that are then still in pairs.
    pub(super) fn by_halves(options: &Options<'_>) -> Self {
        let mut effort = Self::default();
        for (classes, part) in classes(options).filter(|(classes, _)| *classes > 1) {
            let whole = classes.ilog2();
            let alone = count((2 << whole) - classes) / count(classes);
            let sockets = count(part.sockets);
            let last = 1.0 - alone.powf(sockets);
            let rounds = f64::from(whole) + last;
            effort.rounds = effort.rounds.max(rounds);
            effort.flips += halved(classes, classes, sockets);
            effort.visits += sockets * (f64::from(whole) + (1.0 - alone));
        }
        effort
    }
}

/// Breakers that are off in all rounds until `here` of `all` circuits are told apart: half of those that are in
/// question, as long as any of the sockets is on one of them.
fn halved(here: usize, all: usize, sockets: f64) -> f64 {
    if here < 2 {
        return 0.0;
    }
    let occupied = 1.0 - (1.0 - count(here) / count(all)).powf(sockets);
    let half = here / 2;
    count(half) * occupied + halved(half, all, sockets) + halved(here - half, all, sockets)
}

/// Parts, each with how many of its circuits can be told apart: those that must stay on are one.
fn classes<'a>(options: &'a Options<'_>) -> impl Iterator<Item = (usize, Part)> + 'a {
    let breakers = options.breakers();
    parts(options).into_iter().map(move |part| {
        let apart = part.circuits.shared(&breakers);
        (apart + usize::from(apart < part.circuits.len()), part)
    })
}

fn parts(options: &Options<'_>) -> Vec<Part> {
    let mut parts: Vec<Part> = Vec::new();
    for unknown in &options.unknown {
        let mut joined = Part { circuits: unknown.left.clone(), sockets: unknown.sockets };
        parts.retain(|part| {
            let is_apart = !part.circuits.meets(&joined.circuits);
            if !is_apart {
                joined.circuits.add(&part.circuits);
                joined.sockets += part.sockets;
            }
            is_apart
        });
        parts.push(joined);
    }
    parts
}
