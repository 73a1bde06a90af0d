//! What each socket carries: its plugs, its blocks, the distribution box that it feeds.

use crate::network::{Dense, HeadAt, Link, Network, SetupAt, SocketAt};
use crate::unit::{Amps, Ohms};

use super::plug::plug_in;
use super::usage::{HeadUse, SocketUse, arriving, at_lowest};

/// What each socket carries: the heads that are plugged in, on or off, in the order of the plan, and
/// `feed`, what a distribution box draws from it with the heads on it. A head that is `lifted` is in
/// no socket.
pub(super) fn sockets(
    network: &Network,
    setup: SetupAt,
    heads: &Dense<HeadAt, Option<HeadUse>>,
    lifted: Option<HeadAt>,
    feed: impl Fn(SocketAt) -> (Amps, Vec<HeadAt>),
) -> Dense<SocketAt, SocketUse> {
    let mut sockets: Dense<SocketAt, SocketUse> =
        network.sockets.indices().map(|socket| with_nothing(feed(socket))).collect();
    for (head, placed) in network.setups[setup].placed.iter() {
        let Some(placed) = placed.as_ref().filter(|_| lifted != Some(head)) else { continue };
        let amps = heads[head].as_ref().map(|used| used.amps);
        add_plug(network, &mut sockets[placed.socket], head, &placed.links, amps);
    }
    sockets
}

fn with_nothing((feed, on_box): (Amps, Vec<HeadAt>)) -> SocketUse {
    SocketUse { plugs: Vec::new(), dark: Vec::new(), amps: feed, feed, fed: on_box }
}

/// Plugs a head into a socket, one that is off without amps.
fn add_plug(network: &Network, socket: &mut SocketUse, head: HeadAt, links: &[Link], amps: Option<Amps>) {
    match amps {
        Some(amps) => socket.amps += amps,
        None => socket.dark.push(head),
    }
    plug_in(network, &mut socket.plugs, head, amps, links);
}

/// The same socket with one head more that burns. Blocks are filled in the order of the plan, so all of
/// its heads are plugged in anew.
pub(super) fn with_head(
    network: &Network,
    setup: SetupAt,
    used: &SocketUse,
    head: HeadAt,
    heads: &Dense<HeadAt, Option<HeadUse>>,
) -> SocketUse {
    let mut plugged = vec![head];
    plugged.extend(
        used.plugs.iter().flat_map(|plug| plug.heads.iter().copied()).chain(used.dark.iter().copied()),
    );
    plugged.sort_unstable();
    let mut socket = with_nothing((used.feed, used.fed.clone()));
    for head in plugged {
        match (&heads[head], &network.setups[setup].placed[head]) {
            (Some(used), _) => add_plug(network, &mut socket, head, &used.links, Some(used.amps)),
            (None, Some(placed)) => add_plug(network, &mut socket, head, &placed.links, None),
            (None, None) => {}
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

/// A head's use in a setup, plugged in where `place` says; as it was before where it was alone on that very
/// plug.
pub(super) fn head_use_again(
    network: &Network,
    head: HeadAt,
    place: Option<(SocketAt, &[Link])>,
    before: Option<&HeadUse>,
) -> HeadUse {
    let is_there = |before: &&HeadUse| {
        before.shared.is_none()
            && before
                .socket
                .zip(place)
                .is_some_and(|(socket, there)| (socket, before.links.as_slice()) == there)
    };
    match before.filter(is_there) {
        Some(before) => HeadUse { strike: None, ..before.clone() },
        None => head_use(network, head, place),
    }
}

/// A head's use in a setup, plugged in where `place` says.
pub(crate) fn head_use(network: &Network, head: HeadAt, place: Option<(SocketAt, &[Link])>) -> HeadUse {
    let node = &network.heads[head];
    let terminals =
        place.map_or_else(|| network.unplaced_terminals(head), |(socket, _)| network.terminals(socket));
    let amps = node.running_amps(terminals);
    let (lead, needed) = match place {
        Some((socket, links)) => lead(network, head, socket, links),
        None => (crate::unit::Metres::ZERO, None),
    };
    let conductor = place
        .map_or(Some(Ohms::ZERO), |(_, links)| links.iter().map(|link| network.conductor_of(*link)).sum());
    let mut used = HeadUse {
        conductor,
        arriving: None,
        at_lowest: None,
        shared: None,
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
    if used.socket.is_some() {
        used.arriving = arriving(node, terminals.volts, &used);
        used.at_lowest = at_lowest(node, network.region, &used);
    }
    used
}
