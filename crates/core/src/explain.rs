//! How a number came about: its formula, the values put in, where each came from, its source.

mod breaker;
mod circuit;
mod endurance;
mod head;
mod lead;
mod rcd;
mod socket;
mod supply;
mod topic;

pub use topic::{Asked, Topic, Unknown, find, topics};

use crate::assess::{Assessment, Subject};
use crate::network::{Network, SetupAt};
use crate::order::Order as _;

/// How a number came about.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Explanation {
    /// The number's name among those of its subject, as [`Topic::key`] has it.
    pub key: &'static str,
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

    /// Whether the value is a default, not measured and not from the plan.
    #[must_use]
    pub fn is_assumed(&self) -> bool {
        self.origin.contains("assumed")
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
    let told = match topic {
        Topic::HeadAmps(at) => head::amps(network, used, at),
        Topic::HeadStart(at) => head::start(network, used, at),
        Topic::HeadLeakage(at) => head::leakage(network, setup, used, at),
        Topic::HeadStrike(at) => head::strike(network, setup, used, at),
        Topic::HeadVolts(at) => lead::volts(network, used, at),
        Topic::LeadNeeded(at) => lead::needed(network, used, at),
        Topic::EarthLoop(at) => lead::earth_fault_loop(network, assessment, setup, at),
        Topic::SocketAmps(at) => socket::amps(network, used, at),
        Topic::CircuitAmps(at) => circuit::amps(network, used, setup, at),
        Topic::CircuitLimit(at) => circuit::limit(network, used, at),
        Topic::StartPeak(at) => breaker::start_peak(network, used, at),
        Topic::TripWindow(at) => breaker::window(network, used, setup, at),
        Topic::Inrush(at) => breaker::inrush(network, used, at),
        Topic::SharedNeutral(at) => circuit::shared_neutral(network, used, at),
        Topic::RcdRoom(at) => rcd::room(network, used, at),
        Topic::RcdStanding(at) => rcd::standing(network, setup, used, at),
        Topic::RcdPeak(at) => rcd::peak(network, setup, used, at),
        Topic::RcdVector(at) => rcd::vector(network, used, at),
        Topic::SupplyLine(at) => supply::line(network, used, at),
        Topic::SupplyNeutral(at) => supply::neutral(network, used, at),
        Topic::SupplyPower(at) => supply::power(network, used, at),
        Topic::SupplyRating(at) => supply::rating(network, used, at),
        Topic::BatteryRun(at) => endurance::battery(network, assessment, setup, at),
        Topic::Fuel(at) => endurance::fuel(network, used, setup, at),
        Topic::LostNeutral(at) => supply::lost_neutral(network, used, at),
    }?;
    Some(Explanation { key: topic.key(), ..told })
}

/// Explains every number that a subject has in a setup, `first` before the others where it is one of
/// them.
#[must_use]
pub fn explain_all(
    network: &Network,
    assessment: &Assessment,
    setup: SetupAt,
    subject: Subject,
    first: Option<Topic>,
) -> Vec<Explanation> {
    let mut topics = topics(subject);
    topics.order_by_key(|topic| Some(*topic) != first);
    topics.into_iter().filter_map(|topic| explain(network, assessment, setup, topic)).collect()
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
