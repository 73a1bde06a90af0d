//! What protects people where the house does not.

use crate::id::{RcdId, SocketId};
use crate::network::{Network, SocketAt};
use crate::plan::{Plan, Rcd, RcdClass};
use crate::rule::words::{list, number};
use crate::unit::MilliAmps;

use super::gear::near;
use super::{Asks, Case, Change, Kind};

/// The coarsest RCD that protects people, as the rule `rcd-coarse` has it.
const PERSONAL: MilliAmps = MilliAmps(30.0);
/// So many single sockets are tried.
const FEW: usize = 6;

/// A plug-in RCD in a socket that no RCD fine enough protects: in one, else in all of them.
pub(super) fn portable_rcd(case: &Case<'_>) -> Kind {
    let network = case.network;
    let ids = |at: &SocketAt| network.socket_id(*at).clone();
    let bare: Vec<SocketId> = near(case).iter().filter(|at| is_bare(network, **at)).map(ids).collect();
    let rated = network.region.rcd_rated_ma;
    let with = |sockets: &[SocketId]| {
        let mut plan = case.plan();
        for socket in sockets {
            put_in(&mut plan, network, socket);
        }
        plan
    };
    let change = |sockets: &[SocketId]| {
        let count = sockets.len();
        let words = if count == 1 { "a plug-in" } else { "plug-in" };
        let ending = if count == 1 { "" } else { "s" };
        let (word, names) = (&network.region.words.rcd, list(sockets));
        let action =
            format!("put {words} {word}{ending} of {} mA into {names}, tested that day", number(rated.0));
        Change::of(with(sockets), Asks::Crew, action)
    };
    let mut changes: Vec<Change> =
        bare.iter().take(FEW).map(|socket| change(std::slice::from_ref(socket))).collect();
    if bare.len() > 1 {
        changes.push(change(&bare));
    }
    Kind { at_best: (bare.len() > 1).then(|| with(&bare)), changes }
}

/// Whether no RCD that protects people is surely upstream of a socket, or it was seen not to trip.
fn is_bare(network: &Network, at: SocketAt) -> bool {
    let node = &network.sockets[at];
    let is_fine = |rcd| !network.rcds[rcd].rated.value.is_over(PERSONAL);
    node.portable.is_none() && (node.never_tripped || !network.reach_of(at).certain_rcds().any(is_fine))
}

/// A plug-in one of its own for a socket, as the region has them.
fn put_in(plan: &mut Plan, network: &Network, socket: &SocketId) {
    let mut id = format!("plug-in-{socket}");
    while plan.rcds.contains_key(id.as_str()) {
        id.push('2');
    }
    let id = RcdId::from(id.as_str());
    let class = match network.region.rcd_class {
        RcdClass::Gfci => RcdClass::Gfci,
        RcdClass::Rcd | RcdClass::Portable => RcdClass::Portable,
    };
    if let Some(socket) = plan.sockets.get_mut(socket.as_str()) {
        socket.portable_rcd = Some(id.clone());
        let rated = Some(network.region.rcd_rated_ma);
        plan.rcds.insert(id, Rcd { class: Some(class), rated, ..Rcd::default() });
    }
}
