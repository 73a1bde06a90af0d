//! The search on every front at once: one front a set of generators that may run, and the rounds where they
//! may still help.

use super::problem::{Choice, Level, Problem};
use super::search::{Dice, Terrain};
use super::state::State;
use crate::order::Order as _;

/// Rounds of the first pass; each that follows has twice as many.
const FIRST: usize = 2_048;
/// Of a pass, a front other than the best one's has one round in so many; in so many where it is far behind.
const OTHERS: usize = 4;
const FAR: usize = 24;
/// Far behind is one that leaves this share more of all dark.
const FAR_BEHIND: i64 = 50;

/// The search with one set of generators.
struct Front<'a> {
    /// What the whole set costs.
    cost: i64,
    is_all: bool,
    terrain: Terrain<'a>,
    state: State<'a>,
    dice: Dice,
}

/// The search with every set of generators.
pub(super) struct Fronts<'a> {
    all: Vec<Front<'a>>,
    /// The front that the best placement is of.
    leading: usize,
    pass: usize,
}

impl<'a> Fronts<'a> {
    /// A greedy placement on each.
    pub fn new(problem: &'a Problem) -> Self {
        let (sets, _) = all_sets(&problem.generators);
        let front = |set: &Vec<usize>| {
            let terrain =
                Terrain::new(problem, |choice: &Choice| choice.generators.iter().all(|at| set.contains(at)));
            let state = terrain.construct();
            let cost = set.iter().map(|at| problem.generators[*at]).sum();
            Front { cost, is_all: set.len() == problem.generators.len(), terrain, state, dice: Dice::new(7) }
        };
        Self { all: sets.iter().map(front).collect(), leading: 0, pass: FIRST }
    }

    /// One more pass over all fronts, of `most` rounds on one at most; what is better than the best, whose
    /// first levels are `proven`, becomes it. How many rounds it took; `None` where `go_on` says no.
    pub fn pass(
        &mut self,
        best: &mut State<'a>,
        most: usize,
        proven: usize,
        go_on: &mut dyn FnMut(&State<'a>) -> bool,
    ) -> Option<usize> {
        self.take(best);
        let pass = self.pass.min(most);
        self.pass *= 2;
        let mut used = 0;
        for at in 0..self.all.len() {
            if !self.may_help(at, best, proven) {
                continue;
            }
            let rounds = pass.div_ceil(self.share(at, best));
            let front = &mut self.all[at];
            let told = &mut |now: &State<'a>| go_on(if now.ordered() < best.ordered() { now } else { best });
            let finished = front.terrain.improve(&mut front.state, (rounds, proven), &mut front.dice, told);
            used += rounds;
            self.take(best);
            if !finished {
                return None;
            }
        }
        Some(used)
    }

    /// One round in how many of a pass is for a front.
    fn share(&self, at: usize, best: &State<'a>) -> usize {
        let dark = |state: &State<'a>| state.score.of(Level::Dark);
        let all: i64 = best.problem.items.iter().map(|item| item.importance).sum();
        if at == self.leading {
            1
        } else if (dark(&self.all[at].state) - dark(best)) * FAR_BEHIND > all {
            FAR
        } else {
            OTHERS
        }
    }

    /// Takes the best of the fronts, if it is better.
    fn take(&mut self, best: &mut State<'a>) {
        for (at, front) in self.all.iter().enumerate() {
            if front.state.ordered() < best.ordered() {
                best.clone_from(&front.state);
                self.leading = at;
            }
        }
    }

    /// Whether a front may lead to something better: where no more can be lit, none that costs more than what
    /// runs, and where it is known that this is needed, none that costs less.
    fn may_help(&self, at: usize, best: &State<'a>, proven: usize) -> bool {
        let front = &self.all[at];
        let levels = best.problem.order();
        let is_proven = |level: Level| levels[..proven].contains(&level);
        let is_lit = best.score.of(Level::Dark) == 0 || is_proven(Level::Dark);
        let generator = best.score.of(Level::Generator);
        let is_cheap =
            if is_proven(Level::Generator) { front.cost == generator } else { front.cost <= generator };
        at == self.leading || is_cheap || front.is_all && !is_lit
    }
}

/// Every set of generators, the cheapest first, where there are few; else none, each, and all. Whether it
/// is every set.
pub(super) fn all_sets(generators: &[i64]) -> (Vec<Vec<usize>>, bool) {
    const FEW: usize = 6;
    let count = generators.len();
    let mut sets: Vec<Vec<usize>> = if count <= FEW {
        (0..1_usize << count).map(|bits| (0..count).filter(|at| bits >> at & 1 == 1).collect()).collect()
    } else {
        let each = (0..count).map(|at| vec![at]);
        std::iter::once(Vec::new()).chain(each).chain([(0..count).collect()]).collect()
    };
    sets.order_by_key(|set| set.iter().map(|at| generators[*at]).sum::<i64>());
    (sets, count <= FEW)
}
