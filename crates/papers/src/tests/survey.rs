//! The survey sheet against the plan that it is of.

use ampwalk_core::import::Sheet as Entries;

use crate::{Sheet, survey_sheet};

use super::table::{cell, part, says};
use super::{HALL, read};

fn sheet(text: &str) -> Sheet {
    let (network, _) = read(text);
    survey_sheet(&network, text, Entries::Sockets)
}

#[test]
fn the_survey_is_the_one_that_was_looked_at_and_kept() {
    let text = sheet(HALL).to_text(80);
    assert_eq!(text, include_str!("survey-80.txt"), "new text:\n{text}");
}

#[test]
fn what_the_testers_said_is_on_it() {
    let sockets = part(sheet(HALL), "socket");
    says(cell(&sockets, "G4", "tester", ""), "reversed");
    says(cell(&sockets, "G6", "ban", ""), "hand dryer");
    says(cell(&sockets, "G3", "RCD", ""), "RB");
}
