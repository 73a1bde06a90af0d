//! What the sums on the sheet rest on.

use ampwalk_core::network::{At, CircuitAt, HeadAt, Network, RcdAt, SocketAt};

use crate::sheet::Basis;

use crate::frame::Source;

/// Running amps of heads, and of base loads, which the plan says.
pub(crate) fn running(network: &Network, heads: &[HeadAt]) -> Basis {
    Basis::weakest(heads.iter().map(|head| network.heads[*head].amps_origin().into()))
}

/// Amps of heads while they run up: a head's own figure, or a factor of its class.
pub(crate) fn starting(network: &Network, heads: &[HeadAt]) -> Basis {
    let start = |head: HeadAt| {
        let said = network.plan.heads.get_index(head.get()).is_some_and(|(_, head)| head.start.is_some());
        if said { Basis::Plan } else { Basis::Assumed }
    };
    Basis::weakest(heads.iter().map(|head| start(*head)).chain([running(network, heads)]))
}

/// Harmonics of heads: what the plan says of each, or what its class usually has.
pub(crate) fn spectrum(network: &Network, heads: &[HeadAt]) -> Basis {
    let said = |head: HeadAt| {
        let plan = network.plan.heads.get_index(head.get());
        if plan.is_some_and(|(_, head)| head.spectrum.is_some()) { Basis::Plan } else { Basis::Assumed }
    };
    Basis::weakest(heads.iter().map(|head| said(*head)))
}

/// Leakage of heads while they burn.
pub(crate) fn standing(network: &Network, heads: &[HeadAt]) -> Basis {
    Basis::weakest(heads.iter().map(|head| network.heads[*head].leak.origin.into()))
}

/// Leakage of heads while they are struck.
pub(crate) fn striking(network: &Network, heads: &[HeadAt]) -> Basis {
    let strike = heads.iter().map(|head| network.heads[*head].strike.origin.into());
    Basis::weakest(strike.chain([standing(network, heads)]))
}

/// Leakage of heads that are plugged in behind an RCD but off.
pub(crate) fn idle(source: Source<'_>, rcd: RcdAt) -> Basis {
    let (network, setup) = (source.network, &source.network.setups[source.setup]);
    let off = setup.placed.iter().filter(|(head, _)| !setup.is_on[*head]);
    let behind = off
        .filter(|(_, placed)| placed.as_ref().is_some_and(|placed| is_behind(network, placed.socket, rcd)));
    Basis::weakest(behind.map(|(head, _)| network.heads[head].idle.origin.into()))
}

/// Whether a socket is behind an RCD, for certain or perhaps.
fn is_behind(network: &Network, socket: SocketAt, rcd: RcdAt) -> bool {
    let portable = network.sockets[socket].portable;
    let own = portable.is_some_and(|own| own == rcd || network.rcds[own].upstream.contains(&rcd));
    own || network.reach_of(socket).rcds.iter().any(|part| part.what == rcd)
}

/// What untraced heads add: that they may be there is an assumption.
pub(crate) fn untraced(heads: &[HeadAt]) -> Basis {
    if heads.is_empty() { Basis::Measured } else { Basis::Assumed }
}

/// What a circuit may carry.
pub(crate) fn limit(network: &Network, circuit: CircuitAt) -> Basis {
    network.circuits[circuit].breaker.origin.into()
}
