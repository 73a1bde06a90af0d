//! One writer a plan: a lock on a file beside it, which the system lets go when the program ends, however.

use std::fs::{self, File, OpenOptions, TryLockError};
use std::io::{self, Read, Seek, Write};
use std::path::{Path, PathBuf};

use crate::trouble::in_words;

/// Who may write.
#[derive(Debug)]
pub enum Hold {
    /// We do.
    Ours(Lock),
    /// Somebody else has the plan open: who, in words.
    Theirs(String),
    /// There are no locks here, in words why: whoever else writes is noticed only by what is written.
    NoLocks(String),
}

/// A lock that we hold.
#[derive(Debug)]
pub struct Lock {
    path: PathBuf,
    // Held as long as the file is open.
    _file: File,
}

impl Lock {
    /// Lets it go, and takes its file away.
    pub fn release(self) {
        // Whoever comes in between finds a file that is not locked, or none; both are fine.
        let _ = fs::remove_file(&self.path);
    }
}

/// Tries to become the one who writes; `who` is told to others.
pub fn take(path: &Path, who: &str) -> Hold {
    // The file may be taken away by its holder between our opening it and our locking it.
    for _ in 0..16 {
        match try_once(path, who) {
            Ok(Some(hold)) => return hold,
            Ok(None) => {}
            Err(error) => return Hold::NoLocks(in_words(&error)),
        }
    }
    Hold::Theirs("another ampwalk".to_owned())
}

fn try_once(path: &Path, who: &str) -> io::Result<Option<Hold>> {
    // Whoever sends a plan may send a link beside it: what it leads to is not ours to write.
    if fs::symlink_metadata(path).is_ok_and(|found| !found.is_file()) {
        return Err(io::Error::new(io::ErrorKind::InvalidInput, "something that is no file stands there"));
    }
    let mut file = OpenOptions::new().read(true).write(true).create(true).truncate(false).open(path)?;
    match file.try_lock() {
        Ok(()) => {}
        Err(TryLockError::WouldBlock) => return Ok(Some(Hold::Theirs(holder(&mut file)))),
        Err(TryLockError::Error(error)) => return Err(error),
    }
    if !is_still_there(&file, path) {
        return Ok(None);
    }
    // Only for others to read: it locks without it as well.
    let _ = file.set_len(0).and_then(|()| file.rewind()).and_then(|()| file.write_all(who.as_bytes()));
    Ok(Some(Hold::Ours(Lock { path: path.to_owned(), _file: file })))
}

/// What the holder wrote of itself.
fn holder(file: &mut File) -> String {
    let mut words = String::new();
    let read = file.rewind().and_then(|()| file.take(200).read_to_string(&mut words));
    let words: String = words.chars().filter(|c| !c.is_control()).collect();
    if read.is_ok() && !words.trim().is_empty() { words } else { "another ampwalk".to_owned() }
}

#[cfg(unix)]
fn is_still_there(file: &File, path: &Path) -> bool {
    use std::os::unix::fs::MetadataExt;
    let (Ok(own), Ok(there)) = (file.metadata(), fs::metadata(path)) else { return false };
    (own.dev(), own.ino()) == (there.dev(), there.ino())
}

#[cfg(not(unix))]
fn is_still_there(_: &File, _: &Path) -> bool {
    // A file that is open cannot be taken away.
    true
}

/// Who we are, for others: the user, the machine and the process, since when.
pub fn ourselves(since: &str) -> String {
    let user = ["USER", "LOGNAME", "USERNAME"].into_iter().find_map(|name| std::env::var(name).ok());
    let user = user.unwrap_or_else(|| "somebody".to_owned());
    format!("{user}{}, process {}, since {since}", on_machine(), std::process::id())
}

#[cfg(unix)]
fn on_machine() -> String {
    format!(" on {}", rustix::system::uname().nodename().to_string_lossy())
}

#[cfg(not(unix))]
fn on_machine() -> String {
    std::env::var("COMPUTERNAME").map(|name| format!(" on {name}")).unwrap_or_default()
}
