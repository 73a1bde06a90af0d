//! Laws of lines: nothing a hand can type makes them fail, what they give is taken and read back, and
//! what is written reads as itself.

use ampwalk_core::edit::{Table, apply};
use ampwalk_core::file::parse;
use ampwalk_core::plan::{Plan, Spectrum};
use ampwalk_core::shorthand::{Line, Status, Subject, complete, read, write};
use proptest::prelude::*;
use proptest::sample::{Index, select};

use crate::{HOUSE, after, errors, house};

const EVERY_KEY: &str = include_str!("../../../../tests/plans/every-key.toml");
const MILL_HOUSE: &str = include_str!("../../../../examples/mill-house.toml");
const OFFICE: &str = include_str!("../../../../examples/office-night.toml");
const FLAT: &str = include_str!("../../../../examples/third-floor-flat.toml");
const FIRST_WALK: &str = include_str!("../../../../examples/first-walk.toml");

/// Parts that a tired hand may type, right and wrong, for any kind of line.
const PARTS: [&str; 104] = [
    "G1",
    "g1",
    "G4",
    "g4",
    "N1",
    "A",
    "B",
    "C",
    "P1",
    "p2",
    "P2?",
    "RA",
    "ra",
    "PR1",
    "house",
    "yard",
    "ground",
    "dining",
    "\"Dining room\"",
    "living",
    "b20",
    "four",
    "day",
    "2x10",
    "2x",
    "2 x 15 A",
    "10A",
    "10 a",
    "15mA",
    "3-5mA",
    "20m",
    "50ft",
    "2,5mm2",
    "12awg",
    "#10",
    "2/0awg",
    "1.35kW",
    "650W",
    "240V",
    "ok",
    "rev",
    "noe",
    "no neutral",
    "dead",
    "aoe",
    "r15/20",
    "r-/10",
    "r20+",
    "r10/15>RA",
    "r10/15 off fridge",
    "ramp 5/10 on A,B",
    "@2,8",
    "@-1.5;2,5",
    "plate K",
    "plate 20A",
    "ban \"not ours\"",
    "portable PR1",
    "loop 0.6",
    "label X9",
    "led600",
    "t2k",
    "575",
    "pf 0,9",
    "leak 2",
    "idle 0.5",
    "+10mA",
    "strike 4",
    "pin",
    "!7",
    "C20",
    "b16",
    "30mA",
    "30",
    "type F",
    "behind RA",
    "4p",
    "mains",
    "generator",
    "star",
    "split",
    "L1",
    "L1-L2",
    "6.5kVA",
    "3kW",
    "0",
    "-1",
    "wet",
    "outdoor",
    "6x9",
    "4h",
    "4h30",
    "09:00",
    "22:00-02:00",
    "on=A,B",
    "oven* 3A 2mA",
    "base 0.5A",
    "\"RA\"* 1A",
    "\"L1\" 2A 1-3mA",
    "label ok",
    "label \"2x10\"",
    "name C20",
    "name=\"x=y\"",
    "keep \"20A\"",
    "base \"base\" 1A",
];

fn subject() -> impl Strategy<Value = Subject> {
    select(Subject::ALL.to_vec())
}

/// Text that a key takes, in quotes.
fn words() -> impl Strategy<Value = String> {
    "[^\\p{C}\\p{Z}]{1,8}( [^\\p{C}\\p{Z}]{1,8}){0,2}"
        .prop_map(|text| format!("\"{}\"", text.replace('"', "\"\"")))
}

fn part() -> impl Strategy<Value = String> {
    prop_oneof![
        12 => select(PARTS.to_vec()).prop_map(str::to_owned),
        1 => words(),
        1 => words().prop_map(|words| format!("label {words}")),
        1 => words().prop_map(|words| format!("ban={words}")),
        1 => words().prop_map(|words| format!("{words}* 1A")),
        1 => (0.0_f64..2000.0, select(vec!["A", "mA", "W", "m", "kW", "", "mm2", "min", "h"]))
            .prop_map(|(number, unit)| format!("{number:.2}{unit}")),
    ]
}

/// A line that has a chance: an id, new or not, and a few parts.
fn typed_line() -> impl Strategy<Value = String> {
    let id = select(vec![
        "G1", "N1", "A", "Z", "P1", "P9", "RA", "RB", "b20", "day", "house", "dining", "", "ground",
    ]);
    (id, proptest::collection::vec(part(), 0..6)).prop_map(|(id, parts)| format!("{id} {}", parts.join(" ")))
}

/// What makes an entry of each kind whole, so that most generated lines can be entered.
fn whole(subject: Subject) -> &'static str {
    match subject {
        Subject::Entry(Table::Supply) => "kind=mains",
        Subject::Entry(Table::Circuit) => "supply=house",
        Subject::Entry(Table::Floor) => "level=0",
        Subject::Entry(Table::Room) => "floor=ground",
        Subject::Entry(Table::Socket) => "room=living",
        Subject::Entry(Table::Head) => "watts=650",
        Subject::Entry(Table::Cable) => "length_m=10 mm2=1.5",
        Subject::Entry(Table::Setup) => "minutes=240 on=A",
        Subject::Entry(Table::Rcd | Table::Block) | Subject::Ramp => "",
        Subject::Trace => "P1 off G1 dead",
    }
}

/// Whatever a line gives as an edit is taken, makes nothing wrong, can be undone, and reads back as
/// what the line says.
fn is_read_back(text: &str, subject: Subject, line: &str) -> Result<bool, TestCaseError> {
    let said = read(&parse(text).plan, subject, line);
    let Ok(edit) = said.edit() else {
        return Ok(false);
    };
    let change = apply(text, &edit);
    let Ok(change) = change else {
        return Err(TestCaseError::fail(format!("{line:?}: {} refused: {change:?}", said.echo())));
    };
    let new = change.apply(text);
    prop_assert_eq!(change.inverse().apply(&new), text);
    let (before, mut now) = (errors(text), errors(&new));
    // Another wiring of a supply leaves its circuits a line to say: the echo tells, nothing forbids it.
    if said.echo().contains("then say the line of") {
        now.retain(|one| !one.contains("`line`") && !one.contains("does not bring that"));
    }
    prop_assert!(now.iter().all(|one| before.contains(one)), "{line:?}: {}: {now:?}", said.echo());
    let again = read(&parse(&new).plan, subject, line);
    prop_assert!(again.is_whole(), "{line:?}: {}", again.echo());
    is_written(&new, &again)?;
    prop_assert!(again.echo().contains("nothing changes"), "{line:?}: {} then {}", said.echo(), again.echo());
    Ok(true)
}

/// What a line made is written as a line that reads as it, and that says all of it.
fn is_written(text: &str, line: &Line) -> Result<(), TestCaseError> {
    let plan = parse(text).plan;
    let Status::Existing(id) = &line.status else {
        return Err(TestCaseError::fail(line.echo()));
    };
    let written = write(&plan, line.subject, id);
    let again = read(&plan, line.subject, &written);
    prop_assert!(again.is_whole(), "{written:?}: {}", again.echo());
    prop_assert!(again.echo().contains("nothing changes"), "{written:?}: {}", again.echo());
    if let Subject::Entry(table) = line.subject {
        let copy = format!("Copy-9{}", written.strip_prefix(id.as_str()).unwrap_or_default());
        let edit = read(&plan, line.subject, &copy).edit();
        let Ok(edit) = edit else {
            return Err(TestCaseError::fail(format!("{copy:?}: {edit:?}")));
        };
        let new = parse(&after(text, &edit)).plan;
        prop_assert_eq!(expected(&new, table, "Copy-9"), expected(&plan, table, id), "{:?}", copy);
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(600))]

    #[test]
    fn no_text_makes_a_line_fail(subject in subject(), text in any::<String>(), cursor in any::<Index>()) {
        let plan = house();
        let line = read(&plan, subject, &text);
        prop_assert!(line.echo().chars().all(|c| !c.is_control()), "{:?}", line.echo());
        for place in line.parts.iter().map(|part| &part.span).chain(line.misread.iter().map(|one| &one.span)) {
            prop_assert!(text.get(place.clone()).is_some(), "{place:?}");
        }
        let _ = complete(&plan, subject, &text, cursor.index(text.len() + 1));
    }

    #[test]
    fn no_line_of_known_parts_fails_at_any_cursor(subject in subject(), text in typed_line(), cursor in any::<Index>()) {
        let completion = complete(&house(), subject, &text, cursor.index(text.len() + 1));
        prop_assert!(text.get(completion.span).is_some());
    }

    #[test]
    fn what_a_line_gives_is_taken_and_read_back(subject in subject(), text in typed_line()) {
        is_read_back(HOUSE, subject, &text)?;
        is_read_back(HOUSE, subject, &format!("{text} {}", whole(subject)))?;
    }
}

/// The parts that say something in a line of each kind.
fn fitting() -> Vec<(Subject, Vec<&'static str>)> {
    let plan = house();
    let says = |subject, part: &str| {
        // One of the two ids is new where the other one is there.
        ["N9", "G1"].iter().any(|id| {
            let line = read(&plan, subject, &format!("{id} {part}"));
            line.misread.is_empty() && line.parts.len() > 1
        })
    };
    let kinds = Subject::ALL.into_iter().filter(|subject| *subject != Subject::Trace);
    kinds.map(|subject| (subject, PARTS.into_iter().filter(|part| says(subject, part)).collect())).collect()
}

#[test]
fn lines_of_fitting_parts_are_mostly_entered_and_all_of_those_read_back() {
    const CASES: u32 = 1500;
    let parts = proptest::collection::vec(any::<Index>(), 1..5);
    let strategy = (select(fitting()), parts, any::<Index>());
    let entered = std::cell::Cell::new(0_u32);
    let mut runner = proptest::test_runner::TestRunner::new(ProptestConfig::with_cases(CASES));
    let outcome = runner.run(&strategy, |((subject, pool), parts, id)| {
        let ids = ["N9", "G1", "P1", "P2", "A", "B", "RA", "day", "dining", "b20", "four", "house"];
        let parts: Vec<&str> = parts.iter().map(|part| *part.get(&pool)).collect();
        let line = format!("{} {}", id.get(&ids), parts.join(" "));
        let is_entered = is_read_back(HOUSE, subject, &line)?
            || is_read_back(HOUSE, subject, &format!("{line} {}", whole(subject)))?;
        entered.set(entered.get() + u32::from(is_entered));
        Ok(())
    });
    assert!(outcome.is_ok(), "{outcome:?}");
    assert!(entered.get() > CASES / 4, "only {} of {CASES} lines were entered", entered.get());
}

#[test]
fn every_part_can_be_entered_somewhere() {
    let enters = |part: &str| {
        Subject::ALL.into_iter().any(|subject| {
            let ids: &[&str] = match subject {
                Subject::Trace => &[""],
                _ => &["N9", "G1", "day", "dining", "B", "b20"],
            };
            ids.iter().any(|id| {
                let line = format!("{id} {part} {}", whole(subject));
                is_read_back(HOUSE, subject, &line).unwrap()
                    || is_read_back(HOUSE, subject, &format!("{id} {part}")).unwrap()
            })
        })
    };
    let refused: Vec<&str> = PARTS.into_iter().filter(|part| !enters(part)).collect();
    assert_eq!(refused, Vec::<&str>::new());
}

#[test]
fn very_long_lines_are_refused_at_once() {
    for subject in Subject::ALL {
        let text = "G3 r15/20 ".repeat(1000);
        let line = read(&house(), subject, &text);
        assert_eq!(line.misread.len(), 1);
        assert!(line.edit().is_err());
        assert!(complete(&house(), subject, &text, text.len()).words.is_empty());
    }
}

/// The ids of everything in a plan that a line may be about.
fn all(plan: &Plan) -> Vec<(Subject, String)> {
    let mut found: Vec<(Subject, String)> = Vec::new();
    let mut add = |table, ids: Vec<String>| {
        found.extend(ids.into_iter().map(|id| (Subject::Entry(table), id)));
    };
    add(Table::Supply, plan.supplies.keys().map(ToString::to_string).collect());
    add(Table::Rcd, plan.rcds.keys().map(ToString::to_string).collect());
    add(Table::Circuit, plan.circuits.keys().map(ToString::to_string).collect());
    add(Table::Floor, plan.floors.keys().map(ToString::to_string).collect());
    add(Table::Room, plan.rooms.keys().map(ToString::to_string).collect());
    add(Table::Socket, plan.sockets.keys().map(ToString::to_string).collect());
    add(Table::Head, plan.heads.keys().map(ToString::to_string).collect());
    add(Table::Cable, plan.cables.keys().map(ToString::to_string).collect());
    add(Table::Block, plan.blocks.keys().map(ToString::to_string).collect());
    add(Table::Setup, plan.setups.keys().map(ToString::to_string).collect());
    found.extend(
        plan.sockets
            .iter()
            .filter(|(_, one)| !one.ramps.is_empty())
            .map(|(id, _)| (Subject::Ramp, id.to_string())),
    );
    found.extend((1..=plan.traces.len()).map(|number| (Subject::Trace, number.to_string())));
    found
}

#[test]
fn what_is_written_reads_as_what_is_there() {
    let mut count = 0;
    for text in [HOUSE, EVERY_KEY, MILL_HOUSE, OFFICE, FLAT, FIRST_WALK] {
        let plan = parse(text).plan;
        for (subject, id) in all(&plan) {
            let line = write(&plan, subject, &id);
            let again = read(&plan, subject, &line);
            assert!(again.is_whole(), "{line}: {}", again.echo());
            assert!(matches!(again.status, Status::Existing(_)), "{line}");
            let edit = again.edit().unwrap();
            assert_eq!(after(text, &edit), text, "{line}: {}", again.echo());
            count += 1;
        }
    }
    assert!(count > 150, "{count}");
}

/// The same entry under another id, as far as a line can say it.
fn expected(plan: &Plan, table: Table, id: &str) -> String {
    match table {
        Table::Supply => format!("{:?}", plan.supplies[id]),
        Table::Rcd => format!("{:?}", plan.rcds[id]),
        Table::Circuit => format!("{:?}", plan.circuits[id]),
        Table::Floor => format!("{:?}", plan.floors[id]),
        Table::Room => format!("{:?}", plan.rooms[id]),
        Table::Socket => format!("{:?}", plan.sockets[id]),
        Table::Head => {
            let mut head = plan.heads[id].clone();
            head.spectrum = head.spectrum.filter(|spectrum| !matches!(spectrum, Spectrum::Orders(_)));
            format!("{head:?}")
        }
        Table::Cable => format!("{:?}", plan.cables[id]),
        Table::Block => format!("{:?}", plan.blocks[id]),
        Table::Setup => {
            let mut setup = plan.setups[id].clone();
            setup.sockets.clear();
            format!("{setup:?}")
        }
    }
}

#[test]
fn what_is_written_says_the_whole_entry() {
    for text in [HOUSE, EVERY_KEY, MILL_HOUSE, OFFICE, FLAT, FIRST_WALK] {
        let plan = parse(text).plan;
        for (subject, id) in all(&plan) {
            let Subject::Entry(table) = subject else {
                continue;
            };
            let line = write(&plan, subject, &id);
            let copy = format!("Copy-9 {}", line.strip_prefix(id.as_str()).unwrap());
            let said = read(&plan, subject, &copy);
            let edit = said.edit().unwrap_or_else(|why| panic!("{copy}: {} {}", why.message, said.echo()));
            let new = parse(&after(text, &edit)).plan;
            assert_eq!(expected(&new, table, "Copy-9"), expected(&plan, table, &id), "{copy}");
        }
    }
}

#[test]
fn what_is_written_is_short() {
    let plan = parse(MILL_HOUSE).plan;
    let line = |table, id| write(&plan, Subject::Entry(table), id);
    assert_eq!(line(Table::Circuit, "P3"), "P3 C20 house RB \"laundry and outside\" gate 0.3A");
    let every = parse(EVERY_KEY).plan;
    assert_eq!(
        write(&every, Subject::Entry(Table::Socket), "G1"),
        "G1 2x10 studio @2,8 plate 20A plate K P1 P1? ok r10/15 off fridge >RA on D r20+ loop 0.6 portable PR1 ban \"not ours\""
    );
    assert_eq!(write(&every, Subject::Trace, "2"), "RA P2 dropped G1 dead");
    assert_eq!(write(&every, Subject::Trace, "9"), "");
    assert_eq!(write(&every, Subject::Entry(Table::Socket), "nowhere"), "");
}
