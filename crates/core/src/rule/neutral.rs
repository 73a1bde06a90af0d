//! Checks of neutrals, which no breaker sees.

use crate::assess::{Crossing, Subject};
use crate::rule::words::{list, number, pair};
use crate::rule::{CircuitScope, Report, Severity, SupplyScope, Told};

/// The neutral carries more than a line may.
pub(super) fn neutral_over(scope: &SupplyScope<'_>, report: &mut Report<'_>) {
    let network = scope.context.network;
    let node = &network.supplies[scope.supply];
    let Some(limit) = node.limit.filter(|_| node.lines().len() > 1 && !scope.used.heads.is_empty()) else {
        return;
    };
    let neutral = scope.used.orders.neutral();
    if !neutral.is_over(limit.value) {
        return;
    }
    report.add(Severity::Danger, Subject::Supply(scope.supply), || {
        let (carries, bears) = pair(neutral.0, limit.value.0);
        Told {
            text: format!(
                "the {} of {} carries {carries} A, a line bears {bears} A: no breaker sees it",
                network.region.words.neutral, node.id
            ),
            crossing: Some(Crossing { value: neutral.0, limit: limit.value.0, unit: "A" }),
            assumed: limit.origin.is_assumed() || network.any_amps_assumed(&scope.used.heads),
            ..Told::default()
        }
    });
}

/// A neutral that several circuits share carries more than the smallest of their breakers lets through.
///
/// Told of the first of them, whichever is looked at.
pub(super) fn shared_neutral_over(scope: &CircuitScope<'_>, report: &mut Report<'_>) {
    let network = scope.context.network;
    let (Some(at), Some(amps)) = (network.circuits[scope.circuit].neutral, scope.used.neutral) else {
        return;
    };
    let node = &network.neutrals[at];
    let Some(first) = node.circuits.first().filter(|_| !scope.used.heads.is_empty()) else { return };
    if !amps.is_over(node.limit.value) {
        return;
    }
    report.add(Severity::Danger, Subject::Circuit(*first), || {
        let neutral = &network.region.words.neutral;
        let (carries, bears) = pair(amps.0, node.limit.value.0);
        let circuits = list(node.circuits.iter().map(|circuit| network.circuit_id(*circuit)));
        let line = network.circuits[*first].line;
        let one_line = node.circuits.iter().all(|circuit| network.circuits[*circuit].line == line);
        let together = if one_line { format!(", all on {line}") } else { String::new() };
        let wired_wrong = if one_line {
            "; that they are on one line is for a licensed electrician to put right: tell \
         the owner"
        } else {
            ""
        };
        let setup = &scope.context.setups[scope.context.setup];
        let others = node.circuits.iter().filter(|circuit| **circuit != scope.circuit);
        let assumed = network.any_amps_assumed(&scope.used.heads)
            || others.into_iter().any(|circuit| network.any_amps_assumed(&setup.circuits[*circuit].heads));
        Told {
            text: format!(
                "{circuits} share a {neutral}{together}: it carries {carries} A, a breaker of \
                 {bears} A stands before it, and none sees it"
            ),
            remedy: format!(
                "take {} A of heads off these circuits{wired_wrong}",
                number((amps - node.limit.value).0)
            ),
            crossing: Some(Crossing { value: amps.0, limit: node.limit.value.0, unit: "A" }),
            assumed: node.limit.origin.is_assumed() || assumed,
        }
    });
}
