//! Checks of the location, whatever the setup: labels, traces and ramp tests that clash.

use crate::assess::Subject;
use crate::network::Network;
use crate::rule::words::{list, number};
use crate::rule::{Report, Severity, Told};
use crate::trace::{LabelStand, Labels, Readings, Survey, words};

/// A label that names another circuit than the one that a test proved, or than any that tests leave.
pub(super) fn label_wrong(network: &Network, report: &mut Report<'_>) {
    if network.plan.sockets.values().all(|socket| socket.label.is_none()) {
        return;
    }
    let survey = Survey::of(network);
    let labels = Labels::of(network, &Readings::of(&survey.problem));
    let wrong = labels.wrong().count();
    let checked = labels.right() + wrong;
    for label in labels.wrong() {
        let LabelStand::Wrong(left) = &label.stand else { continue };
        report.add(Severity::Risk, Subject::Socket(label.socket), || Told {
            text: format!(
                "{} says {} on the wall, the trace says {}; {wrong} of {checked} labels checked are wrong",
                network.sockets[label.socket].id,
                label.says,
                words::any_circuit(network, left)
            ),
            ..Told::default()
        });
    }
}

/// Traces that leave a socket no circuit at all, or not the one that the plan gives it.
pub(super) fn trace_conflict(network: &Network, report: &mut Report<'_>) {
    if network.plan.traces.is_empty() && !has_named_ramps(network) {
        return;
    }
    let survey = Survey::of(network);
    let readings = Readings::of(&survey.problem);
    for socket in readings.clashing() {
        report.add(Severity::Risk, Subject::Socket(socket), || Told {
            text: readings
                .clash(socket)
                .map(|clash| words::clash(network, &survey, &clash))
                .unwrap_or_default(),
            ..Told::default()
        });
    }
}

/// Whether a ramp test names what it dropped.
fn has_named_ramps(network: &Network) -> bool {
    network.plan.sockets.values().flat_map(|socket| &socket.ramps).any(|ramp| ramp.dropped.is_some())
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
