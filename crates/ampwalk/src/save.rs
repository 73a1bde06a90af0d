//! Writes a plan so that either the old or the new one is whole on disk, whatever happens between.

use std::fs::{self, File, Metadata};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use crate::trouble::{in_words, shown};

/// Where a plan lives, and what stood there when it was read or written last.
#[derive(Debug)]
pub struct Home {
    path: PathBuf,
    on_disk: String,
}

impl Home {
    /// The home of a text that was read from `path` just now.
    pub fn new(path: &Path, on_disk: &str) -> Self {
        Self { path: path.to_owned(), on_disk: on_disk.to_owned() }
    }

    /// Where the plan's sheets go: a folder beside it.
    pub fn papers(&self) -> PathBuf {
        let mut name = self.path.file_stem().unwrap_or_default().to_owned();
        name.push("-papers");
        self.path.with_file_name(name)
    }

    /// Replaces the plan on disk.
    ///
    /// # Errors
    /// In words that say what to do, where the text is not on disk now. The old one still is, save
    /// where the words say that another program changed it.
    pub fn save(&mut self, text: &str) -> Result<(), String> {
        let written = save(&self.path, &self.on_disk, text);
        written.map_err(|trouble| trouble.words(&self.path))?;
        text.clone_into(&mut self.on_disk);
        Ok(())
    }
}

/// Why a plan is not saved.
#[derive(Debug)]
enum Unsaved {
    /// It is not what was read: somebody else wrote it.
    Changed,
    /// It must not be written to.
    ReadOnly,
    /// The system said no, while doing this.
    Refused(&'static str, io::Error),
}

impl Unsaved {
    fn words(&self, path: &Path) -> String {
        let name = shown(path);
        match self {
            Self::Changed => format!(
                "{name} was changed by another program since it was read; nothing is written over it. \
                 Move that file away and save again, or leave and open it anew"
            ),
            Self::ReadOnly => format!("{name} is read-only. Allow writing to it and save again"),
            Self::Refused(what, error) => format!(
                "{name} is not saved, {what}: {}. Mend that and save again; the plan is still here",
                in_words(error)
            ),
        }
    }
}

/// Replaces the file at `path`, where `before` must still stand.
///
/// The text goes to a new file in the same folder, which takes the old one's place once it is on the
/// disk. A symbolic link stays one. A file that is gone is written anew.
fn save(path: &Path, before: &str, text: &str) -> Result<(), Unsaved> {
    let target = followed(path).map_err(|error| Unsaved::Refused("its link cannot be followed", error))?;
    let old = match fs::read(&target) {
        Ok(found) if found != before.as_bytes() => return Err(Unsaved::Changed),
        Ok(_) => {
            Some(fs::metadata(&target).map_err(|error| Unsaved::Refused("it cannot be looked at", error))?)
        }
        Err(error) if error.kind() == io::ErrorKind::NotFound => None,
        Err(error) => return Err(Unsaved::Refused("it cannot be compared with what was read", error)),
    };
    if old.as_ref().is_some_and(|old| old.permissions().readonly()) {
        return Err(Unsaved::ReadOnly);
    }
    replace(&target, old.as_ref(), text).map_err(|(what, error)| Unsaved::Refused(what, error))
}

fn replace(target: &Path, old: Option<&Metadata>, text: &str) -> Result<(), (&'static str, io::Error)> {
    let folder = match target.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    };
    let mut new = tempfile::Builder::new()
        .prefix(".ampwalk-")
        .tempfile_in(folder)
        .map_err(|error| ("its folder takes no new file", error))?;
    new.write_all(text.as_bytes()).map_err(|error| ("writing it failed", error))?;
    keep_mode(new.as_file(), old).map_err(|error| ("its permissions cannot be kept", error))?;
    new.as_file().sync_all().map_err(|error| ("the disk did not take it", error))?;
    new.persist(target).map_err(|error| ("it cannot take the old one's place", error.error))?;
    sync_folder(folder).map_err(|error| ("the disk did not take its place in the folder", error))
}

/// The file that a path leads to, through symbolic links; the path itself where nothing is there.
fn followed(path: &Path) -> io::Result<PathBuf> {
    match fs::canonicalize(path) {
        Ok(target) => Ok(target),
        Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(path.to_owned()),
        Err(error) => Err(error),
    }
}

/// Gives the new file the old one's mode, and its owner where we may.
#[cfg(unix)]
fn keep_mode(new: &File, old: Option<&Metadata>) -> io::Result<()> {
    use std::os::unix::fs::{MetadataExt, fchown};
    let Some(old) = old else { return as_others_read(new) };
    // Only the owner of a machine may give files away; for all others the file becomes their own.
    let _ = fchown(new, Some(old.uid()), Some(old.gid()));
    new.set_permissions(old.permissions())
}

/// Lets others read a new file, as files usually are.
#[cfg(unix)]
pub fn as_others_read(new: &File) -> io::Result<()> {
    use std::os::unix::fs::PermissionsExt;
    new.set_permissions(fs::Permissions::from_mode(0o644))
}

#[cfg(not(unix))]
pub fn as_others_read(_: &File) -> io::Result<()> {
    Ok(())
}

#[cfg(not(unix))]
fn keep_mode(new: &File, old: Option<&Metadata>) -> io::Result<()> {
    old.map_or(Ok(()), |old| new.set_permissions(old.permissions()))
}

/// Makes sure that the new name is on the disk as well.
#[cfg(unix)]
pub fn sync_folder(folder: &Path) -> io::Result<()> {
    File::open(folder)?.sync_all()
}

#[cfg(not(unix))]
pub fn sync_folder(_: &Path) -> io::Result<()> {
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn plan_file(text: &str) -> (tempfile::TempDir, PathBuf) {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("plan.toml");
        fs::write(&path, text).unwrap();
        (folder, path)
    }

    #[test]
    fn a_save_replaces_the_plan_and_leaves_nothing_beside_it() {
        let (folder, path) = plan_file("old");
        let mut home = Home::new(&path, "old");
        home.save("new").unwrap();
        home.save("newer").unwrap();
        assert_eq!(fs::read_to_string(&path).unwrap(), "newer");
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1);
    }

    #[test]
    fn a_plan_that_another_program_changed_is_not_written_over() {
        let (_folder, path) = plan_file("old");
        let mut home = Home::new(&path, "old");
        fs::write(&path, "theirs").unwrap();
        let words = home.save("mine").unwrap_err();
        assert!(words.contains("changed by another program"), "{words}");
        assert_eq!(fs::read_to_string(&path).unwrap(), "theirs");
    }

    #[test]
    fn a_plan_that_is_gone_is_written_anew() {
        let (_folder, path) = plan_file("old");
        let mut home = Home::new(&path, "old");
        fs::remove_file(&path).unwrap();
        home.save("new").unwrap();
        assert_eq!(fs::read_to_string(&path).unwrap(), "new");
    }

    #[test]
    fn a_folder_that_is_gone_is_told_and_a_later_save_works() {
        let (folder, path) = plan_file("old");
        let inner = folder.path().join("inner");
        fs::create_dir(&inner).unwrap();
        let moved = inner.join("plan.toml");
        fs::rename(&path, &moved).unwrap();
        let mut home = Home::new(&moved, "old");
        fs::remove_dir_all(&inner).unwrap();
        let words = home.save("new").unwrap_err();
        assert!(words.contains("its folder takes no new file: it is not there"), "{words}");
        assert!(words.contains("the plan is still here"), "{words}");
        fs::create_dir(&inner).unwrap();
        home.save("new").unwrap();
        assert_eq!(fs::read_to_string(&moved).unwrap(), "new");
    }

    #[cfg(unix)]
    #[test]
    fn a_link_stays_a_link_and_the_mode_stays() {
        use std::os::unix::fs::{PermissionsExt, symlink};
        let (folder, path) = plan_file("old");
        fs::set_permissions(&path, fs::Permissions::from_mode(0o640)).unwrap();
        let link = folder.path().join("link.toml");
        symlink("plan.toml", &link).unwrap();
        Home::new(&link, "old").save("new").unwrap();
        assert!(fs::symlink_metadata(&link).unwrap().is_symlink());
        assert_eq!(fs::read_to_string(&path).unwrap(), "new");
        assert_eq!(fs::metadata(&path).unwrap().permissions().mode() & 0o7777, 0o640);
    }

    #[cfg(unix)]
    #[test]
    fn a_read_only_plan_is_left_alone() {
        use std::os::unix::fs::PermissionsExt;
        let (_folder, path) = plan_file("old");
        fs::set_permissions(&path, fs::Permissions::from_mode(0o444)).unwrap();
        let words = Home::new(&path, "old").save("new").unwrap_err();
        assert!(words.contains("read-only"), "{words}");
        assert_eq!(fs::read_to_string(&path).unwrap(), "old");
    }
}
