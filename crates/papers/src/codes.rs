//! The patch as texts in codes that a telephone reads without a network: plain lines for people.
//!
//! Each text begins with a line that says of what it is, which of how many, and a checksum of the whole, so
//! that codes of two issues are told apart. Lines are never longer than a code; long ones are folded.

mod lines;
mod matrix;
mod read;

pub(crate) use lines::patch;
pub use matrix::{Matrix, TooLong, modules};
pub use read::{Unread, read_back};

/// Bytes in one code at most, in UTF-8: with correction M this is 109 modules wide, which a telephone reads
/// from 6 cm of paper.
pub const MOST_BYTES: usize = 800;
/// Bytes of what the code is of at most; more are cut off.
const MOST_OF_NAME: usize = 120;
/// How a text goes on that was folded.
const FOLDED: &str = "  ";

/// Cuts lines into texts of [`MOST_BYTES`] at most, each with a heading of its own. Lines are cut between,
/// not within; one that is longer than half a code is folded at blanks first.
#[must_use]
pub fn split(name: &str, lines: &[String]) -> Vec<String> {
    let name = shortened(&one_line(name), MOST_OF_NAME);
    let lines: Vec<String> = lines.iter().flat_map(|line| folded(&one_line(line), MOST_BYTES / 2)).collect();
    let sum = checksum(&name, &lines);
    // The heading is longest with the largest numbers, of which there are fewer than lines.
    let digits = lines.len().max(1).to_string();
    let room = MOST_BYTES - heading(&name, &digits, &digits, &sum).len();
    let mut parts: Vec<Vec<&str>> = vec![Vec::new()];
    let mut used = 0;
    for line in &lines {
        if used + 1 + line.len() > room {
            parts.push(Vec::new());
            used = 0;
        }
        used += 1 + line.len();
        if let Some(part) = parts.last_mut() {
            part.push(line);
        }
    }
    let count = parts.len().to_string();
    let made = |(place, part): (usize, Vec<&str>)| {
        let first = heading(&name, &(place + 1).to_string(), &count, &sum);
        std::iter::once(first.as_str()).chain(part).collect::<Vec<_>>().join("\n")
    };
    parts.into_iter().enumerate().map(made).collect()
}

fn heading(name: &str, place: &str, count: &str, sum: &str) -> String {
    format!("{name}, {place}/{count}, issue {sum}")
}

/// Eight hexadecimal digits (CRC-32) of all that is told.
fn checksum(name: &str, lines: &[impl AsRef<str>]) -> String {
    let mut hasher = crc32fast::Hasher::new();
    hasher.update(name.as_bytes());
    for line in lines {
        hasher.update(b"\n");
        hasher.update(line.as_ref().as_bytes());
    }
    format!("{:08x}", hasher.finalize())
}

/// Nothing in it acts, and it is one line.
fn one_line(text: &str) -> String {
    ampwalk_core::file::inert(text)
}

/// As many whole letters as `most` bytes have room for.
fn shortened(text: &str, most: usize) -> String {
    if text.len() <= most {
        return text.to_owned();
    }
    let end = (0..=most - ELLIPSIS.len_utf8()).rev().find(|end| text.is_char_boundary(*end)).unwrap_or(0);
    format!("{}{ELLIPSIS}", &text[..end])
}

/// What is left out.
const ELLIPSIS: char = '\u{2026}';

/// A line in pieces of `most` bytes at most, broken at a blank where one is near the end; all but the first
/// begin with two blanks.
fn folded(line: &str, most: usize) -> Vec<String> {
    let mut pieces = Vec::new();
    let mut rest = line.to_owned();
    while rest.len() > most {
        let end = (1..=most).rev().find(|end| rest.is_char_boundary(*end)).unwrap_or(most);
        let least = most / 2;
        let blank = rest[..end].rfind(' ').filter(|at| *at > least);
        let tail = rest.split_off(blank.unwrap_or(end));
        pieces.push(std::mem::take(&mut rest));
        rest = format!("{FOLDED}{}", tail.strip_prefix(' ').unwrap_or(&tail));
    }
    pieces.push(rest);
    pieces
}
