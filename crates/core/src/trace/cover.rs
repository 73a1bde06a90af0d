//! The fewest sets that together leave nothing over: the proof behind a set of circuits, and the entries that
//! clash.

use crate::trace::CircuitSet;

/// Sets that are tried before the search gives up on the fewest.
const MOST_TRIES: usize = 20_000;

/// Places of the fewest of `parts` that together hold all of `whole`; `None` where even all of them do not.
///
/// Of equal parts the first is taken. Where that takes more than 20,000 trials, a choice
/// of which none can be left out, which may not be the fewest.
#[must_use]
pub fn fewest(whole: &CircuitSet, parts: &[CircuitSet]) -> Option<Vec<usize>> {
    let parts: Vec<CircuitSet> = parts.iter().map(|part| part.and(whole)).collect();
    if whole.is_empty() {
        return Some(Vec::new());
    }
    if let Some(alone) = parts.iter().position(|part| part == whole) {
        return Some(vec![alone]);
    }
    let rough = irredundant(whole, &parts)?;
    if rough.len() == 2 {
        return Some(rough);
    }
    // A part within another serves nowhere better; of equal ones the first stays.
    let is_needed = |place: usize| {
        !parts.iter().enumerate().any(|(other, part)| {
            other != place && parts[place].is_within(part) && (parts[place] != *part || other < place)
        })
    };
    let useful: Vec<usize> =
        (0..parts.len()).filter(|place| !parts[*place].is_empty() && is_needed(*place)).collect();
    let mut search = Search { parts: &parts, useful: &useful, chosen: Vec::new(), tries: 0 };
    for most in 2..rough.len() {
        match search.within(whole, most) {
            Tried::Found => {
                let mut chosen = search.chosen;
                chosen.sort_unstable();
                return Some(chosen);
            }
            Tried::TooMany => return Some(rough),
            Tried::Nothing => {}
        }
    }
    Some(rough)
}

/// A choice of which none can be left out, those with most first.
fn irredundant(whole: &CircuitSet, parts: &[CircuitSet]) -> Option<Vec<usize>> {
    let mut left = whole.clone();
    let mut chosen: Vec<usize> = Vec::new();
    while !left.is_empty() {
        let most = (0..parts.len()).rev().max_by_key(|place| parts[*place].shared(&left))?;
        if !parts[most].meets(&left) {
            return None;
        }
        left.take_out(&parts[most]);
        chosen.push(most);
    }
    let mut place = 0;
    while place < chosen.len() {
        let mut left = whole.clone();
        let others = chosen.iter().enumerate().filter(|(other, _)| *other != place);
        others.for_each(|(_, part)| left.take_out(&parts[*part]));
        if left.is_empty() {
            chosen.remove(place);
        } else {
            place += 1;
        }
    }
    chosen.sort_unstable();
    Some(chosen)
}

enum Tried {
    Found,
    Nothing,
    TooMany,
}

struct Search<'a> {
    parts: &'a [CircuitSet],
    useful: &'a [usize],
    chosen: Vec<usize>,
    tries: usize,
}

impl Search<'_> {
    /// Looks for a choice of `most` parts at most: some part must hold the circuit that fewest parts hold.
    fn within(&mut self, left: &CircuitSet, most: usize) -> Tried {
        if left.is_empty() {
            return Tried::Found;
        }
        self.tries += 1;
        if self.tries > MOST_TRIES {
            return Tried::TooMany;
        }
        let largest = self.useful.iter().map(|part| self.parts[*part].shared(left)).max().unwrap_or(0);
        if most == 0 || largest * most < left.len() {
            return Tried::Nothing;
        }
        let (parts, useful) = (self.parts, self.useful);
        let holders = |circuit| useful.iter().copied().filter(move |part| parts[*part].contains(circuit));
        let Some(scarcest) = left.iter().min_by_key(|circuit| holders(*circuit).count()) else {
            return Tried::Nothing;
        };
        for part in holders(scarcest) {
            self.chosen.push(part);
            match self.within(&left.without(&parts[part]), most - 1) {
                Tried::Nothing => {}
                other => return other,
            }
            self.chosen.pop();
        }
        Tried::Nothing
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::network::{At, CircuitAt};

    fn set(circuits: impl IntoIterator<Item = usize>) -> CircuitSet {
        CircuitSet::of(14, circuits.into_iter().map(CircuitAt::new))
    }

    #[test]
    fn the_fewest_are_found_where_taking_the_largest_first_finds_more() {
        // Two rows of seven. The largest first takes four columns of both, then two, then one: three parts, of which
        // none can be left out. The two rows do.
        let columns = |from: usize, to: usize| set((from..to).chain(from + 7..to + 7));
        let parts = [columns(0, 4), columns(4, 6), columns(6, 7), set(0..7), set(7..14)];
        assert_eq!(irredundant(&set(0..14), &parts), Some(vec![0, 1, 2]));
        assert_eq!(fewest(&set(0..14), &parts), Some(vec![3, 4]));
    }

    #[test]
    fn nothing_takes_no_part_and_what_no_part_holds_cannot_be_covered() {
        assert_eq!(fewest(&set([]), &[set([1])]), Some(vec![]));
        assert_eq!(fewest(&set([1, 2]), &[set([1])]), None);
    }

    #[test]
    fn of_equal_parts_the_first_is_taken() {
        assert_eq!(fewest(&set([1, 2]), &[set([1]), set([1, 2, 3]), set([1, 2])]), Some(vec![1]));
    }
}
