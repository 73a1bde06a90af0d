//! Neutrals that circuits share. Expected amps: phasor sums that an explicit four-wire power-flow
//! solver gives as well, unless worked by hand beside the check.

use super::*;

/// Circuits P1, P2 … behind these breakers, each with one head of these keys on its line.
fn shared(region: &str, supply: &str, circuits: &[(&str, f64, &str, &str)]) -> Found {
    let mut text = format!(
        "ampwalk = 1\n[location]\nregion = \"{region}\"\nboard = \"found\"\n[supply.house]\nkind = \"mains\"\n{supply}\n\
         [floor.ground]\nlevel = 0\n[room.in]\nfloor = \"ground\"\n"
    );
    for (number, (line, breaker, keys, head)) in circuits.iter().enumerate() {
        let number = number + 1;
        text = format!(
            "{text}[circuit.P{number}]\nsupply = \"house\"\nline = \"{line}\"\nbreaker_a = {breaker}\n{keys}\n\
             [socket.G{number}]\nroom = \"in\"\ncircuit = \"P{number}\"\ntest = \"ok\"\noutlet = \"cee-63\"\n\
             [head.H{number}]\nplug = \"cee-63\"\nsocket = \"G{number}\"\n{head}\n"
        );
    }
    let on: Vec<String> = (1..=circuits.len()).map(|number| format!("\"H{number}\"")).collect();
    found(&format!("{text}[setup.s]\nminutes = 60\non = [{}]", on.join(", ")))
}

fn neutral(found: &Found, circuit: &str) -> Option<f64> {
    found.setup("s").circuits[found.network.circuit(circuit).unwrap()].neutral.map(|amps| amps.0)
}

const SPLIT: &str = "wiring = \"split\"";
const WITH_P1: &str = "neutral_with = \"P1\"";

#[test]
fn a_kitchen_pair_on_opposite_legs_leaves_the_difference_and_on_one_leg_the_sum_in_the_neutral() {
    // A crew's question: 16 and 10 A. Opposite legs 6 A; one leg 26 A on a wire for 20.
    let pair = |line: &str| {
        shared("us", SPLIT, &[("L1", 20.0, "", "amps = 16"), (line, 20.0, WITH_P1, "amps = 10")])
    };
    let right = pair("L2");
    right.is("neutral-over", &[]);
    let wrong = pair("L1");
    // One of two says it, both have it, one finding tells it.
    wrong.is("neutral-over", &["danger neutral-over circuit.P1"]);
    for circuit in ["P1", "P2"] {
        near(neutral(&right, circuit).unwrap(), 6.0);
        near(neutral(&wrong, circuit).unwrap(), 26.0);
    }
    let finding = wrong.assessment.findings.iter().find(|finding| finding.rule.id == "neutral-over").unwrap();
    let crossing = finding.crossing.unwrap();
    assert_eq!((crossing.value, crossing.limit, crossing.unit), (26.0, 20.0, "A"));
    assert!(
        finding.text.contains("P1 and P2 share a neutral, all on L1: it carries 26 A"),
        "{}",
        finding.text
    );
    assert!(
        finding.remedy.contains("take 6 A") && finding.remedy.contains("licensed electrician"),
        "{}",
        finding.remedy
    );
    assert!(!finding.assumed);
}

#[test]
fn lines_of_a_star_and_mixed_power_factors_leave_what_a_solver_says() {
    let pair = |supply: &str, first: &str, second: &str| {
        let found = shared("us", supply, &[("L1", 63.0, "", first), ("L2", 63.0, WITH_P1, second)]);
        neutral(&found, "P2").unwrap()
    };
    near(pair(SPLIT, "amps = 15", "amps = 10"), 5.0);
    near(pair(SPLIT, "amps = 15", "amps = 15\npf = 0.6"), 13.416);
    // Two legs of 208Y/120: not zero even where they are alike.
    near(pair("wiring = \"star\"", "amps = 20", "amps = 20"), 20.0);
    near(pair("wiring = \"star\"", "amps = 20", "amps = 10"), 17.321);
}

#[test]
fn a_chain_of_three_is_one_neutral_and_the_smallest_breaker_rules() {
    let chain = |smallest: f64| {
        shared(
            "eu",
            "wiring = \"star\"",
            &[
                ("L1", 63.0, "", "amps = 63"),
                ("L2", 63.0, "neutral_with = \"P1\"", "amps = 40"),
                ("L3", smallest, "neutral_with = \"P2\"", "amps = 25"),
            ],
        )
    };
    for circuit in ["P1", "P2", "P3"] {
        near(neutral(&chain(40.0), circuit).unwrap(), 33.151);
    }
    chain(40.0).is("neutral-over", &[]);
    chain(32.0).is("neutral-over", &["danger neutral-over circuit.P1"]);
}

#[test]
fn third_harmonics_add_in_a_shared_neutral_where_the_fundamentals_cancel() {
    // By hand, both legs 10 A: Σh² = 1.18488, I₁ = 10/√2.18488 = 6.7653. On a split supply each odd order
    // stands against itself, as the fundamental does: nothing is left. On two lines of a star the third
    // order and the ninth add: 2·6.7653·0.81 = 10.960, 2·6.7653·0.157 = 2.124; the fundamental leaves
    // 6.7653, the fifth 4.0998, the seventh 2.5032: √(6.7653² + 10.960² + 4.0998² + 2.5032² + 2.124²) = 13.909.
    let head = "amps = 10\nspectrum = \"capacitor\"";
    let pair = |supply: &str| {
        let found = shared("us", supply, &[("L1", 20.0, "", head), ("L2", 20.0, WITH_P1, head)]);
        neutral(&found, "P1").unwrap()
    };
    near(pair(SPLIT), 0.0);
    near(pair("wiring = \"star\""), 13.909);
}

#[test]
fn base_loads_meet_in_the_neutral_too() {
    let base = "base = [{ name = \"dryer\", amps = 15 }]";
    let pair = |setup_on: &str| {
        let found = shared(
            "us",
            SPLIT,
            &[("L1", 20.0, base, setup_on), ("L1", 20.0, &format!("{WITH_P1}\n{base}"), "amps = 1")],
        );
        (neutral(&found, "P1").unwrap(), found.of("neutral-over").len())
    };
    let (amps, findings) = pair("amps = 1");
    near(amps, 32.0);
    assert_eq!(findings, 1);
}

#[test]
fn a_circuit_with_a_neutral_of_its_own_has_no_such_number() {
    let alone = shared("us", SPLIT, &[("L1", 20.0, "", "amps = 16"), ("L1", 20.0, "", "amps = 16")]);
    assert_eq!(neutral(&alone, "P1"), None);
    alone.is("neutral-over", &[]);
}

#[test]
fn circuits_of_two_supplies_in_one_neutral_add_at_worst() {
    let more = "[supply.barn]\nkind = \"mains\"\n[circuit.P2]\nsupply = \"barn\"\nbreaker_a = 20\nneutral_with = \"P1\"\n\
                [socket.G2]\nroom = \"in\"\ncircuit = \"P2\"\ntest = \"ok\"\n[head.B]\namps = 8\nsocket = \"G2\"";
    let found = House {
        setup: "minutes = 60\non = [\"A\", \"B\"]",
        head: "amps = 9\nsocket = \"G1\"",
        more,
        ..House::default()
    };
    near(neutral(&found.assess(), "P1").unwrap(), 17.0);
}
