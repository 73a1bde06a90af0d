//! Whole sheets, from plans of our own invention.

mod cables;
mod codes;
mod comma;
mod drawing;
mod every;
mod hire;
mod hostile;
mod html;
mod labels;
mod numbers;
mod page;
mod patch;
mod pdf;
mod safety;
mod strike;
mod survey;
mod table;

use std::sync::Arc;

use ampwalk_core::assess::{Assessment, assess};
use ampwalk_core::file::parse;
use ampwalk_core::network::Network;

use crate::{Sheet, load_sheet};

/// A plan with a label nobody proved, base loads, a ramp test and a head that is not placed.
const QUAY: &str = include_str!("tests/quay.toml");

/// A generator with heads on two of its three lines.
const YARD: &str = include_str!("tests/yard.toml");

/// Two RCDs with ramp tests, a truck that is short, defects, a log.
pub(crate) const HALL: &str = include_str!("tests/hall.toml");

pub(crate) fn read(text: &str) -> (Network, Assessment) {
    let parsed = parse(text);
    assert!(parsed.problems.is_empty(), "{:#?}", parsed.problems);
    let network = Network::of(Arc::new(parsed.plan));
    let assessment = assess(&network);
    (network, assessment)
}

fn sheet(text: &str, setup: &str) -> Sheet {
    let (network, assessment) = read(text);
    load_sheet(&network, &assessment, network.setup(setup))
}

#[test]
fn the_text_is_the_one_that_was_looked_at_and_kept() {
    let text = sheet(QUAY, "dusk").to_text(80);
    assert_eq!(text, include_str!("tests/quay-80.txt"), "new text:\n{text}");
}
