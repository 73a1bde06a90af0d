//! The commands, one file each.

mod check;
mod demo;
mod layout;
mod library;
mod new;

use crate::arguments::{Arguments, Command};
use crate::output::Answer;
use crate::trouble::Trouble;

/// Does what the command line asks for.
pub fn run(arguments: Arguments) -> Result<Answer, Trouble> {
    match arguments.command {
        Command::Demo { name, copy } => demo::demo(name.as_deref(), &copy),
        Command::New { file, region } => new::new(&file, &region),
        Command::Check { plan, setup, json: true } => check::for_programs(&plan, setup.as_deref()),
        Command::Check { plan, setup, json: false } => check::for_people(&plan, setup.as_deref()),
        Command::Library { table, json: true } => library::for_programs(table),
        Command::Library { table, json: false } => Ok(library::for_people(table)),
    }
}
