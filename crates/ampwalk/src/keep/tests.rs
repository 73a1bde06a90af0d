//! A plan is kept whatever fails, and whoever else writes.

mod faults;
mod journal;
mod lock;
mod save;
mod several;

use std::fs;
use std::path::{Path, PathBuf};

use super::disk::Disk;
use super::keeping::{Keeping, Report};
use super::names;

/// A plan in a folder of its own.
struct Place {
    _folder: tempfile::TempDir,
    path: PathBuf,
    state: PathBuf,
}

impl Place {
    fn of(text: &str) -> Self {
        let folder = tempfile::tempdir().unwrap();
        let inner = folder.path().join("plans");
        fs::create_dir(&inner).unwrap();
        let path = inner.join("plan.toml");
        fs::write(&path, text).unwrap();
        let state = folder.path().join("state");
        Self { path, state, _folder: folder }
    }

    fn folder(&self) -> &Path {
        self.path.parent().unwrap()
    }

    fn text(&self) -> String {
        fs::read_to_string(&self.path).unwrap()
    }

    /// Opens the plan as it stands.
    fn open(&self) -> (Keeping, Vec<Report>) {
        self.open_on(Disk::default())
    }

    fn open_on(&self, disk: Disk) -> (Keeping, Vec<Report>) {
        let text = fs::read_to_string(&self.path).unwrap_or_default();
        let mut keeping = Keeping::open(
            disk,
            &self.path,
            &text,
            Some(self.state.clone()),
            "a spark, since 14:05".to_owned(),
        );
        let reports = keeping.first_reports();
        (keeping, reports)
    }

    /// The power goes: the lock is let go, and nothing is tidied up.
    fn power_cut(&self, keeping: Keeping) {
        std::mem::forget(keeping);
        let _ = fs::remove_file(names::lock(&self.path));
    }

    /// What stands beside the plan.
    fn beside(&self) -> Vec<String> {
        let entries = fs::read_dir(self.folder()).unwrap();
        let names = entries.map(|entry| entry.unwrap().file_name().into_string().unwrap());
        let mut names: Vec<String> = names.filter(|name| name != "plan.toml").collect();
        names.sort();
        names
    }
}

fn is_saved(reports: &[Report]) -> bool {
    reports == [Report::Saved(Ok(()))]
}

#[track_caller]
fn failure(reports: &[Report]) -> &str {
    match reports {
        [Report::Saved(Err(why))] => why,
        _ => panic!("{reports:?}"),
    }
}

/// The text that a report offers.
#[track_caller]
fn offered(reports: &[Report]) -> &str {
    match reports {
        [Report::Found(found)] => &found.text,
        _ => panic!("{reports:?}"),
    }
}
