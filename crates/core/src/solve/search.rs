//! What a search asks for again and again, and a first answer: greedily.

use super::bound::step_of;
use super::problem::{Choice, Item, LEVELS, Level, Problem};
use super::prove::kinds;
use super::state::State;
use crate::order::Order as _;

/// Odd numbers from a seed (`SplitMix64`; Steele, Lea and Flood 2014, from memory).
#[derive(Clone, Copy, Debug)]
pub(super) struct Dice(u64);

impl Dice {
    pub const fn new(seed: u64) -> Self {
        Self(seed)
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// A number under `count`, which must not be 0.
    pub fn under(&mut self, count: usize) -> usize {
        (((self.next() >> 32) * count as u64) >> 32) as usize
    }

    /// How often a thing of even chances goes on, in thousandths of a life: about as an exponential
    /// distribution of mean 1000 has it, but in whole numbers, so that it is the same everywhere.
    pub fn patience(&mut self) -> i64 {
        const HALF_LIFE: i64 = 693;
        let bits = self.next();
        let halves = i64::from(bits.leading_zeros().min(40));
        let within = i64::try_from(bits & 0x3FF).unwrap_or(0);
        HALF_LIFE * halves + ((HALF_LIFE * within) >> 10)
    }
}

/// Everything about a problem that a search asks for again and again.
pub(super) struct Terrain<'a> {
    pub problem: &'a Problem,
    /// Which choices may be used, what costs least by itself first.
    pub allowed: Vec<Vec<usize>>,
    /// What each of them loads, side by side.
    loads: Vec<Loads>,
    /// What each of them adds to the levels at least, in their order.
    least: Vec<Vec<[i64; LEVELS]>>,
    /// Items that may be moved.
    pub free: Vec<usize>,
    /// How hard an item is to place: the largest share of a row that its choices take.
    hardness: Vec<i64>,
    /// Items of one kind share a number.
    pub kinds: Vec<usize>,
    /// The smallest step of each level, in their order.
    pub steps: [i64; LEVELS],
}

/// A length as a whole number.
pub(super) fn whole(count: usize) -> i64 {
    i64::try_from(count).unwrap_or(i64::MAX)
}

/// What the choices of an item load, the fullest rows first: most that do not fit are seen at once.
#[derive(Default)]
struct Loads {
    sums: Vec<(u32, i64)>,
    /// Where the loads of each choice end.
    ends: Vec<usize>,
    /// Choices that lower a limit, which `sums` alone does not tell.
    lowers: Vec<bool>,
}

impl Loads {
    fn new(problem: &Problem, item: &Item, allowed: &[usize]) -> Self {
        let mut all = Self::default();
        for choice in allowed {
            let choice = &item.choices[*choice];
            let mut own: Vec<&super::Load> = choice.loads.iter().filter(|load| load.amount > 0).collect();
            own.sort_by_key(|load| {
                std::cmp::Reverse(load.amount.saturating_mul(1000) / problem.rows[load.row].limit.max(1))
            });
            all.sums
                .extend(own.iter().map(|load| (u32::try_from(load.row).unwrap_or(u32::MAX), load.amount)));
            all.ends.push(all.sums.len());
            all.lowers.push(!choice.lowers.is_empty());
        }
        all
    }

    /// Whether the rows have room for a choice.
    fn fit(&self, at: usize, state: &State<'_>) -> bool {
        let from = if at == 0 { 0 } else { self.ends[at - 1] };
        self.sums[from..self.ends[at]].iter().all(|(row, amount)| state.left(*row as usize) >= *amount)
    }
}

/// Which of the places that an item may have.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Which {
    /// Where it costs least.
    Best,
    /// Where it costs second least, if there are two.
    Second,
}

/// What a choice adds to a level whatever else is placed.
const fn alone(choice: &Choice, level: Level) -> i64 {
    match level {
        Level::Moves => choice.moved,
        Level::Metres => choice.metres,
        Level::Unprotected => choice.unprotected,
        Level::Dark | Level::Generator | Level::Odds => 0,
    }
}

impl<'a> Terrain<'a> {
    /// With the choices that `allows`.
    pub fn new(problem: &'a Problem, allows: impl Fn(&Choice) -> bool) -> Self {
        let levels = problem.order();
        let least = |choice: &Choice| levels.map(|level| alone(choice, level));
        let allowed: Vec<Vec<usize>> = problem
            .items
            .iter()
            .map(|item| {
                let may = |at: &usize| item.is_fixed || allows(&item.choices[*at]);
                let mut allowed: Vec<usize> = (0..item.choices.len()).filter(may).collect();
                allowed.order_by_key(|at| least(&item.choices[*at]));
                allowed
            })
            .collect();
        let of_item = |(item, allowed): (&Item, &Vec<usize>)| {
            allowed.iter().map(|at| least(&item.choices[*at])).collect()
        };
        let least = problem.items.iter().zip(&allowed).map(of_item).collect();
        let free =
            (0..problem.items.len()).filter(|at| !problem.items[*at].is_fixed && !allowed[*at].is_empty());
        let free: Vec<usize> = free.collect();
        let share = |choice: &Choice| {
            let of_load =
                |load: &super::Load| load.amount.saturating_mul(1000) / problem.rows[load.row].limit.max(1);
            choice.loads.iter().map(of_load).sum::<i64>()
        };
        let hardness = problem
            .items
            .iter()
            .zip(&allowed)
            .map(|(item, allowed)| {
                let least = allowed.iter().map(|at| share(&item.choices[*at])).min().unwrap_or(0);
                least.saturating_mul(item.importance.max(1)) * 64
                    / i64::try_from(allowed.len().max(1)).unwrap_or(1)
            })
            .collect();
        let steps = levels.map(|level| step_of(problem, level));
        let loads = problem.items.iter().zip(&allowed);
        let loads = loads.map(|(item, allowed)| Loads::new(problem, item, allowed)).collect();
        Self { problem, allowed, loads, least, free, hardness, kinds: kinds(problem), steps }
    }

    /// Places every fixed item, whatever that breaks.
    pub fn fixed(&self) -> State<'a> {
        let mut state = State::new(self.problem);
        for (at, item) in self.problem.items.iter().enumerate() {
            if item.is_fixed && !item.choices.is_empty() {
                state.place(at, 0);
            }
        }
        state
    }

    /// Where an item costs least of where it fits; or second least, where there are two.
    pub fn place_for(&self, state: &State<'a>, item: usize, which: Which) -> Option<usize> {
        let levels = self.problem.order();
        let mut best: Option<([i64; LEVELS], usize)> = None;
        let mut second: Option<([i64; LEVELS], usize)> = None;
        let mut without = state.ordered();
        if let Some(dark) = levels.iter().position(|level| *level == Level::Dark) {
            without[dark] -= self.problem.items[item].importance;
        }
        let loads = &self.loads[item];
        for (at, (choice, least)) in self.allowed[item].iter().zip(&self.least[item]).enumerate() {
            let enough = if which == Which::Second { second } else { best };
            // No later one costs less.
            if enough.is_some_and(|(score, _)| std::array::from_fn(|at| without[at] + least[at]) >= score) {
                break;
            }
            let fits = loads.fit(at, state)
                && if loads.lowers[at] {
                    state.fits(item, *choice)
                } else {
                    state.fits_besides_rows(item, *choice)
                };
            if !fits {
                continue;
            }
            let score = state.score_with(item, *choice).in_order(&levels);
            if best.is_none_or(|(least, _)| score < least) {
                second = best;
                best = Some((score, *choice));
            } else if second.is_none_or(|(least, _)| score < least) {
                second = Some((score, *choice));
            }
        }
        let picked = if which == Which::Second { second.or(best) } else { best };
        picked.map(|(_, choice)| choice)
    }

    /// The hardest first, over what is fixed.
    pub fn construct(&self) -> State<'a> {
        let mut state = self.fixed();
        let mut order = self.free.clone();
        order.sort_by_key(|item| std::cmp::Reverse(self.hardness[*item]));
        for item in order {
            if let Some(choice) = self.place_for(&state, item, Which::Best) {
                state.place(item, choice);
            }
        }
        state
    }
}
