//! Where a plan lives, for commands that save it once.

use std::path::{Path, PathBuf};

use super::disk::Disk;
use super::{names, save};

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
        names::papers(&self.path)
    }

    /// Replaces the plan on disk.
    ///
    /// # Errors
    /// In words that say what to do, where the text is not on disk now. The old one still is, save
    /// where the words say that another program changed it.
    pub fn save(&mut self, text: &str) -> Result<(), String> {
        save::save(&Disk::default(), &self.path, &[&self.on_disk], text).map_err(
            |unsaved| match unsaved {
                save::Unsaved::Changed => {
                    format!("{}. Do it again on what is there now", unsaved.words(&self.path))
                }
                _ => format!("{} and do it again", unsaved.words(&self.path)),
            },
        )?;
        text.clone_into(&mut self.on_disk);
        Ok(())
    }
}
