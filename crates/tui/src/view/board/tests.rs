use std::fmt::Write as _;

use super::*;
use crate::view::sample::{HOUSE, House, survives_every_size};

#[test]
fn trouble_is_named_first_in_words() {
    let lines = House::usual().drawn(draw, 80, 20, 0);
    assert!(lines[0].starts_with(" Day interior  AC 2 A OVER · RA MAY DROP 7 in 10"), "{}", lines[0]);
}

#[test]
fn the_tree_hangs_from_the_supply_over_rcds_to_circuits() {
    let lines = House::usual().drawn(draw, 120, 36, 0);
    let at = |start: &str| {
        let found = lines.iter().position(|line| line.trim_start_matches('▸').starts_with(start));
        found.unwrap_or_else(|| panic!("{start} in {lines:#?}"))
    };
    let order = [
        at("house mains"),
        at("   RA RCD"),
        at("     P1 ground west"),
        at("     P2"),
        at("     P4"),
        at("   RB RCD"),
        at("     P3"),
        at("     AC"),
    ];
    assert!(order.is_sorted(), "{lines:#?}");
}

#[test]
fn a_circuit_tells_its_amps_its_base_loads_and_who_may_switch_them_off() {
    let house = House::usual();
    let text = house.drawn(draw, 120, 40, 0).join("\n");
    // By hand: 0.5 A base + C 1350/(230·0.98) = 5.99 A + D 620/(230·0.95) = 2.84 A.
    assert!(text.contains("9.3 of 20 A"), "{text}");
    assert!(text.contains("10.7 A free"), "{text}");
    assert!(text.contains("house: fridge 0.7 A: its owner agreed that it may be off"), "{text}");
    assert!(text.contains("house: oven 1.4 A: stays on unless its owner agrees"), "{text}");
    assert!(text.contains("house: pump 1 A, leaks 2 mA: stays on unless"), "{text}");
    assert!(text.contains("MUST STAY ON: sump pump"), "{text}");
    assert!(text.contains("live 06:00 to 22:00 only"), "{text}");
}

#[test]
fn an_rcd_tells_what_it_darkens_its_room_and_its_odds() {
    let text = House::usual().drawn(draw, 120, 40, 1).join("\n");
    assert!(text.contains("darkens P1, P2 and P4 over 2 floors"), "{text}");
    assert!(text.contains("30 mA type A · ramp-tested"), "{text}");
    assert!(text.contains("MAY DROP 7 in 10"), "{text}");
    assert!(text.contains("13.5 of 10 to 15 mA"), "{text}");
}

#[test]
fn untraced_sockets_count_wherever_they_may_be() {
    let text = House::usual().drawn(draw, 120, 45, 0).join("\n");
    assert!(text.contains("with E, not traced"), "{text}");
    assert!(text.contains("may be on P1, P2, P4 or 2 others"), "{text}");
}

#[test]
fn forty_columns_keep_state_and_number() {
    let lines = House::usual().drawn(draw, 40, 20, 1);
    let text = lines.join("\n");
    let rcd = lines.iter().position(|line| line.contains("RA RCD")).unwrap();
    assert!(lines[rcd].contains("MAY DROP"), "{text}");
    assert!(lines[rcd + 1].contains("13.5 of 10 to 15 mA, none left"), "{text}");
    assert!(text.contains("more below"), "{text}");
}

#[test]
fn boxes_and_plugged_rcds_hang_under_their_socket() {
    let text = r#"ampwalk = 1
[location]
region = "eu"
board = "found"
[supply.grid]
kind = "mains"
wiring = "star"
limit_a = 35
[rcd.R0]
rated_ma = 300
[rcd.R1]
behind = "R0"
[rcd.PR]
class = "portable"
[circuit.M]
supply = "grid"
line = "L1-L2-L3"
breaker_a = 32
rcd = "R0"
[circuit.W1]
from = "X32"
line = "L1"
breaker_a = 16
[circuit.K]
supply = "grid"
line = "L2"
breaker_a = 16
rcd = "R1"
[floor.f]
level = 0
[room.r]
floor = "f"
[socket.X32]
room = "r"
outlet = "cee-32"
circuit = "M"
test = "ok"
[socket.S]
room = "r"
circuit = "K"
test = "ok"
portable_rcd = "PR"
[head.A]
amps = 5
socket = "S"
[setup.s]
minutes = 60
on = ["A"]
"#;
    let lines = House::of(text).drawn(draw, 100, 30, 0);
    let all = lines.join("\n");
    let indent = |word: &str| {
        let line = lines.iter().find(|line| line.contains(word)).unwrap_or_else(|| panic!("{word}: {all}"));
        line.trim_start_matches('▸').len() - line.trim_start_matches('▸').trim_start().len()
    };
    assert!(indent("R0 RCD") < indent("R1 RCD"), "{all}");
    assert!(indent("R1 RCD") < indent("PR plugged in at S"), "{all}");
    assert!(indent("box on X32") < indent("W1  "), "{all}");
    for line in ["phase L1", "phase L2", "phase L3"] {
        assert!(all.contains(line), "{line} in {all}");
    }
}

#[test]
fn a_four_pole_rcd_tells_what_is_left_where_its_lines_cancel() {
    let board = |poles: &str| {
        let mut text = format!(
            "ampwalk = 1\n[location]\nregion = \"eu\"\nboard = \"found\"\n[supply.grid]\nkind = \"mains\"\n\
             wiring = \"star\"\n[rcd.R0]\nrated_ma = 30\n{poles}\n[floor.f]\nlevel = 0\n[room.r]\nfloor = \"f\"\n"
        );
        for (line, leak) in [("L1", 7.0), ("L2", 3.5), ("L3", 3.5)] {
            write!(
                text,
                "[circuit.C{line}]\nsupply = \"grid\"\nline = \"{line}\"\nbreaker_a = 16\nrcd = \"R0\"\n"
            )
            .unwrap();
            write!(text, "[socket.S{line}]\nroom = \"r\"\ncircuit = \"C{line}\"\ntest = \"ok\"\n").unwrap();
            write!(text, "[head.H{line}]\namps = 2\nleak_ma = {leak}\nsocket = \"S{line}\"\n").unwrap();
        }
        text.push_str("[setup.s]\nminutes = 60\non = [\"HL1\", \"HL2\", \"HL3\"]\n");
        House::of(&text).said(draw, 120, 30, 0)
    };
    // By hand: 7 mA against 3.5 and 3.5, a third of a turn each: 3.5 mA.
    let four = board("poles = 4");
    assert!(four.contains("14 mA lit; at best 3.5 mA lit, as the lines partly cancel"), "{four}");
    let two = board("poles = 2");
    assert!(two.contains("14 mA lit") && !two.contains("at best"), "{two}");
}

#[test]
fn every_row_has_a_subject_and_numbers_a_topic() {
    let house = House::usual();
    let scene = house.scene(0);
    assert_eq!(rows(&scene), 9);
    assert!((0..rows(&scene)).all(|row| subject(&scene, row).is_some()));
    assert!(matches!(topic(&scene, 0), Some(Topic::SupplyLine(_))));
    assert!(matches!(topic(&scene, 1), Some(Topic::RcdPeak(_))));
    assert!(matches!(topic(&scene, 2), Some(Topic::CircuitAmps(_))));
    assert_eq!(topic(&scene, 99), None);
}

#[test]
fn an_empty_plan_says_the_next_step() {
    let text = House::of("ampwalk = 1\n[location]\nregion = \"au\"\n").said(draw, 40, 20, 0);
    assert!(text.contains("Next: :new "), "{text}");
}

#[test]
fn deep_nesting_is_listed_and_not_followed_for_ever() {
    let mut text = HOUSE.to_owned();
    for level in 0..30 {
        let from = if level == 0 { "U2".to_owned() } else { format!("N{}", level - 1) };
        write!(text, "[circuit.C{level}]\nfrom = \"{from}\"\nbreaker_a = 10\n[socket.N{level}]\nroom = \"landing\"\ncircuit = \"C{level}\"\n").unwrap();
    }
    let house = House::of(&text);
    let scene = house.scene(0);
    let circuits = (0..rows(&scene)).filter(|row| matches!(subject(&scene, *row), Some(Subject::Circuit(_))));
    assert_eq!(circuits.count(), 35);
}

#[test]
fn it_survives_every_size() {
    survives_every_size(draw);
}
