//! What a cell of a sheet says of a plan.

use super::column::{Column, Role};
use super::{Sheet, keys_of};
use crate::edit::{Reading, Value};
use crate::id::SocketId;
use crate::plan::Plan;
use crate::shorthand::ramp_words;

/// What a cell says.
#[derive(Clone, Debug, PartialEq)]
pub enum Cell {
    /// Nothing is known.
    Empty,
    /// Words.
    Text(String),
    /// A number in the unit of its column.
    Number(f64),
}

/// One entry with the cells of its row.
#[derive(Clone, Debug, PartialEq)]
pub struct Filled {
    /// Its id.
    pub id: String,
    /// A cell for each column; empty for those of [`Role::Elsewhere`].
    pub cells: Vec<Cell>,
}

/// The rows of a sheet as the plan fills them; none where the text is not TOML. [`super::import`] takes
/// each cell back as what it was.
#[must_use]
pub fn filled(plan: &Plan, text: &str, sheet: Sheet) -> Vec<Filled> {
    let Ok(reading) = Reading::of(text) else { return Vec::new() };
    let rows = sheet.table().ids(plan).into_iter().map(|id| {
        let keys = keys_of(&reading, sheet, &id);
        let cells = sheet.columns().iter().map(|column| of(plan, &id, &keys, column)).collect();
        Filled { id, cells }
    });
    rows.collect()
}

/// What stands in one cell.
pub(super) fn of(plan: &Plan, id: &str, keys: &[(String, Value)], column: &Column) -> Cell {
    let value = || keys.iter().find(|(key, _)| key == column.key).map(|(_, value)| value);
    match column.role {
        Role::Id => Cell::Text(id.to_owned()),
        Role::Elsewhere => Cell::Empty,
        Role::Ramp => {
            let tests = plan.sockets.get(&SocketId::from(id)).map_or(&[][..], |socket| &socket.ramps);
            let words: Vec<String> = tests.iter().map(|test| ramp_words(plan, test)).collect();
            if words.is_empty() { Cell::Empty } else { Cell::Text(words.join(" ")) }
        }
        Role::At(axis) => match value() {
            Some(Value::List(both)) => both.get(axis).map_or(Cell::Empty, plain),
            _ => Cell::Empty,
        },
        Role::Key | Role::Outcome => value().map_or(Cell::Empty, plain),
    }
}

fn plain(value: &Value) -> Cell {
    match value {
        #[expect(clippy::cast_precision_loss, reason = "whole numbers of a plan are small")]
        Value::Whole(whole) => Cell::Number(*whole as f64),
        Value::Number(number) => Cell::Number(*number),
        Value::List(ends) if matches!(ends[..], [Value::Whole(_) | Value::Number(_), _]) => {
            Cell::Text(ends.iter().map(Value::shown).collect::<Vec<_>>().join(" to "))
        }
        other => Cell::Text(other.shown()),
    }
}

impl Cell {
    /// As it is written, in full.
    #[must_use]
    pub fn written(&self) -> String {
        match self {
            Self::Empty => String::new(),
            Self::Text(text) => text.clone(),
            Self::Number(number) => number.to_string(),
        }
    }
}
