//! Reads golden tables and counts the values that are checked against them.

use csv::{ReaderBuilder, StringRecord};

/// A golden table: a comment line that says where it comes from, the columns' names, the rows.
pub struct Golden {
    columns: StringRecord,
    rows: Vec<StringRecord>,
}

/// A row of a golden table.
#[derive(Clone, Copy)]
pub struct Row<'a> {
    columns: &'a StringRecord,
    cells: &'a StringRecord,
}

/// Reads a golden table.
pub fn golden(text: &str) -> Golden {
    let source = text.lines().next().and_then(|line| line.strip_prefix("# ")).unwrap_or_default();
    assert!(source.len() > 8, "a golden table says where it comes from: {source}");
    let mut reader = ReaderBuilder::new().comment(Some(b'#')).from_reader(text.as_bytes());
    let columns = reader.headers().expect("names of columns").clone();
    let rows: Vec<_> = reader.records().map(|row| row.expect("a row as wide as the header")).collect();
    assert!(!rows.is_empty());
    Golden { columns, rows }
}

impl Golden {
    pub fn rows(&self) -> impl Iterator<Item = Row<'_>> {
        self.rows.iter().map(|cells| Row { columns: &self.columns, cells })
    }
}

impl<'a> Row<'a> {
    /// The cell of a column, by its name.
    pub fn text(self, column: &str) -> &'a str {
        let at = self.columns.iter().position(|name| name == column);
        &self.cells[at.unwrap_or_else(|| panic!("no column {column}"))]
    }

    /// The number in a column; `None` where the cell is empty.
    pub fn maybe(self, column: &str) -> Option<f64> {
        let text = self.text(column);
        (!text.is_empty()).then(|| text.parse().unwrap_or_else(|_| panic!("{column}: {text} is no number")))
    }

    /// The number in a column.
    pub fn number(self, column: &str) -> f64 {
        self.maybe(column).unwrap_or_else(|| panic!("{column} is empty"))
    }
}

/// Counts what was checked.
#[derive(Default)]
pub struct Tally(usize);

impl Tally {
    /// Within an absolute tolerance.
    pub fn near(&mut self, what: &str, computed: f64, published: f64, tolerance: f64) {
        // A tolerance of half a last digit includes the half.
        let tolerance = tolerance * (1.0 + 1e-9) + 1e-12;
        assert!(
            (computed - published).abs() <= tolerance,
            "{what}: computed {computed}, published {published}, tolerance {tolerance}"
        );
        self.0 += 1;
    }

    /// Within a share of the published value.
    pub fn within(&mut self, what: &str, computed: f64, published: f64, share: f64) {
        self.near(what, computed, published, share * published.abs());
    }

    /// The same.
    pub fn same<T: PartialEq + std::fmt::Debug>(&mut self, what: &str, computed: &T, published: &T) {
        assert_eq!(computed, published, "{what}");
        self.0 += 1;
    }

    /// That so many values were checked and no table lost its rows.
    pub fn ends_at(self, count: usize) {
        assert_eq!(self.0, count, "values checked");
    }
}
