//! A plan in a later format on the screens.

use super::*;
use crate::later_version::later_plan;

#[test]
fn a_later_plan_is_shown_with_a_clear_word_and_nothing_changes_it() {
    let (home, plan) = own_plan();
    fs::write(&plan, later_plan()).unwrap();
    let mut session = Session::start(home.path(), &[&plan], &[]);
    session.wait_for_text("read only");
    session.wait_for_text("Only to be looked at: line 9, column 11: the plan is in format 2");
    // The word goes with the next key, and comes again where something would be changed.
    session.press("2");
    session.wait_for("the board", |screen| {
        let words = screen.contents();
        words.contains("BOARD") && !words.contains("Only to be looked at")
    });
    session.press("3");
    session.wait_for_text("PLOT");
    session.press("k");
    session.wait_for_text("Only to be looked at: line 9, column 11");
    session.press("p");
    session.wait_for_text("LATER VERSION");
    session.press("\u{1b}");
    session.wait_for("the list closed", |screen| !screen.contents().contains("LATER VERSION"));
    for screen in ["1", "2", "4", "5", "3"] {
        session.press(screen);
        session.wait_for_text("read only");
    }
    session.press("q");
    assert!(session.end().success());
    session.is_given_back();
    assert_eq!(fs::read_to_string(&plan).unwrap(), later_plan());
}
