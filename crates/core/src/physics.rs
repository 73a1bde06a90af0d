//! Published laws, one a file, each with its source and its tests.

pub mod phasor;
pub mod residual;
