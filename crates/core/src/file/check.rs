//! One value against what its key takes.

use std::ops::Range;

use super::number;
use super::problem::{Problems, is_hidden, quoted, told};
use super::schema::{Bounds, Key, Kind, LONGEST_TEXT, MOST_ENTRIES, Repeats, Target, Unit};
use super::tree::{Item, TableIndex, Tree, Value};
use crate::id::CircuitId;
use crate::plan::{BaseLoadRef, BoxArea, ClockTime, Hours, Point, Spectrum};
use crate::unit::Metres;

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

/// A list of exactly `N` items.
fn exactly<'i, 't, const N: usize>(
    reading: &mut Reading<'_>,
    at: &Place<'_>,
    item: &'i Item<'t>,
) -> Option<&'i [Item<'t>; N]> {
    let Value::List(items) = &item.value else {
        return wrong_type(reading, at, item);
    };
    let exact = items.as_slice().try_into().ok();
    if exact.is_none() {
        reading.problems.error("wrong-count", item.place.clone(), || {
            told(
                format!("{} has {} values", at.role(), items.len()),
                format!("Write {}.", at.key.kind.expects()),
            )
        });
    }
    exact
}

fn numbers<const N: usize>(reading: &mut Reading<'_>, at: &Place<'_>, item: &Item<'_>) -> Option<[f64; N]> {
    let items = exactly::<N>(reading, at, item)?;
    let bounds = Bounds { unit: Unit::Metres, low: -10_000.0, high: 10_000.0 };
    let mut values = [0.0; N];
    let mut whole = true;
    for (value, item) in values.iter_mut().zip(items) {
        match number(reading, at, item, bounds) {
            Some(read) => *value = read,
            None => whole = false,
        }
    }
    whole.then_some(values)
}

fn point(x: f64, y: f64) -> Point {
    Point { x: Metres(x), y: Metres(y) }
}

fn area(reading: &mut Reading<'_>, at: &Place<'_>, item: &Item<'_>) -> Option<Checked> {
    let [x, y, width, depth] = numbers::<4>(reading, at, item)?;
    if width <= 0.0 || depth <= 0.0 {
        reading
            .problems
            .error("out-of-range", item.place.clone(), || {
                told(
                    format!("{} has a width or depth of nothing or less", at.role()),
                    "Write [x, y, width, depth] in metres: the corner with the least x and y, then two sizes above 0.",
                )
            });
        return None;
    }
    Some(Checked::Area(BoxArea { corner: point(x, y), width: Metres(width), depth: Metres(depth) }))
}

fn least_and_most(
    reading: &mut Reading<'_>,
    at: &Place<'_>,
    item: &Item<'_>,
    bounds: Bounds,
) -> Option<Checked> {
    if !matches!(item.value, Value::List(_)) {
        return number(reading, at, item, bounds).map(|value| Checked::Range(value, value));
    }
    let [least, most] = exactly::<2>(reading, at, item)?;
    let least = number(reading, at, least, bounds);
    let most = number(reading, at, most, bounds);
    let (least, most) = (least?, most?);
    if least > most {
        reading.problems.error("range-reversed", item.place.clone(), || {
            told(
                format!("{} goes from more to less", at.role()),
                format!(
                    "Write the least first: `{} = [{}, {}]`.",
                    at.key.name,
                    number::shown(most),
                    number::shown(least)
                ),
            )
        });
        return None;
    }
    Some(Checked::Range(least, most))
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
pub(super) fn is_id(text: &str) -> bool {
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

/// The items of a list, at most [`MOST_ENTRIES`] of them.
fn list<'i, 't>(reading: &mut Reading<'_>, at: &Place<'_>, item: &'i Item<'t>) -> Option<&'i [Item<'t>]> {
    let Value::List(items) = &item.value else {
        return wrong_type(reading, at, item);
    };
    if let Some(first_over) = items.get(MOST_ENTRIES) {
        too_many(&mut reading.problems, &at.role(), items.len(), first_over.place.clone());
    }
    Some(&items[..items.len().min(MOST_ENTRIES)])
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

fn ids(
    reading: &mut Reading<'_>,
    at: &Place<'_>,
    item: &Item<'_>,
    target: Target,
    repeats: Repeats,
) -> Option<Checked> {
    let items = list(reading, at, item)?;
    let mut seen: indexmap::IndexMap<String, Range<usize>> = indexmap::IndexMap::new();
    let mut found = Vec::with_capacity(items.len());
    for item in items {
        let Some(id) = id(reading, at, item, target) else {
            continue;
        };
        if repeats == Repeats::Refused
            && let Some(first) = seen.get(&id)
        {
            let first = first.clone();
            reading.problems.error("listed-twice", item.place.clone(), || {
                told(format!("{} names {} `{id}` twice", at.role(), target.noun()), "Take one of them out.")
                    .and(first, format!("`{id}` is named here already"))
            });
            continue;
        }
        seen.insert(id.clone(), item.place.clone());
        found.push(id);
    }
    Some(Checked::Ids(found))
}

fn clock(reading: &mut Reading<'_>, at: &Place<'_>, item: &Item<'_>) -> Option<ClockTime> {
    let Value::Text(given) = &item.value else {
        return wrong_type(reading, at, item);
    };
    let read = clock_time(given);
    if read.is_none() {
        reading.problems.error("bad-time", item.place.clone(), || {
            told(
                format!("{} is {}, which is no time of day", at.role(), quoted(given)),
                "Write hours and minutes with two digits each, \"00:00\" to \"23:59\"; midnight is \"00:00\".",
            )
        });
    }
    read
}

fn clock_time(text: &str) -> Option<ClockTime> {
    let (hours, minutes) = text.split_once(':')?;
    let two_digits = |text: &str| {
        (text.len() == 2 && text.bytes().all(|b| b.is_ascii_digit()))
            .then(|| text.parse::<u32>().ok())
            .flatten()
    };
    let (hours, minutes) = (two_digits(hours)?, two_digits(minutes)?);
    (hours < 24 && minutes < 60).then_some(ClockTime { minutes: hours * 60 + minutes })
}

fn hours(reading: &mut Reading<'_>, at: &Place<'_>, item: &Item<'_>) -> Option<Checked> {
    let [from, until] = exactly::<2>(reading, at, item)?;
    let from = clock(reading, at, from);
    let until = clock(reading, at, until);
    Some(Checked::Hours(Hours { from: from?, until: until? }))
}

fn moment(reading: &mut Reading<'_>, at: &Place<'_>, item: &Item<'_>) -> Option<String> {
    let given = match &item.value {
        Value::Text(text) | Value::Moment(text) => text,
        _ => return wrong_type(reading, at, item),
    };
    let read: Option<toml::value::Datetime> = given.parse().ok();
    if read.is_some_and(|read| read.date.is_some() && read.time.is_some()) {
        return Some(given.clone().into_owned());
    }
    reading.problems.error("bad-time", item.place.clone(), || {
        told(
            format!("{} is {}, which is no date and time", at.role(), quoted(given)),
            "Write year, month, day, hour, minute and second, like \"2026-03-02T14:05:00\".",
        )
    });
    None
}

fn spectrum(reading: &mut Reading<'_>, at: &Place<'_>, item: &Item<'_>) -> Option<Checked> {
    if matches!(item.value, Value::Text(_)) {
        let words = &super::schema::SPECTRUM_WORDS;
        let word = choice(reading, at, item, words)?;
        return Spectrum::WORDS
            .into_iter()
            .find(|(name, _)| *name == word)
            .map(|(_, spectrum)| Checked::Spectrum(spectrum));
    }
    let percent = Bounds { unit: Unit::Percent, low: 0.0, high: 200.0 };
    let items = list(reading, at, item)?;
    let mut orders: Vec<(u32, f64)> = Vec::new();
    let mut seen = std::collections::HashSet::new();
    for pair in items {
        let Some([order_item, share]) = exactly::<2>(reading, at, pair) else {
            continue;
        };
        let order = whole(reading, at, order_item, &(2..=100));
        let share = number(reading, at, share, percent);
        let (Some(order), Some(share)) = (order, share) else {
            continue;
        };
        if !seen.insert(order) {
            reading.problems.error("listed-twice", order_item.place.clone(), || {
                told(format!("{} names order {order} twice", at.role()), "Take one of them out.")
            });
            continue;
        }
        orders.extend(u32::try_from(order).map(|order| (order, share)));
    }
    Some(Checked::Spectrum(Spectrum::Orders(orders)))
}

fn base_loads(reading: &mut Reading<'_>, at: &Place<'_>, item: &Item<'_>) -> Option<Checked> {
    let items = list(reading, at, item)?;
    let mut found = Vec::with_capacity(items.len());
    for item in items {
        let Some(given) = text(reading, at, item) else {
            continue;
        };
        let load = given
            .split_once('.')
            .filter(|(circuit, name)| is_id(circuit) && !name.is_empty())
            .map(|(circuit, name)| BaseLoadRef { circuit: CircuitId::from(circuit), name: name.to_owned() });
        let Some(load) = load else {
            reading.problems.error("bad-id", item.place.clone(), || {
                told(
                    format!("{} has {}, which names no base load", at.role(), quoted(&given)),
                    "Write the circuit's id, a point and the base load's name, like \"P2.fridge\".",
                )
            });
            continue;
        };
        reading.base_loads.push(BaseLoadReference {
            load: load.clone(),
            place: item.place.clone(),
            role: at.role(),
        });
        found.push(load);
    }
    Some(Checked::BaseLoads(found))
}

fn tables(reading: &mut Reading<'_>, at: &Place<'_>, item: &Item<'_>) -> Option<Checked> {
    let found = match &item.value {
        Value::Table(table) => vec![*table],
        Value::Tables(tables) => tables.clone(),
        _ => {
            let items = list(reading, at, item)?;
            items
                .iter()
                .filter_map(|item| match item.value {
                    Value::Table(table) => Some(table),
                    _ => wrong_type(reading, at, item),
                })
                .collect()
        }
    };
    if let Some(over) = found.get(MOST_ENTRIES) {
        let place = reading.tree.table(*over).place.clone();
        too_many(&mut reading.problems, &at.role(), found.len(), place);
    }
    Some(Checked::Tables(found.into_iter().take(MOST_ENTRIES).collect()))
}
