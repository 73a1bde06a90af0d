//! Picking up, dropping, unplugging, and taking it all back.

use proptest::prelude::*;

use super::*;
use crate::model::Saved;

fn saves(desk: &Desk) -> Vec<&str> {
    let texts = desk.effects.iter().filter_map(|effect| match effect {
        Effect::Save { text, .. } => Some(text.as_str()),
        _ => None,
    });
    texts.collect()
}

#[test]
fn enter_picks_up_the_head_that_is_not_placed_and_chooses_the_socket_that_fits() {
    let mut desk = Desk::house();
    assert_eq!(desk.socket_of("A"), None);
    desk.keys("enter");
    // A has a 15 A plug, and G7 is the only 15 A outlet.
    assert_eq!(desk.in_hand(), Some(("A".into(), "G7".into())));
    desk.shows("FITS");
    desk.shows("no: plug");
    desk.shows("then  AC 12 of 20 A");
    assert!(saves(&desk).is_empty(), "looking changes nothing");
}

#[test]
fn a_drop_changes_the_text_saves_it_and_says_what_became_of_the_verdict() {
    let mut desk = Desk::house();
    desk.keys("enter enter");
    assert_eq!(desk.socket_of("A"), Some("G7".into()));
    desk.says("A on G7 by b20 in Day interior");
    desk.says("; still DARK, RCD RA");
    let text = desk.model.document.text().to_owned();
    assert!(text.contains("socket = \"G7\""), "{text}");
    assert!(text.contains("# walked with the caretaker"));
    assert_eq!(saves(&desk), [text.as_str()]);
    assert_eq!(desk.model.saved, Saved::Saving(1));
    desk.shows("saving");
    desk.event(Event::Saved(Ok(())));
    assert!(desk.model.document.is_saved());
    desk.shows(" saved");
    // The next head that is not placed is under the cursor.
    desk.keys("enter");
    assert_eq!(desk.in_hand().unwrap().0, "B");
}

#[test]
fn a_warning_goes_when_the_head_is_moved() {
    let mut desk = Desk::house();
    desk.keys("enter enter");
    desk.shows("C discharge-1k2   G1");
    desk.shows("RA DROPS");
    desk.keys("/").types("c").keys("enter enter");
    assert_eq!(desk.in_hand().unwrap().0, "C");
    desk.keys("/").types("g6").keys("enter");
    assert_eq!(desk.in_hand(), Some(("C".into(), "G6".into())));
    desk.keys("enter");
    assert_eq!(desk.socket_of("C"), Some("G6".into()));
    desk.says("; now ");
    assert!(!desk.screen().contains("RA DROPS"), "{}", desk.screen());
}

#[test]
fn escape_puts_back_and_nothing_has_changed() {
    let mut desk = Desk::house();
    desk.keys("enter tab tab esc");
    assert_eq!(desk.in_hand(), None);
    desk.says("A is still not placed");
    desk.keys("down down enter esc");
    desk.says("C is back on G1");
    assert_eq!(desk.model.document.text(), fixture::HOUSE);
    assert!(saves(&desk).is_empty());
}

#[test]
fn escape_never_leaves_and_q_does_at_once() {
    let mut desk = Desk::house();
    desk.keys("esc esc enter esc esc : esc ? esc esc esc");
    assert!(desk.effects.is_empty());
    desk.says("q leaves");
    desk.keys("q");
    assert_eq!(desk.effects, [Effect::Quit]);
    let mut typing = Desk::house();
    typing.keys(": q");
    assert!(typing.effects.is_empty(), "a letter that is typed is a letter");
    typing.keys("ctrl-c ctrl-z");
    assert_eq!(typing.effects, [Effect::Quit, Effect::Suspend]);
}

#[test]
fn unplugging_asks_nothing_and_can_be_undone() {
    let mut desk = Desk::house();
    desk.keys("/").types("E").keys("enter x");
    assert_eq!(desk.socket_of("E"), None);
    desk.says("E unplugged from G3 in Day interior and Dinner");
    desk.shows("3 not placed");
    desk.keys("x");
    desk.says("E is not plugged in");
    desk.keys("u");
    assert_eq!(desk.socket_of("E"), Some("G3".into()));
    desk.says("Taken back: Unplug E");
    assert_eq!(desk.model.document.text(), fixture::HOUSE);
}

#[test]
fn undo_to_the_start_restores_every_byte_and_redo_brings_it_all_back() {
    let mut desk = Desk::house();
    desk.keys("enter enter enter enter");
    desk.keys("/").types("E").keys("enter x k s x o enter tab o");
    let changed = desk.model.document.text().to_owned();
    assert_ne!(changed, fixture::HOUSE);
    let steps = saves(&desk).len();
    assert!(steps >= 4, "{steps}");
    for _ in 0..steps {
        desk.keys("u");
    }
    assert_eq!(desk.model.document.text(), fixture::HOUSE);
    desk.keys("u");
    desk.says("Nothing to take back");
    for _ in 0..steps {
        desk.keys("U");
    }
    assert_eq!(desk.model.document.text(), changed);
    desk.keys("U");
    desk.says("Nothing to make again");
}

#[test]
fn a_drop_for_this_setup_only_leaves_the_others_alone() {
    let mut desk = Desk::house();
    desk.keys("/").types("E").keys("enter enter");
    desk.keys("/").types("G5").keys("enter o");
    assert_eq!(desk.socket_of("E"), Some("G5".into()));
    desk.says("in Day interior only");
    desk.keys("S");
    assert_eq!(desk.socket_of("E"), Some("G3".into()), "Dinner keeps the head's own socket");
}

#[test]
fn where_a_setup_has_its_own_socket_enter_changes_that_one() {
    let mut desk = Desk::house();
    desk.keys("s");
    assert_eq!(desk.socket_of("C"), Some("G5".into()));
    desk.keys("/").types("C").keys("enter enter");
    desk.keys("/").types("G6").keys("enter enter");
    assert_eq!(desk.socket_of("C"), Some("G6".into()));
    desk.says("C on G6 by a20 in Bedroom night");
    desk.keys("x");
    assert_eq!(desk.socket_of("C"), None);
    desk.says("in Bedroom night only");
    desk.keys("S");
    assert_eq!(desk.socket_of("C"), Some("G1".into()));
}

#[test]
fn a_socket_that_can_hurt_is_no_trap_and_says_so_where_it_is_chosen() {
    let mut desk = Desk::house();
    desk.keys("/").types("E").keys("enter enter");
    desk.keys("/").types("U3").keys("enter");
    desk.shows("NEVER");
    desk.shows("Upstairs");
    let screen = desk.screen().to_lowercase();
    assert!(screen.contains("active and neutral"), "{screen}");
    desk.keys("enter");
    assert_eq!(desk.socket_of("E"), Some("U3".into()), "the crew decides");
    desk.says("DANGER");
    desk.says("tell the owner");
    desk.shows("DANGER");
}

#[test]
fn pinning_is_an_edit_like_any_other() {
    let mut desk = Desk::house();
    desk.keys("/").types("D").keys("enter k");
    assert!(desk.model.document.text().contains("pinned = true"));
    desk.says("D is pinned");
    desk.keys("k");
    desk.says("may be moved");
    desk.keys("u u");
    assert_eq!(desk.model.document.text(), fixture::HOUSE);
}

#[test]
fn a_file_that_is_no_toml_or_of_a_later_version_is_shown_and_not_changed() {
    let broken = fixture::HOUSE.replace("minutes = 120", "minutes = = 120");
    let later = fixture::HOUSE.replace("ampwalk = 1", "ampwalk = 99");
    for text in [broken, later] {
        let mut desk = Desk::of(&text);
        desk.shows("read only");
        desk.says("line ");
        desk.keys("enter x k u U");
        desk.keys("/").types("E").keys("enter x");
        desk.says("Only to be looked at: line ");
        assert_eq!(desk.model.document.text(), text);
        assert!(saves(&desk).is_empty());
    }
}

#[test]
fn a_save_that_fails_is_said_until_one_works() {
    let mut desk = Desk::house();
    desk.keys("enter enter");
    desk.event(Event::Saved(Err("the disk is full".into())));
    desk.says("Not saved: the disk is full");
    desk.keys("down");
    desk.shows("NOT SAVED");
    desk.keys("u");
    desk.event(Event::Saved(Ok(())));
    assert_eq!(desk.model.saved, Saved::Saved);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 60, ..ProptestConfig::default() })]

    #[test]
    fn random_keys_never_panic_and_undoing_all_restores_the_text(
        keys in prop::collection::vec(
            prop::sample::select(vec![
                "enter", "enter", "enter", "esc", "tab", "backtab", "up", "down", "left", "right", "x", "o", "t", "w",
                "s", "S", "k", "/", "u", "U", ":", "?", "[", "]", "f", "1", "2", "3", "3", "4", "5", "p", "g", "c",
                "home", "end", "pageup", "pagedown", "ctrl-z", "backspace", "E", "y", "j",
            ]),
            1..60,
        ),
        width in 0u16..130,
        height in 0u16..50,
    ) {
        let mut desk = Desk::opened(fixture::HOUSE, (width, height), Origin::Demo);
        for key in &keys {
            desk.keys(key);
            desk.screen();
        }
        desk.keys("ctrl-c");
        desk.model.layers.clear();
        desk.model.plot.held = None;
        while desk.model.document.can_undo() {
            desk.keys("u");
        }
        prop_assert_eq!(desk.model.document.text(), fixture::HOUSE);
    }
}
