//! What a plan went through since it was opened, change by change, on disk before it is in the plan itself.
//!
//! A file of lines: eight hexadecimal digits that are the CRC-32 of the rest of the line, a space, and a
//! record as JSON. The first record has the whole plan as it was; each other says what became of it. Lines
//! are only ever added, and each is on the disk before the next. A last line that was cut off is dropped, and
//! so is all from a line on that is not what was written: what stands before it is good.

use std::fs::File;
use std::io;
use std::path::{Path, PathBuf};

use ampwalk_core::edit::Splice;
use serde::{Deserialize, Serialize};

use super::disk::Disk;
use super::names;

/// The version of these records.
const VERSION: u32 = 1;
/// Beyond this size a journal begins anew at the next chance.
const LARGE: u64 = 4 << 20;
/// A journal that is larger is none of ours: the largest plan with each byte escaped, and its changes.
const LARGEST: usize = 32 << 20;

/// One line of a journal.
#[derive(Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
enum Record {
    /// The plan as it is on disk; the first record.
    Plan { version: u32, text: String },
    /// So many bytes at a place were taken out and this was put in; the CRC-32 of the text after it.
    Change { at: usize, removed: usize, inserted: String, crc: u32 },
    /// The plan on disk is now as the text is.
    Saved,
}

/// An open journal.
#[derive(Debug)]
pub struct Journal {
    path: PathBuf,
    file: File,
    /// The text after the last record.
    text: String,
    length: u64,
    /// A record may stand there in part: what comes behind it would not be read.
    is_torn: bool,
}

/// What a journal tells.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Told {
    /// The plan as it was saved last, as far as the journal knows.
    pub saved: String,
    /// The plan after the last change.
    pub text: String,
    /// The CRC-32 of each text that it had before the last.
    pub before: Vec<u32>,
    /// Whether the file has lines behind the last good one.
    pub is_cut: bool,
}

impl Journal {
    /// Begins a journal at a path, in the place of one that is there: what the plan says, and what it is to say.
    pub fn begin(disk: &Disk, path: &Path, on_disk: &str, text: &str) -> io::Result<Self> {
        let folder = names::folder(path);
        let mut lines = line(&Record::Plan { version: VERSION, text: on_disk.to_owned() });
        if text != on_disk {
            lines.push_str(&line(&change(on_disk, text)));
        }
        let mut new = disk.create(folder, &names::undone(path))?;
        disk.write(new.as_file_mut(), lines.as_bytes())?;
        disk.sync(new.as_file())?;
        disk.put_over(new, path)?;
        disk.sync_folder(folder)?;
        let file = disk.open_to_append(path)?;
        let length = lines.len() as u64;
        Ok(Self { path: path.to_owned(), file, text: text.to_owned(), length, is_torn: false })
    }

    /// Where it stands.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// The text after its last record.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// Whether it is time to begin anew.
    pub const fn is_large(&self) -> bool {
        self.length > LARGE
    }

    /// Puts a change on the disk. A text that is as it was changes nothing.
    pub fn add(&mut self, disk: &Disk, text: &str) -> io::Result<()> {
        if text == self.text {
            return Ok(());
        }
        self.put(disk, &change(&self.text, text))?;
        text.clone_into(&mut self.text);
        disk.sync(&self.file)
    }

    /// Remembers that the plan on disk is as the text is. Without it nothing is lost, so nothing waits for it.
    pub fn saved(&mut self, disk: &Disk) -> io::Result<()> {
        self.put(disk, &Record::Saved)
    }

    fn put(&mut self, disk: &Disk, record: &Record) -> io::Result<()> {
        if self.is_torn {
            return Err(io::Error::other("it has a line that was cut off"));
        }
        let line = line(record);
        self.is_torn = true;
        disk.write(&mut self.file, line.as_bytes())?;
        self.is_torn = false;
        self.length += line.len() as u64;
        Ok(())
    }
}

/// Reads a journal; `None` where there is none, or none of its lines is good.
pub fn read(disk: &Disk, path: &Path) -> io::Result<Option<Told>> {
    Ok(disk.read(path, LARGEST)?.and_then(|bytes| told(&bytes)))
}

fn told(bytes: &[u8]) -> Option<Told> {
    let mut lines = bytes.split_inclusive(|byte| *byte == b'\n');
    let Record::Plan { version: VERSION, text } = record(lines.next()?)? else { return None };
    let mut told = Told { saved: text.clone(), text, before: Vec::new(), is_cut: false };
    for line in lines {
        let went = record(line).and_then(|record| match record {
            Record::Change { at, removed, inserted, crc } => {
                let after = spliced(&told.text, at, removed, &inserted)?;
                if crc32fast::hash(after.as_bytes()) != crc {
                    return None;
                }
                told.before.push(crc32fast::hash(told.text.as_bytes()));
                told.text = after;
                Some(())
            }
            Record::Saved => {
                told.saved.clone_from(&told.text);
                Some(())
            }
            Record::Plan { .. } => None,
        });
        if went.is_none() {
            told.is_cut = true;
            break;
        }
    }
    Some(told)
}

fn spliced(text: &str, at: usize, removed: usize, inserted: &str) -> Option<String> {
    let end = at.checked_add(removed)?;
    Some([text.get(..at)?, inserted, text.get(end..)?].concat()).filter(|_| text.is_char_boundary(end))
}

fn change(before: &str, after: &str) -> Record {
    let Splice { at, removed, inserted } = Splice::between(before, after);
    Record::Change { at, removed: removed.len(), inserted, crc: crc32fast::hash(after.as_bytes()) }
}

fn line(record: &Record) -> String {
    // Records are plain data: there is nothing in them that JSON has no words for.
    let json = serde_json::to_string(record).unwrap_or_default();
    format!("{:08x} {json}\n", crc32fast::hash(json.as_bytes()))
}

fn record(line: &[u8]) -> Option<Record> {
    let line = std::str::from_utf8(line.strip_suffix(b"\n")?).ok()?;
    let (crc, json) = line.split_once(' ')?;
    let is_whole = crc == format!("{:08x}", crc32fast::hash(json.as_bytes()));
    is_whole.then(|| serde_json::from_str(json).ok())?
}
