//! How long heads burn over consecutive setups, and the order in which a setup's heads are struck.

use crate::network::{Dense, HeadAt, Network, ReachAt, SetupAt, SetupNode, plan_order};
use crate::physics::breaker::Heat;
use crate::strike::{Struck, sort_best};
use crate::unit::Minutes;

use super::usage::SetupUse;

/// Minutes in a day.
const DAY: f64 = 1440.0;

/// For each setup and head: the minutes that it burns on the same circuit over the consecutive
/// setups that this one is part of; 0 where it is off.
pub(crate) type Runs = Dense<SetupAt, Dense<HeadAt, Minutes>>;

/// Works out the runs.
pub(crate) fn continuous_runs(network: &Network) -> Runs {
    let mut runs: Runs =
        Dense::filled(network.setups.len(), Dense::filled(network.heads.len(), Minutes::ZERO));
    let order = plan_order(&network.setups);
    for head in network.heads.indices() {
        let placed = |setup: SetupAt| {
            network.setups[setup].placed[head].as_ref().map(|placed| network.sockets[placed.socket].reach)
        };
        for (setup, minutes) in runs_of_head(network, &order, head, placed) {
            runs[setup][head] = minutes;
        }
    }
    runs
}

/// The runs of one head that hangs on `reach` in each setup. Setups follow each other in `order`;
/// a gap between two known times ends a run.
pub(super) fn runs_of_head(
    network: &Network,
    order: &[SetupAt],
    head: HeadAt,
    reach: impl Fn(SetupAt) -> Option<ReachAt>,
) -> Vec<(SetupAt, Minutes)> {
    let goes_on = |before: SetupAt, after: SetupAt| {
        network.setups[after].is_on[head]
            && reach(before) == reach(after)
            && follows(&network.setups[before], &network.setups[after])
    };
    let mut runs = Vec::new();
    let mut from = 0;
    while from < order.len() {
        let mut until = from + 1;
        if network.setups[order[from]].is_on[head] {
            while until < order.len() && goes_on(order[until - 1], order[until]) {
                until += 1;
            }
            let run = &order[from..until];
            let minutes = run.iter().map(|setup| network.setups[*setup].minutes).sum();
            runs.extend(run.iter().map(|setup| (*setup, minutes)));
        }
        from = until;
    }
    runs
}

/// Whether one setup starts as the other ends, as far as their times are known.
fn follows(before: &SetupNode, after: &SetupNode) -> bool {
    let (Some(first), Some(second)) = (before.start, after.start) else { return true };
    let gap = f64::from(second.minutes) - (f64::from(first.minutes) + before.minutes.0);
    gap.rem_euclid(DAY) < 1.0
}

/// Follows each breaker through the setups in the order in which they burn: time at an overload adds
/// up as long as no break lets it cool.
pub(super) fn heat_breakers(network: &Network, setups: &mut Dense<SetupAt, SetupUse>) {
    let order = plan_order(&network.setups);
    for circuit in network.circuits.indices() {
        let mut heat = Heat::COLD;
        let mut before: Option<SetupAt> = None;
        for setup in &order {
            let node = &network.setups[*setup];
            if before.is_some_and(|before| !follows(&network.setups[before], node)) {
                heat = Heat::COLD;
            }
            let used = &mut setups[*setup].circuits[circuit];
            heat = heat.after(used.window, node.minutes);
            used.breaker = heat.outcome();
            before = Some(*setup);
        }
    }
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
    let mut insisted = Dense::filled(network.heads.len(), false);
    for head in &node.strike {
        insisted[*head] = true;
    }
    let mut rest: Vec<(HeadAt, Struck)> = node
        .on
        .iter()
        .copied()
        .filter(|head| !insisted[*head])
        .filter_map(|head| Some((head, struck(head)?)))
        .collect();
    sort_best(&mut rest, |(_, struck)| *struck);
    order.extend(rest.into_iter().map(|(head, _)| head));
    order
}
