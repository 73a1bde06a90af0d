//! The assessment: amps, leakage and findings at every level of the tree, for every setup.
//!
//! A function of the network and of nothing else; never stored, made anew after every edit.

mod conflict;
mod endurance;
mod hand;
mod inrush;
mod neutrals;
mod order;
mod outlook;
mod places;
mod plug;
mod report;
mod room;
mod steps;
mod stock;
mod tally;
mod usage;

pub use endurance::{energy, energy_before, energy_in};
pub use hand::{Consequence, Extent, Hand, Outlook, Prospect};
pub use inrush::{CircuitInrush, at_once};
pub(crate) use order::{continuous_runs, strike_order as order_of_striking};
pub(crate) use places::head_use;
pub use plug::{PlugUse, own_links};
pub use report::{Assessment, Crossing, Finding, Subject, Verdict};
pub use room::RcdRoom;
pub(crate) use room::rcd_room as room_of;
pub use steps::{Bounds, CircuitStep, RcdStep, Step, may_drop, steps};
pub(crate) use tally::{certain_chain, chain, leakage_origin, line_drawn, struck};
pub(crate) use usage::Certainty;
pub use usage::{CircuitUse, HeadUse, RcdUse, SetupUse, Shared, SocketUse, SupplyUse};

use crate::network::{Dense, Network, SetupAt};
use crate::rule;

/// Assesses every setup of a plan.
#[must_use]
pub fn assess(network: &Network) -> Assessment {
    let setups = sums(network);
    let findings = rule::findings(network, &setups, setups.indices());
    report::assessment(setups, findings)
}

/// Assesses one setup of a plan: all sums are there, and the findings of that setup and of the location.
#[must_use]
pub fn assess_setup(network: &Network, setup: SetupAt) -> Assessment {
    let setups = sums(network);
    let findings = rule::findings(network, &setups, std::iter::once(setup));
    report::assessment(setups, findings)
}

/// The sums of every setup.
fn sums(network: &Network) -> Dense<SetupAt, SetupUse> {
    let runs = order::continuous_runs(network);
    let mut setups: Dense<SetupAt, SetupUse> =
        network.setups.indices().map(|setup| tally::setup_use(network, setup, &runs)).collect();
    order::heat_breakers(network, &mut setups);
    setups
}
