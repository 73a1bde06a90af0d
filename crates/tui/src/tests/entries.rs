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

#[test]
fn a_surveyed_socket_is_one_line_that_is_echoed_as_it_is_typed() {
    let mut desk = Desk::house();
    desk.keys("1 n").types("G9 living 2x10 ok r15/20 p2?");
    desk.shows("New socket G9: room living");
    desk.shows("15, tripped 20 mA, circuit P2 on the label, not traced.");
    desk.keys("enter");
    desk.says("New socket G9");
    let text = desk.model.document.text();
    assert!(text.contains("[socket.G9]") && text.contains("label = \"P2\""), "{text}");
    // The next socket can be typed at once; esc ends the survey with the cursor on the last one.
    desk.shows("Socket in one line");
    desk.types("G10 dining ok").keys("enter esc");
    assert!(desk.model.layers.is_empty());
    assert!(desk.model.document.text().contains("[socket.G10]"));
    desk.shows("G10");
    desk.keys("u u");
    assert_eq!(desk.model.document.text(), fixture::HOUSE);
}

#[test]
fn a_line_says_what_is_missing_and_takes_the_word_that_was_meant() {
    let mut desk = Desk::house();
    desk.keys("1 n").types("G9 livng");
    desk.shows("not understood");
    desk.keys("enter").shows("No: ");
    assert_eq!(desk.model.document.text(), fixture::HOUSE);
    desk.keys("tab").shows("room living");
    desk.keys("enter");
    assert!(desk.model.document.text().contains("[socket.G9]\nroom = \"living\""));
}

#[test]
fn a_room_that_is_not_there_can_be_added_first() {
    let mut desk = Desk::house();
    desk.keys("1 n").types("G9 cellar");
    let rows = crate::view::last_row(&desk.model);
    assert!(rows > 0, "{}", desk.screen());
    desk.shows("add it first: room cellar");
    for _ in 0..rows {
        desk.keys("down");
        if desk.screen().lines().any(|line| line.contains("\u{25b8} add it first")) {
            break;
        }
    }
    desk.keys("enter").shows("Room in one line");
    desk.types("ground").keys("enter");
    assert!(desk.model.document.text().contains("[room.cellar]"), "{}", desk.screen());
    desk.shows("Socket in one line");
    desk.keys("enter");
    assert!(desk.model.document.text().contains("room = \"cellar\""), "{}", desk.screen());
}

#[test]
fn a_ramp_test_is_entered_at_the_socket_under_the_cursor_with_its_caution() {
    let mut desk = Desk::house();
    desk.keys("1 home r");
    desk.shows("MIND: Everything behind");
    desk.shows("Ask the owner first");
    desk.types("10 ok 15 ok 20 trip").shows("ramp held 15, tripped 20 mA");
    desk.keys("enter");
    desk.says("Ramp test at socket");
    assert!(desk.model.document.text().contains("held_ma = 15, tripped_ma = 20"));
}

#[test]
fn what_went_dark_is_one_line() {
    let mut desk = Desk::house();
    desk.keys("1 d").types("P1 off: G1 G2 dead, G3 live");
    desk.shows("MIND: Everything behind P1 goes dark");
    desk.keys("enter esc");
    let text = desk.model.document.text();
    assert!(text.contains("off = \"P1\"") && text.contains("dead = [\"G1\", \"G2\"]"), "{text}");
}

#[test]
fn a_new_head_is_on_at_once_and_an_entry_can_be_typed_over_as_a_line() {
    let mut desk = Desk::house();
    desk.keys("n").types("Z9 led-600 living @2,2").keys("enter esc");
    let network = desk.model.document.network();
    let head = network.head("Z9").unwrap();
    assert!(network.setups[desk.model.setup.unwrap()].is_on[head]);
    desk.keys("e");
    let Some(Layer::Ask(ask)) = desk.model.layers.last() else { panic!("{}", desk.screen()) };
    assert!(ask.prompt.input.value().starts_with("Z9 led-600"), "{:?}", ask.prompt.input);
    desk.types("650W").keys("enter");
    assert!(desk.model.document.text().contains("watts = 650"), "{}", desk.model.document.text());
}

/// From an empty file to a first plan without an editor.
#[test]
fn a_plan_is_made_from_nothing() {
    let mut desk = Desk::of("ampwalk = 1\n\n[location]\nregion = \"au\"\n");
    let lines = [
        ("new-supply", "house mains 63A"),
        ("new-rcd", "RA 30mA"),
        ("new-circuit", "P1 house C20 RA fridge* 0.65A"),
        ("new-floor", "ground 0"),
        ("new-room", "living ground"),
        ("new-socket", "G1 living 2x10 ok r15/20 P1"),
        ("new-setup", "day 9:00 4h none"),
        ("new-head", "B discharge-1k2 living"),
    ];
    for (command, line) in lines {
        desk.keys(":").types(command).keys("enter").types(line).keys("enter esc");
        assert!(desk.model.document.problems().is_empty(), "{command} {line}: {}", desk.screen());
    }
    let network = desk.model.document.network();
    assert_eq!((network.sockets.len(), network.heads.len(), network.setups.len()), (1, 1, 1));
    desk.keys("3 enter enter");
    assert_eq!(desk.socket_of("B").as_deref(), Some("G1"), "{}", desk.screen());
}

#[test]
fn a_base_load_is_off_for_a_setup_and_on_again() {
    let mut desk = Desk::house();
    desk.keys("2 down down b");
    desk.shows("What the house has on");
    desk.keys("enter");
    desk.says("off, its owner's doing");
    assert!(desk.model.document.text().contains("base_off = ["), "{}", desk.model.document.text());
    desk.keys("b enter");
    desk.says("is on again");
    assert!(!desk.model.document.text().contains("base_off = [\""), "{}", desk.model.document.text());
    desk.keys("u u");
    assert_eq!(desk.model.document.text(), fixture::HOUSE);
}
