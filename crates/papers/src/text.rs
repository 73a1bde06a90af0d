//! A sheet as text, for a printer that prints letters of one width, in black on white.

use unicode_segmentation::UnicodeSegmentation;
use unicode_width::UnicodeWidthStr;

use crate::sheet::{Column, Row, Sheet, Style, Table};
use ampwalk_core::file::inert;

/// The narrowest that tables can be told in.
const NARROWEST: usize = 40;
/// Blanks between columns.
const GAP: usize = 2;
/// Columns of words are folded at this share of the width: one part in …
const FOLD: usize = 3;

impl Sheet {
    /// The sheet as text, no line wider than `width` columns (40 at least; 80 is letter and A4 in
    /// an everyday size). Where a table is wider than that it goes on below, its first column
    /// repeated. Wide letters count two.
    #[must_use]
    pub fn to_text(&self, width: usize) -> String {
        let width = width.max(NARROWEST);
        let mut lines = folded(&self.title, width);
        lines.push("=".repeat(width));
        let names = self.fields.iter().map(|field| field.name.width()).max().unwrap_or_default();
        let names = names.min(width / FOLD);
        for field in &self.fields {
            let value = field.value.as_deref().map_or_else(|| "_".repeat(24), inert);
            let parts = [(inert(&field.name), names), (value, width - names - GAP)];
            lines.extend(beside(&parts.map(|(text, width)| Piece::left(text, width))));
        }
        for table in &self.tables {
            lines.push(String::new());
            lines.extend(table_lines(table, self.style, width));
        }
        lines.push(String::new());
        for told in self.legend("____") {
            lines.extend(folded(&told, width));
        }
        for note in &self.notes {
            lines.extend(folded(note, width));
        }
        let mut text = String::new();
        for line in lines {
            text.push_str(line.trim_end());
            text.push('\n');
        }
        text
    }
}

/// A cell's text, its width and the side that it leans on.
struct Piece {
    text: String,
    width: usize,
    right: bool,
}

impl Piece {
    fn left(text: String, width: usize) -> Self {
        Self { text, width, right: false }
    }
}

fn table_lines(table: &Table, style: Style, width: usize) -> Vec<String> {
    let mut lines = folded(&table.title, width);
    let widths: Vec<usize> = table
        .columns
        .iter()
        .enumerate()
        .map(|(place, column)| {
            let cells = table.rows.iter().filter_map(|row| cell_in(row, place, style));
            let widest = cells.map(|text| text.width()).max().unwrap_or_default();
            let heading = column.heading.split(' ').map(UnicodeWidthStr::width).max().unwrap_or_default();
            widest.max(heading).max(column.unit.width()).clamp(1, width / FOLD)
        })
        .collect();
    for band in bands(&widths, width) {
        lines.push("-".repeat(width));
        let headings: Vec<Piece> =
            band.iter().map(|place| heading(&table.columns[*place], widths[*place])).collect();
        lines.extend(beside(&headings));
        for row in &table.rows {
            let pieces: Vec<Piece> = band
                .iter()
                .filter_map(|place| {
                    let column = &table.columns[*place];
                    let (text, width) = (cell_in(row, *place, style)?, widths[*place]);
                    Some(Piece { text, width, right: column.is_of_numbers() })
                })
                .collect();
            lines.extend(beside(&pieces));
        }
        if table.rows.is_empty() {
            lines.push("none".to_owned());
        }
    }
    lines
}

/// Columns that stand beside each other, the first of all repeated in each band.
fn bands(widths: &[usize], width: usize) -> Vec<Vec<usize>> {
    let Some(first) = widths.first() else { return Vec::new() };
    let mut bands = vec![vec![0]];
    let mut used = *first;
    for (place, own) in widths.iter().enumerate().skip(1) {
        if used + GAP + own > width {
            bands.push(vec![0]);
            used = *first;
        }
        used += GAP + own;
        if let Some(band) = bands.last_mut() {
            band.push(place);
        }
    }
    bands
}

fn heading(column: &Column, width: usize) -> Piece {
    Piece { text: inert(&column.label()), width, right: column.is_of_numbers() }
}

/// The text of one cell of a row; the first one tells whether the row was changed.
fn cell_in(row: &Row, place: usize, style: Style) -> Option<String> {
    let told = row.cells.get(place)?.told(style);
    let text = told.map_or_else(|| "____".to_owned(), |told| inert(&told));
    Some(if place == 0 && row.is_changed { format!("*{text}") } else { text })
}

/// Pieces side by side, each folded to its width.
fn beside(pieces: &[Piece]) -> Vec<String> {
    let columns: Vec<Vec<String>> = pieces.iter().map(|piece| folded(&piece.text, piece.width)).collect();
    let height = columns.iter().map(Vec::len).max().unwrap_or_default();
    (0..height)
        .map(|row| {
            let mut line = String::new();
            for (place, (piece, column)) in pieces.iter().zip(&columns).enumerate() {
                if place > 0 {
                    line.push_str(&" ".repeat(GAP));
                }
                let text = column.get(row).map_or("", String::as_str);
                let rest = " ".repeat(piece.width.saturating_sub(text.width()));
                line.push_str(&if piece.right { rest + text } else { text.to_owned() + &rest });
            }
            line
        })
        .collect()
}

/// Text in lines of `width` columns at most, broken at blanks where there are any.
fn folded(text: &str, width: usize) -> Vec<String> {
    let mut lines = Vec::new();
    let mut line = String::new();
    for word in inert(text).split_whitespace() {
        let joined = if line.is_empty() { word.to_owned() } else { format!("{line} {word}") };
        if joined.width() <= width {
            line = joined;
            continue;
        }
        if !line.is_empty() {
            lines.push(std::mem::take(&mut line));
        }
        for letter in word.graphemes(true) {
            let longer = format!("{line}{letter}");
            if longer.width() > width && !line.is_empty() {
                lines.push(std::mem::replace(&mut line, letter.to_owned()));
            } else {
                line = longer;
            }
        }
    }
    lines.push(line);
    lines
}
