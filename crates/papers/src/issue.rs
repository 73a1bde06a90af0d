//! Revisions of sheets: what was handed out before, what is changed since, and by which letter the new
//! one goes.
//!
//! Each sheet has its own letter. A sheet that says what it said keeps letter, date and marks, so that it
//! comes out byte by byte as it was.

mod letter;

use std::collections::HashMap;

use serde::{Deserialize, Serialize};

use crate::sheet::{Cell, Column, Field, Kind, Sheet, Table, Value};

/// What the letter and its date are called on a sheet.
const REVISION: &str = "revision";

/// What was handed out: a record for each sheet, kept beside the files.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Register {
    /// The version of the record's format.
    pub ampwalk: u32,
    /// The plan that the sheets were made from last, all of them.
    #[serde(default)]
    pub made_from: Option<MadeFrom>,
    /// The sheets, each as it was issued last.
    pub sheets: Vec<Issued>,
    /// The files that they stand in.
    pub files: Vec<IssuedFile>,
}

/// What sheets were made from.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct MadeFrom {
    /// The version of the program.
    pub program: String,
    /// The length of the plan's text.
    pub bytes: u64,
    /// CRC-32 of it.
    pub crc32: u32,
}

/// A sheet as it was issued last.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Issued {
    /// Which sheet, by its word.
    pub sheet: String,
    /// The setup that it tells of.
    pub setup: Option<String>,
    /// Its letter: `A` for the first.
    pub revision: String,
    /// The letter before it.
    pub since: Option<String>,
    /// Date and hour when it was issued.
    pub at: String,
    /// What stands around its tables, line by line.
    pub around: Vec<String>,
    /// Its tables.
    pub tables: Vec<IssuedTable>,
}

/// A table as it was issued last.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct IssuedTable {
    /// The word for its rows.
    pub part: String,
    /// Its headings.
    pub headings: Vec<String>,
    /// Its rows.
    pub rows: Vec<IssuedRow>,
    /// The first cells of rows that the issue before had.
    pub gone: Vec<String>,
}

/// A row as it was issued last.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct IssuedRow {
    /// Its cells as text.
    pub cells: Vec<String>,
    /// Whether it said something else than the issue before it.
    pub changed: bool,
}

/// A file as it was written.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct IssuedFile {
    /// Its name in the folder.
    pub name: String,
    /// Its length.
    pub bytes: u64,
    /// CRC-32 (ISO-HDLC, as in zip files) of what is in it.
    pub crc32: u32,
}

impl Register {
    /// What was issued last of a sheet.
    #[must_use]
    pub fn of(&self, sheet: &Sheet) -> Option<&Issued> {
        self.sheets.iter().find(|issued| issued.sheet == sheet.kind.word() && issued.setup == sheet.setup)
    }

    /// Gives a sheet its letter and the marks of what is changed, and records it. `now` is date and hour.
    pub fn issue(&mut self, sheet: &mut Sheet, now: &str) -> Issued {
        let before = self
            .sheets
            .iter()
            .position(|issued| issued.sheet == sheet.kind.word() && issued.setup == sheet.setup);
        let issued = next(sheet, before.map(|at| &self.sheets[at]), now);
        mark(sheet, &issued);
        match before {
            Some(at) => self.sheets[at] = issued.clone(),
            None => self.sheets.push(issued.clone()),
        }
        issued
    }
}

impl Issued {
    /// How many rows are changed, new ones among them.
    #[must_use]
    pub fn changed_rows(&self) -> usize {
        self.tables.iter().flat_map(|table| &table.rows).filter(|row| row.changed).count()
    }

    /// How many rows are gone.
    #[must_use]
    pub fn gone_rows(&self) -> usize {
        self.tables.iter().map(|table| table.gone.len()).sum()
    }

    /// The letter with its date, and what is changed since the one before.
    fn told(&self) -> String {
        let Some(since) = &self.since else { return format!("{}, {}", self.revision, self.at) };
        let rows = |count: usize| if count == 1 { "1 row".to_owned() } else { format!("{count} rows") };
        let mut what = Vec::new();
        if self.changed_rows() > 0 {
            what.push(format!("{} changed", rows(self.changed_rows())));
        }
        if self.gone_rows() > 0 {
            what.push(format!("{} gone", rows(self.gone_rows())));
        }
        if what.is_empty() {
            what.push("changed around the tables".to_owned());
        }
        format!("{}, {}: {} since {since}", self.revision, self.at, what.join(", "))
    }
}

/// What a sheet says, compared with what was issued of it before.
fn next(sheet: &Sheet, before: Option<&Issued>, now: &str) -> Issued {
    let around = around(sheet);
    let mut tables: Vec<IssuedTable> = sheet.tables.iter().map(recorded).collect();
    let first = |tables| Issued {
        sheet: sheet.kind.word().to_owned(),
        setup: sheet.setup.clone(),
        revision: letter::FIRST.to_owned(),
        since: None,
        at: now.to_owned(),
        around: around.clone(),
        tables,
    };
    let Some(before) = before else { return first(tables) };
    for table in &mut tables {
        compare(table, before.tables.iter().find(|other| other.part == table.part));
    }
    let is_as_before = around == before.around
        && tables.len() == before.tables.len()
        && tables.iter().all(|table| table.gone.is_empty() && table.rows.iter().all(|row| !row.changed));
    if is_as_before {
        return before.clone();
    }
    Issued {
        revision: letter::after(&before.revision),
        since: Some(before.revision.clone()),
        ..first(tables)
    }
}

/// Marks the rows of a table that are not in the one before, and names those that it has no more. A row is
/// known by its first cell; where several have the same, by their order.
fn compare(table: &mut IssuedTable, before: Option<&IssuedTable>) {
    let Some(before) = before.filter(|before| before.headings == table.headings) else {
        table.rows.iter_mut().for_each(|row| row.changed = true);
        return;
    };
    let mut known: HashMap<&str, Vec<&IssuedRow>> = HashMap::new();
    for row in before.rows.iter().rev() {
        known.entry(name(row)).or_default().push(row);
    }
    for row in &mut table.rows {
        let then = known.get_mut(name(row)).and_then(Vec::pop);
        row.changed = then.is_none_or(|then| then.cells != row.cells);
    }
    // Of several of one name those at the end are left over.
    table.gone = before
        .rows
        .iter()
        .rev()
        .filter(|row| known.get_mut(name(row)).is_some_and(|left| left.pop().is_some()))
        .map(|row| name(row).to_owned())
        .collect();
    table.gone.reverse();
}

fn name(row: &IssuedRow) -> &str {
    row.cells.first().map_or("", String::as_str)
}

/// A table as a record has it.
fn recorded(table: &Table) -> IssuedTable {
    IssuedTable {
        part: table.part.to_owned(),
        headings: table.columns.iter().map(Column::label).collect(),
        rows: table
            .rows
            .iter()
            .map(|row| IssuedRow { cells: row.cells.iter().map(said).collect(), changed: false })
            .collect(),
        gone: Vec::new(),
    }
}

/// What a cell says, with the sign for what it rests on: a number that was measured since has changed.
fn said(cell: &Cell) -> String {
    let text = match &cell.value {
        Value::Empty | Value::Blank => String::new(),
        Value::Text(text) => text.clone(),
        Value::Number(number) => number.written(number.decimals),
    };
    match cell.basis {
        Some(basis) => format!("{text}{}", basis.sign()),
        None => text,
    }
}

/// What stands around the tables of a sheet.
fn around(sheet: &Sheet) -> Vec<String> {
    let field = |field: &Field| format!("{}: {}", field.name, field.value.as_deref().unwrap_or_default());
    let mut lines = vec![sheet.title.clone()];
    lines.extend(sheet.fields.iter().map(field));
    lines.extend(sheet.tables.iter().map(|table| table.title.clone()));
    lines.extend(sheet.notes.iter().cloned());
    lines.extend(sheet.drawings.iter().map(|drawing| format!("{drawing:?}")));
    lines.extend(sheet.codes.iter().cloned());
    lines
}

/// Puts the letter on a sheet, marks its rows, and names those that are gone.
fn mark(sheet: &mut Sheet, issued: &Issued) {
    let field = Field { name: REVISION.to_owned(), value: Some(issued.told()) };
    // The producer reads the verdict first.
    let place = if sheet.kind == Kind::Generator { sheet.fields.len() } else { 0 };
    sheet.fields.insert(place, field);
    for (table, known) in sheet.tables.iter_mut().zip(&issued.tables) {
        for (row, known) in table.rows.iter_mut().zip(&known.rows) {
            row.is_changed = known.changed;
        }
    }
    let since = issued.since.as_deref().unwrap_or_default();
    let titles = sheet.tables.iter().map(|table| table.title.as_str());
    let gone = titles.zip(&issued.tables).filter(|(_, known)| !known.gone.is_empty());
    let notes: Vec<String> = gone
        .map(|(title, known)| format!("Gone since {since} from \"{title}\": {}.", known.gone.join(", ")))
        .collect();
    sheet.notes.splice(0..0, notes);
}

#[cfg(test)]
mod tests;
