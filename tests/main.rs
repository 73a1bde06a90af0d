//! Tests of the whole: the built program, the examples, and the house rules.
#![expect(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test fails by panicking")]

mod assign;
mod command_line;
mod contract;
mod explain;
mod generator;
mod hostile;
mod import;
mod installing;
mod invalid_plans;
mod later_version;
mod papers;
#[cfg(unix)]
mod pty;
mod questions;
mod schema;
mod screens;
mod strike;
mod support;
mod tidy;
mod trace;
