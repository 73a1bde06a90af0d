//! The cable pull list against what was worked by hand.

use crate::{Basis, Sheet, cable_sheet};

use super::table::{cell, is, part, says};
use super::{HALL, read};

fn sheet(text: &str) -> Sheet {
    let (network, assessment) = read(text);
    cable_sheet(&network, &assessment)
}

#[test]
fn the_list_is_the_one_that_was_looked_at_and_kept() {
    let text = sheet(HALL).to_text(80);
    assert_eq!(text, include_str!("cables-80.txt"), "new text:\n{text}");
}

#[test]
fn what_is_short_is_counted_in_the_setup_that_asks_for_most() {
    // By day H1 and H10 each hang on a c10, by night H1 alone: 2 needed, 1 there, 1 short.
    let leads = part(sheet(HALL), "lead");
    is(cell(&leads, "c10", "needed", "pcs"), 2.0, Basis::Plan);
    is(cell(&leads, "c10", "on truck", "pcs"), 1.0, Basis::Plan);
    is(cell(&leads, "c10", "short", "pcs"), 1.0, Basis::Plan);
    is(cell(&leads, "c10", "rating", "A"), 10.0, Basis::Plan);
    says(cell(&leads, "c10", "most in", ""), "day");
    is(cell(&leads, "c20", "needed", "pcs"), 0.0, Basis::Plan);
    is(cell(&leads, "four", "needed", "pcs"), 1.0, Basis::Plan);
    says(cell(&leads, "four", "most in", ""), "night");
}

#[test]
fn a_run_has_what_is_spare_and_what_is_lost() {
    // H1 at (2, 1) from (0, 0): 3 m and 2 m for the ends. H10 at (12, 4) from (10, 0): 6 m and 2 m.
    let runs = part(sheet(HALL), "run");
    is(cell(&runs, "H1", "needed", "m"), 5.0, Basis::Plan);
    is(cell(&runs, "H1", "spare", "m"), 5.0, Basis::Plan);
    is(cell(&runs, "H10", "needed", "m"), 8.0, Basis::Plan);
    is(cell(&runs, "H10", "spare", "m"), 2.0, Basis::Plan);
    // 1.5 mm² has 13.3 ohm a km at 20 °C (IEC 60228 table 3, class 5), at 70 °C 1 + 0.00393 x 50 times that:
    // 15.91. There and back over 10 m: 0.3183 ohm; 2 A on 230 V lose 0.64 V, 0.28 %.
    is(cell(&runs, "H10", "drop", "%"), 0.2775, Basis::Assumed);
}

#[test]
fn a_block_that_two_heads_share_is_counted_once() {
    let text = HALL
        .replace("tail_m = 3\nsocket = \"G1\"", "socket = \"G1\"\nleads = [\"c20\", \"four\"]")
        .replace("socket = \"G1\"\nleads = [\"c10\"]", "socket = \"G1\"\nleads = [\"c20\", \"four\"]");
    let leads = part(sheet(&text), "lead");
    // By day H1 and H2 share one of each; by night H1 has them, and H11 a block of its own.
    is(cell(&leads, "four", "needed", "pcs"), 2.0, Basis::Plan);
    is(cell(&leads, "four", "short", "pcs"), 1.0, Basis::Plan);
    is(cell(&leads, "c20", "needed", "pcs"), 1.0, Basis::Plan);
    says(cell(&leads, "c20", "for heads", ""), "H1 H2");
    is(cell(&leads, "c10", "short", "pcs"), 0.0, Basis::Plan);
}

#[test]
fn lengths_are_told_in_the_unit_that_the_crews_there_speak() {
    // 10 m are 32.81 international feet of 0.3048 m.
    let text = HALL.replace("region = \"au\"", "region = \"us\"");
    is(cell(&part(sheet(&text), "lead"), "c10", "length", "ft"), 32.808, Basis::Plan);
}
