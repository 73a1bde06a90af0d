//! A placement on which those who are in the way are found at once.

use std::ops::Deref;

use super::super::search::Dice;
use super::super::state::State;

/// A placement, with who loads which row and leaks through which device.
pub(super) struct Board<'a> {
    state: State<'a>,
    /// A bit an item, so many words for each row, then for each device.
    who: Vec<u64>,
    words: usize,
}

impl<'a> Deref for Board<'a> {
    type Target = State<'a>;

    fn deref(&self) -> &State<'a> {
        &self.state
    }
}

impl<'a> Board<'a> {
    pub fn new(state: &State<'a>) -> Self {
        let problem = state.problem;
        let words = problem.items.len().div_ceil(64).max(1);
        let lines = problem.rows.len() + problem.devices.len();
        let mut board = Self { state: state.clone(), who: vec![0; words * lines], words };
        for (item, choice) in state.chosen.iter().enumerate() {
            if let Some(choice) = choice {
                board.mark(item, *choice);
            }
        }
        board
    }

    /// Turns the marks of a choice on or off.
    fn mark(&mut self, item: usize, choice: usize) {
        let problem = self.state.problem;
        let (word, bit) = (item / 64, 1_u64 << (item % 64));
        let node = &problem.items[item].choices[choice];
        for load in &node.loads {
            self.who[load.row * self.words + word] ^= bit;
        }
        for leak in &node.leaks {
            self.who[(problem.rows.len() + leak.device) * self.words + word] ^= bit;
        }
    }

    /// Chooses for an item, whatever that breaks.
    pub fn place(&mut self, item: usize, choice: usize) {
        self.state.place(item, choice);
        self.mark(item, choice);
    }

    /// Takes an item out again.
    pub fn lift(&mut self, item: usize) {
        if let Some(choice) = self.state.chosen[item] {
            self.mark(item, choice);
            self.state.lift(item);
        }
    }

    /// One of those on a row that may go.
    pub fn on_row(&self, row: usize, may_go: impl Fn(usize) -> bool, dice: &mut Dice) -> Option<usize> {
        self.one_of(row, may_go, dice)
    }

    /// One of those behind a device that may go.
    pub fn behind(&self, device: usize, may_go: impl Fn(usize) -> bool, dice: &mut Dice) -> Option<usize> {
        self.one_of(self.state.problem.rows.len() + device, may_go, dice)
    }

    fn one_of(&self, line: usize, may_go: impl Fn(usize) -> bool, dice: &mut Dice) -> Option<usize> {
        let mut picked = None;
        let mut count = 0;
        for word in 0..self.words {
            let mut bits = self.who[line * self.words + word];
            while bits != 0 {
                let item = word * 64 + bits.trailing_zeros() as usize;
                bits &= bits - 1;
                if may_go(item) {
                    count += 1;
                    if dice.under(count) == 0 {
                        picked = Some(item);
                    }
                }
            }
        }
        picked
    }
}
