//! Branch and bound on one level, those above it held: by reduced costs, the item with the fewest ways
//! left first, alike items in one order only.

use std::collections::HashMap;

use super::bound::{Relaxed, Way, cost, step_of};
use super::problem::{Item, LEVELS, Level, Problem};
use super::search::Terrain;
use super::state::State;

/// How a proof ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Ended {
    /// Nothing is better than the best one told.
    Proven,
    /// The caller, or the count of nodes, said stop.
    Stopped,
}

/// A search in depth.
pub(super) struct Proof<'a, 'b> {
    problem: &'a Problem,
    level: usize,
    order: [Level; LEVELS],
    floor: f64,
    step: i64,
    ways: Vec<Vec<Way>>,
    alike: Vec<usize>,
    state: State<'a>,
    best: [i64; LEVELS],
    nodes: usize,
    most_nodes: usize,
    better: &'b mut dyn FnMut(&State<'a>),
    go_on: &'b mut dyn FnMut() -> bool,
}

/// Items of one kind share a number.
pub(super) fn kinds(problem: &Problem) -> Vec<usize> {
    let special: Vec<usize> = problem
        .excluded
        .iter()
        .flatten()
        .map(|(item, _)| *item)
        .chain(problem.neighbours.iter().flat_map(|(a, b)| [*a, *b]))
        .collect();
    let mut known: HashMap<String, Vec<usize>> = HashMap::new();
    let mut kinds = Vec::with_capacity(problem.items.len());
    for (at, item) in problem.items.iter().enumerate() {
        let alike = |other: &&usize| problem.items[**other] == *item;
        if special.contains(&at) || item.is_fixed {
            kinds.push(at);
            continue;
        }
        let bucket = known.entry(sketch(item)).or_default();
        if let Some(same) = bucket.iter().find(alike) {
            kinds.push(*same);
        } else {
            bucket.push(at);
            kinds.push(at);
        }
    }
    kinds
}

/// A few numbers of an item, to find those that may be alike.
fn sketch(item: &Item) -> String {
    let metres: i64 = item.choices.iter().map(|choice| choice.metres).sum();
    format!("{} {} {metres}", item.importance, item.choices.len())
}

impl<'a, 'b> Proof<'a, 'b> {
    /// A proof of the level at place `level` of the order, from what it relaxes to and the best known.
    pub fn new(
        terrain: &Terrain<'a>,
        level: usize,
        relaxed: Relaxed,
        best: [i64; LEVELS],
        most_nodes: usize,
        better: &'b mut dyn FnMut(&State<'a>),
        go_on: &'b mut dyn FnMut() -> bool,
    ) -> Self {
        let order = terrain.problem.order();
        Self {
            problem: terrain.problem,
            level,
            order,
            floor: relaxed.floor,
            step: step_of(terrain.problem, order[level]),
            ways: relaxed.ways,
            alike: terrain.kinds.clone(),
            state: State::new(terrain.problem),
            best,
            nodes: 0,
            most_nodes,
            better,
            go_on,
        }
    }

    /// Runs it.
    pub fn run(mut self) -> (Ended, [i64; LEVELS]) {
        for at in 0..self.problem.items.len() {
            if self.problem.items[at].is_fixed && !self.problem.items[at].choices.is_empty() {
                self.state.place(at, 0);
            }
        }
        let open: Vec<usize> =
            (0..self.problem.items.len()).filter(|at| !self.problem.items[*at].is_fixed).collect();
        let ended = self.go(&open, 0.0, &[]);
        (if ended { Ended::Proven } else { Ended::Stopped }, self.best)
    }

    /// The cost at the level in question that a sum of regrets leads to, as a whole number.
    fn least(&self, regret: f64) -> i64 {
        Relaxed { floor: self.floor + regret, ways: Vec::new() }.whole(self.step)
    }

    /// Whether nothing under here beats the best.
    fn is_hopeless(&self, regret: f64, dark: i64) -> bool {
        let now = self.state.score;
        for (place, level) in self.order[..=self.level].iter().enumerate() {
            // Items without a choice yet count as dark in the state; only those decided do here.
            let cost = if *level == Level::Dark { dark } else { now.of(*level) };
            let cost = if place == self.level { cost.max(self.least(regret)) } else { cost };
            let over = if place == self.level { cost >= self.best[place] } else { cost > self.best[place] };
            if over {
                return true;
            }
        }
        false
    }

    /// Decides the open items; `decided` are those left dark. Whether it came to an end.
    fn go(&mut self, open: &[usize], regret: f64, dark_items: &[usize]) -> bool {
        self.nodes += 1;
        if self.nodes > self.most_nodes || self.nodes.is_multiple_of(256) && !(self.go_on)() {
            return false;
        }
        let dark: i64 = dark_items.iter().map(|item| cost(self.problem, Level::Dark, *item, None)).sum();
        if self.is_hopeless(regret, dark) {
            return true;
        }
        if open.is_empty() {
            let score = self.state.ordered();
            if score[..=self.level] < self.best[..=self.level] {
                self.best = score;
                (self.better)(&self.state);
            }
            return true;
        }
        let Some((item, ways)) = self.next(open, regret, dark, dark_items) else { return true };
        let rest: Vec<usize> = open.iter().copied().filter(|other| *other != item).collect();
        for way in ways {
            if self.is_hopeless(regret + way.regret, dark) {
                break;
            }
            let ended = if let Some(choice) = way.choice {
                self.state.place(item, choice);
                let ended = self.go(&rest, regret + way.regret, dark_items);
                self.state.lift(item);
                ended
            } else {
                let mut more = dark_items.to_vec();
                more.push(item);
                self.go(&rest, regret + way.regret, &more)
            };
            if !ended {
                return false;
            }
        }
        true
    }

    /// The item to decide next, with its ways that are left; `None` where the ways left cost too much.
    fn next(
        &self,
        open: &[usize],
        regret: f64,
        dark: i64,
        dark_items: &[usize],
    ) -> Option<(usize, Vec<Way>)> {
        let mut picked: Option<(usize, usize, Vec<Way>)> = None;
        let mut total = regret;
        for item in open {
            let mut first = None;
            let mut ways = Vec::new();
            for way in &self.ways[*item] {
                if self.is_hopeless(regret + way.regret, dark) {
                    break;
                }
                if !self.is_in_turn(*item, way.choice, dark_items) {
                    continue;
                }
                if way.choice.is_none_or(|choice| self.state.fits(*item, choice)) {
                    first = first.or(Some(way.regret));
                    ways.push(*way);
                }
            }
            total += first?;
            if picked.as_ref().is_none_or(|(least, ..)| ways.len() < *least) {
                picked = Some((ways.len(), *item, ways));
            }
        }
        if self.is_hopeless(total, dark) {
            return None;
        }
        picked.map(|(_, item, ways)| (item, ways))
    }

    /// Alike items take their choices in falling order of place, so that each set of choices is tried once:
    /// one may not take a later choice than a twin before it, nor an earlier one than a twin after it.
    fn is_in_turn(&self, item: usize, choice: Option<usize>, dark_items: &[usize]) -> bool {
        let rank = |choice: Option<usize>| choice.unwrap_or(usize::MAX);
        let own = rank(choice);
        for (other, kind) in self.alike.iter().enumerate() {
            if other == item || *kind != self.alike[item] {
                continue;
            }
            let theirs = match self.state.chosen[other] {
                Some(choice) => choice,
                None if dark_items.contains(&other) => usize::MAX,
                None => continue,
            };
            if (other < item && theirs > own) || (other > item && theirs < own) {
                return false;
            }
        }
        true
    }
}
