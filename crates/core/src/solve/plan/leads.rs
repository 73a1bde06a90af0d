//! Which leads a head could take to a socket.

use crate::network::{CableAt, HeadAt, Link, Network, SocketAt, lead_needed};
use crate::rule::fit::first_misfit;
use crate::unit::Metres;

/// So many ways of one kind are looked at.
const FEW: usize = 3;

/// Single leads that reach and plug together, the shortest first; where there are none, two joined. No lead
/// where none is needed, where the distance is not known, and where the plan lists no leads yet.
pub(super) fn ways(network: &Network, socket: SocketAt, head: HeadAt) -> Vec<Vec<Link>> {
    let node = &network.heads[head];
    let needed =
        lead_needed(&network.sockets[socket].place, &node.place, network.plan.location.stair, node.tail);
    let plugs_in = |links: &[Link]| first_misfit(network, socket, links, head).is_none();
    let Some(needed) = needed.filter(|needed| *needed != Metres::ZERO && !network.cables.is_empty()) else {
        return if plugs_in(&[]) { vec![Vec::new()] } else { Vec::new() };
    };
    let length = |at: CableAt| network.cables[at].length;
    let has = |at: CableAt, pieces: u32| network.cables[at].count.is_none_or(|count| count >= pieces);
    let cables: Vec<CableAt> = network.cables.indices().filter(|at| has(*at, 1)).collect();
    let mut single: Vec<Vec<CableAt>> =
        cables.iter().filter(|at| length(**at).reaches(needed)).map(|at| vec![*at]).collect();
    let pair = |first: CableAt, second: CableAt| {
        let is_there = first != second || has(first, 2);
        (is_there && (length(first) + length(second)).reaches(needed)).then(|| vec![first, second])
    };
    let mut joined: Vec<Vec<CableAt>> =
        cables.iter().flat_map(|first| cables.iter().filter_map(|second| pair(*first, *second))).collect();
    let mut all = Vec::new();
    for ways in [&mut single, &mut joined] {
        ways.sort_by(|a, b| {
            let reach = |leads: &[CableAt]| leads.iter().map(|at| length(*at)).sum::<Metres>();
            reach(a).total_cmp(reach(b))
        });
        let links = ways.iter().map(|leads| leads.iter().copied().map(Link::Cable).collect::<Vec<_>>());
        all.extend(links.filter(|links| plugs_in(links)).take(FEW));
    }
    all
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
