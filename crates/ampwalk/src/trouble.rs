//! What went wrong with a call, and what to do about it.

use std::fmt;
use std::path::Path;

use ampwalk_core::file::is_hidden;

/// A call that cannot be done. Exit status 2.
#[derive(Debug)]
pub enum Trouble {
    /// Something about the call itself.
    Call(CallTrouble),
    /// The plan has problems; they are told already, as they stand here.
    Plan(String),
}

/// What is wrong with the call, and what to do about it.
#[derive(Debug, PartialEq, Eq)]
pub struct CallTrouble {
    /// What is wrong.
    pub message: String,
    /// What to do.
    pub remedy: String,
}

impl Trouble {
    /// Trouble with the call.
    pub fn call(message: impl Into<String>, remedy: impl Into<String>) -> Self {
        Self::Call(CallTrouble { message: message.into(), remedy: remedy.into() })
    }
}

impl From<CallTrouble> for Trouble {
    fn from(trouble: CallTrouble) -> Self {
        Self::Call(trouble)
    }
}

impl fmt::Display for CallTrouble {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}\n  {}", self.message, self.remedy)
    }
}

/// A path for a sentence: on one line, and with nothing in it that a terminal acts on.
pub fn shown(path: &Path) -> String {
    visible(&path.to_string_lossy())
}

/// A stranger's text for a line: a mark for each letter that acts on a terminal, reorders or hides.
pub fn visible(text: &str) -> String {
    text.chars().map(|c| if is_hidden(c) { '\u{fffd}' } else { c }).collect()
}

/// What the system says, in words of ours where it is a common one.
pub fn in_words(error: &std::io::Error) -> String {
    use std::io::ErrorKind as Kind;
    match error.kind() {
        Kind::NotFound => "it is not there".to_owned(),
        Kind::PermissionDenied => "the permission is missing".to_owned(),
        Kind::StorageFull => "the disk is full".to_owned(),
        Kind::QuotaExceeded => "your share of the disk is used up".to_owned(),
        Kind::ReadOnlyFilesystem => "the disk is read-only".to_owned(),
        Kind::NotADirectory => "a part of its path is a file, not a folder".to_owned(),
        _ => error.to_string(),
    }
}
