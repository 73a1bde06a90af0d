//! What may stand on the command line.

mod program;

use std::path::PathBuf;
use std::sync::LazyLock;

use ampwalk_core::library::RegionCode;
use ampwalk_core::plan::FORMAT_VERSION;
use clap::builder::PossibleValuesParser;
use clap::{Parser, Subcommand, ValueEnum};

use crate::examples;
use crate::handout::Format;
pub use program::{LibraryTable, OfProgram, ShellKind};

/// What each exit status means.
pub const EXIT_STATUS: [(u8, &str); 3] = [
    (0, "nothing worse than a risk"),
    (1, "something dark or dangerous"),
    (2, "the plan or the call is wrong"),
];
/// What the program is not.
pub const CERTIFIES_NOTHING: &str =
    "It plans, it certifies nothing: local codes and a licensed electrician decide.";

/// The program's version, and that of the plan files it reads and writes.
static VERSION: LazyLock<String> =
    LazyLock::new(|| format!("{}, plan format {FORMAT_VERSION}", env!("CARGO_PKG_VERSION")));
/// Below the help.
static AFTER_HELP: LazyLock<String> = LazyLock::new(|| {
    let statuses = EXIT_STATUS.map(|(status, means)| format!("{status} {means}")).join(", ");
    format!(
        "Without anything: opens the plan that was open last.\nExit status: {statuses}.\n{CERTIFIES_NOTHING}"
    )
});

/// Plans film lighting on the power that a building happens to have: which head goes on which
/// socket, what that overloads, and what may drop which RCD.
#[derive(Debug, Parser)]
#[command(
    name = "ampwalk",
    version = VERSION.as_str(),
    args_conflicts_with_subcommands = true,
    after_help = AFTER_HELP.as_str()
)]
pub struct Arguments {
    /// What to do, if not to open a plan.
    #[command(subcommand)]
    pub command: Option<Command>,
    /// A plan file, to open on the screens
    pub plan: Option<PathBuf>,
}

/// The commands.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Opens a built-in example on a copy; works offline
    Demo {
        #[arg(help = examples::offered())]
        name: Option<String>,
        /// Writes it to this file instead of opening it
        #[arg(long, value_name = "FILE")]
        copy: Option<PathBuf>,
    },
    /// Writes a commented plan to start from
    New {
        /// The file to write; it must not exist yet
        file: PathBuf,
        /// Where the location is: volts, outlets, rules and words
        #[arg(long, value_parser = PossibleValuesParser::new(RegionCode::WORDS.map(|(word, _)| word)))]
        region: String,
    },
    /// Tells what is wrong in a plan, worst first, and the tables behind it
    Check {
        /// The plan file; `-` for standard input
        plan: PathBuf,
        /// Only this setup
        #[arg(long, value_name = "ID")]
        setup: Option<String>,
        /// For other programs
        #[arg(long)]
        json: bool,
    },
    /// Puts every head on a socket, moving placed ones only where it must
    Assign {
        /// The plan file; `-` for standard input
        plan: PathBuf,
        /// Forgets where heads are that are not pinned
        #[arg(long)]
        fresh: bool,
        /// Lets in sockets that nobody put the tester into
        #[arg(long)]
        untested: bool,
        /// Stops after so many seconds, with the best so far
        #[arg(long, value_name = "N", default_value_t = 10.0, value_parser = seconds)]
        seconds: f64,
        /// Saves the moves in the plan
        #[arg(long)]
        write: bool,
        /// For other programs
        #[arg(long)]
        json: bool,
    },
    /// After a trip: causes, what to unplug, what to light again where, what comes later
    Recover {
        /// The plan file; `-` for standard input
        plan: PathBuf,
        /// What dropped: circuits, RCDs, a supply; `everything` or `meter` where nothing is called so
        #[arg(long, value_name = "ID", num_args = 1.., required_unless_present = "dark")]
        lost: Vec<String>,
        /// Heads that went dark: what dropped is worked out from them
        #[arg(long, value_name = "HEAD", num_args = 1.., conflicts_with = "lost")]
        dark: Vec<String>,
        /// In this setup; the first one by default
        #[arg(long, value_name = "ID")]
        setup: Option<String>,
        /// The head that was struck last
        #[arg(long, value_name = "HEAD")]
        last: Option<String>,
        /// How long after switch-on: 0s, 12m, 1h30m; minutes without a letter
        #[arg(long, value_name = "TIME")]
        after: Option<String>,
        /// What the reset did, if one was tried
        #[arg(long, value_enum)]
        reset: Option<ResetWord>,
        /// Makes the moves in the plan and logs the trip
        #[arg(long)]
        write: bool,
        /// For other programs
        #[arg(long)]
        json: bool,
    },
    /// The order to strike heads in, with amps and milliamps after each step
    Strike {
        /// The plan file; `-` for standard input
        plan: PathBuf,
        /// Only this setup
        #[arg(long, value_name = "ID")]
        setup: Option<String>,
        /// For other programs
        #[arg(long)]
        json: bool,
    },
    /// What the traces prove of each socket, what clashes, and what to test next
    Trace {
        /// The plan file; `-` for standard input
        plan: PathBuf,
        /// For other programs
        #[arg(long)]
        json: bool,
    },
    /// Whether a generator is needed: the producer's answer, with reason, ways out, and what to hire
    Generator {
        /// The plan file; `-` for standard input
        plan: PathBuf,
        /// Stops after so many seconds, with what is known so far
        #[arg(long, value_name = "N", default_value_t = 30.0, value_parser = seconds)]
        seconds: f64,
        /// For other programs
        #[arg(long)]
        json: bool,
    },
    /// Writes the sheets that the crew hands over, with a letter for each revision and the changed rows marked
    Papers {
        /// The plan file; `-` for standard input
        plan: PathBuf,
        /// The folder; it is made where it is not there
        #[arg(long, value_name = "DIR")]
        to: PathBuf,
        /// These sheets only
        #[arg(long, value_enum, value_name = "SHEET", value_delimiter = ',')]
        only: Vec<PaperKind>,
        /// In these formats only
        #[arg(
            long,
            value_enum,
            value_name = "FORMAT",
            value_delimiter = ',',
            default_value = "pdf,html,csv"
        )]
        format: Vec<Format>,
        /// On this paper; that of the region by default
        #[arg(long, value_enum, value_name = "SIZE")]
        paper: Option<PaperSize>,
        /// Seeks the producer's answer for so many seconds at most
        #[arg(long, value_name = "N", default_value_t = 30.0, value_parser = seconds)]
        seconds: f64,
        /// For other programs
        #[arg(long)]
        json: bool,
    },
    /// Tells how a number came about: formula, values, where each came from, source
    Explain {
        /// The plan file; `-` for standard input
        plan: PathBuf,
        /// A head, socket, circuit, rcd or supply, such as `circuit.P1`, and if you like one of its
        /// numbers: `circuit.P1.amps`
        subject: String,
        /// Only in this setup
        #[arg(long, value_name = "ID")]
        setup: Option<String>,
        /// For other programs
        #[arg(long)]
        json: bool,
    },
    /// Takes a survey or head sheet in as CSV, whole or not at all; or prints the sheet to fill in
    Import {
        /// The sheet, a CSV file; `-` for standard input. With --sheet: the plan
        file: PathBuf,
        /// The plan file
        #[arg(required_unless_present = "sheet")]
        plan: Option<PathBuf>,
        /// What the sheet has a row for, if its headings do not tell
        #[arg(long, value_enum, value_name = "KIND")]
        what: Option<SheetKind>,
        /// Saves it in the plan
        #[arg(long)]
        write: bool,
        /// For other programs
        #[arg(long)]
        json: bool,
        /// Prints this sheet of the plan as CSV instead, to fill in
        #[arg(long, value_enum, value_name = "KIND", conflicts_with_all = ["plan", "what", "write", "json"])]
        sheet: Option<SheetKind>,
    },
    /// Those that need no plan
    #[command(flatten)]
    OfProgram(OfProgram),
}

/// Seconds, from nothing to a day.
fn seconds(text: &str) -> Result<f64, String> {
    match text.parse::<f64>() {
        Ok(seconds) if (0.0..=86_400.0).contains(&seconds) => Ok(seconds),
        _ => Err("give seconds, 0 to 86400".to_owned()),
    }
}

/// What a reset did.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum ResetWord {
    /// It held
    Held,
    /// It dropped again
    DidNotHold,
}

/// What a sheet has a row for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum SheetKind {
    /// The survey sheet
    Sockets,
    /// The head sheet
    Heads,
}

/// A sheet that the crew hands over.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum PaperKind {
    /// What the walk found, socket by socket
    Survey,
    /// Which head goes into which socket, over which leads
    Patch,
    /// What each circuit, RCD, line and supply carries
    Load,
    /// The order to strike in, and what to do when it goes dark
    Strike,
    /// The producer's page
    Generator,
    /// The leads to load and to lay
    Cables,
    /// Stickers for sockets, tags for plugs
    Labels,
    /// Safety notes and the record of handing back
    Safety,
}

/// A size of paper.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum PaperSize {
    /// 210 by 297 mm
    A4,
    /// 8.5 by 11 in
    Letter,
}

#[cfg(test)]
mod tests {
    use super::*;
    use clap::CommandFactory;

    #[test]
    fn the_command_line_is_well_formed() {
        Arguments::command().debug_assert();
    }
}
