//! How a number came about: its formula, the values put in, where each came from, its source.

/// A number that can be explained.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Topic {
    /// Running amps of a head.
    HeadAmps(crate::network::HeadAt),
    /// Amps of a circuit.
    CircuitAmps(crate::network::CircuitAt),
    /// What a circuit may carry.
    CircuitLimit(crate::network::CircuitAt),
    /// Room left on an RCD.
    RcdRoom(crate::network::RcdAt),
    /// Leakage through an RCD while all burn.
    RcdStanding(crate::network::RcdAt),
    /// Largest leakage through an RCD while its heads are struck, and the odds that it drops.
    RcdPeak(crate::network::RcdAt),
    /// Amps of a supply's busiest line.
    SupplyLine(crate::network::SupplyAt),
    /// Metres of lead that a head takes.
    LeadNeeded(crate::network::HeadAt),
}

/// How a number came about.
#[derive(Clone, Debug, PartialEq)]
pub struct Explanation {
    /// The number's name and value: `RA while striking: 13.5 mA`.
    pub title: String,
    /// The formula in letters.
    pub formula: String,
    /// The formula with the values put in.
    pub worked: String,
    /// The values put in.
    pub terms: Vec<Term>,
    /// Where the formula or limit comes from.
    pub source: String,
    /// What the reader must know before acting on it; empty where there is nothing.
    pub caution: String,
}

/// A value that was put in.
#[derive(Clone, Debug, PartialEq)]
pub struct Term {
    /// What it is.
    pub what: String,
    /// The value with its unit.
    pub value: String,
    /// Where it came from: measured, from the plan, class, region, standard, default.
    pub origin: String,
}
