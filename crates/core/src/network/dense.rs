//! Typed indices into the plan's tables, and vectors that only such an index opens.
//!
//! An index is the entry's place in the plan's own map, so `plan.circuits.get_index(at.get())` is
//! the same circuit as `network.circuits[at]`.

use std::marker::PhantomData;
use std::ops::{Index, IndexMut};

/// An index of one table.
pub trait At: Copy {
    /// The index of the entry at `place`, counted from 0.
    fn new(place: usize) -> Self;
    /// Its place, counted from 0.
    fn get(self) -> usize;
}

macro_rules! at {
    ($($(#[$doc:meta])* $name:ident;)*) => {$(
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub struct $name(u32);

        impl At for $name {
            fn new(place: usize) -> Self {
                Self(u32::try_from(place).unwrap_or(u32::MAX))
            }
            fn get(self) -> usize {
                self.0 as usize
            }
        }
    )*};
}

at! {
    /// A supply.
    SupplyAt;
    /// An RCD.
    RcdAt;
    /// A circuit.
    CircuitAt;
    /// A socket.
    SocketAt;
    /// A plate: one socket's own, or shared by several.
    PlateAt;
    /// A head.
    HeadAt;
    /// A neutral that several circuits share.
    NeutralAt;
    /// A type of lead.
    CableAt;
    /// A type of splitter.
    BlockAt;
    /// A setup.
    SetupAt;
    /// A set of circuits that a socket may be on.
    ReachAt;
}

/// One value for every entry of a table.
#[derive(Clone, Debug, PartialEq)]
pub struct Dense<K, T> {
    values: Vec<T>,
    key: PhantomData<K>,
}

impl<K: At, T> Dense<K, T> {
    /// The same value for each of `count` entries.
    pub fn filled(count: usize, value: T) -> Self
    where
        T: Clone,
    {
        Self::from(vec![value; count])
    }

    /// How many entries there are.
    #[must_use]
    pub fn len(&self) -> usize {
        self.values.len()
    }

    /// Whether there are none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.values.is_empty()
    }

    /// The values, in the order of the table.
    #[must_use]
    pub fn iter(&self) -> impl DoubleEndedIterator<Item = (K, &T)> + ExactSizeIterator {
        self.values.iter().enumerate().map(|(place, value)| (K::new(place), value))
    }

    /// The values, to be changed.
    pub fn iter_mut(&mut self) -> impl Iterator<Item = (K, &mut T)> {
        self.values.iter_mut().enumerate().map(|(place, value)| (K::new(place), value))
    }

    /// Every index.
    pub fn indices(&self) -> impl DoubleEndedIterator<Item = K> + ExactSizeIterator + use<K, T> {
        (0..self.values.len()).map(K::new)
    }

    /// Adds a value at the end.
    pub fn push(&mut self, value: T) -> K {
        self.values.push(value);
        K::new(self.values.len() - 1)
    }

    /// The value at an index, or `None` past the end.
    #[must_use]
    pub fn get(&self, at: K) -> Option<&T> {
        self.values.get(at.get())
    }
}

impl<K, T> IntoIterator for Dense<K, T> {
    type Item = T;
    type IntoIter = std::vec::IntoIter<T>;
    fn into_iter(self) -> Self::IntoIter {
        self.values.into_iter()
    }
}

impl<K, T> From<Vec<T>> for Dense<K, T> {
    fn from(values: Vec<T>) -> Self {
        Self { values, key: PhantomData }
    }
}

impl<K, T> Default for Dense<K, T> {
    fn default() -> Self {
        Self::from(Vec::new())
    }
}

impl<K: At, T> FromIterator<T> for Dense<K, T> {
    fn from_iter<I: IntoIterator<Item = T>>(values: I) -> Self {
        Self::from(values.into_iter().collect::<Vec<_>>())
    }
}

impl<K: At, T> Index<K> for Dense<K, T> {
    type Output = T;
    fn index(&self, at: K) -> &T {
        &self.values[at.get()]
    }
}

impl<K: At, T> IndexMut<K> for Dense<K, T> {
    fn index_mut(&mut self, at: K) -> &mut T {
        &mut self.values[at.get()]
    }
}
