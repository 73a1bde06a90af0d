//! A survey sheet or a head sheet from a spreadsheet, as one edit of a plan.
//!
//! Pure and whole: either every row can be taken and one [`Edit::Many`] comes back, or a list of what
//! is refused, each with its place, and nothing is changed. An empty cell is something unknown: it
//! changes nothing. A row whose id is in the plan changes the keys that it gives; another one adds.

mod cell;
mod column;
mod grid;
mod number;
mod rows;

pub use cell::{Cell, Filled, filled};
pub use column::{Column, HEADS, Role, SOCKETS};

use crate::edit::{self, Address, Change, Edit, Reading, Table, Value};
use crate::file::schema::{LARGEST_FILE, MOST_ENTRIES};
use crate::file::{self, Gravity};
use crate::order::Order as _;
use column::Heading;
use grid::Grid;

/// More columns than any sheet of a survey has.
const MOST_COLUMNS: usize = 500;

/// What a sheet has a row for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sheet {
    /// The survey sheet: a row a socket.
    Sockets,
    /// The head sheet: a row a head.
    Heads,
}

impl Sheet {
    /// Both.
    pub const ALL: [Self; 2] = [Self::Sockets, Self::Heads];

    /// Its columns, in the order in which they are printed.
    #[must_use]
    pub fn columns(self) -> &'static [Column] {
        match self {
            Self::Sockets => SOCKETS,
            Self::Heads => HEADS,
        }
    }

    /// The table of the plan that its rows are in.
    #[must_use]
    pub const fn table(self) -> Table {
        match self {
            Self::Sockets => Table::Socket,
            Self::Heads => Table::Head,
        }
    }

    /// The word for it: `sockets`, `heads`.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Sockets => "sockets",
            Self::Heads => "heads",
        }
    }
}

/// A row, a cell or a heading that cannot be taken.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Refused {
    /// The line of the file where its row begins, from 1.
    pub line: usize,
    /// The cell in that row, from 1.
    pub column: usize,
    /// Why.
    pub message: String,
    /// What to do about it.
    pub remedy: String,
}

impl Refused {
    fn new(at: (usize, usize), message: impl AsRef<str>, remedy: impl AsRef<str>) -> Self {
        let (message, remedy) = (file::readable(message), file::readable(remedy));
        Self { line: at.0, column: at.1, message, remedy }
    }
}

/// A column that is not read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Aside {
    /// Its heading, as it stands in the file.
    pub heading: String,
    /// Why.
    pub why: String,
}

/// A row that changes an entry.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Changed {
    /// The entry.
    pub id: String,
    /// Its keys that change, in the order of the sheet.
    pub keys: Vec<&'static str>,
}

/// What a sheet would do to a plan.
#[derive(Clone, Debug, PartialEq)]
pub struct Import {
    /// What it has rows for.
    pub sheet: Sheet,
    /// All of it, as one step; without parts where nothing changes.
    pub edit: Edit,
    /// What that does to the text.
    pub change: Change,
    /// Ids of new entries, in the order of the rows.
    pub added: Vec<String>,
    /// Entries that change.
    pub changed: Vec<Changed>,
    /// How many rows say what the plan says already.
    pub unchanged: usize,
    /// Columns that are not read.
    pub aside: Vec<Aside>,
}

/// Reads a sheet for the plan whose text is `plan`; `what` is what it has rows for, found from its
/// headings if `None`. The plan must be one without errors.
///
/// # Errors
///
/// All that is refused, in the order of the sheet. Nothing is imported then.
pub fn import(plan: &str, csv: &str, what: Option<Sheet>) -> Result<Import, Vec<Refused>> {
    if csv.len() > LARGEST_FILE {
        let message = format!("the sheet has {} bytes; {LARGEST_FILE} at most are read", csv.len());
        return Err(vec![Refused::new((1, 1), message, "Split it into several sheets.")]);
    }
    let grid = Grid::of(csv).map_err(|refused| vec![refused])?;
    if grid.rows.len() > MOST_ENTRIES {
        let at = grid.rows[MOST_ENTRIES].line;
        let message = format!("the sheet has {} rows; a plan has {MOST_ENTRIES} at most", grid.rows.len());
        return Err(vec![Refused::new((at, 1), message, "Split the location into several plans.")]);
    }
    if grid.headings.len() > MOST_COLUMNS {
        let message =
            format!("the sheet has {} columns; {MOST_COLUMNS} at most are read", grid.headings.len());
        let place = (grid.heading_line, MOST_COLUMNS + 1);
        return Err(vec![Refused::new(place, message, "Leave out those that are not of a plan.")]);
    }
    let (sheet, columns, aside) = headings(&grid, what)?;
    let rows = rows::read(plan, &grid, sheet, &columns)?;
    let mut edits = Vec::new();
    // Key by key, not row by row: edits of different entries are made on one reading of the text.
    for column in sheet.columns() {
        for row in &rows.changed {
            let value = row.keys.iter().find(|(key, _)| *key == column.key && column.gives());
            if let Some((key, value)) = value.filter(|_| column.role != Role::At(1)) {
                let of = Address::of(sheet.table(), &row.id);
                edits.push(Edit::SetKey { of, key: (*key).to_owned(), value: Some(value.clone()) });
            }
        }
    }
    edits.extend(rows.added.iter().map(|row| Edit::AddEntry {
        of: Address::of(sheet.table(), &row.id),
        keys: row.keys.iter().map(|(key, value)| ((*key).to_owned(), value.clone())).collect(),
    }));
    let label = format!("Import {}", sheet.word());
    let edit = Edit::Many { edits, label };
    let whole = (grid.heading_line, 1);
    let change = edit::apply(plan, &edit)
        .map_err(|refusal| vec![Refused::new(whole, refusal.message, refusal.remedy)])?;
    let after = file::parse(&change.apply(plan));
    let wrong: Vec<Refused> = after
        .problems
        .iter()
        .filter(|problem| problem.gravity != Gravity::Note)
        .map(|problem| {
            let message = format!("with the sheet in it the plan would be wrong: {}", problem.message);
            Refused::new(whole, message, problem.remedy.clone())
        })
        .collect();
    if !wrong.is_empty() {
        return Err(wrong);
    }
    Ok(Import {
        sheet,
        edit,
        change,
        added: rows.added.into_iter().map(|row| row.id).collect(),
        changed: rows
            .changed
            .into_iter()
            .map(|row| Changed { id: row.id, keys: row.keys.into_iter().map(|(key, _)| key).collect() })
            .collect(),
        unchanged: rows.unchanged,
        aside,
    })
}

/// A column of the file that is read.
struct Given {
    /// Where it stands, from 0.
    at: usize,
    heading: String,
    column: &'static Column,
    /// What its numbers are multiplied with.
    factor: f64,
}

type Read = (Sheet, Vec<Given>, Vec<Aside>);

/// Which columns the file has.
fn headings(grid: &Grid, what: Option<Sheet>) -> Result<Read, Vec<Refused>> {
    let known = |sheet: Sheet| {
        let mut keys: Vec<(&str, Role)> = grid
            .headings
            .iter()
            .filter_map(|heading| Heading::of(heading).column(sheet).map(|(column, _)| column))
            .map(|column| (column.key, column.role))
            .collect();
        keys.order_by_key(|(key, role)| (*key, *role == Role::At(1)));
        keys.dedup();
        keys.len()
    };
    let [sockets, heads] = Sheet::ALL.map(known);
    let sheet = match (what, sockets.cmp(&heads)) {
        (Some(sheet), _) => sheet,
        (None, std::cmp::Ordering::Greater) => Sheet::Sockets,
        (None, std::cmp::Ordering::Less) => Sheet::Heads,
        (None, std::cmp::Ordering::Equal) => {
            let message = "its headings do not tell whether it is a sheet of sockets or of heads";
            return Err(vec![Refused::new(
                (grid.heading_line, 1),
                message,
                "Say --what sockets or --what heads.",
            )]);
        }
    };
    let mut given: Vec<Given> = Vec::new();
    let mut aside = Vec::new();
    let mut refused = Vec::new();
    for (at, heading) in grid.headings.iter().enumerate().filter(|(_, heading)| !heading.trim().is_empty()) {
        let place = (grid.heading_line, at + 1);
        let read = Heading::of(heading);
        let Some((column, unit)) = read.column(sheet) else {
            if !(at == 0 && grid.has_parts) {
                aside.push(Aside { heading: heading.clone(), why: "no such column is known".to_owned() });
            }
            continue;
        };
        if column.role == Role::Elsewhere {
            let why = match column.key {
                "socket" => "it is worked out from the other columns".to_owned(),
                owner => format!("it belongs to the {}, not to the socket", noun(owner)),
            };
            aside.push(Aside { heading: heading.clone(), why });
            continue;
        }
        let factor = if unit.is_empty() { Some(1.0) } else { number::factor(column.unit, unit) };
        let Some(factor) = factor else {
            let message = format!("{} is no unit for {}", file::quoted(unit), column.heading);
            let remedy = match column.unit {
                "" => "Leave the unit out.".to_owned(),
                unit => format!("Give it in {unit}."),
            };
            refused.push(Refused::new(place, message, remedy));
            continue;
        };
        if let Some(first) = given.iter().find(|other| std::ptr::eq(other.column, column)) {
            let message = format!(
                "{} and {} both mean {}",
                file::quoted(&first.heading),
                file::quoted(heading),
                column.heading
            );
            refused.push(Refused::new(place, message, "Keep one of the two columns."));
            continue;
        }
        given.push(Given { at, heading: heading.clone(), column, factor });
    }
    if !given.iter().any(|given| given.column.role == Role::Id) {
        let message = format!("no column has the ids of the {}", sheet.word());
        refused.push(Refused::new((grid.heading_line, 1), message, "Head one of them with `id`."));
    }
    if refused.is_empty() { Ok((sheet, given, aside)) } else { Err(refused) }
}

fn noun(table: &str) -> &str {
    if table == "rcd" { "RCD" } else { table }
}

impl Column {
    /// Whether its cells give a key.
    #[must_use]
    pub const fn gives(&self) -> bool {
        !matches!(self.role, Role::Id | Role::Elsewhere)
    }
}

/// Whether two values are one, however they are spelled.
fn same(one: &Value, other: &Value) -> bool {
    #[expect(clippy::cast_precision_loss, reason = "whole numbers of a plan are small")]
    let number = |value: &Value| match value {
        Value::Whole(whole) => Some(*whole as f64),
        Value::Number(number) => Some(*number),
        _ => None,
    };
    match (one, other) {
        (Value::List(one), Value::List(other)) => {
            one.len() == other.len() && one.iter().zip(other).all(|(one, other)| same(one, other))
        }
        // One ramp test stands with or without a list around it.
        (Value::List(list), Value::Table(_)) => list.len() == 1 && same(&list[0], other),
        (Value::Table(_), Value::List(_)) => same(other, one),
        (Value::Table(one), Value::Table(other)) => {
            one.len() == other.len()
                && one
                    .iter()
                    .all(|(key, value)| other.iter().any(|(name, other)| name == key && same(value, other)))
        }
        _ => match (number(one), number(other)) {
            (Some(one), Some(other)) => one.to_bits() == other.to_bits(),
            _ => one == other,
        },
    }
}

/// The keys of an entry, as the text has them.
fn keys_of(reading: &Reading<'_>, sheet: Sheet, id: &str) -> Vec<(String, Value)> {
    reading.keys(&Address::of(sheet.table(), id))
}
