//! Writes a plan so that either the old or the new one is whole on disk, whatever happens between.

use std::fs::{self, Metadata};
use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};

use super::disk::Disk;
use super::names;
use crate::trouble::{in_words, shown};

/// Why a plan is not saved.
#[derive(Debug)]
pub enum Unsaved {
    /// It is not what was read: somebody else wrote it.
    Changed,
    /// It must not be written to.
    ReadOnly,
    /// The system said no, while doing this.
    Refused(&'static str, io::Error),
}

impl Unsaved {
    /// What is wrong and what to do, but for where the plan is meanwhile.
    pub fn words(&self, path: &Path) -> String {
        let name = shown(path);
        match self {
            Self::Changed => {
                format!("{name} was changed by another program since it was read; nothing is written over it")
            }
            Self::ReadOnly => format!("{name} is read-only. Allow writing to it"),
            Self::Refused(what, error) => {
                format!("{name} is not saved, {what}: {}. Mend that", in_words(error))
            }
        }
    }
}

/// Replaces the file at `path`, where one of `before` must still stand, or nothing.
///
/// The text goes to a new file in the same folder, which takes the old one's place once it is on the disk. A
/// symbolic link stays one. A file that is gone is written anew. Where the system can, the two change places
/// at one blow, and what came out is looked at once more: nobody's words are lost between a look and a rename.
pub fn save(disk: &Disk, path: &Path, before: &[&str], text: &str) -> Result<(), Unsaved> {
    let target = followed(path).map_err(|error| Unsaved::Refused("its link cannot be followed", error))?;
    let old = match disk.read_plan(&target) {
        // Written by an earlier try that could not make sure of it.
        Ok(Some(found)) if found == text.as_bytes() => return sure_of_place(disk, names::folder(&target)),
        Ok(Some(found)) if !is_one_of(&found, before) => return Err(Unsaved::Changed),
        Ok(Some(_)) => {
            let old = disk.look(&target);
            old.map_err(|error| Unsaved::Refused("it cannot be looked at", error))?
        }
        Ok(None) => None,
        Err(error) if error.kind() == ErrorKind::FileTooLarge => return Err(Unsaved::Changed),
        Err(error) => return Err(Unsaved::Refused("it cannot be compared with what was read", error)),
    };
    if old.as_ref().is_some_and(|old| old.permissions().readonly()) {
        return Err(Unsaved::ReadOnly);
    }
    replace(disk, &target, old.as_ref(), before, text)
}

fn is_one_of(found: &[u8], texts: &[&str]) -> bool {
    texts.iter().any(|text| found == text.as_bytes())
}

fn replace(
    disk: &Disk,
    target: &Path,
    old: Option<&Metadata>,
    before: &[&str],
    text: &str,
) -> Result<(), Unsaved> {
    let refused = |what| move |error| Unsaved::Refused(what, error);
    let folder = names::folder(target);
    let mut new =
        disk.create(folder, &names::undone(target)).map_err(refused("its folder takes no new file"))?;
    disk.write(new.as_file_mut(), text.as_bytes()).map_err(refused("writing it failed"))?;
    disk.keep_mode(new.as_file(), old).map_err(refused("its permissions cannot be kept"))?;
    disk.sync(new.as_file()).map_err(refused("the disk did not take it"))?;
    let no_place = refused("it cannot take the old one's place");
    if old.is_none() {
        match disk.put_new(new, target) {
            Err(error) if error.kind() == ErrorKind::AlreadyExists => {
                return Err(Unsaved::Changed);
            }
            put => put.map_err(no_place)?,
        }
    } else if disk.swap(new.path(), target).map_err(no_place)? {
        // From here on the new file's name has the old one, or what somebody wrote just now.
        let out = disk.read_plan(new.path());
        match out {
            Ok(Some(out)) if !is_one_of(&out, before) => {
                // Theirs takes its place back; if that fails, it stands beside the plan.
                let is_back = disk.swap(new.path(), target);
                if !matches!(is_back, Ok(true)) {
                    let _ = new.persist_noclobber(names::set_aside(target, 1));
                }
                return Err(Unsaved::Changed);
            }
            Err(error) => {
                let _ = disk.swap(new.path(), target);
                return Err(Unsaved::Refused("the old one cannot be looked at again", error));
            }
            Ok(_) => drop(new),
        }
    } else {
        disk.put_over(new, target).map_err(refused("it cannot take the old one's place"))?;
    }
    sure_of_place(disk, folder)
}

fn sure_of_place(disk: &Disk, folder: &Path) -> Result<(), Unsaved> {
    let synced = disk.sync_folder(folder);
    synced.map_err(|error| Unsaved::Refused("the disk did not take its place in the folder", error))
}

/// The file that a path leads to, through symbolic links; the path itself where nothing is there.
pub fn followed(path: &Path) -> io::Result<PathBuf> {
    match fs::canonicalize(path) {
        Ok(target) => Ok(target),
        Err(error) if error.kind() == ErrorKind::NotFound => Ok(path.to_owned()),
        Err(error) => Err(error),
    }
}
