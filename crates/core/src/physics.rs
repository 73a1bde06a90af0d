//! Published laws, one a file, each with its source and its tests.

pub mod breaker;
pub mod cable;
pub mod earth_loop;
pub mod filament;
pub mod generator;
pub mod harmonic;
pub mod inrush;
pub mod ladder;
pub mod phasor;
pub mod residual;

/// Whether a device stays up.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Outcome {
    /// It stays up.
    Holds,
    /// Nobody knows before it is tried.
    MayTrip,
    /// It drops.
    Trips,
}

impl Outcome {
    /// The word that other programs read.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Holds => "holds",
            Self::MayTrip => "may-trip",
            Self::Trips => "trips",
        }
    }
}
