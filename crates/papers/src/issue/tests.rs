use ampwalk_core::solve::Effort;

use super::*;
use crate::sheet::Basis;
use crate::tests::{HALL, read};
use crate::{generator_sheet, patch_sheet, strike_card};

const MONDAY: &str = "2026-03-02 07:00";
const NOON: &str = "2026-03-02 12:00";
const NIGHT: &str = "2026-03-02 23:30";

fn patch(text: &str) -> Sheet {
    let (network, assessment) = read(text);
    patch_sheet(&network, &assessment, network.setup("day"))
}

fn changed(sheet: &Sheet, part: &str) -> Vec<String> {
    let table = sheet.tables.iter().find(|table| table.part == part).expect("the table");
    let rows = table.rows.iter().filter(|row| row.is_changed);
    rows.map(|row| said(&row.cells[0])).collect()
}

fn revision(sheet: &Sheet) -> &str {
    let field = sheet.fields.iter().find(|field| field.name == REVISION).expect("the revision");
    field.value.as_deref().unwrap_or_default()
}

#[test]
fn the_first_issue_is_a_and_marks_nothing() {
    let (mut register, mut sheet) = (Register::default(), patch(HALL));
    register.issue(&mut sheet, MONDAY);
    assert_eq!(revision(&sheet), "A, 2026-03-02 07:00");
    assert_eq!(changed(&sheet, "head"), [""; 0]);
}

#[test]
fn a_sheet_that_says_the_same_comes_out_as_it_was_whenever_it_is_asked_for() {
    let mut register = Register::default();
    let issue = |register: &mut Register, text: &str, now: &str| {
        let mut sheet = patch(text);
        register.issue(&mut sheet, now);
        sheet
    };
    let first = issue(&mut register, HALL, MONDAY);
    assert_eq!(issue(&mut register, HALL, NOON), first);
    let moved = HALL.replacen("socket = \"G2\"", "socket = \"G3\"", 1);
    let second = issue(&mut register, &moved, NOON);
    assert_ne!(second, first);
    let kept = register.clone();
    assert_eq!(issue(&mut register, &moved, NIGHT), second, "the marks stay with the letter");
    assert_eq!(register, kept);
}

#[test]
fn a_head_that_moved_is_marked_and_one_that_is_gone_is_named() {
    let mut register = Register::default();
    register.issue(&mut patch(HALL), MONDAY);
    let moved = HALL.replacen("socket = \"G2\"", "socket = \"G3\"", 1);
    let mut sheet = patch(&moved);
    register.issue(&mut sheet, NOON);
    assert!(changed(&sheet, "head").contains(&"H10".to_owned()), "{:?}", changed(&sheet, "head"));
    assert!(!changed(&sheet, "head").contains(&"H3".to_owned()));
    assert!(revision(&sheet).starts_with("B, 2026-03-02 12:00: "), "{}", revision(&sheet));
    // By socket G2 has no row any more.
    assert!(sheet.notes[0].contains("Gone since A from \"By power point\": G2."), "{}", sheet.notes[0]);
    register.issue(&mut patch(HALL), NIGHT);
    let issued = register.of(&patch(HALL)).expect("issued");
    assert_eq!((issued.revision.as_str(), issued.since.as_deref()), ("C", Some("B")));
}

#[test]
fn a_number_that_was_measured_since_is_a_change() {
    let mut register = Register::default();
    register.issue(&mut patch(HALL), MONDAY);
    let mut sheet = patch(HALL);
    let cell = sheet.tables[0].rows.iter_mut().flat_map(|row| &mut row.cells);
    let assumed = cell.filter(|cell| cell.basis == Some(Basis::Assumed));
    assumed.for_each(|cell| cell.basis = Some(Basis::Measured));
    register.issue(&mut sheet, NOON);
    assert_eq!(changed(&sheet, "head"), ["H1"]);
}

#[test]
fn each_sheet_has_its_own_letter() {
    let mut register = Register::default();
    let (network, assessment) = read(HALL);
    let card = || strike_card(&network, &assessment, network.setup("day"));
    register.issue(&mut patch(HALL), MONDAY);
    register.issue(&mut card(), MONDAY);
    register.issue(&mut patch(&HALL.replacen("socket = \"G2\"", "socket = \"G3\"", 1)), NOON);
    let issued = register.issue(&mut card(), NOON);
    assert_eq!((issued.revision.as_str(), issued.at.as_str()), ("A", MONDAY));
}

#[test]
fn what_is_said_around_the_tables_is_a_change_as_well() {
    let mut register = Register::default();
    register.issue(&mut patch(HALL), MONDAY);
    let mut sheet = patch(HALL);
    sheet.notes.push("The board is behind the stage.".to_owned());
    register.issue(&mut sheet, NOON);
    assert!(revision(&sheet).ends_with("changed around the tables since A"), "{}", revision(&sheet));
}

#[test]
fn the_producer_reads_the_verdict_first() {
    let (network, _) = read(HALL);
    let answer = ampwalk_core::solve::verdict::generator(&network, Effort::default(), &mut |_| true);
    let mut sheet = generator_sheet(&network, &answer);
    Register::default().issue(&mut sheet, MONDAY);
    assert_eq!(sheet.fields[0].name, "verdict");
    assert_eq!(revision(&sheet), "A, 2026-03-02 07:00");
}

#[test]
fn rows_of_one_name_are_told_apart_by_their_order() {
    let row = |cells: [&str; 2]| IssuedRow { cells: cells.map(str::to_owned).to_vec(), changed: false };
    let table = |rows: Vec<IssuedRow>| IssuedTable {
        part: "socket".to_owned(),
        headings: vec!["socket".to_owned(), "head".to_owned()],
        rows,
        gone: Vec::new(),
    };
    let before = table(vec![row(["G1", "A"]), row(["G1", "B"]), row(["G2", "C"])]);
    let mut now = table(vec![row(["G1", "A"]), row(["G2", "D"]), row(["G3", "E"])]);
    compare(&mut now, Some(&before));
    assert_eq!(now.rows.iter().map(|row| row.changed).collect::<Vec<_>>(), [false, true, true]);
    assert_eq!(now.gone, ["G1"]);
}
