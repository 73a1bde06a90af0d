//! What each socket carries: its plugs, its blocks, the distribution box that it feeds.

use crate::network::{At, Dense, HeadAt, Link, Network, SetupAt, SocketAt};
use crate::physics::cable::conductor_resistance;
use crate::unit::{Amps, Ohms};

use super::usage::{HeadUse, PlugUse, SocketUse, arriving};

/// What a socket carries in a setup. `heads` are those that are on, in the order of the plan; `feed`
/// is what a distribution box draws from it.
pub(super) fn socket_use(
    network: &Network,
    heads: &[(HeadAt, &[Link])],
    amps_of: impl Fn(HeadAt) -> Amps,
    (feed, on_box): (Amps, Vec<HeadAt>),
) -> SocketUse {
    let mut used = SocketUse { plugs: Vec::new(), amps: feed, feed, fed: on_box };
    for (head, links) in heads {
        add_plug(network, &mut used, *head, links, amps_of(*head));
    }
    used
}

/// Plugs a head into a socket. Heads whose links begin with the same kind of block share one of it,
/// up to its ways.
fn add_plug(network: &Network, used: &mut SocketUse, head: HeadAt, links: &[Link], amps: Amps) {
    let block = match links.first() {
        Some(Link::Block(block)) => Some(*block),
        _ => None,
    };
    let ways = block.map_or(1, |block| network.blocks[block].ways.value as usize);
    used.amps += amps;
    let shared =
        used.plugs.iter_mut().find(|plug| block.is_some() && plug.block == block && plug.heads.len() < ways);
    match shared {
        Some(plug) => {
            plug.heads.push(head);
            plug.amps += amps;
        }
        None => used.plugs.push(PlugUse { heads: vec![head], block, amps }),
    }
}

/// The same socket with one head more. Blocks are filled in the order of the plan, so all of its
/// heads are plugged in anew.
pub(super) fn with_head(
    network: &Network,
    used: &SocketUse,
    head: HeadAt,
    heads: &Dense<HeadAt, Option<HeadUse>>,
) -> SocketUse {
    let mut on: Vec<HeadAt> = used.plugs.iter().flat_map(|plug| plug.heads.iter().copied()).collect();
    on.push(head);
    on.sort_unstable();
    let with_links: Vec<(HeadAt, &[Link])> =
        on.iter().filter_map(|head| Some((*head, heads[*head].as_ref()?.links.as_slice()))).collect();
    let amps_of = |head: HeadAt| heads[head].as_ref().map_or(Amps::ZERO, |used| used.amps);
    socket_use(network, &with_links, amps_of, (used.feed, used.fed.clone()))
}

/// A head's lead: metres of it, and metres needed where both places are known.
pub(super) fn lead(
    network: &Network,
    head: HeadAt,
    socket: SocketAt,
    links: &[Link],
) -> (crate::unit::Metres, Option<crate::unit::Metres>) {
    let length = links
        .iter()
        .filter_map(|link| match link {
            Link::Cable(cable) => Some(network.cables[*cable].length),
            Link::Block(_) => None,
        })
        .sum();
    let node = &network.heads[head];
    let needed = crate::network::lead_needed(
        &network.sockets[socket].place,
        &node.place,
        network.plan.location.stair,
        node.tail,
    );
    (length, needed)
}

/// A head's use in a setup, plugged in where `place` says.
pub(super) fn head_use(network: &Network, head: HeadAt, place: Option<(SocketAt, &[Link])>) -> HeadUse {
    let node = &network.heads[head];
    let terminals =
        place.map_or_else(|| network.unplaced_terminals(head), |(socket, _)| network.terminals(socket));
    let amps = node.running_amps(terminals);
    let (lead, needed) = match place {
        Some((socket, links)) => lead(network, head, socket, links),
        None => (crate::unit::Metres::ZERO, None),
    };
    let conductor = place.map_or(Ohms::ZERO, |(_, links)| conductor_resistance_of(network, links));
    let mut used = HeadUse {
        conductor,
        arriving: None,
        socket: place.map(|(socket, _)| socket),
        links: place.map(|(_, links)| links.to_vec()).unwrap_or_default(),
        terminals,
        amps,
        start: node.start_amps(amps),
        lead,
        lead_needed: needed,
        strike: None,
    };
    used.arriving = used.socket.and_then(|_| arriving(node, terminals, &used, terminals.volts));
    used
}

/// Resistance of one conductor of the leads of a chain.
fn conductor_resistance_of(network: &Network, links: &[Link]) -> Ohms {
    let lead = |link: &Link| match link {
        Link::Cable(cable) => {
            let node = &network.cables[*cable];
            conductor_resistance(node.size, node.length)
        }
        Link::Block(_) => None,
    };
    links.iter().filter_map(lead).sum()
}

/// The heads that are on and plugged in at each socket, in the order of the plan.
pub(super) fn heads_by_socket(network: &Network, setup: SetupAt) -> Vec<Vec<HeadAt>> {
    let node = &network.setups[setup];
    let mut by_socket = vec![Vec::new(); network.sockets.len()];
    for (head, placed) in node.placed.iter() {
        if let Some(placed) = placed
            && node.is_on[head]
        {
            by_socket[placed.socket.get()].push(head);
        }
    }
    by_socket
}
