//! The order in which most limits are kept, where what is best for the RCDs is not best for a breaker.
//!
//! Falling strike leakage is best for every RCD at once, falling start over running amps for every
//! breaker. Where the first lifts a breaker over its rating that another order would keep, no rule of
//! sorting decides. Up to eight heads every order is looked at, those apart that can no
//! longer beat the best one found (branch and bound); of more heads, those on the breakers in question
//! change places among themselves; and where these are too many as well, the better of the two
//! falling orders stands.

use std::collections::HashMap;

use crate::physics::residual::{Outcome, Room, odds, outcome};
use crate::unit::{Amps, MilliAmps};

/// Up to so many heads are put in every order.
pub(crate) const MOST_MOVED: usize = 8;
/// Odds that differ by less are alike.
const SAME_ODDS: f64 = 1e-9;
/// So many ways to have struck the same heads are kept in mind.
const REMEMBERED: usize = 8;

/// One sum that grows as heads are struck: amps on a line of a breaker, or milliamperes through an RCD.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Meter {
    /// What flows before the first of these heads.
    pub before: f64,
    /// No order keeps its peak under this: what came before, or what flows once all are lit.
    pub least_peak: f64,
}

/// What a limit looks at, by the places of its meters.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Limit {
    /// An RCD: the meter of what leaks for certain and at the least, and of the most that may leak.
    Rcd {
        /// How much more may leak.
        room: Room,
        /// The least.
        least: usize,
        /// The most.
        most: usize,
    },
    /// A breaker: its meters, one a line.
    Breaker {
        /// What it carries.
        rating: Amps,
        /// Its first meter.
        first: usize,
        /// How many it has.
        lines: usize,
    },
}

/// What one head adds to one meter.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Share {
    /// The meter's place.
    pub meter: usize,
    /// Once lit.
    pub lit: f64,
    /// While it is struck, over what flows already.
    pub striking: f64,
}

/// Heads in the order of falling strike leakage, and what they do.
#[derive(Clone, Debug, Default)]
pub(crate) struct Problem {
    /// The meters.
    pub meters: Vec<Meter>,
    /// The limits on them.
    pub limits: Vec<Limit>,
    /// What each head adds.
    pub heads: Vec<Vec<Share>>,
    /// How far each head's start is over its running amps.
    pub over_running: Vec<f64>,
    /// Heads on a breaker that this order does not keep and another might.
    pub in_question: Vec<bool>,
}

/// How many limits an order breaks, worst first.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Score {
    /// RCDs that drop.
    pub trips: u32,
    /// RCDs that may drop, and breakers over their rating while heads run up.
    pub risks: u32,
    /// The odds of those RCDs, added up.
    pub odds: f64,
}

impl Score {
    pub(crate) fn is_better_than(self, other: Self) -> bool {
        (self.trips, self.risks) < (other.trips, other.risks)
            || (self.trips, self.risks) == (other.trips, other.risks) && self.odds < other.odds - SAME_ODDS
    }
}

impl Problem {
    /// What the peaks of the meters break.
    fn score(&self, peaks: &[f64]) -> Score {
        let mut score = Score { trips: 0, risks: 0, odds: 0.0 };
        for limit in &self.limits {
            match *limit {
                Limit::Rcd { room, least, most } => {
                    let (least, most) = (MilliAmps(peaks[least]), MilliAmps(peaks[most]));
                    if outcome(least, room) == Outcome::Trips {
                        score.trips += 1;
                    } else if outcome(most, room) != Outcome::Holds {
                        score.risks += 1;
                    }
                    score.odds += odds(most, room);
                }
                Limit::Breaker { rating, first, lines } => {
                    let over = peaks[first..first + lines].iter().any(|peak| Amps(*peak).is_over(rating));
                    score.risks += u32::from(over);
                }
            }
        }
        score
    }

    /// What an order breaks.
    pub(crate) fn score_of(&self, order: &[usize]) -> Score {
        let mut lit: Vec<f64> = self.meters.iter().map(|meter| meter.before).collect();
        let mut peaks: Vec<f64> = self.meters.iter().map(|meter| meter.least_peak).collect();
        for head in order {
            for share in &self.heads[*head] {
                peaks[share.meter] = peaks[share.meter].max(lit[share.meter] + share.striking);
                lit[share.meter] += share.lit;
            }
        }
        self.score(&peaks)
    }

    /// The lowest peak that each meter has in any order: in its own falling one.
    fn floors(&self) -> Vec<f64> {
        let mut by_meter: Vec<Vec<Share>> = vec![Vec::new(); self.meters.len()];
        for share in self.heads.iter().flatten() {
            by_meter[share.meter].push(*share);
        }
        let floor = |(meter, mut shares): (&Meter, Vec<Share>)| {
            shares.sort_by(|a, b| (b.striking - b.lit).total_cmp(&(a.striking - a.lit)));
            let (mut lit, mut peak) = (meter.before, meter.least_peak);
            for share in shares {
                peak = peak.max(lit + share.striking);
                lit += share.lit;
            }
            peak
        };
        self.meters.iter().zip(by_meter).map(floor).collect()
    }

    /// An order that breaks less than the one the heads stand in; `None` where none was found.
    pub(crate) fn better_order(&self) -> Option<Vec<usize>> {
        let standing: Vec<usize> = (0..self.heads.len()).collect();
        let here = self.score_of(&standing);
        let floors = self.floors();
        let bound = self.score(&floors);
        let mut best = (here, None);
        let mut by_running = standing.clone();
        by_running.sort_by(|a, b| self.over_running[*b].total_cmp(&self.over_running[*a]));
        let by_running_score = self.score_of(&by_running);
        if by_running_score.is_better_than(here) {
            best = (by_running_score, Some(by_running));
        }
        let in_question = self.in_question.iter().filter(|moved| **moved).count();
        let moved = if self.heads.len() <= MOST_MOVED {
            vec![true; self.heads.len()]
        } else if in_question <= MOST_MOVED {
            self.in_question.clone()
        } else {
            return best.1;
        };
        let mut search = Search {
            problem: self,
            lit: self.meters.iter().map(|meter| meter.before).collect(),
            moved,
            taken: vec![false; self.heads.len()],
            order: Vec::with_capacity(self.heads.len()),
            seen: HashMap::new(),
            best,
            bound,
        };
        search.go_on(&floors);
        search.best.1
    }
}

/// A search over the orders of some heads, in depth.
struct Search<'a> {
    problem: &'a Problem,
    lit: Vec<f64>,
    moved: Vec<bool>,
    taken: Vec<bool>,
    order: Vec<usize>,
    /// By how the heads so far were chosen (places taken): peaks that they came to.
    seen: HashMap<Vec<bool>, Vec<Vec<f64>>>,
    best: (Score, Option<Vec<usize>>),
    bound: Score,
}

impl Search<'_> {
    /// Puts each head that may come next there; `peaks` never fall, so what they break already stays
    /// broken.
    fn go_on(&mut self, peaks: &[f64]) {
        let score = self.problem.score(peaks);
        if !self.bound.is_better_than(self.best.0) || !score.is_better_than(self.best.0) {
            return;
        }
        let place = self.order.len();
        if place == self.problem.heads.len() {
            self.best = (score, Some(self.order.clone()));
            return;
        }
        if self.is_known(peaks) {
            return;
        }
        let next: Vec<usize> = if self.moved[place] {
            (0..self.moved.len()).filter(|head| self.moved[*head] && !self.taken[*head]).collect()
        } else {
            vec![place]
        };
        for head in next {
            let mut higher = peaks.to_vec();
            for share in &self.problem.heads[head] {
                let lit = &mut self.lit[share.meter];
                higher[share.meter] = higher[share.meter].max(*lit + share.striking);
                *lit += share.lit;
            }
            self.taken[head] = true;
            self.order.push(head);
            self.go_on(&higher);
            self.order.pop();
            self.taken[head] = false;
            self.lit_again(place);
        }
    }

    /// What flows after the first heads of the order, added up anew so that nothing is lost to rounding.
    fn lit_again(&mut self, heads: usize) {
        for (lit, meter) in self.lit.iter_mut().zip(&self.problem.meters) {
            *lit = meter.before;
        }
        for head in &self.order[..heads] {
            for share in &self.problem.heads[*head] {
                self.lit[share.meter] += share.lit;
            }
        }
    }

    /// Whether the same heads were struck before with no peak higher than now.
    fn is_known(&mut self, peaks: &[f64]) -> bool {
        let seen = self.seen.entry(self.taken.clone()).or_default();
        if seen.iter().any(|known| known.iter().zip(peaks).all(|(known, peak)| known <= peak)) {
            return true;
        }
        if seen.len() < REMEMBERED {
            seen.push(peaks.to_vec());
        }
        false
    }
}

#[cfg(test)]
mod tests {
    use itertools::Itertools as _;
    use proptest::prelude::*;

    use super::*;

    /// A head as a crew would tell it: leakage, strike leakage, amps, start amps, breaker, RCD.
    type Told = (f64, f64, f64, f64, usize, usize);

    /// Heads on breakers of these ratings and RCDs of these rooms, one more RCD before them all.
    fn problem(heads: &[Told], ratings: &[f64], rooms: &[(f64, f64)], main: (f64, f64)) -> Problem {
        let mut problem = Problem::default();
        let mut heads = heads.to_vec();
        heads.sort_by(|a, b| b.1.total_cmp(&a.1).then((b.3 - b.2).total_cmp(&(a.3 - a.2))));
        for (place, rating) in ratings.iter().enumerate() {
            problem.limits.push(Limit::Breaker { rating: Amps(*rating), first: place, lines: 1 });
        }
        for (place, (low, high)) in rooms.iter().chain([&main]).enumerate() {
            let meter = ratings.len() + place;
            let room = Room { low: MilliAmps(*low), high: Some(MilliAmps(*high)) };
            problem.limits.push(Limit::Rcd { room, least: meter, most: meter });
        }
        problem.meters = vec![Meter { before: 0.0, least_peak: 0.0 }; ratings.len() + rooms.len() + 1];
        for (leak, strike, running, start, breaker, rcd) in heads {
            let leaks = |meter| Share { meter, lit: leak, striking: leak + strike };
            problem.heads.push(vec![
                Share { meter: breaker, lit: running, striking: start },
                leaks(ratings.len() + rcd),
                leaks(ratings.len() + rooms.len()),
            ]);
            problem.over_running.push(start - running);
            problem.in_question.push(true);
        }
        for (place, meter) in problem.meters.iter_mut().enumerate() {
            let on_it = problem.heads.iter().flatten().filter(|share| share.meter == place);
            meter.least_peak = on_it.map(|share| share.lit).sum();
        }
        problem
    }

    #[test]
    fn a_breaker_is_kept_where_the_rcd_has_room_for_it() {
        // By hand. A strikes at 10 mA and draws 10 A; B runs up with 12 A to 8 A and leaks 5 mA. A first:
        // 10 + 12 = 22 A over 20, 10 and 5 mA. B first: 12, then 18 A; 5, then 15 mA.
        let heads = [(0.0, 10.0, 10.0, 10.0, 0, 0), (5.0, 0.0, 8.0, 12.0, 0, 0)];
        let order = |low: f64| problem(&heads, &[20.0], &[(low, 30.0)], (50.0, 100.0)).better_order();
        assert_eq!(order(15.0), Some(vec![1, 0]));
        // With 12 mA of room that order may drop the RCD: one limit for another, and the odds decide.
        assert_eq!(order(12.0), None);
    }

    fn head() -> impl Strategy<Value = Told> {
        let strike = prop_oneof![Just(0.0), Just(10.0), 0.0..15.0_f64];
        (0.0..6.0_f64, strike, 1.0..10.0_f64, 1.0..2.0_f64, 0..2_usize, 0..2_usize).prop_map(
            |(leak, strike, running, factor, breaker, rcd)| {
                (leak, strike, running, running * factor, breaker, rcd)
            },
        )
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(192))]

        #[test]
        fn the_order_found_keeps_as_many_limits_as_the_best_of_all_orders(
            heads in prop::collection::vec(head(), 2..=6),
            ratings in prop::array::uniform2(8.0..30.0_f64),
            rooms in prop::array::uniform2((5.0..25.0_f64, 0.1..15.0_f64)),
            main in (15.0..40.0_f64, 0.1..30.0_f64),
        ) {
            let span = |(low, more): (f64, f64)| (low, low + more);
            let problem = problem(&heads, &ratings, &rooms.map(span), span(main));
            let order: Vec<usize> = (0..heads.len()).collect();
            let here = problem.score_of(&order);
            let scores = order.into_iter().permutations(heads.len()).map(|order| problem.score_of(&order));
            let best = scores.fold(here, |best, score| if score.is_better_than(best) { score } else { best });
            let found = problem.better_order().map_or(here, |order| problem.score_of(&order));
            prop_assert_eq!((found.trips, found.risks), (best.trips, best.risks));
            prop_assert!((found.odds - best.odds).abs() < 1e-6, "{found:?} {best:?}");
        }

        #[test]
        fn of_many_heads_the_order_found_is_one_and_is_never_worse(
            heads in prop::collection::vec(head(), 9..=14),
            ratings in prop::array::uniform2(20.0..90.0_f64),
            rooms in prop::array::uniform2((5.0..40.0_f64, 0.1..15.0_f64)),
            few in 2_usize..9,
        ) {
            let span = |(low, more): (f64, f64)| (low, low + more);
            let mut problem = problem(&heads, &ratings, &rooms.map(span), (60.0, 90.0));
            for (place, moved) in problem.in_question.iter_mut().enumerate() {
                *moved = place % 2 == 0 && place / 2 < few;
            }
            let standing: Vec<usize> = (0..heads.len()).collect();
            if let Some(order) = problem.better_order() {
                prop_assert!(problem.score_of(&order).is_better_than(problem.score_of(&standing)));
                let mut sorted = order.clone();
                sorted.sort_unstable();
                prop_assert_eq!(sorted, standing);
            }
        }
    }
}
