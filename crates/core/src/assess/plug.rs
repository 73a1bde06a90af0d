//! What hangs on one plug in the wall: heads that share leads and blocks, and the volts that arrive at
//! each over what they share.

use crate::network::{BlockAt, Dense, HeadAt, Link, Network};
use crate::physics::cable::Drawing;
use crate::physics::ladder::{Arrival, Section, tree};
use crate::plan::Load;
use crate::unit::{Amps, Ohms, Volts};

use super::usage::{HeadUse, Shared, arriving, at_lowest};

/// One plug, in the wall or in a block: a head, or several that share a block.
#[derive(Clone, Debug, PartialEq)]
pub struct PlugUse {
    /// The heads on it that burn, in the order of the plan.
    pub heads: Vec<HeadAt>,
    /// How many more heads are on it that are off.
    pub dark: usize,
    /// The leads and the block at their end that they share, wall first; empty for a head that no block
    /// is before.
    pub trunk: Vec<Link>,
    /// The block at the end of `trunk`.
    pub block: Option<BlockAt>,
    /// Running amps of the heads, each of them through all of `trunk`.
    pub amps: Amps,
    /// What is plugged into the block.
    pub onward: Vec<PlugUse>,
}

/// The links that a head has for itself: those after the last block.
#[must_use]
pub fn own_links(links: &[Link]) -> &[Link] {
    let own = links.iter().rposition(|link| matches!(link, Link::Block(_))).map_or(0, |last| last + 1);
    &links[own..]
}

/// Plugs a head in, one that is off without amps. Heads whose links begin with the same leads and the
/// same block share one of each, up to the ways of the block; behind it, the same again.
pub(super) fn plug_in(
    network: &Network,
    plugs: &mut Vec<PlugUse>,
    head: HeadAt,
    amps: Option<Amps>,
    links: &[Link],
) {
    let Some((trunk, block, beyond)) = split(links) else {
        let mut plug = PlugUse::empty(&[], None);
        plug.take(head, amps);
        plugs.push(plug);
        return;
    };
    let place = plugs.iter().position(|plug| plug.trunk == trunk && has_way(network, plug, beyond));
    let place = place.unwrap_or_else(|| {
        plugs.push(PlugUse::empty(trunk, Some(block)));
        plugs.len() - 1
    });
    let plug = &mut plugs[place];
    plug.take(head, amps);
    plug_in(network, &mut plug.onward, head, amps, beyond);
}

/// Links up to the first block, that block, and the links after it.
fn split(links: &[Link]) -> Option<(&[Link], BlockAt, &[Link])> {
    let (at, block) = links.iter().enumerate().find_map(|(at, link)| match link {
        Link::Block(block) => Some((at, *block)),
        Link::Cable(_) => None,
    })?;
    let (trunk, beyond) = links.split_at(at + 1);
    Some((trunk, block, beyond))
}

fn has_way(network: &Network, plug: &PlugUse, beyond: &[Link]) -> bool {
    let ways = plug.block.map_or(1, |block| network.blocks[block].ways.value as usize);
    let joins = |(trunk, _, beyond): (&[Link], BlockAt, &[Link])| {
        plug.onward.iter().any(|next| next.trunk == trunk && has_way(network, next, beyond))
    };
    plug.onward.len() < ways || split(beyond).is_some_and(joins)
}

impl PlugUse {
    fn empty(trunk: &[Link], block: Option<BlockAt>) -> Self {
        let trunk = trunk.to_vec();
        Self { heads: Vec::new(), dark: 0, trunk, block, amps: Amps::ZERO, onward: Vec::new() }
    }

    fn take(&mut self, head: HeadAt, amps: Option<Amps>) {
        match amps {
            Some(amps) => {
                self.heads.push(head);
                self.amps += amps;
            }
            None => self.dark += 1,
        }
    }

    /// Tells every piece of lead and every block once, each with the first head on it.
    pub(crate) fn each_piece(
        &self,
        heads: &Dense<HeadAt, Option<HeadUse>>,
        tell: &mut impl FnMut(Link, HeadAt),
    ) {
        let Some(first) = self.heads.first() else { return };
        let own = heads[*first].as_ref().filter(|_| self.block.is_none());
        let own = own.map_or(&[][..], |used| own_links(&used.links));
        for link in self.trunk.iter().chain(own) {
            tell(*link, *first);
        }
        for next in &self.onward {
            next.each_piece(heads, tell);
        }
    }
}

/// Works out what arrives at the heads of a plug with a block: alone by the closed form, several by their
/// tree of leads, at nominal volts and at the region's lowest.
pub(super) fn settle_volts(network: &Network, plug: &PlugUse, heads: &mut Dense<HeadAt, Option<HeadUse>>) {
    if let [only] = plug.heads.as_slice() {
        if let Some(used) = &mut heads[*only] {
            let node = &network.heads[*only];
            used.shared = None;
            used.arriving = arriving(node, used.terminals.volts, used);
            used.at_lowest = at_lowest(node, network.region, used);
        }
        return;
    }
    let (joints, drawings) = leads_of(network, plug, heads);
    let Some(terminals) =
        plug.heads.first().and_then(|first| heads[*first].as_ref()).map(|used| used.terminals)
    else {
        return;
    };
    let (ways, span) = (terminals.ways(), terminals.span());
    let section = |joint: &Joint| Section {
        resistance: joint.conductor * ways,
        reactance: Ohms::ZERO,
        drawings: joint.drawing.map_or(&[], |at| &drawings[at..=at]),
    };
    let sections: Vec<_> = joints.iter().map(section).collect();
    let from: Vec<_> = joints.iter().map(|joint| joint.from).collect();
    let solved = |volts: Volts| tree(volts / span, &sections, &from);
    let nominal = solved(terminals.volts);
    let lowest = solved(terminals.volts * network.region.lowest_volts);
    for (at, joint) in joints.iter().enumerate() {
        let Some(head) = joint.head else { continue };
        let Some(used) = &mut heads[head] else { continue };
        let at_head = |arrivals: &Option<Vec<Arrival>>| Some(arrivals.as_ref()?[at].volts * span);
        // Behind a lead whose resistance nobody knows, nobody knows the volts.
        used.arriving = used.conductor.and_then(|_| at_head(&nominal));
        used.at_lowest = at_head(&lowest).map(|volts| used.amps_on(&network.heads[head], volts));
        used.shared = Some(Shared { with: plug.heads.len() - 1 });
    }
}

/// One run of leads, from a plug to the block or the head at its end.
struct Joint {
    from: Option<usize>,
    /// Resistance of one conductor; a lead of unknown resistance counts as none.
    conductor: Ohms,
    head: Option<HeadAt>,
    drawing: Option<usize>,
}

/// The leads of a plug, each after the one that it is plugged into, and what the heads draw.
fn leads_of(
    network: &Network,
    plug: &PlugUse,
    heads: &Dense<HeadAt, Option<HeadUse>>,
) -> (Vec<Joint>, Vec<Drawing>) {
    let (mut joints, mut drawings) = (Vec::new(), Vec::new());
    let mut left: Vec<(Option<usize>, &PlugUse)> = vec![(None, plug)];
    while let Some((from, plug)) = left.pop() {
        let run = |links: &[Link]| links.iter().filter_map(|link| network.conductor_of(*link)).sum();
        if plug.block.is_some() {
            let here = joints.len();
            joints.push(Joint { from, conductor: run(&plug.trunk), head: None, drawing: None });
            left.extend(plug.onward.iter().map(|next| (Some(here), next)));
            continue;
        }
        for head in &plug.heads {
            let Some(used) = &heads[*head] else { continue };
            let conductor = run(own_links(&used.links));
            joints.push(Joint { from, conductor, head: Some(*head), drawing: Some(drawings.len()) });
            drawings.push(drawing(network, *head, used));
        }
    }
    (joints, drawings)
}

/// As the closed form takes it: a load that is not steady at power factor 1. One that leads counts as
/// one that lags, which loses no less.
fn drawing(network: &Network, head: HeadAt, used: &HeadUse) -> Drawing {
    let node = &network.heads[head];
    let own = used.drawing(node);
    Drawing { power_factor: if node.load == Load::Steady { own.power_factor } else { 1.0 }, ..own }
}
