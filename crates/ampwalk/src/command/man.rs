//! `ampwalk man`: the manual page, all commands on one page.

use std::io;

use clap::{Command, CommandFactory};
use clap_mangen::Man;
use clap_mangen::roff::{Roff, bold, roman};

use super::completions::as_text;
use crate::arguments::{Arguments, CERTIFIES_NOTHING, EXIT_STATUS};
use crate::output::Answer;
use crate::trouble::Trouble;

/// Variables of the environment that the program looks at, and what for.
const ENVIRONMENT: [(&str, &str); 3] = [
    ("NO_COLOR", "Set to anything: no colour anywhere."),
    ("COLORFGBG", "Whether the terminal is dark or light, where it does not answer."),
    ("SOURCE_DATE_EPOCH", "Seconds since 1970: written on new sheets instead of the clock's time."),
];

/// The page, in roff.
pub fn man() -> Result<Answer, Trouble> {
    page()
        .map_err(|error| {
            Trouble::call(format!("the page cannot be written: {error}"), "This is a fault of ours.")
        })
        .and_then(as_text)
}

fn page() -> io::Result<Vec<u8>> {
    // Every command has --help; said once, at the program's own options.
    let command = Arguments::command().disable_help_subcommand(true).subcommand_value_name("COMMAND");
    let man = Man::new(command.clone()).source(format!("ampwalk {}", env!("CARGO_PKG_VERSION")));
    let mut page = Vec::new();
    man.render_title(&mut page)?;
    man.render_name_section(&mut page)?;
    man.render_synopsis_section(&mut page)?;
    man.render_description_section(&mut page)?;
    page.extend(text(CERTIFIES_NOTHING));
    man.render_options_section(&mut page)?;
    page.extend(heading("SH", "COMMANDS"));
    for sub in command.get_subcommands() {
        one(sub, &mut page)?;
    }
    page.extend(closing());
    Ok(page)
}

/// A command under a heading of its own.
fn one(command: &Command, page: &mut Vec<u8>) -> io::Result<()> {
    let name = format!("ampwalk {}", command.get_name());
    page.extend(heading("SS", &name));
    let man = Man::new(command.clone().bin_name(name).disable_help_flag(true));
    page.extend(section(|part| man.render_synopsis_section(part))?);
    page.extend(section(|part| man.render_description_section(part))?);
    page.extend(section(|part| man.render_options_section(part))?);
    Ok(())
}

/// A section of a command as a paragraph under the command's own heading.
fn section(render: impl Fn(&mut Vec<u8>) -> io::Result<()>) -> io::Result<Vec<u8>> {
    let mut rendered = Vec::new();
    render(&mut rendered)?;
    let mut paragraph = heading("PP", "");
    paragraph.extend_from_slice(below_heading(&rendered));
    Ok(paragraph)
}

/// A section without its own heading and what comes before it: it stands under another one.
fn below_heading(section: &[u8]) -> &[u8] {
    let lines = || section.split_inclusive(|byte| *byte == b'\n');
    let Some(at) = lines().position(|line| line.starts_with(b".SH ")) else {
        return &[];
    };
    let before: usize = lines().take(at + 1).map(<[u8]>::len).sum();
    &section[before..]
}

fn heading(kind: &str, words: &str) -> Vec<u8> {
    let mut roff = Roff::new();
    roff.control(kind, Some(words).filter(|words| !words.is_empty()));
    roff.to_roff().into_bytes()
}

fn text(words: &str) -> Vec<u8> {
    let mut roff = Roff::new();
    roff.control("PP", []).text([roman(words)]);
    roff.to_roff().into_bytes()
}

/// Exit status, environment, and where the rest stands.
fn closing() -> Vec<u8> {
    let mut roff = Roff::new();
    roff.control("SH", ["EXIT STATUS"]);
    for (status, means) in EXIT_STATUS {
        roff.control("TP", []).text([bold(status.to_string())]).text([roman(means)]);
    }
    roff.control("SH", ["ENVIRONMENT"]);
    for (name, means) in ENVIRONMENT {
        roff.control("TP", []).text([bold(name)]).text([roman(means)]);
    }
    roff.control("SH", ["NOTES"])
        .text([roman("On the screens ? lists the keys that work there, and : finds a command by its name.")]);
    roff.to_roff().into_bytes()
}
