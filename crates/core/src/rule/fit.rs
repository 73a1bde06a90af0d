//! What plugs into what, and the least rating on the way from the wall to a head.

use crate::assess::own_links;
use crate::library::Outlet;
use crate::network::{BlockAt, CableAt, HeadAt, Known, Link, Network, SocketAt};
use crate::unit::Amps;

/// A joint that does not go together.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Misfit {
    /// The plug's kind.
    pub plug: String,
    /// The kind of outlet that it does not go into.
    pub outlet: String,
}

/// The first joint, from the wall on, that does not go together. Kinds that are not built in are
/// taken to fit.
#[must_use]
pub fn first_misfit(network: &Network, socket: SocketAt, links: &[Link], head: HeadAt) -> Option<Misfit> {
    let mut outlet = network.sockets[socket].outlet.value;
    for link in links {
        let (plug_id, plug) = match link {
            Link::Cable(cable) => (&network.cables[*cable].plug_id, network.cables[*cable].plug.value),
            Link::Block(block) => (&network.blocks[*block].plug_id, network.blocks[*block].plug.value),
        };
        if let Some(misfit) = misfit(outlet, plug_id) {
            return Some(misfit);
        }
        outlet = plug;
    }
    misfit(outlet, &network.heads[head].plug_id)
}

fn misfit(outlet: Option<&Outlet>, plug: &crate::id::OutletId) -> Option<Misfit> {
    let outlet = outlet?;
    if outlet.accepts(plug) {
        return None;
    }
    let own = outlet.takes.first().map_or_else(|| outlet.name.clone(), ToString::to_string);
    Some(Misfit { plug: plug.to_string(), outlet: own })
}

/// A rating on the way, and what it belongs to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rating {
    /// What it carries.
    pub amps: Amps,
    /// What it is of.
    pub of: Rated,
    /// Whether it is that of the fuse in it.
    pub is_fuse: bool,
    /// Whether it is a default.
    pub assumed: bool,
}

/// What a rating is of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rated {
    /// An outlet in the wall.
    Outlet(SocketAt),
    /// A head's plug.
    Plug(HeadAt),
    /// A lead.
    Lead(CableAt),
    /// A splitter.
    Block(BlockAt),
}

impl Rating {
    /// What it is, in words.
    #[must_use]
    pub fn words(&self, network: &Network) -> String {
        let of = match self.of {
            Rated::Outlet(at) => format!("the outlet of {}", network.sockets[at].id),
            Rated::Plug(at) => format!("{}'s plug", network.heads[at].id),
            Rated::Lead(at) => format!("lead {}", network.cables[at].id),
            Rated::Block(at) => format!("block {}", network.blocks[at].id),
        };
        if self.is_fuse { format!("the fuse in {of}") } else { of }
    }
}

/// The least rating that a head's own current passes: outlet, plugs and fuses, without those before the
/// last block, which it may share with others.
#[must_use]
pub fn least_rating(network: &Network, socket: SocketAt, links: &[Link], head: HeadAt) -> Option<Rating> {
    let node = &network.heads[head];
    let own = own_links(links);
    let (wall, before) = match links[..links.len() - own.len()].last() {
        Some(Link::Block(block)) => (None, Some(*block)),
        _ => (outlet_rating(network, socket), None),
    };
    let before = before.map(|block| plug_ratings(&network.blocks[block].plug, None, Rated::Block(block)));
    let ratings = wall
        .into_iter()
        .chain(before.into_iter().flatten())
        .chain(own.iter().flat_map(|link| link_ratings(network, *link)))
        .chain(plug_ratings(&node.plug, node.fuse, Rated::Plug(head)));
    least(ratings)
}

/// The least rating that all the heads behind a run of leads and the block at its end share; with the
/// outlet in the wall where it hangs there.
#[must_use]
pub fn trunk_rating(network: &Network, wall: Option<SocketAt>, trunk: &[Link]) -> Option<Rating> {
    let wall = wall.and_then(|socket| outlet_rating(network, socket));
    least(wall.into_iter().chain(trunk.iter().flat_map(|link| link_ratings(network, *link))))
}

fn link_ratings(network: &Network, link: Link) -> impl Iterator<Item = Rating> {
    let (plugged, rated) = match link {
        Link::Cable(at) => {
            let cable = &network.cables[at];
            (plug_ratings(&cable.plug, cable.fuse, Rated::Lead(at)), None)
        }
        Link::Block(at) => {
            let (block, of) = (&network.blocks[at], Rated::Block(at));
            let rated = block.rated.map(|amps| Rating { amps, of, is_fuse: false, assumed: false });
            (plug_ratings(&block.plug, block.fuse, of), rated)
        }
    };
    plugged.chain(rated)
}

/// What one outlet of a socket carries.
#[must_use]
pub fn outlet_rating(network: &Network, socket: SocketAt) -> Option<Rating> {
    let node = &network.sockets[socket];
    node.outlet.value.map(|outlet| Rating {
        amps: outlet.amps,
        of: Rated::Outlet(socket),
        is_fuse: false,
        assumed: node.outlet.origin.is_assumed(),
    })
}

fn plug_ratings(
    plug: &Known<Option<&'static Outlet>>,
    fuse: Option<Known<Amps>>,
    of: Rated,
) -> impl Iterator<Item = Rating> + use<> {
    let assumed = plug.origin.is_assumed();
    let plug = plug.value.map(|outlet| Rating { amps: outlet.amps, of, is_fuse: false, assumed });
    let fuse = fuse.map(|fuse| {
        let assumed = fuse.origin.is_assumed();
        Rating { amps: fuse.value, of, is_fuse: true, assumed }
    });
    plug.into_iter().chain(fuse)
}

fn least(ratings: impl Iterator<Item = Rating>) -> Option<Rating> {
    ratings.reduce(|least, next| if least.amps.is_over(next.amps) { next } else { least })
}
