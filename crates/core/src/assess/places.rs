//! What each socket carries: its plugs, its blocks, the distribution box that it feeds.

use crate::network::{Dense, HeadAt, Link, Network, SocketAt};
use crate::unit::{Amps, Ohms};

use super::usage::{HeadUse, PlugUse, SocketUse, arriving};

/// What each socket carries: the heads that are on, in the order of the plan, and `feed`, what a
/// distribution box draws from it with the heads on it.
pub(super) fn sockets(
    network: &Network,
    heads: &Dense<HeadAt, Option<HeadUse>>,
    feed: impl Fn(SocketAt) -> (Amps, Vec<HeadAt>),
) -> Dense<SocketAt, SocketUse> {
    let mut sockets: Dense<SocketAt, SocketUse> =
        network.sockets.indices().map(|socket| with_nothing(feed(socket))).collect();
    for (head, used) in heads.iter() {
        if let Some(used) = used
            && let Some(socket) = used.socket
        {
            add_plug(network, &mut sockets[socket], head, used);
        }
    }
    sockets
}

fn with_nothing((feed, on_box): (Amps, Vec<HeadAt>)) -> SocketUse {
    SocketUse { plugs: Vec::new(), amps: feed, feed, fed: on_box }
}

/// Plugs a head into a socket. Heads whose links begin with the same kind of block share one of it,
/// up to its ways.
fn add_plug(network: &Network, socket: &mut SocketUse, head: HeadAt, used: &HeadUse) {
    let block = match used.links.first() {
        Some(Link::Block(block)) => Some(*block),
        _ => None,
    };
    let ways = block.map_or(1, |block| network.blocks[block].ways.value as usize);
    socket.amps += used.amps;
    let has_room = |plug: &&mut PlugUse| block.is_some() && plug.block == block && plug.heads.len() < ways;
    match socket.plugs.iter_mut().find(has_room) {
        Some(plug) => {
            plug.heads.push(head);
            plug.amps += used.amps;
        }
        None => socket.plugs.push(PlugUse { heads: vec![head], block, amps: used.amps }),
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
    let mut socket = with_nothing((used.feed, used.fed.clone()));
    for head in on {
        if let Some(used) = &heads[head] {
            add_plug(network, &mut socket, head, used);
        }
    }
    socket
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
        inrush: node.inrush_at(amps),
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
        Link::Cable(cable) => network.cables[*cable].conductor,
        Link::Block(_) => None,
    };
    links.iter().filter_map(lead).sum()
}
