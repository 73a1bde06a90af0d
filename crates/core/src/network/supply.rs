//! Supplies, RCDs, circuits, sockets and plates, resolved.

use crate::id::{CircuitId, PlateId, RcdId, SocketId, SupplyId};
use crate::library::Outlet;
use crate::network::{
    CircuitAt, Known, NeutralAt, Place, PlateAt, RcdAt, ReachAt, SocketAt, SupplyAt, Terminals,
};
use crate::plan::{Curve, Earth, Line, RcdClass, RcdKind, SupplyKind, TestOutcome, Wiring};
use crate::unit::{Amps, KiloWatts, Leakage, MilliAmps, Volts};

/// A generator up to this size that floats reads `no-earth`, and that is normal (common practice,
/// no source; the size is that of IET On-Site Guide 2.4.1, BS 7671 551.4.4).
const SMALL_GENERATOR_KVA: f64 = 10.0;

/// A supply, resolved.
#[derive(Clone, Debug, PartialEq)]
pub struct SupplyNode {
    /// Its id.
    pub id: SupplyId,
    /// What it is.
    pub kind: SupplyKind,
    /// How its lines stand to each other.
    pub wiring: Known<Wiring>,
    /// Line to neutral.
    pub volts: Known<Volts>,
    /// A line's limit, where known.
    pub limit: Option<Known<Amps>>,
    /// Metered contract.
    pub contract: Option<KiloWatts>,
    /// A small generator or battery station with its neutral floating.
    pub small_floating: bool,
    /// Where it stands.
    pub place: Place,
}

impl SupplyNode {
    pub(crate) fn is_small_floating(supply: &crate::plan::Supply) -> bool {
        let kva = supply.kva.map(|kva| kva.0).or(supply.kw.map(|kw| kw.0));
        supply.kind != SupplyKind::Mains
            && supply.earth == Some(Earth::Floating)
            && kva.is_some_and(|kva| kva <= SMALL_GENERATOR_KVA)
    }

    /// Its line conductors, as indices 0, 1, 2 of L1, L2, L3.
    #[must_use]
    pub fn lines(&self) -> std::ops::Range<usize> {
        match self.wiring.value {
            Wiring::One => 0..1,
            Wiring::Split => 0..2,
            Wiring::Star => 0..3,
        }
    }

    /// Volts between two of its lines, or of its one line to neutral.
    #[must_use]
    pub fn volts_between(&self, line: Line) -> Volts {
        let volts = self.volts.value;
        match (line.conductors().len(), self.wiring.value) {
            (1, _) | (_, Wiring::One) => volts,
            (_, Wiring::Split) => volts * 2.0,
            (_, Wiring::Star) => volts * 3.0_f64.sqrt(),
        }
    }
}

/// An RCD, resolved.
#[derive(Clone, Debug, PartialEq)]
pub struct RcdNode {
    /// Its id.
    pub id: RcdId,
    /// Rated residual operating current.
    pub rated: Known<MilliAmps>,
    /// Which band it trips in.
    pub class: Known<RcdClass>,
    /// What shapes of residual current it sees, where known.
    pub kind: Option<RcdKind>,
    /// Its poles, where known: 4 where it stands over three lines and neutral.
    pub poles: Option<u32>,
    /// RCDs upstream of it, nearest first.
    pub upstream: Vec<RcdAt>,
    /// Circuits behind it, for certain.
    pub darkens: Vec<CircuitAt>,
    /// What others behind it may leak.
    pub reserve: Option<MilliAmps>,
    /// Ramp tests that say something of it.
    pub readings: Vec<RampReading>,
}

/// What one ramp test says of one RCD.
#[derive(Clone, Debug, PartialEq)]
pub struct RampReading {
    /// Where it was made.
    pub socket: SocketAt,
    /// The last step that held.
    pub held: MilliAmps,
    /// The step at which this RCD dropped; `None` where it stayed up.
    pub tripped: Option<MilliAmps>,
    /// The test was of another RCD in the chain; this one merely stayed up through it.
    pub passed_through: bool,
    /// The step was one at which it had to drop, and it did not.
    pub never: bool,
    /// Base loads that were off, as (circuit, place in its list).
    pub off: Vec<(CircuitAt, usize)>,
    /// Leakage of heads that were on.
    pub heads_leak: MilliAmps,
}

/// A circuit, resolved.
#[derive(Clone, Debug, PartialEq)]
pub struct CircuitNode {
    /// Its id.
    pub id: CircuitId,
    /// The supply at the top; `None` where it cannot be told.
    pub supply: Option<SupplyAt>,
    /// The socket that feeds it, for a distribution box.
    pub from: Option<SocketAt>,
    /// Its line or lines.
    pub line: Line,
    /// Itself and all that lies upstream of it.
    pub reach: ReachAt,
    /// Breaker or fuse rating.
    pub breaker: Known<Amps>,
    /// Its rating at the temperature around the board.
    pub breaker_warm: Amps,
    /// Trip curve.
    pub curve: Known<Curve>,
    /// The neutral that it shares with others, where it does.
    pub neutral: Option<NeutralAt>,
    /// RCDs of its own, nearest first; those of a socket that feeds it are in its reach.
    pub rcds: Vec<RcdAt>,
    /// What the house has on it.
    pub base: Vec<BaseNode>,
}

/// A base load, resolved.
#[derive(Clone, Debug, PartialEq)]
pub struct BaseNode {
    /// What it is.
    pub name: Option<String>,
    /// What it draws.
    pub amps: Amps,
    /// What it leaks; 0, assumed, where the plan is silent.
    pub leak: Known<Leakage>,
    /// Whether its owner agreed that it may be off.
    pub owner_can_switch_off: bool,
}

/// A socket, resolved.
#[derive(Clone, Debug, PartialEq)]
pub struct SocketNode {
    /// Its id.
    pub id: SocketId,
    /// Where it is.
    pub place: Place,
    /// Kind of outlet; `None` where the plan names one that is not built in.
    pub outlet: Known<Option<&'static Outlet>>,
    /// How many plugs it takes.
    pub ways: Known<u32>,
    /// The plate that it is on.
    pub plate: PlateAt,
    /// The circuit that a test proved.
    pub circuit: Option<CircuitAt>,
    /// All that lies upstream, for certain or perhaps.
    pub reach: ReachAt,
    /// A plug-in RCD that sits in it.
    pub portable: Option<RcdAt>,
    /// Circuits of a distribution box that is plugged into it.
    pub feeds: Vec<CircuitAt>,
    /// What the polarity tester said.
    pub test: TestOutcome,
    /// Volts and lines that a plug meets.
    pub terminals: Terminals,
    /// Whether a ramp test here went to a step at which an RCD must drop, and none did.
    pub never_tripped: bool,
}

/// A plate, resolved.
#[derive(Clone, Debug, PartialEq)]
pub struct PlateNode {
    /// Its id, where sockets share it.
    pub id: Option<PlateId>,
    /// Its sockets.
    pub sockets: Vec<SocketAt>,
    /// What it carries in all; `None`: no less than its outlets do.
    pub limit: Option<Known<Amps>>,
}
