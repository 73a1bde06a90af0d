//! Lists put in order by one copy of the sorting code.
//!
//! The standard library's sort is compiled anew for every closure that it is given, some 8 kB each time; the program
//! has a hundred. Where a list has as many entries as a person reads and nothing waits for it, it is put in order by
//! numbers instead, whatever it holds. What is sorted by the thousand keeps the standard one.

use std::cmp::Ordering;

/// A list that can be put in order.
pub trait Order<T> {
    /// As the standard `sort_by`: entries that are equal stay as they stand.
    fn order_by(&mut self, compare: impl FnMut(&T, &T) -> Ordering);

    /// As the standard `sort_by_key`: entries of equal keys stay as they stand.
    fn order_by_key<K: Ord>(&mut self, key: impl FnMut(&T) -> K);
}

impl<T> Order<T> for [T] {
    fn order_by(&mut self, mut compare: impl FnMut(&T, &T) -> Ordering) {
        let order = in_order(self.len(), &mut |a, b| compare(&self[a], &self[b]));
        put(order, &mut |a, b| self.swap(a, b));
    }

    fn order_by_key<K: Ord>(&mut self, mut key: impl FnMut(&T) -> K) {
        self.order_by(|a, b| key(a).cmp(&key(b)));
    }
}

/// Which entry of `count` goes to each place.
#[inline(never)]
fn in_order(count: usize, compare: &mut dyn FnMut(usize, usize) -> Ordering) -> Vec<usize> {
    let mut order: Vec<usize> = (0..count).collect();
    order.sort_by(|a, b| compare(*a, *b));
    order
}

/// Swaps entries until each place has the one that goes there.
#[inline(never)]
fn put(mut order: Vec<usize>, swap: &mut dyn FnMut(usize, usize)) {
    for start in 0..order.len() {
        let mut at = start;
        while order[at] != start {
            let next = std::mem::replace(&mut order[at], at);
            swap(at, next);
            at = next;
        }
        order[at] = at;
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    proptest! {
        #[test]
        fn a_list_is_put_in_order_as_the_standard_library_does_it(
            list in prop::collection::vec((0..9_u8, any::<u16>()), 0..80),
        ) {
            let (mut ours, mut theirs) = (list.clone(), list.clone());
            ours.order_by_key(|(key, _)| *key);
            theirs.sort_by_key(|(key, _)| *key);
            prop_assert_eq!(&ours, &theirs);
            let falling_then_by_key = |a: &(u8, u16), b: &(u8, u16)| (b.1 / 9).cmp(&(a.1 / 9)).then(a.0.cmp(&b.0));
            ours.order_by(falling_then_by_key);
            theirs.sort_by(falling_then_by_key);
            prop_assert_eq!(ours, theirs);
        }
    }
}
