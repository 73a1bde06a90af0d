//! What heads draw, before it is known from where.

use crate::network::{HeadAt, Network};
use crate::unit::{Amps, KiloVoltAmps, KiloWatts, Minutes};

/// Heads that are on in any setup, in the order of the plan.
pub(super) fn on_anywhere(network: &Network) -> Vec<HeadAt> {
    let is_on = |head: &HeadAt| network.setups.iter().any(|(_, setup)| setup.is_on[*head]);
    network.heads.indices().filter(is_on).collect()
}

/// How long a head is on in all setups.
pub(super) fn minutes_on(network: &Network, head: HeadAt) -> Minutes {
    network.setups.iter().filter(|(_, setup)| setup.is_on[head]).map(|(_, setup)| setup.minutes).sum()
}

/// Running amps at nominal volts.
pub(super) fn amps(network: &Network, head: HeadAt) -> Amps {
    network.heads[head].running_amps(network.unplaced_terminals(head))
}

/// Apparent power while it runs.
pub(super) fn apparent(network: &Network, head: HeadAt) -> KiloVoltAmps {
    network.unplaced_terminals(head).apparent_power(amps(network, head))
}

/// Apparent power that it takes on top while it starts.
pub(super) fn start_on_top(network: &Network, head: HeadAt) -> KiloVoltAmps {
    let running = amps(network, head);
    let start = network.heads[head].start_amps(running);
    network.unplaced_terminals(head).apparent_power(start - running)
}

/// Real power while it runs.
pub(super) fn real(network: &Network, head: HeadAt) -> KiloWatts {
    let factor = network.heads[head].power_factor.value;
    KiloWatts::from(network.unplaced_terminals(head).power(amps(network, head), factor))
}
