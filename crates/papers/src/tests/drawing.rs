//! Floors to scale against what was worked by hand.

use ampwalk_core::import::Sheet as Entries;

use crate::{Drawing, MarkKind, patch_sheet, survey_sheet};

use super::{HALL, read};

/// The hall with boxes: x from 0 to 12, y from 0 to 8; beside it the wash, from 12 to 15 and 4 to 8.
fn boxed() -> String {
    HALL.replace("name = \"Great hall\"", "name = \"Great hall\"\nbox = [0, 0, 12, 8]")
        .replace("wet = true", "wet = true\nbox = [12, 4, 3, 4]")
}

fn patch(text: &str) -> Vec<Drawing> {
    let (network, assessment) = read(text);
    patch_sheet(&network, &assessment, network.setup("day")).drawings
}

fn mark(drawing: &Drawing, name: &str) -> (MarkKind, (f64, f64)) {
    let mark = drawing.marks.iter().find(|mark| mark.name == name);
    let mark = mark.unwrap_or_else(|| panic!("no mark {name}"));
    (mark.kind, mark.at)
}

#[test]
fn up_the_plan_is_up_the_paper() {
    // A metre of paper around 15 by 8 m; the top of the paper is y = 9, its left x = -1.
    let [floor] = <[Drawing; 1]>::try_from(patch(&boxed())).expect("one floor");
    assert_eq!(floor.size, (17.0, 10.0));
    assert_eq!(floor.title, "Floor ground");
    let room = |name: &str| floor.rooms.iter().find(|room| room.name == name).expect("the room");
    assert_eq!((room("Great hall").corner, room("Great hall").size), ((1.0, 1.0), (12.0, 8.0)));
    assert_eq!((room("wash").corner, room("wash").size), ((13.0, 1.0), (3.0, 4.0)));
    // G1 stands at (0, 0), below; G3 at (0, 8), above. H10 at (12, 4), H1 at (2, 1).
    assert_eq!(mark(&floor, "G1"), (MarkKind::Used, (1.0, 9.0)));
    assert_eq!(mark(&floor, "G3"), (MarkKind::Used, (1.0, 1.0)));
    assert_eq!(mark(&floor, "G4"), (MarkKind::Forbidden, (6.0, 4.0)));
    assert_eq!(mark(&floor, "H10"), (MarkKind::Head, (13.0, 5.0)));
    assert_eq!(floor.scale, (5.0, "5 m".to_owned()));
}

#[test]
fn leads_go_from_socket_to_head_and_what_has_no_place_is_told() {
    let [floor] = <[Drawing; 1]>::try_from(patch(&boxed())).expect("one floor");
    let leads: Vec<_> = floor.leads.iter().map(|lead| (lead.head.as_str(), lead.from, lead.to)).collect();
    let expected =
        [("H1", (1.0, 9.0), (3.0, 8.0)), ("H2", (1.0, 9.0), (2.0, 9.0)), ("H10", (11.0, 9.0), (13.0, 5.0))];
    assert_eq!(leads, expected);
    assert_eq!(floor.not_drawn, ["G5", "G6", "G10", "head H11 in Great hall"]);
}

#[test]
fn a_free_socket_is_told_from_a_forbidden_one() {
    // Without H11 nothing is plugged into G3, which is tested and behind a 30 mA RCD.
    let text = boxed().replace("socket = \"G3\"\nleads = [\"four\"]", "");
    let [floor] = <[Drawing; 1]>::try_from(patch(&text)).expect("one floor");
    assert_eq!(mark(&floor, "G3").0, MarkKind::Free);
    let words: Vec<&str> = floor.legend.iter().map(|(_, words)| words.as_str()).collect();
    assert_eq!(
        words,
        [
            "power point, used in this setup",
            "power point, free",
            "power point, NO: nobody plugs anything in",
            "head"
        ]
    );
}

#[test]
fn a_socket_that_is_used_though_nobody_may_is_forbidden() {
    let text = boxed().replace("[socket.G1]", "[socket.G1]\nban = \"loose\"");
    let [floor] = <[Drawing; 1]>::try_from(patch(&text)).expect("one floor");
    assert_eq!(mark(&floor, "G1").0, MarkKind::Forbidden);
    assert!(floor.leads.iter().any(|lead| lead.head == "H1"));
}

#[test]
fn a_lead_from_another_floor_is_told_and_not_drawn() {
    let text = boxed()
        .replace(
            "[room.hall]",
            "[floor.upper]\nlevel = 1\nname = \"Gallery\"\n\n[room.loft]\nfloor = \"upper\"\n\n[room.hall]",
        )
        .replace("room = \"hall\"\nat = [12, 4]", "room = \"loft\"\nat = [12, 4]");
    let [ground, upper] = <[Drawing; 2]>::try_from(patch(&text)).expect("two floors");
    assert_eq!((ground.title.as_str(), upper.title.as_str()), ("Floor ground", "Gallery"));
    assert!(ground.leads.iter().all(|lead| lead.head != "H10") && upper.leads.is_empty());
    assert_eq!(upper.not_drawn, ["lead to H10 from another floor"]);
    // Only a head is there: 2 by 2 m of paper with it in the middle.
    assert_eq!((upper.size, mark(&upper, "H10").1), ((2.0, 2.0), (1.0, 1.0)));
}

#[test]
fn a_survey_has_rooms_and_sockets_and_says_nothing_of_a_setup() {
    let text = boxed();
    let (network, _) = read(&text);
    let sheet = survey_sheet(&network, &text, Entries::Sockets);
    let [floor] = <[Drawing; 1]>::try_from(sheet.drawings).expect("one floor");
    assert!(floor.leads.is_empty() && floor.marks.iter().all(|mark| mark.kind != MarkKind::Head));
    // What a tester says is no ban, so G4 is a socket as any other; G6, banned, has no place.
    assert_eq!(mark(&floor, "G4").0, MarkKind::Free);
    assert_eq!(floor.legend, [(MarkKind::Free, "power point".to_owned())]);
    assert_eq!(floor.not_drawn, ["G5", "G6", "G10"]);
    assert!(survey_sheet(&network, &text, Entries::Heads).drawings.is_empty());
}

#[test]
fn a_floor_without_any_place_is_not_drawn() {
    let lines: Vec<&str> = HALL.lines().filter(|line| !line.starts_with("at = [")).collect();
    assert!(patch(&lines.join("\n")).is_empty());
}

#[test]
fn the_bar_is_in_the_lengths_of_the_region() {
    // 0.3 of 17 m are 5.1 m or 16.7 ft.
    let [floor] = <[Drawing; 1]>::try_from(patch(&boxed().replace("\"au\"", "\"us\""))).expect("one floor");
    assert_eq!(floor.scale.1, "10 ft");
}
