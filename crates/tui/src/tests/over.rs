//! Lists, texts and prompts over the screens; every command by its key or name.

use super::*;
use crate::command::{COMMANDS, Context};
use ampwalk_core::explain::{Topic, explain};

use crate::keymap::Keymap;
use crate::layer::Layer;

#[test]
fn the_palette_finds_a_command_and_runs_it() {
    let mut desk = Desk::house();
    desk.keys(":").types("next set");
    desk.shows("next setup");
    desk.keys("enter");
    desk.shows("2/3");
    desk.keys(":").types("theme").keys("enter");
    assert_eq!(desk.model.theme, Theme::Light);
    desk.keys(":").types("put back").keys("enter");
    desk.says("works elsewhere");
    desk.keys(":").types("qqqq").keys("enter");
    desk.says("No command is called qqqq");
    assert!(desk.model.layers.is_empty());
}

#[test]
fn a_typed_line_can_be_mended_and_pasted_into() {
    let mut desk = Desk::house();
    desk.keys(":").types("undx").keys("backspace").types("o");
    desk.shows(": undo");
    desk.keys("ctrl-u").types("re");
    desk.event(Event::Paste("do\n".into()));
    desk.shows(": redo");
    desk.keys("down up enter");
    desk.says("Nothing to make again");
}

#[test]
fn find_goes_to_a_head_or_a_socket_and_says_where_there_is_none() {
    let mut desk = Desk::house();
    desk.keys("/").types("u2").keys("enter");
    desk.shows("Upstairs  2/2");
    desk.keys("/").types("monit");
    desk.shows("on G5");
    desk.keys("enter");
    assert_eq!(desk.model.plot.head, desk.model.document.network().head("V"));
    desk.keys("/").types("zzzz").keys("enter");
    desk.says("Nothing is called zzzz");
}

#[test]
fn findings_are_listed_worst_first_and_lead_to_what_they_are_about() {
    let mut desk = Desk::house();
    desk.keys("f");
    desk.shows("worst first");
    desk.keys("end home w");
    assert!(matches!(desk.model.layers.last(), Some(Layer::Explanation { .. })));
    desk.shows("Why this number");
    desk.keys("c");
    assert!(matches!(desk.effects.last(), Some(Effect::Copy(text)) if text.contains("mA")));
    desk.keys("esc enter");
    assert!(desk.model.layers.is_empty());
    // The RCD's heaviest head is the one to move.
    assert_eq!(desk.model.plot.head, desk.model.document.network().head("C"));
}

#[test]
fn why_explains_the_number_under_the_cursor_and_why_not_the_socket() {
    let mut desk = Desk::house();
    desk.keys("w");
    desk.shows("Why this number");
    desk.shows("11.98 A");
    desk.keys("esc enter tab t");
    desk.shows("DANGER");
    desk.shows("plug");
    desk.keys("esc");
    assert!(desk.in_hand().is_some(), "the head is still in hand");
    desk.keys("esc ]").keys("right");
    desk.keys("/").types("U3").keys("enter t");
    desk.shows("U3");
}

#[test]
fn with_a_head_in_hand_why_explains_what_would_be_there() {
    let mut desk = Desk::house();
    desk.keys("enter tab w");
    let Some(Layer::Explanation { title, explained, .. }) = desk.model.layers.last().cloned() else {
        panic!("{}", desk.screen());
    };
    let held = desk.model.plot.held.as_ref().unwrap();
    let network = desk.model.document.network();
    let chosen = held.chosen().unwrap();
    assert_eq!(
        title,
        format!("Why, with {} on {}", network.head_id(held.head), network.socket_id(chosen.socket))
    );
    // After the drop the same numbers are explained of the plan itself.
    let socket = chosen.socket;
    desk.keys("esc enter");
    let network = desk.model.document.network();
    let circuit = network.sockets[socket].circuit.unwrap();
    let after = explain(
        network,
        desk.model.document.assessment(),
        desk.model.setup.unwrap(),
        Topic::CircuitAmps(circuit),
    );
    assert!(explained.contains(&after.unwrap()), "{explained:?}");
}

#[test]
fn on_papers_why_explains_the_numbers_of_the_sheet() {
    let mut desk = Desk::house();
    desk.keys("5 home w");
    desk.says("There is no number under the cursor");
    desk.keys("down down w");
    let Some(Layer::Explanation { explained, .. }) = desk.model.layers.last() else {
        panic!("{}", desk.screen());
    };
    let keys: Vec<&str> = explained.iter().map(|told| told.key).collect();
    for key in ["line_a", "kva", "standing_ma", "peak_ma", "amps", "limit_a"] {
        assert!(keys.contains(&key), "{key} in {keys:?}");
    }
}

#[test]
fn help_lists_the_keys_of_where_it_is_asked() {
    let mut desk = Desk::opened(fixture::HOUSE, (100, 60), Origin::File);
    desk.keys("?");
    desk.shows("Keys: Plot");
    desk.shows("Takes the head under the cursor in hand");
    assert!(!desk.screen().contains("Puts the head in hand back"));
    desk.keys("esc enter ?");
    desk.shows("Puts the head in hand back");
}

#[test]
fn a_file_with_problems_opens_and_lists_them() {
    let text = fixture::HOUSE.replace("room = \"laundry\"\nat = [13, 1]", "room = \"attic\"\nat = [13, 1]");
    let mut desk = Desk::of(&text);
    desk.says("p lists them");
    desk.keys("p");
    desk.shows("attic");
    desk.keys("c esc esc");
    assert!(matches!(&desk.effects[..], [Effect::Copy(text)] if text.contains("line ")));
    let mut fine = Desk::house();
    fine.keys("p");
    fine.says("Nothing is wrong with the file");
}

#[test]
fn the_guide_goes_away_as_it_is_followed_and_never_takes_a_key() {
    let mut desk = Desk::opened(fixture::HOUSE, (80, 24), Origin::Demo);
    desk.shows("enter picks up the head under the cursor");
    desk.keys("enter");
    assert!(desk.in_hand().is_some());
    desk.shows("in hand: tab goes on, enter drops");
    desk.keys("tab backtab enter down");
    desk.shows("f lists what is wrong");
    desk.keys("f esc");
    desk.shows("a puts on the heads that are left");
    desk.keys("a esc down");
    desk.shows("! says what to do");
    desk.keys("! esc u down");
    assert!(desk.model.guide.is_over());
    let mut hidden = Desk::opened(fixture::HOUSE, (80, 24), Origin::Demo);
    hidden.keys("g");
    assert!(hidden.model.guide.is_over());
    assert!(Desk::house().model.guide.is_over(), "a plan of one's own has no guide");
}

#[test]
fn keys_that_are_bound_anew_work_and_show() {
    let (keymap, complaints) = Keymap::with_own("pick-up = \"space\"\nundo = [\"ctrl-u\", \"u\"]\n");
    assert!(complaints.is_empty(), "{complaints:?}");
    let mut desk = Desk::house();
    desk.model.keymap = keymap;
    desk.shows("space pick up");
    desk.keys("enter");
    assert_eq!(desk.in_hand(), None);
    desk.types(" ");
    assert!(desk.in_hand().is_some());
}

/// Presses the key of every command, in a context where it works; all of them do something that
/// shows: on the screen, in the model, or in what the host is told.
#[test]
fn every_command_does_something_by_its_key_or_its_name() {
    for command in COMMANDS {
        let mut desk = Desk::opened(fixture::HOUSE, (80, 24), Origin::Demo);
        desk.keys("enter enter");
        match command.when[0] {
            Context::Placing => {
                desk.solver = Solver::WhenTold;
                desk.keys("A")
            }
            Context::Moves => desk.keys("A"),
            Context::Hand => desk.keys("enter tab"),
            Context::Walk if command.when.len() > 1 => desk.keys("down down"),
            Context::Walk => desk.keys("1"),
            Context::List => desk.keys("f"),
            _ => &mut desk,
        };
        match command.id {
            "redo" => {
                desk.keys("u");
            }
            "left" | "previous-socket" => {
                desk.keys("right right");
            }
            "floor-down" => {
                desk.keys("]");
            }
            "complete" => {
                desk.keys("n").types("Z9 disch");
            }
            "clear-key" => {
                desk.keys("E");
            }
            "up-letter" | "page-up" | "first" | "down-letter" | "go-to" | "went-dark" => {
                desk.keys("1 down down");
            }
            "plot" => {
                desk.keys("2");
            }
            "why-not" => {
                desk.keys("enter");
            }
            _ => {}
        }
        let before = (desk.screen(), desk.effects.len());
        match command.keys.first() {
            Some(key) => desk.keys(key),
            None => desk.keys(":").types(command.id).keys("enter"),
        };
        assert_ne!((desk.screen(), desk.effects.len()), before, "{}", command.id);
    }
}
