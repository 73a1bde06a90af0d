//! An assessment after heads were plugged in elsewhere, or after parts changed: what a check looked at and found
//! as it was, it would find again, so that its findings are kept.
//!
//! Sums are made anew. What is kept here is what [`super::assess`] would find, word for word.

use std::collections::BTreeSet;
use std::sync::Arc;

use super::order::continuous_runs;
use super::places;
use super::room::rcd_room;
use super::tally::{chain, feed, setup_use};
use super::usage::{HeadUse, SetupUse, SocketUse};
use super::{Assessment, Finding, Sums, report, sums};
use crate::network::{
    At, CircuitAt, Dense, HeadAt, Network, Parts, RcdAt, ReachAt, SetupAt, SetupNode, SocketAt, distance,
};
use crate::rule::setup::TOUCH;
use crate::rule::{self, Scope};
use crate::workers::Workers;

/// Brings an assessment in line with a plan that differs from the one of before in where heads are plugged in,
/// and in nothing else that is reckoned with ([`Resolved::Plugs`](crate::network::Resolved)).
pub fn assess_again(network: &Network, assessment: &mut Assessment, workers: &impl Workers) {
    let before = std::mem::take(&mut assessment.setups);
    let setups = sums(network, Some(&before), workers);
    let same = |setup, now: &SetupUse| Same::of(network, &before[setup], now, &BTreeSet::new());
    find_again(network, assessment, setups, workers, same);
}

/// Brings an assessment in line with a plan that differs from the one of before in `changed` parts, and in nothing
/// else that is reckoned with ([`Resolved::Parts`](crate::network::Resolved)).
pub fn assess_parts_again(
    network: &Network,
    assessment: &mut Assessment,
    changed: &Parts,
    workers: &impl Workers,
) {
    // Of the location as a whole there is little, and it is about such parts.
    assessment.findings.retain(|finding| finding.setup.is_some());
    assessment.findings.extend(rule::of_location(network));
    let mut before = std::mem::take(&mut assessment.setups);
    if is_out_of_use(network, changed) {
        let sockets =
            workers.each(before.len(), |setup| sockets_again(network, SetupAt::new(setup), &before));
        for ((_, used), sockets) in before.iter_mut().zip(sockets) {
            Arc::make_mut(used).sockets = sockets;
        }
        find_again(network, assessment, before, workers, |_, _: &SetupUse| Same::all(network));
        return;
    }
    let above = rcds_above(network, changed);
    let other_rcds: Dense<SetupAt, BTreeSet<RcdAt>> = before
        .iter_mut()
        .map(|(setup, used)| &above | &forget(network, setup, changed, Arc::make_mut(used)))
        .collect();
    let setups = sums(network, Some(&before), workers);
    let same = |setup, now: &SetupUse| {
        let mut same = Same::of(network, &before[setup], now, &other_rcds[setup]);
        same.but_for(network, &changed.sockets);
        same
    };
    find_again(network, assessment, setups, workers, same);
}

/// Whether no more has changed than sockets that nothing is plugged into, in any setup: nothing is found of those.
fn is_out_of_use(network: &Network, changed: &Parts) -> bool {
    let Parts { sockets, circuits, rcds, heads } = changed;
    let hangs_on_one = |setup: &SetupNode| {
        setup
            .placed
            .iter()
            .any(|(_, placed)| placed.as_ref().is_some_and(|placed| sockets.contains(&placed.socket)))
    };
    circuits.is_empty()
        && rcds.is_empty()
        && heads.is_empty()
        && sockets.iter().all(|socket| network.sockets[*socket].feeds.is_empty())
        && !network.setups.iter().any(|(_, setup)| hangs_on_one(setup))
}

/// What sockets carry where all else is as it was.
fn sockets_again(network: &Network, setup: SetupAt, before: &Sums) -> Dense<SocketAt, SocketUse> {
    let used = &before[setup];
    places::sockets(network, setup, &used.heads, None, |socket| {
        feed(&network.sockets[socket].feeds, |circuit| &used.circuits[circuit])
    })
}

/// The RCDs among these parts, and those that they are behind: a device is looked at with its tests, and with what the
/// circuits behind it say.
fn rcds_above(network: &Network, changed: &Parts) -> BTreeSet<RcdAt> {
    let of_circuits = changed.circuits.iter().map(|circuit| network.circuits[*circuit].reach);
    let of_sockets = changed.sockets.iter().map(|socket| network.sockets[*socket].reach);
    let reaches: BTreeSet<ReachAt> = of_circuits.chain(of_sockets).collect();
    let behind = reaches.into_iter().flat_map(|reach| &network.reaches[reach].rcds).map(|part| part.what);
    let portable = changed.sockets.iter().filter_map(|socket| network.sockets[*socket].portable);
    changed.rcds.iter().copied().chain(behind).chain(portable).collect()
}

/// Finds again what is not the `same` in the sums of each setup as it was; other findings are kept, and all of the
/// location.
fn find_again(
    network: &Network,
    assessment: &mut Assessment,
    setups: Sums,
    workers: &impl Workers,
    same: impl Fn(SetupAt, &SetupUse) -> Same + Sync,
) {
    let of_setup = |setup: usize| {
        let setup = SetupAt::new(setup);
        let same = same(setup, &setups[setup]);
        let found = rule::findings_where(network, &setups, setup, &|scope| !same.is(scope));
        (same, found)
    };
    let (same, found): (Vec<Same>, Vec<Vec<Finding>>) =
        workers.each(setups.len(), of_setup).into_iter().unzip();
    let is_kept = |finding: &Finding| finding.setup.is_none_or(|setup| same[setup.get()].is(finding.scope));
    let kept = std::mem::take(&mut assessment.findings).into_iter().filter(is_kept);
    *assessment = report::assessment(setups, kept.chain(found.into_iter().flatten()));
}

/// Takes out of the sums what hangs on parts that are not what they were: nothing there is as it was. Tells the RCDs
/// that have another room now.
fn forget(network: &Network, setup: SetupAt, changed: &Parts, used: &mut SetupUse) -> BTreeSet<RcdAt> {
    for (head, placed) in network.setups[setup].placed.iter() {
        let is_on_such = placed.as_ref().is_some_and(|placed| changed.sockets.contains(&placed.socket));
        if is_on_such || changed.heads.contains(&head) {
            used.heads[head] = None;
        }
    }
    // The room of a device hangs on its tests, on what leaks behind it, and on what was off in a test.
    let mut other = BTreeSet::new();
    if !(changed.rcds.is_empty() && changed.circuits.is_empty()) {
        for (rcd, used) in used.rcds.iter_mut() {
            let room = rcd_room(network, setup, rcd);
            if std::mem::replace(&mut used.room, room) != room {
                other.insert(rcd);
            }
        }
    }
    other
}

/// Assesses one setup again of a plan that differs in where heads are plugged in: its findings are there, and
/// those of the location. The sums of the other setups stay those of before where nothing that is found in this
/// one hangs on them; what breakers do after what came before is that of before, too.
#[must_use]
pub fn assess_setup_again(
    network: &Network,
    before: &Assessment,
    setup: SetupAt,
    workers: &impl Workers,
) -> Assessment {
    let setups = if rule::looks_across_setups(network) {
        sums(network, Some(&before.setups), workers)
    } else {
        let mut setups = before.setups.clone();
        let mut used = setup_use(network, setup, &continuous_runs(network), Some(&before.setups[setup]));
        for (at, circuit) in used.circuits.iter_mut() {
            circuit.breaker = before.setups[setup].circuits[at].breaker;
        }
        setups[setup] = Arc::new(used);
        setups
    };
    let same = Same::of(network, &before.setups[setup], &setups[setup], &BTreeSet::new());
    let found = rule::findings_where(network, &setups, setup, &|scope| !same.is(scope));
    let is_kept = |finding: &&Finding| finding.setup.is_none() || same.is(finding.scope);
    let kept = before.findings_in(setup).filter(is_kept).cloned();
    report::assessment(setups, kept.chain(found))
}

/// What the checks of one setup find as they found it before.
struct Same {
    heads: Dense<HeadAt, bool>,
    neighbours: Dense<HeadAt, bool>,
    sockets: Dense<SocketAt, bool>,
    circuits: Dense<CircuitAt, bool>,
    rcds: Dense<RcdAt, bool>,
}

impl Same {
    /// Everything.
    fn all(network: &Network) -> Self {
        Self {
            heads: Dense::filled(network.heads.len(), true),
            neighbours: Dense::filled(network.heads.len(), true),
            sockets: Dense::filled(network.sockets.len(), true),
            circuits: Dense::filled(network.circuits.len(), true),
            rcds: Dense::filled(network.rcds.len(), true),
        }
    }

    /// Takes out these sockets, with the others of their plates.
    fn but_for(&mut self, network: &Network, sockets: &[SocketAt]) {
        let plates = sockets.iter().map(|socket| &network.plates[network.sockets[*socket].plate]);
        for socket in plates.flat_map(|plate| &plate.sockets) {
            self.sockets[*socket] = false;
        }
    }

    /// Compares the sums of before and now; `other_rcds` are not what they were in more than their sums.
    fn of(network: &Network, before: &SetupUse, now: &SetupUse, other_rcds: &BTreeSet<RcdAt>) -> Self {
        let heads: Dense<HeadAt, bool> = network
            .heads
            .indices()
            .map(|head| match (&before.heads[head], &now.heads[head]) {
                (Some(before), Some(now)) => before.is_like(now),
                (before, now) => before.is_none() && now.is_none(),
            })
            .collect();
        let sockets = sockets(network, before, now);
        let circuits = circuits(network, before, now, &heads);
        let rcds = rcds(network, before, now, &heads, other_rcds);
        let neighbours = neighbours(network, &heads);
        Self { heads, neighbours, sockets, circuits, rcds }
    }

    /// Whether all that a check looks at is as it was. Supplies and the setup as a whole are few, and look at
    /// much: they are checked again.
    fn is(&self, scope: Scope) -> bool {
        match scope {
            Scope::Head(at) => self.heads[at],
            // A socket that is gone is found nothing about.
            Scope::Socket(at) => self.sockets.get(at).copied().unwrap_or(false),
            Scope::Circuit(at) => self.circuits[at],
            Scope::Rcd(at) => self.rcds[at],
            Scope::Neighbours(at) => self.neighbours[at],
            Scope::Supply | Scope::Setup => false,
            Scope::Location => true,
        }
    }
}

/// A head is looked at with those that can be touched together with it.
fn neighbours(network: &Network, heads: &Dense<HeadAt, bool>) -> Dense<HeadAt, bool> {
    let mut same = heads.clone();
    for (changed, _) in heads.iter().filter(|(_, same)| !**same) {
        for (other, node) in network.heads.iter() {
            let metres = distance(&network.heads[changed].place, &node.place);
            same[other] &= metres.is_none_or(|metres| metres.is_over(TOUCH));
        }
    }
    same
}

/// A socket is looked at with the others of its plate.
fn sockets(network: &Network, before: &SetupUse, now: &SetupUse) -> Dense<SocketAt, bool> {
    let own: Dense<SocketAt, bool> =
        network.sockets.indices().map(|at| before.sockets.get(at) == Some(&now.sockets[at])).collect();
    let with_plate = |at| network.plates[network.sockets[at].plate].sockets.iter().all(|mate| own[*mate]);
    network.sockets.indices().map(|at| own[at] && with_plate(at)).collect()
}

/// A circuit is looked at with its heads, and with the circuits that share its neutral.
fn circuits(
    network: &Network,
    before: &SetupUse,
    now: &SetupUse,
    heads: &Dense<HeadAt, bool>,
) -> Dense<CircuitAt, bool> {
    let of_heads = |at: CircuitAt| {
        let used = &now.circuits[at];
        used.heads.iter().chain(&used.possible_heads).all(|head| heads[*head])
    };
    let own: Dense<CircuitAt, bool> = network
        .circuits
        .indices()
        .map(|at| before.circuits[at] == now.circuits[at] && of_heads(at))
        .collect();
    let with_neutral = |at: CircuitAt| {
        let neutral = network.circuits[at].neutral.map(|neutral| &network.neutrals[neutral]);
        neutral.is_none_or(|neutral| neutral.circuits.iter().all(|other| own[*other]))
    };
    network.circuits.indices().map(|at| own[at] && with_neutral(at)).collect()
}

/// An RCD is looked at with its heads, with the others that its heads leak through, and with those that a
/// head may be moved to.
fn rcds(
    network: &Network,
    before: &SetupUse,
    now: &SetupUse,
    heads: &Dense<HeadAt, bool>,
    other: &BTreeSet<RcdAt>,
) -> Dense<RcdAt, bool> {
    let own: Dense<RcdAt, bool> = network
        .rcds
        .indices()
        .map(|at| {
            let used = &now.rcds[at];
            !other.contains(&at)
                && before.rcds[at] == *used
                && used.order.iter().all(|(head, _)| heads[*head])
        })
        .collect();
    let is_elsewhere_same = before.roomiest == now.roomiest && now.roomiest.iter().all(|at| own[*at]);
    let with_chain = |at: RcdAt| {
        now.rcds[at].order.iter().all(|(head, _)| {
            let socket = now.heads[*head].as_ref().and_then(|used| used.socket);
            socket.is_none_or(|socket| chain(network, socket).all(|(other, _)| own[other]))
        })
    };
    network.rcds.indices().map(|at| is_elsewhere_same && own[at] && with_chain(at)).collect()
}

impl HeadUse {
    /// Whether it is the same but for when it is struck, which no check of a head looks at.
    fn is_like(&self, other: &Self) -> bool {
        let Self {
            socket,
            links,
            terminals,
            amps,
            start,
            inrush,
            lead,
            lead_needed,
            conductor,
            arriving,
            at_lowest,
            shared,
            strike: _,
        } = self;
        *socket == other.socket
            && *links == other.links
            && *terminals == other.terminals
            && *amps == other.amps
            && *start == other.start
            && *inrush == other.inrush
            && *lead == other.lead
            && *lead_needed == other.lead_needed
            && *conductor == other.conductor
            && *arriving == other.arriving
            && *at_lowest == other.at_lowest
            && *shared == other.shared
    }
}
