//! Tracing: which socket is on which circuit, from what went dead as something was switched off.
//!
//! # What evidence says
//!
//! Each socket in a wall is on exactly one circuit of the building; one on a distribution box is on a circuit of
//! the box, and the box on the circuit of the socket that feeds it. A reading at a socket on a box that the box's
//! own devices do not explain is a reading of that feeding socket.
//!
//! With a set of devices off at once (a `[[trace]]`), circuits behind any of them are dark:
//!
//! - **live**: the socket is on no circuit that is dark.
//! - **dead**: the socket is on a circuit that is dark, or on one that *may* have gone with it: a circuit that
//!   shares its neutral with a dark one, for a two-pole device opens that neutral, and breakers of a shared neutral
//!   are often tied (NEC 210.4(B), from memory); or a circuit that goes off by itself, as a timer, a movement
//!   sensor or a key card holds it.
//! - A **ramp test** at the socket that dropped an RCD by name: the socket is on a circuit behind that.
//! - A plug-in RCD darkens its own socket alone. An RCD of which the plan knows no circuit says nothing with dead
//!   sockets, nor does a socket that the tester found dead.
//!
//! A label on the wall is no evidence.
//!
//! # What follows
//!
//! The set of a socket is every circuit of the building that agrees with all its evidence, exactly: sockets do not
//! depend on each other beyond this, so the sets are those of an enumeration of every building. A circuit that the
//! plan gives (`circuit = …`) is the set.
//!
//! **Neutrals that nobody knows of** are not assumed where the evidence agrees without them. A neutral that two
//! circuits behind different RCDs share shows itself at the first load: what flows out through one device comes
//! back through the other, and both drop. So a house whose RCDs hold has none across them, and behind one RCD it
//! changes no reading. Where evidence clashes, each neutral between two circuits that would explain it, alone, is
//! told as a guess ([`shared_neutrals`]); where it does not clash, none is looked for, so a socket that went dead
//! through such a neutral is taken for one of the circuit that was switched off.
//!
//! **Clashes**: evidence that leaves a socket no circuit, or not the one that the plan gives, is told with the
//! fewest entries that clash. None of that socket's evidence counts then, as any of it may be a slip of the pen: it
//! may be on any circuit of the building.

mod allowed;
mod clamp;
mod cover;
mod label;
mod neutral;
pub mod next;
mod problem;
mod readings;
mod report;
pub mod room;
mod set;
mod survey;
pub mod words;

pub use allowed::{Base, GoesDark, kept_on, switches};
pub use clamp::{ClampReading, ClampStand, clamp_readings};
pub use label::{Label, LabelStand, Labels};
pub use neutral::{SharedNeutral, shared_neutrals};
pub use problem::{Circuit, Device, Evidence, Problem, Socket};
pub use readings::{Clash, Readings};
pub use report::{Advice, Basis, Next, Report, Retest, SocketTrace, Split, StrayTrip, WhyAgain, WhyNone};
pub use set::CircuitSet;
pub(crate) use survey::{Candidate, Candidates, Tables};
pub use survey::{Source, Survey};
