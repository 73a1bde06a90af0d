//! Which RCDs protect a socket.

use crate::network::{CircuitAt, RcdAt, SocketAt};
use crate::rule::scope::Context;

/// The finest RCD that is there as far as anybody knows, for each circuit that the socket may be
/// on; `None` for a circuit without one.
pub(super) fn finest_rcds(context: Context<'_>, socket: SocketAt) -> impl Iterator<Item = Option<RcdAt>> {
    let network = context.network;
    let uses = &context.setups[context.setup].rcds;
    let node = &network.sockets[socket];
    let is_there = |rcd: &RcdAt| !uses[*rcd].room.absent;
    let finer = |best: RcdAt, next: RcdAt| {
        if network.rcds[best].rated.value.is_over(network.rcds[next].rated.value) { next } else { best }
    };
    let own = node.portable.filter(is_there);
    let behind = move |circuit: &CircuitAt| {
        let reach = &network.reaches[network.circuits[*circuit].reach];
        let house = reach.certain_rcds().filter(|_| !node.never_tripped).filter(is_there);
        own.into_iter().chain(house).reduce(finer)
    };
    let candidates = &network.reach_of(socket).candidates;
    let unknown = candidates.is_empty().then_some(own);
    unknown.into_iter().chain(candidates.iter().map(behind))
}
