//! Sockets, and what the two testers said of them.

use crate::id::{CircuitId, HeadId, OutletId, PlateId, RcdId, RoomId};
use crate::plan::{BaseLoadRef, Point};
use crate::unit::{Amps, MilliAmps, Ohms};

/// The table `[socket.ID]`.
#[derive(Clone, Debug, PartialEq)]
pub struct Socket {
    /// Where it is.
    pub room: RoomId,
    /// Where on that room's floor.
    pub at: Option<Point>,
    /// Kind of outlet; by default the region's everyday one.
    pub outlet: Option<OutletId>,
    /// How many plugs it takes; 1 by default.
    pub ways: Option<u32>,
    /// What its plate carries in all.
    pub plate_limit: Option<Amps>,
    /// Outlets of one plate share its id.
    pub plate: Option<PlateId>,
    /// The circuit that a test proved; untraced if omitted.
    pub circuit: Option<CircuitId>,
    /// What the wall or the board says: not evidence.
    pub label: Option<String>,
    /// What the polarity tester said; untested by default.
    pub test: Option<TestOutcome>,
    /// Ramp tests made here.
    pub ramps: Vec<Ramp>,
    /// Earth-fault loop measured here.
    pub loop_impedance: Option<Ohms>,
    /// A plug-in RCD that sits in it.
    pub portable_rcd: Option<RcdId>,
    /// Why it is not to be used.
    pub ban: Option<String>,
}

/// What a plug-in polarity tester said, as the condition, never as lamp codes.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum TestOutcome {
    /// Wired as it should be, as far as such a tester sees.
    Ok,
    /// Active and neutral swapped.
    Reversed,
    /// No earth.
    NoEarth,
    /// No neutral.
    NoNeutral,
    /// No power.
    Dead,
    /// Active and earth swapped.
    ActiveOnEarth,
    /// Anything else.
    Odd,
    /// Not tested.
    #[default]
    Untested,
}

impl TestOutcome {
    /// Every one, with its word in the file.
    pub const WORDS: [(&'static str, Self); 8] = [
        ("ok", Self::Ok),
        ("reversed", Self::Reversed),
        ("no-earth", Self::NoEarth),
        ("no-neutral", Self::NoNeutral),
        ("dead", Self::Dead),
        ("active-on-earth", Self::ActiveOnEarth),
        ("odd", Self::Odd),
        ("untested", Self::Untested),
    ];
}

/// One ramp test: the tester injects rising steps until the RCD drops.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Ramp {
    /// The last step that held; 0 where the first one tripped.
    pub held: MilliAmps,
    /// The first step that tripped; that step was not reached if omitted.
    pub tripped: Option<MilliAmps>,
    /// Base loads that were off at the test.
    pub off: Vec<BaseLoadRef>,
    /// The RCD that dropped; by default the nearest.
    pub dropped: Option<RcdId>,
    /// Heads that were on at the test.
    pub heads_on: Vec<HeadId>,
}
