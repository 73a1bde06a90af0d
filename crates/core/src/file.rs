//! The plan file: text in, the plan and everything that is wrong with it out.
//!
//! Reading never fails and never changes the text: what can be read is in the plan, the rest is a
//! list of problems, each with its place and what to do about it. Writing is [`crate::edit`].

mod across;
mod alone;
mod check;
mod entry;
mod field;
mod inert;
pub mod merge;
pub(crate) mod migrate;
mod nearest;
pub(crate) mod number;
mod problem;
mod read;
mod reference;
pub mod schema;
mod sections;
pub(crate) mod tree;

pub(crate) use alone::{toml_tree, value_problem};
pub(crate) use check::is_id;
pub use entry::{Entries, Entry};
pub use inert::{inert, is_hidden};
pub use nearest::nearest;
pub use problem::{CODES, Gravity, Problem};
pub(crate) use problem::{quoted, readable};
pub use sections::Sections;

use crate::plan::Plan;
use check::Reading;
use migrate::{STEPS, Step};
use problem::{Problems, told};
use schema::{Kind, LARGEST_FILE};
use tree::Complaint;

/// Codes of problems of a text that is no TOML: an edit would not know where to go.
pub const NOT_TOML: [&str; 5] = ["syntax", "control-character", "duplicate-key", "duplicate-id", "too-large"];

/// What a text says, and what is wrong with it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Parsed {
    /// Everything that could be read. Where a problem says so, an id in it may name nothing; loops
    /// are cut.
    pub plan: Plan,
    /// In the order of the text.
    pub problems: Vec<Problem>,
}

impl Parsed {
    /// The worst of its problems, if it has any.
    #[must_use]
    pub fn worst(&self) -> Option<Gravity> {
        self.problems.iter().map(|problem| problem.gravity).max()
    }
}

/// Reads a plan file. Takes time that grows with the text and no faster, whatever the text.
#[must_use]
pub fn parse(text: &str) -> Parsed {
    parse_in_sections(text).0
}

/// Reads a plan file, and remembers where entries stand, so that one can be read again.
#[must_use]
pub fn parse_in_sections(text: &str) -> (Parsed, Sections) {
    parse_by(text, STEPS)
}

/// The same, where these steps lead from earlier formats to this one.
fn parse_by(text: &str, earlier: &[Step]) -> (Parsed, Sections) {
    let mut problems = Problems::default();
    if text.len() > LARGEST_FILE {
        problems.error("too-large", 0..0, || {
            told(
                format!("the file has {} bytes; a plan has {LARGEST_FILE} at most", text.len()),
                "This is probably not a plan. Split a real one into several locations.",
            )
        });
        return (Parsed { plan: Plan::default(), problems: problems.in_order() }, Sections::default());
    }
    if let Some(at) = first_line_too_many(text) {
        problems.error("too-many-entries", at..at, || {
            told(
                format!("the file has more than {MOST_LINES} lines"),
                "This is probably not a plan. Split a real one into several locations.",
            )
        });
        return (Parsed { plan: Plan::default(), problems: problems.in_order() }, Sections::default());
    }
    let (tree, complaints) = tree::tree(text);
    if complaints.is_empty()
        && let Some(brought) = migrate::bring(text, &tree, earlier)
    {
        let (Parsed { plan, problems }, _) = parse_by(&brought.text, &[]);
        let problems = problems.into_iter().map(|problem| brought.in_the_text_before(problem)).collect();
        // No entry is read again by itself before the whole is in this format.
        return (Parsed { plan, problems }, Sections::default());
    }
    let is_toml = complaints.iter().all(|complaint| !matches!(complaint, Complaint::Syntax { .. }));
    for complaint in complaints {
        complain(&mut problems, text, complaint);
    }
    let mut reading = Reading { tree: &tree, problems, references: Vec::new(), base_loads: Vec::new() };
    let mut plan = read::plan(&mut reading);
    // Where a header could not be read, all that names its entry would seem to name nothing.
    if is_toml {
        reference::check(&mut reading);
    }
    across::check(&mut reading, &mut plan);
    let parsed = Parsed { problems: judged(reading.problems.in_order()), plan };
    (parsed, Sections::of(&tree, text))
}

/// More lines than any plan has: a file of the largest size with 21 bytes a line.
const MOST_LINES: usize = 400_000;

/// Where the first line begins that is too many.
fn first_line_too_many(text: &str) -> Option<usize> {
    // Shorter texts have fewer lines than that whatever stands in them.
    let may_be = text.len() >= MOST_LINES && text.bytes().filter(|byte| *byte == b'\n').count() >= MOST_LINES;
    may_be.then(|| text.match_indices('\n').nth(MOST_LINES - 1).map(|(at, _)| at + 1)).flatten()
}

/// Of a plan in a later format this program cannot say what is wrong, but for its being TOML.
fn judged(mut problems: Vec<Problem>) -> Vec<Problem> {
    if problems.iter().any(|problem| problem.gravity == Gravity::LaterVersion) {
        problems.retain(|problem| {
            problem.gravity == Gravity::LaterVersion
                || matches!(problem.code, "syntax" | "duplicate-key" | "duplicate-id")
        });
    }
    problems
}

pub(in crate::file) fn complain(problems: &mut Problems, text: &str, complaint: Complaint) {
    match complaint {
        Complaint::Syntax { place, message } => {
            let hidden = text
                .get(place.clone())
                .and_then(|text| text.chars().find(|c| is_hidden(*c) && !matches!(c, '\n' | '\r')));
            if let Some(hidden) = hidden {
                problems.error("control-character", place, || {
                    told(
                        format!("the control character {} stands here", hidden.escape_unicode()),
                        "Take it out.",
                    )
                });
                return;
            }
            problems.error("syntax", place.clone(), || {
                let found = text.get(place).unwrap_or_default();
                if found.trim().is_empty() && message.starts_with("string values must be quoted") {
                    return told("a value is missing", "Write one, or take the key out.");
                }
                if message.starts_with("string values must be quoted") {
                    return told(format!("{} is no value", problem::quoted(found)), syntax_remedy(found));
                }
                told(message, syntax_remedy(found))
            });
        }
        Complaint::Twice { table, name, first, second } => {
            let kind = table.as_deref().and_then(|table| schema::PLAN.key(table)).map(|key| key.kind);
            let name = problem::quoted(&name);
            if let Some(Kind::Entries(entries, _)) = kind {
                problems.error("duplicate-id", second, || {
                    told(
                        format!("{} {name} is there twice", entries.noun),
                        "Give one of them another id, or put both into one table.",
                    )
                    .and(first, "the first one")
                });
                return;
            }
            problems.error("duplicate-key", second, || {
                told(format!("{name} is given twice"), "Keep one of the two.")
                    .and(first, "given here already")
            });
        }
    }
}

fn syntax_remedy(found: &str) -> &'static str {
    let first = found.chars().next();
    if first.is_some_and(|c| c.is_ascii_digit()) && found.ends_with(|c: char| c.is_alphabetic()) {
        return "Write the number alone: its unit is in the key's name.";
    }
    if first.is_some_and(char::is_alphabetic) {
        return "Put text in quotes: \"…\". A number, true and false stand without.";
    }
    "The file is TOML: `key = value` on a line of its own, text in quotes, tables under [headers]."
}

/// Line and column of an offset, both from 1; the column counts characters.
///
/// An offset beyond the text, or inside a character, is taken back to where one begins. A byte-order
/// mark is no character of the first line.
#[must_use]
pub fn position(text: &str, offset: usize) -> (usize, usize) {
    let mut end = offset.min(text.len());
    while !text.is_char_boundary(end) {
        end -= 1;
    }
    let before = &text[..end];
    let line_start = before.rfind('\n').map_or(0, |at| at + 1);
    let line = before.bytes().filter(|byte| *byte == b'\n').count() + 1;
    let in_line = before[line_start..].trim_start_matches('\u{feff}');
    (line, in_line.chars().count() + 1)
}
