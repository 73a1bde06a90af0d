//! The record of what was handed out, in the same folder.

use std::io;
use std::path::Path;

use ampwalk_core::plan::FORMAT_VERSION;
use ampwalk_papers::{IssuedFile, MadeFrom, Register};

use super::File;
use crate::input::small_file;
use crate::trouble::{CallTrouble, in_words, shown, visible};

/// What it is called.
pub(super) const NAME: &str = "papers.json";
/// No record of ours is larger, in bytes.
const LARGEST: u64 = 64 << 20;
/// What to do where it cannot be gone on from.
const REMEDY: &str = "Move it away to begin with letter A again, or name another folder.";

/// The record of a folder; an empty one where it has none.
pub(super) fn read(folder: &Path) -> Result<Register, CallTrouble> {
    let path = folder.join(NAME);
    let refused = |why: String| CallTrouble {
        message: format!("{} {why}, so the letters cannot go on from it", shown(&path)),
        remedy: REMEDY.to_owned(),
    };
    let text = match small_file(&path, LARGEST) {
        Ok(text) => text,
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(fresh()),
        Err(error) => return Err(refused(format!("cannot be read: {}", in_words(&error)))),
    };
    let found: Register = serde_json::from_slice(&text)
        .map_err(|error| refused(format!("is no record of sheets: line {}", error.line())))?;
    if found.ampwalk > FORMAT_VERSION {
        return Err(refused(format!("is of a later version ({})", found.ampwalk)));
    }
    if let Some(name) = foreign_name(&found) {
        return Err(refused(format!(
            "names a file `{}`, which this program never writes",
            visible(&name.chars().take(40).collect::<String>())
        )));
    }
    Ok(Register { ampwalk: FORMAT_VERSION, ..found })
}

/// A name in a record that no file of ours in this folder has: folders come by mail as plans do, and what is
/// named in one is looked for.
fn foreign_name(register: &Register) -> Option<&str> {
    let is_plain = |name: &str| {
        let is_of_ours = |c: char| c.is_ascii_alphanumeric() || matches!(c, '_' | '-' | '.');
        !name.starts_with('.') && name.len() <= 200 && name.chars().all(is_of_ours)
    };
    let files = register.files.iter().map(|file| file.name.as_str());
    let sheets = register.sheets.iter().flat_map(|issued| [issued.sheet.as_str(), issued.revision.as_str()]);
    files.chain(sheets).find(|name| !is_plain(name))
}

fn fresh() -> Register {
    Register { ampwalk: FORMAT_VERSION, ..Register::default() }
}

/// The record as it is written.
pub(super) fn written(register: &Register) -> Result<Vec<u8>, CallTrouble> {
    let mut text = serde_json::to_vec_pretty(register).map_err(|error| CallTrouble {
        message: format!("the record cannot be written as JSON: {error}"),
        remedy: "This is a fault of ours.".to_owned(),
    })?;
    text.push(b'\n');
    Ok(text)
}

/// What a record says of a plan's text.
pub(super) fn made_from(text: &str) -> MadeFrom {
    let IssuedFile { bytes, crc32, .. } = of("", text.as_bytes());
    MadeFrom { program: env!("CARGO_PKG_VERSION").to_owned(), bytes, crc32 }
}

/// Records files in place of those of the same names.
pub(super) fn record(register: &mut Register, files: &[File]) {
    for file in files {
        let now = of(&file.name, &file.bytes);
        let place = register.files.iter().position(|known| known.name == file.name);
        register.files.retain(|known| known.name != file.name);
        register.files.insert(place.unwrap_or(register.files.len()), now);
    }
}

/// The record while files take their places: a file may be the old one or the new one, and both are ours.
pub(super) fn between(before: Register, files: &[File]) -> Register {
    let mut between = Register { made_from: None, ..before };
    let new = files.iter().map(|file| of(&file.name, &file.bytes));
    let new: Vec<IssuedFile> = new.filter(|new| !between.files.contains(new)).collect();
    between.files.extend(new);
    between
}

/// What a record says of a file.
pub(super) fn of(name: &str, bytes: &[u8]) -> IssuedFile {
    let length = u64::try_from(bytes.len()).unwrap_or(u64::MAX);
    IssuedFile { name: name.to_owned(), bytes: length, crc32: crc32fast::hash(bytes) }
}
