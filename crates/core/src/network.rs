//! The plan resolved into a tree of dense indices: every reference followed, every default put in
//! and marked with where it came from, every socket with the circuits that it may be on.
//!
//! supply → line → RCD → circuit → socket → lead → head; a circuit may be fed from a socket, an
//! RCD may stand behind another, a portable RCD may sit in a socket.

mod again;
mod build;
mod dense;
mod head;
mod known;
mod neutral;
mod place;
mod ramp;
mod reach;
mod set;
mod setup;
mod socket;
mod supply;
mod upstream;

use std::sync::Arc;

pub use again::{Parts, Resolved};
pub use dense::{
    At, BlockAt, CableAt, CircuitAt, Dense, HeadAt, NeutralAt, PlateAt, RcdAt, ReachAt, SetupAt, SocketAt,
    SupplyAt,
};
pub use head::{HeadInrush, HeadNode, Terminals};
pub use known::{Known, Origin};
pub use neutral::NeutralNode;
pub(crate) use neutral::neutral_groups;
pub use place::{Place, distance, lead_needed};
pub use reach::{Part, Reach};
pub use set::SetRating;
pub use setup::{BlockNode, CableNode, Link, PlacedHead, SetupNode, plan_order};
pub use supply::{BaseNode, CircuitNode, PlateNode, RampReading, RcdNode, SocketNode, SupplyNode};

use crate::id::{CircuitId, HeadId, RcdId, SetupId, SocketId, SupplyId};
use crate::library::{LengthWord, Region};
use crate::plan::Plan;

/// A plan, resolved.
#[derive(Clone, Debug)]
pub struct Network {
    /// The plan that it was made from.
    pub plan: Arc<Plan>,
    /// The region's volts, rules and words.
    pub region: &'static Region,
    /// The unit that the screens tell lengths in: the region's, unless somebody wants the other.
    pub lengths: LengthWord,
    /// Supplies.
    pub supplies: Dense<SupplyAt, SupplyNode>,
    /// RCDs.
    pub rcds: Dense<RcdAt, RcdNode>,
    /// Circuits.
    pub circuits: Dense<CircuitAt, CircuitNode>,
    /// Neutrals that several circuits share.
    pub neutrals: Dense<NeutralAt, NeutralNode>,
    /// Sockets.
    pub sockets: Dense<SocketAt, SocketNode>,
    /// Plates.
    pub plates: Dense<PlateAt, PlateNode>,
    /// Heads.
    pub heads: Dense<HeadAt, HeadNode>,
    /// Types of lead.
    pub cables: Dense<CableAt, CableNode>,
    /// Types of splitter.
    pub blocks: Dense<BlockAt, BlockNode>,
    /// Setups, in the order of the file.
    pub setups: Dense<SetupAt, SetupNode>,
    /// The sets of circuits that sockets may be on, each with all that lies upstream.
    pub reaches: Dense<ReachAt, Reach>,
}

impl Network {
    /// Resolves a plan. Never fails: what a reference does not find is left out.
    #[must_use]
    pub fn of(plan: Arc<Plan>) -> Self {
        build::network(plan, build::Kept::default())
    }

    /// A supply's id.
    #[must_use]
    pub fn supply_id(&self, at: SupplyAt) -> &SupplyId {
        &self.supplies[at].id
    }

    /// An RCD's id.
    #[must_use]
    pub fn rcd_id(&self, at: RcdAt) -> &RcdId {
        &self.rcds[at].id
    }

    /// A circuit's id.
    #[must_use]
    pub fn circuit_id(&self, at: CircuitAt) -> &CircuitId {
        &self.circuits[at].id
    }

    /// A socket's id.
    #[must_use]
    pub fn socket_id(&self, at: SocketAt) -> &SocketId {
        &self.sockets[at].id
    }

    /// A head's id.
    #[must_use]
    pub fn head_id(&self, at: HeadAt) -> &HeadId {
        &self.heads[at].id
    }

    /// A setup's id.
    #[must_use]
    pub fn setup_id(&self, at: SetupAt) -> &SetupId {
        &self.setups[at].id
    }

    /// The index of a head.
    #[must_use]
    pub fn head(&self, id: &str) -> Option<HeadAt> {
        self.plan.heads.get_index_of(id).map(HeadAt::new)
    }

    /// The index of a socket.
    #[must_use]
    pub fn socket(&self, id: &str) -> Option<SocketAt> {
        self.plan.sockets.get_index_of(id).map(SocketAt::new)
    }

    /// The index of a circuit.
    #[must_use]
    pub fn circuit(&self, id: &str) -> Option<CircuitAt> {
        self.plan.circuits.get_index_of(id).map(CircuitAt::new)
    }

    /// The index of an RCD.
    #[must_use]
    pub fn rcd(&self, id: &str) -> Option<RcdAt> {
        self.plan.rcds.get_index_of(id).map(RcdAt::new)
    }

    /// The index of a supply.
    #[must_use]
    pub fn supply(&self, id: &str) -> Option<SupplyAt> {
        self.plan.supplies.get_index_of(id).map(SupplyAt::new)
    }

    /// The index of a setup.
    #[must_use]
    pub fn setup(&self, id: &str) -> Option<SetupAt> {
        self.plan.setups.get_index_of(id).map(SetupAt::new)
    }

    /// What a lead carries as it lies, with `lines` line conductors loaded; `None` where neither print
    /// nor table says.
    #[must_use]
    pub fn lead_carries(&self, cable: CableAt, lines: u8) -> Option<crate::unit::Amps> {
        let carries = &self.cables[cable].carries;
        carries[usize::from(lines.clamp(1, 3)) - 1]
    }

    /// Resistance of one conductor of a link, from end to end: none in a block. `None` for a lead of a size
    /// below the smallest known.
    #[must_use]
    pub fn conductor_of(&self, link: Link) -> Option<crate::unit::Ohms> {
        match link {
            Link::Cable(cable) => self.cables[cable].conductor,
            Link::Block(_) => Some(crate::unit::Ohms::ZERO),
        }
    }

    /// The reach of a socket: what lies upstream of it, for certain or perhaps.
    #[must_use]
    pub fn reach_of(&self, socket: SocketAt) -> &Reach {
        &self.reaches[self.sockets[socket].reach]
    }

    /// Volts and lines that a plug meets in a socket.
    #[must_use]
    pub fn terminals(&self, socket: SocketAt) -> Terminals {
        self.sockets[socket].terminals
    }

    /// Whether the amps of any of these heads rest on a default.
    #[must_use]
    pub fn any_amps_assumed(&self, heads: &[HeadAt]) -> bool {
        heads.iter().any(|head| self.heads[*head].amps_origin().is_assumed())
    }

    /// Volts and lines that a head is reckoned with while it is not placed.
    #[must_use]
    pub fn unplaced_terminals(&self, head: HeadAt) -> Terminals {
        let head = &self.heads[head];
        Terminals {
            volts: head.volts.unwrap_or(self.region.volts),
            lines: head.plug.value.map_or(1, |plug| if plug.lines == 3 { 3 } else { 1 }),
        }
    }
}
