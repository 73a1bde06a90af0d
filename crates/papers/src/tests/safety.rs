//! The record of handing back: what the plan says is on it, and nothing is called certified.

use crate::{Basis, Sheet, Value, safety_sheet};

use super::table::{cell, is, part, says};
use super::{HALL, read};

fn sheet(text: &str) -> Sheet {
    let (network, assessment) = read(text);
    safety_sheet(&network, &assessment)
}

#[test]
fn the_record_is_the_one_that_was_looked_at_and_kept() {
    let text = sheet(HALL).to_text(80);
    assert_eq!(text, include_str!("safety-80.txt"), "new text:\n{text}");
}

#[test]
fn what_was_found_switched_off_tested_and_tripped_is_on_it() {
    let all = sheet(HALL);
    let of = |name: &str| part(all.clone(), name);
    says(cell(&of("defect"), "G4", "tester indicates", ""), "indicates active and neutral swapped");
    is(cell(&of("defect"), "G4", "loop", "ohm"), 0.6, Basis::Measured);
    assert_eq!(of("defect").rows.len(), 1);
    says(cell(&of("restore"), "fridge", "off for", ""), "setup day, ramp test at G1");
    assert_eq!(of("restore").rows.len(), 1);
    assert_eq!(cell(&of("restore"), "fridge", "restored at", "").value, Value::Blank);
    is(cell(&of("ramp"), "G3", "held", "mA"), 15.0, Basis::Measured);
    is(cell(&of("ramp"), "G3", "tripped at", "mA"), 20.0, Basis::Measured);
    says(cell(&of("trip"), "2026-03-02T14:05:00", "device", ""), "RA");
    says(cell(&of("trip"), "2026-03-02T14:05:00", "one reset", ""), "held");
    says(cell(&of("forbidden"), "G6", "because", ""), "hand dryer");
    says(cell(&of("keep-on"), "P3", "never off, no ramp test, because", ""), "till");
    for name in ["meter before, kWh", "meter after, kWh", "signature, date"] {
        assert!(all.fields.iter().any(|field| field.name == name && field.value.is_none()), "{name}");
    }
}

#[test]
fn nothing_is_certified() {
    let text = sheet(HALL).to_text(80);
    assert!(text.contains("indicates"));
    assert!(!text.contains("certified") && !text.contains(" safe "), "{text}");
}
