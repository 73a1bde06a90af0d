//! What is decided at once: a head in all setups that share its socket, or in one that has its own.

use crate::network::{HeadAt, Link, Network, PlacedHead, SetupAt};
use crate::plan::{Placement, Plan};

use super::Start;

/// One decision.
#[derive(Clone, Debug)]
pub(super) struct Spot {
    pub head: HeadAt,
    /// The setup that has its own socket for the head.
    pub own: Option<SetupAt>,
    /// Setups in which the head hangs there and is on.
    pub on: Vec<SetupAt>,
    /// Setups in which it hangs there and is off.
    pub off: Vec<SetupAt>,
    /// Where it is now.
    pub now: Option<PlacedHead>,
    /// It stays there: pinned, on a block that it shares, or since all stay.
    pub is_fixed: bool,
    /// It stays only because it hangs on a block.
    pub is_held_back: bool,
    /// It keeps its way and its leads where it is now, lit or not; what it has of leads comes along.
    pub keeps: bool,
}

/// Every head that is on somewhere.
pub(super) fn spots(network: &Network, start: Start) -> Vec<Spot> {
    let mut spots = Vec::new();
    for head in network.heads.indices() {
        let id = network.head_id(head);
        let of_setup = |at: SetupAt| network.plan.setups.get(network.setup_id(at).as_str());
        let has_own = |at: SetupAt| of_setup(at).is_some_and(|setup| setup.sockets.contains_key(id));
        let is_on = |at: &SetupAt| network.setups[*at].is_on[head];
        let (own, shared): (Vec<SetupAt>, Vec<SetupAt>) =
            network.setups.indices().partition(|at| has_own(*at));
        spots.extend(spot(network, start, head, None, &shared));
        for at in own.iter().filter(|at| is_on(at)) {
            spots.extend(spot(network, start, head, Some(*at), &[*at]));
        }
    }
    spots
}

fn spot(
    network: &Network,
    start: Start,
    head: HeadAt,
    own: Option<SetupAt>,
    setups: &[SetupAt],
) -> Option<Spot> {
    let (on, off): (Vec<SetupAt>, Vec<SetupAt>) =
        setups.iter().partition(|at| network.setups[**at].is_on[head]);
    let first = *on.first()?;
    let now = network.setups[first].placed[head].clone();
    let pinned = network.plan.heads.get(network.head_id(head).as_str()).is_some_and(|head| head.pinned);
    let on_block =
        now.as_ref().is_some_and(|now| now.links.iter().any(|link| matches!(link, Link::Block(_))));
    let held_back = on_block && start == Start::AsPlanned && !pinned;
    let is_fixed = now.is_some() && (pinned || held_back || start == Start::Staying);
    Some(Spot { head, own, on, off, now, is_fixed, is_held_back: held_back, keeps: false })
}

/// The plan with each spot of these put where it says.
pub(super) fn with_placements<'a>(
    network: &Network,
    placements: impl Iterator<Item = (&'a Spot, Option<Placement>)>,
) -> Plan {
    let mut plan = Plan::clone(&network.plan);
    for (spot, placement) in placements {
        let id = network.head_id(spot.head);
        match spot.own {
            None => {
                if let Some(head) = plan.heads.get_mut(id.as_str()) {
                    head.placement = placement;
                }
            }
            Some(setup) => {
                if let Some(setup) = plan.setups.get_mut(network.setup_id(setup).as_str()) {
                    setup.sockets.insert(id.clone(), placement);
                }
            }
        }
    }
    plan
}

/// What the plan says of a head on a socket.
pub(super) fn placement(network: &Network, placed: &PlacedHead) -> Placement {
    let lead = |link: &Link| match link {
        Link::Cable(cable) => network.cables[*cable].id.as_str().into(),
        Link::Block(block) => network.blocks[*block].id.as_str().into(),
    };
    Placement {
        socket: network.socket_id(placed.socket).clone(),
        leads: placed.links.iter().map(lead).collect(),
    }
}
