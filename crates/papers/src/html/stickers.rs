//! Labels, as stickers side by side.

use ampwalk_core::file::inert;
use maud::{Markup, html};

use super::table::{label, mark, value};
use crate::sheet::{Row, Style, Table, Value};

pub(super) fn stickers(table: &Table, style: Style, id: &str) -> Markup {
    html! {
        h3 id=(id) { (inert(&table.title)) }
        "\n"
        @if table.rows.is_empty() {
            p { "none" }
        } @else {
            ul class={ "stickers part-" (table.part) } {
                @for row in &table.rows { li { (sticker(table, row, style)) } "\n" }
            }
        }
        "\n"
    }
}

/// The first cell large, the others a line each.
fn sticker(table: &Table, row: &Row, style: Style) -> Markup {
    let mut cells = table.columns.iter().zip(&row.cells);
    html! {
        @if let Some((_, first)) = cells.next() { p.large { (mark(row)) (value(first, style)) } }
        @for (column, cell) in cells {
            p class=[(cell.value == Value::Empty).then_some("none")] {
                span.heading { (label(column)) } " " (value(cell, style))
            }
        }
    }
}
