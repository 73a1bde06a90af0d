//! Every call to the system fails in turn, once or from then on: the plan is never damaged, and no edit that
//! was kept is lost.

use std::fs;

use super::super::disk::Disk;
use super::super::keeping::{Keeping, Report};
use super::{Place, is_saved, offered};

const TEXTS: [&str; 4] = ["one\n", "one\ntwo\n", "one\n2\n", "one\n2\nthree\n"];

/// Hands in all texts while the calls of a range fail; says of each whether it was saved or kept.
fn run(keeping: &mut Keeping) -> Vec<(usize, bool, bool)> {
    let mut went = Vec::new();
    for (at, text) in TEXTS.iter().enumerate().skip(1) {
        let reports = keeping.keep(text, 0);
        let is_kept = match &reports[..] {
            [Report::Saved(Err(why))] => why.contains("Your edits are in "),
            _ => false,
        };
        went.push((at, is_saved(&reports), is_kept));
    }
    went
}

fn calls_of_a_run() -> usize {
    let place = Place::of(TEXTS[0]);
    let disk = Disk::default();
    let (mut keeping, _) = place.open_on(disk.clone());
    disk.faults.none();
    let went = run(&mut keeping);
    assert!(went.iter().all(|(_, saved, _)| *saved), "{went:?}");
    disk.faults.calls()
}

#[test]
fn whichever_call_fails_once_the_plan_is_whole_and_the_last_text_comes_to_it() {
    let calls = calls_of_a_run();
    assert!(calls > 30, "{calls}");
    for fails in 0..calls {
        let place = Place::of(TEXTS[0]);
        let disk = Disk::default();
        let (mut keeping, _) = place.open_on(disk.clone());
        disk.faults.set(fails, fails + 1);
        let went = run(&mut keeping);
        assert!(TEXTS.contains(&place.text().as_str()), "call {fails}: {:?}", place.text());
        let (_, last_saved, last_kept) = went.last().unwrap();
        assert!(last_saved | last_kept, "call {fails}: {went:?}");
        // It is tried again, now that nothing fails.
        let later = keeping.look();
        assert!(*last_saved || is_saved(&later), "call {fails}: {later:?}");
        assert_eq!(place.text(), TEXTS[3], "call {fails}");
        let left = keeping.close();
        assert_eq!((left.unsaved, left.is_edited), (None, true), "call {fails}");
        assert_eq!(place.beside(), [""; 0], "call {fails}");
    }
}

#[test]
fn whenever_all_calls_begin_to_fail_the_next_run_has_what_was_saved_or_kept() {
    for fails in 0..calls_of_a_run() {
        let place = Place::of(TEXTS[0]);
        let disk = Disk::default();
        let (mut keeping, _) = place.open_on(disk.clone());
        disk.faults.set(fails, usize::MAX);
        let went = run(&mut keeping);
        place.power_cut(keeping);
        let text = place.text();
        let on_disk = TEXTS.iter().position(|known| *known == text);
        let on_disk = on_disk.unwrap_or_else(|| panic!("call {fails}: damaged: {text:?}"));
        let (keeping, reports) = place.open();
        let found = if reports.is_empty() { text.clone() } else { offered(&reports).to_owned() };
        let found = TEXTS.iter().position(|known| *known == found).unwrap();
        let last = went.iter().filter(|(_, saved, kept)| saved | kept).map(|(at, ..)| *at).max().unwrap_or(0);
        assert!(found.max(on_disk) >= last, "call {fails}: {went:?}, {found} found, {on_disk} on disk");
        keeping.close();
    }
}

#[cfg(unix)]
#[test]
fn where_nothing_can_be_written_beside_the_plan_the_journal_is_elsewhere() {
    let place = Place::of("one\n");
    let (mut keeping, _) = place.open();
    // A vanished folder, as of a stick that was pulled out.
    let away = place.folder().with_file_name("away");
    fs::rename(place.folder(), &away).unwrap();
    let reports = keeping.keep("two\n", 0);
    let why = super::failure(&reports);
    assert!(why.contains("it is not there") && why.contains("state"), "{why}");
    let left = keeping.close();
    let journal = left.unsaved.unwrap().journal.unwrap();
    assert!(journal.starts_with(&place.state), "{journal:?}");
    fs::rename(&away, place.folder()).unwrap();
    assert_eq!(offered(&place.open().1), "two\n");
}

#[test]
fn where_there_is_no_journal_either_it_says_so_and_hands_the_text_back() {
    let place = Place::of("one\n");
    let disk = Disk::default();
    let (mut keeping, _) = place.open_on(disk.clone());
    disk.faults.set(0, usize::MAX);
    let reports = keeping.keep("two\n", 0);
    let why = super::failure(&reports);
    assert!(why.contains("on the screens only") && why.contains("Do not leave"), "{why}");
    let left = keeping.close().unsaved.unwrap();
    assert_eq!((left.text.as_str(), left.journal), ("two\n", None));
    assert!(left.why.contains("the disk is full"), "{}", left.why);
}
