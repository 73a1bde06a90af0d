//! Where a head could go if its RCD or its circuit is lost.

use ampwalk_core::assess::{Extent, Hand, Outlook, Prospect};
use ampwalk_core::diagnose::lead_ids;
use ampwalk_core::network::{CircuitAt, HeadAt, Network, RcdAt, SocketAt};
use ampwalk_core::plan::TestOutcome;
use ampwalk_core::rule::words::list;
use ampwalk_core::workers::OneByOne;

use crate::frame::Source;
use crate::names::rcd_chain;
use crate::sheet::Cell;

/// The socket, and how it would turn out there.
pub(super) fn cells(source: Source<'_>, head: HeadAt, from: SocketAt) -> [Cell; 2] {
    let network = source.network;
    let hand = Hand::pick_up_for(network, source.assessment, source.setup, head, Extent::ThisSetup);
    let apart: Vec<SocketAt> =
        hand.nearest_first(network).into_iter().filter(|socket| is_apart(network, from, *socket)).collect();
    let common = |prospect: &Prospect| in_common(network, from, prospect.socket).len();
    let best = hand
        .prospects(network, &apart, &OneByOne)
        .into_iter()
        .filter(|prospect| prospect.outlook <= Outlook::Risk)
        .min_by(|a, b| common(a).cmp(&common(b)).then_with(|| Prospect::best_first(a, b)));
    let Some(best) = best else { return [Cell::text("none found"), Cell::EMPTY] };
    let there = hand.at(network, best.socket);
    let common = in_common(network, from, best.socket);
    let mut words = there.words;
    if !there.links.is_empty() {
        words = format!("{words}, over {}", lead_ids(network, &there.links).join(" + "));
    }
    if !common.is_empty() {
        let names = list(common.iter().map(|rcd| network.rcd_id(*rcd)));
        words = format!("{words}; {names} is before both");
    }
    [Cell::text(network.socket_id(best.socket).as_str()), Cell::text(words)]
}

/// Whether a socket is tested, behind an RCD, and lives on where the circuit or the nearest RCD of another
/// one is lost.
fn is_apart(network: &Network, from: SocketAt, to: SocketAt) -> bool {
    let chain = rcd_chain(network, to);
    let circuits = |socket: SocketAt| network.reach_of(socket).circuits.iter().map(|part| part.what);
    network.sockets[to].test != TestOutcome::Untested
        && chain.iter().any(|(_, certain)| *certain)
        && !circuits(from).any(|circuit| circuits(to).any(|other| other == circuit))
        && !nearest(network, from).iter().any(|rcd| chain.iter().any(|(other, _)| other == rcd))
}

/// The RCD that is nearest to a socket, on each circuit that it may be on.
fn nearest(network: &Network, socket: SocketAt) -> Vec<RcdAt> {
    if let Some(own) = network.sockets[socket].portable {
        return vec![own];
    }
    let first = |circuit: &CircuitAt| {
        network.reaches[network.circuits[*circuit].reach].rcds.first().map(|part| part.what)
    };
    network.reach_of(socket).candidates.iter().filter_map(first).collect()
}

/// RCDs that both sockets are behind, or may be.
fn in_common(network: &Network, from: SocketAt, to: SocketAt) -> Vec<RcdAt> {
    let there = rcd_chain(network, to);
    let both = |rcd: &RcdAt| there.iter().any(|(other, _)| other == rcd);
    rcd_chain(network, from).into_iter().map(|(rcd, _)| rcd).filter(both).collect()
}
