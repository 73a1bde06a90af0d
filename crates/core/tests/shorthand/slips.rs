//! Slips of a tired hand: nothing is taken for what it is not, and each slip names what was meant.

use ampwalk_core::edit::Table;
use ampwalk_core::shorthand::{Offer, Status, Subject, complete};

use crate::{CIRCUIT, HEAD, SOCKET, house, line};

/// What a slip is told as: why, and the suggestions.
fn slip(subject: Subject, text: &str) -> (String, Vec<String>) {
    let read = line(subject, text);
    assert!(read.edit().is_err(), "{text}: {}", read.echo());
    let first = read.misread.first().unwrap_or_else(|| panic!("{text}: {}", read.echo()));
    (first.why.clone(), first.suggestions.clone())
}

#[test]
fn amps_milliamps_and_watts_are_not_taken_for_each_other() {
    let (why, meant) = slip(HEAD, "C led-600 1200A");
    assert_eq!(why, "`1200A` is outside of 0.001 to 1000 A for amps");
    assert!(meant.contains(&"1.2A".to_owned()) && meant.contains(&"1200W".to_owned()), "{meant:?}");
    let (_, meant) = slip(HEAD, "C led-600 leak 3.5A");
    assert_eq!(meant, ["leak 3.5mA"]);
    let (_, meant) = slip(Subject::Entry(Table::Rcd), "RB 30A");
    assert_eq!(meant, ["30mA"]);
    let (_, meant) = slip(CIRCUIT, "P9 house C2000");
    assert_eq!(meant, ["2A"]);
    let (why, _) = slip(CIRCUIT, "P9 house fridge 150W");
    assert!(why.contains("in amps"), "{why}");
    // 650 A is inside of its range and still no head's.
    assert!(line(HEAD, "C 650A").echo().contains("did you mean 650W?"));
}

#[test]
fn a_number_without_a_unit_is_asked_about_where_it_may_be_several_things() {
    let (why, meant) = slip(HEAD, "C led-600 12");
    assert_eq!(why, "`12` has no unit");
    assert!(meant.contains(&"12W".to_owned()) && meant.contains(&"12A".to_owned()), "{meant:?}");
    let (why, meant) = slip(Subject::Entry(Table::Setup), "night 4 A");
    assert_eq!((why.as_str(), meant), ("4 minutes, or hours?", vec!["4min".to_owned(), "4h".to_owned()]));
    let (why, _) = slip(Subject::Entry(Table::Supply), "x 3kW");
    assert!(why.contains("of a contract, or of a set?"), "{why}");
    let (why, _) = slip(Subject::Ramp, "G1 10 15 20");
    assert_eq!(why, "20 mA held, or tripped?");
    let (why, _) = slip(Subject::Trace, "P1 off G1");
    assert_eq!(why, "G1: dead, or live?");
}

#[test]
fn a_room_that_is_not_there_is_offered_and_never_made() {
    let read = line(SOCKET, "G9 study ok");
    assert_eq!(read.status, Status::New(Some("G9".to_owned())));
    let offer = Offer { subject: Subject::Entry(Table::Room), line: "study".to_owned() };
    assert_eq!(read.misread[0].offer, Some(offer));
    assert_eq!(read.missing[0].what, "the room");
    let (_, meant) = slip(SOCKET, "G9 dinning ok");
    assert_eq!(meant, ["dining"]);
    let read = line(SOCKET, "G9 room=study");
    assert!(read.misread[0].offer.is_some(), "{}", read.echo());
}

#[test]
fn what_may_be_several_things_is_asked_about() {
    // `g4` and `G4` are there: each by its own letters.
    assert_eq!(line(SOCKET, "g4 ok").status, Status::Existing("g4".to_owned()));
    assert_eq!(line(SOCKET, "G4 ok").status, Status::Existing("G4".to_owned()));
    let (why, meant) = slip(HEAD, "C 1k2");
    assert_eq!(why, "`1k2` may be more than one class");
    assert_eq!(meant, ["discharge-1k2", "led-1k2"]);
    let (why, _) = slip(SOCKET, "G9 dining 2x11");
    assert_eq!(why, "no outlet of 11 A is known here");
}

#[test]
fn a_part_that_is_said_twice_or_contradicts_another_is_refused() {
    assert_eq!(slip(SOCKET, "G1 P1 P2").0, "the line says the circuit twice");
    assert_eq!(slip(Subject::Entry(Table::Setup), "day A B A").0, "the line names it twice");
    assert_eq!(slip(SOCKET, "G1 r20/15").0, "it cannot hold 20 mA and trip at 15 mA");
    assert_eq!(slip(SOCKET, "G1 r20/15").1, ["r15/20"]);
    assert_eq!(slip(Subject::Ramp, "G1 10 ok 5 trip").0, "the steps of a ramp rise: 5 mA comes after 10 mA");
    assert_eq!(slip(Subject::Entry(Table::Rcd), "RA behind RA").0, "it would stand behind itself");
    assert_eq!(slip(CIRCUIT, "P1 L2").0, "L2 does not reach it: there is L1");
    assert_eq!(slip(HEAD, "B b20").0, "leads begin at a socket: say which");
    assert_eq!(
        slip(Subject::Entry(Table::Cable), "four 20m 2.5mm2").0,
        "`four` is a block already: leads name both kinds"
    );
    assert_eq!(
        slip(Subject::Entry(Table::Rcd), "P2 30mA").0,
        "`P2` is a circuit already: traces and trips name both kinds"
    );
    assert_eq!(slip(SOCKET, "G1 room=").0, "a socket cannot do without its room");
}

#[test]
fn a_line_says_what_is_missing() {
    let missing = |subject, text: &str| {
        line(subject, text).missing.into_iter().map(|missing| missing.what).collect::<Vec<_>>()
    };
    assert_eq!(missing(SOCKET, ""), ["the id of the socket", "the room"]);
    assert_eq!(missing(CIRCUIT, "Y9 yard"), ["the line"]);
    assert_eq!(missing(CIRCUIT, "Y9"), ["the supply, or the socket that it comes from"]);
    assert_eq!(missing(Subject::Entry(Table::Cable), "x9"), ["the length", "the size"]);
    assert_eq!(missing(HEAD, "C living"), ["the class, or watts or amps"]);
    assert_eq!(missing(Subject::Entry(Table::Setup), "x9 A"), ["the minutes"]);
    // G4 has no ramp test yet, G1 has one.
    assert_eq!(missing(Subject::Ramp, "G4"), ["the steps"]);
    assert!(missing(Subject::Ramp, "G1").is_empty());
}

#[test]
fn a_word_that_is_being_typed_is_completed_by_what_the_plan_has() {
    let words = |subject, text: &str| complete(&house(), subject, text, text.len()).words;
    assert_eq!(words(SOCKET, "G9 din")[..2], ["dining", "\"Dining room\""]);
    assert_eq!(words(SOCKET, "G9 portable P"), ["PR1"]);
    assert!(words(SOCKET, "G9 no-").contains(&"no-earth".to_owned()));
    assert!(words(HEAD, "C disch").contains(&"discharge-1k2".to_owned()));
    assert_eq!(words(HEAD, "C room=li"), ["room=living", "room=\"Living room\""]);
    assert_eq!(words(SOCKET, "G")[..3], ["G1", "g4", "G4"]);
    let place = complete(&house(), SOCKET, "G9 din ok", 6);
    assert_eq!(place.span, 3..6);
}

#[test]
fn parts_and_misreads_stand_where_the_line_has_them() {
    let text = "G9 dining foo 2x10";
    let read = line(SOCKET, text);
    let places: Vec<&str> = read.parts.iter().map(|part| &text[part.span.clone()]).collect();
    assert_eq!(places, ["G9", "dining", "2x10"]);
    assert_eq!(&text[read.misread[0].span.clone()], "foo");
    assert_eq!(read.parts[2].keys, ["ways", "outlet"]);
}
