//! The engines behind one function: search, then proof level by level.

use super::bound::{counted, held, relax, step_of};
use super::problem::{Choice, LEVELS, Level, Problem, Score};
use super::prove::{Ended, Proof};
use super::search::{Dice, Terrain};
use super::state::State;

/// How sure an answer is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Answer {
    /// Every level down to the length of lead is proven.
    Optimal,
    /// It breaks nothing; something better may exist.
    Feasible,
    /// What is fixed breaks a hard limit already.
    None,
}

impl Answer {
    /// The word that other programs read.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Optimal => "optimal",
            Self::Feasible => "feasible",
            Self::None => "none",
        }
    }
}

/// How much is tried, so that an answer does not depend on a clock.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Effort {
    /// Rounds of taking out and putting back.
    pub rounds: usize,
    /// Nodes of each branch and bound.
    pub nodes: usize,
}

impl Default for Effort {
    fn default() -> Self {
        Self { rounds: 20_000, nodes: 400_000 }
    }
}

/// The best and the bound so far.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Progress {
    /// What the best placement found costs.
    pub best: Score,
    /// What none can beat.
    pub bound: Score,
    /// How many levels are proven, from the heaviest down.
    pub proven: usize,
    /// How many items the best placement found places, those that stay among them.
    pub placed: usize,
    /// How many there are.
    pub items: usize,
}

/// A placement.
#[derive(Clone, Debug, PartialEq)]
pub struct Solution {
    /// How sure it is.
    pub answer: Answer,
    /// The choice of each item; `None`: dark.
    pub chosen: Vec<Option<usize>>,
    /// What it costs.
    pub score: Score,
    /// What none can beat: as `score` in the levels that are proven, a floor in the next, 0 after it.
    pub bound: Score,
    /// How many levels are proven, from the heaviest down.
    pub proven: usize,
}

/// Solves a problem. `go_on` is told how far it is, and asked whether to go on; once it says no, the
/// best so far comes back. It always has something to say: at worst what is fixed, all else dark.
pub fn solve(problem: &Problem, effort: Effort, go_on: &mut dyn FnMut(&Progress) -> bool) -> Solution {
    let everywhere = Terrain::new(problem, |_| true);
    let fixed = everywhere.fixed();
    if !is_whole(problem) {
        let chosen = fixed.chosen.clone();
        return Solution {
            answer: Answer::None,
            chosen,
            score: fixed.score,
            bound: Score::default(),
            proven: 0,
        };
    }
    let mut run = Run { problem, order: problem.order(), best: fixed, bound: Score::default(), proven: 0 };
    let finished = run.search(effort, go_on);
    if finished {
        run.prove(&everywhere, effort, go_on);
    }
    let least = run.order.iter().position(|level| *level == Level::Metres).unwrap_or(LEVELS - 1);
    let answer = if run.proven > least { Answer::Optimal } else { Answer::Feasible };
    let (score, bound, proven) = (run.best.score, run.bound, run.proven);
    Solution { answer, chosen: run.best.chosen, score, bound, proven }
}

/// Whether the fixed items break nothing.
fn is_whole(problem: &Problem) -> bool {
    let mut state = State::new(problem);
    for (at, item) in problem.items.iter().enumerate() {
        if item.is_fixed && !item.choices.is_empty() {
            if !state.fits(at, 0) {
                return false;
            }
            state.place(at, 0);
        }
    }
    true
}

/// From so many items on, all the rounds are gone through; of fewer, fewer do.
const MANY: usize = 40;

/// A run, with what it knows.
struct Run<'a> {
    problem: &'a Problem,
    order: [Level; LEVELS],
    best: State<'a>,
    bound: Score,
    proven: usize,
}

impl<'a> Run<'a> {
    fn progress(&self, best: &State<'a>) -> Progress {
        Progress {
            best: best.score,
            bound: self.bound,
            proven: self.proven,
            placed: best.chosen.iter().flatten().count(),
            items: self.problem.items.len(),
        }
    }

    /// Searches with generators off first, then with all, then with each set between.
    fn search(&mut self, effort: Effort, go_on: &mut dyn FnMut(&Progress) -> bool) -> bool {
        let sets = generator_sets(&self.problem.generators);
        let rounds = effort.rounds * self.problem.items.len().min(MANY) / MANY;
        let each = rounds / sets.len().clamp(1, 3);
        let mut finished = true;
        for set in &sets {
            let may = |choice: &Choice| choice.generators.iter().all(|at| set.contains(at));
            let terrain = Terrain::new(self.problem, may);
            let mut state = terrain.construct();
            let mut dice = Dice::new(7);
            let this = &*self;
            finished = terrain.improve(&mut state, each.max(1), &mut dice, &mut |now| {
                let best = if now.ordered() < this.best.ordered() { now } else { &this.best };
                go_on(&this.progress(best))
            });
            if state.ordered() < self.best.ordered() {
                self.best = state;
            }
            if !finished || self.best.score.of(Level::Dark) == 0 && set.is_empty() {
                break;
            }
        }
        finished
    }

    /// Searches on from the best one, which a proof has bettered.
    fn polish(&mut self, terrain: &Terrain<'a>, rounds: usize, go_on: &mut dyn FnMut(&Progress) -> bool) {
        let this = &*self;
        let mut state = self.best.clone();
        terrain.improve(&mut state, rounds, &mut Dice::new(11), &mut |now| go_on(&this.progress(now)));
        if state.ordered() <= self.best.ordered() {
            self.best = state;
        }
    }

    /// Proves level after level, as far as that goes.
    fn prove(&mut self, terrain: &Terrain<'a>, effort: Effort, go_on: &mut dyn FnMut(&Progress) -> bool) {
        for place in 0..LEVELS {
            let level = self.order[place];
            let floor = self.floor(terrain, place);
            let done = floor >= self.best.score.of(level) || self.branch(terrain, place, effort, go_on);
            self.bound.0[level.index()] = if done { self.best.score.of(level) } else { floor };
            if !done {
                return;
            }
            self.proven = place + 1;
            if !go_on(&self.progress(&self.best)) {
                return;
            }
        }
    }

    /// What the level cannot be under, with those above held.
    fn floor(&self, terrain: &Terrain<'a>, place: usize) -> i64 {
        let level = self.order[place];
        let best = self.best.score.of(level);
        if best == 0 || level == Level::Odds {
            return 0;
        }
        if level == Level::Generator {
            return self.generator_floor(place);
        }
        let counted = if level == Level::Dark { counted(terrain) } else { 0 };
        if counted >= best {
            return counted;
        }
        let held = held(self.order, place, &self.best.score);
        let relaxed = relax(terrain, level, &held, best);
        relaxed.map_or(best, |relaxed| relaxed.whole(step_of(self.problem, level)).min(best)).max(counted)
    }

    /// The cheapest set of generators with which the levels above are not out of the question.
    fn generator_floor(&self, place: usize) -> i64 {
        let best = self.best.score.of(Level::Generator);
        let dark = self.best.score.of(Level::Dark);
        let has_dark = self.order[..place].contains(&Level::Dark);
        let cost = |set: &[usize]| set.iter().map(|at| self.problem.generators[*at]).sum::<i64>();
        let possible = |set: &Vec<usize>| {
            let may = |choice: &Choice| choice.generators.iter().all(|at| set.contains(at));
            let terrain = Terrain::new(self.problem, may);
            if !has_dark {
                return true;
            }
            if counted(&terrain) > dark {
                return false;
            }
            let relaxed = relax(&terrain, Level::Dark, &[], dark + 1);
            relaxed.is_some_and(|relaxed| relaxed.whole(step_of(self.problem, Level::Dark)) <= dark)
        };
        let (sets, is_every) = all_sets(&self.problem.generators);
        if !is_every {
            let least = self.problem.generators.iter().min().copied().unwrap_or(0);
            return if possible(&Vec::new()) { 0 } else { least };
        }
        let cheaper = sets.iter().filter(|set| cost(set) < best);
        cheaper.filter(|set| possible(set)).map(|set| cost(set)).min().unwrap_or(best)
    }

    /// Branch and bound; whether the level is proven.
    fn branch(
        &mut self,
        terrain: &Terrain<'a>,
        place: usize,
        effort: Effort,
        go_on: &mut dyn FnMut(&Progress) -> bool,
    ) -> bool {
        let level = self.order[place];
        let score = self.best.score;
        let held = held(self.order, place, &score);
        let Some(relaxed) = relax(terrain, level, &held, score.of(level)) else { return true };
        let mut found: Option<State<'a>> = None;
        let so_far = self.progress(&self.best);
        let (ended, _) = {
            let mut better = |state: &State<'a>| found = Some(state.clone());
            let mut ask = || go_on(&so_far);
            let best = self.best.ordered();
            Proof::new(terrain, place, relaxed, best, effort.nodes, &mut better, &mut ask).run()
        };
        if let Some(state) = found {
            self.best = state;
            self.polish(terrain, effort.rounds / 4, go_on);
        }
        ended == Ended::Proven
    }
}

/// Every set of generators, the cheapest first, where there are few; else none, each, and all. Whether it
/// is every set.
fn all_sets(generators: &[i64]) -> (Vec<Vec<usize>>, bool) {
    const FEW: usize = 6;
    let count = generators.len();
    let mut sets: Vec<Vec<usize>> = if count <= FEW {
        (0..1_usize << count).map(|bits| (0..count).filter(|at| bits >> at & 1 == 1).collect()).collect()
    } else {
        let each = (0..count).map(|at| vec![at]);
        std::iter::once(Vec::new()).chain(each).chain([(0..count).collect()]).collect()
    };
    sets.sort_by_key(|set| set.iter().map(|at| generators[*at]).sum::<i64>());
    (sets, count <= FEW)
}

/// The order in which sets of generators are tried: none, then all, then those between.
fn generator_sets(generators: &[i64]) -> Vec<Vec<usize>> {
    let (mut sets, _) = all_sets(generators);
    if sets.len() > 2
        && let Some(all) = sets.pop()
    {
        sets.insert(1, all);
    }
    sets
}
