//! Checks of the location, whatever the setup: labels, traces and ramp tests that clash.

use crate::assess::Subject;
use crate::network::{Network, SocketAt};
use crate::rule::words::{list, number};
use crate::rule::{Report, Severity, Told};

/// A label that names another circuit than the one that a test proved.
pub(super) fn label_wrong(network: &Network, report: &mut Report<'_>) {
    let proved = |(at, socket): (SocketAt, &crate::network::SocketNode)| {
        let plan = network.plan.sockets.get(socket.id.as_str())?;
        let label = plan.label.as_deref()?.trim();
        let circuit = &network.circuits[socket.circuit?];
        let name = network.plan.circuits.get(circuit.id.as_str())?.name.as_deref();
        let same = |word: &str| word.eq_ignore_ascii_case(label);
        let right = label.is_empty() || same(circuit.id.as_str()) || name.is_some_and(same);
        Some((at, label.to_owned(), circuit.id.clone(), right))
    };
    let labelled: Vec<_> = network.sockets.iter().filter_map(proved).collect();
    let wrong = labelled.iter().filter(|(.., right)| !right).count();
    for (at, label, circuit, _) in labelled.iter().filter(|(.., right)| !right) {
        report.add(Severity::Risk, Subject::Socket(*at), || Told {
                text: format!(
                    "{} says {label} on the wall, the trace says {circuit}; {wrong} of {} labels checked are wrong",
                    network.sockets[*at].id,
                    labelled.len()
                ),
                ..Told::default()
            });
    }
}

/// Traces that leave a socket no circuit at all, or not the one that the plan gives it.
pub(super) fn trace_conflict(network: &Network, report: &mut Report<'_>) {
    for (at, node) in network.sockets.iter() {
        let entries: Vec<String> = network
            .plan
            .traces
            .iter()
            .filter(|trace| trace.dead.iter().chain(&trace.live).any(|id| *id == node.id))
            .map(|trace| trace.device.to_string())
            .collect();
        if entries.is_empty() || !clashes(network, at) {
            continue;
        }
        report.add(Severity::Risk, Subject::Socket(at), || {
            let told = match node.circuit {
                Some(circuit) => format!(
                    "{} is given as on {}, the traces of {} say otherwise",
                    node.id,
                    network.circuits[circuit].id,
                    list(entries)
                ),
                None => format!("the traces of {} leave {} no circuit at all", list(entries), node.id),
            };
            Told { text: told, ..Told::default() }
        });
    }
}

/// Whether no circuit that the socket may be on agrees with every trace.
fn clashes(network: &Network, socket: SocketAt) -> bool {
    let node = &network.sockets[socket];
    !network.reach_of(socket).candidates.iter().any(|circuit| {
        network.plan.traces.iter().all(|trace| {
            let device = trace.device.as_str();
            let reach = &network.reaches[network.circuits[*circuit].reach];
            let mut upstream = reach.circuits.iter().filter(|part| part.certain).map(|part| part.what);
            let portable = node.portable.map(|rcd| network.rcds[rcd].id.as_str());
            let behind = upstream.any(|at| network.circuits[at].id.as_str() == device)
                || reach.certain_rcds().any(|rcd| network.rcds[rcd].id.as_str() == device)
                || portable == Some(device);
            let dead = trace.dead.contains(&node.id);
            let live = trace.live.contains(&node.id);
            !(dead && !behind || live && behind)
        })
    })
}

/// Ramp tests of one RCD that share no window.
pub(super) fn ramp_conflict(network: &Network, report: &mut Report<'_>) {
    let Some(setup) = network.setups.indices().next() else { return };
    for (rcd, node) in network.rcds.iter() {
        let room = crate::assess::room_of(network, setup, rcd);
        if !room.conflict {
            continue;
        }
        report.add(Severity::Risk, Subject::Rcd(rcd), || {
            let readings = list(node.readings.iter().filter_map(|reading| {
                let tripped = reading.tripped?;
                let socket = &network.sockets[reading.socket].id;
                Some(format!("{socket} held {} tripped {}", number(reading.held.0), number(tripped.0)))
            }));
            Told {
                text: format!("ramp tests of {} contradict each other: {readings}", node.id),
                ..Told::default()
            }
        });
    }
}
