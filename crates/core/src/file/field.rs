//! The fields of one table: checked against the schema, then taken by name.

use std::ops::Range;

use super::check::{Checked, Reading, check};
use super::nearest::{nearest, without_unit};
use super::problem::{Told, quoted, told};
use super::schema::{self, Either, Key, Kind, Need, TableSchema};
use super::tree::{Entry, TableIndex, Value};
use crate::plan::{BaseLoadRef, BoxArea, ClockTime, Hours, Point, Spectrum};
use crate::unit::{Leakage, MilliAmps};

/// The good fields of one table.
#[derive(Debug)]
pub(super) struct Fields {
    schema: &'static TableSchema,
    /// What the table is of, for messages: "head `A`".
    pub owner: String,
    /// Where the table stands.
    pub place: Range<usize>,
    found: Vec<Field>,
}

#[derive(Debug)]
struct Field {
    name: &'static str,
    place: Range<usize>,
    value: Option<Checked>,
}

/// Checks a table against its schema.
pub(super) fn fields(
    reading: &mut Reading<'_>,
    schema: &'static TableSchema,
    table: TableIndex,
    owner: String,
) -> Fields {
    let tree = reading.tree;
    let table = tree.table(table);
    let mut found = Vec::with_capacity(table.entries.len().min(schema.keys.len()));
    for (name, entry) in &table.entries {
        let Some(key) = schema.key(name) else {
            unknown(reading, schema, name, entry, &owner);
            continue;
        };
        found.push(Field {
            name: key.name,
            place: entry.item.place.clone(),
            value: check(reading, key, &entry.item, &owner),
        });
    }
    let fields = Fields { schema, owner, place: table.place.clone(), found };
    for key in schema.keys {
        if key.need == Need::Required && !fields.has(key.name) {
            missing(reading, &fields, key);
        }
    }
    if let Some(either) = schema.either {
        one_of(reading, &fields, either);
    }
    fields
}

/// Checks that one of a few keys is there, and both only where they may.
fn one_of(reading: &mut Reading<'_>, fields: &Fields, either: &'static Either) {
    if !either.keys.iter().any(|key| fields.has(key)) {
        let (has, remedy) = either.none;
        reading.problems.error("missing-key", fields.place.clone(), || {
            told(format!("{} has {has}", fields.owner), remedy)
        });
    }
    let (Some(both), [first, second, ..]) = (&either.both, either.keys) else {
        return;
    };
    if fields.has(first) && fields.has(second) {
        let first = fields.place_of(first);
        reading.problems.error(both.code, fields.place_of(second), || {
            told(format!("{} has {}", fields.owner, both.message), both.remedy).and(first, both.first)
        });
    }
}

fn missing(reading: &mut Reading<'_>, fields: &Fields, key: &'static Key) {
    // The top's own keys have remedies of their own.
    if fields.schema.name.is_empty() {
        return;
    }
    reading.problems.error("missing-key", fields.place.clone(), || {
        told(
            format!("{} has no `{}`", fields.owner, key.name),
            format!("Add `{} = …`: {}.", key.name, key.kind.expects()),
        )
    });
}

fn unknown(
    reading: &mut Reading<'_>,
    schema: &'static TableSchema,
    name: &str,
    entry: &Entry<'_>,
    owner: &str,
) {
    let is_table = matches!(entry.item.value, Value::Table(_) | Value::Tables(_));
    let (code, what) =
        if is_table && schema.name.is_empty() { ("unknown-table", "table") } else { ("unknown-key", "key") };
    reading.problems.error(code, entry.key.clone(), || {
        let place = if schema.name.is_empty() { "the plan".to_owned() } else { owner.to_owned() };
        unknown_told(schema, name, what, &place, &entry.item.value)
    });
}

fn unknown_told(
    schema: &'static TableSchema,
    name: &str,
    what: &str,
    place: &str,
    value: &Value<'_>,
) -> Told {
    let message = format!("{place} has no {what} {}", quoted(name));
    if let Some((key, factor)) = same_in_another_unit(schema, name) {
        let written = match value {
            Value::Whole(Some(whole)) => {
                super::number::from_text(&whole.to_string(), super::schema::Unit::Factor)
            }
            Value::Number(number) => Some(*number),
            _ => None,
        };
        let amount = written.map_or("…".to_owned(), |number| super::number::shown(number * factor));
        return told(message, format!("Write `{key} = {amount}`: its unit is in its name."));
    }
    let keys = || schema.keys.iter().map(|key| key.name);
    let near = without_unit(name, keys()).or_else(|| nearest(name, keys()));
    let elsewhere = known_elsewhere(schema, name);
    let remedy = match (near, elsewhere.as_slice()) {
        (Some(key), []) => format!("Did you mean `{key}`?"),
        (_, [_, ..]) => format!("`{name}` belongs in {}.", elsewhere.join(", ")),
        (None, []) => {
            let keys: Vec<&str> = keys().collect();
            format!("Known here: {}.", keys.join(", "))
        }
    };
    told(message, remedy)
}

/// `length_ft` for `length_m`: the same thing in a unit that the file does not take.
fn same_in_another_unit(schema: &'static TableSchema, name: &str) -> Option<(&'static str, f64)> {
    let (stem, suffix) = name.rsplit_once('_')?;
    schema.keys.iter().find_map(|key| {
        let (Kind::Number(bounds) | Kind::Range(bounds)) = key.kind else {
            return None;
        };
        let (own_stem, _) = key.name.rsplit_once('_')?;
        let factor = super::number::other_unit(suffix, bounds.unit)?;
        (own_stem == stem).then_some((key.name, factor))
    })
}

/// Other tables that have a key of that name, as they are written.
fn known_elsewhere(schema: &'static TableSchema, name: &str) -> Vec<String> {
    const MOST: usize = 3;
    schema::tables()
        .into_iter()
        .filter(|table| !std::ptr::eq(*table, schema) && table.key(name).is_some())
        .map(|table| match table.name {
            "" => "the top of the file, before the first [table]".to_owned(),
            "location" => "[location]".to_owned(),
            "trace" | "trip" => format!("[[{}]]", table.name),
            "base" | "ramp" | "measured" => format!("`{}` = {{ … }}", table.name),
            "sockets" => "`sockets` of a setup".to_owned(),
            other => format!("[{other}.ID]"),
        })
        .take(MOST)
        .collect()
}

impl Fields {
    fn value(&self, name: &str) -> Option<&Checked> {
        debug_assert!(self.schema.key(name).is_some(), "{name} is not in the schema of {}", self.schema.name);
        let field = self.found.iter().find(|field| field.name == name)?;
        field.value.as_ref()
    }

    /// Whether the key stands there, good or not.
    pub fn has(&self, name: &str) -> bool {
        self.found.iter().any(|field| field.name == name)
    }

    /// Where the value of a key stands.
    pub fn place_of(&self, name: &str) -> Range<usize> {
        self.found
            .iter()
            .find(|field| field.name == name)
            .map_or_else(|| self.place.clone(), |field| field.place.clone())
    }

    pub fn text(&self, name: &str) -> Option<String> {
        match self.value(name)? {
            Checked::Text(text) => Some(text.clone()),
            _ => None,
        }
    }

    pub fn word<T: Clone>(&self, name: &str, words: &[(&'static str, T)]) -> Option<T> {
        let given = self.text(name)?;
        words.iter().find(|(word, _)| *word == given).map(|(_, value)| value.clone())
    }

    pub fn whole<T: TryFrom<i64>>(&self, name: &str) -> Option<T> {
        match self.value(name)? {
            Checked::Whole(value) => T::try_from(*value).ok(),
            _ => None,
        }
    }

    pub fn number(&self, name: &str) -> Option<f64> {
        match self.value(name)? {
            Checked::Number(value) => Some(*value),
            _ => None,
        }
    }

    pub fn leakage(&self, name: &str) -> Option<Leakage> {
        match self.value(name)? {
            Checked::Range(low, high) => Some(Leakage { low: MilliAmps(*low), high: MilliAmps(*high) }),
            _ => None,
        }
    }

    /// A flag; `false` if omitted.
    pub fn flag(&self, name: &str) -> bool {
        matches!(self.value(name), Some(Checked::Flag(true)))
    }

    pub fn id<T: for<'a> From<&'a str>>(&self, name: &str) -> Option<T> {
        match self.value(name)? {
            Checked::Id(id) => Some(T::from(id)),
            _ => None,
        }
    }

    pub fn ids<T: for<'a> From<&'a str>>(&self, name: &str) -> Vec<T> {
        match self.value(name) {
            Some(Checked::Ids(ids)) => ids.iter().map(|id| T::from(id)).collect(),
            _ => Vec::new(),
        }
    }

    pub fn point(&self, name: &str) -> Option<Point> {
        match self.value(name)? {
            Checked::Point(point) => Some(*point),
            _ => None,
        }
    }

    pub fn area(&self, name: &str) -> Option<BoxArea> {
        match self.value(name)? {
            Checked::Area(area) => Some(*area),
            _ => None,
        }
    }

    pub fn clock(&self, name: &str) -> Option<ClockTime> {
        match self.value(name)? {
            Checked::Clock(time) => Some(*time),
            _ => None,
        }
    }

    pub fn hours(&self, name: &str) -> Option<Hours> {
        match self.value(name)? {
            Checked::Hours(hours) => Some(*hours),
            _ => None,
        }
    }

    pub fn spectrum(&self, name: &str) -> Option<Spectrum> {
        match self.value(name)? {
            Checked::Spectrum(spectrum) => Some(spectrum.clone()),
            _ => None,
        }
    }

    pub fn base_loads(&self, name: &str) -> Vec<BaseLoadRef> {
        match self.value(name) {
            Some(Checked::BaseLoads(loads)) => loads.clone(),
            _ => Vec::new(),
        }
    }

    /// The tables that a key holds: none, one or several.
    pub fn tables(&self, name: &str) -> Vec<TableIndex> {
        match self.value(name) {
            Some(Checked::Tables(tables)) => tables.clone(),
            _ => Vec::new(),
        }
    }
}
