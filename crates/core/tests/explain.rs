//! Explanations: the formula with the values put in, and where each came from.
#![expect(clippy::unwrap_used, reason = "a test that cannot go on fails")]

use std::sync::Arc;

use ampwalk_core::assess::assess;
use ampwalk_core::explain::{Explanation, Topic, explain};
use ampwalk_core::file::parse;
use ampwalk_core::network::Network;

const PLAN: &str = r#"
ampwalk = 1
[location]
region = "au"
[supply.house]
kind = "mains"
limit_a = 63
[rcd.RA]
rated_ma = 30
[circuit.P1]
supply = "house"
breaker_a = 20
rcd = "RA"
base = [{ name = "fridge", amps = 0.65 }]
[floor.g]
level = 0
[room.r]
floor = "g"
[socket.G1]
room = "r"
at = [0, 0]
ways = 2
circuit = "P1"
test = "ok"
ramp = { held_ma = 10, tripped_ma = 15 }
[head.C]
class = "discharge-1k2"
room = "r"
at = [3, 4]
socket = "G1"
[head.M]
amps = 2.5
leak_ma = 1.5
leak_from = "measured"
socket = "G1"
[setup.day]
minutes = 60
on = ["C", "M"]
"#;

fn told(topic: fn(&Network) -> Topic) -> Explanation {
    let network = Network::of(Arc::new(parse(PLAN).plan));
    let assessment = assess(&network);
    let setup = network.setup("day").unwrap();
    explain(&network, &assessment, setup, topic(&network)).unwrap()
}

#[test]
fn running_amps_show_watts_volts_and_power_factor_with_their_origin() {
    // By hand: 1350 / (230 · 0.98) = 5.989 A.
    let told = told(|network| Topic::HeadAmps(network.head("C").unwrap()));
    assert_eq!(told.worked, "1350 / (230 · 0.98) = 5.989 A");
    let watts = told.terms.iter().find(|term| term.what.starts_with("watts")).unwrap();
    assert_eq!((watts.value.as_str(), watts.origin.as_str()), ("1350 W", "class, assumed"));
}

#[test]
fn a_measured_head_says_measured_and_nothing_else() {
    let told = told(|network| Topic::HeadAmps(network.head("M").unwrap()));
    assert_eq!(told.terms.len(), 1);
    assert_eq!(told.terms[0].origin, "measured");
}

#[test]
fn a_circuit_adds_up_on_paper() {
    // By hand: 0.65 + 5.989 + 2.5 = 9.139 A.
    let told = told(|network| Topic::CircuitAmps(network.circuit("P1").unwrap()));
    assert_eq!(told.worked, "0.65 A + 5.989 A + 2.5 A = 9.139 A of 20 A");
}

#[test]
fn the_peak_on_an_rcd_shows_its_odds_and_the_assumption_behind_them() {
    // By hand: C first: 3.5 + 10 = 13.5, then 3.5 + 1.5 = 5 mA; (13.5 − 10)/(15 − 10) = 0.7; 1/0.3 = 3.333.
    let told = told(|network| Topic::RcdPeak(network.rcd("RA").unwrap()));
    assert_eq!(
        told.worked,
        "13.5 mA against 10 to 15 mA: odds (13.5 − 10) / (high − low) = 0.7; on average 3.333 goes"
    );
    assert!(told.caution.contains("equally likely"), "{}", told.caution);
}

#[test]
fn room_names_the_ramp_test_and_the_lead_its_corners() {
    let room = told(|network| Topic::RcdRoom(network.rcd("RA").unwrap()));
    assert!(room.terms.iter().any(|term| term.value == "held 10 mA, dropped at 15 mA"), "{room:?}");
    assert!(room.caution.starts_with("Takes the reading as it is"));
    // By hand: 3 + 4 + 2 = 9 m.
    let lead = told(|network| Topic::LeadNeeded(network.head("C").unwrap()));
    assert_eq!(lead.title, "Lead from G1 to C: 9 m");
}
