//! How tests look into a sheet.

use crate::{Basis, Cell, Row, Sheet, Table, Value};

pub(super) fn part(sheet: Sheet, part: &str) -> Table {
    sheet.tables.into_iter().find(|table| table.part == part).expect("the table")
}

pub(super) fn row<'a>(table: &'a Table, name: &str) -> &'a Row {
    let named = |row: &&Row| row.cells[0].value == Value::Text(name.to_owned());
    table.rows.iter().find(named).unwrap_or_else(|| panic!("no row {name}"))
}

pub(super) fn cell<'a>(table: &'a Table, name: &str, heading: &str, unit: &str) -> &'a Cell {
    let place = table.columns.iter().position(|column| column.heading == heading && column.unit == unit);
    &row(table, name).cells[place.unwrap_or_else(|| panic!("no column {heading}"))]
}

#[track_caller]
pub(super) fn is(cell: &Cell, value: f64, basis: Basis) {
    let Value::Number(number) = &cell.value else { panic!("{cell:?}") };
    assert!((number.value - value).abs() < 0.005, "{number:?} against {value}");
    assert_eq!(cell.basis, Some(basis), "{cell:?}");
}

#[track_caller]
pub(super) fn says(cell: &Cell, text: &str) {
    assert_eq!(cell.value, Value::Text(text.to_owned()));
}

/// Every row has a cell a column, and every number says what it rests on.
#[track_caller]
pub(super) fn is_whole(table: &Table) {
    for row in &table.rows {
        assert_eq!(row.cells.len(), table.columns.len(), "{}", table.part);
        for (column, cell) in table.columns.iter().zip(&row.cells) {
            let is_number = matches!(cell.value, Value::Number(_));
            assert!(!is_number || cell.basis.is_some(), "{} {}", table.part, column.heading);
            assert!(!is_number || !column.unit.is_empty(), "{} {}", table.part, column.heading);
            assert!(cell.basis.is_none() || column.is_marked, "{} {}", table.part, column.heading);
        }
    }
}
