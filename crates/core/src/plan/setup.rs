//! Setups: which heads burn, when and for how long.

use indexmap::IndexMap;

use crate::id::{HeadId, LeadId, SocketId};
use crate::plan::{BaseLoadRef, ClockTime, Weather};
use crate::unit::Minutes;

/// The table `[setup.ID]`.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Setup {
    /// What the crew calls it.
    pub name: Option<String>,
    /// When it starts.
    pub start: Option<ClockTime>,
    /// How long the heads burn.
    pub minutes: Minutes,
    /// The heads that are on.
    pub on: Vec<HeadId>,
    /// An order that the crew insists on; heads that it leaves out come after it.
    pub strike: Vec<HeadId>,
    /// Where this setup differs from the heads' own sockets; `None`: unplugged for this setup.
    pub sockets: IndexMap<HeadId, Option<Placement>>,
    /// Base loads that their owner has switched off for it.
    pub base_off: Vec<BaseLoadRef>,
    /// Its own weather.
    pub weather: Option<Weather>,
}

/// Where a head is plugged in, and through what.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Placement {
    /// The socket.
    pub socket: SocketId,
    /// Cable types and blocks from the truck, wall first.
    pub leads: Vec<LeadId>,
}
