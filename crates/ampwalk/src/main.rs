//! ampwalk: plans film lighting on the power that a building happens to have.

mod arguments;
mod clock;
mod command;
mod examples;
mod input;
mod memory;
mod output;
mod problems;
mod save;
mod screen;
mod terminal;
mod trouble;

use std::process::ExitCode;

use clap::Parser;

fn main() -> ExitCode {
    match arguments::Arguments::try_parse() {
        Ok(arguments) => output::report(command::run(arguments)),
        Err(error) => output::report_usage(&error),
    }
}
