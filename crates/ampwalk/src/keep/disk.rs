//! What keeping a plan asks of the disk, call by call. The tests make each of them fail in turn.

use std::fs::{self, File, Metadata, OpenOptions};
use std::io::{self, ErrorKind, Write};
use std::path::Path;
use std::time::Duration;

use ampwalk_core::file::schema::LARGEST_FILE;
use tempfile::NamedTempFile;

use crate::input::small_file;

/// A new file that has not taken its place for so long never will: whoever made it was killed.
const AGE: Duration = Duration::from_mins(1);

/// The disk.
#[derive(Clone, Debug, Default)]
pub struct Disk {
    #[cfg(test)]
    pub faults: std::sync::Arc<super::faults::Faults>,
}

impl Disk {
    /// One call to the system; a test may refuse it.
    #[cfg(test)]
    fn step(&self) -> io::Result<()> {
        self.faults.step()
    }

    #[cfg(not(test))]
    #[expect(clippy::unused_self, clippy::unnecessary_wraps, reason = "the tests' disk looks at itself")]
    const fn step(&self) -> io::Result<()> {
        Ok(())
    }

    /// What stands at a path; `None` where nothing does. A file larger than `most` bytes is refused unread.
    pub fn read(&self, path: &Path, most: usize) -> io::Result<Option<Vec<u8>>> {
        self.step()?;
        match small_file(path, most as u64) {
            Ok(bytes) => Ok(Some(bytes)),
            Err(error) if error.kind() == ErrorKind::NotFound => Ok(None),
            Err(error) => Err(error),
        }
    }

    /// A plan as it stands; `None` where none does.
    pub fn read_plan(&self, path: &Path) -> io::Result<Option<Vec<u8>>> {
        self.read(path, LARGEST_FILE)
    }

    /// What the system knows of a file; `None` where there is none.
    pub fn look(&self, path: &Path) -> io::Result<Option<Metadata>> {
        self.step()?;
        match fs::metadata(path) {
            Ok(found) => Ok(Some(found)),
            Err(error) if error.kind() == ErrorKind::NotFound => Ok(None),
            Err(error) => Err(error),
        }
    }

    /// A new file in a folder, whose name begins with `prefix`; it goes away unless it is persisted.
    pub fn create(&self, folder: &Path, prefix: &str) -> io::Result<NamedTempFile> {
        self.step()?;
        tempfile::Builder::new().prefix(prefix).tempfile_in(folder)
    }

    /// Opens a file to be written on at its end.
    pub fn open_to_append(&self, path: &Path) -> io::Result<File> {
        self.step()?;
        OpenOptions::new().append(true).open(path)
    }

    /// Writes all of it.
    pub fn write(&self, file: &mut File, bytes: &[u8]) -> io::Result<()> {
        if let Err(error) = self.step() {
            // A disk that fills up takes a part of it.
            file.write_all(&bytes[..bytes.len() / 2])?;
            return Err(error);
        }
        file.write_all(bytes)
    }

    /// Waits until the file is on the disk itself.
    pub fn sync(&self, file: &File) -> io::Result<()> {
        self.step()?;
        file.sync_all()
    }

    /// Puts a new file where none is yet; where one is, `AlreadyExists`.
    pub fn put_new(&self, new: NamedTempFile, target: &Path) -> io::Result<()> {
        self.step()?;
        new.persist_noclobber(target).map(drop).map_err(|error| error.error)
    }

    /// Puts a new file in the place of another.
    pub fn put_over(&self, new: NamedTempFile, target: &Path) -> io::Result<()> {
        self.step()?;
        new.persist(target).map(drop).map_err(|error| error.error)
    }

    /// Lets two files change places at one blow; `false` where this system or this disk cannot.
    #[cfg(any(target_os = "linux", target_os = "macos"))]
    pub fn swap(&self, one: &Path, other: &Path) -> io::Result<bool> {
        use rustix::fs::{CWD, RenameFlags, renameat_with};
        use rustix::io::Errno;
        self.step()?;
        match renameat_with(CWD, one, CWD, other, RenameFlags::EXCHANGE) {
            Ok(()) => Ok(true),
            Err(Errno::INVAL | Errno::NOSYS | Errno::NOTSUP) => Ok(false),
            Err(error) => Err(error.into()),
        }
    }

    #[cfg(not(any(target_os = "linux", target_os = "macos")))]
    pub fn swap(&self, _: &Path, _: &Path) -> io::Result<bool> {
        self.step().map(|()| false)
    }

    /// Takes a file away; that it is gone already is as good.
    pub fn remove(&self, path: &Path) -> io::Result<()> {
        self.step()?;
        match fs::remove_file(path) {
            Err(error) if error.kind() != ErrorKind::NotFound => Err(error),
            _ => Ok(()),
        }
    }

    /// Takes away what calls left in a folder that were killed a while ago: files whose names begin so.
    pub fn clear(&self, folder: &Path, prefix: &str) {
        let Ok(entries) = self.step().and_then(|()| fs::read_dir(folder)) else { return };
        let is_old = |entry: &fs::DirEntry| {
            let changed = entry.metadata().and_then(|found| found.modified()).ok();
            changed.and_then(|changed| changed.elapsed().ok()).is_some_and(|age| age > AGE)
        };
        for entry in entries.flatten() {
            if entry.file_name().to_string_lossy().starts_with(prefix) && is_old(&entry) {
                let _ = fs::remove_file(entry.path());
            }
        }
    }

    /// Makes a folder with all above it.
    pub fn make_folder(&self, folder: &Path) -> io::Result<()> {
        self.step()?;
        fs::create_dir_all(folder)
    }

    /// Makes sure that the new names in a folder are on the disk as well.
    pub fn sync_folder(&self, folder: &Path) -> io::Result<()> {
        self.step()?;
        sync_folder(folder)
    }

    /// Gives a new file the mode of an old one, and its owner where we may; or those of any new file.
    pub fn keep_mode(&self, new: &File, old: Option<&Metadata>) -> io::Result<()> {
        self.step()?;
        keep_mode(new, old)
    }
}

#[cfg(unix)]
fn keep_mode(new: &File, old: Option<&Metadata>) -> io::Result<()> {
    use std::os::unix::fs::{MetadataExt, fchown};
    let Some(old) = old else { return as_others_read(new) };
    // Only the owner of a machine may give files away; for all others the file becomes their own.
    let _ = fchown(new, Some(old.uid()), Some(old.gid()));
    new.set_permissions(old.permissions())
}

#[cfg(not(unix))]
fn keep_mode(new: &File, old: Option<&Metadata>) -> io::Result<()> {
    old.map_or(Ok(()), |old| new.set_permissions(old.permissions()))
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

/// Makes sure that the new names in a folder are on the disk as well.
#[cfg(unix)]
pub fn sync_folder(folder: &Path) -> io::Result<()> {
    File::open(folder)?.sync_all()
}

#[cfg(not(unix))]
pub fn sync_folder(_: &Path) -> io::Result<()> {
    Ok(())
}
