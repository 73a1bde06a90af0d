//! Reads a plan from a file or from standard input.

use std::fs::{self, File};
use std::io::{self, Read};
use std::path::Path;

use ampwalk_core::file::schema::LARGEST_FILE;
use ampwalk_core::file::{Gravity, Parsed, parse, position};

use crate::problems;
use crate::trouble::{CallTrouble, Trouble, in_words, shown};

/// The name that stands for standard input.
const STANDARD_INPUT: &str = "-";

/// The text of a plan, and what to call where it came from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Source {
    /// For messages: the path as it was given.
    pub name: String,
    /// What it says.
    pub text: String,
}

/// A plan that commands can work with.
#[derive(Debug)]
pub struct GoodPlan {
    /// What was read.
    pub parsed: Parsed,
    /// Notes on it, rendered.
    pub notes: String,
}

/// Whether a path means standard input.
pub fn is_standard_input(path: &Path) -> bool {
    path.as_os_str() == STANDARD_INPUT
}

/// Reads a plan that must be good. All that is wrong with it comes at once.
pub fn good_plan(path: &Path) -> Result<GoodPlan, Trouble> {
    let source = source(path)?;
    good(&source)
}

/// A plan's text, from a file or from standard input.
pub fn source(path: &Path) -> Result<Source, CallTrouble> {
    if is_standard_input(path) { standard_input() } else { file(path) }
}

/// Reads a text that must be a good plan. All that is wrong with it comes at once.
pub fn good(source: &Source) -> Result<GoodPlan, Trouble> {
    let parsed = parse(&source.text);
    let told = problems::render(source, &parsed.problems);
    match parsed.worst() {
        Some(Gravity::Error | Gravity::LaterVersion) => Err(Trouble::Plan(told)),
        Some(Gravity::Note) | None => Ok(GoodPlan { parsed, notes: told }),
    }
}

/// Reads standard input to its end.
fn standard_input() -> Result<Source, CallTrouble> {
    let name = "standard input".to_owned();
    let bytes = bounded(io::stdin().lock(), &name)?;
    Ok(Source { text: utf8(bytes, &name)?, name })
}

/// Reads a plan file.
pub fn file(path: &Path) -> Result<Source, CallTrouble> {
    let name = shown(path);
    if path.is_dir() {
        return Err(CallTrouble {
            message: format!("{name} is a folder, not a plan"),
            remedy: "Name the plan file in it.".to_owned(),
        });
    }
    let opened = open(path).map_err(|error| CallTrouble {
        message: format!("{name} cannot be read: {}", in_words(&error)),
        remedy: match error.kind() {
            io::ErrorKind::NotFound => not_found_remedy(path),
            io::ErrorKind::PermissionDenied => {
                "Ask its owner, or copy it to where you may read it.".to_owned()
            }
            io::ErrorKind::InvalidInput => {
                "Give a file, or `-` and send the plan to standard input.".to_owned()
            }
            _ => "Check the path and the disk.".to_owned(),
        },
    })?;
    let bytes = bounded(opened, &name)?;
    Ok(Source { text: utf8(bytes, &name)?, name })
}

/// Opens what may be read to its end: a file, or a pipe that the caller hands in by its number. Another pipe
/// might make us wait for ever, and a device has no end.
fn open(path: &Path) -> io::Result<File> {
    let found = fs::metadata(path)?;
    if !found.is_file() && !is_handed_in(path) {
        return Err(io::Error::new(io::ErrorKind::InvalidInput, "it is a pipe or a device, not a file"));
    }
    File::open(path)
}

/// Whether a path is one of the streams that the caller opened: `<(…)` of a shell is a number there.
fn is_handed_in(path: &Path) -> bool {
    let folder = path.parent();
    let is_stream = |folder: &Path| folder == Path::new("/dev/fd") || folder == Path::new("/proc/self/fd");
    path == Path::new("/dev/stdin") || folder.is_some_and(is_stream)
}

/// What stands in a small file of ours, which somebody may have put something else in place of.
///
/// # Errors
/// Where it cannot be read, is no file, or is larger than `most` bytes.
pub fn small_file(path: &Path, most: u64) -> io::Result<Vec<u8>> {
    let found = fs::metadata(path)?;
    if !found.is_file() {
        return Err(io::Error::new(io::ErrorKind::InvalidInput, "it is no file"));
    }
    let mut bytes = Vec::new();
    File::open(path)?.take(most + 1).read_to_end(&mut bytes)?;
    if u64::try_from(bytes.len()).is_ok_and(|length| length > most) {
        return Err(io::Error::new(io::ErrorKind::FileTooLarge, format!("it is larger than {most} bytes")));
    }
    Ok(bytes)
}

fn not_found_remedy(path: &Path) -> String {
    const COMMANDS: [&str; 7] = ["check", "demo", "help", "import", "library", "new", "recover"];
    let word = path.to_str().unwrap_or_default();
    match ampwalk_core::file::nearest(word, COMMANDS) {
        Some(command) => format!("The command `ampwalk {command}` is near; `ampwalk --help` lists all."),
        None => format!("Check the path, or start one: ampwalk new {} --region REGION", shown(path)),
    }
}

/// Reads up to the size that a plan may have.
fn bounded(stream: impl Read, name: &str) -> Result<Vec<u8>, CallTrouble> {
    let most = u64::try_from(LARGEST_FILE).unwrap_or(u64::MAX);
    let mut bytes = Vec::new();
    stream.take(most + 1).read_to_end(&mut bytes).map_err(|error| CallTrouble {
        message: format!("{name} cannot be read: {}", in_words(&error)),
        remedy: "Check the path and the disk.".to_owned(),
    })?;
    if bytes.len() > LARGEST_FILE {
        return Err(CallTrouble {
            message: format!("{name} is larger than {LARGEST_FILE} bytes, the most that a plan has"),
            remedy: "This is probably not a plan. Split a real one into several locations.".to_owned(),
        });
    }
    Ok(bytes)
}

fn utf8(bytes: Vec<u8>, name: &str) -> Result<String, CallTrouble> {
    String::from_utf8(bytes).map_err(|error| {
        let at = error.utf8_error().valid_up_to();
        let bytes = error.as_bytes();
        let good = String::from_utf8_lossy(&bytes[..at]);
        let (line, column) = position(&good, at);
        let byte = bytes.get(at).copied().unwrap_or_default();
        let remedy = if matches!(bytes, [0xff, 0xfe, ..] | [0xfe, 0xff, ..]) {
            "It looks like UTF-16. Save it as UTF-8."
        } else {
            "Save it as UTF-8, or type the letter there anew."
        };
        CallTrouble {
            message: format!("{name}:{line}:{column} is not UTF-8: byte {byte:#04x} at offset {at}"),
            remedy: remedy.to_owned(),
        }
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_byte_that_is_no_letter_is_told_with_its_place() {
        let told = utf8(b"ampwalk = 1\n# caf\xe9\n".to_vec(), "p.toml").unwrap_err();
        assert_eq!(told.message, "p.toml:2:6 is not UTF-8: byte 0xe9 at offset 17");
        assert!(utf8(vec![0xff, 0xfe, 0x61, 0], "p").unwrap_err().remedy.contains("UTF-16"));
    }

    #[test]
    fn a_stream_without_end_is_not_read_for_ever() {
        let told = bounded(io::repeat(b'a'), "p").unwrap_err();
        assert!(told.message.contains("larger than 8388608 bytes"), "{told}");
    }
}
