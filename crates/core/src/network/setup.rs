//! Setups, and where each head is plugged in there.

use crate::id::{BlockId, CableId, LeadId, SetupId};
use crate::library::Outlet;
use crate::network::place::index_of;
use crate::network::{At, BlockAt, CableAt, CircuitAt, Dense, HeadAt, Known, SetupAt, SocketAt};
use crate::order::Order as _;
use crate::physics::cable::Laid;
use crate::plan::{ClockTime, Placement, Plan, Weather};
use crate::unit::{Amps, Metres, Minutes, Ohms};

/// A setup, resolved.
#[derive(Clone, Debug, PartialEq)]
pub struct SetupNode {
    /// Its id.
    pub id: SetupId,
    /// How long the heads burn.
    pub minutes: Minutes,
    /// When it starts, where the plan says.
    pub start: Option<ClockTime>,
    /// The heads that are on.
    pub on: Vec<HeadAt>,
    /// Whether each head is on.
    pub is_on: Dense<HeadAt, bool>,
    /// Where each head is plugged in, on or not.
    pub placed: Dense<HeadAt, Option<PlacedHead>>,
    /// An order that the crew insists on.
    pub strike: Vec<HeadAt>,
    /// Base loads that their owner has switched off, as (circuit, place in its list).
    pub base_off: Vec<(CircuitAt, usize)>,
    /// Whether it rains.
    pub weather: Weather,
}

/// Where a head is plugged in.
#[derive(Clone, Debug, PartialEq)]
pub struct PlacedHead {
    /// The socket.
    pub socket: SocketAt,
    /// What lies between, wall first.
    pub links: Vec<Link>,
}

/// One link between a socket and a head.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Link {
    /// A lead.
    Cable(CableAt),
    /// A splitter.
    Block(BlockAt),
}

/// A type of lead, resolved.
#[derive(Clone, Debug, PartialEq)]
pub struct CableNode {
    /// Its id.
    pub id: CableId,
    /// From plug to outlet.
    pub length: Metres,
    /// Its plug, and the outlet at its other end.
    pub plug: Known<Option<&'static Outlet>>,
    /// Its plug's id.
    pub plug_id: crate::id::OutletId,
    /// Fuse in its plug.
    pub fuse: Option<Known<Amps>>,
    /// Resistance of one conductor from end to end, warm; `None` for a size below the smallest known.
    pub conductor: Option<Ohms>,
    /// What it carries as it lies with one, two or three line conductors loaded, where print or table
    /// says.
    pub carries: [Option<Amps>; 3],
    /// Whether a rating is printed on it.
    pub is_printed: bool,
    /// Whether what is printed for it wound is more than it carries unwound, and so does not count.
    pub wound_is_over: bool,
    /// How it lies.
    pub laid: Laid,
    /// How many the truck has.
    pub count: Option<u32>,
}

/// A type of splitter, resolved.
#[derive(Clone, Debug, PartialEq)]
pub struct BlockNode {
    /// Its id.
    pub id: BlockId,
    /// Its plug, and the kind of its outlets.
    pub plug: Known<Option<&'static Outlet>>,
    /// Its plug's id.
    pub plug_id: crate::id::OutletId,
    /// How many heads it takes.
    pub ways: Known<u32>,
    /// What it carries in all.
    pub rated: Option<Amps>,
    /// Fuse in its plug.
    pub fuse: Option<Known<Amps>>,
    /// How many the truck has.
    pub count: Option<u32>,
}

/// The link that a name in `leads` stands for.
pub(crate) fn link(plan: &Plan, id: &LeadId) -> Option<Link> {
    index_of(&plan.cables, id.as_str())
        .map(Link::Cable)
        .or_else(|| index_of(&plan.blocks, id.as_str()).map(Link::Block))
}

pub(crate) fn placed(plan: &Plan, placement: &Placement) -> Option<PlacedHead> {
    Some(PlacedHead {
        socket: index_of(&plan.sockets, placement.socket.as_str())?,
        links: placement.leads.iter().filter_map(|id| link(plan, id)).collect(),
    })
}

/// The setups in the order in which they burn: by their start, which may run over midnight once;
/// in the order of the file where any start is not known.
#[must_use]
pub fn plan_order(setups: &Dense<SetupAt, SetupNode>) -> Vec<SetupAt> {
    let mut order: Vec<_> = setups.indices().collect();
    let starts: Option<Vec<_>> = setups.iter().map(|(_, setup)| setup.start).collect();
    let Some(starts) = starts else { return order };
    let descents = starts.windows(2).filter(|pair| pair[1] < pair[0]).count();
    if descents > 1 {
        order.order_by_key(|at| starts[at.get()]);
    }
    order
}
