//! One value against what its key takes.

mod list;
mod time;

use std::ops::Range;

use super::inert::is_hidden;
use super::number;
use super::problem::{Problems, quoted, told};
use super::schema::{Bounds, Key, Kind, LONGEST_TEXT, MOST_ENTRIES, Target, Unit};
use super::tree::{Item, TableIndex, Tree, Value};
use crate::plan::{BaseLoadRef, BoxArea, ClockTime, Hours, Point, Spectrum};
use list::{area, base_loads, ids, least_and_most, numbers, point, spectrum, tables};
use time::{clock, hours, moment};

/// A value that is what its key takes.
#[derive(Clone, Debug)]
pub(super) enum Checked {
    Text(String),
    Whole(i64),
    Number(f64),
    Range(f64, f64),
    Flag(bool),
    Id(String),
    Ids(Vec<String>),
    Point(Point),
    Area(BoxArea),
    Clock(ClockTime),
    Hours(Hours),
    Spectrum(Spectrum),
    BaseLoads(Vec<BaseLoadRef>),
    Tables(Vec<TableIndex>),
}

/// An id that stands somewhere as the name of something.
#[derive(Debug)]
pub(super) struct Reference {
    pub target: Target,
    pub id: String,
    pub place: Range<usize>,
    /// Which key of what it stands in.
    pub role: String,
}

/// `CIRCUIT.name`, where it stands.
#[derive(Debug)]
pub(super) struct BaseLoadReference {
    pub load: BaseLoadRef,
    pub place: Range<usize>,
    pub role: String,
}

/// What is gathered while a plan is read.
#[derive(Debug)]
pub(super) struct Reading<'t> {
    pub tree: &'t Tree<'t>,
    pub problems: Problems,
    pub references: Vec<Reference>,
    pub base_loads: Vec<BaseLoadReference>,
}

/// Checks `item` as the value of `key` of `owner`. `None`: it is of no use, which is reported.
pub(super) fn check(
    reading: &mut Reading<'_>,
    key: &'static Key,
    item: &Item<'_>,
    owner: &str,
) -> Option<Checked> {
    if matches!(item.value, Value::Broken) {
        return None;
    }
    let at = Place { key, owner };
    match key.kind {
        Kind::Text => text(reading, &at, item).map(Checked::Text),
        Kind::Whole(low, high) => whole(reading, &at, item, &(low..=high)).map(Checked::Whole),
        Kind::WholeOf(values) => one_of_wholes(reading, &at, item, values).map(Checked::Whole),
        Kind::Number(bounds) => number(reading, &at, item, bounds).map(Checked::Number),
        Kind::Range(bounds) => least_and_most(reading, &at, item, bounds),
        Kind::Flag => match item.value {
            Value::Flag(flag) => Some(Checked::Flag(flag)),
            _ => wrong_type(reading, &at, item),
        },
        Kind::Choice(words) => choice(reading, &at, item, words).map(Checked::Text),
        Kind::Id(target) => id(reading, &at, item, target).map(Checked::Id),
        Kind::Ids(target, repeats) => ids(reading, &at, item, target, repeats),
        Kind::Point => numbers::<2>(reading, &at, item).map(|[x, y]| Checked::Point(point(x, y))),
        Kind::Area => area(reading, &at, item),
        Kind::Clock => clock(reading, &at, item).map(Checked::Clock),
        Kind::Hours => hours(reading, &at, item),
        Kind::Moment => moment(reading, &at, item).map(Checked::Text),
        Kind::Spectrum => spectrum(reading, &at, item),
        Kind::BaseLoads => base_loads(reading, &at, item),
        Kind::Table(_) | Kind::Entries(..) => match &item.value {
            Value::Table(table) => Some(Checked::Tables(vec![*table])),
            _ => wrong_type(reading, &at, item),
        },
        Kind::Tables(_) => tables(reading, &at, item),
    }
}

/// Where a value is being checked.
struct Place<'o> {
    key: &'static Key,
    owner: &'o str,
}

impl Place<'_> {
    fn role(&self) -> String {
        format!("`{}` of {}", self.key.name, self.owner)
    }
}

fn wrong_type<T>(reading: &mut Reading<'_>, at: &Place<'_>, item: &Item<'_>) -> Option<T> {
    reading.problems.error("wrong-type", item.place.clone(), || {
        let given = item.value.kind();
        told(format!("{} is {given}", at.role()), wrong_type_remedy(at.key, &item.value))
    });
    None
}

fn wrong_type_remedy(key: &Key, value: &Value<'_>) -> String {
    let unit = match (key.kind, value) {
        (Kind::Number(bounds) | Kind::Range(bounds), Value::Text(_)) => Some(bounds.unit),
        (Kind::Whole(..) | Kind::WholeOf(_), Value::Text(_)) => Some(Unit::Factor),
        _ => None,
    };
    if let (Some(unit), Value::Text(text)) = (unit, value)
        && let Some(meant) = number::from_text(text, unit)
    {
        return format!(
            "Write the number alone, without quotes or unit: `{} = {}`.",
            key.name,
            number::shown(meant)
        );
    }
    format!("Write {}.", key.kind.expects())
}

fn text(reading: &mut Reading<'_>, at: &Place<'_>, item: &Item<'_>) -> Option<String> {
    let Value::Text(text) = &item.value else {
        return wrong_type(reading, at, item);
    };
    if let Some(hidden) = text.chars().find(|c| is_hidden(*c)) {
        reading.problems.error("control-character", item.place.clone(), || {
            told(
                format!("{} has the control character {}", at.role(), hidden.escape_unicode()),
                "Take it out: text here is letters, digits, marks and spaces in one line.",
            )
        });
    }
    let Some((cut, _)) = text.char_indices().nth(LONGEST_TEXT) else {
        return Some(text.clone().into_owned());
    };
    reading.problems.error("text-too-long", item.place.clone(), || {
        told(
            format!("{} has {} characters", at.role(), text.chars().count()),
            format!("Write {LONGEST_TEXT} characters at most; a comment (# …) may be as long as it likes."),
        )
    });
    Some(text[..cut].to_owned())
}

fn whole(
    reading: &mut Reading<'_>,
    at: &Place<'_>,
    item: &Item<'_>,
    range: &std::ops::RangeInclusive<i64>,
) -> Option<i64> {
    let given = match item.value {
        Value::Whole(Some(value)) if range.contains(&value) => return Some(value),
        Value::Whole(value) => value.map_or("beyond 64 bits".to_owned(), |value| value.to_string()),
        Value::Number(value) => {
            reading.problems.error("not-whole", item.place.clone(), || {
                told(
                    format!("{} is {}, not a whole number", at.role(), number::shown(value)),
                    format!(
                        "Write a whole number from {} to {}, without a point.",
                        range.start(),
                        range.end()
                    ),
                )
            });
            return None;
        }
        _ => return wrong_type(reading, at, item),
    };
    reading.problems.error("out-of-range", item.place.clone(), || {
        told(
            format!("{} is {given}, outside of {} to {}", at.role(), range.start(), range.end()),
            format!("Write a whole number from {} to {}.", range.start(), range.end()),
        )
    });
    None
}

fn one_of_wholes(reading: &mut Reading<'_>, at: &Place<'_>, item: &Item<'_>, values: &[i64]) -> Option<i64> {
    let low = *values.first()?;
    let high = *values.last()?;
    let value = whole(reading, at, item, &(low..=high))?;
    if values.contains(&value) {
        return Some(value);
    }
    reading.problems.error("out-of-range", item.place.clone(), || {
        told(format!("{} is {value}", at.role()), format!("Write {}.", at.key.kind.expects()))
    });
    None
}

fn number(reading: &mut Reading<'_>, at: &Place<'_>, item: &Item<'_>, bounds: Bounds) -> Option<f64> {
    let value = match item.value {
        #[expect(clippy::cast_precision_loss, reason = "every range ends far below 2 to the 53")]
        Value::Whole(Some(value)) => value as f64,
        Value::Whole(None) => f64::MAX,
        Value::Number(value) => value,
        _ => return wrong_type(reading, at, item),
    };
    if !value.is_finite() {
        reading.problems.error("not-finite", item.place.clone(), || {
            told(
                format!("{} is {value}", at.role()),
                format!("Write a number from {}.", number::span(bounds)),
            )
        });
        return None;
    }
    if number::within(value, bounds) {
        return Some(value);
    }
    reading.problems.error("out-of-range", item.place.clone(), || {
        told(
            format!("{} is {}, outside of {}", at.role(), number::shown(value), number::span(bounds)),
            number::remedy(at.key.name, value, bounds),
        )
    });
    None
}

fn choice(
    reading: &mut Reading<'_>,
    at: &Place<'_>,
    item: &Item<'_>,
    words: &'static [&'static str],
) -> Option<String> {
    let Value::Text(given) = &item.value else {
        return wrong_type(reading, at, item);
    };
    if words.contains(&given.as_ref()) {
        return Some(given.clone().into_owned());
    }
    reading.problems.error("unknown-word", item.place.clone(), || {
        let message = format!("{} is {}", at.role(), quoted(given));
        let expects = at.key.kind.expects();
        told(
            message,
            match super::nearest::nearest(given, words.iter().copied()) {
                Some(word) => format!("Did you mean \"{word}\"? Write {expects}."),
                None => format!("Write {expects}."),
            },
        )
    });
    None
}

/// Whether a text may be an id: letters, digits, `-` and `_`.
pub(crate) fn is_id(text: &str) -> bool {
    !text.is_empty()
        && text.chars().all(|c| c.is_alphanumeric() || matches!(c, '-' | '_'))
        && text.chars().nth(LONGEST_TEXT).is_none()
}

fn id(reading: &mut Reading<'_>, at: &Place<'_>, item: &Item<'_>, target: Target) -> Option<String> {
    let Value::Text(given) = &item.value else {
        return wrong_type(reading, at, item);
    };
    if !is_id(given) {
        reading.problems.error("bad-id", item.place.clone(), || {
            told(
                format!("{} is {}, which is no id", at.role(), quoted(given)),
                "An id is letters, digits, `-` and `_`, with no spaces.",
            )
        });
        return None;
    }
    reading.references.push(Reference {
        target,
        id: given.clone().into_owned(),
        place: item.place.clone(),
        role: at.role(),
    });
    Some(given.clone().into_owned())
}

/// Reports more than [`MOST_ENTRIES`].
pub(super) fn too_many(problems: &mut Problems, what: &str, count: usize, place: Range<usize>) {
    problems.error("too-many-entries", place, || {
        told(
            format!("{what} has {count} entries"),
            format!("{MOST_ENTRIES} at most are read. Split the location into several plans."),
        )
    });
}
