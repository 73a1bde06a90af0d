//! The program from outside: its command line, its screens in a terminal, its answers on broken plans.
#![expect(clippy::unwrap_used, clippy::panic, reason = "a test fails by panicking")]

mod command_line;
mod contract;
mod invalid_plans;
mod support;
