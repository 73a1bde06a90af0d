//! How long heads burn over consecutive setups, and the order in which a setup's heads are struck.

use crate::network::{Dense, HeadAt, Network, SetupAt, plan_order};
use crate::strike::{Struck, sort_best};
use crate::unit::Minutes;

/// Minutes in a day.
const DAY: f64 = 1440.0;

/// For each setup and head: the minutes that it burns on the same circuit over the consecutive
/// setups that this one is part of; 0 where it is off.
pub(crate) type Runs = Dense<SetupAt, Dense<HeadAt, Minutes>>;

/// Works out the runs. Setups follow each other in the order of their starts, or of the file where
/// a start is not known; a gap between two known times ends a run.
pub(crate) fn continuous_runs(network: &Network) -> Runs {
    let mut runs: Runs =
        Dense::filled(network.setups.len(), Dense::filled(network.heads.len(), Minutes::ZERO));
    let order = plan_order(&network.setups);
    for head in network.heads.indices() {
        let mut from = 0;
        while from < order.len() {
            let mut until = from + 1;
            while until < order.len() && goes_on(network, head, order[until - 1], order[until]) {
                until += 1;
            }
            let run = &order[from..until];
            if network.setups[order[from]].is_on[head] {
                let total = run.iter().map(|setup| network.setups[*setup].minutes).sum();
                for setup in run {
                    runs[*setup][head] = total;
                }
            }
            from = until;
        }
    }
    runs
}

/// Whether a head burns on from one setup into the next, on the same circuit.
fn goes_on(network: &Network, head: HeadAt, before: SetupAt, after: SetupAt) -> bool {
    let (before, after) = (&network.setups[before], &network.setups[after]);
    if !before.is_on[head] || !after.is_on[head] {
        return false;
    }
    let reach = |setup: &crate::network::SetupNode| {
        setup.placed[head].as_ref().map(|placed| network.sockets[placed.socket].reach)
    };
    if reach(before) != reach(after) {
        return false;
    }
    let (Some(first), Some(second)) = (before.start, after.start) else { return true };
    let gap = f64::from(second.minutes) - (f64::from(first.minutes) + before.minutes.0);
    gap.rem_euclid(DAY) < 1.0
}

/// The order in which a setup's placed heads are struck: the crew's own first, then the best.
pub(crate) fn strike_order(
    network: &Network,
    setup: SetupAt,
    struck: impl Fn(HeadAt) -> Option<Struck>,
) -> Vec<HeadAt> {
    let node = &network.setups[setup];
    let mut order: Vec<HeadAt> =
        node.strike.iter().copied().filter(|head| node.is_on[*head] && struck(*head).is_some()).collect();
    let mut rest: Vec<(HeadAt, Struck)> = node
        .on
        .iter()
        .copied()
        .filter(|head| !node.strike.contains(head))
        .filter_map(|head| Some((head, struck(head)?)))
        .collect();
    sort_best(&mut rest, |(_, struck)| *struck);
    order.extend(rest.into_iter().map(|(head, _)| head));
    order
}
