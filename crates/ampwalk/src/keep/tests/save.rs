//! Saving as commands do it.

use std::fs;

use super::super::home::Home;
use super::Place;

#[test]
fn a_save_replaces_the_plan_and_leaves_nothing_beside_it() {
    let place = Place::of("old");
    let mut home = Home::new(&place.path, "old");
    home.save("new").unwrap();
    home.save("newer").unwrap();
    assert_eq!(place.text(), "newer");
    assert_eq!(place.beside(), [""; 0]);
}

#[test]
fn a_plan_that_another_program_changed_is_not_written_over() {
    let place = Place::of("old");
    let mut home = Home::new(&place.path, "old");
    fs::write(&place.path, "theirs").unwrap();
    let words = home.save("mine").unwrap_err();
    assert!(words.contains("changed by another program"), "{words}");
    assert_eq!(place.text(), "theirs");
}

#[test]
fn a_plan_that_is_gone_is_written_anew() {
    let place = Place::of("old");
    let mut home = Home::new(&place.path, "old");
    fs::remove_file(&place.path).unwrap();
    home.save("new").unwrap();
    assert_eq!(place.text(), "new");
}

#[test]
fn a_folder_that_is_gone_is_told_and_a_later_save_works() {
    let place = Place::of("old");
    let mut home = Home::new(&place.path, "old");
    fs::remove_dir_all(place.folder()).unwrap();
    let words = home.save("new").unwrap_err();
    assert!(words.contains("its folder takes no new file: it is not there"), "{words}");
    fs::create_dir(place.folder()).unwrap();
    home.save("new").unwrap();
    assert_eq!(place.text(), "new");
}

#[cfg(unix)]
#[test]
fn a_link_stays_a_link_and_the_mode_stays() {
    use std::os::unix::fs::{PermissionsExt, symlink};
    let place = Place::of("old");
    fs::set_permissions(&place.path, fs::Permissions::from_mode(0o640)).unwrap();
    let link = place.folder().join("link.toml");
    symlink("plan.toml", &link).unwrap();
    Home::new(&link, "old").save("new").unwrap();
    assert!(fs::symlink_metadata(&link).unwrap().is_symlink());
    assert_eq!(place.text(), "new");
    assert_eq!(fs::metadata(&place.path).unwrap().permissions().mode() & 0o7777, 0o640);
}

#[cfg(unix)]
#[test]
fn a_read_only_plan_is_left_alone() {
    use std::os::unix::fs::PermissionsExt;
    let place = Place::of("old");
    fs::set_permissions(&place.path, fs::Permissions::from_mode(0o444)).unwrap();
    let words = Home::new(&place.path, "old").save("new").unwrap_err();
    assert!(words.contains("read-only"), "{words}");
    assert_eq!(place.text(), "old");
}
