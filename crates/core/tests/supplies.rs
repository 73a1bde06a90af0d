//! Sums of generators, neutral currents, and odds over ranges of leakage, through a whole assessment.

use std::fmt::Write as _;
use std::sync::Arc;

use ampwalk_core::assess::{Assessment, assess};
use ampwalk_core::file::parse;
use ampwalk_core::network::Network;

/// A plan with one supply and heads given as (line, keys of the head).
fn plan(location: &str, supply: &str, circuit: &str, heads: &[(&str, &str)]) -> (Network, Assessment) {
    let mut text = format!(
        "ampwalk = 1\n[location]\nregion = \"eu\"\nboard = \"found\"\n{location}\n[supply.S]\n{supply}\n\
         [rcd.R]\nrated_ma = 30\n[floor.g]\nlevel = 0\n[room.r]\nfloor = \"g\"\n"
    );
    for (number, (line, keys)) in heads.iter().enumerate() {
        // A one-line outlet on two lines hangs between one of them and neutral.
        let outlet = if line.contains('-') { "us-240-50" } else { "cee-63" };
        let _ = writeln!(
            text,
            "[circuit.C{number}]\nsupply = \"S\"\nline = \"{line}\"\nbreaker_a = 63\n{circuit}\n\
             [socket.P{number}]\nroom = \"r\"\noutlet = \"{outlet}\"\ncircuit = \"C{number}\"\ntest = \"ok\"\n\
             [head.H{number}]\nplug = \"{outlet}\"\nsocket = \"P{number}\"\n{keys}"
        );
    }
    let on: Vec<String> = (0..heads.len()).map(|number| format!("\"H{number}\"")).collect();
    let _ = writeln!(text, "[setup.day]\nminutes = 60\non = [{}]", on.join(", "));
    let parsed = parse(&text);
    assert!(parsed.problems.is_empty(), "{:?}\n{text}", parsed.problems);
    let network = Network::of(Arc::new(parsed.plan));
    let assessment = assess(&network);
    (network, assessment)
}

fn rules(assessment: &Assessment) -> Vec<(&'static str, String, Option<f64>)> {
    assessment
        .findings
        .iter()
        .filter(|finding| finding.rule.id.starts_with("generator") || finding.rule.id == "neutral-over")
        .map(|finding| {
            let value = finding.crossing.map(|crossing| (crossing.value * 1e6).round() / 1e6);
            (finding.rule.id, finding.severity.to_string(), value)
        })
        .collect()
}

const SET: &str = "kind = \"generator\"\nkva = 5\nearth = \"bonded\"\nlimit_a = 63";

fn of_set(location: &str, more: &str, heads: &[(&str, &str)]) -> Vec<(&'static str, String, Option<f64>)> {
    rules(&plan(location, &format!("{SET}\n{more}"), "", heads).1)
}

#[test]
fn a_set_over_its_kva_goes_dark_and_over_four_fifths_it_is_a_risk() {
    // By hand: 20 A · 230 V = 4.6 kVA of 5, over 4; in two steps of 2.3 kVA, under 2.5.
    let tight = of_set("", "", &[("L1", "amps = 10"), ("L1", "amps = 10")]);
    assert_eq!(tight, [("generator-tight", "risk".to_owned(), Some(4.6))]);
    // 22.5 A · 230 V = 5.175 kVA.
    let over = of_set("", "", &[("L1", "amps = 7.5"), ("L1", "amps = 7.5"), ("L1", "amps = 7.5")]);
    assert_eq!(over, [("generator-over", "dark".to_owned(), Some(5.175))]);
    // 16 A · 230 V = 3.68 kVA.
    assert_eq!(of_set("", "", &[("L1", "amps = 8"), ("L1", "amps = 8")]), []);
}

#[test]
fn height_and_heat_take_power_from_a_diesel() {
    // ISO 3046-1 at 1000 m and 40 °C: 0.8428 of 5 kVA is 4.214 kVA, half of it 2.107 kVA;
    // 20 A · 230 V = 4.6 kVA, in steps of 1.15 kVA.
    let heads = [("L1", "amps = 5"); 4];
    let found = of_set("ambient_c = 40", "fuel = \"diesel\"\naltitude_m = 1000", &heads);
    assert_eq!(found, [("generator-over", "dark".to_owned(), Some(4.6))]);
    let at_the_sea = of_set("", "fuel = \"diesel\"", &heads);
    assert_eq!(at_the_sea, [("generator-tight", "risk".to_owned(), Some(4.6))]);
}

#[test]
fn a_diesel_under_thirty_percent_is_a_note() {
    // By hand: 4 A · 230 V = 0.92 kW of 5 kW (NFPA 110 8.4.2: 30 % is 1.5 kW).
    let found = of_set("", "fuel = \"diesel\"", &[("L1", "amps = 4")]);
    assert_eq!(found, [("generator-light", "note".to_owned(), Some(0.92))]);
    assert_eq!(of_set("", "fuel = \"petrol\"", &[("L1", "amps = 4")]), []);
}

#[test]
fn a_step_of_more_than_half_the_rating_is_a_risk() {
    // By hand: 12 A · 230 V = 2.76 kVA, over 2.5; with a step of 60 %, 3 kVA, it is taken.
    let found = of_set("", "", &[("L1", "amps = 12")]);
    assert_eq!(found, [("generator-step", "risk".to_owned(), Some(2.76))]);
    assert_eq!(of_set("", "step_percent = 60", &[("L1", "amps = 12")]), []);
}

#[test]
fn half_a_load_of_plain_rectifiers_is_a_risk_for_an_alternator() {
    let found = of_set("", "", &[("L1", "amps = 5\nspectrum = \"capacitor\""), ("L1", "amps = 5")]);
    assert_eq!(found, [("generator-harmonics", "risk".to_owned(), Some(50.0))]);
    assert_eq!(of_set("", "", &[("L1", "amps = 5\nspectrum = \"corrected\""), ("L1", "amps = 5")]), []);
}

#[test]
fn a_head_between_two_lines_counts_with_its_own_volts_and_amps() {
    // By hand, 115 V a leg: 4 A between the legs is 920 VA, 6 A of rectifier on one 690 VA: 42.857 %.
    let heads = [("L1-L2", "amps = 4"), ("L1", "amps = 6\nspectrum = \"capacitor\"")];
    let found = of_set("", "wiring = \"split\"\nvolts = 115", &heads);
    assert_eq!(found, [("generator-harmonics", "risk".to_owned(), Some(42.857_143))]);
}

#[test]
fn the_third_harmonics_of_three_lines_meet_in_the_neutral() {
    // By hand: Σh² = 0.81² + 0.606² + 0.37² + 0.157² = 1.18488; I₁ = 20/√2.18488 = 13.5306 A; orders 3
    // and 9 add: 3 · 13.5306 · √(0.81² + 0.157²) = 33.491 A, over the 32 A of a line.
    let head = "amps = 20\nspectrum = \"capacitor\"";
    let star = "kind = \"mains\"\nwiring = \"star\"\nlimit_a = 32";
    let (network, assessment) = plan("", star, "", &[("L1", head), ("L2", head), ("L3", head)]);
    let found = rules(&assessment);
    assert_eq!((found[0].0, found[0].1.as_str()), ("neutral-over", "danger"));
    assert!((found[0].2.unwrap() - 33.491).abs() < 1e-3, "{found:?}");
    let supply = &assessment.setups[network.setup("day").unwrap()].supplies[network.supply("S").unwrap()];
    // Apparent power: 3 · 230 V · 20 A = 13.8 kVA.
    assert!((supply.orders.apparent_power(ampwalk_core::unit::Volts(230.0)).0 - 13.8).abs() < 1e-9);
}

#[test]
fn ten_heads_of_unsure_leakage_drop_a_thirty_milliamp_device_as_often_as_published_tables_say() {
    // Exact rational Irwin–Hall: ten leakages U(0.3, 3.5) mA on a threshold U(15, 30) mA, 0.274165.
    let head = ("L1", "amps = 1\nleak_ma = [0.3, 3.5]");
    let (network, assessment) = plan("", "kind = \"mains\"", "rcd = \"R\"", &[head; 10]);
    let rcd = &assessment.setups[network.setup("day").unwrap()].rcds[network.rcd("R").unwrap()];
    assert!((rcd.odds - 0.274_165).abs() < 1e-5, "{}", rcd.odds);
    assert_eq!(rcd.outcome.word(), "may-trip");
}
