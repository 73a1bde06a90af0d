//! `ampwalk completions`: a script that completes the command line in a shell.

use clap::CommandFactory;
use clap_complete::aot::{Bash, Fish, PowerShell, Zsh, generate};

use crate::arguments::{Arguments, ShellKind};
use crate::output::Answer;
use crate::trouble::Trouble;

/// The script of a shell.
pub fn completions(shell: ShellKind) -> Result<Answer, Trouble> {
    let mut command = Arguments::command();
    let name = command.get_name().to_owned();
    let mut script = Vec::new();
    match shell {
        ShellKind::Bash => generate(Bash, &mut command, name, &mut script),
        ShellKind::Zsh => generate(Zsh, &mut command, name, &mut script),
        ShellKind::Fish => generate(Fish, &mut command, name, &mut script),
        ShellKind::Powershell => generate(PowerShell, &mut command, name, &mut script),
    }
    as_text(script)
}

/// What a generator wrote, as an answer.
pub fn as_text(written: Vec<u8>) -> Result<Answer, Trouble> {
    String::from_utf8(written)
        .map(Answer::clear)
        .map_err(|error| Trouble::call(format!("it is not UTF-8: {error}"), "This is a fault of ours."))
}
