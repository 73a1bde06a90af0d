//! Golden tables of `tests/reference`: one value a cell, held against what the crate computes.

use std::fs;
use std::path::Path;

/// A table whose first line says where its values come from.
pub struct Golden {
    name: &'static str,
    columns: Vec<String>,
    rows: Vec<Vec<String>>,
    checked: usize,
}

/// One of its rows, by the columns' names.
pub struct Row<'a> {
    columns: &'a [String],
    cells: &'a [String],
}

impl Row<'_> {
    /// A cell as it is printed.
    pub fn text(&self, column: &str) -> &str {
        let place = self.columns.iter().position(|name| name == column);
        &self.cells[place.unwrap_or_else(|| panic!("no column {column} in {:?}", self.columns))]
    }

    /// A cell's number.
    pub fn number(&self, column: &str) -> f64 {
        let text = self.text(column);
        text.parse().unwrap_or_else(|_| panic!("{column}: {text}"))
    }
}

impl Golden {
    /// Reads `tests/reference/NAME.csv`.
    pub fn read(name: &'static str) -> Self {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/reference");
        let text = fs::read_to_string(folder.join(format!("{name}.csv"))).unwrap();
        let mut lines = text.lines();
        let source = lines.next().unwrap();
        assert!(source.starts_with("# ") && source.len() > 20, "{name} names no source: {source}");
        let columns = cells(lines.next().unwrap());
        let rows: Vec<Vec<String>> = lines.map(cells).collect();
        for row in &rows {
            assert_eq!(row.len(), columns.len(), "{name}: {row:?}");
        }
        Self { name, columns, rows, checked: 0 }
    }

    /// Holds every row's cells against values of ours: `ours` gives each with its column. A value may be
    /// off by what `tolerance` gives for it, or by half of the last printed digit.
    pub fn hold(
        &mut self,
        tolerance: impl Fn(f64) -> f64,
        ours: impl Fn(usize, &Row<'_>) -> Vec<(&'static str, f64)>,
    ) {
        for (number, cells) in self.rows.iter().enumerate() {
            let row = Row { columns: &self.columns, cells };
            for (column, value) in ours(number, &row) {
                let golden = row.number(column);
                let allowed = tolerance(golden).max(half_of_last_digit(row.text(column)));
                assert!(
                    (value - golden).abs() <= allowed,
                    "{}, {column} of {cells:?}: {value} is not {golden} within {allowed}",
                    self.name
                );
                self.checked += 1;
            }
        }
    }

    /// Ends the check: so many values, no fewer, were held.
    pub fn checked(&self, expected: usize) {
        assert_eq!(self.checked, expected, "values checked in {}", self.name);
    }
}

/// Half of the last digit that a number is printed with, and a little for its own rounding.
fn half_of_last_digit(text: &str) -> f64 {
    let decimals = text.split_once('.').map_or(0, |(_, decimals)| decimals.len());
    0.500_001 * 10.0_f64.powi(-i32::try_from(decimals).unwrap())
}

/// Cells of a line; a quoted one may hold commas.
fn cells(line: &str) -> Vec<String> {
    let (mut cells, mut quoted) = (vec![String::new()], false);
    for letter in line.chars() {
        match letter {
            '"' => quoted = !quoted,
            ',' if !quoted => cells.push(String::new()),
            _ => cells.last_mut().unwrap().push(letter),
        }
    }
    cells
}
