//! What goes to the two streams: whole answers, colour where it is wanted, no panic on a closed pipe.

use std::fmt::Write as _;
use std::io::{self, IsTerminal, Write};
use std::process::ExitCode;

use ampwalk_core::assess::Verdict;
use ampwalk_core::file::is_hidden;
use anstream::{AutoStream, ColorChoice};
use serde::Serialize;

use crate::trouble::{Trouble, visible};

/// Columns where the terminal does not say: the least that the tables are made for.
const COLUMNS: usize = 80;
/// Beyond this many columns lines get hard to follow.
const MOST_COLUMNS: usize = 160;

/// What a command leaves behind when it could be done.
#[derive(Debug)]
pub struct Answer {
    /// For standard output.
    pub text: String,
    /// For standard error: notes that fail nothing.
    pub notes: String,
    /// The worst that was found.
    pub verdict: Verdict,
}

impl Answer {
    /// An answer in which nothing is wrong.
    pub fn clear(text: String) -> Self {
        Self { text, notes: String::new(), verdict: Verdict::Clear }
    }
}

/// An answer for other programs.
pub fn as_json(answer: &impl Serialize) -> Result<String, Trouble> {
    let text = serde_json::to_string_pretty(answer).map_err(|error| {
        Trouble::call(format!("the answer cannot be written as JSON: {error}"), "This is a fault of ours.")
    })?;
    let mut told = String::with_capacity(text.len() + 1);
    for c in text.chars() {
        // JSON lets most of what acts on a terminal stand as it is. Such letters are only ever within texts.
        if c != '\n' && is_hidden(c) {
            for unit in c.encode_utf16(&mut [0; 2]) {
                // Writing to a string cannot fail.
                let _ = write!(told, "\\u{unit:04x}");
            }
        } else {
            told.push(c);
        }
    }
    told.push('\n');
    Ok(told)
}

/// Prints what a command came to and gives its exit status.
pub fn report(result: Result<Answer, Trouble>) -> ExitCode {
    match result {
        Ok(answer) => {
            print_error(&answer.notes);
            let printed = print(&answer.text);
            match printed {
                Ok(()) if answer.verdict >= Verdict::Dark => ExitCode::from(1),
                Ok(()) => ExitCode::SUCCESS,
                Err(error) => {
                    print_error(&format!("ampwalk: the answer could not be written: {error}\n"));
                    ExitCode::from(2)
                }
            }
        }
        Err(trouble) => {
            match trouble {
                Trouble::Call(call) => print_error(&format!("ampwalk: {call}\n")),
                Trouble::Plan(problems) => print_error(&problems),
            }
            ExitCode::from(2)
        }
    }
}

/// Prints what the reader of the command line says: help and version to standard output, all else
/// to standard error.
pub fn report_usage(error: &clap::Error) -> ExitCode {
    // Names of files may come from strangers, and a shell writes them out for `*`.
    let is_hostile = std::env::args_os().any(|argument| argument.to_string_lossy().chars().any(is_hidden));
    if is_hostile {
        let lines = error.render().to_string();
        print_error(&lines.lines().map(|line| visible(line) + "\n").collect::<Vec<_>>().concat());
    } else {
        // A closed pipe is no reason to say more.
        let _ = error.print();
    }
    ExitCode::from(u8::try_from(error.exit_code()).unwrap_or(2))
}

/// Writes to standard output; a reader that went away is none of our trouble.
fn print(text: &str) -> io::Result<()> {
    let choice = choice(&io::stdout());
    let mut stream = AutoStream::new(io::stdout().lock(), choice);
    let written = stream.write_all(text.as_bytes()).and_then(|()| stream.flush());
    match written {
        Err(error) if error.kind() == io::ErrorKind::BrokenPipe => Ok(()),
        other => other,
    }
}

/// Writes to standard error. Where even that fails, there is nobody left to tell.
fn print_error(text: &str) {
    let choice = choice(&io::stderr());
    let mut stream = AutoStream::new(io::stderr().lock(), choice);
    let _ = stream.write_all(text.as_bytes()).and_then(|()| stream.flush());
}

/// Colour only on a terminal that has it, and never with `NO_COLOR`.
fn choice(stream: &impl IsTerminal) -> ColorChoice {
    let wanted = stream.is_terminal() && !anstyle_query::no_color() && anstyle_query::term_supports_color();
    if wanted { ColorChoice::Always } else { ColorChoice::Never }
}

/// Columns of standard output.
pub fn columns() -> usize {
    columns_of(&io::stdout())
}

/// Columns of standard error.
pub fn error_columns() -> usize {
    columns_of(&io::stderr())
}

fn columns_of(stream: &impl IsTerminal) -> usize {
    if !stream.is_terminal() {
        return COLUMNS;
    }
    crossterm::terminal::size().map_or(COLUMNS, |(columns, _)| usize::from(columns).clamp(40, MOST_COLUMNS))
}
