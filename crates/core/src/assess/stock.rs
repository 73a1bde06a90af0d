//! Leads that are left on the truck, and the one that a head would take.

use crate::network::{At, CableAt, CableNode, Dense, HeadAt, Link, Network, SocketAt};
use crate::rule::fit::first_misfit;
use crate::unit::{Amps, Metres};

use super::usage::SetupUse;

/// How many of each type of lead are left; `None` where the plan does not count them.
#[derive(Clone, Debug)]
pub(super) struct Stock {
    left: Dense<CableAt, Option<usize>>,
}

impl Stock {
    /// What is left in every one of these setups.
    pub(super) fn left<'a>(network: &Network, setups: impl Iterator<Item = &'a SetupUse>) -> Self {
        let mut left: Dense<CableAt, Option<usize>> =
            network.cables.iter().map(|(_, cable)| cable.count.map(|count| count as usize)).collect();
        for setup in setups {
            let mut taken = vec![0_usize; network.cables.len()];
            setup.each_piece(|link, _| {
                if let Link::Cable(cable) = link {
                    taken[cable.get()] += 1;
                }
            });
            for (cable, node) in network.cables.iter() {
                let here = node.count.map(|count| (count as usize).saturating_sub(taken[cable.get()]));
                left[cable] = left[cable].min(here);
            }
        }
        Self { left }
    }

    fn has(&self, cable: CableAt, pieces: usize) -> bool {
        self.left[cable].is_none_or(|left| left >= pieces)
    }
}

/// The shortest lead on the truck that reaches, fits and carries the head; else the shortest two
/// joined; none where none does, where no lead is needed, or where the distance is not known.
pub(super) fn pick_links(
    network: &Network,
    stock: &Stock,
    socket: SocketAt,
    head: HeadAt,
    needed: Option<Metres>,
) -> Vec<Link> {
    let Some(needed) = needed.filter(|needed| *needed != Metres::ZERO) else { return Vec::new() };
    let terminals = network.terminals(socket);
    let (amps, lines) = (network.heads[head].running_amps(terminals), terminals.lines);
    let usable: Vec<CableAt> = network
        .cables
        .iter()
        .filter(|(at, cable)| stock.has(*at, 1) && carries(cable, network.lead_carries(*at, lines), amps))
        .map(|(at, _)| at)
        .collect();
    let one = usable.iter().map(|cable| vec![*cable]);
    let two = usable.iter().flat_map(|first| usable.iter().map(|second| vec![*first, *second]));
    let reach = |leads: &[CableAt]| leads.iter().map(|at| network.cables[*at].length).sum::<Metres>();
    one.chain(two)
        .filter(|leads| leads.len() < 2 || leads[0] != leads[1] || stock.has(leads[0], 2))
        .filter(|leads| reach(leads).reaches(needed))
        .map(|leads| (leads.len(), reach(&leads), leads.into_iter().map(Link::Cable).collect::<Vec<_>>()))
        .filter(|(_, _, links)| first_misfit(network, socket, links, head).is_none())
        .min_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(b.1)))
        .map(|(_, _, links)| links)
        .unwrap_or_default()
}

fn carries(cable: &CableNode, rated: Option<Amps>, amps: Amps) -> bool {
    let plug = cable.plug.value.map(|plug| plug.amps);
    let fuse = cable.fuse.map(|fuse| fuse.value);
    plug.into_iter().chain(rated).chain(fuse).all(|rating| !amps.is_over(rating))
}
