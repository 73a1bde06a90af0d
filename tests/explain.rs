//! `explain`: how a number came about, for people and for programs.

use unicode_width::UnicodeWidthStr;

use crate::support::{EXAMPLES, argument, example, run};

#[test]
fn every_subject_of_every_example_is_explained_in_eighty_columns() {
    for name in EXAMPLES {
        let plan = example(name);
        let checked = run(&["check", argument(&plan), "--json"]).json();
        let (_, setup) = checked["setups"].as_object().unwrap().iter().next().unwrap();
        for (table, subjects) in
            [("circuit", "circuits"), ("rcd", "rcds"), ("supply", "supplies"), ("head", "heads")]
        {
            for (id, _) in setup[subjects].as_object().unwrap() {
                let told = run(&["explain", argument(&plan), &format!("{table}.{id}")]);
                assert_eq!((told.status, told.err.as_str()), (Some(0), ""), "{name} {table}.{id}");
                assert!(told.out.starts_with(&format!("{table}.{id}\n")), "{}", told.out);
                assert!(told.out.contains("source: "), "{}", told.out);
                assert!(told.out.lines().all(|line| line.width() <= 80), "{}", told.out);
            }
        }
    }
}

#[test]
fn a_number_for_programs_is_the_one_of_check_with_all_that_was_put_in() {
    let plan = example("mill-house");
    let told = run(&["explain", argument(&plan), "rcd.RA.room_ma", "--setup", "day", "--json"]).json();
    assert_eq!((&told["ampwalk"], &told["subject"]), (&1.into(), &"rcd.RA".into()));
    let numbers = told["setups"]["day"].as_array().unwrap();
    assert_eq!(numbers.len(), 1, "{told}");
    assert_eq!(numbers[0]["number"], "room_ma");
    assert_eq!(numbers[0]["title"], "Room left on RA: 10 to 15 mA");
    let ramp =
        numbers[0]["terms"].as_array().unwrap().iter().find(|term| term["what"] == "ramp at G1").unwrap();
    assert_eq!(ramp["value"], "held 10 mA, dropped at 15 mA");
    assert_eq!((&ramp["from"], &ramp["assumed"]), (&"measured".into(), &false.into()));
}

#[test]
fn what_nobody_can_explain_is_refused_with_what_there_is() {
    let plan = example("mill-house");
    let told = run(&["explain", argument(&plan), "circuit.P9"]);
    assert!(told.refused().contains("there is no circuit `P9`"), "{}", told.err);
    assert!(told.err.contains("P1"), "{}", told.err);
    let told = run(&["explain", argument(&plan), "P1.volts"]);
    assert!(told.refused().contains("`circuit.P1` has no number `volts`"), "{}", told.err);
    let told = run(&["explain", argument(&plan), "P1", "--setup", "dusk"]);
    assert!(told.refused().contains("there is no setup `dusk`"), "{}", told.err);
}

#[test]
fn what_is_not_in_use_says_so() {
    let plan = example("mill-house");
    let told = run(&["explain", argument(&plan), "head.A.amps", "--setup", "night"]);
    let on = run(&["check", argument(&plan), "--json"]).json()["setups"]["night"]["heads"].get("A").is_some();
    assert!(!on, "the example is another one now: choose a head that is off at night");
    assert!(told.out.contains("Nothing of it is in use"), "{}", told.out);
}
