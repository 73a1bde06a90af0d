//! Commands about the program itself: they need no plan.

use clap::{Subcommand, ValueEnum};

/// The commands that need no plan.
#[derive(Debug, Subcommand)]
pub enum OfProgram {
    /// Tells what is built in
    Library {
        /// Which table
        table: LibraryTable,
        /// For other programs
        #[arg(long)]
        json: bool,
    },
    /// Prints the JSON Schema of the plan file, for editors and for programs that write plans
    Schema,
    /// Prints a script that completes commands, options and files in a shell
    Completions {
        /// Which shell
        shell: ShellKind,
    },
    /// Prints the manual page, in roff
    Man,
}

/// A table of what is built in.
#[derive(Clone, Copy, Debug, ValueEnum)]
pub enum LibraryTable {
    /// Classes of head
    Heads,
    /// Outlets, and what plugs into what
    Outlets,
    /// Regions: volts, devices, rules and words
    Regions,
    /// Rules of the findings
    Rules,
}

/// A shell that the program has a script for.
#[derive(Clone, Copy, Debug, ValueEnum)]
pub enum ShellKind {
    /// For `~/.local/share/bash-completion/completions/ampwalk`
    Bash,
    /// For `_ampwalk` in a folder of `$fpath`
    Zsh,
    /// For `~/.config/fish/completions/ampwalk.fish`
    Fish,
    /// For `$PROFILE`
    Powershell,
}
