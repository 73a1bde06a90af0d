//! Names that would act on a terminal, a page or a spreadsheet, and plans with nothing in them.

use std::sync::Arc;

use ampwalk_core::assess::assess;
use ampwalk_core::network::{At, Network, SetupAt};
use ampwalk_core::plan::{Circuit, Plan, Setup};
use proptest::prelude::*;
use unicode_width::UnicodeWidthStr;

use crate::{Sheet, load_sheet};

/// A plan whose names all are `name`; made without the plan file, which would refuse some.
fn named(name: &str) -> Sheet {
    let mut plan = Plan::default();
    plan.location.name = Some(name.to_owned());
    plan.circuits.insert(name.into(), Circuit { name: Some(name.to_owned()), ..Circuit::default() });
    plan.setups.insert(name.into(), Setup { name: Some(name.to_owned()), ..Setup::default() });
    let network = Network::of(Arc::new(plan));
    load_sheet(&network, &assess(&network), Some(SetupAt::new(0)))
}

fn cells(text: &str) -> Vec<Vec<String>> {
    let mut reader = csv::ReaderBuilder::new().has_headers(false).from_reader(text.as_bytes());
    reader.records().map(|row| row.expect("a row").iter().map(str::to_owned).collect()).collect()
}

#[test]
fn a_plan_with_nothing_in_it_makes_a_sheet_that_says_so() {
    let network = Network::of(Arc::new(Plan::default()));
    for setup in [None, Some(SetupAt::new(0)), Some(SetupAt::new(7))] {
        let sheet = load_sheet(&network, &assess(&network), setup);
        let text = sheet.to_text(80);
        assert!(text.contains("No setup is chosen"), "{text}");
        assert!(text.contains("certifies nothing"), "{text}");
        assert!(text.contains("licensed electrician"), "{text}");
        assert!(sheet.to_csv().contains("certifies nothing"));
    }
}

#[test]
fn no_name_becomes_a_formula() {
    for name in ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "\r=1", " =1", "\u{ff1d}1", "=\"x\",1\n"] {
        let csv = named(name).to_csv();
        for cell in cells(&csv).iter().flatten() {
            let first = cell.trim_start().chars().next().unwrap_or(' ');
            let is_number = cell.parse::<f64>().is_ok() && cell != name.trim();
            assert!(is_number || !"=+-@\u{ff1d}".contains(first), "{name:?}: {cell:?}");
        }
        assert!(cells(&csv).iter().flatten().any(|cell| cell.starts_with('\'')), "{name:?} is kept");
    }
}

#[test]
fn a_name_stays_in_its_cell_whatever_quotes_and_commas_it_has() {
    let rows = cells(&named("a\",\"b;c\nd").to_csv());
    let row = rows.iter().find(|row| row[0] == "circuit").expect("the circuit's row");
    assert_eq!(row[1], "a\",\"b;c\\u{a}d");
}

#[test]
fn wide_letters_keep_the_columns_in_line() {
    let text = named("\u{64ae}\u{5f71}\u{6240}").to_text(80);
    let row = text.lines().find(|line| line.starts_with('\u{64ae}')).expect("the row");
    let plain = named("abcdef").to_text(80);
    let same = plain.lines().find(|line| line.starts_with("abcdef")).expect("the row");
    assert_eq!(row.width(), same.width(), "{text}");
}

fn unpleasant() -> impl Strategy<Value = String> {
    let letters = prop_oneof![
        any::<char>(),
        prop::sample::select(vec![
            '\u{202e}', '\u{1b}', '\n', '=', '"', ',', '\u{5b57}', '\u{301}', ' ', 'x'
        ]),
    ];
    prop::collection::vec(letters, 0..60).prop_map(String::from_iter)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn whatever_the_names_no_line_is_too_wide_and_nothing_acts(name in unpleasant(), width in 40..200_usize) {
        let sheet = named(&name);
        let text = sheet.to_text(width);
        for line in text.lines() {
            prop_assert!(line.width() <= width, "{} of {width}: {line:?}", line.width());
        }
        let acts = |c: char| (c.is_control() && c != '\n') || ('\u{202a}'..='\u{202e}').contains(&c);
        prop_assert!(!text.chars().any(acts), "{text:?}");
        let csv = sheet.to_csv();
        prop_assert!(!csv.chars().any(|c| acts(c) && c != '\r'), "{csv:?}");
        let rows = cells(&csv);
        prop_assert!(rows.iter().all(|row| row.len() == rows[0].len()));
    }
}
