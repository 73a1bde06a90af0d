use super::*;
use crate::view::sample::{House, survives_every_size};

#[test]
fn counts_come_first_and_the_worst_room_next() {
    let lines = House::usual().drawn(draw, 80, 20, 0);
    let top = crate::view::sample::flat(&lines[..2]);
    assert!(top.contains("12 power points: 11 tested, 1 not · 1 unsafe · 1 untraced"), "{top}");
    assert!(top.contains("1 of 6 labels wrong"), "{top}");
    let room = lines.iter().position(|line| line.contains("Upstairs, Café 客厅")).unwrap();
    assert!(lines[room + 1].starts_with("▸U3"), "{lines:#?}");
    assert!(lines[room + 1].contains("UNSAFE: active and neutral swapped"), "{lines:#?}");
}

#[test]
fn a_row_tells_its_ramp_its_circuit_and_a_wrong_label() {
    let lines = House::usual().drawn(draw, 120, 36, 0);
    let row = |id: &str| {
        lines
            .iter()
            .find(|line| line.trim_start_matches(['▸', ' ']).starts_with(id))
            .unwrap_or_else(|| panic!("{id} {lines:#?}"))
    };
    assert!(row("G1").contains("held 10, tripped 15"), "{}", row("G1"));
    assert!(row("G1").contains("2 × au-10"), "{}", row("G1"));
    assert!(row("G3").contains("LABEL WRONG") && row("G3").contains("P1: wrong"), "{}", row("G3"));
    assert!(row("U4").contains("NOT TO BE USED: the owner's aquarium"), "{}", row("U4"));
    assert!(row("U5").contains("P1, P2, P4 or 2 others?"), "{}", row("U5"));
    assert!(row("U6").contains("NOT TESTED"), "{}", row("U6"));
}

#[test]
fn what_a_tester_cannot_see_is_said() {
    let text = House::usual().said(draw, 80, 20, 0);
    assert!(
        text.contains("cannot see a poor earth, neutral and earth swapped, or a false earth (HSE)"),
        "{text}"
    );
}

fn row_of(house: &House, id: &str) -> usize {
    let scene = house.scene(0);
    (0..rows(&scene))
        .find(|row| subject(&scene, *row).is_some_and(|subject| subject.id(scene.network) == id))
        .unwrap()
}

#[test]
fn the_safety_line_stands_where_the_ramp_test_is_decided() {
    let house = House::usual();
    let text = house.said(draw, 80, 20, row_of(&house, "G1"));
    assert!(text.contains("Before a ramp test: everything behind RA goes dark (P1, P2 and P4)"), "{text}");
    assert!(text.contains("Ask the owner first"), "{text}");
}

#[test]
fn where_something_must_stay_on_no_ramp_test_is_proposed() {
    let house = House::usual();
    let text = house.said(draw, 80, 20, row_of(&house, "G5"));
    assert!(
        text.contains("NO RAMP TEST HERE: it would take down, or may, what must stay on: P3 (sump pump)"),
        "{text}"
    );
    assert!(!text.contains("Before a ramp test"), "{text}");
}

#[test]
fn before_the_board_is_found_no_ramp_test_is_proposed() {
    let house = House::of(&crate::view::sample::HOUSE.replace("board = \"found\"\n", ""));
    let text = house.said(draw, 80, 20, row_of(&house, "G1"));
    assert!(text.contains("No ramp test before the switchboard is found"), "{text}");
}

#[test]
fn forty_columns_keep_the_outcome_and_the_row_under_the_cursor_tells_the_rest() {
    let house = House::usual();
    let lines = house.drawn(draw, 40, 20, row_of(&house, "G1"));
    let text = crate::view::sample::flat(&lines);
    assert!(text.contains("▸G1"), "{text}");
    assert!(text.contains("ramp, mA held 10, tripped 15"), "{text}");
}

#[test]
fn an_empty_plan_says_the_next_step() {
    let text = House::of("ampwalk = 1\n[location]\nregion = \"us\"\n").said(draw, 60, 20, 0);
    assert!(text.contains("Next: :new "), "{text}");
    assert!(!text.contains("power point"), "{text}");
}

#[test]
fn the_topic_of_a_row_is_the_room_on_its_rcd() {
    let house = House::usual();
    let row = row_of(&house, "G1");
    assert!(matches!(topic(&house.scene(row), row), Some(Topic::RcdRoom(_))));
}

#[test]
fn it_survives_every_size() {
    survives_every_size(draw);
}
