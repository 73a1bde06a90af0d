//! The assessment: amps, leakage and findings at every level of the tree, for every setup.
//!
//! A function of the network and of nothing else; never stored, made anew after every edit.

mod again;
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

pub use again::{assess_again, assess_parts_again, assess_setup_again};
pub use endurance::{energy, energy_before, energy_in};
pub(crate) use hand::Trials;
pub use hand::{Consequence, Extent, Hand, Outlook, Prospect};
pub use inrush::{CircuitInrush, at_once};
pub(crate) use order::{continuous_runs, strike_order as order_of_striking};
pub(crate) use places::head_use;
pub use plug::{PlugUse, own_links};
pub use report::{Assessment, Crossing, Finding, Subject, Sums, Verdict};
pub use room::RcdRoom;
pub(crate) use room::rcd_room as room_of;
pub use steps::{Bounds, CircuitStep, RcdStep, Step, may_drop, steps};
pub(crate) use tally::{certain_chain, chain, leakage_origin, line_drawn, struck};
pub(crate) use usage::Certainty;
pub use usage::{CircuitUse, HeadUse, RcdUse, SetupUse, Shared, SocketUse, SupplyUse};

use std::sync::Arc;

use crate::network::{At, Dense, Network, SetupAt};
use crate::rule;
use crate::workers::{OneByOne, Workers};

/// Assesses every setup of a plan.
#[must_use]
pub fn assess(network: &Network) -> Assessment {
    assess_by(network, &OneByOne)
}

/// Assesses every setup of a plan, one a worker.
#[must_use]
pub fn assess_by(network: &Network, workers: &impl Workers) -> Assessment {
    let setups = sums(network, None, workers);
    let of_setup = |setup: usize| rule::findings_where(network, &setups, SetupAt::new(setup), &|_| true);
    let in_setups = workers.each(setups.len(), of_setup);
    report::assessment(setups, rule::of_location(network).into_iter().chain(in_setups.into_iter().flatten()))
}

/// The sums of every setup; `before` as for [`tally::setup_use`].
fn sums(network: &Network, before: Option<&Sums>, workers: &impl Workers) -> Sums {
    let runs = order::continuous_runs(network);
    let sums = |setup: usize| {
        let setup = SetupAt::new(setup);
        tally::setup_use(network, setup, &runs, before.map(|before| &*before[setup]))
    };
    let mut setups = Dense::from(workers.each(network.setups.len(), sums));
    order::heat_breakers(network, &mut setups);
    setups.into_iter().map(Arc::new).collect()
}
