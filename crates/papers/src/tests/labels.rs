//! Labels against what was worked by hand.

use crate::{Basis, Table, label_sheet};

use super::table::{cell, is, part, says};
use super::{HALL, read};

fn labels(text: &str) -> Table {
    let (network, assessment) = read(text);
    part(label_sheet(&network, &assessment, network.setup("day")), "label")
}

#[test]
fn the_labels_are_those_that_were_looked_at_and_kept() {
    let (network, assessment) = read(HALL);
    let text = label_sheet(&network, &assessment, network.setup("day")).to_text(80);
    assert_eq!(text, include_str!("labels-80.txt"), "new text:\n{text}");
}

#[test]
fn a_socket_that_nobody_may_use_says_no_and_why() {
    let labels = labels(HALL);
    says(cell(&labels, "G4", "use", ""), "NO: active and neutral swapped");
    says(cell(&labels, "G5", "use", ""), "NO: no RCD of 30 mA or less is known before it");
    says(cell(&labels, "G6", "use", ""), "NO: hand dryer");
    says(cell(&labels, "G10", "use", ""), "NO: not tested");
    for no in ["G4", "G5", "G6", "G10"] {
        assert_eq!(cell(&labels, no, "free now", "A").value, crate::Value::Empty, "{no}");
    }
}

#[test]
fn an_rcd_that_protects_no_person_makes_a_no() {
    let coarse = HALL.replace("[rcd.RB]\nrated_ma = 30", "[rcd.RB]\nrated_ma = 100");
    says(cell(&labels(&coarse), "G3", "use", ""), "NO: no RCD of 30 mA or less is known before it");
    says(cell(&labels(HALL), "G3", "use", ""), "as planned");
}

#[test]
fn what_is_free_is_the_least_of_outlet_and_breaker() {
    // G2: a 10 A outlet with 2 A on it has 8 A; P2 has 16 - 2 = 14 A. With a breaker of 6 A: 4 A.
    is(cell(&labels(HALL), "G2", "free now", "A"), 8.0, Basis::Assumed);
    let small = HALL.replace(
        "[circuit.P2]\nsupply = \"house\"\nbreaker_a = 16",
        "[circuit.P2]\nsupply = \"house\"\nbreaker_a = 6",
    );
    is(cell(&labels(&small), "G2", "free now", "A"), 4.0, Basis::Assumed);
    says(cell(&labels(HALL), "G1", "heads", ""), "H1 H2");
}
