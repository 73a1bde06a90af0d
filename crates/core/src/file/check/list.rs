//! Values that are lists: ids, points, ranges, spectra, base loads, tables.

use std::collections::HashSet;
use std::ops::Range;

use indexmap::IndexMap;

use super::{
    BaseLoadReference, Checked, Place, Reading, choice, id, is_id, number, text, too_many, whole, wrong_type,
};
use crate::file::number::shown;
use crate::file::problem::{quoted, told};
use crate::file::schema::{
    Bounds, COORDINATE, HARMONIC_ORDERS, HARMONIC_SHARE, MOST_ENTRIES, Repeats, SPECTRUM_WORDS, Target,
};
use crate::file::tree::{Item, Value};
use crate::id::CircuitId;
use crate::plan::{BaseLoadRef, BoxArea, Point, Spectrum};
use crate::unit::Metres;

/// A list of exactly `N` items.
pub(super) fn exactly<'i, 't, const N: usize>(
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
                format!("{} has {} of {N} values", at.role(), items.len()),
                format!("Write {}.", at.key.kind.expects()),
            )
        });
    }
    exact
}

pub(super) fn numbers<const N: usize>(
    reading: &mut Reading<'_>,
    at: &Place<'_>,
    item: &Item<'_>,
) -> Option<[f64; N]> {
    let items = exactly::<N>(reading, at, item)?;
    let mut values = [0.0; N];
    let mut whole = true;
    for (value, item) in values.iter_mut().zip(items) {
        match number(reading, at, item, COORDINATE) {
            Some(read) => *value = read,
            None => whole = false,
        }
    }
    whole.then_some(values)
}

pub(super) fn point(x: f64, y: f64) -> Point {
    Point { x: Metres(x), y: Metres(y) }
}

pub(super) fn area(reading: &mut Reading<'_>, at: &Place<'_>, item: &Item<'_>) -> Option<Checked> {
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

pub(super) fn least_and_most(
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
                format!("Write the least first: `{} = [{}, {}]`.", at.key.name, shown(most), shown(least)),
            )
        });
        return None;
    }
    Some(Checked::Range(least, most))
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

pub(super) fn ids(
    reading: &mut Reading<'_>,
    at: &Place<'_>,
    item: &Item<'_>,
    target: Target,
    repeats: Repeats,
) -> Option<Checked> {
    let items = list(reading, at, item)?;
    let mut seen: IndexMap<String, Range<usize>> = IndexMap::new();
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

pub(super) fn spectrum(reading: &mut Reading<'_>, at: &Place<'_>, item: &Item<'_>) -> Option<Checked> {
    if matches!(item.value, Value::Text(_)) {
        let words = &SPECTRUM_WORDS;
        let word = choice(reading, at, item, words)?;
        return Spectrum::WORDS
            .into_iter()
            .find(|(name, _)| *name == word)
            .map(|(_, spectrum)| Checked::Spectrum(spectrum));
    }
    let (least, most) = HARMONIC_ORDERS;
    let items = list(reading, at, item)?;
    let mut orders: Vec<(u32, f64)> = Vec::new();
    let mut seen = HashSet::new();
    for pair in items {
        let Some([order_item, share]) = exactly::<2>(reading, at, pair) else {
            continue;
        };
        let order = whole(reading, at, order_item, &(least..=most));
        let share = number(reading, at, share, HARMONIC_SHARE);
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

pub(super) fn base_loads(reading: &mut Reading<'_>, at: &Place<'_>, item: &Item<'_>) -> Option<Checked> {
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

pub(super) fn tables(reading: &mut Reading<'_>, at: &Place<'_>, item: &Item<'_>) -> Option<Checked> {
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
