//! What plugs into what, and the least rating on the way from the wall to a head.

use crate::assess::own_links;
use crate::library::Outlet;
use crate::network::{BlockAt, HeadAt, Known, Link, Network, SocketAt};
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
#[derive(Clone, Debug, PartialEq)]
pub struct Rating {
    /// What it carries.
    pub amps: Amps,
    /// What it is.
    pub what: String,
    /// Whether it is a default.
    pub assumed: bool,
}

/// The least rating that a head's own current passes: outlet, plugs and fuses, without those before the
/// last block, which it may share with others.
#[must_use]
pub fn least_rating(network: &Network, socket: SocketAt, links: &[Link], head: HeadAt) -> Option<Rating> {
    let node = &network.heads[head];
    let own = own_links(links);
    let mut ratings = match links[..links.len() - own.len()].last() {
        Some(Link::Block(block)) => {
            let block = &network.blocks[*block];
            plug_ratings(&block.plug, None, &format!("block {}", block.id))
        }
        _ => outlet_rating(network, socket).into_iter().collect(),
    };
    ratings.extend(own.iter().flat_map(|link| link_ratings(network, *link)));
    ratings.extend(plug_ratings(&node.plug, node.fuse, &format!("{}'s plug", node.id)));
    least(ratings)
}

/// The least rating that all the heads behind a run of leads and the block at its end share; with the
/// outlet in the wall where it hangs there.
#[must_use]
pub fn trunk_rating(network: &Network, wall: Option<SocketAt>, trunk: &[Link]) -> Option<Rating> {
    let mut ratings: Vec<Rating> =
        wall.and_then(|socket| outlet_rating(network, socket)).into_iter().collect();
    ratings.extend(trunk.iter().flat_map(|link| link_ratings(network, *link)));
    least(ratings)
}

fn link_ratings(network: &Network, link: Link) -> Vec<Rating> {
    match link {
        Link::Cable(cable) => {
            let cable = &network.cables[cable];
            plug_ratings(&cable.plug, cable.fuse, &format!("lead {}", cable.id))
        }
        Link::Block(block) => block_ratings(network, block),
    }
}

/// What one outlet of a socket carries.
#[must_use]
pub fn outlet_rating(network: &Network, socket: SocketAt) -> Option<Rating> {
    let node = &network.sockets[socket];
    node.outlet.value.map(|outlet| Rating {
        amps: outlet.amps,
        what: format!("the outlet of {}", node.id),
        assumed: node.outlet.origin.is_assumed(),
    })
}

fn block_ratings(network: &Network, block: BlockAt) -> Vec<Rating> {
    let node = &network.blocks[block];
    let what = format!("block {}", node.id);
    let mut ratings = plug_ratings(&node.plug, node.fuse, &what);
    ratings.extend(node.rated.map(|amps| Rating { amps, what, assumed: false }));
    ratings
}

fn plug_ratings(plug: &Known<Option<&'static Outlet>>, fuse: Option<Known<Amps>>, what: &str) -> Vec<Rating> {
    let plug = plug.value.map(|outlet| Rating {
        amps: outlet.amps,
        what: what.to_owned(),
        assumed: plug.origin.is_assumed(),
    });
    let fuse = fuse.map(|fuse| Rating {
        amps: fuse.value,
        what: format!("the fuse in {what}"),
        assumed: fuse.origin.is_assumed(),
    });
    plug.into_iter().chain(fuse).collect()
}

fn least(ratings: Vec<Rating>) -> Option<Rating> {
    ratings.into_iter().reduce(|least, next| if least.amps.is_over(next.amps) { next } else { least })
}
