//! A sheet as comma-separated values (RFC 4180), for a spreadsheet.

use csv::{Terminator, Writer, WriterBuilder};

use crate::sheet::{Cell, Column, Sheet, Table, Value};
use ampwalk_core::file::inert;

/// Decimals in a spreadsheet: under what any of the testers shows, over what rounding in sums leaves.
const DECIMALS: usize = 3;
/// The heading of the column that says which rows were changed.
const CHANGED: &str = "changed";

impl Sheet {
    /// The sheet as CSV in UTF-8: one number a cell, the unit in the heading, a decimal point, and
    /// beside each marked column one that says `measured`, `plan` or `assumed`.
    ///
    /// Each row begins with the word of its part (`sheet`, a table's, `note`), and all have the same
    /// number of cells. Where any row was changed since the issue before, each table has a last column
    /// `changed` that says `yes` in these rows. Words that a spreadsheet would take for a formula begin with an apostrophe.
    #[must_use]
    pub fn to_csv(&self) -> String {
        let mut rows: Vec<Vec<String>> = Vec::new();
        rows.push(vec!["sheet".to_owned(), "title".to_owned(), harmless(&self.title)]);
        for field in &self.fields {
            let value = field.value.as_deref().map(harmless).unwrap_or_default();
            rows.push(vec!["sheet".to_owned(), harmless(&field.name), value]);
        }
        let has_changes = self.has_changes();
        for table in &self.tables {
            let changed = has_changes.then(|| CHANGED.to_owned());
            rows.push(headings(table).chain(changed).collect());
            rows.extend(table.rows.iter().map(|row| {
                let cells =
                    table.columns.iter().zip(&row.cells).flat_map(|(column, cell)| written(column, cell));
                let changed = has_changes.then(|| if row.is_changed { "yes" } else { "" }.to_owned());
                std::iter::once(table.part.to_owned()).chain(cells).chain(changed).collect()
            }));
        }
        rows.extend(self.notes.iter().map(|note| vec!["note".to_owned(), harmless(note)]));
        let width = rows.iter().map(Vec::len).max().unwrap_or_default();
        let mut writer = WriterBuilder::new().terminator(Terminator::CRLF).from_writer(Vec::new());
        for mut row in rows {
            row.resize(width, String::new());
            write(&mut writer, &row);
        }
        // Memory does not refuse to be written to, and what went in was text.
        String::from_utf8(writer.into_inner().unwrap_or_default()).unwrap_or_default()
    }
}

fn write(writer: &mut Writer<Vec<u8>>, row: &[String]) {
    let written = writer.write_record(row);
    debug_assert!(written.is_ok(), "memory takes every row, and all are of one length");
}

fn headings(table: &Table) -> impl Iterator<Item = String> {
    let of_column = |column: &Column| {
        let heading = harmless(&column.label());
        let basis = column.is_marked.then(|| format!("{heading} from"));
        std::iter::once(heading).chain(basis)
    };
    std::iter::once("part".to_owned()).chain(table.columns.iter().flat_map(of_column))
}

fn written(column: &Column, cell: &Cell) -> Vec<String> {
    let value = match &cell.value {
        Value::Empty | Value::Blank => String::new(),
        Value::Text(text) => harmless(text),
        Value::Number(number) => {
            let text = number.written(DECIMALS);
            text.trim_end_matches('0').trim_end_matches('.').to_owned()
        }
    };
    let basis = column.is_marked.then(|| cell.basis.map(|basis| basis.word().to_owned()).unwrap_or_default());
    std::iter::once(value).chain(basis).collect()
}

/// Words that no spreadsheet takes for a formula: one would begin with `=`, `+`, `-`, `@`, a tab or a
/// carriage return, or with the wide forms of these signs. One that begins with an apostrophe gets another,
/// so that whoever reads it back takes off exactly one. Numbers, which are ours, are left alone.
fn harmless(text: &str) -> String {
    const BEGIN_FORMULAS: [char; 11] =
        ['\'', '=', '+', '-', '@', '\t', '\r', '\u{ff1d}', '\u{ff0b}', '\u{ff0d}', '\u{ff20}'];
    let shown = inert(text);
    let begins = |text: &str| text.trim_start().starts_with(BEGIN_FORMULAS);
    if text.starts_with(BEGIN_FORMULAS) || begins(&shown) { format!("'{shown}") } else { shown }
}
