//! Neutrals that circuits share and nobody knew of, as far as clashing evidence hints at them.

use std::cmp::Reverse;
use std::collections::BTreeMap;

use crate::network::{CircuitAt, SocketAt};
use crate::order::Order as _;
use crate::trace::{Circuit, CircuitSet, Problem, Readings};

/// Sockets whose clashes are looked into; beyond them the evidence is wrong in some other way.
const MOST_CLASHES: usize = 64;

/// A neutral that two circuits may share: if they do, evidence that clashes does not.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SharedNeutral {
    /// The two circuits; where one shares its neutral with others already, the first of those.
    pub between: [CircuitAt; 2],
    /// Sockets whose evidence it explains, each with the circuits that it may be on then.
    pub explains: Vec<(SocketAt, CircuitSet)>,
}

/// Neutrals that explain clashes, each alone, those that explain most sockets first. The first 64 sockets whose
/// evidence clashes are looked into.
#[must_use]
pub fn shared_neutrals(problem: &Problem, readings: &Readings<'_>) -> Vec<SharedNeutral> {
    let leader = |circuit: CircuitAt| {
        let node: &Circuit = &problem.circuits[circuit];
        node.shares.iter().copied().min().map_or(circuit, |first| first.min(circuit))
    };
    let mut found: BTreeMap<[CircuitAt; 2], BTreeMap<SocketAt, CircuitSet>> = BTreeMap::new();
    for socket in readings.clashing().take(MOST_CLASHES) {
        for (circuit, others) in readings.rescued(socket) {
            for other in others.iter() {
                let mut between = [leader(circuit), leader(other)];
                between.sort_unstable();
                if between[0] == between[1] {
                    continue;
                }
                let explained = found.entry(between).or_default();
                explained.entry(socket).or_insert_with(|| problem.set([])).insert(circuit);
            }
        }
    }
    let mut neutrals: Vec<SharedNeutral> = found
        .into_iter()
        .map(|(between, explains)| SharedNeutral { between, explains: explains.into_iter().collect() })
        .collect();
    neutrals.order_by_key(|neutral| Reverse(neutral.explains.len()));
    neutrals
}
