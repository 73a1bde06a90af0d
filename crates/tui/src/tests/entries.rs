//! The whole plan entry by entry: keys, names, taking out, and all of it back.

use super::*;
use crate::ask::Question;
use crate::layer::Layer;

/// With a form open: asks for the value of a key, wherever it stands there.
fn ask_for(desk: &mut Desk, wanted: &str) {
    let rows = crate::view::last_row(&desk.model);
    for _ in 0..=rows {
        desk.keys("enter");
        if let Some(Layer::Ask(ask)) = desk.model.layers.last()
            && matches!(&ask.question, Question::Key { key, .. } if *key == wanted)
        {
            return;
        }
        desk.keys("esc down");
    }
    panic!("no key {wanted} in\n{}", desk.screen());
}

#[test]
fn a_key_is_changed_on_its_form_and_undo_gives_the_bytes_back() {
    let mut desk = Desk::house();
    desk.keys("2 down down E");
    desk.shows("Keys of circuit");
    let before = desk.model.document.text().to_owned();
    ask_for(&mut desk, "breaker_a");
    desk.keys("ctrl-u").types("16 A").keys("enter");
    desk.says("breaker_a of circuit");
    assert!(desk.model.document.text().contains("breaker_a = 16"), "{}", desk.model.document.text());
    desk.keys("u");
    assert_eq!(desk.model.document.text(), before);
}

#[test]
fn a_wrong_value_is_refused_where_it_is_typed_and_nothing_changes() {
    let mut desk = Desk::house();
    let before = desk.model.document.text().to_owned();
    desk.keys("2 down down E");
    ask_for(&mut desk, "breaker_a");
    desk.keys("ctrl-u").types("20000").keys("enter");
    desk.shows("No: ");
    assert_eq!(desk.model.document.text(), before);
    desk.keys("ctrl-u").types("many").keys("enter");
    desk.shows("expected a number from 0.5 to 1000 A");
    desk.keys("esc esc");
    assert!(desk.model.layers.is_empty());
    assert_eq!(desk.model.document.text(), before);
}

#[test]
fn the_names_that_there_are_are_offered_and_can_be_chosen() {
    let mut desk = Desk::house();
    desk.keys("2 down down E");
    ask_for(&mut desk, "rcd");
    desk.keys("ctrl-u").shows("as typed");
    desk.types("rb");
    desk.keys("down enter");
    desk.says("rcd of circuit");
    assert!(desk.model.document.text().contains("rcd = \"RB\""));
}

#[test]
fn a_new_name_goes_wherever_the_old_one_was() {
    let mut desk = Desk::house();
    desk.keys("i").shows("The whole plan");
    desk.keys("esc 2 down down R");
    desk.shows("A new name for circuit");
    let Some(Layer::Ask(ask)) = desk.model.layers.last() else { panic!("{}", desk.screen()) };
    let old = ask.prompt.input.value().to_owned();
    assert!(desk.model.document.text().contains(&format!("circuit = \"{old}\"")));
    desk.keys("ctrl-u").types("Q9").keys("enter");
    let text = desk.model.document.text();
    assert!(text.contains("[circuit.Q9]") && text.contains("circuit = \"Q9\""), "{text}");
    assert!(!text.contains(&format!("circuit = \"{old}\"")), "{text}");
    desk.keys("R ctrl-u").types("two words").keys("enter").shows("No: ");
}

#[test]
fn what_is_taken_out_is_gone_with_its_mentions_and_undo_brings_it_back() {
    let mut desk = Desk::house();
    let before = desk.model.document.text().to_owned();
    desk.keys("D");
    desk.says("is taken out");
    assert_ne!(desk.model.document.text(), before);
    assert!(desk.model.document.problems().is_empty(), "{:?}", desk.model.document.problems());
    desk.keys("u");
    assert_eq!(desk.model.document.text(), before);
}

#[test]
fn nothing_that_others_need_is_taken_out() {
    let mut desk = Desk::house();
    let before = desk.model.document.text().to_owned();
    desk.keys("2 D");
    assert_eq!(desk.model.document.text(), before);
    assert!(!desk.model.message.text.is_empty());
}
