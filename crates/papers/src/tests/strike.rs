//! The strike card and its back against what was worked by hand.

use crate::{Basis, Field, Sheet, Table, Value, strike_card};

use super::table::{cell, is, part, says};
use super::{HALL, read};

fn card(text: &str, setup: &str) -> Sheet {
    let (network, assessment) = read(text);
    strike_card(&network, &assessment, network.setup(setup))
}

/// A row by what stands in its second column: the number stands in the first.
fn step<'a>(table: &'a Table, head: &str) -> &'a str {
    let row = table.rows.iter().find(|row| row.cells[1].value == Value::Text(head.to_owned()));
    match &row.expect("the head").cells[0].value {
        Value::Text(number) => number,
        other => panic!("{other:?}"),
    }
}

#[test]
fn the_card_is_the_one_that_was_looked_at_and_kept() {
    let text = card(HALL, "day").to_text(80);
    assert_eq!(text, include_str!("strike-80.txt"), "new text:\n{text}");
}

#[test]
fn each_step_says_what_its_circuit_carries_and_which_one_is_fullest() {
    // H1 strikes with 10 mA more and is first. P1: the sign, 0.5 A, the fridge is off; H1 5.9894 A: 6.49 of
    // 20 A, 32.4 %. H2 2.5 A: 8.99 A, 44.9 %. H10 on P2: 2.0 of 16 A, less than P1.
    let steps = part(card(HALL, "day"), "strike");
    let place = |head| step(&steps, head);
    assert_eq!(place("H1"), "1");
    is(cell(&steps, place("H1"), "after", "A"), 6.489, Basis::Assumed);
    is(cell(&steps, place("H1"), "after", "%"), 32.447, Basis::Assumed);
    is(cell(&steps, place("H2"), "after", "A"), 8.989, Basis::Assumed);
    is(cell(&steps, place("H2"), "after", "%"), 44.947, Basis::Assumed);
    is(cell(&steps, place("H10"), "after", "A"), 2.0, Basis::Plan);
    says(cell(&steps, place("H10"), "circuit", ""), "P2");
    says(cell(&steps, place("H10"), "fullest circuit", ""), "P1");
    let wait = cell(&steps, place("H1"), "then wait", "");
    says(wait, "3 min");
    assert_eq!(wait.basis, Some(Basis::Plan));
    says(cell(&steps, place("H2"), "then wait", ""), "settled");
}

#[test]
fn before_a_circuits_first_head_its_base_loads_and_others_count() {
    // P3: 15 A of others on 16 A, 93.75 %, from the first step on, though no step loads it; P2: 12 A, 75 %,
    // and with H10 14 A, 87.5 %.
    let text = HALL
        .replace("rcd = \"RB\"\nname", "rcd = \"RB\"\nreserve_a = 15\nname")
        .replace("[circuit.P2]", "[circuit.P2]\nreserve_a = 12");
    let steps = part(card(&text, "day"), "strike");
    says(cell(&steps, "1", "fullest circuit", ""), "P3");
    is(cell(&steps, "1", "after", "%"), 93.75, Basis::Plan);
    let steps = part(card(&text.replace("reserve_a = 15\n", ""), "day"), "strike");
    is(cell(&steps, "1", "after", "%"), 75.0, Basis::Plan);
    is(cell(&steps, step(&steps, "H10"), "after", "%"), 87.5, Basis::Plan);
}

#[test]
fn the_back_says_what_goes_dark_what_is_unplugged_and_what_waits() {
    // RA is before P1 and P2, with H1, H2 and H10. H1 leaks 3.5 + 10 mA when struck: it is unplugged first,
    // and so neither relights nor waits. The fridge is off already.
    let dark = part(card(HALL, "day"), "dark");
    says(cell(&dark, "RA", "circuits dark", ""), "P1 P2");
    says(cell(&dark, "RA", "house dark", ""), "sign");
    says(cell(&dark, "RA", "unplug first", ""), "H1");
    is(cell(&dark, "RA", "leaks, struck", "mA"), 13.5, Basis::Assumed);
    says(cell(&dark, "RA", "relight at once", ""), "H2 H10");
    assert_eq!(cell(&dark, "RA", "wait until cold", "").value, Value::Empty);
    assert!(dark.rows.iter().all(|row| row.cells[0].value != Value::Text("RB".to_owned())), "nothing on RB");
    let restrike = part(card(HALL, "day"), "restrike");
    is(cell(&restrike, "H1", "cold after", "min"), 8.0, Basis::Assumed);
    assert_eq!(restrike.rows.len(), 1);
}

#[test]
fn a_hot_head_that_is_not_the_suspect_waits() {
    // H2 leaks more than H1 when struck, so H1 is not unplugged first: it waits its 8 minutes.
    let text =
        HALL.replace("leak_ma = 1\nidle_ma = 0\nstrike_ma = 0", "leak_ma = 1\nidle_ma = 0\nstrike_ma = 14");
    let dark = part(card(&text, "day"), "dark");
    says(cell(&dark, "RA", "unplug first", ""), "H2");
    says(cell(&dark, "RA", "wait until cold", ""), "H1 8 min");
    says(cell(&dark, "RA", "relight at once", ""), "H10");
}

#[test]
fn in_rain_what_stands_outdoors_is_unplugged_first() {
    let text = HALL
        .replace("[socket.G1]", "[room.yard]\nfloor = \"ground\"\noutdoor = true\n\n[socket.G1]")
        .replace("room = \"hall\"\nat = [12, 4]", "room = \"yard\"\nat = [12, 4]")
        .replace("name = \"Day\"", "name = \"Day\"\nweather = \"rain\"");
    says(cell(&part(card(&text, "day"), "dark"), "RA", "unplug first", ""), "H10");
}

#[test]
fn the_card_says_whether_the_board_was_found_and_who_has_its_key() {
    let fields = card(HALL, "day").fields;
    let has = |name: &str, value: Option<&str>| {
        let wanted = Field { name: name.to_owned(), value: value.map(str::to_owned) };
        assert!(fields.contains(&wanted), "{wanted:?} in {fields:?}");
    };
    has("switchboard", Some("locked"));
    has("switchboard is in", None);
    has("key", Some("caretaker, 5 min"));
    let text = card(HALL, "day").to_text(80).replace('\n', " ");
    for words in ["two are the most", "no reset at all", "stays off", "certifies nothing"] {
        assert!(text.contains(words), "{words}: {text}");
    }
}
