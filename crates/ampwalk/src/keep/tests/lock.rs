//! One writer a plan.

use std::fs;

use super::super::keeping::Report;
use super::super::names;
use super::{Place, is_saved};

#[test]
fn a_second_one_is_told_who_holds_it_and_may_write_when_that_one_has_left() {
    let place = Place::of("one\n");
    let (mut first, _) = place.open();
    let (mut second, reports) = place.open();
    assert_eq!(second.held_by(), Some("a spark, since 14:05"));
    assert_eq!(reports, []);
    assert!(is_saved(&first.keep("two\n", 0)));
    assert_eq!(second.look(), [], "they may be in the middle of it");
    let changed = second.look();
    let expected = Report::Changed { number: 1, before: "one\n".to_owned(), theirs: Ok("two\n".to_owned()) };
    assert_eq!(changed, [expected]);
    first.close();
    assert_eq!(second.look(), [Report::Free]);
    assert_eq!(second.held_by(), None);
    assert!(is_saved(&second.keep("three\n", 1)));
    second.close();
    assert_eq!((place.text().as_str(), place.beside().len()), ("three\n", 0));
}

#[test]
fn what_the_holder_could_not_save_is_offered_to_whoever_comes_after_it() {
    let place = Place::of("one\n");
    let (mut first, _) = place.open();
    let (mut second, _) = place.open();
    first.keep("two\n", 0);
    fs::write(&place.path, "one\n").unwrap();
    // Killed: the system lets its lock go, its journal stays.
    let journal = fs::read(names::journal(&place.path)).unwrap();
    first.close();
    fs::write(names::journal(&place.path), journal).unwrap();
    fs::write(&place.path, "one\n").unwrap();
    let reports = second.look();
    assert!(
        matches!(&reports[..], [Report::Found(found), Report::Free] if found.text == "two\n"),
        "{reports:?}"
    );
}

#[test]
fn a_lock_that_a_killed_run_left_locks_nobody_out() {
    let place = Place::of("one\n");
    fs::write(names::lock(&place.path), "a spark, since yesterday").unwrap();
    let (keeping, _) = place.open();
    assert_eq!(keeping.held_by(), None);
    keeping.close();
    assert_eq!(place.beside(), [""; 0]);
}

#[test]
fn where_there_are_no_locks_it_is_said_and_work_goes_on() {
    let place = Place::of("one\n");
    // Something that cannot be opened stands where the lock would be.
    fs::create_dir(names::lock(&place.path)).unwrap();
    let (mut keeping, reports) = place.open();
    assert!(matches!(&reports[..], [Report::Told(words)] if words.contains("no lock")), "{reports:?}");
    assert!(is_saved(&keeping.keep("two\n", 0)));
}

#[cfg(unix)]
#[test]
fn a_link_in_place_of_the_lock_or_the_journal_is_not_written_through() {
    use std::os::unix::fs::symlink;
    let place = Place::of("one\n");
    let other = place.folder().join("other");
    fs::write(&other, "not ours").unwrap();
    symlink(&other, names::lock(&place.path)).unwrap();
    symlink(&other, names::journal(&place.path)).unwrap();
    let (mut keeping, reports) = place.open();
    assert!(
        matches!(&reports[..], [Report::Told(words)] if words.contains("no file stands there")),
        "{reports:?}"
    );
    assert!(is_saved(&keeping.keep("two\n", 0)));
    keeping.close();
    assert_eq!(fs::read_to_string(&other).unwrap(), "not ours");
}
