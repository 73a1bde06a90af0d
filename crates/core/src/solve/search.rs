//! An answer: greedily, then by taking related heads out and putting them back.

use super::problem::{Choice, Item, LEVELS, Level, Problem};
use super::state::State;

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
    #[expect(clippy::cast_possible_truncation, reason = "a remainder under a length")]
    pub fn under(&mut self, count: usize) -> usize {
        (self.next() % count.max(1) as u64) as usize
    }
}

/// Rounds from hot to cold, after which the search goes on from the best: each time twice as many, up to the
/// longest. Short ones polish, long ones lead away.
const SHORTEST: usize = 2_048;
const LONGEST: usize = 16_384;

/// Everything about a problem that a search asks for again and again.
pub(super) struct Terrain<'a> {
    pub problem: &'a Problem,
    /// Which choices may be used, what costs least by itself first.
    pub allowed: Vec<Vec<usize>>,
    /// What each of them adds to the levels at least, in their order.
    least: Vec<Vec<[i64; LEVELS]>>,
    /// Items that may be moved.
    free: Vec<usize>,
    /// How hard an item is to place: the largest share of a row that its choices take.
    hardness: Vec<i64>,
    /// Items with a choice that loads a row.
    on_row: Vec<Vec<usize>>,
}

fn whole(count: usize) -> i64 {
    i64::try_from(count).unwrap_or(i64::MAX)
}

/// Whether a placement is worse in length of lead alone, and by less than a thrown dice allows; less and less
/// as the rounds run out. (Annealing: Kirkpatrick, Gelatt and Vecchi 1983, from memory.)
fn is_little_worse(
    now: &[i64; LEVELS],
    before: &[i64; LEVELS],
    metres: Option<usize>,
    left: usize,
    rounds: usize,
    items: usize,
    dice: &mut Dice,
) -> bool {
    let Some(at) = metres else { return false };
    if now[..at] != before[..at] {
        return false;
    }
    // What an item has on average, or of many items a share of the whole.
    let hottest = (before[at] / whole(items.max(1))).max(before[at] * 16 / 1000);
    let most = hottest * whole(left) / whole(rounds.max(1));
    let thrown = whole(dice.under(1 << 20));
    // Small steps more often than large ones.
    let allowed = (most * ((thrown * thrown) >> 20)) >> 20;
    now[at] - before[at] <= allowed
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
                allowed.sort_by_key(|at| least(&item.choices[*at]));
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
        let mut on_row = vec![Vec::new(); problem.rows.len()];
        for item in &free {
            for choice in &allowed[*item] {
                for load in &problem.items[*item].choices[*choice].loads {
                    if on_row[load.row].last() != Some(item) {
                        on_row[load.row].push(*item);
                    }
                }
            }
        }
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
        Self { problem, allowed, least, free, hardness, on_row }
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

    /// Places as many of these as fit, each where it costs least; one in `noise` takes its second best.
    fn fill(&self, state: &mut State<'a>, order: &[usize], dice: &mut Dice, noise: usize) {
        let levels = self.problem.order();
        let dark = levels.iter().position(|level| *level == Level::Dark);
        for item in order {
            let mut best: Option<([i64; LEVELS], usize)> = None;
            let mut second: Option<([i64; LEVELS], usize)> = None;
            let takes_second = noise > 0 && dice.under(noise) == 0;
            let mut without = state.ordered();
            if let Some(dark) = dark {
                without[dark] -= self.problem.items[*item].importance;
            }
            for (choice, least) in self.allowed[*item].iter().zip(&self.least[*item]) {
                let enough = if takes_second { second } else { best };
                // No later one costs less.
                if enough.is_some_and(|(score, _)| std::array::from_fn(|at| without[at] + least[at]) >= score)
                {
                    break;
                }
                if !state.fits(*item, *choice) {
                    continue;
                }
                let score = state.score_with(*item, *choice).in_order(&levels);
                if best.is_none_or(|(least, _)| score < least) {
                    second = best;
                    best = Some((score, *choice));
                } else if second.is_none_or(|(least, _)| score < least) {
                    second = Some((score, *choice));
                }
            }
            let picked = if takes_second { second.or(best) } else { best };
            if let Some((_, choice)) = picked {
                state.place(*item, choice);
            }
        }
    }

    /// The hardest first, over what is fixed.
    pub fn construct(&self) -> State<'a> {
        let mut state = self.fixed();
        let mut order = self.free.clone();
        order.sort_by_key(|item| std::cmp::Reverse(self.hardness[*item]));
        self.fill(&mut state, &order, &mut Dice::new(0), 0);
        state
    }

    /// Takes related items out and puts them back, so many times; better ones are kept, and told to
    /// `better`. Ends early where `go_on` says no: then `false`.
    pub fn improve(
        &self,
        state: &mut State<'a>,
        rounds: usize,
        dice: &mut Dice,
        go_on: &mut dyn FnMut(&State<'a>) -> bool,
    ) -> bool {
        if self.free.is_empty() {
            return true;
        }
        let mut best = (state.ordered(), state.tightest(), state.clone());
        let metres = self.problem.order().iter().position(|level| *level == Level::Metres);
        // What a generator is needed for, the sets of those that may run settle.
        let levels = self.problem.order();
        let is_open = |score: &[i64; LEVELS]| {
            let upper = levels.iter().zip(score).take(metres.unwrap_or(0));
            upper.into_iter().any(|(level, cost)| *cost > 0 && *level != Level::Generator)
        };
        let (mut cycle, mut turn, mut length) = (rounds.min(SHORTEST), 0, SHORTEST);
        for round in 0..rounds {
            if turn == cycle {
                length = if length == LONGEST { SHORTEST } else { length * 2 };
                (cycle, turn) = (length.min(rounds - round), 0);
                state.clone_from(&best.2);
            }
            let left = cycle - turn;
            turn += 1;
            // What stays dark is settled by what stands elsewhere: at first lengths do not count.
            let is_blind = left > cycle / 2 && is_open(&best.0);
            if round % 32 == 0 && !go_on(&best.2) {
                *state = best.2;
                return false;
            }
            let out = self.related(state, dice);
            let before: Vec<(usize, Option<usize>)> =
                out.iter().map(|item| (*item, state.chosen[*item])).collect();
            let score = state.ordered();
            for item in &out {
                state.lift(*item);
            }
            self.fill(state, &out, dice, 8);
            let now = state.ordered();
            if now < best.0 || now == best.0 && now != score && state.tightest() < best.1 {
                best = (now, state.tightest(), state.clone());
            }
            let is_kept = now <= score
                || is_blind && metres.is_some_and(|at| now[..at] <= score[..at])
                || is_little_worse(&now, &score, metres, left, cycle, self.free.len(), dice);
            if is_kept {
                continue;
            }
            for item in &out {
                state.lift(*item);
            }
            for (item, choice) in before {
                if let Some(choice) = choice {
                    state.place(item, choice);
                }
            }
        }
        *state = best.2;
        true
    }

    /// A few items that compete: one, and some that share a row with one of its choices, in an order in
    /// which to put them back.
    fn related(&self, state: &State<'a>, dice: &mut Dice) -> Vec<usize> {
        let dark: Vec<usize> =
            self.free.iter().copied().filter(|item| state.chosen[*item].is_none()).collect();
        let seed = if !dark.is_empty() && dice.under(2) == 0 {
            dark[dice.under(dark.len())]
        } else {
            self.free[dice.under(self.free.len())]
        };
        let count = 2 + dice.under(6);
        let mut out = vec![seed];
        let mut at = seed;
        for _ in 0..count * 3 {
            if out.len() >= count {
                break;
            }
            let choices = &self.allowed[at];
            let choice = &self.problem.items[at].choices[choices[dice.under(choices.len())]];
            if choice.loads.is_empty() {
                continue;
            }
            let row = choice.loads[dice.under(choice.loads.len())].row;
            let others = &self.on_row[row];
            let next = others[dice.under(others.len())];
            let is_there = |item: usize| {
                state.chosen[item].is_none_or(|choice| {
                    self.problem.items[item].choices[choice].loads.iter().any(|load| load.row == row)
                })
            };
            if !out.contains(&next) && (is_there(next) || dice.under(4) == 0) {
                out.push(next);
                if dice.under(2) == 0 {
                    at = next;
                }
            }
        }
        match dice.under(3) {
            0 => out.sort_by_key(|item| std::cmp::Reverse(self.hardness[*item])),
            _ => {
                for place in (1..out.len()).rev() {
                    out.swap(place, dice.under(place + 1));
                }
            }
        }
        out
    }
}
