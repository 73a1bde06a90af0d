//! What was switched off to trace sockets, and what tripped.

use crate::id::{DeviceId, HeadId, SetupId, SocketId};
use crate::unit::Minutes;

/// One `[[trace]]`: a device went off, and which sockets went with it.
#[derive(Clone, Debug, PartialEq)]
pub struct Trace {
    /// The circuit or RCD.
    pub device: DeviceId,
    /// Circuits and RCDs that were off at the same time.
    pub also_off: Vec<DeviceId>,
    /// How it went off.
    pub means: TraceMeans,
    /// Sockets that went dead.
    pub dead: Vec<SocketId>,
    /// Sockets that stayed live.
    pub live: Vec<SocketId>,
}

impl Trace {
    /// Everything that was off.
    pub fn devices(&self) -> impl Iterator<Item = &DeviceId> {
        std::iter::once(&self.device).chain(&self.also_off)
    }
}

/// How a traced device went off.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TraceMeans {
    /// Switched off by hand.
    SwitchedOff,
    /// A ramp test dropped it.
    RampDropped,
}

/// One `[[trip]]`, written by the Shoot screen.
#[derive(Clone, Debug, PartialEq)]
pub struct Trip {
    /// Local date and time, as the file has it.
    pub at: Option<String>,
    /// The device that dropped.
    pub device: Option<DeviceId>,
    /// In which setup.
    pub setup: Option<SetupId>,
    /// The head struck last before it.
    pub last_struck: Option<HeadId>,
    /// Minutes since switch-on.
    pub after: Option<Minutes>,
    /// What a reset did.
    pub reset: Option<Reset>,
}

/// What a reset did.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Reset {
    /// It held.
    Held,
    /// It dropped again.
    DidNotHold,
    /// Nobody tried.
    NotTried,
}

impl Reset {
    /// Every one, with its word in the file.
    pub const WORDS: [(&'static str, Self); 3] =
        [("held", Self::Held), ("did-not-hold", Self::DidNotHold), ("not-tried", Self::NotTried)];
}
