//! Sets of circuits.

use crate::network::{At, CircuitAt};

const BITS: usize = 64;

/// A set of circuits of one plan.
#[derive(Clone, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct CircuitSet {
    words: Vec<u64>,
}

impl CircuitSet {
    /// None of `count` circuits.
    #[must_use]
    pub fn none(count: usize) -> Self {
        Self { words: vec![0; count.div_ceil(BITS)] }
    }

    /// These of `count` circuits.
    #[must_use]
    pub fn of(count: usize, circuits: impl IntoIterator<Item = CircuitAt>) -> Self {
        let mut set = Self::none(count);
        for circuit in circuits {
            set.insert(circuit);
        }
        set
    }

    /// Puts a circuit in; one that the plan does not have is left out.
    pub fn insert(&mut self, circuit: CircuitAt) {
        if let Some(word) = self.words.get_mut(circuit.get() / BITS) {
            *word |= 1 << (circuit.get() % BITS);
        }
    }

    /// Takes a circuit out.
    pub fn remove(&mut self, circuit: CircuitAt) {
        if let Some(word) = self.words.get_mut(circuit.get() / BITS) {
            *word &= !(1 << (circuit.get() % BITS));
        }
    }

    /// Whether a circuit is in it.
    #[must_use]
    pub fn contains(&self, circuit: CircuitAt) -> bool {
        self.words.get(circuit.get() / BITS).is_some_and(|word| word & 1 << (circuit.get() % BITS) != 0)
    }

    /// How many there are.
    #[must_use]
    pub fn len(&self) -> usize {
        self.words.iter().map(|word| word.count_ones() as usize).sum()
    }

    /// Whether there are none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.words.iter().all(|word| *word == 0)
    }

    /// The one circuit, where there is one alone.
    #[must_use]
    pub fn only(&self) -> Option<CircuitAt> {
        let mut circuits = self.iter();
        circuits.next().filter(|_| circuits.next().is_none())
    }

    /// The circuits, in the order of the plan.
    pub fn iter(&self) -> impl Iterator<Item = CircuitAt> + '_ {
        self.words.iter().enumerate().flat_map(|(place, word)| {
            let mut left = *word;
            std::iter::from_fn(move || {
                let bit = left.trailing_zeros() as usize;
                left &= left.checked_sub(1)?;
                Some(CircuitAt::new(place * BITS + bit))
            })
        })
    }

    /// Keeps what is in the other as well.
    pub fn keep(&mut self, other: &Self) {
        self.words.iter_mut().zip(&other.words).for_each(|(word, other)| *word &= other);
    }

    /// Takes out what is in the other.
    pub fn take_out(&mut self, other: &Self) {
        self.words.iter_mut().zip(&other.words).for_each(|(word, other)| *word &= !other);
    }

    /// Adds what is in the other.
    pub fn add(&mut self, other: &Self) {
        self.words.iter_mut().zip(&other.words).for_each(|(word, other)| *word |= other);
    }

    /// What is in both.
    #[must_use]
    pub fn and(&self, other: &Self) -> Self {
        Self { words: self.words.iter().zip(&other.words).map(|(own, other)| own & other).collect() }
    }

    /// What is in this one alone.
    #[must_use]
    pub fn without(&self, other: &Self) -> Self {
        Self { words: self.words.iter().zip(&other.words).map(|(own, other)| own & !other).collect() }
    }

    /// What is in either.
    #[must_use]
    pub fn or(&self, other: &Self) -> Self {
        Self { words: self.words.iter().zip(&other.words).map(|(own, other)| own | other).collect() }
    }

    /// How many are in both.
    #[must_use]
    pub fn shared(&self, other: &Self) -> usize {
        self.words.iter().zip(&other.words).map(|(own, other)| (own & other).count_ones() as usize).sum()
    }

    /// Whether any is in both.
    #[must_use]
    pub fn meets(&self, other: &Self) -> bool {
        self.words.iter().zip(&other.words).any(|(own, other)| own & other != 0)
    }

    /// Whether all of it is in the other.
    #[must_use]
    pub fn is_within(&self, other: &Self) -> bool {
        self.words.iter().zip(&other.words).all(|(own, other)| own & !other == 0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn set(circuits: &[usize]) -> CircuitSet {
        CircuitSet::of(70, circuits.iter().map(|place| CircuitAt::new(*place)))
    }

    #[test]
    fn sets_hold_what_was_put_in() {
        let mut own = set(&[0, 63, 64, 69]);
        assert_eq!(own.iter().map(At::get).collect::<Vec<_>>(), [0, 63, 64, 69]);
        assert_eq!((own.len(), own.only()), (4, None));
        assert_eq!(own.and(&set(&[63, 64, 65])), set(&[63, 64]));
        assert_eq!(own.without(&set(&[63, 64, 65])), set(&[0, 69]));
        assert_eq!(own.or(&set(&[1])), set(&[0, 1, 63, 64, 69]));
        assert!(own.meets(&set(&[69])) && !own.meets(&set(&[1])));
        assert!(set(&[63]).is_within(&own) && !set(&[1]).is_within(&own));
        own.keep(&set(&[64, 65]));
        assert_eq!(own.only(), Some(CircuitAt::new(64)));
        own.remove(CircuitAt::new(64));
        // A circuit that the plan does not have is in no set of it.
        own.insert(CircuitAt::new(1000));
        assert!(own.is_empty() && !own.contains(CircuitAt::new(1000)));
    }
}
