//! How a number came about: its formula, the values put in, where each came from, its source.

mod circuit;
mod head;
mod rcd;

use crate::assess::Assessment;
use crate::network::{CircuitAt, HeadAt, Network, RcdAt, SetupAt, SupplyAt};

/// A number that can be explained.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Topic {
    /// Running amps of a head.
    HeadAmps(HeadAt),
    /// Amps of a circuit.
    CircuitAmps(CircuitAt),
    /// What a circuit may carry.
    CircuitLimit(CircuitAt),
    /// Room left on an RCD.
    RcdRoom(RcdAt),
    /// Leakage through an RCD while all burn.
    RcdStanding(RcdAt),
    /// Largest leakage through an RCD while its heads are struck, and the odds that it drops.
    RcdPeak(RcdAt),
    /// Amps of a supply's busiest line.
    SupplyLine(SupplyAt),
    /// Metres of lead that a head takes.
    LeadNeeded(HeadAt),
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

impl Term {
    fn new(what: impl Into<String>, value: impl Into<String>, origin: impl Into<String>) -> Self {
        Self { what: what.into(), value: value.into(), origin: origin.into() }
    }
}

/// Explains a number of a setup; `None` where the setup has no such number, such as the amps of a
/// head that is off.
#[must_use]
pub fn explain(
    network: &Network,
    assessment: &Assessment,
    setup: SetupAt,
    topic: Topic,
) -> Option<Explanation> {
    let used = assessment.setups.get(setup)?;
    match topic {
        Topic::HeadAmps(head) => head::amps(network, used, head),
        Topic::LeadNeeded(head) => head::lead(network, used, head),
        Topic::CircuitAmps(circuit) => circuit::amps(network, used, setup, circuit),
        Topic::CircuitLimit(circuit) => circuit::limit(network, used, circuit),
        Topic::SupplyLine(supply) => circuit::line(network, used, supply),
        Topic::RcdRoom(rcd) => rcd::room(network, used, rcd),
        Topic::RcdStanding(rcd) => rcd::standing(network, used, rcd),
        Topic::RcdPeak(rcd) => rcd::peak(network, used, rcd),
    }
}

/// A number to four significant digits at least, for working that can be followed on paper.
fn digits(value: f64) -> String {
    let decimals = if value.abs() >= 100.0 {
        1
    } else if value.abs() >= 10.0 {
        2
    } else {
        3
    };
    let text = format!("{value:.decimals$}");
    if !text.contains('.') {
        return text;
    }
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}
