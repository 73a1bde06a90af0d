//! What tracing found, in sentences.

use crate::network::{At, CircuitAt, Network, SocketAt};
use crate::plan::{Trace, TraceMeans};
use crate::rule::words::{list, number};
use crate::trace::{Clash, Device, Source, Survey};

/// A device by its id, as the crew says it.
#[must_use]
pub fn device(network: &Network, device: Device) -> String {
    match device {
        Device::Breaker(circuit) => network.circuits[circuit].id.to_string(),
        Device::Rcd(rcd) => network.rcds[rcd].id.to_string(),
    }
}

/// Circuits of which it may be any: `P1 or P2`, `P1, P2, P3 or 4 more`.
#[must_use]
pub fn any_circuit(network: &Network, circuits: &[CircuitAt]) -> String {
    const SHOWN: usize = 4;
    let ids = |circuits: &[CircuitAt]| -> Vec<&str> {
        circuits.iter().map(|at| network.circuit_id(*at).as_str()).collect()
    };
    match circuits {
        [] => "no circuit".to_owned(),
        [only] => network.circuit_id(*only).to_string(),
        [first @ .., last] if circuits.len() <= SHOWN => {
            format!("{} or {}", ids(first).join(", "), network.circuit_id(*last))
        }
        _ => format!("{} or {} more", ids(&circuits[..SHOWN - 1]).join(", "), circuits.len() + 1 - SHOWN),
    }
}

/// Sockets by their ids, the first few of them.
#[must_use]
pub fn sockets(network: &Network, sockets: impl IntoIterator<Item = SocketAt>) -> String {
    list(sockets.into_iter().map(|at| network.socket_id(at)))
}

/// What went off in a trace: `P2 off`, `P2 and P4 off`, `RA dropped`.
fn went_off(trace: &Trace) -> String {
    let happened = match trace.means {
        TraceMeans::SwitchedOff => "off",
        TraceMeans::RampDropped => "dropped",
    };
    format!("{} {happened}", list(trace.devices()))
}

/// Where a piece of evidence stands, in words: `trace 2 (P2 off)`.
#[must_use]
pub fn source(network: &Network, source: Source) -> String {
    match source {
        Source::Trace(place) => {
            let what = network.plan.traces.get(place).map(went_off).unwrap_or_default();
            format!("trace {} ({what})", place + 1)
        }
        Source::Ramp { socket, place } => {
            let (id, ramp) = network
                .plan
                .sockets
                .get_index(socket.get())
                .map(|(id, node)| (id.as_str(), node.ramps.get(place)))
                .unwrap_or_default();
            let what = ramp.and_then(|ramp| {
                Some(format!(" ({} dropped at {} mA)", ramp.dropped.as_ref()?, number(ramp.tripped?.0)))
            });
            format!("the ramp test at {id}{}", what.unwrap_or_default())
        }
    }
}

/// What one piece of evidence says of a socket: `trace 2 (P2 off): dead`.
#[must_use]
pub fn reading(network: &Network, from: Source, socket: SocketAt) -> String {
    let id = network.socket_id(socket);
    let told = source(network, from);
    let Source::Trace(place) = from else { return told };
    let Some(trace) = network.plan.traces.get(place) else { return told };
    match (trace.dead.contains(id), trace.live.contains(id)) {
        (true, _) => format!("{told}: dead"),
        (_, true) => format!("{told}: live"),
        // Read at a socket of the distribution box that it feeds.
        _ => told,
    }
}

/// Evidence that clashes: what it says, entry by entry.
#[must_use]
pub fn clash(network: &Network, survey: &Survey, clash: &Clash) -> String {
    let id = network.socket_id(clash.socket);
    let entries = clash.evidence.iter().map(|place| reading(network, survey.sources[*place], clash.socket));
    let entries = entries.collect::<Vec<_>>().join("; ");
    let given = network.sockets[clash.socket].circuit.filter(|_| clash.with_given);
    match given {
        Some(circuit) => {
            format!("{id} is given as on {}, and that clashes with {entries}", network.circuit_id(circuit))
        }
        None => format!("no circuit is left for {id}: {entries}"),
    }
}
