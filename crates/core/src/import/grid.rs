//! A CSV file as rows of cells: the separator found, what is around the table left out.

use csv::{ReaderBuilder, StringRecord};

use super::Refused;

/// The table of a file.
#[derive(Debug)]
pub(super) struct Grid {
    pub headings: Vec<String>,
    pub heading_line: usize,
    /// Whether the first column says of which part a row is, as in our own sheets.
    pub has_parts: bool,
    pub rows: Vec<Row>,
}

/// One row, its cells without the blanks around them.
#[derive(Debug)]
pub(super) struct Row {
    /// Where it begins, from 1.
    pub line: usize,
    pub cells: Vec<String>,
}

/// Separators, the likelier first.
const SEPARATORS: [u8; 3] = [b',', b';', b'\t'];

/// What begins a formula in a spreadsheet; our own sheets put an apostrophe before it.
const FORMULA_SIGNS: [char; 11] =
    ['\'', '=', '+', '-', '@', '\t', '\r', '\u{ff1d}', '\u{ff0b}', '\u{ff0d}', '\u{ff20}'];

impl Grid {
    pub fn of(text: &str) -> Result<Self, Refused> {
        let text = text.trim_start_matches('\u{feff}');
        let separator = separator(text);
        let mut reader = ReaderBuilder::new()
            .has_headers(false)
            .flexible(true)
            .delimiter(separator)
            .from_reader(text.as_bytes());
        let mut grid: Option<Self> = None;
        let mut record = StringRecord::new();
        let mut lines = Lines { text, at: 0, line: 1 };
        loop {
            let start = usize::try_from(reader.position().byte()).unwrap_or(usize::MAX);
            match reader.read_record(&mut record) {
                Ok(true) => {}
                Ok(false) => break,
                Err(error) => {
                    let message = format!("the row cannot be read: {error}");
                    return Err(Refused::new((lines.row(start), 1), message, "Save the sheet as CSV anew."));
                }
            }
            let line = lines.row(start);
            let cells: Vec<String> = record.iter().map(bare).collect();
            if cells.iter().all(String::is_empty) {
                continue;
            }
            let part = cells[0].as_str();
            match &mut grid {
                None if part == "sheet" && cells.len() > 2 => {}
                None => {
                    let has_parts = part == "part";
                    grid = Some(Self { headings: cells, heading_line: line, has_parts, rows: Vec::new() });
                }
                Some(grid) if grid.has_parts && part == "note" => {}
                Some(grid) => grid.rows.push(Row { line, cells }),
            }
        }
        grid.ok_or_else(|| Refused::new((1, 1), "the sheet is empty", "Its first row is the headings."))
    }
}

/// Lines of a text, counted as far as they are asked for.
struct Lines<'t> {
    text: &'t str,
    at: usize,
    line: usize,
}

impl Lines<'_> {
    /// The line on which the row that begins at `start` has its first letter: the reader leaves out
    /// empty lines before it.
    fn row(&mut self, start: usize) -> usize {
        let bytes = self.text.as_bytes();
        let start = start.min(bytes.len());
        let blank = bytes[start..].iter().take_while(|byte| matches!(byte, b'\n' | b'\r')).count();
        let at = (start + blank).max(self.at);
        let between = &bytes[self.at..at];
        let feeds = between.split(|byte| *byte == b'\n').count() - 1;
        // A lone carriage return ends a line as well.
        let lone = (self.at..at).filter(|i| bytes[*i] == b'\r' && bytes.get(i + 1) != Some(&b'\n')).count();
        self.line += feeds + lone;
        self.at = at;
        self.line
    }
}

/// The separator that parts the first row with something in it into most cells.
fn separator(text: &str) -> u8 {
    let first = text.lines().find(|line| !line.trim_matches([',', ';', '\t', ' ', '\r']).is_empty());
    let first = first.unwrap_or_default();
    let count = |separator: u8| {
        let mut is_quoted = false;
        first
            .bytes()
            .filter(|byte| {
                is_quoted ^= *byte == b'"';
                !is_quoted && *byte == separator
            })
            .count()
    };
    SEPARATORS.into_iter().rev().max_by_key(|separator| count(*separator)).unwrap_or(b',')
}

/// A cell without the apostrophe that keeps a spreadsheet from reckoning with it.
fn bare(cell: &str) -> String {
    let cell = cell.trim();
    match cell.strip_prefix('\'') {
        Some(rest) if rest.trim_start().starts_with(FORMULA_SIGNS) => rest.trim().to_owned(),
        _ => cell.to_owned(),
    }
}
