//! The engines behind one function: search, then proof level by level.

use super::bound::{counted, held, relax, step_of};
use super::front::{Fronts, all_sets};
use super::linear::Linear;
use super::problem::{LEVELS, Level, Problem, Score};
use super::program::Prover;
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
    /// Rounds of taking out and putting back, for forty items; for others in proportion.
    pub rounds: usize,
    /// Nodes of each branch and bound.
    pub nodes: usize,
    /// What proves a level that the bounds leave open, in place of the branch and bound.
    pub prover: Option<Prover>,
}

impl Default for Effort {
    fn default() -> Self {
        Self { rounds: 180_000, nodes: 400_000, prover: None }
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
    let order = problem.order();
    let mut run = Run { problem, order, best: fixed, bound: Score::default(), proven: 0, asked: 0 };
    run.work(&everywhere, effort, go_on);
    run.loosen(&everywhere, effort, go_on);
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

/// For so many items the rounds are as told; for more or fewer, more or fewer in proportion.
const MANY: usize = 40;

/// Of the rounds, one in so many is for headroom, once all else is settled.
const LOOSENING: usize = 20;

/// Of the rounds, one in so many is enough of a start for a prover.
const SHORT: usize = 4;

/// Rounds an item before the first bounds are asked for.
const FIRST: usize = 600;

/// So few items are proven before a long search, with one in so many of the nodes.
const FEW: usize = 16;
const FEW_NODES: usize = 10;

/// What a proof may use.
#[derive(Clone, Copy)]
enum Means {
    /// What a relaxation or a count gives at once.
    Bounds,
    /// A branch and bound, or the prover, where those leave a level open.
    All(Effort),
}

/// A run, with what it knows.
struct Run<'a> {
    problem: &'a Problem,
    order: [Level; LEVELS],
    best: State<'a>,
    bound: Score,
    proven: usize,
    /// How many levels have been asked for the bounds that come at once.
    asked: usize,
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

    /// Searches a little, proves what the bounds give at once, searches more, and proves the rest.
    fn work(&mut self, terrain: &Terrain<'a>, effort: Effort, go_on: &mut dyn FnMut(&Progress) -> bool) {
        let items = self.problem.items.len();
        let rounds = effort.rounds * items / MANY;
        let first = rounds.min(FIRST * items);
        let mut fronts = Fronts::new(self.problem);
        if !self.search(&mut fronts, first, go_on) || !self.prove(terrain, Means::Bounds, go_on) {
            return;
        }
        // Of few, a proof takes less than a long search.
        let few = Effort { nodes: effort.nodes / FEW_NODES, prover: None, ..effort };
        if items <= FEW && self.proven < LEVELS && !self.prove(terrain, Means::All(few), go_on) {
            return;
        }
        // A prover finds what a longer search would, where it comes to an end.
        let is_short = effort.prover.is_some() && items <= 2 * MANY;
        let mut left = if is_short { rounds / SHORT } else { rounds }.saturating_sub(first);
        while left > 0 && self.proven < LEVELS {
            let Some(used) = self.pass(&mut fronts, left, go_on) else { return };
            left = left.saturating_sub(used.max(1));
            if self.has_come_to_its_bound() && !self.prove(terrain, Means::Bounds, go_on) {
                return;
            }
        }
        if self.proven < LEVELS {
            self.prove(terrain, Means::All(effort), go_on);
        }
    }

    /// Whether the first level that is not proven now costs what none can beat.
    fn has_come_to_its_bound(&self) -> bool {
        let level = self.order.get(self.proven);
        level.is_some_and(|level| self.best.score.of(*level) <= self.bound.of(*level))
    }

    /// Searches on all fronts for about so many rounds.
    fn search(
        &mut self,
        fronts: &mut Fronts<'a>,
        rounds: usize,
        go_on: &mut dyn FnMut(&Progress) -> bool,
    ) -> bool {
        let mut left = rounds;
        while left > 0 {
            let Some(used) = self.pass(fronts, left, go_on) else { return false };
            left = left.saturating_sub(used.max(1));
        }
        true
    }

    /// One pass of the search; how many rounds it took, `None` where the caller says stop.
    fn pass(
        &mut self,
        fronts: &mut Fronts<'a>,
        most: usize,
        go_on: &mut dyn FnMut(&Progress) -> bool,
    ) -> Option<usize> {
        let mut best = self.best.clone();
        let this = &*self;
        let used = fronts.pass(&mut best, most, this.proven, &mut |now| go_on(&this.progress(now)));
        self.best = best;
        used
    }

    /// Of placements that cost the same, takes one that leaves more headroom.
    fn loosen(&mut self, terrain: &Terrain<'a>, effort: Effort, go_on: &mut dyn FnMut(&Progress) -> bool) {
        let told = self.progress(&self.best);
        let rounds = effort.rounds / LOOSENING * self.problem.items.len() / MANY;
        terrain.loosen(&mut self.best, rounds, &mut Dice::new(13), &mut || go_on(&told));
    }

    /// Searches on from the best one, which a proof has bettered.
    fn polish(&mut self, terrain: &Terrain<'a>, rounds: usize, go_on: &mut dyn FnMut(&Progress) -> bool) {
        let this = &*self;
        let mut state = self.best.clone();
        terrain.improve(&mut state, (rounds, this.proven), &mut Dice::new(11), &mut |now| {
            go_on(&this.progress(now))
        });
        if state.ordered() <= self.best.ordered() {
            self.best = state;
        }
    }

    /// Proves level after level, as far as that goes; `false` where the caller says stop.
    fn prove(
        &mut self,
        terrain: &Terrain<'a>,
        means: Means,
        go_on: &mut dyn FnMut(&Progress) -> bool,
    ) -> bool {
        let mut linear = None;
        for place in self.proven..LEVELS {
            let level = self.order[place];
            let mut floor = self.bound.of(level);
            if place >= self.asked {
                floor = floor.max(self.floor(terrain, place, go_on));
                self.asked = place + 1;
            }
            if let Means::All(effort) = means
                && floor < self.best.score.of(level)
            {
                if !go_on(&self.progress(&self.best)) {
                    return false;
                }
                let linear = linear.get_or_insert_with(|| effort.prover.and_then(|_| Linear::new(terrain)));
                floor = match (effort.prover, linear) {
                    (Some(prover), Some(linear)) => {
                        floor.max(self.ask(prover, linear, (terrain, place), effort, go_on))
                    }
                    _ if self.branch(terrain, place, effort, go_on) => self.best.score.of(level),
                    _ => floor,
                };
            }
            let cost = self.best.score.of(level);
            self.bound.0[level.index()] = floor.min(cost);
            if floor < cost {
                break;
            }
            self.proven = place + 1;
            if !go_on(&self.progress(&self.best)) {
                return false;
            }
        }
        true
    }

    /// What the level cannot be under, with those above held.
    fn floor(&self, terrain: &Terrain<'a>, place: usize, go_on: &mut dyn FnMut(&Progress) -> bool) -> i64 {
        let level = self.order[place];
        let best = self.best.score.of(level);
        if best == 0 || level == Level::Odds {
            return 0;
        }
        if level == Level::Generator {
            return self.generator_floor(place, go_on);
        }
        let counted = if level == Level::Dark { counted(terrain) } else { 0 };
        if counted >= best {
            return counted;
        }
        let held = held(self.order, place, &self.best.score);
        let told = self.progress(&self.best);
        let relaxed = relax(terrain, level, &held, best, &mut || go_on(&told));
        relaxed.map_or(best, |relaxed| relaxed.whole(step_of(self.problem, level)).min(best)).max(counted)
    }

    /// The cheapest set of generators with which the levels above are not out of the question.
    fn generator_floor(&self, place: usize, go_on: &mut dyn FnMut(&Progress) -> bool) -> i64 {
        let best = self.best.score.of(Level::Generator);
        let dark = self.best.score.of(Level::Dark);
        let has_dark = self.order[..place].contains(&Level::Dark);
        let cost = |set: &[usize]| set.iter().map(|at| self.problem.generators[*at]).sum::<i64>();
        let told = self.progress(&self.best);
        let mut possible = |set: &Vec<usize>| {
            let may = |choice: &super::Choice| choice.generators.iter().all(|at| set.contains(at));
            let terrain = Terrain::new(self.problem, may);
            if !has_dark {
                return true;
            }
            if counted(&terrain) > dark {
                return false;
            }
            let relaxed = relax(&terrain, Level::Dark, &[], dark + 1, &mut || go_on(&told));
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

    /// The floor that a prover comes to; something better that it finds is kept.
    fn ask(
        &mut self,
        prover: Prover,
        linear: &Linear<'a>,
        (terrain, place): (&Terrain<'a>, usize),
        effort: Effort,
        go_on: &mut dyn FnMut(&Progress) -> bool,
    ) -> i64 {
        let level = self.order[place];
        let (program, step) = linear.of_level(level, &held(self.order, place, &self.best.score));
        let start = linear.values(&self.best.chosen);
        debug_assert!(program.cost(&start).is_some(), "a placement keeps its own program");
        let told = self.progress(&self.best);
        let answer = (prover.0)(&program, &start, &mut || go_on(&told));
        let found = answer.values.filter(|values| program.cost(values).is_some());
        if let Some(state) = found.and_then(|values| linear.placement(&values))
            && state.ordered() < self.best.ordered()
        {
            self.best = state;
            self.polish(terrain, effort.rounds / 4, go_on);
        }
        answer.floor.map_or(0, |floor| floor * step + linear.anyway(level))
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
        let told = self.progress(&self.best);
        let Some(relaxed) = relax(terrain, level, &held, score.of(level), &mut || go_on(&told)) else {
            return true;
        };
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
