//! What becomes of a plan's text while it is open: journal first, then the plan itself; and what others make
//! of the file meanwhile.

use std::fs::Metadata;
use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};
use std::time::SystemTime;

use ampwalk_core::file::schema::LARGEST_FILE;
use ampwalk_tui::outside::Unsaved as Found;

use super::disk::Disk;
use super::journal::{self, Journal};
use super::lock::{self, Hold};
use super::{names, save};
use crate::trouble::{in_words, shown};

/// What there is to tell the screens.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Report {
    /// A save ended; `Err`: in words why not, and where the text is meanwhile.
    Saved(Result<(), String>),
    /// Nothing was saved: another program wrote first.
    Superseded,
    /// Another program wrote the file, and is done with it.
    Changed {
        /// Which of these it is, counted from 1.
        number: u64,
        /// What the file said before.
        before: String,
        /// What it says now, or why that cannot be read.
        theirs: Result<String, String>,
    },
    /// Edits that an earlier run could not save.
    Found(Found),
    /// Whoever else had the plan open has left.
    Free,
    /// Something to say.
    Told(String),
}

/// How it was left.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Left {
    /// Whether the plan on disk is not what it was.
    pub is_edited: bool,
    /// What is not in the plan, if something is not.
    pub unsaved: Option<NotSaved>,
}

/// A text that is not in the plan on disk.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NotSaved {
    /// The whole text.
    pub text: String,
    /// In words.
    pub why: String,
    /// The journal that has it, if one does.
    pub journal: Option<PathBuf>,
}

/// A plan that is open.
#[derive(Debug)]
pub struct Keeping {
    disk: Disk,
    /// The plan, through links.
    path: PathBuf,
    /// What the plan's file says, as far as we know.
    on_disk: String,
    /// A text that we tried to put there and are not sure of.
    tried: Option<String>,
    /// The file as it was when we looked last.
    stamp: Option<Stamp>,
    /// The file as it was when we found that somebody writes it: it is read once it stays so.
    unsettled: Option<Stamp>,
    /// The last text that was handed in.
    text: String,
    /// Why it is not in the plan.
    failure: Option<String>,
    journal: Option<Journal>,
    /// Why there is no journal.
    no_journal: Option<String>,
    /// Journals that an earlier run left.
    left_behind: Vec<PathBuf>,
    /// A folder for journals of plans beside which nothing can be written.
    elsewhere: Option<PathBuf>,
    hold: Hold,
    who: String,
    /// Changes by others that were told.
    changes: u64,
    /// The last of them that the text has in it.
    seen: u64,
    is_edited: bool,
    /// Whether the text was in the plan, or is what was read from it.
    is_saved: bool,
}

/// What tells one state of a file from another without reading it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Stamp {
    changed: Option<SystemTime>,
    length: u64,
    place: u64,
}

impl Stamp {
    fn of(found: &Metadata) -> Self {
        Self { changed: found.modified().ok(), length: found.len(), place: place(found) }
    }
}

#[cfg(unix)]
fn place(found: &Metadata) -> u64 {
    std::os::unix::fs::MetadataExt::ino(found)
}

#[cfg(not(unix))]
const fn place(_: &Metadata) -> u64 {
    0
}

impl Keeping {
    /// Begins to keep the plan at `path`, which says `on_disk`. Journals go beside it, or to `elsewhere`
    /// where they cannot; `who` is told to others who want to write.
    pub fn open(disk: Disk, path: &Path, on_disk: &str, elsewhere: Option<PathBuf>, who: String) -> Self {
        let path = save::followed(path).unwrap_or_else(|_| path.to_owned());
        let hold = lock::take(&names::lock(&path), &who);
        if matches!(hold, Hold::Ours(_)) {
            disk.clear(names::folder(&path), &names::undone(&path));
            disk.clear(names::folder(&path), &names::undone(&names::journal(&path)));
        }
        let stamp = disk.look(&path).ok().flatten().as_ref().map(Stamp::of);
        Self {
            disk,
            path,
            on_disk: on_disk.to_owned(),
            tried: None,
            stamp,
            unsettled: None,
            text: on_disk.to_owned(),
            failure: None,
            journal: None,
            no_journal: None,
            left_behind: Vec::new(),
            elsewhere,
            hold,
            who,
            changes: 0,
            seen: 0,
            is_edited: false,
            is_saved: true,
        }
    }

    /// Who else has the plan open, in words.
    pub fn held_by(&self) -> Option<&str> {
        if let Hold::Theirs(who) = &self.hold { Some(who) } else { None }
    }

    /// What there is to tell at the beginning.
    pub fn first_reports(&mut self) -> Vec<Report> {
        let mut reports = Vec::new();
        if let Hold::NoLocks(why) = &self.hold {
            reports.push(Report::Told(format!(
                "Nobody else can be kept from editing this plan at the same time: no lock beside it, {why}. What others write is noticed"
            )));
        }
        if self.held_by().is_none() {
            reports.extend(self.found().map(Report::Found));
        }
        reports
    }

    /// The edits that an earlier run left in a journal. Journals that have nothing new are taken away.
    fn found(&mut self) -> Option<Found> {
        let mut found = None;
        for path in self.places() {
            match journal::read(&self.disk, &path) {
                Ok(Some(told)) if told.text != self.on_disk => {
                    self.left_behind.push(path);
                    // A run that was cut off between saving and saying so has saved what stands there.
                    let is_between = told.before.contains(&crc32fast::hash(self.on_disk.as_bytes()));
                    let before = if is_between { self.on_disk.clone() } else { told.saved };
                    found = found.or(Some(Found { before, text: told.text }));
                }
                // One that cannot be read is left where it is, for whoever can.
                Ok(Some(_)) => drop(self.disk.remove(&path)),
                Ok(None) | Err(_) => {}
            }
        }
        found
    }

    /// Where a journal may be, the best place first.
    fn places(&self) -> Vec<PathBuf> {
        let elsewhere = self.elsewhere.as_ref().map(|folder| names::journal_in(folder, &self.path));
        std::iter::once(names::journal(&self.path)).chain(elsewhere).collect()
    }

    /// Keeps a text: in the journal, then in the plan. `seen` is the last change by others that it has in it.
    pub fn keep(&mut self, text: &str, seen: u64) -> Vec<Report> {
        text.clone_into(&mut self.text);
        self.seen = seen;
        self.is_saved = false;
        self.write_down();
        self.try_to_save()
    }

    /// Puts the text into the journal.
    fn write_down(&mut self) {
        if let Some(journal) = &mut self.journal
            && !journal.is_large()
            && journal.add(&self.disk, &self.text).is_ok()
        {
            return;
        }
        // The first one, a torn one or a large one: it begins anew, from what the plan says.
        self.journal = None;
        let mut why = String::new();
        for path in self.places() {
            match self.begin_journal(&path) {
                Ok(journal) => {
                    self.journal = Some(journal);
                    self.no_journal = None;
                    self.forget_left_behind(&path);
                    return;
                }
                Err(error) => why = in_words(&error),
            }
        }
        self.no_journal = Some(why);
    }

    fn begin_journal(&self, path: &Path) -> io::Result<Journal> {
        if Some(names::folder(path)) == self.elsewhere.as_deref() {
            self.disk.make_folder(names::folder(path))?;
        }
        Journal::begin(&self.disk, path, &self.on_disk, &self.text)
    }

    /// What earlier journals said is in this one, or was put elsewhere by the user's wish.
    fn forget_left_behind(&mut self, but: &Path) {
        for path in std::mem::take(&mut self.left_behind) {
            if path != but {
                // Where that fails, it is offered once more.
                let _ = self.disk.remove(&path);
            }
        }
    }

    fn try_to_save(&mut self) -> Vec<Report> {
        if self.seen < self.changes {
            return vec![Report::Superseded];
        }
        let text = self.text.clone();
        let before: Vec<&str> = std::iter::once(self.on_disk.as_str()).chain(self.tried.as_deref()).collect();
        match save::save(&self.disk, &self.path, &before, &text) {
            Ok(()) => {
                self.is_edited |= self.on_disk != text;
                self.on_disk = text;
                self.tried = None;
                self.failure = None;
                self.is_saved = true;
                self.stamp = self.disk.look(&self.path).ok().flatten().as_ref().map(Stamp::of);
                if let Some(journal) = &mut self.journal {
                    // Whoever reads the journal compares with the plan as well.
                    let _ = journal.saved(&self.disk);
                }
                vec![Report::Saved(Ok(()))]
            }
            // A later look tells what they wrote: they may be in the middle of it.
            Err(save::Unsaved::Changed) => vec![Report::Superseded],
            Err(why) => {
                self.tried = Some(text);
                self.failure = Some(why.words(&self.path));
                vec![Report::Saved(Err(self.why_not_saved()))]
            }
        }
    }

    /// Why the text is not in the plan.
    fn why(&self) -> String {
        let changed = || {
            let name = shown(&self.path);
            format!("{name} was changed by another program, and what you changed is not in it")
        };
        self.failure.clone().unwrap_or_else(changed)
    }

    /// Why the text is not in the plan, and where it is.
    fn why_not_saved(&self) -> String {
        let why = self.why();
        match (&self.journal, &self.no_journal) {
            (Some(journal), _) => {
                format!(
                    "{why}. Your edits are in {}; it is tried again every few seconds",
                    shown(journal.path())
                )
            }
            (None, Some(none)) => format!(
                "{why}. Your edits are on the screens only, there is no journal either: {none}. Do not leave; it is tried again every few seconds"
            ),
            (None, None) => why,
        }
    }

    /// Remembers what another program wrote, and tells it.
    fn changed(&mut self, theirs: Option<Vec<u8>>) -> Report {
        let theirs = theirs.ok_or_else(|| format!("it is larger than {LARGEST_FILE} bytes, or gone again"));
        let theirs = theirs.and_then(|bytes| {
            String::from_utf8(bytes)
                .map_err(|error| format!("it is not UTF-8 at byte {}", error.utf8_error().valid_up_to()))
        });
        let before = self.on_disk.clone();
        if let Ok(theirs) = &theirs {
            self.on_disk.clone_from(theirs);
        }
        self.tried = None;
        self.changes += 1;
        self.stamp = self.disk.look(&self.path).ok().flatten().as_ref().map(Stamp::of);
        Report::Changed { number: self.changes, before, theirs }
    }

    /// Looks whether another program wrote the file or let it go, and tries again what failed.
    pub fn look(&mut self) -> Vec<Report> {
        let mut reports = Vec::new();
        if self.held_by().is_some() {
            self.hold = lock::take(&names::lock(&self.path), &self.who);
            if self.held_by().is_none() {
                // What the other did and could not save comes before we may edit.
                reports.extend(self.look_at_file());
                reports.extend(self.found().map(Report::Found));
                reports.push(Report::Free);
                return reports;
            }
        }
        reports.extend(self.look_at_file());
        if reports.is_empty() && self.failure.is_some() {
            if self.journal.is_none()
                || self.journal.as_ref().is_some_and(|journal| journal.text() != self.text)
            {
                self.write_down();
            }
            let tried = self.try_to_save();
            // That it fails again is known.
            reports.extend(tried.into_iter().filter(|report| !matches!(report, Report::Saved(Err(_)))));
        }
        reports
    }

    fn look_at_file(&mut self) -> Option<Report> {
        let found = self.disk.look(&self.path).ok()?;
        // A file that is gone is written anew by the next save.
        let stamp = Stamp::of(found.as_ref()?);
        if self.stamp == Some(stamp) {
            return None;
        }
        if self.unsettled != Some(stamp) {
            self.unsettled = Some(stamp);
            return None;
        }
        let theirs = match self.disk.read_plan(&self.path) {
            Ok(theirs) => theirs?,
            Err(error) if error.kind() == ErrorKind::FileTooLarge => return Some(self.changed(None)),
            // Somebody is at it; the next look tells.
            Err(_) => return None,
        };
        self.stamp = Some(stamp);
        // As it was, and nothing else was told meanwhile.
        if theirs == self.on_disk.as_bytes() && self.seen == self.changes {
            return None;
        }
        if self.tried.as_ref().is_some_and(|tried| theirs == tried.as_bytes()) {
            self.on_disk = self.tried.take().unwrap_or_default();
            return None;
        }
        Some(self.changed(Some(theirs)))
    }

    /// Puts a text beside the plan that the user does not want in it.
    pub fn set_aside(&mut self, text: &str) -> Report {
        let mut why = String::new();
        let folders = std::iter::once(self.path.clone()).chain(
            self.elsewhere.as_ref().map(|folder| folder.join(self.path.file_name().unwrap_or_default())),
        );
        for beside in folders {
            match self.put_new(&beside, text) {
                Ok(path) => {
                    for path in std::mem::take(&mut self.left_behind) {
                        let _ = self.disk.remove(&path);
                    }
                    return Report::Told(format!("Left out of the plan, and put into {}", shown(&path)));
                }
                Err(error) => why = in_words(&error),
            }
        }
        Report::Told(format!(
            "It cannot be put beside the plan: {why}. It stays in the journal until the next edit"
        ))
    }

    fn put_new(&self, beside: &Path, text: &str) -> io::Result<PathBuf> {
        let folder = names::folder(beside);
        for n in 1..1000 {
            let path = names::set_aside(beside, n);
            let mut new = self.disk.create(folder, &names::undone(beside))?;
            self.disk.write(new.as_file_mut(), text.as_bytes())?;
            self.disk.keep_mode(new.as_file(), None)?;
            self.disk.sync(new.as_file())?;
            match self.disk.put_new(new, &path) {
                Err(error) if error.kind() == ErrorKind::AlreadyExists => {}
                put => {
                    put?;
                    self.disk.sync_folder(folder)?;
                    return Ok(path);
                }
            }
        }
        Err(io::Error::from(ErrorKind::AlreadyExists))
    }

    /// Ends it: what is not saved gets another try, and stays in the journal where that fails.
    pub fn close(mut self) -> Left {
        let is_ours = self.held_by().is_none();
        if is_ours && !self.is_saved {
            self.try_to_save();
        }
        let is_saved = !is_ours || self.is_saved;
        if is_ours && is_saved {
            // What nobody decided on yet is offered again.
            for path in self.places().into_iter().filter(|path| !self.left_behind.contains(path)) {
                let _ = self.disk.remove(&path);
            }
        }
        let why = self.why();
        let unsaved = (!is_saved).then(|| NotSaved {
            text: self.text.clone(),
            why,
            journal: self.journal.as_ref().map(|journal| journal.path().to_owned()),
        });
        if let Hold::Ours(lock) = self.hold {
            lock.release();
        }
        Left { is_edited: self.is_edited, unsaved }
    }
}
