use super::*;
use crate::view::sample::{House, survives_every_size};

#[test]
fn heads_without_a_socket_come_first_then_the_order() {
    let lines = House::usual().drawn(draw, 40, 20, 0);
    assert!(lines[0].starts_with(" Day interior  from 09:00 · 240 min"), "{lines:#?}");
    assert_eq!(lines[1], " NOT PLUGGED IN");
    assert!(lines[2].starts_with("▸B  NOT PLUGGED IN  6 A"), "{lines:#?}");
    assert_eq!(lines[3], " STRIKE IN THIS ORDER, one at a time");
    assert!(lines[4].starts_with(" 1  A  at G7"), "{lines:#?}");
    assert!(lines[4].ends_with("hot 10 min"), "{lines:#?}");
}

#[test]
fn a_step_tells_amps_and_leakage_in_forty_columns() {
    let lines = House::usual().drawn(draw, 40, 30, 0);
    let text = lines.join("\n");
    let step = lines.iter().position(|line| line.contains("C  at G1 by a10")).unwrap();
    // By hand: 0.5 A base + 1350/(230·0.98) = 5.99 A; q 3.5 + x 10 mA.
    assert!(lines[step + 1].contains("P1 6.5 of 20 A"), "{text}");
    assert!(lines[step + 2].contains("RA MAY DROP 7 in 10  13.5 mA, 3.5 lit"), "{text}");
    assert!(!text.contains('…'), "{text}");
    // A on a 10 A breaker: 2700/(230·0.98) = 11.98 A.
    assert!(text.contains("AC 2 A OVER  12 of 10 A"), "{text}");
}

#[test]
fn wider_screens_show_a_step_on_one_line() {
    let lines = House::usual().drawn(draw, 120, 36, 0);
    let line = lines.iter().find(|line| line.contains("C  at G1 by a10")).unwrap();
    assert!(
        line.contains("P1 6.5 of 20 A") && line.contains("RA MAY DROP 7 in 10  13.5 mA, 3.5 lit"),
        "{line}"
    );
}

#[test]
fn the_row_under_the_cursor_tells_where_and_how_long_it_stays_dark() {
    let house = House::usual();
    let scene = house.scene(0);
    let row = (0..rows(&scene))
        .find(|row| subject(&scene, *row).is_some_and(|subject| subject.id(scene.network) == "C"))
        .unwrap();
    let text = house.said(draw, 80, 20, row);
    assert!(text.contains("Ground floor, Living room"), "{text}");
    assert!(text.contains("if it loses power hot: dark for 8 min"), "{text}");
    assert!(matches!(topic(&scene, row), Some(Topic::RcdPeak(_))));
    assert!(matches!(topic(&scene, 0), Some(Topic::HeadAmps(_))));
}

#[test]
fn untraced_heads_and_trips_are_told() {
    let text = House::usual().drawn(draw, 80, 40, 0).join("\n");
    assert!(text.contains("NOT TRACED: P1, P2, P4 or 2 others"), "{text}");
    assert!(text.contains("2026-03-02 14:05:00 · RA went · C struck last · reset held"), "{text}");
    assert!(text.contains("never more than two"), "{text}");
}

#[test]
fn an_empty_plan_says_the_next_step() {
    let text = House::of("ampwalk = 1\n[location]\nregion = \"au\"\n").said(draw, 40, 20, 0);
    assert!(text.contains("No setup yet. Next:"), "{text}");
}

#[test]
fn it_survives_every_size() {
    survives_every_size(draw);
}
