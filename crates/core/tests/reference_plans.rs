//! Whole plans held against values from outside of the project: what the tables of single laws say of
//! the same loads.
//!
//! Sources: NEC 210.20(A) for four fifths; BS 7671 531.3.2 for 30 percent; phasor sums computed with
//! numpy and agreed by a network solver; odds by exact fractions.

#![expect(clippy::unwrap_used, reason = "a helper that finds nothing fails the test")]

use std::fmt::Write as _;
use std::sync::Arc;

use ampwalk_core::assess::{Assessment, assess};
use ampwalk_core::file::parse;
use ampwalk_core::network::Network;

/// A house of heads, each with its circuit's line and its own keys, on one RCD.
struct House<'a> {
    region: &'a str,
    wiring: &'a str,
    circuit: &'a str,
    rcd: &'a str,
    socket: &'a str,
    minutes: u32,
    /// One circuit for all heads, or one each.
    shared: Shared,
}

#[derive(Clone, Copy, PartialEq)]
enum Shared {
    OneCircuit,
    OwnCircuits,
}

impl Default for House<'_> {
    fn default() -> Self {
        Self {
            region: "eu",
            wiring: "one",
            circuit: "",
            rcd: "rated_ma = 30",
            socket: "",
            minutes: 60,
            shared: Shared::OneCircuit,
        }
    }
}

impl House<'_> {
    fn assess(&self, heads: &[(&str, &str)]) -> (Network, Assessment) {
        let mut text = format!(
            "ampwalk = 1\n[location]\nregion = \"{}\"\n[supply.S]\nkind = \"mains\"\nwiring = \"{}\"\n[rcd.R]\n{}\n\
             [floor.g]\nlevel = 0\n[room.r]\nfloor = \"g\"\n",
            self.region, self.wiring, self.rcd
        );
        for (number, (line, keys)) in heads.iter().enumerate() {
            let own = if self.shared == Shared::OneCircuit { 0 } else { number };
            if own == number {
                writeln!(
                    text,
                    "[circuit.C{number}]\nsupply = \"S\"\nline = \"{line}\"\nrcd = \"R\"\n{}",
                    self.circuit
                )
                .unwrap();
            }
            writeln!(
                text,
                "[socket.P{number}]\nroom = \"r\"\ncircuit = \"C{own}\"\ntest = \"ok\"\n{}\n[head.H{number}]\n\
                 socket = \"P{number}\"\n{keys}",
                self.socket
            )
            .unwrap();
        }
        let on: Vec<String> = (0..heads.len()).map(|number| format!("\"H{number}\"")).collect();
        writeln!(text, "[setup.s]\nminutes = {}\non = [{}]", self.minutes, on.join(", ")).unwrap();
        let parsed = parse(&text);
        assert!(parsed.problems.is_empty(), "{:?}\n{text}", parsed.problems);
        let network = Network::of(Arc::new(parsed.plan));
        let assessment = assess(&network);
        (network, assessment)
    }
}

fn fires(assessment: &Assessment, rule: &str) -> bool {
    assessment.findings.iter().any(|finding| finding.rule.id == rule)
}

#[track_caller]
fn near(ours: f64, theirs: f64, tolerance: f64) {
    assert!((ours - theirs).abs() <= tolerance, "{ours} is not {theirs} within {tolerance}");
}

#[test]
fn four_fifths_of_each_rating_are_the_limit_for_three_hours_in_the_us() {
    // NEC 210.20(A): 15 A on 120 V 12 A, 20 A 16 A, 30 A on 240 V 24 A, 60 A 48 A.
    for (rated, limit) in [(15.0, 12.0), (20.0, 16.0), (30.0, 24.0), (60.0, 48.0)] {
        let circuit = format!("breaker_a = {rated}");
        let house = House { region: "us", circuit: &circuit, minutes: 180, ..House::default() };
        let (network, assessment) = house.assess(&[("L1", "watts = 500")]);
        let setup = &assessment.setups[network.setup("s").unwrap()];
        near(setup.circuits[network.circuit("C0").unwrap()].limit.0, limit, 1e-9);
    }
}

#[test]
fn two_heads_of_three_and_a_half_milliamps_keep_to_thirty_percent_and_three_do_not() {
    // BS 7671 531.3.2: 9 mA of 30, 3 mA of 10, 30 mA of 100.
    let share = |rated: u32, leak: f64, count: usize| {
        let (rcd, keys) = (format!("rated_ma = {rated}"), format!("watts = 100\nleak_ma = {leak}"));
        let heads = vec![("L1", keys.as_str()); count];
        fires(&House { rcd: &rcd, ..House::default() }.assess(&heads).1, "rcd-share")
    };
    assert!(!share(30, 3.5, 2) && share(30, 3.5, 3));
    assert!(!share(10, 3.0, 1) && share(10, 3.01, 1));
    assert!(!share(100, 30.0, 1) && share(100, 30.01, 1));
}

#[test]
fn a_four_pole_device_sees_the_residual_of_three_lines() {
    // Phasor sums, computed: 3.5 each 0; 3.5, 3.5, 0 → 3.5; 7, 3.5, 3.5 → 3.5; 10, 5, 0 → 8.66025; 12, 9, 4 → 7.
    for (leaks, residual) in [
        ([3.5, 3.5, 3.5], 0.0),
        ([3.5, 3.5, 0.0], 3.5),
        ([7.0, 3.5, 3.5], 3.5),
        ([10.0, 5.0, 0.0], 8.660_25),
        ([12.0, 9.0, 4.0], 7.0),
    ] {
        let keys = leaks.map(|leak| format!("watts = 100\nleak_ma = {leak}"));
        let heads: Vec<(&str, &str)> =
            ["L1", "L2", "L3"].into_iter().zip(keys.iter().map(String::as_str)).collect();
        let house = House {
            wiring: "star",
            rcd: "rated_ma = 30\npoles = 4",
            shared: Shared::OwnCircuits,
            ..House::default()
        };
        let (network, assessment) = house.assess(&heads);
        let used = &assessment.setups[network.setup("s").unwrap()].rcds[network.rcd("R").unwrap()];
        near(used.vector_standing.unwrap().0, residual, 5e-6);
        near(used.standing.0, leaks.iter().sum(), 1e-9);
    }
}

#[test]
fn the_neutral_of_a_whole_plan_is_that_of_its_phasors() {
    // 4 kW, 2.5 kW at 0.6 and 1 kW: 3.1968 A; 5 kW, 5 kW at 0.6 and 5 kW at 0.9 leading: 35.4428 A; 4, 2.5 and
    // 1 kW of one power factor: 11.2501·(400/√3)/230 A.
    let neutral = |keys: [&str; 3]| {
        let heads: Vec<(&str, &str)> = ["L1", "L2", "L3"].into_iter().zip(keys).collect();
        let house = House { wiring: "star", shared: Shared::OwnCircuits, ..House::default() };
        let (network, assessment) = house.assess(&heads);
        assessment.setups[network.setup("s").unwrap()].supplies[network.supply("S").unwrap()]
            .orders
            .neutral()
            .0
    };
    near(neutral(["watts = 4000", "watts = 2500\npf = 0.6", "watts = 1000"]), 3.1968, 1e-4);
    near(
        neutral(["watts = 5000", "watts = 5000\npf = 0.6", "watts = 5000\npf = 0.9\nleading = true"]),
        35.4428,
        1e-4,
    );
    near(
        neutral(["watts = 4000", "watts = 2500", "watts = 1000"]),
        11.2501 * 400.0 / 3.0_f64.sqrt() / 230.0,
        1e-3,
    );
    // The spectrum of an active front end, 8, 4 and 3 percent: 0.239 of a line in the neutral.
    let corrected = "amps = 10\nspectrum = \"corrected\"";
    near(neutral([corrected; 3]) / 10.0, 0.239, 5e-4);
}

#[test]
fn ranges_of_ten_heads_drop_a_thirty_milliamp_rcd_with_odds_of_0_274165() {
    // Exact rational Irwin–Hall: ten of 0.3 to 3.5 mA on a threshold of 15 to 30 mA.
    let odds = |strike: &str| {
        let keys = format!("watts = 100\nleak_ma = [0.3, 3.5]\n{strike}");
        let heads = vec![("L1", keys.as_str()); 10];
        let (network, assessment) = House::default().assess(&heads);
        assessment.setups[network.setup("s").unwrap()].rcds[network.rcd("R").unwrap()].odds
    };
    near(odds(""), 0.274_165, 1e-5);
    // A strike of 10 mA each: the last step tops the others, and averages 19 + 10 mA of 30.
    assert!(odds("strike_ma = 10") > 0.5);
}
