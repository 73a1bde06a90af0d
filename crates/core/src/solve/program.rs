//! A linear program over whole numbers, and the seam for a prover that the host hands in.

use std::ptr::fn_addr_eq;

/// A number to be found.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Column {
    /// It is no less.
    pub least: i64,
    /// It is no more.
    pub most: i64,
    /// What one of it costs.
    pub cost: i64,
}

/// A sum of columns, each so many times.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Sum {
    /// (column, how many times); each column once.
    pub terms: Vec<(usize, i64)>,
    /// It is no less, where there is a floor.
    pub least: Option<i64>,
    /// It is no more, where there is a limit.
    pub most: Option<i64>,
}

/// Whole numbers within limits, whose cost is to be made small.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Program {
    /// What is to be found.
    pub columns: Vec<Column>,
    /// What limits it.
    pub sums: Vec<Sum>,
}

impl Program {
    /// What values cost; `None` where they break a limit. In whole numbers, so that no rounding hides one.
    #[must_use]
    pub fn cost(&self, values: &[i64]) -> Option<i64> {
        let is_within = |(column, value): (&Column, &i64)| (column.least..=column.most).contains(value);
        let is_kept = |sum: &Sum| {
            let total: i64 = sum.terms.iter().map(|(column, times)| values[*column] * times).sum();
            sum.least.is_none_or(|least| total >= least) && sum.most.is_none_or(|most| total <= most)
        };
        let is_whole = values.len() == self.columns.len()
            && self.columns.iter().zip(values).all(is_within)
            && self.sums.iter().all(is_kept);
        is_whole.then(|| self.columns.iter().zip(values).map(|(column, value)| column.cost * value).sum())
    }
}

/// What a prover says of a program.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Proved {
    /// The best values that it found, where it found any.
    pub values: Option<Vec<i64>>,
    /// What none can cost less than; `None` where it came to no bound.
    pub floor: Option<i64>,
}

/// What makes a program's cost as small as it can be, from values that keep its limits. It asks now and
/// then whether to go on, and says what it has once it is told no. The same program comes to the same.
pub type Prove = fn(&Program, &[i64], &mut dyn FnMut() -> bool) -> Proved;

/// A prover from outside this crate.
#[derive(Clone, Copy, Debug)]
pub struct Prover(pub Prove);

impl PartialEq for Prover {
    fn eq(&self, other: &Self) -> bool {
        fn_addr_eq(self.0, other.0)
    }
}

impl Eq for Prover {}
