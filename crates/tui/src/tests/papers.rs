//! The Papers screen: every sheet as it is printed, and all of them handed out.

use super::*;
use crate::command::Context;
use crate::layer::Layer;
use crate::placing::Wish;

fn lines(desk: &Desk) -> &[String] {
    let Some(Layer::Sheet(shown)) = desk.model.layers.last() else { panic!("{}", desk.screen()) };
    &shown.lines
}

#[test]
fn two_keys_show_each_sheet_as_it_is_printed_and_one_leads_back() {
    let titles = [
        "Survey sheet, socket by socket",
        "Patch sheet",
        "Load sheet, circuit by circuit",
        "Strike card, if dark: see the back",
        "Generator",
        "Cable pull list",
        "Labels",
        "Safety notes and hand-back record",
    ];
    let mut desk = Desk::house();
    desk.keys("5");
    for title in titles {
        desk.keys("enter");
        assert!(lines(&desk)[0].starts_with(title), "{title}: {}", desk.screen());
        assert!(lines(&desk).iter().any(|line| line.contains("licensed electrician")), "{title}");
        desk.shows("more lines below");
        assert_eq!(desk.model.context(), Context::Text);
        desk.keys("esc down");
    }
}

#[test]
fn a_sheet_is_of_the_setup_that_is_looked_at_and_can_be_read_to_its_end_and_copied() {
    let mut desk = Desk::house();
    desk.keys("5 down s enter");
    let setup = desk.model.setup.map(|at| desk.model.document.network().setup_id(at).to_string()).unwrap();
    desk.shows(&format!("Patch of {setup}"));
    desk.keys("end");
    let last = lines(&desk).iter().rev().find(|line| !line.is_empty()).unwrap().clone();
    desk.shows(last.trim());
    desk.keys("c");
    let text = lines(&desk).join("\n");
    assert!(desk.effects.contains(&Effect::Copy(text)));
}

#[test]
fn a_sheet_follows_the_size_of_the_terminal() {
    let mut desk = Desk::house();
    desk.keys("5 down enter");
    let wide = lines(&desk).len();
    desk.event(Event::Resize { width: 44, height: 24 });
    assert!(lines(&desk).len() > wide);
    assert!(lines(&desk).iter().all(|line| crate::text::width(line) <= 42));
    desk.event(Event::Resize { width: 160, height: 50 });
    assert!(lines(&desk).iter().all(|line| crate::text::width(line) <= 100));
}

#[test]
fn one_key_hands_all_of_them_out_and_says_where() {
    let mut desk = Desk::house();
    desk.solver = Solver::WhenTold;
    let before = desk.model.document.text().to_owned();
    desk.keys("5 o");
    desk.shows("WRITING the sheets beside the plan");
    let request = desk.question.take().expect("asked");
    assert_eq!((request.wish, request.text.as_str()), (Wish::HandOut, before.as_str()));
    let outcome = Ok("4 of 12 sheets have a new letter, in house-papers".to_owned());
    desk.event(Event::HandedOut { request: request.clone(), outcome });
    desk.says("4 of 12 sheets have a new letter, in house-papers");
    assert!(desk.model.layers.is_empty());
    // Somebody who does not wait any more is not told.
    desk.keys("o");
    let second = desk.question.take().expect("asked");
    desk.keys("esc");
    desk.event(Event::HandedOut { request: second, outcome: Err("the disk is full".to_owned()) });
    desk.says("Stopped: nothing was changed");
    desk.keys("o");
    let third = desk.question.take().expect("asked");
    desk.event(Event::HandedOut { request: third, outcome: Err("the disk is full".to_owned()) });
    desk.says("the disk is full");
    assert!(desk.effects.contains(&Effect::Bell));
    assert_eq!(desk.model.document.text(), before);
}

#[test]
fn something_that_went_is_asked_for_from_a_sheet_too() {
    let mut desk = Desk::house();
    desk.keys("5 down enter !");
    assert_eq!(desk.model.context(), Context::Went);
}
