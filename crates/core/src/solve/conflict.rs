//! Why items cannot all be placed: a set of them, and limits that no placement of that set keeps.
//!
//! Found by leaving out, one after the other, what it does not take (a deletion filter; Chinneck 2008, Feasibility
//! and Infeasibility in Optimization, from memory). Whatever is left out was proven not to be needed, so that what is
//! left is a reason, if not always the shortest one.

use super::engine::{Answer, Effort, Progress, solve};
use super::problem::{Item, Level, Problem, Score};

/// A limit of a problem.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Limit {
    /// A row's, lowered or not.
    Row(usize),
    /// A device that drops for sure.
    Device(usize),
    /// A pair of neighbours, by its place.
    Neighbours(usize),
    /// A set that may not be chosen together, by its place.
    Excluded(usize),
}

impl Limit {
    /// All of a problem's.
    #[must_use]
    pub fn all_of(problem: &Problem) -> Vec<Self> {
        let rows = (0..problem.rows.len()).map(Self::Row);
        let devices = (0..problem.devices.len()).map(Self::Device);
        let neighbours = (0..problem.neighbours.len()).map(Self::Neighbours);
        let excluded = (0..problem.excluded.len()).map(Self::Excluded);
        rows.chain(devices).chain(neighbours).chain(excluded).collect()
    }
}

/// Items that cannot all be placed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Conflict {
    /// The items; fixed ones are in their places besides.
    pub items: Vec<usize>,
    /// The groups of limits, by their place, at least one limit of which every placement of all the items breaks.
    /// Empty where an item has no choice at all.
    pub groups: Vec<usize>,
}

/// The reason why `item` is dark in a placement that lights as much as any: `None` where none was proven in time.
///
/// `groups` are kinds of limits; every limit is in one of them. One kind alone is looked for first.
pub fn conflict(
    problem: &Problem,
    chosen: &[Option<usize>],
    item: usize,
    groups: &[Vec<Limit>],
    effort: Effort,
    go_on: &mut dyn FnMut(&Progress) -> bool,
) -> Option<Conflict> {
    let mut is_out = |items: &[usize], kept: &[usize]| {
        let limits: Vec<Limit> = kept.iter().flat_map(|group| groups[*group].iter().copied()).collect();
        is_infeasible(&only(problem, items, &limits), effort, go_on)
    };
    if problem.items[item].choices.is_empty() {
        return Some(Conflict { items: vec![item], groups: Vec::new() });
    }
    let all: Vec<usize> = (0..groups.len()).collect();
    let lit = (0..problem.items.len()).filter(|at| chosen[*at].is_some() && !problem.items[*at].is_fixed);
    let with_lit: Vec<usize> = std::iter::once(item).chain(lit).collect();
    let mut items = [vec![item], with_lit].into_iter().find(|items| is_out(items, &all))?;
    let mut kept = match all.iter().find(|group| is_out(&items, &[**group])) {
        Some(alone) => vec![*alone],
        None => shortened(all, |kept| is_out(&items, kept)),
    };
    let others = shortened(items.split_off(1), |others| {
        let with: Vec<usize> = std::iter::once(item).chain(others.iter().copied()).collect();
        is_out(&with, &kept)
    });
    items.extend(others);
    kept = shortened(kept, |kept| is_out(&items, kept));
    Some(Conflict { items, groups: kept })
}

/// Leaves out one after the other what is not needed.
fn shortened(mut all: Vec<usize>, mut still: impl FnMut(&[usize]) -> bool) -> Vec<usize> {
    let mut at = 0;
    while at < all.len() {
        let left = all.remove(at);
        if !still(&all) {
            all.insert(at, left);
            at += 1;
        }
    }
    all
}

/// The problem with only these items and the fixed ones, and only these limits; all else costs nothing.
fn only(problem: &Problem, items: &[usize], limits: &[Limit]) -> Problem {
    let mut less = problem.clone();
    less.levels = None;
    less.generators.iter_mut().for_each(|cost| *cost = 0);
    for (at, item) in less.items.iter_mut().enumerate() {
        item.importance = i64::from(items.contains(&at));
        if !items.contains(&at) && !item.is_fixed {
            *item = Item::default();
        }
        for choice in &mut item.choices {
            (choice.moved, choice.metres, choice.unprotected) = (0, 0, 0);
        }
    }
    for (at, row) in less.rows.iter_mut().enumerate() {
        if !limits.contains(&Limit::Row(at)) {
            (row.limit, row.lowered, row.family) = (i64::MAX / 4, None, None);
        }
    }
    for (at, device) in less.devices.iter_mut().enumerate() {
        // Odds are no matter here.
        device.low = device.high.map_or(device.low, |high| device.low.max(high - 1));
        if !limits.contains(&Limit::Device(at)) {
            device.high = None;
        }
    }
    let mut at = 0..problem.neighbours.len();
    less.neighbours.retain(|_| at.next().is_some_and(|at| limits.contains(&Limit::Neighbours(at))));
    let mut at = 0..problem.excluded.len();
    less.excluded.retain(|_| at.next().is_some_and(|at| limits.contains(&Limit::Excluded(at))));
    less
}

/// Whether it is proven that not all items can be placed.
fn is_infeasible(problem: &Problem, effort: Effort, go_on: &mut dyn FnMut(&Progress) -> bool) -> bool {
    let dark = |score: &Score| score.of(Level::Dark);
    let solution = solve(problem, effort, &mut |now| now.proven == 0 && dark(&now.best) > 0 && go_on(now));
    solution.answer == Answer::None || dark(&solution.bound) > 0
}
