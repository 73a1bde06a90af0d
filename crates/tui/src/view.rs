//! The views: one file a region of the screen.

pub mod board;
pub mod explanation;
pub mod findings;
pub mod papers;
mod phrase;
pub mod problems;
#[cfg(test)]
pub(crate) mod sample;
pub mod shoot;
pub mod walk;
