//! The JSON Schema of the plan file, made from the table of keys: for editors, and for programs that
//! write plans.
//!
//! It says what stands in one value or one table. What looks further, such as an id that nothing has,
//! only the reader tells.

use serde_json::{Map, Value, json};

use super::{
    Bounds, Key, Kind, LONGEST_TEXT, MOST_ENTRIES, Need, PLAN, Repeats, SPECTRUM_WORDS, TableSchema, Target,
    Use, tables,
};
use crate::id::{ClassId, OutletId};
use crate::library::library;
use crate::plan::FORMAT_VERSION;

/// What an id is made of: letters and digits of any script, `-` and `_`.
const ID: &str = r"^[\p{Alphabetic}\p{N}_-]+$";
/// A base load: the circuit's id, a point, its name.
const BASE_LOAD: &str = r"^[\p{Alphabetic}\p{N}_-]+\..+$";
/// Hours and minutes.
const CLOCK: &str = "^([01][0-9]|2[0-3]):[0-5][0-9]$";
/// A date and a time, as TOML writes them.
const MOMENT: &str = "^[0-9]{4}-(0[1-9]|1[0-2])-(0[1-9]|[12][0-9]|3[01])[Tt ]([01][0-9]|2[0-3]):[0-5][0-9](:[0-5][0-9](\\.[0-9]+)?)?([Zz]|[+-][0-9]{2}:[0-9]{2})?$";
/// No character that would act on a terminal, reorder or hide what is beside it.
const PLAIN: &str = r"^[^\u0000-\u001f\u007f-\u009f\u200b-\u200f\u2028-\u202e\u2060-\u2069\ufeff]*$";

/// The JSON Schema, draft 2020-12, of a plan in this program's format, with keys in the order of the
/// table. Units and ranges are those that the reader holds a plan to.
#[must_use]
pub fn json_schema() -> Value {
    let mut schema = Map::new();
    schema.insert("$schema".to_owned(), json!("https://json-schema.org/draft/2020-12/schema"));
    schema.insert("title".to_owned(), json!(format!("ampwalk plan, format {FORMAT_VERSION}")));
    schema.extend(object(&PLAN));
    let inner = tables().into_iter().filter(|table| !table.name.is_empty());
    let definitions: Map<String, Value> =
        inner.map(|table| (table.name.to_owned(), Value::Object(object(table)))).collect();
    schema.insert("$defs".to_owned(), Value::Object(definitions));
    Value::Object(schema)
}

/// A table with its keys, and no others.
fn object(table: &TableSchema) -> Map<String, Value> {
    let mut object = Map::new();
    object.insert("type".to_owned(), json!("object"));
    object.insert("description".to_owned(), json!(table.doc));
    let properties: Map<String, Value> =
        table.keys.iter().map(|key| (key.name.to_owned(), property(table, key))).collect();
    object.insert("properties".to_owned(), Value::Object(properties));
    let required: Vec<&str> =
        table.keys.iter().filter(|key| key.need == Need::Required).map(|key| key.name).collect();
    if !required.is_empty() {
        object.insert("required".to_owned(), json!(required));
    }
    if let Some(either) = table.either {
        // Of two that exclude each other exactly one, else one at least.
        let rule = if either.both.is_some() { "oneOf" } else { "anyOf" };
        let ways: Vec<Value> = either.keys.iter().map(|key| json!({ "required": [key] })).collect();
        object.insert(rule.to_owned(), Value::Array(ways));
    }
    object.insert("additionalProperties".to_owned(), json!(false));
    object
}

fn property(table: &TableSchema, key: &Key) -> Value {
    let unit = match key.kind {
        Kind::Number(bounds) | Kind::Range(bounds) => bounds.unit.symbol(),
        Kind::Point | Kind::Area => "m",
        _ => "",
    };
    let unit = if unit.is_empty() { String::new() } else { format!(" In {unit}.") };
    let kept = match key.use_of {
        Use::Now => String::new(),
        Use::Later(waits_for) => format!(" Kept; nothing is computed from it yet: {waits_for}."),
    };
    let words = format!("{}{unit}{kept}", key.doc);
    let is_version = table.name.is_empty() && key.name == "ampwalk";
    let takes = if is_version { json!({ "const": FORMAT_VERSION }) } else { value(&key.kind) };
    let mut property = Map::new();
    property.insert("description".to_owned(), json!(words));
    if let Value::Object(takes) = takes {
        property.extend(takes);
    }
    Value::Object(property)
}

/// What a kind of value must be.
fn value(kind: &Kind) -> Value {
    match *kind {
        Kind::Text => json!({ "type": "string", "maxLength": LONGEST_TEXT, "pattern": PLAIN }),
        Kind::Whole(low, high) => json!({ "type": "integer", "minimum": low, "maximum": high }),
        Kind::WholeOf(values) => json!({ "enum": values }),
        Kind::Number(bounds) => number(bounds),
        Kind::Range(bounds) => {
            let pair = json!({ "type": "array", "items": number(bounds), "minItems": 2, "maxItems": 2 });
            json!({ "anyOf": [number(bounds), pair] })
        }
        Kind::Flag => json!({ "type": "boolean" }),
        Kind::Choice(words) => json!({ "enum": words }),
        Kind::Id(target) => id(target),
        Kind::Ids(target, repeats) => {
            let mut ids = list(&id(target));
            ids.insert("uniqueItems".to_owned(), json!(repeats == Repeats::Refused));
            Value::Object(ids)
        }
        Kind::Point => json!({ "type": "array", "items": metres(), "minItems": 2, "maxItems": 2 }),
        Kind::Area => area(),
        Kind::Clock => json!({ "type": "string", "pattern": CLOCK }),
        Kind::Hours => {
            let clock = json!({ "type": "string", "pattern": CLOCK });
            json!({ "type": "array", "items": clock, "minItems": 2, "maxItems": 2 })
        }
        Kind::Moment => json!({ "type": "string", "pattern": MOMENT }),
        Kind::Spectrum => spectrum(),
        Kind::BaseLoads => {
            let load = json!({ "type": "string", "maxLength": LONGEST_TEXT, "pattern": BASE_LOAD });
            Value::Object(list(&load))
        }
        Kind::Table(table) => reference(table),
        Kind::Tables(table) => json!({ "anyOf": [reference(table), list(&reference(table))] }),
        Kind::Entries(table, _) => json!({
            "type": "object",
            "propertyNames": { "pattern": ID, "maxLength": LONGEST_TEXT },
            "additionalProperties": reference(table),
            "maxProperties": MOST_ENTRIES,
        }),
    }
}

fn number(bounds: Bounds) -> Value {
    json!({ "type": "number", "minimum": plain(bounds.low), "maximum": plain(bounds.high) })
}

/// A bound as it is written by hand: without a point where it is whole.
fn plain(bound: f64) -> Value {
    let text = bound.to_string();
    text.parse::<i64>().map_or_else(|_| json!(bound), |whole| json!(whole))
}

fn metres() -> Value {
    number(super::COORDINATE)
}

/// A corner and two sizes, which are more than nothing.
fn area() -> Value {
    let mut size = metres();
    size["exclusiveMinimum"] = json!(0);
    json!({
        "type": "array",
        "prefixItems": [metres(), metres(), size, size],
        "items": metres(),
        "minItems": 4,
        "maxItems": 4,
    })
}

fn spectrum() -> Value {
    let (low, high) = super::HARMONIC_ORDERS;
    let order = json!({ "type": "integer", "minimum": low, "maximum": high });
    let share = number(super::HARMONIC_SHARE);
    let pair = json!({
        "type": "array",
        "prefixItems": [order, share],
        "items": { "type": "number" },
        "minItems": 2,
        "maxItems": 2,
    });
    json!({ "anyOf": [{ "enum": SPECTRUM_WORDS }, list(&pair)] })
}

/// An id: of the library where it lists them, else any.
fn id(target: Target) -> Value {
    let known: Option<Vec<&str>> = match target {
        Target::Class => Some(library().heads.keys().map(ClassId::as_str).collect()),
        Target::Outlet => Some(library().outlets.keys().map(OutletId::as_str).collect()),
        _ => None,
    };
    match known {
        Some(ids) => json!({ "enum": ids }),
        None => json!({ "type": "string", "pattern": ID, "maxLength": LONGEST_TEXT }),
    }
}

fn list(item: &Value) -> Map<String, Value> {
    let mut list = Map::new();
    list.insert("type".to_owned(), json!("array"));
    list.insert("items".to_owned(), item.clone());
    list.insert("maxItems".to_owned(), json!(MOST_ENTRIES));
    list
}

fn reference(table: &TableSchema) -> Value {
    json!({ "$ref": format!("#/$defs/{}", table.name) })
}
