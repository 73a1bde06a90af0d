//! Any sheet at all stands in its place, and becomes a PDF that holds to its rules.

use ampwalk_core::library::Paper;
use proptest::prelude::*;

use super::super::every::unpleasant;
use super::{is_in_its_place, laid_out};
use crate::document::Document;
use crate::drawing::{Drawing, DrawnLead, DrawnRoom, Mark, MarkKind};
use crate::pdf;
use crate::sheet::{Basis, Cell, Column, Field, Kind, Number, Rounding, Row, Sheet, Style, Table, Value};

fn words() -> impl Strategy<Value = String> {
    let word = prop_oneof![
        4 => "[a-zA-Z0-9.]{1,12}",
        1 => "[a-z]{30,90}",
        1 => unpleasant(),
    ];
    prop::collection::vec(word, 1..8).prop_map(|words| words.join(" "))
}

fn cell() -> impl Strategy<Value = Cell> {
    let basis = prop::sample::select(vec![Basis::Measured, Basis::Plan, Basis::Assumed]);
    let number = (-1e4..1e4_f64, basis).prop_map(|(value, basis)| Cell {
        value: Value::Number(Number { value, decimals: 2, rounding: Rounding::Nearest }),
        basis: Some(basis),
    });
    prop_oneof![
        3 => words().prop_map(Cell::text),
        2 => number,
        1 => Just(Cell::EMPTY),
        1 => Just(Cell::BLANK),
    ]
}

fn table(part: &'static str) -> impl Strategy<Value = Table> {
    (0..16_usize, 0..8_usize).prop_flat_map(move |(columns, rows)| {
        let column = (words(), any::<bool>()).prop_map(|(heading, has_unit)| Column {
            heading,
            unit: if has_unit { "mA" } else { "" },
            is_marked: has_unit,
        });
        let row = (prop::collection::vec(cell(), columns), any::<bool>())
            .prop_map(|(cells, is_changed)| Row { cells, is_changed });
        (words(), prop::collection::vec(column, columns), prop::collection::vec(row, rows))
            .prop_map(move |(title, columns, rows)| Table { part, title, columns, rows })
    })
}

fn drawing() -> impl Strategy<Value = Drawing> {
    let place = || (-1.0..40.0_f64, -1.0..40.0_f64);
    let kinds = vec![MarkKind::Used, MarkKind::Free, MarkKind::Forbidden, MarkKind::Head];
    let mark =
        (words(), prop::sample::select(kinds), place()).prop_map(|(name, kind, at)| Mark { name, kind, at });
    let room = (words(), place(), place()).prop_map(|(name, corner, size)| DrawnRoom { name, corner, size });
    let lead = (words(), place(), place()).prop_map(|(head, from, to)| DrawnLead { head, from, to });
    let many = (
        prop::collection::vec(mark, 0..60),
        prop::collection::vec(room, 0..6),
        prop::collection::vec(lead, 0..20),
        prop::collection::vec(words(), 0..4),
    );
    (words(), (0.1..60.0_f64, 0.1..60.0_f64), many, words()).prop_map(
        |(title, size, (marks, rooms, leads, not_drawn), bar)| Drawing {
            title,
            size,
            rooms,
            marks,
            leads,
            scale: (5.0, bar.clone()),
            legend: vec![(MarkKind::Used, bar.clone()), (MarkKind::Head, bar)],
            not_drawn,
        },
    )
}

fn sheet() -> impl Strategy<Value = Sheet> {
    let kind = prop::sample::select(Kind::WORDS.map(|(_, kind)| kind).to_vec());
    let field = (words(), prop::option::of(words())).prop_map(|(name, value)| Field { name, value });
    let tables = prop_oneof![
        3 => (table("head"), table("socket")),
        1 => (table("strike"), table("dark")),
        1 => (table("label"), table("tag")),
    ];
    let below = (
        prop::collection::vec(words(), 0..4),
        prop::collection::vec(drawing(), 0..2),
        prop::collection::vec("[ -~]{1,900}", 0..3),
    );
    (kind, words(), prop::collection::vec(field, 0..8), tables, below, prop::option::of(words())).prop_map(
        |(kind, title, fields, (one, other), (notes, drawings, codes), setup)| Sheet {
            kind,
            setup,
            style: Style { paper: Paper::A4, decimal: ',' },
            title,
            fields,
            tables: vec![one, other],
            notes,
            drawings,
            codes,
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn any_sheet_stands_in_its_place(sheets in prop::collection::vec(sheet(), 1..3), is_letter in any::<bool>(), title in words()) {
        let paper = is_letter.then_some(Paper::Letter);
        let document = Document { title, paper, ..Document::default() };
        is_in_its_place(&laid_out(&sheets, &document));
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(12))]

    #[test]
    fn any_sheet_becomes_a_pdf_that_holds_to_its_rules(sheet in sheet(), title in words()) {
        let document = Document { title, ..Document::default() };
        let bytes = pdf(std::slice::from_ref(&sheet), &document).map_err(|error| TestCaseError::fail(error.to_string()))?;
        prop_assert!(bytes.starts_with(b"%PDF-1.7"));
    }
}
