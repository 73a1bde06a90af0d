//! The problem: circuits, the devices before each, sockets, and what was seen as devices went off.

use crate::network::{CircuitAt, Dense, RcdAt, SocketAt};
use crate::trace::CircuitSet;

/// Something that can be off.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Device {
    /// The breaker or fuse of a circuit.
    Breaker(CircuitAt),
    /// A residual-current device.
    Rcd(RcdAt),
}

/// A circuit, as far as tracing goes.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Circuit {
    /// RCDs before it, nearest first.
    pub rcds: Vec<RcdAt>,
    /// The socket that feeds it, for a distribution box.
    pub from: Option<SocketAt>,
    /// Circuits that share its neutral, as far as anybody knows; itself may be among them.
    pub shares: Vec<CircuitAt>,
    /// It may go off without any of its devices: a timer, a sensor or a key card holds it.
    pub dies_alone: bool,
}

/// A socket, as far as tracing goes.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Socket {
    /// The circuit that the plan gives it.
    pub given: Option<CircuitAt>,
    /// A plug-in RCD that sits in it, and RCDs before that.
    pub own: Vec<RcdAt>,
    /// It reads dead whatever is off, so that a dead reading says nothing.
    pub reads_dead: bool,
}

/// What was seen once.
#[derive(Clone, Debug, PartialEq)]
pub enum Evidence {
    /// Devices were off at once.
    Off {
        /// Which.
        off: Vec<Device>,
        /// Sockets that were dead.
        dead: Vec<SocketAt>,
        /// Sockets that were live.
        live: Vec<SocketAt>,
    },
    /// A ramp test at a socket dropped an RCD.
    Dropped {
        /// Where it was made.
        at: SocketAt,
        /// What dropped.
        rcd: RcdAt,
    },
}

/// Which socket is on which circuit?
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Problem {
    /// Every circuit of the plan.
    pub circuits: Dense<CircuitAt, Circuit>,
    /// Circuits that a socket in a wall can be on.
    pub building: CircuitSet,
    /// Every socket.
    pub sockets: Dense<SocketAt, Socket>,
    /// What was seen.
    pub evidence: Vec<Evidence>,
}

impl Problem {
    /// A set of circuits of this plan.
    #[must_use]
    pub fn set(&self, circuits: impl IntoIterator<Item = CircuitAt>) -> CircuitSet {
        CircuitSet::of(self.circuits.len(), circuits)
    }

    /// Circuits that are dark with these devices off: those behind them, without what hangs on a distribution
    /// box there.
    #[must_use]
    pub fn hit(&self, off: &[Device]) -> CircuitSet {
        let is_behind = |at: CircuitAt, circuit: &Circuit| {
            off.iter().any(|device| match device {
                Device::Breaker(breaker) => *breaker == at,
                Device::Rcd(rcd) => circuit.rcds.contains(rcd),
            })
        };
        match off {
            [Device::Breaker(breaker)] => self.set([*breaker]),
            _ => self
                .set(self.circuits.iter().filter(|(at, circuit)| is_behind(*at, circuit)).map(|(at, _)| at)),
        }
    }

    /// Whether nobody knows what is behind a device: an RCD before no circuit, in no socket.
    #[must_use]
    pub fn is_blind(&self, device: Device) -> bool {
        let Device::Rcd(rcd) = device else { return false };
        self.circuits.iter().all(|(_, circuit)| !circuit.rcds.contains(&rcd))
            && self.sockets.iter().all(|(_, socket)| !socket.own.contains(&rcd))
    }

    /// These circuits, and those that share a neutral with any of them.
    #[must_use]
    pub fn with_shared(&self, circuits: &CircuitSet) -> CircuitSet {
        let mut all = circuits.clone();
        for circuit in circuits.iter() {
            self.circuits[circuit].shares.iter().for_each(|other| all.insert(*other));
        }
        all
    }

    /// Circuits that may go off without any of their devices.
    #[must_use]
    pub fn dying_alone(&self) -> CircuitSet {
        self.set(self.circuits.iter().filter(|(_, circuit)| circuit.dies_alone).map(|(at, _)| at))
    }
}
