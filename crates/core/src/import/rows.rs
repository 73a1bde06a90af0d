//! Rows, cell by cell, as what they change.

use std::collections::HashMap;

use super::column::Role;
use super::grid::{Grid, Row};
use super::number::{NoNumber, Numbers, has_decimal_comma};
use super::{Given, Refused, Sheet, cell, keys_of, same};
use crate::edit::{Reading, Table, Value, typed};
use crate::file::schema::{Key, Kind, Need, Target};
use crate::file::tree::Tree;
use crate::file::{self, quoted, toml_tree, value_problem};
use crate::plan::Plan;
use crate::shorthand::{self, Subject};

/// What the rows come to.
#[derive(Debug, Default)]
pub(super) struct Rows {
    pub added: Vec<Entry>,
    pub changed: Vec<Entry>,
    pub unchanged: usize,
}

/// What one row gives, or changes.
#[derive(Debug)]
pub(super) struct Entry {
    pub id: String,
    pub keys: Vec<(&'static str, Value)>,
}

/// What is known while cells are read.
struct Context<'a> {
    plan: Plan,
    tree: Tree<'a>,
    sheet: Sheet,
    numbers: Numbers,
    /// An id that nothing in the plan has.
    free_id: String,
}

/// Why a cell is refused: message and remedy.
type Why = (String, String);

pub(super) fn read(text: &str, grid: &Grid, sheet: Sheet, columns: &[Given]) -> Result<Rows, Vec<Refused>> {
    let reading = Reading::of(text);
    let (Ok(reading), Ok(tree)) = (reading, toml_tree(text)) else {
        return Err(vec![Refused::new((1, 1), "the plan is not TOML", "Mend the plan first.")]);
    };
    let plan = file::parse(text).plan;
    let has_decimal_commas = grid.rows.iter().any(|row| {
        columns.iter().any(|given| {
            !given.column.unit.is_empty()
                && row.cells.get(given.at).is_some_and(|cell| has_decimal_comma(cell))
        })
    });
    let free_id = free_id(&plan);
    let context = Context { plan, tree, sheet, numbers: Numbers { has_decimal_commas }, free_id };
    let mut rows = Rows::default();
    let mut refused = Vec::new();
    let mut seen: HashMap<&str, usize> = HashMap::new();
    let Some(ids) = columns.iter().find(|given| given.column.role == Role::Id) else {
        return Ok(rows);
    };
    let all_ids: std::collections::HashSet<String> = sheet.table().ids(&context.plan).into_iter().collect();
    for row in &grid.rows {
        let id = row.cells.get(ids.at).map_or("", String::as_str);
        let place = (row.line, ids.at + 1);
        if !file::is_id(id) {
            let message = if id.is_empty() {
                "the row has no id".to_owned()
            } else {
                format!("{} is no id", quoted(id))
            };
            refused.push(Refused::new(
                place,
                message,
                "An id is letters, digits, `-` and `_`, with no spaces.",
            ));
            continue;
        }
        if let Some(line) = seen.insert(id, row.line) {
            let message = format!("`{id}` has a row already, on line {line}");
            refused.push(Refused::new(place, message, "Keep one of the two rows."));
            continue;
        }
        let is_there = all_ids.contains(id);
        let there = if is_there { keys_of(&reading, sheet, id) } else { Vec::new() };
        let before = refused.len();
        let keys = context.row(row, id, columns, &there, &mut refused);
        if refused.len() > before {
            continue;
        }
        match (is_there, keys.is_empty()) {
            (true, true) => rows.unchanged += 1,
            (true, false) => rows.changed.push(Entry { id: id.to_owned(), keys }),
            (false, _) => match missing(sheet.table(), &keys) {
                None => rows.added.push(Entry { id: id.to_owned(), keys }),
                Some((message, remedy)) => refused.push(Refused::new(place, message, remedy)),
            },
        }
    }
    if refused.is_empty() { Ok(rows) } else { Err(refused) }
}

/// What a new entry still needs.
fn missing(table: Table, keys: &[(&'static str, Value)]) -> Option<Why> {
    let has = |name: &str| keys.iter().any(|(key, _)| *key == name);
    let noun = table.noun();
    let needed = table.schema().keys.iter().find(|key| key.need == Need::Required && !has(key.name));
    if let Some(key) = needed {
        return Some((format!("a new {noun} needs its {}", key.name), format!("Fill in `{}`.", key.name)));
    }
    (table == Table::Head && !["class", "amps", "watts"].into_iter().any(has))
        .then(|| ("a new head needs a class, watts or amps".to_owned(), "Fill in one of them.".to_owned()))
}

/// An id that no entry has.
fn free_id(plan: &Plan) -> String {
    let is_taken =
        |id: &str| Table::ALL.into_iter().any(|table| table.ids(plan).iter().any(|taken| taken == id));
    let mut id = "row-of-a-sheet".to_owned();
    while is_taken(&id) {
        id.push('-');
    }
    id
}

impl Context<'_> {
    /// What a row changes.
    fn row(
        &self,
        row: &Row,
        id: &str,
        columns: &[Given],
        there: &[(String, Value)],
        refused: &mut Vec<Refused>,
    ) -> Vec<(&'static str, Value)> {
        let mut keys: Vec<(&'static str, Value)> = Vec::new();
        let mut at: [Option<(usize, f64)>; 2] = [None; 2];
        for given in columns.iter().filter(|given| given.column.gives()) {
            let Some(text) = row.cells.get(given.at).filter(|text| !text.is_empty()) else { continue };
            let stands = cell::of(&self.plan, id, there, given.column);
            let stands = stands.written();
            // Papers write letters out by their number that would act on something.
            let is_as_printed = [stands.trim(), &file::inert(stands.trim())].contains(&text.as_str());
            if is_as_printed && given.factor.to_bits() == 1.0_f64.to_bits() {
                continue;
            }
            let read = match given.column.role {
                Role::At(axis) => self.number(text, "m", given.factor).map(|number| {
                    at[axis] = Some((given.at, number));
                    None
                }),
                Role::Ramp => self.line(&ramp_line(text), "ramp").map(Some),
                Role::Outcome => self.line(text, "test").map(Some),
                _ => self.value(text, given).map(Some),
            };
            match read.and_then(|value| match value {
                Some(value) => self.checked(given.column.key, id, value).map(Some),
                None => Ok(None),
            }) {
                Ok(Some(value)) => {
                    let old = there.iter().find(|(key, _)| key == given.column.key);
                    if !old.is_some_and(|(_, old)| same(old, &value)) {
                        keys.push((given.column.key, value));
                    }
                }
                Ok(None) => {}
                Err((message, remedy)) => {
                    refused.push(Refused::new((row.line, given.at + 1), message, remedy));
                }
            }
        }
        if let Some(first) = at.iter().flatten().next() {
            match self.place(at.map(|one| one.map(|(_, number)| number)), id, there) {
                Ok(Some(value)) => keys.push(("at", value)),
                Ok(None) => {}
                Err((message, remedy)) => {
                    refused.push(Refused::new((row.line, first.0 + 1), message, remedy));
                }
            }
        }
        keys
    }

    /// Both numbers of a place: the one that the row leaves out is that of the plan.
    fn place(&self, at: [Option<f64>; 2], id: &str, there: &[(String, Value)]) -> Result<Option<Value>, Why> {
        let old = there.iter().find(|(key, _)| key == "at").map(|(_, value)| value);
        let mut both = Vec::new();
        for (axis, number) in at.into_iter().enumerate() {
            let stands = match old {
                Some(Value::List(both)) => both.get(axis).cloned(),
                _ => None,
            };
            let Some(value) = number.map(Value::Number).or(stands) else {
                let missing = ["x", "y"][axis];
                return Err((
                    format!("a place needs x and y; {missing} is missing"),
                    format!("Fill in {missing}, or leave both empty."),
                ));
            };
            both.push(value);
        }
        let value = self.checked("at", id, Value::List(both))?;
        Ok(Some(value).filter(|value| !old.is_some_and(|old| same(old, value))))
    }

    fn number(&self, text: &str, unit: &str, factor: f64) -> Result<f64, Why> {
        self.numbers.number(text, unit, factor).map_err(|why| no_number(text, unit, why))
    }

    /// The value of a cell of a plain key.
    fn value(&self, text: &str, given: &Given) -> Result<Value, Why> {
        let unit = given.column.unit;
        let kind = self.key(given.column.key).map(|key| key.kind);
        match kind {
            Some(Kind::Number(_)) => self.number(text, unit, given.factor).map(Value::Number),
            Some(Kind::Range(_)) => {
                self.numbers.range(text, unit, given.factor).map_err(|why| no_number(text, unit, why))
            }
            Some(Kind::Whole(..) | Kind::WholeOf(_)) => {
                let number = self.number(text, unit, given.factor)?;
                #[expect(
                    clippy::cast_possible_truncation,
                    reason = "looked at before: whole, and far below the largest"
                )]
                let whole = (number.fract() == 0.0 && number.abs() < 1e15).then_some(number as i64);
                whole.map(Value::Whole).ok_or_else(|| no_number(text, "", NoNumber::Other))
            }
            Some(Kind::Id(target)) => Ok(Value::Text(self.id_of(target, text))),
            Some(Kind::Ids(target, _)) => {
                let parts =
                    text.split(|c: char| c.is_whitespace() || matches!(c, ',' | ';' | '+' | '[' | ']' | '"'));
                let ids =
                    parts.filter(|part| !part.is_empty()).map(|part| Value::Text(self.id_of(target, part)));
                Ok(Value::List(ids.collect()))
            }
            Some(Kind::Choice(words)) => {
                let word = words.iter().find(|word| word.eq_ignore_ascii_case(text));
                Ok(Value::text(word.map_or(text, |word| word)))
            }
            Some(Kind::Text) => Ok(Value::Text(text.to_owned())),
            Some(kind) => typed(kind, text).map_err(|why| {
                (format!("{} is not it: {why}", quoted(text)), "Write it so, or leave it empty.".to_owned())
            }),
            None => Err((format!("{} cannot be read", quoted(text)), "Leave it empty.".to_owned())),
        }
    }

    fn key(&self, name: &str) -> Option<&'static Key> {
        self.sheet.table().schema().key(name)
    }

    /// The id that a cell means: an id as it is, in other letters, or a name that only one has. What is
    /// none of them stays as it is, and is refused with the nearest.
    fn id_of(&self, target: Target, text: &str) -> String {
        let plan = &self.plan;
        let known: Vec<(String, Option<&str>)> = match target {
            Target::Room => {
                plan.rooms.iter().map(|(id, room)| (id.to_string(), room.name.as_deref())).collect()
            }
            Target::Circuit => {
                plan.circuits.iter().map(|(id, circuit)| (id.to_string(), circuit.name.as_deref())).collect()
            }
            Target::Socket => plan.sockets.keys().map(|id| (id.to_string(), None)).collect(),
            Target::Rcd => plan.rcds.keys().map(|id| (id.to_string(), None)).collect(),
            Target::Lead => {
                let cables = plan.cables.keys().map(|id| (id.to_string(), None));
                cables.chain(plan.blocks.keys().map(|id| (id.to_string(), None))).collect()
            }
            _ => return text.to_owned(),
        };
        if known.iter().any(|(id, _)| id == text) {
            return text.to_owned();
        }
        let small = text.to_lowercase();
        let is_id = |(id, _): &&(String, Option<&str>)| id.to_lowercase() == small;
        let is_name =
            |(_, name): &&(String, Option<&str>)| name.is_some_and(|name| name.to_lowercase() == small);
        let only = |found: Vec<&(String, Option<&str>)>| match found[..] {
            [one] => Some(one.0.clone()),
            _ => None,
        };
        only(known.iter().filter(is_id).collect())
            .or_else(|| only(known.iter().filter(is_name).collect()))
            .unwrap_or_else(|| text.to_owned())
    }

    /// The value, where the key takes it and what it names is in the plan.
    fn checked(&self, key: &str, id: &str, value: Value) -> Result<Value, Why> {
        let Some(key) = self.key(key) else { return Ok(value) };
        let owner = format!("{} {id}", self.sheet.table().noun());
        match value_problem(key, &owner, &value.written(), Some(&self.tree)) {
            Some(problem) => Err((problem.message, problem.remedy)),
            None => Ok(value),
        }
    }

    /// A cell in the words of a one-line entry.
    fn line(&self, text: &str, key: &str) -> Result<Value, Why> {
        let line =
            shorthand::read(&self.plan, Subject::Entry(Table::Socket), &format!("{} {text}", self.free_id));
        if let Some(wrong) = line.misread.first() {
            return Err((wrong.why.clone(), wrong.remedy()));
        }
        match line.assigned() {
            [(name, Some(value))] if *name == key => Ok(value.clone()),
            _ => Err(match key {
                "ramp" => (
                    format!("{} is no ramp test", quoted(text)),
                    "Write held and tripped like 15/20, -/10 or 20+.".to_owned(),
                ),
                _ => (
                    format!("{} is nothing that a tester says", quoted(text)),
                    "Write ok, reversed, no earth, no neutral, dead, active on earth, odd or untested."
                        .to_owned(),
                ),
            }),
        }
    }
}

/// Ramp tests may stand without their r, and with a `;` between them.
fn ramp_line(text: &str) -> String {
    let words = text.split(|c: char| c.is_whitespace() || c == ';').filter(|word| !word.is_empty());
    let with_r = words.map(|word| {
        let is_bare = word.starts_with(|c: char| c.is_ascii_digit() || c == '-');
        if is_bare && (word.contains('/') || word.ends_with('+')) {
            format!("r{word}")
        } else {
            word.to_owned()
        }
    });
    with_r.collect::<Vec<_>>().join(" ")
}

fn no_number(text: &str, unit: &str, why: NoNumber) -> Why {
    match why {
        NoNumber::Other => (
            format!("{} is no number", quoted(text)),
            if unit.is_empty() { "Write a number.".to_owned() } else { format!("Write a number of {unit}.") },
        ),
        NoNumber::TwoWays => (
            format!("{} may be thousands or decimals", quoted(text)),
            "Write thousands without a mark, or one decimal more or less.".to_owned(),
        ),
        NoNumber::Unit(other) => (
            format!("{} is no unit of this column", quoted(&other)),
            if unit.is_empty() { "Leave the unit out.".to_owned() } else { format!("Give it in {unit}.") },
        ),
    }
}
