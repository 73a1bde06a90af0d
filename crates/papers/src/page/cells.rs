//! What cells and headings say on paper.

use crate::sheet::{Cell, Column, Row, Style, Table};

use super::fonts::printable;

/// What stands in a cell.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Shown {
    Text(String),
    /// A line to be written on.
    Blank,
}

/// A heading with its unit.
pub(crate) fn heading(column: &Column) -> String {
    printable(&column.label())
}

/// What a cell says, with the sign of what it rests on.
pub(crate) fn shown(cell: &Cell, style: Style) -> Shown {
    cell.told(style).map_or(Shown::Blank, |told| Shown::Text(printable(&told)))
}

/// The cells of a row, one a column; the first says whether the row was changed.
pub(crate) fn cells(table: &Table, row: &Row, style: Style) -> Vec<Shown> {
    let places = 0..table.columns.len();
    let mut shown: Vec<Shown> =
        places.map(|place| row.cells.get(place).map_or(Shown::Blank, |cell| shown(cell, style))).collect();
    if let Some(first) = shown.first_mut().filter(|_| row.is_changed) {
        *first = match first {
            Shown::Text(text) => Shown::Text(format!("* {text}")),
            Shown::Blank => Shown::Text("*".to_owned()),
        };
    }
    shown
}
