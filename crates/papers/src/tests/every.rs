//! What holds for every sheet, whatever it is of.

use std::sync::Arc;

use ampwalk_core::assess::assess;
use ampwalk_core::network::Network;
use ampwalk_core::plan::{BaseLoad, BaseLoadRef, Setup, Socket, TestOutcome, Trip};
use ampwalk_core::plan::{Block, Cable, Circuit, ConductorSize, Head, Placement, Plan, Ramp, Rcd, Room};
use ampwalk_core::solve::Effort;
use ampwalk_core::solve::verdict::generator;
use ampwalk_core::unit::{Amps, Metres, MilliAmps, Watts};
use proptest::prelude::*;
use unicode_width::UnicodeWidthStr;

use crate::{Kind, Row, Sheet, every_sheet};

use super::table::is_whole;
use super::{HALL, QUAY, YARD, read};

/// The plans that the program is delivered with.
pub(super) const EXAMPLES: [&str; 4] = [
    include_str!("../../../../examples/first-walk.toml"),
    include_str!("../../../../examples/mill-house.toml"),
    include_str!("../../../../examples/office-night.toml"),
    include_str!("../../../../examples/third-floor-flat.toml"),
];

/// All sheets of a plan that was read.
pub(super) fn sheets(text: &str) -> Vec<Sheet> {
    let (network, assessment) = read(text);
    let answer = generator(&network, Effort::default(), &mut |_| true);
    every_sheet(&network, &assessment, Some(&answer), text)
}

/// All sheets of a plan in which every name is `name`, made without the plan file, which would refuse some.
pub(super) fn named(name: &str) -> Vec<Sheet> {
    let words = || Some(name.to_owned());
    let mut plan = Plan::default();
    plan.location.name = words();
    plan.location.board_key = words();
    plan.rcds.insert(name.into(), Rcd::default());
    let base = BaseLoad { name: words(), amps: Amps(1.0), leak: None, owner_can_switch_off: true };
    let circuit = Circuit {
        name: words(),
        rcd: Some(name.into()),
        base: vec![base],
        keep_on: words(),
        ..Circuit::default()
    };
    plan.circuits.insert(name.into(), circuit);
    let room = Room { floor: name.into(), name: words(), area: None, wet: false, outdoor: false };
    plan.rooms.insert(name.into(), room);
    let load = BaseLoadRef { circuit: name.into(), name: name.to_owned() };
    let ramp = Ramp {
        held: MilliAmps(10.0),
        dropped: Some(name.into()),
        off: vec![load.clone()],
        heads_on: vec![name.into()],
        ..Ramp::default()
    };
    let socket = Socket {
        room: name.into(),
        at: None,
        outlet: None,
        ways: None,
        plate_limit: None,
        plate: Some(name.into()),
        circuit: Some(name.into()),
        label: words(),
        test: Some(TestOutcome::Reversed),
        ramps: vec![ramp],
        loop_impedance: None,
        portable_rcd: None,
        ban: words(),
    };
    plan.sockets.insert(name.into(), socket);
    let size = ConductorSize::SquareMillimetres(1.5);
    let cable = Cable {
        length: Metres(10.0),
        size,
        plug: None,
        rated: None,
        count: Some(0),
        reel_rated: None,
        on_reel: true,
        fuse: None,
    };
    plan.cables.insert(name.into(), cable);
    plan.blocks.insert(
        name.into(),
        Block { plug: Some(name.into()), ways: None, rated: None, fuse: None, count: None },
    );
    let placement = Placement { socket: name.into(), leads: vec![name.into()] };
    let head = Head {
        name: words(),
        watts: Some(Watts(100.0)),
        room: Some(name.into()),
        placement: Some(placement),
        ..Head::default()
    };
    plan.heads.insert(name.into(), head);
    plan.setups.insert(
        name.into(),
        Setup { name: words(), on: vec![name.into()], base_off: vec![load], ..Setup::default() },
    );
    let device = Some(name.into());
    plan.trips.push(Trip {
        at: words(),
        device,
        setup: Some(name.into()),
        last_struck: Some(name.into()),
        after: None,
        reset: None,
    });
    let network = Network::of(Arc::new(plan));
    let answer = generator(&network, Effort::default(), &mut |_| true);
    every_sheet(&network, &assess(&network), Some(&answer), "")
}

fn cells(text: &str) -> Vec<Vec<String>> {
    let mut reader = csv::ReaderBuilder::new().has_headers(false).from_reader(text.as_bytes());
    reader.records().map(|row| row.expect("a row").iter().map(str::to_owned).collect()).collect()
}

#[test]
fn every_number_says_what_it_rests_on_and_every_row_has_a_cell_a_column() {
    let of_examples = EXAMPLES.into_iter().flat_map(|text| {
        let (network, assessment) = read(text);
        every_sheet(&network, &assessment, None, text)
    });
    let all = [HALL, QUAY, YARD].into_iter().flat_map(sheets).chain(of_examples);
    for sheet in all {
        // The survey has what the plan says, and its notes say that.
        let says_it = sheet.kind == Kind::Survey;
        assert!(!says_it || sheet.notes[0].contains("as the plan file has them"));
        for table in sheet.tables {
            let has_a_cell_a_column = |row: &Row| row.cells.len() == table.columns.len();
            assert!(table.rows.iter().all(has_a_cell_a_column), "{}", table.part);
            if !says_it {
                is_whole(&table);
            }
        }
    }
}

#[test]
fn every_sheet_says_that_it_certifies_nothing_and_who_decides() {
    // Hall: the survey, two setups of four sheets, the producer's page, cables, safety.
    assert_eq!(sheets(HALL).len(), 12);
    for sheet in sheets(HALL).into_iter().chain(sheets(QUAY)) {
        let text = sheet.to_text(80).replace('\n', " ");
        for words in ["certifies nothing", "licensed electrician", "no lifted earth"] {
            assert!(text.contains(words), "{}: {words}", sheet.title);
        }
        assert!(!text.contains("certified") && !text.contains(" safe "), "{}", sheet.title);
        assert_eq!(sheet.to_csv(), sheet.to_csv());
    }
}

#[test]
fn a_plan_with_nothing_in_it_has_every_sheet() {
    let network = Network::of(Arc::new(Plan::default()));
    let sheets = every_sheet(&network, &assess(&network), None, "");
    assert_eq!(sheets.len(), 7);
    assert!(sheets[1].to_text(80).contains("No setup is chosen"));
}

#[test]
fn no_name_becomes_a_formula_on_any_sheet() {
    for name in ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "\r=1", " =1", "\u{ff1d}1", "=\"x\",1\n"] {
        for sheet in named(name) {
            for cell in cells(&sheet.to_csv()).iter().flatten() {
                let first = cell.trim_start().chars().next().unwrap_or(' ');
                let is_number = cell.parse::<f64>().is_ok() && cell != name.trim();
                assert!(is_number || !"=+-@\u{ff1d}".contains(first), "{}: {name:?}: {cell:?}", sheet.title);
            }
        }
    }
}

#[test]
fn a_hostile_name_is_on_every_sheet_that_is_searched_for_it() {
    for sheet in named("<b>x</b>") {
        assert!(sheet.to_csv().contains("<b>x</b>"), "{}", sheet.title);
    }
}

pub(super) fn unpleasant() -> impl Strategy<Value = String> {
    let letters = prop_oneof![
        any::<char>(),
        prop::sample::select(vec![
            '\u{202e}', '\u{1b}', '\n', '=', '"', ',', '<', '/', '\u{5b57}', '\u{301}', ' '
        ]),
    ];
    prop::collection::vec(letters, 0..40).prop_map(String::from_iter)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(32))]

    #[test]
    fn whatever_the_names_nothing_acts_on_any_sheet(name in unpleasant(), width in 40..200_usize) {
        let acts = |c: char| (c.is_control() && c != '\n') || ('\u{202a}'..='\u{202e}').contains(&c);
        for sheet in named(&name) {
            let text = sheet.to_text(width);
            for line in text.lines() {
                prop_assert!(line.width() <= width, "{} of {width}: {line:?}", line.width());
            }
            prop_assert!(!text.chars().any(acts), "{text:?}");
            let csv = sheet.to_csv();
            prop_assert!(!csv.chars().any(|c| acts(c) && c != '\r'), "{csv:?}");
            let rows = cells(&csv);
            prop_assert!(rows.iter().all(|row| row.len() == rows[0].len()));
        }
    }
}
