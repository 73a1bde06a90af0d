//! One constraint of a plan after the other: a solver that does not see it puts a head where the assessment of the
//! whole plan finds something, and the one that sees it does not. The blind one is the solver itself, given the plan
//! without the constraint.

use std::sync::Arc;

use ampwalk_core::assess::{Finding, assess};
use ampwalk_core::file::{Gravity, parse};
use ampwalk_core::network::Network;
use ampwalk_core::plan::Plan;
use ampwalk_core::rule::Severity;
use ampwalk_core::solve::plan::{Assignment, Wishes, assign};

/// Head A between a near socket N and a far one F, each on a circuit of its own behind an RCD of its own. B and D are
/// for those constraints that take more than one head.
const PLAN: &str = r#"
ampwalk = 1
[location]
region = "au"
board = "found"
[supply.house]
kind = "mains"
wiring = "star"
limit_a = 100
[rcd.RN]
rated_ma = 30
[rcd.RF]
rated_ma = 30
[circuit.CN]
supply = "house"
line = "L1"
breaker_a = 20
rcd = "RN"
[circuit.CF]
supply = "house"
line = "L2"
breaker_a = 20
rcd = "RF"
[floor.ground]
level = 0
[room.hall]
floor = "ground"
[socket.N]
room = "hall"
at = [0, 0]
circuit = "CN"
outlet = "au-10"
test = "ok"
ways = 4
plate_a = 40
ramp = { held_ma = 20, tripped_ma = 25 }
[socket.F]
room = "hall"
at = [20, 0]
circuit = "CF"
outlet = "au-10"
test = "ok"
ways = 4
plate_a = 40
ramp = { held_ma = 20, tripped_ma = 25 }
[cable.c]
length_m = 10
mm2 = 2.5
[cable.d]
length_m = 30
mm2 = 2.5
[head.A]
amps = 4
leak_ma = 1
room = "hall"
at = [1, 0]
[head.B]
amps = 4
leak_ma = 1
room = "hall"
at = [2, 0]
[head.D]
amps = 4
leak_ma = 1
room = "hall"
at = [3, 0]
[setup.day]
minutes = 60
on = ["A", "B", "D"]
"#;

fn network(text: &str) -> Network {
    let parsed = parse(text);
    let errors: Vec<_> = parsed.problems.iter().filter(|problem| problem.gravity != Gravity::Note).collect();
    assert!(errors.is_empty(), "{errors:?}\n{text}");
    Network::of(Arc::new(parsed.plan))
}

fn solved(text: &str) -> Assignment {
    assign(&network(text), Wishes::default(), &mut |_| true)
}

/// The rules of the hard findings with the placements of `answer` in the plan.
fn hard(text: &str, answer: &Assignment) -> Vec<&'static str> {
    let mut plan: Plan = (*network(text).plan).clone();
    for (id, head) in &mut plan.heads {
        head.placement.clone_from(&answer.network.plan.heads[id].placement);
    }
    let is_hard = |finding: &&Finding| {
        finding.severity >= Severity::Dark && finding.rule.id != "head-unplaced"
            || ["drop-high", "breaker-may-over", "chain-long", "socket-untested"].contains(&finding.rule.id)
    };
    let found = assess(&Network::of(Arc::new(plan))).findings;
    found.iter().filter(is_hard).map(|finding| finding.rule.id).collect()
}

/// Holds that the plan with these keys in it is placed without the rule being broken, and that the answer of a solver
/// that does not see them breaks it.
#[track_caller]
fn minds(rule: &str, keys: &[(&str, &str)]) {
    minds_in(PLAN, rule, keys);
}

#[track_caller]
fn minds_in(blind: &str, rule: &str, keys: &[(&str, &str)]) {
    let whole = keys.iter().fold(blind.to_owned(), |text, (from, to)| {
        assert!(text.contains(from), "{from}");
        text.replacen(from, to, 1)
    });
    let seeing = solved(&whole);
    assert_eq!(hard(&whole, &seeing), Vec::<&str>::new(), "{:?}", seeing.moves);
    assert!(!seeing.moves.is_empty(), "something is placed");
    let broken = hard(&whole, &solved(blind));
    assert!(broken.contains(&rule), "a solver blind to it breaks {broken:?}");
}

#[test]
fn amps_of_a_breaker() {
    minds("breaker-over", &[("breaker_a = 20", "breaker_a = 10")]);
}

#[test]
fn amps_of_a_long_run() {
    // 0.8 · 15 = 12 A for three hours and more (NEC 210.20(A)): 13 A of A and B go on it for an hour only.
    let us = PLAN
        .replace("\"au\"", "\"us\"")
        .replace("au-10", "us-15")
        .replace("breaker_a = 20", "breaker_a = 15")
        .replace("amps = 4", "amps = 4.4");
    minds_in(&us, "breaker-over", &[("minutes = 60", "minutes = 240")]);
}

#[test]
fn amps_that_others_draw() {
    minds("breaker-over", &[("rcd = \"RN\"", "rcd = \"RN\"\nbase = [{ name = \"fridge\", amps = 15 }]")]);
}

#[test]
fn plugs_that_do_not_fit() {
    minds("outlet-over", &[("[head.A]\namps = 4", "[head.A]\nplug = \"au-15\"\namps = 4")]);
}

#[test]
fn amps_of_an_outlet() {
    minds("outlet-over", &[("[head.A]\namps = 4", "[head.A]\namps = 12")]);
}

#[test]
fn amps_of_a_distribution_box() {
    // 12 A through an outlet of 10 A that the box with CN hangs on.
    let boxed = PLAN.replacen("supply = \"house\"\nline = \"L1\"", "from = \"X\"\nline = \"L1\"", 1).replace(
        "[socket.N]",
        "[circuit.CX]\nsupply = \"house\"\nline = \"L1\"\nbreaker_a = 32\nrcd = \"RN\"\n[socket.X]\nroom = \"hall\"\n\
             circuit = \"CX\"\noutlet = \"au-20\"\ntest = \"ok\"\n[socket.N]",
    );
    minds_in(&boxed, "outlet-over", &[("au-20", "au-10")]);
}

#[test]
fn amps_of_a_plate() {
    minds("plate-over", &[("plate_a = 40", "plate_a = 10")]);
}

#[test]
fn amps_of_a_line() {
    minds("main-over", &[("limit_a = 100", "limit_a = 10")]);
}

#[test]
fn kilowatts_of_a_contract() {
    // 12 A · 230 V = 2.76 kW.
    minds("contract-over", &[("limit_a = 100", "limit_a = 100\ncontract_kw = 2")]);
}

#[test]
fn power_of_a_generator() {
    let set = PLAN.replace(
        "kind = \"mains\"\nwiring = \"star\"\nlimit_a = 100",
        "kind = \"generator\"\nearth = \"bonded\"\nkva = 20",
    );
    let set = set.replace("line = \"L1\"\n", "").replace("line = \"L2\"\n", "");
    minds_in(&set, "generator-over", &[("kva = 20", "kva = 2")]);
}

#[test]
fn ways_of_a_socket() {
    minds("socket-full", &[("ways = 4", "ways = 2")]);
}

#[test]
fn leads_on_the_truck() {
    minds("cable-short", &[("length_m = 10\nmm2 = 2.5", "length_m = 10\nmm2 = 2.5\ncount = 2")]);
}

#[test]
fn the_reach_of_a_lead() {
    minds("cable-short", &[("length_m = 10", "length_m = 2.5")]);
}

#[test]
fn volts_lost_on_a_lead() {
    minds(
        "drop-high",
        &[("length_m = 10\nmm2 = 2.5", "length_m = 100\nmm2 = 0.75"), ("[cable.d]", "[cable.d]")],
    );
}

#[test]
fn standing_leakage_of_an_rcd() {
    // 15 mA of A and 1 each of B and D behind one that held 10.
    minds(
        "rcd-standing",
        &[("ramp = { held_ma = 20, tripped_ma = 25 }", "ramp = { held_ma = 2, tripped_ma = 25 }")],
    );
}

#[test]
fn the_peak_while_heads_are_struck() {
    minds(
        "rcd-trips",
        &[
            ("[head.A]\namps = 4", "[head.A]\nstrike_ma = 21\namps = 4"),
            ("tripped_ma = 25", "tripped_ma = 22"),
        ],
    );
}

#[test]
fn what_the_tester_said() {
    minds("socket-unsafe", &[("test = \"ok\"", "test = \"reversed\"")]);
}

#[test]
fn sockets_that_nobody_tested() {
    minds("socket-untested", &[("test = \"ok\"", "test = \"untested\"")]);
}

#[test]
fn sockets_that_are_banned() {
    minds("socket-banned", &[("test = \"ok\"", "test = \"ok\"\nban = \"not ours\"")]);
}

#[test]
fn sockets_without_an_rcd() {
    minds("rcd-absent", &[("breaker_a = 20\nrcd = \"RN\"", "breaker_a = 20")]);
}

#[test]
fn rcds_that_are_too_coarse() {
    minds("rcd-coarse", &[("rated_ma = 30", "rated_ma = 100")]);
}

#[test]
fn volts_of_a_socket() {
    minds("volts-wrong", &[("[head.A]\namps = 4", "[head.A]\nvolts = 110\namps = 4")]);
}

#[test]
fn hours_of_a_circuit() {
    let timed = PLAN.replace("minutes = 60", "start = \"23:00\"\nminutes = 60");
    minds_in(&timed, "hours-out", &[("breaker_a = 20", "breaker_a = 20\nhours = [\"06:00\", \"22:00\"]")]);
}

#[test]
fn dimmers() {
    minds("dimmed", &[("breaker_a = 20", "breaker_a = 20\ndimmer_w = 600")]);
}

#[test]
fn pinned_heads() {
    // D burns far off, and a move of it would bring A to light: a circuit of 4 A there, and one of 8 A here for B and D.
    let tight = PLAN
        .replacen("breaker_a = 20", "breaker_a = 8", 1)
        .replace("line = \"L2\"\nbreaker_a = 20", "line = \"L2\"\nbreaker_a = 10")
        .replace("[head.A]\namps = 4", "[head.A]\namps = 10")
        .replace("[head.D]\n", "[head.D]\nsocket = \"F\"\nleads = [\"d\"]\n");
    let is_moved = |text: &str| {
        let answer = solved(text);
        answer.moves.iter().any(|moved| answer.network.head_id(moved.head).as_str() == "D")
    };
    assert!(is_moved(&tight));
    assert!(!is_moved(&tight.replace("[head.D]\n", "[head.D]\npinned = true\n")));
}

#[test]
fn two_sources_side_by_side() {
    // Heads within 2 m of each other: near it is the house for two of them, and the far circuit is a generator's.
    let apart = PLAN.replacen("breaker_a = 20", "breaker_a = 8", 1);
    let set = [
        ("supply = \"house\"\nline = \"L2\"", "supply = \"set\""),
        ("[rcd.RN]", "[supply.set]\nkind = \"generator\"\nkva = 20\nearth = \"bonded\"\n[rcd.RN]"),
    ];
    minds_in(&apart, "two-sources", &set);
}
