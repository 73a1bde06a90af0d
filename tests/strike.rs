//! `ampwalk strike`: the order, amps and milliamps after each step, and what a crew's own order costs.

use std::collections::BTreeSet;

use serde_json::{Value, json};

use crate::support::{EXAMPLES, argument, example, run, run_with};

/// Three heads on one breaker of 20 A behind one RCD with room for 12 to 17 mA: D runs up with 10.8 to 6.8 A, C
/// strikes with 10 mA on top of 1, T draws 8.7 A and leaks 2 mA.
const PLAN: &str = r#"
ampwalk = 1
[location]
region = "au"
board = "found"
[supply.house]
kind = "mains"
[rcd.RA]
rated_ma = 30
[circuit.P1]
supply = "house"
breaker_a = 20
curve = "C"
rcd = "RA"
[floor.ground]
level = 0
[room.hall]
floor = "ground"
[socket.S]
room = "hall"
circuit = "P1"
test = "ok"
ways = 4
plate_a = 20
ramp = { held_ma = 12, tripped_ma = 17 }
[head.T]
amps = 8.7
leak_ma = 2
socket = "S"
[head.C]
amps = 1
leak_ma = 1
strike_ma = 10
socket = "S"
[head.D]
amps = 6.8
start_a = 10.8
socket = "S"
[setup.day]
minutes = 60
on = ["T", "C", "D"]
"#;

fn day(plan: &str) -> Value {
    let run = run_with(&["strike", "-", "--json"], plan);
    assert!(run.status == Some(0) || run.status == Some(1), "{}", run.err);
    run.json()["setups"]["day"].clone()
}

fn keys(value: &Value) -> BTreeSet<&str> {
    value.as_object().unwrap().keys().map(String::as_str).collect()
}

/// Milliamps of the RCD and amps of the circuit in a step: while it strikes, then.
#[track_caller]
fn step(day: &Value, place: usize, head: &str, milliamps: [f64; 2], amps: [f64; 2]) {
    let step = &day["steps"][place];
    assert_eq!(step["head"], head, "{day:#}");
    let near = |value: &Value, expected: f64| {
        assert!((value.as_f64().unwrap() - expected).abs() < 1e-9, "{value} is not {expected} in {step:#}");
    };
    let (rcd, circuit) = (&step["rcds"][0], &step["circuits"][0]);
    near(&rcd["striking_ma"], milliamps[0]);
    near(&rcd["lit_ma"], milliamps[1]);
    near(&circuit["striking_a"], amps[0]);
    near(&circuit["lit_a"], amps[1]);
}

#[test]
fn falling_strike_leakage_then_falling_start_with_the_sums_after_each_step() {
    let day = day(PLAN);
    assert_eq!(day["order"], json!(["C", "D", "T"]));
    assert_eq!((&day["own_order"], &day["costs"]), (&json!([]), &Value::Null));
    // By hand: 1 + 10 mA, then 1; nothing; 2 more. 1 A; 1 + 10.8, then 7.8; 7.8 + 8.7 = 16.5 A.
    step(&day, 0, "C", [11.0, 1.0], [1.0, 1.0]);
    step(&day, 1, "D", [1.0, 1.0], [11.8, 7.8]);
    step(&day, 2, "T", [3.0, 3.0], [16.5, 16.5]);
    assert_eq!(run_with(&["strike", "-"], PLAN).status, Some(0));
}

#[test]
fn the_crews_own_order_is_kept_and_told_what_it_costs() {
    // T, then D, then C: 8.7 + 10.8 = 19.5 A within 20, and 2 + 1 + 10 = 13 mA of 12 to 17, odds 1 in 5. The best
    // order peaks at 11 mA and at 8.7 + 6.8 + 1 = 16.5 A.
    let own = day(&format!("{PLAN}strike = [\"T\", \"D\", \"C\"]\n"));
    assert_eq!(own["order"], json!(["T", "D", "C"]));
    step(&own, 2, "C", [13.0, 3.0], [16.5, 16.5]);
    assert_eq!(own["steps"][2]["rcds"][0]["outcome"], "may-trip");
    assert_eq!(own["steps"][2]["may_drop"], json!(["RA"]));
    let costs = &own["costs"];
    assert_eq!(costs["best_order"], json!(["C", "D", "T"]));
    let rcd = &costs["rcds"][0];
    let numbers = ["peak_ma", "best_peak_ma", "odds", "best_odds"].map(|key| rcd[key].as_f64().unwrap());
    for (number, expected) in numbers.into_iter().zip([13.0, 11.0, 0.2, 0.0]) {
        assert!((number - expected).abs() < 1e-9, "{rcd}");
    }
    let circuit = &costs["circuits"][0];
    assert!((circuit["start_peak_a"].as_f64().unwrap() - 19.5).abs() < 1e-9, "{circuit}");
    assert!((circuit["best_start_peak_a"].as_f64().unwrap() - 16.5).abs() < 1e-9, "{circuit}");
    // An order that is as good as the best costs nothing.
    let same = day(&format!("{PLAN}strike = [\"C\", \"D\", \"T\"]\n"));
    assert_eq!((&same["own_order"], &same["costs"]), (&json!(["C", "D", "T"]), &Value::Null));
}

#[test]
fn one_order_serves_every_rcd_at_once() {
    // An RCD before the other: both see C first.
    let nested = PLAN.replace(
        "[rcd.RA]\nrated_ma = 30",
        "[rcd.M]\nrated_ma = 30\n[rcd.RA]\nrated_ma = 30\nbehind = \"M\"",
    );
    let day = day(&nested);
    let rcds = day["steps"][0]["rcds"].as_array().unwrap();
    let named: BTreeSet<&str> = rcds.iter().map(|rcd| rcd["rcd"].as_str().unwrap()).collect();
    assert_eq!(named, ["M", "RA"].into());
    assert!(rcds.iter().all(|rcd| rcd["striking_ma"] == 11.0), "{day:#}");
}

#[test]
fn what_drops_for_certain_is_status_one_and_a_wrong_setup_is_refused() {
    // 2 + 1 + 16 = 19 mA of 17 in this order; first 17 mA, which drops as well.
    let dark = PLAN.replace("strike_ma = 10", "strike_ma = 16");
    assert_eq!(run_with(&["strike", "-"], &dark).status, Some(1));
    let refused = run_with(&["strike", "-", "--setup", "dya"], PLAN);
    assert!(refused.refused().contains("Did you mean `day`?"));
}

#[test]
fn the_json_has_exactly_these_names_and_the_words_fit_eighty_columns() {
    let own = day(&format!("{PLAN}strike = [\"T\", \"D\", \"C\"]\n"));
    assert_eq!(keys(&own), ["own_order", "order", "spared_breakers", "steps", "costs"].into());
    assert_eq!(keys(&own["steps"][0]), ["head", "socket", "circuits", "rcds", "may_drop"].into());
    let circuit =
        ["circuit", "certain", "striking_a", "lit_a", "possible_striking_a", "possible_lit_a", "limit_a"];
    assert_eq!(keys(&own["steps"][0]["circuits"][0]), circuit.into());
    let rcd = [
        "rcd",
        "certain",
        "striking_ma",
        "lit_ma",
        "possible_striking_ma",
        "possible_lit_ma",
        "room_ma",
        "outcome",
        "odds",
    ];
    assert_eq!(keys(&own["steps"][0]["rcds"][0]), rcd.into());
    assert_eq!(keys(&own["costs"]), ["best_order", "rcds", "circuits"].into());
    for name in EXAMPLES {
        let run = run(&["strike", argument(&example(name))]);
        assert!(run.status == Some(0) || run.status == Some(1), "{name}: {}", run.err);
        assert!(run.out.lines().all(|line| line.chars().count() <= 80), "{name}: {}", run.out);
    }
    let words = run_with(&["strike", "-"], format!("{PLAN}strike = [\"T\", \"D\", \"C\"]\n")).out;
    for part in ["What the crew's own order costs", "13 mA at most while striking instead of 11", "C, D, T"] {
        assert!(words.contains(part), "{part} in {words}");
    }
}
