//! The domain: a location's supplies, sockets, heads and setups, as the plan file says them.
//!
//! Nothing is filled in here. What the file leaves out is `None`; the defaults, and the mark that
//! they are assumed, come with [`crate::network`]. Maps keep the order of the file.

mod head;
mod lead;
mod log;
mod place;
mod setup;
mod socket;
mod supply;

use indexmap::IndexMap;

pub use head::{EarthClass, Head, LeakFrom, Load, Spectrum};
pub use lead::{Block, Cable, ConductorSize};
pub use log::{Reset, Trace, TraceMeans, Trip};
pub use place::{Board, BoxArea, Floor, Location, Point, Room, Weather};
pub use setup::{Placement, Setup};
pub use socket::{Ramp, Socket, TestOutcome};
pub use supply::{
    BaseLoad, BaseLoadRef, Circuit, ClockTime, Curve, Earth, Fuel, HeldBy, Hours, Line, Measured, Rcd,
    RcdClass, RcdKind, Supply, SupplyKind, Wiring,
};

use crate::id::{BlockId, CableId, CircuitId, FloorId, HeadId, RcdId, RoomId, SetupId, SocketId, SupplyId};

/// The plan-file format that this build reads and writes.
pub const FORMAT_VERSION: u32 = 1;

/// The word that the plan file has for a value, of its kind's `WORDS`; empty where there is none.
#[must_use]
pub fn word_of<T: PartialEq>(words: &[(&'static str, T)], value: &T) -> &'static str {
    words.iter().find(|(_, known)| known == value).map_or("", |(word, _)| *word)
}

/// One location: everything that its plan file says.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Plan {
    /// Format version: [`FORMAT_VERSION`], or a later one that this build may only show.
    pub version: Option<u32>,
    /// The place itself.
    pub location: Location,
    /// Where the power comes from.
    pub supplies: IndexMap<SupplyId, Supply>,
    /// Residual-current devices.
    pub rcds: IndexMap<RcdId, Rcd>,
    /// Circuits, each behind one breaker or fuse.
    pub circuits: IndexMap<CircuitId, Circuit>,
    /// Floors.
    pub floors: IndexMap<FloorId, Floor>,
    /// Rooms and places outdoors.
    pub rooms: IndexMap<RoomId, Room>,
    /// Sockets, each one outlet kind with one or more ways.
    pub sockets: IndexMap<SocketId, Socket>,
    /// Heads: anything that is plugged in.
    pub heads: IndexMap<HeadId, Head>,
    /// Types of lead on the truck.
    pub cables: IndexMap<CableId, Cable>,
    /// Types of splitter on the truck.
    pub blocks: IndexMap<BlockId, Block>,
    /// Setups.
    pub setups: IndexMap<SetupId, Setup>,
    /// What went dark when something was switched off.
    pub traces: Vec<Trace>,
    /// What tripped, and when.
    pub trips: Vec<Trip>,
}
