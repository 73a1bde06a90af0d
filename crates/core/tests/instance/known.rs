//! What the seeded instances of `tests/reference/placement/` come to at best: proven by the solver `HiGHS` 1.16
//! on the same grouped model, importance first and the other levels weighted after it (its MIP gap 0).

use ampwalk_core::solve::{Level, Score};

/// Name; importance of what stays dark, cost of generators, metres of lead.
pub type Known = (&'static str, [i64; 3]);

/// The three of a score.
pub fn of(score: &Score) -> [i64; 3] {
    [Level::Dark, Level::Generator, Level::Metres].map(|level| score.of(level))
}

/// Of 12 heads.
pub const SMALL: [Known; 9] = [
    ("S-infeasible-1", [10, 0, 37]),
    ("S-infeasible-2", [4, 100, 45]),
    ("S-infeasible-3", [1, 100, 76]),
    ("S-loose-1", [0, 0, 60]),
    ("S-loose-2", [0, 0, 43]),
    ("S-loose-3", [0, 0, 50]),
    ("S-tight-1", [0, 100, 97]),
    ("S-tight-2", [0, 0, 71]),
    ("S-tight-3", [0, 0, 82]),
];

/// Of 40 heads.
pub const MIDDLE: [Known; 9] = [
    ("M-infeasible-1", [11, 100, 225]),
    ("M-infeasible-2", [5, 100, 249]),
    ("M-infeasible-3", [3, 100, 216]),
    ("M-loose-1", [0, 0, 295]),
    ("M-loose-2", [0, 0, 213]),
    ("M-loose-3", [0, 0, 247]),
    ("M-tight-1", [0, 100, 304]),
    ("M-tight-2", [6, 100, 174]),
    ("M-tight-3", [0, 100, 255]),
];
