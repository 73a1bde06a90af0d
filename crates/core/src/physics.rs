//! Published laws, one a file, each with its source and its tests.

pub mod generator;
pub mod harmonic;
pub mod phasor;
pub mod residual;
