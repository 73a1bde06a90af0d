//! Explanations: the formula with the values put in, and where each came from.
#![expect(clippy::unwrap_used, reason = "a test that cannot go on fails")]

use std::sync::Arc;

use ampwalk_core::assess::{Subject, assess};
use ampwalk_core::explain::{Asked, Explanation, Topic, explain, explain_all, find};
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
        "13.5 mA against 10 to 15 mA: odds (13.5 − 10) / (15 − 10) = 0.7; on average 3.333 goes"
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

#[test]
fn every_number_of_a_subject_is_explained_with_its_source_the_one_asked_for_first() {
    let network = Network::of(Arc::new(parse(PLAN).plan));
    let assessment = assess(&network);
    let setup = network.setup("day").unwrap();
    let head = network.head("C").unwrap();
    let told = explain_all(&network, &assessment, setup, Subject::Head(head), Some(Topic::HeadVolts(head)));
    let keys: Vec<&str> = told.iter().map(|told| told.key).collect();
    assert_eq!(keys, ["volts", "amps", "leak_ma", "strike", "lead_needed_m"]);
    for told in &told {
        assert!(!told.formula.is_empty() && !told.worked.is_empty() && !told.source.is_empty(), "{told:?}");
        assert!(!told.terms.is_empty(), "{told:?}");
    }
}

#[test]
fn what_is_asked_for_is_found_by_table_and_id_by_id_alone_and_by_number() {
    let network = Network::of(Arc::new(parse(PLAN).plan));
    let circuit = network.circuit("P1").unwrap();
    let all = Asked { subject: Subject::Circuit(circuit), topic: None };
    assert_eq!(find(&network, "circuit.P1"), Ok(all));
    assert_eq!(find(&network, "P1"), Ok(all));
    let window = Asked { topic: Some(Topic::TripWindow(circuit)), ..all };
    assert_eq!(find(&network, "circuit.P1.trip_window_s"), Ok(window));
    assert_eq!(find(&network, "P1.trip_window_s"), Ok(window));
}

#[test]
fn what_is_not_there_is_refused_with_what_is() {
    let network = Network::of(Arc::new(parse(PLAN).plan));
    let refused = |text: &str| find(&network, text).unwrap_err();
    assert_eq!(refused("circuit.P2").message, "there is no circuit `P2` in the plan");
    assert_eq!(refused("circuit.P2").remedy, "Did you mean `P1`? There is: P1");
    assert_eq!(refused("circuit.P1.amp").remedy.split('?').next(), Some("Did you mean `amps`"));
    assert_eq!(refused("G2").remedy, "Did you mean `G1`?");
    let both = PLAN.replace("[socket.G1]", "[socket.C]").replace("\"G1\"", "\"C\"");
    let network = Network::of(Arc::new(parse(&both).plan));
    assert_eq!(find(&network, "C").unwrap_err().remedy, "Say which: head.C, socket.C");
}

#[test]
fn a_breaker_shows_the_points_of_its_standard_and_its_window_between_them() {
    // IEC 60898-1 table 7, C20: 1.13 · 20 = 22.6 A, 1.45 · 20 = 29 A. By hand 9.139 / 20 = 0.457.
    let told = told(|network| Topic::TripWindow(network.circuit("P1").unwrap()));
    assert!(
        told.worked.starts_with("9.139 / 20 = 0.457 times the rating: it carries that for ever"),
        "{told:?}"
    );
    let term = |what: &str| told.terms.iter().find(|term| term.what == what).map(|term| term.value.as_str());
    assert_eq!(term("1.13 In = 22.6 A"), Some("not before 60 min"));
    assert_eq!(term("1.45 In = 29 A"), Some("by 60 min"));
}

#[test]
fn the_start_peak_and_the_order_tell_their_steps() {
    // By hand: 0.65 + 5.989 = 6.639, + 2.5 = 9.139 A.
    let peak = told(|network| Topic::StartPeak(network.circuit("P1").unwrap()));
    let steps: Vec<&str> = peak.terms.iter().map(|term| term.value.as_str()).collect();
    assert_eq!(steps, ["0.65 A", "6.639 A, then 6.639", "9.139 A, then 9.139"]);
    let strike = told(|network| Topic::HeadStrike(network.head("M").unwrap()));
    assert_eq!(strike.title, "M is struck as number 2 of 2");
}

#[test]
fn a_socket_tells_its_plugs_its_outlet_and_its_plate() {
    // By hand: 5.989 + 2.5 = 8.489 A; a twin plate is taken for 20 A.
    let told = told(|network| Topic::SocketAmps(network.socket("G1").unwrap()));
    assert_eq!(told.worked, "5.989 + 2.5 = 8.489 A; each plug against its outlet; its plate 8.489 A of 20 A");
}

/// Two legs of 120 V with a load on each, on one supply.
const SPLIT: &str = r#"
ampwalk = 1
[location]
region = "us"
[supply.house]
kind = "mains"
wiring = "split"
limit_a = 100
[circuit.K1]
supply = "house"
line = "L1"
breaker_a = 20
[circuit.K2]
supply = "house"
line = "L2"
breaker_a = 20
[floor.g]
level = 0
[room.kitchen]
floor = "g"
[socket.A1]
room = "kitchen"
circuit = "K1"
outlet = "us-20"
test = "ok"
[socket.B1]
room = "kitchen"
circuit = "K2"
outlet = "us-20"
test = "ok"
[head.P]
watts = 1500
load = "resistive"
socket = "A1"
[head.Q]
watts = 500
load = "resistive"
socket = "B1"
[setup.day]
minutes = 60
on = ["P", "Q"]
"#;

#[test]
fn a_lost_neutral_is_told_in_volts() {
    // Computed with OpenDSS, an explicit four-wire model: 1500 W and 500 W on 120/240 V get 60 and 180 V.
    let network = Network::of(Arc::new(parse(SPLIT).plan));
    let assessment = assess(&network);
    let setup = network.setup("day").unwrap();
    let house = network.supply("house").unwrap();
    let lost = explain(&network, &assessment, setup, Topic::LostNeutral(house)).unwrap();
    assert_eq!(lost.title, "If the neutral of house broke: L1 60 V, L2 180 V");
    // By hand: 12.5 − 4.167 = 8.333 A.
    let neutral = explain(&network, &assessment, setup, Topic::SupplyNeutral(house)).unwrap();
    assert_eq!(neutral.title, "neutral of house: 8.333 A");
    let power = explain(&network, &assessment, setup, Topic::SupplyPower(house)).unwrap();
    assert_eq!(power.title, "house: 2 kVA, 2 kW");
}

/// Batteries, blocks, loops and shared neutrals on one plan.
const MANY: &str = r#"
ampwalk = 1
[location]
region = "uk"
[supply.house]
kind = "mains"
wiring = "star"
loop_ohm = 0.35
[supply.box]
kind = "battery"
kwh = 2.4
kw = 3
[rcd.R4]
rated_ma = 30
poles = 4
[circuit.P1]
supply = "house"
line = "L1"
breaker_a = 16
curve = "B"
rcd = "R4"
neutral_with = "P2"
[circuit.P2]
supply = "house"
line = "L1"
breaker_a = 20
curve = "B"
rcd = "R4"
[circuit.P3]
supply = "house"
line = "L2"
breaker_a = 16
curve = "B"
rcd = "R4"
[circuit.X]
supply = "box"
breaker_a = 16
[floor.g]
level = 0
[room.r]
floor = "g"
[socket.A1]
room = "r"
circuit = "P1"
test = "ok"
[socket.B1]
room = "r"
circuit = "P2"
test = "ok"
[socket.C1]
room = "r"
circuit = "P3"
test = "ok"
[socket.X1]
room = "r"
circuit = "X"
test = "ok"
[head.A]
amps = 10
leak_ma = 3.5
inrush_a = 60
inrush_ms = 0.2
socket = "A1"
leads = ["l"]
[head.B]
amps = 8
socket = "B1"
[head.C]
amps = 2
leak_ma = 3.5
socket = "C1"
[head.D]
watts = 800
socket = "X1"
[cable.l]
length_m = 25
mm2 = 1.5
plug = "uk-13"
fuse_a = 13
[setup.day]
minutes = 90
on = ["A", "B", "C", "D"]
"#;

#[test]
fn inrush_neutrals_loops_batteries_and_vectors_are_explained() {
    let network = Network::of(Arc::new(parse(MANY).plan));
    let assessment = assess(&network);
    let setup = network.setup("day").unwrap();
    let told = |topic| explain(&network, &assessment, setup, topic).unwrap();
    let circuit = |id: &str| network.circuit(id).unwrap();
    // By hand: 60 / 4 = 15 A lasting against 3 · 16 = 48 A.
    let inrush = told(Topic::Inrush(circuit("P1")));
    assert!(inrush.worked.starts_with("by one switch 15 A of 48 A: it holds"), "{inrush:?}");
    // Both on L1: 10 + 8 = 18 A, and the smallest breaker is 16 A.
    let neutral = told(Topic::SharedNeutral(circuit("P1")));
    assert_eq!(neutral.title, "neutral that P1 shares: 18 A");
    assert!(neutral.worked.starts_with("18 A of 16 A"), "{neutral:?}");
    // 2.4 kWh at 0.8 kW are 3 h.
    let run = told(Topic::BatteryRun(network.supply("box").unwrap()));
    assert_eq!(run.worked, "2.4 kWh / 0.8 kW = 3 h");
    // Two equal leakages a third of a turn apart: 3.5 mA (3.5/3.5/0 in the published table), plain 7 mA.
    let vector = told(Topic::RcdVector(network.rcd("R4").unwrap()));
    assert_eq!(vector.worked, "3.5 mA at the fundamental, 7 mA by the plain sum, which decides");
    // 25 m of 1.5 mm² class 5 at 70 °C: 13.3 · 1.1965 · 25 / 1000 = 0.398 Ω a conductor; 0.35 + 0.796 = 1.146 Ω.
    let earth = told(Topic::EarthLoop(network.head("A").unwrap()));
    assert!(earth.title.ends_with("1.146 Ω"), "{earth:?}");
    // BS 7671 Table 41.3: B16 2.73 Ω.
    assert!(earth.worked.starts_with("1.146 Ω of 2.731 Ω: the breaker or fuse drops at once"), "{earth:?}");
}
