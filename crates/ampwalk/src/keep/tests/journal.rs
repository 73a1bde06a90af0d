//! What a journal tells, also when it was cut off or somebody changed it.

use std::fs;

use proptest::prelude::*;

use super::super::disk::Disk;
use super::super::journal::{self, Journal, Told};
use super::super::names;
use super::{Place, failure, is_saved, offered};

fn written(texts: &[String]) -> (Vec<u8>, Vec<String>) {
    let place = Place::of("");
    let (disk, path) = (Disk::default(), names::journal(&place.path));
    let mut journal = Journal::begin(&disk, &path, "the plan as it was\n", "the plan as it was\n").unwrap();
    for text in texts {
        journal.add(&disk, text).unwrap();
    }
    let all = std::iter::once("the plan as it was\n".to_owned()).chain(texts.iter().cloned());
    (fs::read(&path).unwrap(), all.collect())
}

fn told(bytes: &[u8]) -> Option<Told> {
    let place = Place::of("");
    let path = names::journal(&place.path);
    fs::write(&path, bytes).unwrap();
    journal::read(&Disk::default(), &path).unwrap()
}

fn ends_of_lines(bytes: &[u8]) -> usize {
    bytes.split(|byte| *byte == b'\n').count() - 1
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, ..ProptestConfig::default() })]

    #[test]
    fn cut_off_anywhere_it_tells_the_last_text_that_is_whole(
        texts in proptest::collection::vec("[a-cé\n台]{0,12}", 0..8),
        cut in any::<proptest::sample::Index>(),
    ) {
        let (bytes, all) = written(&texts);
        let cut = cut.index(bytes.len() + 1);
        let lines = ends_of_lines(&bytes[..cut]);
        let Some(told) = told(&bytes[..cut]) else {
            prop_assert_eq!(lines, 0);
            return Ok(());
        };
        // A text that was as the one before it has no line.
        let mut kept = all;
        kept.dedup();
        prop_assert_eq!(&told.text, &kept[lines - 1]);
        prop_assert_eq!(told.is_cut, !bytes[..cut].ends_with(b"\n"));
    }

    #[test]
    fn one_wrong_byte_spoils_nothing_before_it(
        texts in proptest::collection::vec("[a-c\n]{1,12}", 1..8),
        at in any::<proptest::sample::Index>(),
        bit in 0..8_u32,
    ) {
        let (mut bytes, all) = written(&texts);
        let at = at.index(bytes.len());
        let whole = ends_of_lines(&bytes[..at]);
        bytes[at] ^= 1 << bit;
        let mut kept = all;
        kept.dedup();
        match told(&bytes) {
            None => prop_assert_eq!(whole, 0),
            Some(told) => {
                prop_assert!(told.is_cut);
                prop_assert_eq!(&told.text, &kept[whole - 1]);
            }
        }
    }
}

#[test]
fn what_was_not_saved_is_offered_by_the_next_run_and_gone_once_it_is_in_the_plan() {
    let place = Place::of("one\n");
    let (mut keeping, _) = place.open();
    assert!(is_saved(&keeping.keep("one\ntwo\n", 0)));
    // A folder stands where the plan was: no save goes, the journal does.
    fs::remove_file(&place.path).unwrap();
    fs::create_dir(&place.path).unwrap();
    let why = failure(&keeping.keep("one\ntwo\nthree\n", 0)).to_owned();
    assert!(why.contains("Your edits are in ") && why.contains(".plan.toml.journal"), "{why}");
    place.power_cut(keeping);
    fs::remove_dir(&place.path).unwrap();
    fs::write(&place.path, "one\ntwo\n").unwrap();
    let (mut keeping, reports) = place.open();
    assert_eq!(offered(&reports), "one\ntwo\nthree\n");
    assert!(is_saved(&keeping.keep("one\ntwo\nthree\n", 0)));
    keeping.close();
    assert_eq!(place.text(), "one\ntwo\nthree\n");
    assert_eq!(place.beside(), [""; 0]);
    assert_eq!(place.open().1, []);
}

#[test]
fn a_journal_says_nothing_new_where_the_run_was_killed_after_it_had_saved() {
    let place = Place::of("one\n");
    let (mut keeping, _) = place.open();
    assert!(is_saved(&keeping.keep("two\n", 0)));
    place.power_cut(keeping);
    let (_keeping, reports) = place.open();
    assert_eq!(reports, []);
    assert_eq!(place.beside(), [".plan.toml.lock"], "the old journal is gone");
}

#[test]
fn what_is_left_out_stands_beside_the_plan_and_is_not_offered_again() {
    let place = Place::of("one\n");
    let (mut keeping, _) = place.open();
    keeping.keep("two\n", 0);
    place.power_cut(keeping);
    fs::write(&place.path, "three\n").unwrap();
    let (mut keeping, reports) = place.open();
    let text = offered(&reports).to_owned();
    assert_eq!(text, "two\n");
    let told = format!("{:?}", keeping.set_aside(&text));
    assert!(told.contains("plan-set-aside.toml"), "{told}");
    keeping.close();
    assert_eq!(place.beside(), ["plan-set-aside.toml"]);
    assert_eq!(fs::read_to_string(place.folder().join("plan-set-aside.toml")).unwrap(), "two\n");
    assert_eq!(place.open().1, []);
}

#[test]
fn left_without_a_word_to_it_what_was_found_is_offered_again() {
    let place = Place::of("one\n");
    let (mut keeping, _) = place.open();
    keeping.keep("two\n", 0);
    place.power_cut(keeping);
    fs::write(&place.path, "three\n").unwrap();
    let (keeping, first) = place.open();
    keeping.close();
    assert_eq!(place.open().1, first);
}
