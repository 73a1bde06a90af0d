//! A table, and what stands in its cells.

use ampwalk_core::file::inert;
use maud::{Markup, html};
use unicode_width::UnicodeWidthStr;

use crate::sheet::{Cell, Column, Row, Style, Table, Value};

/// Words wider than this need a wide column, or a line of a card for themselves.
const LONG: usize = 20;

pub(super) fn table(table: &Table, style: Style, id: &str) -> Markup {
    let is_long: Vec<bool> = (0..table.columns.len()).map(|place| is_long(table, place)).collect();
    html! {
        // Whoever has no pointer can push it aside as well.
        div.scroll tabindex="0" role="group" aria-labelledby=(id) {
            table class={ "cards part-" (table.part) } {
                caption id=(id) { (inert(&table.title)) }
                thead { tr { @for column in &table.columns { (heading(column)) } } }
                "\n"
                tbody {
                    @for row in &table.rows { (line(table, row, style, &is_long)) }
                    @if table.rows.is_empty() {
                        tr { td.empty colspan=(table.columns.len()) { "none" } }
                    }
                }
            }
        }
        "\n"
    }
}

fn heading(column: &Column) -> Markup {
    html! {
        th scope="col" class=[column.is_of_numbers().then_some("number")] {
            (inert(&column.heading))
            @if !column.unit.is_empty() { " " span.unit { (column.unit) } }
        }
    }
}

fn line(table: &Table, row: &Row, style: Style, is_long: &[bool]) -> Markup {
    html! {
        tr class=[row.is_changed.then_some("changed")] {
            @for (place, ((column, cell), is_long)) in table.columns.iter().zip(&row.cells).zip(is_long).enumerate() {
                @if place == 0 {
                    th scope="row" data-label=(label(column)) {
                        (mark(row)) (value(cell, style))
                    }
                } @else {
                    td class=[class(column, cell, *is_long)] data-label=(label(column)) { (value(cell, style)) }
                }
            }
        }
        "\n"
    }
}

/// Numbers lean right. A card leaves out what says nothing.
fn class(column: &Column, cell: &Cell, is_long: bool) -> Option<&'static str> {
    match (&cell.value, column.is_of_numbers()) {
        (Value::Empty, false) => Some("none"),
        (Value::Empty, true) => Some("none number"),
        (_, true) => Some("number"),
        (_, false) => is_long.then_some("long"),
    }
}

fn is_long(table: &Table, place: usize) -> bool {
    let words = |row: &Row| match row.cells.get(place).map(|cell| &cell.value) {
        Some(Value::Text(text)) => text.width(),
        _ => 0,
    };
    table.rows.iter().any(|row| words(row) > LONG)
}

/// The heading of a column as one line.
pub(super) fn label(column: &Column) -> String {
    inert(&column.label())
}

/// The word before a row that was changed.
pub(super) fn mark(row: &Row) -> Markup {
    html! { @if row.is_changed { strong.mark { "changed" } " " } }
}

/// What a cell says, and what that rests on.
pub(super) fn value(cell: &Cell, style: Style) -> Markup {
    html! {
        @match &cell.value {
            Value::Empty => "-",
            Value::Blank => (blank()),
            Value::Text(text) => (inert(text)),
            Value::Number(number) => (number.told(style)),
        }
        @if let Some(basis) = cell.basis { abbr title=(basis.word()) { (basis.sign()) } }
    }
}

/// A box with a line, to be filled in by hand.
pub(super) fn blank() -> Markup {
    html! { span.blank { span.unseen { "to be filled in" } } }
}
