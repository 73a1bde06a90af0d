//! After a trip: who tripped what, the order of recovery, and the order of striking. What which
//! pattern means, and that two resets are the most, is common practice, no source.

use serde_json::Value;

use super::{house, near};
use crate::support::{argument, example, folder, run, run_with};

/// Two circuits behind an RCD each, four ways a socket.
fn plan(heads: &str, on: &str) -> String {
    house(
        "eu",
        &format!(
            "[rcd.RA]\nrated_ma = 30\n[rcd.RB]\nrated_ma = 30\n\
             [circuit.P1]\nsupply = \"house\"\nrcd = \"RA\"\nbreaker_a = 16\ncurve = \"C\"\n\
             [circuit.P2]\nsupply = \"house\"\nrcd = \"RB\"\nbreaker_a = 16\ncurve = \"C\"\n\
             [socket.S1]\nroom = \"hall\"\ncircuit = \"P1\"\ntest = \"ok\"\nways = 4\n\
             ramp = {{ held_ma = 10, tripped_ma = 15 }}\n\
             [socket.S2]\nroom = \"hall\"\ncircuit = \"P2\"\ntest = \"ok\"\nways = 4\n\
             ramp = {{ held_ma = 20, tripped_ma = 25 }}\n\
             {heads}[setup.day]\nstart = \"09:00\"\nminutes = 240\non = [{on}]\n"
        ),
    )
}

const HEADS: &str = "[head.C]\nclass = \"discharge-1k2\"\nsocket = \"S1\"\n\
                     [head.E]\nclass = \"led-300\"\nsocket = \"S1\"\n\
                     [head.T]\nclass = \"tungsten-650\"\nsocket = \"S1\"\nimportance = 8\n\
                     [head.V]\nclass = \"monitors\"\nsocket = \"S2\"\n";
const ON: &str = "\"C\", \"E\", \"T\", \"V\"";

#[track_caller]
fn recovered(plan: &str, arguments: &[&str]) -> (Option<i32>, Value) {
    let arguments = [&["recover", "-", "--json"], arguments].concat();
    let ran = run_with(&arguments, plan);
    assert!(ran.err.is_empty(), "{}", ran.err);
    (ran.status, ran.json())
}

fn ids(value: &Value) -> Vec<&str> {
    value.as_array().unwrap().iter().map(|id| id.as_str().unwrap()).collect()
}

#[track_caller]
fn first_cause(told: &Value, words: &str) {
    let cause = &told["causes"][0];
    assert_eq!(cause["likelihood"], "likely", "{told:#}");
    assert!(cause["cause"].as_str().unwrap().contains(words), "{words} in {told:#}");
}

#[test]
fn who_tripped_what() {
    let plan = plan(HEADS, ON);
    // RCD down, breakers up: leakage; C strikes with 3.5 + 10 mA of 10 to 15.
    let (_, leakage) = recovered(&plan, &["--lost", "RA", "--last", "C", "--after", "0s"]);
    first_cause(&leakage, "C leaks while striking");
    // A breaker within the first second, inrush explaining nothing: a short.
    let small = plan.replace("curve = \"C\"", "curve = \"ul\"");
    let (_, short) = recovered(&small, &["--lost", "P1", "--last", "T", "--after", "0s"]);
    first_cause(&short, "a short in T");
    // Where one switch brings more than its magnetic band, the inrush of what was switched last: four drivers of
    // 60 A for 0.2 ms on one block, 4 · 60 / 4 = 60 A over 3 · 16 = 48 A of B16.
    let driver = |at| format!("[head.L{at}]\nclass = \"led-600\"\nsocket = \"S1\"\nleads = [\"four\"]\n");
    let drivers = [0, 1, 2, 3].map(driver).concat();
    let on = "\"L0\", \"L1\", \"L2\", \"L3\"";
    let together = self::plan(&drivers, on).replace("curve = \"C\"", "curve = \"B\"");
    let together = format!("{together}[block.four]\nways = 4\n");
    let (_, inrush) = recovered(&together, &["--lost", "P1", "--last", "L3", "--after", "0s"]);
    first_cause(&inrush, "inrush on P1");
    assert_eq!(ids(&inrush["unplug_first"])[0], "L3");
    // A breaker after minutes to hours, 25 of 16 A: overload.
    let heavy = plan.replace("class = \"led-300\"", "amps = 15");
    let (_, overload) = recovered(&heavy, &["--lost", "P1", "--after", "45m"]);
    first_cause(&overload, "too many amps on P1");
    // Both: an earth fault, and nobody resets.
    let (_, both) = recovered(&plan, &["--lost", "P1", "RA"]);
    first_cause(&both, "to earth");
    assert_eq!(
        (&both["reset"]["step"], both["relight_now"].as_array().unwrap().len()),
        (&"no-reset".into(), 0)
    );
    // Everything: the supply. The meter: the contract.
    let (_, all) = recovered(&plan, &["--lost", "everything"]);
    first_cause(&all, "the supply itself");
    let contract = plan.replace("kind = \"mains\"", "kind = \"mains\"\ncontract_kw = 2");
    let (_, meter) = recovered(&contract, &["--lost", "meter"]);
    first_cause(&meter, "more power than was contracted");
}

#[test]
fn the_order_of_recovery_after_an_rcd() {
    let plan = plan(HEADS, ON);
    let (status, first) = recovered(&plan, &["--lost", "RA", "--last", "C"]);
    // Everything but the suspect finds a place behind RB: status 0.
    assert_eq!(status, Some(0), "{first:#}");
    assert_eq!(ids(&first["unplug_first"]), ["C"]);
    assert_eq!(ids(&first["relight_now"]), ["T", "E"], "neither leaks more while striking: by importance");
    assert_eq!(ids(&first["stay_lit"]), ["V"]);
    // Both must move, being dark, and there is nothing else to move.
    assert_eq!((&first["answer"], &first["objective"]["moves"]), (&"optimal".into(), &2.into()));
    for level in ["dark_importance", "on_generator", "odds", "moves", "lead_m"] {
        assert_eq!(first["objective"][level], first["bound"][level], "{level}");
    }
    assert_eq!(first["moves"][0]["to"], "S2");
    assert_eq!(first["reset"]["step"], "reset");
    let (_, held) = recovered(&plan, &["--lost", "RA", "--last", "C", "--reset", "held"]);
    assert_eq!((held["moves"].as_array().unwrap().len(), ids(&held["unplug_first"])), (0, vec!["C"]));
    assert_eq!(held["reset"]["so_far"], 1);
    // It does not hold with all unplugged: the house's own, not cured by another reset.
    let (_, not) = recovered(&plan, &["--lost", "RA", "--last", "C", "--reset", "did-not-hold"]);
    first_cause(&not, "the house's own fault");
    let log = "[[trip]]\ndevice = \"RA\"\nsetup = \"day\"\nreset = \"did-not-hold\"\n";
    let (_, twice) = recovered(&format!("{plan}{log}"), &["--lost", "RA", "--reset", "did-not-hold"]);
    assert_eq!((&twice["reset"]["step"], &twice["reset"]["so_far"]), (&"electrician".into(), &2.into()));
}

#[test]
fn dark_heads_name_the_device_and_a_hot_one_comes_back_by_the_clock() {
    let heads = HEADS.replace("class = \"monitors\"", "class = \"discharge-575\"");
    let plan = plan(&heads, ON);
    // The whole of P1 is dark, V is lit: P1, or RA with nothing else behind it.
    let ran = run_with(&["recover", "-", "--dark", "C", "E", "T", "--json"], &plan);
    assert!(["P1", "RA"].contains(&ids(&ran.json()["lost"])[0]), "{ran:?}");
    assert!(ran.err.contains("--lost says it"), "{ran:?}");
    // All four: the house. V waits 8 min from 09:00 and 12 minutes on.
    let (_, told) = recovered(&plan, &["--dark", "C", "V", "--last", "C", "--after", "12m"]);
    assert_eq!(ids(&told["lost"]), ["house"]);
    let later = &told["later"][0];
    assert_eq!((&later["head"], &later["at"]), (&"V".into(), &"09:20".into()), "{told:#}");
    near(later["minutes"].as_f64().unwrap(), 8.0, 1e-9);
}

#[test]
fn the_largest_start_over_running_amps_is_struck_first() {
    // Run and start amps: 6.8 and 10.8, 2.8, 8.7, on 20 A. Largest difference first: the peak is
    // 6.8 + 2.8 + 8.7 = 18.3 A; last it would be 2.8 + 8.7 + 10.8 = 22.3 A.
    let heads = "[head.L]\namps = 2.8\nsocket = \"S1\"\n[head.T]\namps = 8.7\nsocket = \"S1\"\n\
                 [head.D]\namps = 6.8\nstart_a = 10.8\nsocket = \"S1\"\n";
    let plan = plan(heads, "\"L\", \"T\", \"D\"").replace("breaker_a = 16", "breaker_a = 20");
    let told = run_with(&["check", "-", "--json"], plan).json();
    let day = &told["setups"]["day"];
    assert_eq!(day["strike_order"][0], "D");
    near(day["circuits"]["P1"]["start_peak_a"].as_f64().unwrap(), 18.3, 1e-9);
}

#[test]
fn an_order_with_the_largest_start_last_is_told_what_it_costs() {
    let heads = "[head.L]\namps = 2.8\nsocket = \"S1\"\n[head.T]\namps = 8.7\nsocket = \"S1\"\n\
                 [head.D]\namps = 6.8\nstart_a = 10.8\nsocket = \"S1\"\n";
    let plan = plan(heads, "\"L\", \"T\", \"D\"").replace("breaker_a = 16", "breaker_a = 20");
    let struck = |plan: &str| run_with(&["strike", "-", "--json"], plan).json()["setups"]["day"].clone();
    let best = struck(&plan);
    let amps: Vec<(f64, f64)> = best["steps"]
        .as_array()
        .unwrap()
        .iter()
        .map(|step| {
            (
                step["circuits"][0]["striking_a"].as_f64().unwrap(),
                step["circuits"][0]["lit_a"].as_f64().unwrap(),
            )
        })
        .collect();
    assert_eq!(best["order"][0], "D");
    near(amps[0].0, 10.8, 1e-9);
    near(amps[2].1, 18.3, 1e-9);
    let own = struck(&format!("{plan}strike = [\"L\", \"T\", \"D\"]\n"));
    assert_eq!(own["order"][2], "D");
    let cost = &own["costs"]["circuits"][0];
    near(cost["start_peak_a"].as_f64().unwrap(), 22.3, 1e-9);
    near(cost["best_start_peak_a"].as_f64().unwrap(), 18.3, 1e-9);
}

#[test]
fn cover_comes_back_first_and_discharge_heads_once_they_are_cold() {
    // The breaker's RCD is back after one reset: LED and tungsten at once, the discharge head in 8 minutes.
    let plan = plan(HEADS, ON);
    let arguments = ["--lost", "RA", "--last", "E", "--after", "20m", "--reset", "held"];
    let (_, told) = recovered(&plan, &arguments);
    assert_eq!(ids(&told["unplug_first"]), ["E"], "quarantined");
    assert_eq!(ids(&told["relight_now"]), ["T"]);
    let later = &told["later"][0];
    assert_eq!((&later["head"], &later["at"]), (&"C".into(), &"09:28".into()), "{told:#}");
}

#[test]
fn write_makes_the_moves_and_logs_the_trip() {
    let home = folder();
    let path = home.path().join("plan.toml");
    std::fs::write(&path, plan(HEADS, ON)).unwrap();
    let ran = run(&["recover", argument(&path), "--lost", "RA", "--last", "C", "--after", "6s", "--write"]);
    assert_eq!(ran.status, Some(0), "{ran:?}");
    assert!(ran.out.contains("Written"), "{}", ran.out);
    let text = std::fs::read_to_string(&path).unwrap();
    assert!(text.contains("last_struck = \"C\"") && text.contains("after_min = 0.1"), "{text}");
    let checked = run(&["check", argument(&path), "--json"]).json();
    assert_eq!(checked["setups"]["day"]["heads"]["T"]["socket"], "S2");
    assert_eq!(checked["setups"]["day"]["heads"]["C"]["socket"], "S1");
}

#[test]
fn a_wrong_call_is_refused_with_what_is_near() {
    let plan = plan(HEADS, ON);
    let refused = |arguments: &[&str], words: &str| {
        let ran = run_with(&[&["recover", "-"], arguments].concat(), &plan);
        assert!(ran.refused().contains(words), "{ran:?}");
    };
    refused(&["--lost", "RAA"], "Did you mean `RA`?");
    refused(&["--lost", "RA", "--last", "Q"], "there is no head `Q`");
    refused(&["--lost", "RA", "--after", "soon"], "is no time");
    refused(&["--lost", "RA", "--setup", "dya"], "Did you mean `day`?");
    refused(&["--lost", "RA", "--write"], "standard input cannot be written to");
    refused(&[], "--lost");
}

#[test]
fn people_read_the_three_blocks() {
    let ran = run(&["recover", argument(&example("mill-house")), "--lost", "RA", "--last", "B"]);
    // E finds no place until RA is back.
    assert_eq!(ran.status, Some(1), "{ran:?}");
    for words in ["1  UNPLUG FIRST", "2  RELIGHT NOW", "3  LATER", "NO PLACE FOR NOW", "then reset RA once"] {
        assert!(ran.out.contains(words), "{words} in {}", ran.out);
    }
    assert!(ran.out.lines().all(|line| line.chars().count() <= 80), "{}", ran.out);
}
