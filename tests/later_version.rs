//! A plan in a later format than the program knows: no command works with it, and none touches it.

use std::fs;
use std::path::PathBuf;

use tempfile::TempDir;

use crate::support::{argument, example, folder, run, run_with};

/// The demo as a later program might write it: one key that nobody knows yet.
pub fn later_plan() -> String {
    let plan = fs::read_to_string(example("mill-house")).unwrap();
    plan.replacen("ampwalk = 1", "ampwalk = 2", 1).replacen(
        "[location]\n",
        "[location]\nmood = \"calm\"\n",
        1,
    )
}

fn written() -> (TempDir, PathBuf) {
    let home = folder();
    let file = home.path().join("later.toml");
    fs::write(&file, later_plan()).unwrap();
    (home, file)
}

#[test]
fn every_command_that_takes_a_plan_refuses_a_later_one_with_its_place_and_leaves_it_alone() {
    let (home, file) = written();
    let plan = argument(&file);
    let sheets = home.path().join("sheets");
    let survey = home.path().join("survey.csv");
    let printed = run(&["import", argument(&example("mill-house")), "--sheet", "sockets"]);
    fs::write(&survey, printed.out).unwrap();
    let calls: [&[&str]; 12] = [
        &["check", plan],
        &["check", plan, "--json"],
        &["assign", plan, "--write"],
        &["recover", plan, "--lost", "RA", "--write"],
        &["strike", plan],
        &["trace", plan, "--json"],
        &["generator", plan],
        &["papers", plan, "--to", argument(&sheets)],
        &["explain", plan, "circuit.P1"],
        &["import", argument(&survey), plan, "--write"],
        &["import", plan, "--sheet", "heads"],
        &["strike", plan, "--json"],
    ];
    for call in calls {
        let ran = run(call);
        let err = ran.refused();
        assert!(err.contains("error[version-later]"), "{call:?}: {err}");
        assert!(err.contains("the plan is in format 2; this program knows format 1"), "{call:?}: {err}");
        assert!(err.contains("later.toml:9:11"), "{call:?}: {err}");
        assert!(err.contains("Open it with a later version of the program."), "{call:?}: {err}");
        // What else it holds is the later program's business.
        assert!(!err.contains("mood"), "{call:?}: {err}");
    }
    assert_eq!(fs::read_to_string(&file).unwrap(), later_plan());
    assert!(!sheets.exists());
}

#[test]
fn a_later_plan_from_standard_input_is_refused_as_well() {
    let ran = run_with(&["check", "-"], later_plan());
    let err = ran.refused();
    assert!(err.contains("error[version-later]") && err.contains("standard input:9:11"), "{err}");
}

#[test]
fn a_version_beyond_all_numbers_is_an_error_and_no_later_plan() {
    for version in ["0", "-1", "4294967296", "99999999999999999999", "1.0", "\"1\""] {
        let plan = later_plan().replacen("ampwalk = 2", &format!("ampwalk = {version}"), 1);
        let ran = run_with(&["check", "-"], plan);
        assert!(ran.refused().contains("`ampwalk` of the plan"), "{version}: {ran:?}");
    }
}
