//! Of placements that cost the same on every level, one whose fullest row is less full.

use super::super::problem::Choice;
use super::super::search::{Dice, Terrain};
use super::super::state::State;
use super::Annealing;

/// One of so many that are put back takes its second best, which often costs the same.
const SECOND: usize = 2;
/// Of so many wishes all but one are for what costs the same.
const DEAR: usize = 4;

/// How full rows are, in thousandths: the fullest, then all of them, the fuller the heavier.
type Fullness = (i64, i128);

impl<'a> Terrain<'a> {
    /// Searches on among placements that cost what this one does, for so many rounds. Ends early where
    /// `go_on` says no.
    pub fn loosen(
        &self,
        state: &mut State<'a>,
        rounds: usize,
        dice: &mut Dice,
        go_on: &mut dyn FnMut() -> bool,
    ) {
        let rows = &self.problem.rows;
        let counts: Vec<usize> =
            (0..rows.len()).filter(|row| rows[*row].is_headroom && rows[*row].limit > 0).collect();
        if self.free.is_empty() || rounds == 0 || counts.is_empty() {
            return;
        }
        let mut annealing = Annealing::new(self, state, rounds, dice);
        annealing.second = SECOND;
        let cost = state.ordered();
        let mut fullness = fullness(state, &counts);
        for round in 0..rounds {
            if round % 64 == 0 && !go_on() {
                break;
            }
            let Some((seed, choice)) = annealing.looser(&counts) else { break };
            let came = annealing.board.chosen[seed] != Some(choice) && annealing.chain(seed, choice);
            if came && annealing.board.ordered() == cost && annealing.lights_the_same() {
                let then = self::fullness(&annealing.board, &counts);
                if then <= fullness {
                    fullness = then;
                    continue;
                }
            }
            annealing.undo();
        }
        state.clone_from(&annealing.board);
    }
}

impl Annealing<'_, '_> {
    /// Whether a round has left those dark that were: to leave another one dark for looseness' sake would
    /// leave the largest.
    fn lights_the_same(&self) -> bool {
        self.touched.iter().all(|(item, was)| was.is_some() == self.board.chosen[*item].is_some())
    }

    /// One of those on the fullest row, and where it might go; `None` where they all stay.
    fn looser(&mut self, counts: &[usize]) -> Option<(usize, usize)> {
        let row = *counts.iter().max_by_key(|row| self.board.share(**row))?;
        let (is_free, allowed) = (&self.is_free, &self.terrain.allowed);
        let seed = self.board.on_row(row, |item| is_free[item] && allowed[item].len() > 1, self.dice)?;
        let choices = &self.terrain.problem.items[seed].choices;
        let now = self.board.chosen[seed]?;
        let is_alike = |at: &usize| {
            let (own, other) = (&choices[now], &choices[*at]);
            let costs =
                |choice: &Choice| (choice.moved, choice.metres, choice.unprotected, choice.generators.len());
            costs(own) == costs(other)
        };
        let alike: Vec<usize> = allowed[seed].iter().copied().filter(is_alike).collect();
        let from = if self.dice.under(DEAR) == 0 { &allowed[seed] } else { &alike };
        Some((seed, from[self.dice.under(from.len())]))
    }
}

fn fullness(state: &State<'_>, counts: &[usize]) -> Fullness {
    let shares = || counts.iter().map(|row| state.share(*row));
    let all = shares().map(|share| i128::from(share) * i128::from(share) * i128::from(share)).sum();
    (shares().max().unwrap_or(0), all)
}
