//! `ampwalk assign`: the JSON that other programs read, exit statuses, and what is written.

use std::fs;

use crate::support::{argument, example, folder, run, run_with};

/// One head that fits, and one that no outlet carries: 4400 W on 230 V is 19.1 A.
const TOO_BIG: &str = r#"
ampwalk = 1
[location]
region = "au"
[supply.house]
kind = "mains"
[rcd.R]
[circuit.C]
supply = "house"
breaker_a = 32
rcd = "R"
[floor.ground]
level = 0
[room.hall]
floor = "ground"
[socket.S]
room = "hall"
circuit = "C"
test = "ok"
ways = 2
ramp = { held_ma = 15, tripped_ma = 20 }
[head.A]
watts = 500
[head.X]
watts = 4400
[setup.day]
minutes = 60
on = ["A", "X"]
"#;

#[test]
fn a_head_that_no_outlet_carries_is_told_with_needed_and_there() {
    let run = run_with(&["assign", "-", "--json"], TOO_BIG);
    assert_eq!(run.status, Some(1));
    let told = run.json();
    assert_eq!(told["answer"], "optimal");
    assert_eq!(told["unplaced"], serde_json::json!(["X"]));
    assert_eq!(told["moves"].as_array().unwrap().len(), 1);
    assert_eq!(told["moves"][0]["head"], "A");
    assert_eq!(told["moves"][0]["to"], "S");
    assert!(told["moves"][0]["from"].is_null() && told["moves"][0]["setup"].is_null());
    let why = &told["why_not"][0];
    assert_eq!(why["head"], "X");
    assert_eq!(why["limit"], "outlet-over");
    // By hand: 4400 / 230 = 19.13 A; an Australian outlet carries 10 A (AS/NZS 3112).
    assert!((why["needed"].as_f64().unwrap() - 4400.0 / 230.0).abs() < 1e-9, "{why}");
    assert!((why["there"].as_f64().unwrap() - 10.0).abs() < 1e-9, "{why}");
    assert!(why["do"].as_str().is_some_and(|words| !words.is_empty()));
    for level in ["dark_importance", "on_generator", "odds", "moves", "lead_m"] {
        assert_eq!(told["objective"][level], told["bound"][level], "{level}");
    }
}

#[test]
fn what_is_written_needs_no_more_moves() {
    let folder = folder();
    let plan = folder.path().join("mill.toml");
    fs::copy(example("mill-house"), &plan).unwrap();
    let first = run(&["assign", argument(&plan), "--write", "--json"]);
    assert_eq!(first.status, Some(0));
    assert!(!first.json()["moves"].as_array().unwrap().is_empty());
    let again = run(&["assign", argument(&plan), "--json"]);
    assert_eq!(again.json()["moves"], serde_json::json!([]));
    let checked = run(&["check", argument(&plan), "--json"]);
    assert!(!["dark", "danger"].contains(&checked.json()["verdict"].as_str().unwrap()));
}

#[test]
fn without_write_the_plan_stays_and_standard_input_is_not_written_to() {
    let folder = folder();
    let plan = folder.path().join("mill.toml");
    fs::copy(example("mill-house"), &plan).unwrap();
    let before = fs::read(&plan).unwrap();
    assert_eq!(run(&["assign", argument(&plan), "--fresh"]).status, Some(0));
    assert_eq!(fs::read(&plan).unwrap(), before);
    let refused = run_with(&["assign", "-", "--write"], TOO_BIG);
    assert_eq!(refused.status, Some(2));
    assert!(refused.refused().contains("standard input cannot be written to"));
}
