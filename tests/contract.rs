//! `check --json`: exactly these names, these nulls and nothing more.

use std::collections::BTreeSet;

use serde_json::Value;

use crate::support::{EXAMPLES, argument, example, run, run_with};

/// Everything that a plan may leave unknown, and a few sums that are easy by hand.
const PLAN: &str = r#"
ampwalk = 1
[location]
name = "Ferry Shed"
region = "au"
stair = [0, 0]

[supply.house]
kind = "mains"
wiring = "star"
limit_a = 40

[supply.barn]
kind = "mains"

[rcd.Z9]
[rcd.RA]
[rcd.RB]

[circuit.P2]
supply = "house"
line = "L2"
breaker_a = 20
rcd = "RA"
base = [{ name = "fridge", amps = 1.5 }]

[circuit.P1]
supply = "barn"
breaker_a = 16
rcd = "RB"

[floor.ground]
level = 0
[room.hall]
floor = "ground"

[socket.G2]
room = "hall"
at = [0, 0]
circuit = "P2"
test = "ok"
ways = 2
ramp = { held_ma = 10, tripped_ma = 15 }

[socket.G1]
room = "hall"
circuit = "P1"
test = "ok"
ramp = { held_ma = 35 }

[socket.X1]
room = "hall"
test = "ok"

[cable.a10]
length_m = 10
mm2 = 1.5

[head.B]
amps = 3
leak_ma = 2
room = "hall"
at = [3, 1]
socket = "G2"
leads = ["a10"]

[head.A]
watts = 2300
leak_ma = 3.5
strike_ma = 10
start_a = 12
socket = "G2"

[head.C]
amps = 1
leak_ma = 0.5
socket = "X1"

[head.D]
amps = 2

[head.E]
amps = 5
socket = "G1"

[setup.night]
minutes = 90
on = ["B", "A", "C", "D"]

[setup.day]
minutes = 30
on = ["E"]
"#;

fn keys(value: &Value) -> BTreeSet<&str> {
    value.as_object().unwrap_or_else(|| panic!("{value}")).keys().map(String::as_str).collect()
}

fn set<const N: usize>(names: [&str; N]) -> BTreeSet<&str> {
    names.into()
}

fn near(value: &Value, expected: f64) -> bool {
    value.as_f64().is_some_and(|value| (value - expected).abs() < 1e-9)
}

#[track_caller]
fn has_exactly_the_keys(report: &Value) {
    assert_eq!(keys(report), set(["ampwalk", "location", "verdict", "setups", "findings"]));
    for setup in report["setups"].as_object().unwrap().values() {
        assert_eq!(
            keys(setup),
            set(["minutes", "circuits", "rcds", "supplies", "heads", "strike_order", "spared_breakers"])
        );
        for circuit in setup["circuits"].as_object().unwrap().values() {
            let names = set([
                "amps",
                "possible_amps",
                "limit_a",
                "free_a",
                "start_peak_a",
                "inrush_a",
                "inrush_counts_a",
                "inrush_limit_a",
                "neutral_a",
                "trip_window_s",
                "breaker",
                "heads",
            ]);
            assert_eq!(keys(circuit), names);
        }
        for rcd in setup["rcds"].as_object().unwrap().values() {
            let names = set([
                "room_ma",
                "tested",
                "standing_ma",
                "vector_standing_ma",
                "peak_ma",
                "possible_standing_ma",
                "possible_peak_ma",
                "outcome",
                "odds",
                "darkens",
            ]);
            assert_eq!(keys(rcd), names);
            assert_eq!(rcd["room_ma"].as_array().unwrap().len(), 2);
        }
        for supply in setup["supplies"].as_object().unwrap().values() {
            assert_eq!(
                keys(supply),
                set(["line_a", "neutral_a", "kva", "kw", "limit_a", "percent", "hours", "fuel_l"])
            );
        }
        for head in setup["heads"].as_object().unwrap().values() {
            let names = set([
                "socket",
                "circuit",
                "amps",
                "lead_m",
                "lead_needed_m",
                "volts",
                "drop_percent",
                "light_percent",
                "colour_k",
                "strike",
                "may_drop",
            ]);
            assert_eq!(keys(head), names);
        }
    }
    for finding in report["findings"].as_array().unwrap() {
        let names = set([
            "rule", "severity", "setup", "subject", "value", "limit", "unit", "text", "do", "source",
            "assumed",
        ]);
        assert_eq!(keys(finding), names);
        let crossing = ["value", "limit", "unit"].map(|key| finding[key].is_null());
        assert!(crossing == [true; 3] || crossing == [false; 3], "{finding}");
        assert!(
            finding["subject"] == "location" || finding["subject"].as_str().unwrap().contains('.'),
            "{finding}"
        );
    }
}

#[test]
fn the_keys_are_those_of_the_contract() {
    for name in EXAMPLES {
        has_exactly_the_keys(&run(&["check", argument(&example(name)), "--json"]).json());
    }
    has_exactly_the_keys(&run_with(&["check", "-", "--json"], PLAN).json());
}

#[test]
fn unknown_is_null_and_everything_is_in_every_setup_in_the_order_of_the_file() {
    let ran = run_with(&["check", "-", "--json"], PLAN);
    let report = ran.json();
    assert_eq!((&report["ampwalk"], &report["location"]), (&Value::from(1), &Value::from("Ferry Shed")));
    // The text, not the parsed map: only there is the order.
    let order =
        |key: &str| ran.out.find(&format!("\"{key}\": {{")).unwrap_or_else(|| panic!("{key}: {}", ran.out));
    assert!(order("night") < order("day"));
    assert!(order("Z9") < order("RA") && order("RA") < order("RB"));
    assert!(order("P2") < order("P1") && order("house") < order("barn") && order("B") < order("A"));
    for setup in ["night", "day"] {
        let setup = &report["setups"][setup];
        assert_eq!(keys(&setup["circuits"]), set(["P1", "P2"]));
        assert_eq!(keys(&setup["rcds"]), set(["RA", "RB", "Z9"]));
        assert_eq!(keys(&setup["supplies"]), set(["barn", "house"]));
    }
    let night = &report["setups"]["night"];
    assert_eq!(keys(&night["heads"]), set(["A", "B", "C", "D"]));
    assert_eq!(keys(&report["setups"]["day"]["heads"]), set(["E"]));
    let unplaced = &night["heads"]["D"];
    for key in
        ["socket", "circuit", "lead_needed_m", "volts", "drop_percent", "light_percent", "colour_k", "strike"]
    {
        assert!(unplaced[key].is_null(), "{key}: {unplaced}");
    }
    let untraced = &night["heads"]["C"];
    assert_eq!((&untraced["socket"], &untraced["circuit"]), (&Value::from("X1"), &Value::Null));
    assert!(untraced["strike"].is_u64(), "{untraced}");
    let barn = &night["supplies"]["barn"];
    assert_eq!((&barn["limit_a"], &barn["percent"]), (&Value::Null, &Value::Null));
    assert_eq!(keys(&barn["line_a"]), set(["L1"]));
    assert_eq!(keys(&night["supplies"]["house"]["line_a"]), set(["L1", "L2", "L3"]));
    assert!(night["rcds"]["RB"]["room_ma"][1].is_null(), "{}", night["rcds"]["RB"]);
    assert_eq!(night["rcds"]["Z9"]["tested"], false);
    assert!(near(&night["rcds"]["Z9"]["peak_ma"], 0.0));
}

#[test]
fn a_filament_says_what_light_and_colour_are_left_and_a_lead_of_no_known_size_says_null() {
    // Powers of the volts: IES, from memory.
    let plan = |size: &str| {
        PLAN.replace("[head.B]\namps = 3", "[head.B]\nload = \"filament\"\namps = 10")
            .replace("length_m = 10\nmm2 = 1.5", &format!("length_m = 40\n{size}"))
    };
    let report = run_with(&["check", "-", "--json"], plan("mm2 = 1.5")).json();
    let head = &report["setups"]["night"]["heads"]["B"];
    let volts = head["volts"].as_f64().unwrap();
    // 40 m of 1.5 mm², 1.2731 ohm both ways: V + 12.731·(V/230)^0.55 = 230 gives 217.65 V.
    assert!((volts - 217.65).abs() < 0.01, "{head}");
    assert!((head["light_percent"].as_f64().unwrap() - 100.0 * (volts / 230.0).powf(3.4)).abs() < 1e-6);
    assert!((head["colour_k"].as_f64().unwrap() - 3200.0 * (volts / 230.0).powf(0.42)).abs() < 1e-6);
    let unknown = run_with(&["check", "-", "--json"], plan("awg = 20")).json();
    let head = &unknown["setups"]["night"]["heads"]["B"];
    for key in ["volts", "drop_percent", "light_percent", "colour_k"] {
        assert!(head[key].is_null(), "{key}: {head}");
    }
    let finding = |rule: &str| {
        unknown["findings"].as_array().unwrap().iter().find(|finding| finding["rule"] == rule).cloned()
    };
    assert_eq!(finding("drop-high").unwrap()["severity"], "note");
    assert_eq!(finding("cable-hot").unwrap()["severity"], "risk");
}

#[test]
fn the_numbers_are_those_worked_by_hand() {
    // P2: B 3 A + A 2300 W / 230 V = 10 A + fridge 1.5 A = 14.5 A; C is untraced, so 1 A may come on
    // top: 15.5 A; free 20 − 15.5 = 4.5 A. A is struck first (x 10 against 0): 1.5 + 12 = 13.5 A while
    // it runs up, less than 1.5 + 10 + 3 = 14.5 A with both burning.
    // RA: standing 2 + 3.5 = 5.5 mA; peak is A's strike, 3.5 + 10 = 13.5 mA; with C's 0.5 mA perhaps
    // 6 mA, and 14 mA if C burns already when A is struck, which it does not: A is struck first.
    // Room 10 to 15 by the ramp: (13.5 − 10) / (15 − 10) = 0.7.
    let report = run_with(&["check", "-", "--json"], PLAN).json();
    let night = &report["setups"]["night"];
    let circuit = &night["circuits"]["P2"];
    assert!(near(&circuit["amps"], 14.5), "{circuit}");
    assert!(near(&circuit["possible_amps"], 15.5), "{circuit}");
    assert!(near(&circuit["limit_a"], 20.0), "{circuit}");
    assert!(near(&circuit["free_a"], 4.5), "{circuit}");
    assert!(near(&circuit["start_peak_a"], 14.5), "{circuit}");
    assert_eq!(circuit["heads"], serde_json::json!(["A", "B"]));
    let rcd = &night["rcds"]["RA"];
    assert_eq!(rcd["room_ma"], serde_json::json!([10.0, 15.0]));
    assert!(near(&rcd["standing_ma"], 5.5) && near(&rcd["peak_ma"], 13.5), "{rcd}");
    assert!(near(&rcd["possible_standing_ma"], 6.0) && near(&rcd["possible_peak_ma"], 13.5), "{rcd}");
    assert_eq!((&rcd["outcome"], &rcd["darkens"]), (&Value::from("may-trip"), &serde_json::json!(["P2"])));
    assert!(near(&rcd["odds"], 0.7), "{rcd}");
    // House, all on L2 and at power factor 1: 14.5 A, 36.25 % of 40 A, 230 V · 14.5 A = 3.335 kW.
    let house = &night["supplies"]["house"];
    assert!(near(&house["line_a"]["L2"], 14.5) && near(&house["line_a"]["L1"], 0.0), "{house}");
    assert!(near(&house["percent"], 36.25) && near(&house["kw"], 3.335), "{house}");
    // B: lead of 10 m; |3| + |1| + 2 m takes 6 m.
    let head = &night["heads"]["B"];
    assert!(near(&head["lead_m"], 10.0) && near(&head["lead_needed_m"], 6.0), "{head}");
    // B is no filament; E, of the day, is none either.
    assert!(head["light_percent"].is_null() && head["colour_k"].is_null(), "{head}");
    assert_eq!(night["strike_order"][0], "A");
    assert_eq!(night["heads"]["A"]["strike"], 1);
    // Only A's strike may drop RA; it has two poles, or nobody said more.
    assert_eq!(night["heads"]["A"]["may_drop"], serde_json::json!(["RA"]));
    assert_eq!(night["heads"]["B"]["may_drop"], serde_json::json!([]));
    assert!(rcd["vector_standing_ma"].is_null() && night["spared_breakers"] == serde_json::json!([]));
    assert!(near(&night["minutes"], 90.0));
}

/// A kitchen pair on one leg, four drivers behind a B breaker, a battery station and a petrol set.
const SUPPLIES: &str = r#"
ampwalk = 1
[location]
region = "us"

[supply.house]
kind = "mains"
wiring = "split"
[supply.box]
kind = "battery"
kwh = 2
kw = 1.8
[supply.set]
kind = "generator"
kva = 5
fuel = "petrol"

[circuit.K1]
supply = "house"
line = "L1"
breaker_a = 20
[circuit.K2]
supply = "house"
line = "L1"
breaker_a = 20
neutral_with = "K1"
[circuit.B]
supply = "box"
breaker_a = 16
curve = "B"
[circuit.S]
supply = "set"
breaker_a = 30

[floor.ground]
level = 0
[room.hall]
floor = "ground"
[socket.G1]
room = "hall"
circuit = "K1"
[socket.G2]
room = "hall"
circuit = "K2"
[socket.G3]
room = "hall"
circuit = "B"
[socket.G4]
room = "hall"
circuit = "S"
[block.four]
ways = 4

[head.A]
amps = 16
socket = "G1"
[head.B]
amps = 10
socket = "G2"
[head.C]
watts = 120
inrush_a = 60
inrush_ms = 0.2
socket = "G3"
leads = ["four"]
[head.D]
watts = 120
inrush_a = 60
inrush_ms = 0.2
socket = "G3"
leads = ["four"]
[head.E]
watts = 1500
socket = "G4"

[setup.day]
minutes = 90
on = ["A", "B", "C", "D", "E"]
"#;

#[test]
fn inrush_shared_neutrals_hours_and_fuel_are_those_worked_by_hand() {
    let report = run_with(&["check", "-", "--json"], SUPPLIES).json();
    let circuits = &report["setups"]["day"]["circuits"];
    // On one leg 16 + 10 A meet in the neutral; the other circuits have their own.
    assert!(near(&circuits["K1"]["neutral_a"], 26.0) && near(&circuits["K2"]["neutral_a"], 26.0));
    assert!(circuits["B"]["neutral_a"].is_null());
    // Two peaks of 60 A for 0.2 ms count a quarter each, together 30 A of 3 · 16 A.
    assert!(near(&circuits["B"]["inrush_a"], 120.0), "{}", circuits["B"]);
    assert!(near(&circuits["B"]["inrush_counts_a"], 30.0) && near(&circuits["B"]["inrush_limit_a"], 48.0));
    for key in ["inrush_a", "inrush_counts_a", "inrush_limit_a"] {
        assert!(circuits["K1"][key].is_null(), "UL 489 has no band: {key}");
    }
    // 2 kWh over 0.24 kW; 0.6 l/kWh of petrol at half load, 2.5 kW, for 1.5 h: it burns no less below.
    let supplies = &report["setups"]["day"]["supplies"];
    assert!(near(&supplies["box"]["hours"], 2.0 / 0.24) && supplies["box"]["fuel_l"].is_null());
    assert!(near(&supplies["set"]["fuel_l"], 0.6 * 2.5 * 1.5) && supplies["set"]["hours"].is_null());
    assert!(supplies["house"]["hours"].is_null() && supplies["house"]["fuel_l"].is_null());
}

#[test]
fn the_tables_show_a_shared_neutral_how_long_a_station_lasts_and_what_a_set_burns() {
    let out = run_with(&["check", "-"], SUPPLIES).out;
    let tells =
        |start: &str, cell: &str| out.lines().any(|line| line.starts_with(start) && line.contains(cell));
    // 8.3 h, and 2.25 l.
    assert!(tells("K1 ", " 26.00 ") && tells("box ", " 8.3 h") && tells("set ", " 2.2 l"), "{out}");
}
