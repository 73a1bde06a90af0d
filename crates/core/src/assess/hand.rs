//! A head in hand: what would happen at every socket at once.

use crate::assess::Finding;
use crate::network::{CircuitAt, Link, RcdAt, SocketAt};
use crate::unit::{Amps, Metres, MilliAmps};

/// How a drop on a socket would turn out, best first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Outlook {
    /// Nothing worse than a note.
    Fits,
    /// Something may go wrong.
    Risk,
    /// A light goes out, or does not start.
    Dark,
    /// Somebody can be hurt.
    Never,
}

/// What would happen if the head in hand were dropped on a socket.
#[derive(Clone, Debug, PartialEq)]
pub struct Consequence {
    /// The socket.
    pub socket: SocketAt,
    /// The worst of it.
    pub outlook: Outlook,
    /// A few words for the grid: `fits 8 A 6 mA left`, `no: plug`, `no: 2.3 A over`, `may trip 7 in 10`,
    /// `NEVER: active and neutral are swapped`.
    pub words: String,
    /// What would be found there, worst first.
    pub findings: Vec<Finding>,
    /// The circuit, where it is traced, and the amps that would be left on it.
    pub circuit: Option<(CircuitAt, Amps)>,
    /// The tightest RCD of the chain, and the milliamps that would surely be left on it.
    pub rcd: Option<(RcdAt, MilliAmps)>,
    /// Leads from the truck's stock that would be taken, wall first.
    pub links: Vec<Link>,
    /// Metres of lead that it takes, where both places are known.
    pub lead_needed: Option<Metres>,
}
