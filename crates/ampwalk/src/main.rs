//! ampwalk: plans film lighting on the power that a building happens to have.

mod arguments;
mod clock;
mod command;
mod examples;
mod handout;
mod input;
mod keep;
mod memory;
mod output;
mod problems;
mod screen;
mod terminal;
mod trouble;

use std::process::ExitCode;

use clap::Parser;
use mimalloc::MiMalloc;

/// A plan is assessed anew after every edit, in many small texts on several threads: a quarter of the time
/// went into the system's allocator.
#[global_allocator]
static ALLOCATOR: MiMalloc = MiMalloc;

fn main() -> ExitCode {
    match arguments::Arguments::try_parse() {
        Ok(arguments) => output::report(command::run(arguments)),
        Err(error) => output::report_usage(&error),
    }
}
