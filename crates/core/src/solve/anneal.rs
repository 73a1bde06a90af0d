//! The search itself: an item is put where it wants to be, those in its way are put elsewhere or put others
//! out in turn, and the whole is kept if it is better, or a little worse while it is hot.
//!
//! Chains of ejections are common in generalized assignment (Yagiura, Ibaraki and Glover 2004, INFORMS
//! Journal on Computing 16(2), from memory); annealing is of Kirkpatrick, Gelatt and Vecchi 1983, from memory.
//! All of it is in whole numbers, so that it goes the same way on every machine.

mod board;
mod loosen;

use board::Board;

use super::problem::{CERTAIN, LEVELS, Level};
use super::search::{Dice, Terrain, Which, whole};
use super::state::{Broken, State};

/// Items that a round touches at most: the first, and a chain of those that make room.
const MOST: usize = 6;
/// One of so many that are put back takes its second best.
const SECOND: usize = 8;
/// An item wants the cheapest of so many choices thrown: of more where lengths count.
const THROWS: (usize, usize) = (3, 2);
/// Lead that a placement may gain, in thousandths of what an item has: while it is hot, and once it is cold.
const LEAD: (i64, i64) = (300, 30);
/// It counts as so many of the smallest steps at least.
const LEAST: i64 = 5;
/// Steps of an upper level that it may lose, in thousandths, while lengths do not count.
const UPPER: (i64, i64) = (300, 100);
/// The same to begin with once they do; none in the end.
const LATER: i64 = 100;

/// Where a run from hot to cold is.
struct Heat {
    turn: i64,
    rounds: i64,
    /// Until when lengths do not count: what stays dark is settled by what stands elsewhere.
    blind_until: i64,
}

impl Heat {
    const fn is_blind(&self) -> bool {
        self.turn < self.blind_until
    }

    /// Thousandths of what an item has on average.
    const fn of_lead(&self) -> i64 {
        let share = (self.rounds - self.turn) * 1000 / self.rounds;
        let (hot, cold) = LEAD;
        cold + (hot - cold) * share / 1000 * share / 1000
    }

    /// Thousandths of a step of an upper level.
    const fn of_upper(&self) -> i64 {
        if self.is_blind() {
            let (hot, cold) = UPPER;
            return cold + (hot - cold) * (self.blind_until - self.turn) / self.blind_until;
        }
        LATER * (self.rounds - self.turn) / self.rounds
    }
}

/// A run from hot to cold.
struct Annealing<'t, 'a> {
    terrain: &'t Terrain<'a>,
    board: Board<'a>,
    dice: &'t mut Dice,
    heat: Heat,
    is_free: Vec<bool>,
    kinds: &'t [usize],
    levels: [Level; LEVELS],
    /// Where the length of lead is among the levels.
    metres: usize,
    /// Items that the round has touched, each with what it had.
    touched: Vec<(usize, Option<usize>)>,
    /// Those of them that wait for a place.
    waiting: Vec<usize>,
    /// One of so many that are put back takes its second best.
    second: usize,
}

impl<'a> Terrain<'a> {
    /// Searches on from a placement for so many rounds, from hot to cold; the best one found becomes it.
    /// The first `proven` levels cannot be bettered. Ends early where `go_on`, told the best, says no: then
    /// `false`.
    pub fn improve(
        &self,
        state: &mut State<'a>,
        (rounds, proven): (usize, usize),
        dice: &mut Dice,
        go_on: &mut dyn FnMut(&State<'a>) -> bool,
    ) -> bool {
        if self.free.is_empty() || rounds == 0 {
            return true;
        }
        let mut annealing = Annealing::new(self, state, rounds, dice);
        if annealing.is_open(state, proven) {
            annealing.heat.blind_until = annealing.heat.rounds / 2;
        }
        let mut now = state.ordered();
        let mut best = now;
        for round in 0..rounds {
            if round % 64 == 0 && !go_on(state) {
                return false;
            }
            annealing.heat.turn = whole(round);
            let Some(then) = annealing.round(&now) else { continue };
            now = then;
            if now < best {
                // What is found late is to have its lengths put right.
                if annealing.heat.is_blind() && now[..annealing.metres] < best[..annealing.metres] {
                    annealing.heat.blind_until = 0;
                }
                best = now;
                state.clone_from(&annealing.board);
            }
        }
        true
    }
}

impl<'t, 'a> Annealing<'t, 'a> {
    fn new(terrain: &'t Terrain<'a>, state: &State<'a>, rounds: usize, dice: &'t mut Dice) -> Self {
        let problem = terrain.problem;
        let levels = problem.order();
        let mut is_free = vec![false; problem.items.len()];
        terrain.free.iter().for_each(|item| is_free[*item] = true);
        Self {
            terrain,
            board: Board::new(state),
            dice,
            heat: Heat { turn: 0, rounds: whole(rounds), blind_until: 0 },
            is_free,
            kinds: &terrain.kinds,
            levels,
            metres: levels.iter().position(|level| *level == Level::Metres).unwrap_or(LEVELS),
            touched: Vec::new(),
            waiting: Vec::new(),
            second: SECOND,
        }
    }

    /// Whether a level above the length of lead may be bettered here. What a generator is needed for, the
    /// sets of those that may run settle.
    fn is_open(&self, state: &State<'a>, proven: usize) -> bool {
        let upper = self.levels[..self.metres].iter().skip(proven);
        upper.into_iter().any(|level| *level != Level::Generator && state.score.of(*level) > 0)
    }

    /// A round: what the placement costs then, if it is another one.
    fn round(&mut self, now: &[i64; LEVELS]) -> Option<[i64; LEVELS]> {
        let seed = self.seed();
        let choice = self.wish(seed);
        if self.board.chosen[seed] == Some(choice) {
            return None;
        }
        if self.chain(seed, choice) {
            let then = self.board.ordered();
            if self.is_kept(now, &then) {
                return Some(then);
            }
        }
        self.undo();
        None
    }

    /// The item to begin with: every other time one that is dark.
    fn seed(&mut self) -> usize {
        let free = &self.terrain.free;
        if self.board.score.of(Level::Dark) > 0 && self.dice.under(2) == 0 {
            let mut dark = free.iter().filter(|item| self.board.chosen[**item].is_none());
            let count = dark.clone().count();
            if let Some(item) = dark.nth(self.dice.under(count)) {
                return *item;
            }
        }
        free[self.dice.under(free.len())]
    }

    /// Where an item would like to be: the cheaper, the more often.
    fn wish(&mut self, item: usize) -> usize {
        let allowed = &self.terrain.allowed[item];
        let throws = if self.heat.is_blind() { THROWS.1 } else { THROWS.0 };
        let at = (0..throws).map(|_| self.dice.under(allowed.len())).min();
        allowed[at.unwrap_or(0)]
    }

    /// Puts an item to a choice, and finds places for those that were in its way. Whether it is there.
    fn chain(&mut self, seed: usize, choice: usize) -> bool {
        self.touched.clear();
        self.waiting.clear();
        self.touched.push((seed, self.board.chosen[seed]));
        self.board.lift(seed);
        if !self.push(seed, choice) {
            return false;
        }
        while !self.waiting.is_empty() {
            let item = self.waiting.swap_remove(self.dice.under(self.waiting.len()));
            let which = if self.dice.under(self.second) == 0 { Which::Second } else { Which::Best };
            if let Some(choice) = self.terrain.place_for(&self.board, item, which) {
                self.board.place(item, choice);
            } else if self.touched.len() < MOST {
                let choice = self.wish(item);
                self.push(item, choice);
            }
        }
        true
    }

    /// Puts an item to a choice, and out whoever is in its way. Whether that came to an end; if not, it is
    /// dark, and those put out wait all the same.
    fn push(&mut self, item: usize, choice: usize) -> bool {
        while let Some(broken) = self.board.breaks(item, choice) {
            if self.touched.len() >= MOST {
                return false;
            }
            let Some(other) = self.in_the_way(item, broken) else { return false };
            self.touched.push((other, self.board.chosen[other]));
            self.board.lift(other);
            self.waiting.push(other);
        }
        self.board.place(item, choice);
        true
    }

    /// One that makes room where a limit is broken. One like the item itself would make none.
    fn in_the_way(&mut self, item: usize, broken: Broken) -> Option<usize> {
        let (is_free, kinds, touched) = (&self.is_free, self.kinds, &self.touched);
        let may_go = |other: usize| {
            is_free[other] && kinds[other] != kinds[item] && touched.iter().all(|(own, _)| *own != other)
        };
        match broken {
            Broken::Row(row) => self.board.on_row(row, may_go, self.dice),
            Broken::Device(device) => self.board.behind(device, may_go, self.dice),
            Broken::Neighbours(_, other) => Some(other).filter(|other| may_go(*other)),
            Broken::Excluded(set) => {
                let mut members = self.terrain.problem.excluded[set].iter().map(|(other, _)| *other);
                members.find(|other| may_go(*other))
            }
        }
    }

    /// Whether a placement is kept after another one.
    fn is_kept(&mut self, now: &[i64; LEVELS], then: &[i64; LEVELS]) -> bool {
        let Some(at) = (0..LEVELS).find(|at| then[*at] != now[*at]) else { return true };
        let worse = then[at] - now[at];
        if worse < 0 || at > self.metres || at == self.metres && self.heat.is_blind() {
            return true;
        }
        let (unit, heat) = if at == self.metres {
            (
                (now[at] / whole(self.terrain.free.len())).max(self.terrain.steps[at] * LEAST),
                self.heat.of_lead(),
            )
        } else if self.levels[at] == Level::Odds {
            (CERTAIN / 10, self.heat.of_upper())
        } else {
            (self.terrain.steps[at], self.heat.of_upper())
        };
        worse.saturating_mul(1_000_000) <= unit.max(1).saturating_mul(heat * self.dice.patience())
    }

    /// Puts everything that the round has touched back.
    fn undo(&mut self) {
        for (item, _) in &self.touched {
            self.board.lift(*item);
        }
        for (item, before) in &self.touched {
            if let Some(choice) = before {
                self.board.place(*item, *choice);
            }
        }
    }
}
