//! Figures of the sheet against figures worked by hand.

use crate::{Basis, Cell, Table, Value};

use super::table::{cell, is, is_whole, part as part_of};
use super::{QUAY, YARD, sheet};

fn table(part: &str) -> Table {
    part_of(sheet(QUAY, "dusk"), part)
}

#[test]
fn a_circuit_has_the_sums_that_are_worked_by_hand() {
    // K 1350 W / (230 V × 0.98) = 5.99 A, L 2.5 A measured, freezer 1.5 A, the sign is off: 9.99 A.
    // U 330 W / (230 V × 0.95) = 1.51 A may be on it: 11.50 A. L runs up to 4 A.
    // Left: (32 − 11.4997) A × 230 V = 4715.08 W.
    // K leaks 3.5 mA and 10 mA more while it strikes, L 1 mA: struck K, L. Room: √(20² + 2²) − 2.
    let circuits = table("circuit");
    let figure = |heading, unit| cell(&circuits, "C1", heading, unit);
    is(figure("running", "A"), 9.99, Basis::Assumed);
    is(figure("may be", "A"), 11.50, Basis::Assumed);
    is(figure("limit", "A"), 32.0, Basis::Plan);
    is(figure("k", "of In"), 1.0, Basis::Plan);
    is(figure("left", "A"), 20.50, Basis::Assumed);
    is(figure("left", "W"), 4715.08, Basis::Assumed);
    is(figure("base", "A"), 1.5, Basis::Plan);
    is(figure("peak striking", "A"), 5.99 + 1.5 + 4.0, Basis::Assumed);
    is(figure("holds", "mA"), 18.10, Basis::Measured);
    is(figure("peak striking", "mA"), 13.5, Basis::Assumed);
    is(figure("left", "mA"), 18.10 - 13.5, Basis::Assumed);
    assert_eq!(figure("base is", "").value, Value::Text("freezer, sign (off)".to_owned()));
}

#[test]
fn what_the_plan_leaves_out_is_marked_as_assumed_and_what_it_says_is_not() {
    let circuits = table("circuit");
    is(cell(&circuits, "C2", "breaker In", "A"), 20.0, Basis::Assumed);
    is(cell(&circuits, "C2", "running", "A"), 2.0, Basis::Plan);
    is(cell(&circuits, "C3", "running", "A"), 0.0, Basis::Plan);
    is(cell(&circuits, "C3", "may be", "A"), 1.51, Basis::Assumed);
    assert_eq!(cell(&circuits, "C3", "base", "A").value, Value::Empty);
    let rcds = table("rcd");
    is(cell(&rcds, "RA", "rated", "mA"), 30.0, Basis::Plan);
    // The sign leaked nobody knows how much in the ramp test and is off now, so the test gives no
    // upper end: the rating does, 30 mA less the freezer's 2.
    is(cell(&rcds, "RA", "drops at", "mA"), 28.0, Basis::Plan);
    is(cell(&rcds, "RB", "rated", "mA"), 30.0, Basis::Assumed);
    is(cell(&rcds, "RB", "holds", "mA"), 15.0, Basis::Assumed);
}

#[test]
fn every_number_says_what_it_rests_on_and_every_row_has_a_cell_a_column() {
    for table in sheet(QUAY, "dusk").tables {
        assert!(!table.rows.is_empty(), "{}", table.part);
        is_whole(&table);
    }
}

#[test]
fn the_state_of_a_row_is_a_word_of_the_verdict() {
    let words = ["clear", "note", "risk", "dark", "danger"];
    for table in sheet(QUAY, "dusk").tables {
        let Some(place) = table.columns.iter().position(|column| column.heading == "state") else {
            continue;
        };
        for row in &table.rows {
            assert!(matches!(&row.cells[place].value, Value::Text(word) if words.contains(&word.as_str())));
        }
    }
}

#[test]
fn the_footers_of_three_lines_have_the_neutral_and_the_set_has_its_kva() {
    // 2300 W on L1 and 1150 W on L2 at 230 V: 10 A and 5 A, 120° apart. The neutral of two such:
    // √(10² + 5² − 10·5) = 8.66 A. 3.45 kVA of 20: 17.25 %. 20 kVA over three lines: 28.99 A each.
    let lines = part_of(sheet(YARD, "night"), "line");
    let running: Vec<(&Value, &Cell)> =
        lines.rows.iter().map(|row| (&row.cells[1].value, &row.cells[2])).collect();
    let names: Vec<&Value> = running.iter().map(|(name, _)| *name).collect();
    let text = |name: &str| Value::Text(name.to_owned());
    assert_eq!(names, [&text("L1"), &text("L2"), &text("L3"), &text("neutral")]);
    for ((_, cell), amps) in running.iter().zip([10.0, 5.0, 0.0, 75.0_f64.sqrt()]) {
        is(cell, amps, Basis::Plan);
    }
    is(&lines.rows[0].cells[4], 20_000.0 / 690.0, Basis::Assumed);
    let supplies = part_of(sheet(YARD, "night"), "supply");
    is(cell(&supplies, "set", "power", "kVA"), 3.45, Basis::Plan);
    is(cell(&supplies, "set", "plate", "kVA"), 20.0, Basis::Plan);
    is(cell(&supplies, "set", "of plate", "%"), 17.25, Basis::Plan);
}
