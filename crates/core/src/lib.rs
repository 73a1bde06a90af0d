//! The electrical model behind ampwalk: a plan in, numbers and findings out.
//!
//! Pure: no file, clock, environment, thread or terminal; the same plan gives the same numbers.
//! Nothing here certifies an installation. It plans with limits that standards publish; local codes
//! and a licensed electrician decide.

pub mod assess;
pub mod diagnose;
pub mod edit;
pub mod explain;
pub mod file;
pub mod history;
pub mod id;
pub mod import;
pub mod library;
pub mod network;
pub mod order;
pub mod physics;
pub mod plan;
pub mod rule;
pub mod shorthand;
pub mod solve;
pub mod strike;
pub mod trace;
pub mod unit;
pub mod workers;
