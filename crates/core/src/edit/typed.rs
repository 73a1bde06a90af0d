//! Values as people type them, key by key, and as they are shown to be typed over.

use super::document::{Document, newline_of};
use super::value::Value;
use super::{Address, Refusal};
use crate::file::Sections;
use crate::file::schema::{Bounds, Kind};
use crate::file::tree::{Item, Tree, Value as Read};

/// A text that was read for its entries' keys: read once, asked often.
pub struct Reading<'t> {
    document: Document<'t>,
}

impl<'t> Reading<'t> {
    /// Reads a text.
    ///
    /// # Errors
    ///
    /// Where it is not TOML.
    pub fn of(text: &'t str) -> Result<Self, Refusal> {
        Document::read(text).map(|document| Self { document })
    }

    /// Reads the part of a text that an entry has for itself; `None` where it has none.
    #[must_use]
    pub fn of_entry(text: &'t str, sections: &Sections, of: &Address) -> Option<Self> {
        let Address::Entry(table, id) = of else { return None };
        let part = text.get(sections.part(table.name(), id)?)?;
        Document::part(part, newline_of(text)).map(|document| Self { document })
    }

    /// The keys of an entry, in the order of the text; none where it is not in it. What is no value is
    /// left out.
    #[must_use]
    pub fn keys(&self, of: &Address) -> Vec<(String, Value)> {
        let Ok(table) = self.document.find(of) else { return Vec::new() };
        let table = self.document.tree.table(table);
        let keys = table.entries.iter().filter_map(|(key, entry)| {
            Some((key.clone().into_owned(), value_of(&entry.item, &self.document.tree)?))
        });
        keys.collect()
    }

    /// Whether an entry is in the text.
    #[must_use]
    pub fn has(&self, of: &Address) -> bool {
        self.document.find(of).is_ok()
    }
}

impl std::fmt::Debug for Reading<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Reading").finish_non_exhaustive()
    }
}

fn value_of(item: &Item<'_>, tree: &Tree<'_>) -> Option<Value> {
    let table = |index: usize| {
        let entries = tree.table(index).entries.iter();
        let pairs: Option<Vec<_>> = entries
            .map(|(key, entry)| Some((key.clone().into_owned(), value_of(&entry.item, tree)?)))
            .collect();
        pairs.map(Value::Table)
    };
    match &item.value {
        Read::Text(text) | Read::Moment(text) => Some(Value::Text(text.clone().into_owned())),
        Read::Whole(whole) => whole.map(Value::Whole),
        Read::Number(number) => Some(Value::Number(*number)),
        Read::Flag(flag) => Some(Value::Flag(*flag)),
        Read::List(items) => {
            let values: Option<Vec<_>> = items.iter().map(|item| value_of(item, tree)).collect();
            values.map(Value::List)
        }
        Read::Table(index) => table(*index),
        Read::Tables(tables) => {
            let values: Option<Vec<_>> = tables.iter().map(|index| table(*index)).collect();
            values.map(Value::List)
        }
        Read::Broken => None,
    }
}

impl Value {
    /// As somebody would type it: texts without quotes, lists of plain values without brackets, the
    /// rest as in the file. [`typed`] takes it back for the same kind of key.
    #[must_use]
    pub fn shown(&self) -> String {
        match self {
            Self::Text(text) => text.clone(),
            Self::Flag(flag) => if *flag { "yes" } else { "no" }.to_owned(),
            Self::List(values) if values.iter().all(Self::is_plain) => {
                values.iter().map(Self::shown).collect::<Vec<_>>().join(", ")
            }
            other => other.written(),
        }
    }

    const fn is_plain(&self) -> bool {
        matches!(self, Self::Text(_) | Self::Whole(_) | Self::Number(_))
    }
}

/// The value that somebody typed for a key that takes `kind`. Numbers may have their unit behind them
/// and a decimal comma; lists need no brackets. Whether it lies in its range is seen when it is set.
///
/// # Errors
///
/// What the key takes, in words, where the text is nothing like it.
pub fn typed(kind: Kind, text: &str) -> Result<Value, String> {
    let text = text.trim();
    let expected = || format!("expected {}", kind.expects());
    let read = match kind {
        Kind::Text | Kind::Id(_) | Kind::Choice(_) | Kind::Clock | Kind::Moment => Some(Value::text(text)),
        Kind::Whole(..) | Kind::WholeOf(_) => text.parse().ok().map(Value::Whole),
        Kind::Number(bounds) => number(text, bounds).map(Value::Number),
        Kind::Range(bounds) => range(text, bounds),
        Kind::Flag => flag(text).map(Value::Flag),
        Kind::Ids(..) | Kind::BaseLoads => Some(Value::List(parts(text).map(Value::text).collect())),
        Kind::Point => numbers(text, 2),
        Kind::Area => numbers(text, 4),
        Kind::Hours => {
            let times: Vec<Value> = text
                .split(|c: char| c.is_whitespace() || matches!(c, ',' | '-' | '–' | '[' | ']' | '"'))
                .filter(|part| !part.is_empty())
                .map(Value::text)
                .collect();
            (times.len() == 2).then_some(Value::List(times))
        }
        Kind::Spectrum if !text.starts_with('[') => Some(Value::text(text)),
        Kind::Spectrum | Kind::Table(_) | Kind::Tables(_) | Kind::Entries(..) => toml(text),
    };
    read.ok_or_else(expected)
}

fn flag(text: &str) -> Option<bool> {
    match text.to_lowercase().as_str() {
        "yes" | "y" | "true" | "on" => Some(true),
        "no" | "n" | "false" | "off" => Some(false),
        _ => None,
    }
}

/// A number, with or without its unit, with a decimal point or comma.
fn number(text: &str, bounds: Bounds) -> Option<f64> {
    let symbol = bounds.unit.symbol();
    let end = text.len().checked_sub(symbol.len()).filter(|end| text.is_char_boundary(*end));
    let bare = match end.map(|end| text.split_at(end)) {
        Some((bare, unit)) if !symbol.is_empty() && unit.eq_ignore_ascii_case(symbol) => bare,
        _ => text,
    };
    plain_number(bare.trim())
}

fn plain_number(text: &str) -> Option<f64> {
    let number: f64 = text.replace(',', ".").parse().ok()?;
    number.is_finite().then_some(number)
}

/// One number, or two with `to`, `-` or a blank between them.
fn range(text: &str, bounds: Bounds) -> Option<Value> {
    if let Some(one) = number(text, bounds) {
        return Some(Value::Number(one));
    }
    let inner = text.trim_start_matches('[').trim_end_matches(']');
    let symbol = bounds.unit.symbol();
    let numbers: Option<Vec<Value>> = inner
        .split(|c: char| c.is_whitespace() || matches!(c, '-' | '–' | ';'))
        .map(|part| part.trim_matches(','))
        .filter(|part| !part.is_empty() && *part != "to" && !part.eq_ignore_ascii_case(symbol))
        .map(|part| number(part, bounds).map(Value::Number))
        .collect();
    numbers.filter(|numbers| numbers.len() == 2).map(Value::List)
}

fn parts(text: &str) -> impl Iterator<Item = &str> {
    text.split(|c: char| c.is_whitespace() || matches!(c, ',' | ';' | '[' | ']' | '"'))
        .filter(|part| !part.is_empty())
}

/// So many numbers with commas or blanks between them; so a comma is never a decimal one here.
fn numbers(text: &str, count: usize) -> Option<Value> {
    let numbers: Option<Vec<Value>> = parts(text).map(|part| plain_number(part).map(Value::Number)).collect();
    numbers.filter(|numbers| numbers.len() == count).map(Value::List)
}

/// A value as the file has it.
fn toml(text: &str) -> Option<Value> {
    let line = format!("value = {text}\n");
    let tree = crate::file::toml_tree(&line).ok()?;
    let entries = &tree.root().entries;
    if entries.len() != 1 {
        return None;
    }
    value_of(&entries.get("value")?.item, &tree)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::edit::{self, Edit, Table};
    use crate::file::schema;

    fn kind(table: &'static schema::TableSchema, key: &str) -> Kind {
        table.key(key).unwrap().kind
    }

    #[test]
    fn numbers_take_their_unit_and_a_decimal_comma() {
        let amps = kind(&schema::CIRCUIT, "breaker_a");
        for text in ["20", "20 A", "20a", "20,0", " 20.0 A "] {
            assert_eq!(typed(amps, text), Ok(Value::Number(20.0)), "{text}");
        }
        assert_eq!(typed(amps, "twenty"), Err("expected a number from 0.5 to 1000 A".to_owned()));
        let leak = kind(&schema::HEAD, "leak_ma");
        let both = Value::List(vec![Value::Number(0.3), Value::Number(3.5)]);
        for text in ["0.3 to 3.5", "[0.3, 3.5]", "0,3 3,5 mA", "0.3-3.5"] {
            assert_eq!(typed(leak, text), Ok(both.clone()), "{text}");
        }
    }

    #[test]
    fn lists_places_and_hours_need_no_brackets() {
        let ids = kind(&schema::SETUP, "on");
        assert_eq!(typed(ids, "A, B C"), Ok(Value::texts(["A", "B", "C"])));
        let at = kind(&schema::SOCKET, "at");
        let place = Value::List(vec![Value::Number(2.5), Value::Number(8.0)]);
        for text in ["2.5 8", "2.5, 8", "[2.5, 8]"] {
            assert_eq!(typed(at, text), Ok(place.clone()), "{text}");
        }
        assert!(typed(at, "2.5").is_err());
        let hours = kind(&schema::CIRCUIT, "hours");
        assert_eq!(typed(hours, "06:00-22:00"), Ok(Value::texts(["06:00", "22:00"])));
    }

    #[test]
    fn tables_are_typed_as_in_the_file() {
        let ramp = kind(&schema::SOCKET, "ramp");
        let value = typed(ramp, "{ held_ma = 10, tripped_ma = 15 }").unwrap();
        assert_eq!(value.shown(), "{ held_ma = 10, tripped_ma = 15 }");
        assert!(typed(ramp, "held 10").is_err());
        assert!(typed(ramp, "1\nother = 2").is_err());
    }

    /// What every key of a plan shows is what may be typed for it, and changes nothing.
    #[test]
    fn every_key_of_a_whole_plan_is_taken_back_as_it_is_shown() {
        let text = include_str!("../../../../tests/plans/every-key.toml");
        let plan = crate::file::parse(text).plan;
        let reading = Reading::of(text).unwrap();
        let mut taken = 0;
        for table in Table::ALL {
            for id in table.ids(&plan) {
                let of = Address::of(table, &id);
                for (key, value) in reading.keys(&of) {
                    let kind = table.schema().key(&key).unwrap().kind;
                    let again = typed(kind, &value.shown()).unwrap_or_else(|why| panic!("{of} {key}: {why}"));
                    let set = Edit::SetKey { of: of.clone(), key: key.clone(), value: Some(again) };
                    let change = edit::apply(text, &set).unwrap_or_else(|why| panic!("{of} {key}: {why:?}"));
                    let after = crate::file::parse(&change.apply(text)).plan;
                    assert_eq!(after, plan, "{of} {key} {}", value.shown());
                    taken += 1;
                }
            }
        }
        assert!(taken > 80, "{taken}");
    }
}
