//! `ampwalk import`: sheets as other programs write them, whole or not at all.

use std::fs;

use crate::support::{EXAMPLES, argument, example, folder, run, run_with};

#[test]
fn a_sheet_that_is_printed_and_taken_in_changes_nothing() {
    let folder = folder();
    for name in EXAMPLES {
        for kind in ["sockets", "heads"] {
            let plan = folder.path().join("plan.toml");
            fs::copy(example(name), &plan).unwrap();
            let before = fs::read(&plan).unwrap();
            let sheet = run(&["import", argument(&plan), "--sheet", kind]);
            assert_eq!(sheet.status, Some(0), "{sheet:?}");
            let taken =
                run_with(&["import", "-", argument(&plan), "--what", kind, "--write", "--json"], &sheet.out);
            assert_eq!(taken.status, Some(0), "{name} {kind}: {taken:?}");
            assert_eq!(taken.json()["saved"], false, "{name} {kind}: {taken:?}");
            assert_eq!(fs::read(&plan).unwrap(), before);
        }
    }
}

#[test]
fn one_bad_row_keeps_the_whole_sheet_out() {
    let folder = folder();
    let (plan, sheet) = (folder.path().join("plan.toml"), folder.path().join("s.csv"));
    fs::copy(example("mill-house"), &plan).unwrap();
    let before = fs::read(&plan).unwrap();
    fs::write(&sheet, "id,room,ways\nN1,living,2\nN2,livng,2\n").unwrap();
    let ran = run(&["import", argument(&sheet), argument(&plan), "--write"]);
    let told = ran.refused();
    assert!(told.contains("s.csv:3:2: ") && told.contains("living"), "{told}");
    assert!(told.ends_with("Nothing was imported.\n"), "{told}");
    assert_eq!(fs::read(&plan).unwrap(), before);
}

#[test]
fn a_sheet_is_shown_first_and_written_when_that_is_asked_for() {
    let folder = folder();
    let (plan, sheet) = (folder.path().join("plan.toml"), folder.path().join("s.csv"));
    fs::copy(example("mill-house"), &plan).unwrap();
    let before = fs::read_to_string(&plan).unwrap();
    fs::write(&sheet, "\u{feff}Room;ID;X (m);Y (m);Photo;Ways\r\nliving;N1;1,5;2;;2\r\n").unwrap();
    let shown = run(&["import", argument(&sheet), argument(&plan)]);
    assert_eq!(shown.status, Some(0), "{shown:?}");
    assert!(shown.out.contains("1 added") && shown.out.contains("left aside: Photo"), "{shown:?}");
    assert_eq!(fs::read_to_string(&plan).unwrap(), before);
    let written = run(&["import", argument(&sheet), argument(&plan), "--write", "--json"]).json();
    assert_eq!(written["added"], serde_json::json!(["N1"]));
    assert_eq!(written["saved"], true);
    let after: toml::Value = toml::from_str(&fs::read_to_string(&plan).unwrap()).unwrap();
    assert_eq!(after["socket"]["N1"]["at"][0].as_float(), Some(1.5));
    assert_eq!(run_with(&["import", argument(&sheet), "-", "--write"], before).status, Some(2));
}
