//! Another program writes the open plan, or an earlier run left edits that it could not save.

use super::*;
use crate::model::Saved;
use crate::outside::Unsaved;

const TOUCHED: &str = "# walked with the caretaker";

/// Another program makes this of the plan as it was opened.
fn writes(desk: &mut Desk, number: u64, theirs: &str) {
    desk.event(Event::Changed { number, before: fixture::HOUSE.to_owned(), theirs: Ok(theirs.to_owned()) });
}

fn with_new_head() -> String {
    format!("{}\n[head.Z]\nwatts = 40\n", fixture::HOUSE)
}

fn last_save(desk: &Desk) -> Option<(&str, u64)> {
    desk.effects.iter().rev().find_map(|effect| match effect {
        Effect::Save { text, seen } => Some((text.as_str(), *seen)),
        _ => None,
    })
}

#[test]
fn what_another_program_wrote_elsewhere_is_taken_over_with_a_word_and_one_step_back() {
    let mut desk = Desk::house();
    desk.keys("k");
    let mine = desk.model.document.text().to_owned();
    assert_ne!(mine, fixture::HOUSE);
    writes(&mut desk, 1, &with_new_head());
    desk.says("Another program changed head.Z: taken over; u takes it back");
    let text = desk.model.document.text().to_owned();
    assert!(text.contains("[head.Z]") && text.contains("pinned = true"), "{text}");
    assert_eq!(last_save(&desk), Some((text.as_str(), 1)));
    desk.keys("u");
    assert_eq!(desk.model.document.text(), mine);
    desk.keys("u");
    assert_eq!(desk.model.document.text(), fixture::HOUSE);
}

#[test]
fn a_line_that_is_being_typed_stays_as_it_is_and_nobody_is_asked_in_the_middle_of_it() {
    let mut desk = Desk::house();
    desk.keys("n").types("Y led-300");
    writes(&mut desk, 1, &with_new_head());
    desk.shows("> Y led-300");
    desk.says("taken over");
    assert!(desk.model.document.text().contains("[head.Z]"));
    desk.keys("enter");
    assert!(desk.model.document.text().contains("[head.Y]"));
    // Now what both changed.
    let before = desk.model.document.text().to_owned();
    desk.model.document.replace(before.replace(TOUCHED, "# mine"), "by hand");
    desk.event(Event::Changed {
        number: 2,
        before: before.clone(),
        theirs: Ok(before.replace(TOUCHED, "# theirs")),
    });
    desk.types("X led-300").keys("enter");
    assert!(desk.model.document.text().contains("[head.X]"));
    desk.keys("esc");
    desk.shows("Changed here and by another program: 1 part");
}

#[test]
fn nothing_is_taken_over_under_a_trip_that_is_being_worked_through() {
    let mut desk = Desk::house();
    desk.keys("!");
    writes(&mut desk, 1, &with_new_head());
    assert!(!desk.model.document.text().contains("[head.Z]"));
    desk.keys("esc");
    desk.says("taken over");
    assert!(desk.model.document.text().contains("[head.Z]"));
}

#[test]
fn a_head_in_hand_is_put_back_when_the_plan_changes_under_it() {
    let mut desk = Desk::house();
    desk.keys("enter");
    assert!(desk.in_hand().is_some());
    writes(&mut desk, 1, &with_new_head());
    assert_eq!(desk.in_hand(), None);
    desk.says("taken over");
}

#[test]
fn what_both_changed_is_shown_side_by_side_and_taken_as_chosen() {
    let mine = |desk: &mut Desk| {
        desk.keys("k");
        let text = desk.model.document.text().to_owned();
        let at = text.find("pinned = true").unwrap();
        let header = text[..at].rfind("[head.").unwrap();
        text[header..].lines().next().unwrap().to_owned()
    };
    let mut desk = Desk::house();
    let header = mine(&mut desk);
    let theirs =
        fixture::HOUSE.replace(&header, &format!("{header}\nname = \"theirs\"")) + "\n[head.Z]\nwatts = 40\n";
    writes(&mut desk, 3, &theirs);
    desk.shows("Changed here and by another program: 1 part");
    desk.shows("yours: TAKEN");
    desk.shows("the file's: left out");
    desk.shows("name = \"theirs\"");
    let saves = desk.effects.len();
    // The other side, and back by another key.
    desk.keys("tab");
    desk.shows("yours: left out");
    desk.keys("left tab enter");
    let text = desk.model.document.text().to_owned();
    assert!(
        text.contains("name = \"theirs\"") && !text.contains("pinned = true") && text.contains("[head.Z]")
    );
    assert_eq!(last_save(&desk), Some((text.as_str(), 3)));
    assert!(desk.effects.len() > saves);
    desk.keys("u");
    assert!(desk.model.document.text().contains("pinned = true"), "mine again");
}

#[test]
fn put_off_nothing_is_saved_over_it_and_the_next_edit_asks_again() {
    let mut desk = Desk::house();
    desk.keys("k");
    let theirs = fixture::HOUSE.replace(TOUCHED, "# theirs");
    desk.model.document.replace(fixture::HOUSE.replace(TOUCHED, "# mine"), "by hand");
    writes(&mut desk, 1, &theirs);
    desk.shows("▸location");
    desk.keys("esc");
    assert!(matches!(desk.model.saved, Saved::Failed(_)));
    desk.shows("NOT SAVED");
    desk.says("the next edit asks again".replace("the next", "The next").as_str());
    desk.keys("down");
    assert!(desk.model.layers.is_empty());
    desk.keys("k");
    // What is kept meanwhile has not seen theirs, so the host writes it into the journal only.
    assert_eq!(last_save(&desk).unwrap().1, 0);
    desk.shows("▸location");
    // They write again meanwhile.
    desk.event(Event::Changed { number: 2, before: theirs.clone(), theirs: Ok(theirs + "# more\n") });
    desk.keys("enter");
    assert!(desk.model.document.text().contains("# mine"));
    assert!(desk.model.document.text().contains("# more"));
    assert_eq!(last_save(&desk).unwrap().1, 2);
}

#[test]
fn half_a_file_is_not_taken_over_and_its_place_is_told() {
    let mut desk = Desk::house();
    writes(&mut desk, 1, "ampwalk = 1\n[half");
    desk.says("its line 2, column 6, cannot be read");
    assert_eq!(desk.model.document.text(), fixture::HOUSE);
    desk.event(Event::Changed {
        number: 2,
        before: "ampwalk = 1\n[half".to_owned(),
        theirs: Ok(with_new_head()),
    });
    desk.says("taken over");
    assert_eq!(desk.model.document.text(), with_new_head());
    desk.event(Event::Changed {
        number: 3,
        before: with_new_head(),
        theirs: Err("it is not UTF-8 at byte 3".to_owned()),
    });
    desk.says("it is not UTF-8 at byte 3");
}

#[test]
fn a_plan_that_is_open_elsewhere_is_looked_at_and_follows() {
    let opening = Opening {
        text: fixture::HOUSE.to_owned(),
        file_name: "house.toml".to_owned(),
        size: (80, 24),
        held_by: Some("a spark on the truck, process 7".to_owned()),
        ..Opening::default()
    };
    let mut desk = Desk::with(Model::open(opening));
    desk.says("it is open elsewhere (a spark on the truck, process 7)");
    desk.shows("read only");
    desk.keys("k");
    assert_eq!(desk.model.document.text(), fixture::HOUSE);
    desk.says("Only to be looked at");
    desk.keys("f");
    writes(&mut desk, 1, &with_new_head());
    assert_eq!(desk.model.document.text(), with_new_head());
    assert!(!desk.model.document.can_undo());
    desk.event(Event::Free);
    desk.says("it is yours to edit");
    desk.keys("k");
    assert!(desk.model.document.text().contains("pinned = true"));
    assert_eq!(last_save(&desk).unwrap().1, 1);
}

#[test]
fn what_an_earlier_run_could_not_save_is_shown_as_it_would_change_the_file() {
    let found = |text: String| Event::Found(Unsaved { before: fixture::HOUSE.to_owned(), text });
    let mut desk = Desk::house();
    desk.event(found(with_new_head()));
    desk.shows("Not saved when the program ended: 1 part of the plan");
    desk.shows("+ [head.Z]");
    desk.shows("+ watts = 40");
    desk.keys("enter");
    assert_eq!(desk.model.document.text(), with_new_head());
    desk.says("What was not saved is in the plan; u takes it back");
    assert_eq!(last_save(&desk), Some((with_new_head().as_str(), 0)));
    let mut desk = Desk::house();
    desk.event(found(with_new_head()));
    desk.keys("esc");
    assert_eq!(desk.effects, [Effect::SetAside(with_new_head())]);
    assert_eq!(desk.model.document.text(), fixture::HOUSE);
}

#[test]
fn what_was_not_saved_and_was_changed_since_is_chosen_part_by_part() {
    let mut desk = Desk::house();
    let before = fixture::HOUSE.replace(TOUCHED, "# before");
    let text = fixture::HOUSE.replace(TOUCHED, "# not saved") + "\n[head.Z]\nwatts = 40\n";
    desk.event(Event::Found(Unsaved { before, text }));
    desk.keys("enter");
    desk.shows("Not saved, and changed in the file since: 1 part");
    desk.keys("tab enter");
    let text = desk.model.document.text();
    assert!(text.contains(TOUCHED) && text.contains("[head.Z]"), "{text}");
}

#[test]
fn both_are_drawn_at_every_size_and_copied_as_text() {
    for size in [(0, 0), (3, 200), (200, 3), (20, 10), (40, 15), (80, 24), (160, 50)] {
        for number in [0, 1] {
            let mut desk = Desk::opened(fixture::HOUSE, size, Origin::File);
            let mine = fixture::HOUSE.replace(TOUCHED, "# 私の\u{202e} mine");
            let theirs = fixture::HOUSE.replace(TOUCHED, "# theirs");
            if number == 0 {
                desk.event(Event::Found(Unsaved { before: theirs.clone(), text: mine }));
            } else {
                desk.model.document.replace(mine, "by hand");
                writes(&mut desk, 1, &theirs);
            }
            assert_eq!(desk.screen().lines().count(), usize::from(size.1));
            assert!(!desk.screen().contains('\u{202e}'));
            desk.keys("down up c");
            let copied = desk
                .effects
                .iter()
                .any(|effect| matches!(effect, Effect::Copy(text) if text.contains("mine")));
            assert!(copied);
        }
    }
}
