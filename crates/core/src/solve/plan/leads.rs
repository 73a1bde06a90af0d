//! Which leads a head could take to a socket.

use crate::network::{CableAt, HeadAt, Link, Network, SocketAt, lead_needed};
use crate::rule::fit::first_misfit;
use crate::unit::Metres;

/// So many ways of one kind are looked at.
const FEW: usize = 3;

/// Single leads that reach and plug together, the shortest first; then two joined. No lead where none is
/// needed, where the distance is not known, and where the plan lists no leads yet.
pub(super) fn ways(network: &Network, socket: SocketAt, head: HeadAt) -> Vec<Vec<Link>> {
    every_way(network, socket, head).into_iter().flat_map(|ways| ways.into_iter().take(FEW)).collect()
}

/// Whether there are more ways to any head that is on than are looked at.
pub(super) fn is_cut(network: &Network) -> bool {
    let on =
        network.heads.indices().filter(|head| network.setups.iter().any(|(_, setup)| setup.is_on[*head]));
    on.flat_map(|head| network.sockets.indices().map(move |socket| (socket, head)))
        .any(|(socket, head)| every_way(network, socket, head).iter().any(|ways| ways.len() > FEW))
}

/// The least lead that a head needs to any of these sockets, and how far the truck's leads go, two joined at
/// most; `None` where a distance is not known.
pub(super) fn least_and_most(
    network: &Network,
    sockets: impl Iterator<Item = SocketAt>,
    head: HeadAt,
) -> Option<(Metres, Metres)> {
    let node = &network.heads[head];
    let stair = network.plan.location.stair;
    let needed = |at: SocketAt| lead_needed(&network.sockets[at].place, &node.place, stair, node.tail);
    let needed: Option<Vec<Metres>> = sockets.map(needed).collect();
    let least = needed?.into_iter().reduce(Metres::min)?;
    let pieces = network.cables.iter().flat_map(|(_, cable)| {
        std::iter::repeat_n(cable.length, usize::try_from(cable.count.unwrap_or(2).min(2)).unwrap_or(2))
    });
    let mut pieces: Vec<Metres> = pieces.collect();
    pieces.sort_by(|a, b| b.total_cmp(*a));
    Some((least, pieces.into_iter().take(2).sum()))
}

/// Ways by one lead, and ways by two.
fn every_way(network: &Network, socket: SocketAt, head: HeadAt) -> [Vec<Vec<Link>>; 2] {
    let node = &network.heads[head];
    let needed =
        lead_needed(&network.sockets[socket].place, &node.place, network.plan.location.stair, node.tail);
    let plugs_in = |links: &[Link]| first_misfit(network, socket, links, head).is_none();
    let Some(needed) = needed.filter(|needed| *needed != Metres::ZERO && !network.cables.is_empty()) else {
        return [if plugs_in(&[]) { vec![Vec::new()] } else { Vec::new() }, Vec::new()];
    };
    let length = |at: CableAt| network.cables[at].length;
    let has = |at: CableAt, pieces: u32| network.cables[at].count.is_none_or(|count| count >= pieces);
    let cables: Vec<CableAt> = network.cables.indices().filter(|at| has(*at, 1)).collect();
    let single: Vec<Vec<CableAt>> =
        cables.iter().filter(|at| length(**at).reaches(needed)).map(|at| vec![*at]).collect();
    let pair = |first: CableAt, second: CableAt| {
        let is_there = first != second || has(first, 2);
        (is_there && (length(first) + length(second)).reaches(needed)).then(|| vec![first, second])
    };
    let joined: Vec<Vec<CableAt>> =
        cables.iter().flat_map(|first| cables.iter().filter_map(|second| pair(*first, *second))).collect();
    [single, joined].map(|mut ways| {
        ways.sort_by(|a, b| {
            let reach = |leads: &[CableAt]| leads.iter().map(|at| length(*at)).sum::<Metres>();
            reach(a).total_cmp(reach(b))
        });
        let links = ways.iter().map(|leads| leads.iter().copied().map(Link::Cable).collect::<Vec<_>>());
        links.filter(|links| plugs_in(links)).collect()
    })
}

/// Metres of lead in centimetres: of what is taken, else of what it takes.
pub(super) fn centimetres(network: &Network, socket: SocketAt, head: HeadAt, links: &[Link]) -> i64 {
    let taken: Metres = links
        .iter()
        .filter_map(|link| match link {
            Link::Cable(cable) => Some(network.cables[*cable].length),
            Link::Block(_) => None,
        })
        .sum();
    let node = &network.heads[head];
    let needed = || {
        let stair = network.plan.location.stair;
        lead_needed(&network.sockets[socket].place, &node.place, stair, node.tail).unwrap_or(Metres::ZERO)
    };
    let metres = if network.cables.is_empty() { needed() } else { taken };
    #[expect(clippy::cast_possible_truncation, reason = "at most some kilometres")]
    let centimetres = (metres.0 * 100.0).round() as i64;
    centimetres
}
