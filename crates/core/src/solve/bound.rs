//! What no placement can beat: Lagrangian bounds with reduced costs, and counting certificates.

use super::filled::fullest;
use super::problem::{Choice, LEVELS, Level, Problem};
use super::search::Terrain;

/// Steps of the subgradient.
const STEPS: usize = 500;
/// A bound is rounded up but for this much, so that rounding of the multipliers' sums proves nothing.
const SLACK: f64 = 1e-6;

/// One way for an item, with what the relaxation makes of it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Way {
    /// `None`: dark.
    pub choice: Option<usize>,
    /// How much more than the item's cheapest way it costs, reduced.
    pub regret: f64,
}

/// The relaxation of one level, those above it held.
#[derive(Clone, Debug)]
pub(super) struct Relaxed {
    /// No placement costs less at this level.
    pub floor: f64,
    /// Ways of each item, the cheapest first.
    pub ways: Vec<Vec<Way>>,
}

impl Relaxed {
    /// The least whole number that the level can come to.
    #[expect(clippy::cast_possible_truncation, reason = "far under 2^53")]
    pub fn whole(&self, step: i64) -> i64 {
        let floor = (self.floor - SLACK * self.floor.abs().max(1.0)).ceil() as i64;
        let step = step.max(1);
        floor.max(0).div_euclid(step) * step + if floor.max(0).rem_euclid(step) == 0 { 0 } else { step }
    }
}

/// What an item's way costs at a level that adds up.
pub(super) fn cost(problem: &Problem, level: Level, item: usize, choice: Option<usize>) -> i64 {
    let Some(choice) = choice else {
        return if level == Level::Dark { problem.items[item].importance } else { 0 };
    };
    let choice = &problem.items[item].choices[choice];
    match level {
        Level::Moves => choice.moved,
        Level::Metres => choice.metres,
        Level::Unprotected => choice.unprotected,
        Level::Dark | Level::Generator | Level::Odds => 0,
    }
}

/// Whether the level of a whole is the sum of its items'.
const fn adds_up(level: Level) -> bool {
    !matches!(level, Level::Generator | Level::Odds)
}

/// The largest number that divides every cost of a level.
pub(super) fn step_of(problem: &Problem, level: Level) -> i64 {
    if !adds_up(level) {
        return 1;
    }
    let gcd = |mut a: i64, mut b: i64| {
        while b != 0 {
            (a, b) = (b, a % b);
        }
        a.abs()
    };
    let mut step = 0;
    for (at, item) in problem.items.iter().enumerate() {
        step = gcd(step, cost(problem, level, at, None));
        for choice in 0..item.choices.len() {
            step = gcd(step, cost(problem, level, at, Some(choice)));
        }
    }
    step.max(1)
}

/// Ways of an item that the levels above leave: none that alone costs more there than is allowed.
fn ways_of(
    problem: &Problem,
    terrain: &Terrain<'_>,
    item: usize,
    held: &[(Level, i64)],
) -> Vec<Option<usize>> {
    let node = &problem.items[item];
    let most = |level: Level| held.iter().find(|(own, _)| *own == level).map(|(_, most)| *most);
    let is_left = |choice: &Choice| {
        let over = |level: Level, cost: i64| most(level).is_some_and(|most| cost > most);
        let generators: i64 = choice.generators.iter().map(|at| problem.generators[*at]).sum();
        !over(Level::Moves, choice.moved)
            && !over(Level::Metres, choice.metres)
            && !over(Level::Unprotected, choice.unprotected)
            && !over(Level::Generator, generators)
    };
    let mut ways: Vec<Option<usize>> =
        terrain.allowed[item].iter().copied().filter(|at| is_left(&node.choices[*at])).map(Some).collect();
    if !node.is_fixed && most(Level::Dark).is_none_or(|most| node.importance <= most) {
        ways.push(None);
    }
    ways
}

/// A row of the relaxation, scaled to a limit of 1 where that is over 0.
struct Scaled {
    row: usize,
    by: f64,
    limit: f64,
}

#[expect(clippy::cast_precision_loss, reason = "a bound; rounded down by more than is lost here")]
pub(super) const fn real(number: i64) -> f64 {
    number as f64
}

/// One way of one item, as the relaxation sees it.
struct Column {
    choice: Option<usize>,
    cost: f64,
    loads: Vec<(usize, f64)>,
}

/// Relaxes a level with the levels above it held to what they came to. `target` is what the best placement
/// known costs there. `None`: an item has no way at all, so that nothing can be placed so. Where `go_on` says
/// no, it leaves what it has come to.
pub(super) fn relax(
    terrain: &Terrain<'_>,
    level: Level,
    held: &[(Level, i64)],
    target: i64,
    go_on: &mut dyn FnMut() -> bool,
) -> Option<Relaxed> {
    let problem = terrain.problem;
    let mut limits: Vec<Scaled> = fullest(terrain)
        .into_iter()
        .enumerate()
        .map(|(row, limit)| {
            let by = if limit > 0 { 1.0 / real(limit) } else { 1.0 };
            Scaled { row, by, limit: real(limit.max(0)) * by }
        })
        .collect();
    let held_rows: Vec<(Level, usize)> = held
        .iter()
        .filter(|(own, most)| adds_up(*own) && *most > 0)
        .map(|(own, most)| {
            limits.push(Scaled { row: usize::MAX, by: 1.0 / real(*most), limit: 1.0 });
            (*own, limits.len() - 1)
        })
        .collect();
    let mut columns: Vec<Vec<Column>> = Vec::with_capacity(problem.items.len());
    for item in 0..problem.items.len() {
        let ways = ways_of(problem, terrain, item, held);
        if ways.is_empty() {
            return None;
        }
        let column = |choice: Option<usize>| {
            let own = choice.map_or(&[][..], |at| &problem.items[item].choices[at].loads);
            let mut loads: Vec<(usize, f64)> =
                own.iter().map(|load| (load.row, real(load.amount) * limits[load.row].by)).collect();
            for (own, row) in &held_rows {
                let cost = cost(problem, *own, item, choice);
                if cost > 0 {
                    loads.push((*row, real(cost) * limits[*row].by));
                }
            }
            Column { choice, cost: real(cost(problem, level, item, choice)), loads }
        };
        columns.push(ways.into_iter().map(column).collect());
    }
    debug_assert!(limits.iter().enumerate().all(|(at, scaled)| scaled.row == at || scaled.row == usize::MAX));
    Some(subgradient(&columns, &limits, real(target), go_on))
}

fn reduced(column: &Column, multipliers: &[f64]) -> f64 {
    column.loads.iter().map(|(row, amount)| multipliers[*row] * amount).sum::<f64>() + column.cost
}

/// Follows the subgradient of the dual, and keeps the multipliers of the highest floor. Any are good for a
/// bound: it may end early.
fn subgradient(
    columns: &[Vec<Column>],
    limits: &[Scaled],
    target: f64,
    go_on: &mut dyn FnMut() -> bool,
) -> Relaxed {
    let mut multipliers = vec![0.0_f64; limits.len()];
    let mut best = (f64::NEG_INFINITY, multipliers.clone());
    let (mut share, mut since) = (1.0_f64, 0_usize);
    for step in 0..STEPS {
        if step % 16 == 0 && !go_on() {
            break;
        }
        let mut slope: Vec<f64> = limits.iter().map(|row| -row.limit).collect();
        let mut floor: f64 = -limits.iter().zip(&multipliers).map(|(row, by)| row.limit * by).sum::<f64>();
        for ways in columns {
            let mut least = (f64::INFINITY, 0);
            for (at, column) in ways.iter().enumerate() {
                let cost = reduced(column, &multipliers);
                if cost < least.0 {
                    least = (cost, at);
                }
            }
            floor += least.0;
            for (row, amount) in &ways[least.1].loads {
                slope[*row] += amount;
            }
        }
        if floor > best.0 + 1e-9 {
            best = (floor, multipliers.clone());
            since = 0;
        } else {
            since += 1;
            if since >= 12 {
                (share, since) = (share * 0.7, 0);
            }
        }
        let steep: f64 = slope
            .iter()
            .zip(&multipliers)
            .map(|(slope, by)| if *slope < 0.0 && *by <= 0.0 { 0.0 } else { slope * slope })
            .sum();
        if steep < 1e-12 || floor >= target - 1e-9 || share < 1e-4 {
            break;
        }
        let stride = share * (target * 1.02 + 0.5 - floor).max(0.01) / steep;
        for (by, slope) in multipliers.iter_mut().zip(&slope) {
            *by = (*by + stride * slope).max(0.0);
        }
    }
    let (_, multipliers) = best;
    let mut floor: f64 = -limits.iter().zip(&multipliers).map(|(row, by)| row.limit * by).sum::<f64>();
    let mut ways = Vec::with_capacity(columns.len());
    for of_item in columns {
        let mut own: Vec<Way> = of_item
            .iter()
            .map(|column| Way { choice: column.choice, regret: reduced(column, &multipliers) })
            .collect();
        own.sort_by(|a, b| a.regret.total_cmp(&b.regret).then(b.choice.is_some().cmp(&a.choice.is_some())));
        let least = own.first().map_or(0.0, |way| way.regret);
        floor += least;
        for way in &mut own {
            way.regret -= least;
        }
        ways.push(own);
    }
    Relaxed { floor, ways }
}

/// Importance that must stay dark by counting: of the items that take at least so much from one row of a
/// family wherever they go, no more find a place than the limits have room for, each rounded down.
pub(super) fn counted(terrain: &Terrain<'_>) -> i64 {
    let problem = terrain.problem;
    let families = problem.rows.iter().filter_map(|row| row.family).max().map_or(0, |most| most + 1);
    let mut limits: Vec<Vec<i64>> = vec![Vec::new(); families];
    let fixed = terrain.fixed();
    for (at, row) in problem.rows.iter().enumerate() {
        if let Some(family) = row.family {
            limits[family].push((row.limit - fixed.used(at)).max(0));
        }
    }
    let mut takes: Vec<Vec<(i64, i64)>> = vec![Vec::new(); families];
    for (at, item) in problem.items.iter().enumerate() {
        if item.is_fixed {
            continue;
        }
        let mut least: Vec<Option<i64>> = vec![None; families];
        for (count, choice) in terrain.allowed[at].iter().enumerate() {
            let mut most = vec![0_i64; families];
            for load in &item.choices[*choice].loads {
                if let Some(family) = problem.rows[load.row].family {
                    most[family] = most[family].max(load.amount);
                }
            }
            for (least, most) in least.iter_mut().zip(most) {
                *least = if count == 0 { Some(most) } else { least.map(|least| least.min(most)) };
            }
        }
        for (family, least) in least.into_iter().enumerate() {
            if let Some(amount) = least.filter(|amount| *amount > 0) {
                takes[family].push((amount, item.importance));
            }
        }
    }
    let of_family = |(takes, limits): (&Vec<(i64, i64)>, &Vec<i64>)| dark_by_count(takes, limits);
    let none = problem
        .items
        .iter()
        .enumerate()
        .filter(|(at, item)| !item.is_fixed && terrain.allowed[*at].is_empty());
    let nowhere: i64 = none.map(|(_, item)| item.importance).sum();
    takes.iter().zip(&limits).map(of_family).max().unwrap_or(0) + nowhere
}

fn dark_by_count(takes: &[(i64, i64)], limits: &[i64]) -> i64 {
    let mut most = 0;
    let mut amounts: Vec<i64> = takes.iter().map(|(amount, _)| *amount).collect();
    amounts.sort_unstable();
    amounts.dedup();
    for least in amounts {
        let mut important: Vec<i64> =
            takes.iter().filter(|(amount, _)| *amount >= least).map(|(_, importance)| *importance).collect();
        let room: i64 = limits.iter().map(|limit| limit / least).sum();
        let room = usize::try_from(room).unwrap_or(usize::MAX);
        if important.len() > room {
            important.sort_unstable();
            most = most.max(important[..important.len() - room].iter().sum());
        }
    }
    most
}

/// The levels before one in an order, with what a placement costs there.
pub(super) fn held(order: [Level; LEVELS], upto: usize, score: &super::Score) -> Vec<(Level, i64)> {
    order[..upto].iter().map(|level| (*level, score.of(*level))).collect()
}
