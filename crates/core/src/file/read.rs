//! The plan out of the tree: one function a table.

mod electric;
mod gear;
mod place;
mod shoot;

use std::hash::Hash;

use indexmap::IndexMap;

use super::check::{Reading, is_id, too_many};
use super::entry::Entry;
use super::field::{Fields, fields};
use super::problem::{Gravity, quoted, told};
use super::schema::{self, Kind, MOST_ENTRIES, TableSchema, Target};
use super::tree::{TableIndex, Value};
use crate::plan::{FORMAT_VERSION, Plan};

/// Reads all that can be read.
pub(super) fn plan(reading: &mut Reading<'_>) -> Plan {
    let top = fields(reading, &schema::PLAN, 0, "the plan".to_owned());
    let mut plan = Plan { version: top.whole("ampwalk"), ..Plan::default() };
    version(reading, &top, plan.version);
    match top.tables("location").first() {
        Some(&table) => {
            let location = fields(reading, &schema::LOCATION, table, "the location".to_owned());
            plan.location = place::location(&location);
        }
        None => location_missing(reading, &top),
    }
    plan.supplies = entries(reading, &top, &schema::SUPPLY, |_, f| electric::supply(f));
    plan.rcds = entries(reading, &top, &schema::RCD, |_, f| Some(electric::rcd(f)));
    plan.circuits =
        entries(reading, &top, &schema::CIRCUIT, |reading, f| Some(electric::circuit(reading, f)));
    plan.floors = entries(reading, &top, &schema::FLOOR, |_, f| place::floor(f));
    plan.rooms = entries(reading, &top, &schema::ROOM, |_, f| place::room(f));
    plan.sockets = entries(reading, &top, &schema::SOCKET, electric::socket);
    plan.heads = entries(reading, &top, &schema::HEAD, |reading, f| Some(gear::head(reading, f)));
    plan.cables = entries(reading, &top, &schema::CABLE, |_, f| gear::cable(f));
    plan.blocks = entries(reading, &top, &schema::BLOCK, |_, f| Some(gear::block(f)));
    plan.setups = entries(reading, &top, &schema::SETUP, shoot::setup);
    plan.traces = listed(reading, &top, &schema::TRACE, shoot::trace);
    plan.trips = listed(reading, &top, &schema::TRIP, |_, f| Some(shoot::trip(f)));
    plan
}

/// Reads one entry of a keyed table out of its own table.
pub(super) fn entry_again(
    reading: &mut Reading<'_>,
    name: &str,
    table: TableIndex,
    id: &str,
) -> Option<Entry> {
    let Kind::Entries(schema, _) = schema::PLAN.key(name)?.kind else { return None };
    let fields = &fields(reading, schema, table, owner(schema, id));
    Some(match name {
        "supply" => Entry::Supply(id.into(), Box::new(electric::supply(fields)?)),
        "rcd" => Entry::Rcd(id.into(), Box::new(electric::rcd(fields))),
        "circuit" => Entry::Circuit(id.into(), Box::new(electric::circuit(reading, fields))),
        "floor" => Entry::Floor(id.into(), Box::new(place::floor(fields)?)),
        "room" => Entry::Room(id.into(), Box::new(place::room(fields)?)),
        "socket" => Entry::Socket(id.into(), Box::new(electric::socket(reading, fields)?)),
        "head" => Entry::Head(id.into(), Box::new(gear::head(reading, fields))),
        "cable" => Entry::Cable(id.into(), Box::new(gear::cable(fields)?)),
        "block" => Entry::Block(id.into(), Box::new(gear::block(fields))),
        "setup" => Entry::Setup(id.into(), Box::new(shoot::setup(reading, fields)?)),
        _ => return None,
    })
}

/// What an entry is called in messages.
fn owner(schema: &TableSchema, id: &str) -> String {
    format!("{} `{id}`", schema.noun)
}

fn version(reading: &mut Reading<'_>, top: &Fields, version: Option<u32>) {
    if !top.has("ampwalk") {
        reading.problems.error("version-missing", 0..0, || {
            told(
                "the file does not say that it is a plan",
                format!("Write `ampwalk = {FORMAT_VERSION}` as its first line."),
            )
        });
        return;
    }
    let Some(version) = version.filter(|version| *version > FORMAT_VERSION) else {
        return;
    };
    let place = top.place_of("ampwalk");
    reading.problems.add("version-later", Gravity::LaterVersion, place, || {
        told(
            format!("the plan is in format {version}; this program knows format {FORMAT_VERSION}"),
            "Open it with a later version of the program. Here it can be looked at, not changed.",
        )
    });
}

fn location_missing(reading: &mut Reading<'_>, top: &Fields) {
    if top.has("location") {
        return;
    }
    reading.problems.error("missing-key", 0..0, || {
        told(
            "the plan has no [location]",
            "Add `[location]` with its `region`: it sets volts, outlets and rules.",
        )
    });
}

/// Reads the entries of a keyed table of the top.
fn entries<I, T>(
    reading: &mut Reading<'_>,
    top: &Fields,
    schema: &'static TableSchema,
    mut read: impl FnMut(&mut Reading<'_>, &Fields) -> Option<T>,
) -> IndexMap<I, T>
where
    I: for<'a> From<&'a str> + Hash + Eq,
{
    let mut found = IndexMap::new();
    let Some(&table) = top.tables(schema.name).first() else {
        return found;
    };
    let tree = reading.tree;
    let entries = &tree.table(table).entries;
    if let Some((_, over)) = entries.get_index(MOST_ENTRIES) {
        let what = format!("[{}]", schema.name);
        too_many(&mut reading.problems, &what, entries.len(), over.key.clone());
    }
    for (id, entry) in entries.iter().take(MOST_ENTRIES) {
        let Value::Table(index) = entry.item.value else {
            if matches!(entry.item.value, Value::Broken) {
                continue;
            }
            reading.problems.error("wrong-type", entry.key.clone(), || {
                told(
                    format!("{} of [{}] is {}", quoted(id), schema.name, entry.item.value.kind()),
                    format!("Write a table under the header [{}.ID], ID being its name.", schema.name),
                )
            });
            continue;
        };
        if !is_id(id) {
            reading.problems.error("bad-id", entry.key.clone(), || {
                told(
                    format!("{} is no id of a {}", quoted(id), schema.noun),
                    "An id is letters, digits, `-` and `_`, with no spaces. What it is called goes into `name`.",
                )
            });
            continue;
        }
        let fields = fields(reading, schema, index, owner(schema, id));
        if let Some(value) = read(reading, &fields) {
            found.insert(I::from(id), value);
        }
    }
    found
}

/// Reads a list of tables of the top.
fn listed<T>(
    reading: &mut Reading<'_>,
    top: &Fields,
    schema: &'static TableSchema,
    mut read: impl FnMut(&mut Reading<'_>, &Fields) -> Option<T>,
) -> Vec<T> {
    let mut found = Vec::new();
    for (at, table) in top.tables(schema.name).into_iter().enumerate() {
        let owner = format!("{} {}", schema.noun, at + 1);
        let fields = fields(reading, schema, table, owner);
        found.extend(read(reading, &fields));
    }
    found
}

/// Reads the tables that a key of `outer` holds.
fn within<T>(
    reading: &mut Reading<'_>,
    outer: &Fields,
    schema: &'static TableSchema,
    mut read: impl FnMut(&mut Reading<'_>, &Fields) -> Option<T>,
) -> Vec<T> {
    let mut found = Vec::new();
    for table in outer.tables(schema.name) {
        let owner = format!("a {} of {}", schema.noun, outer.owner);
        let fields = fields(reading, schema, table, owner);
        found.extend(read(reading, &fields));
    }
    found
}

/// The heads that a setup's `sockets` names, each with its table.
fn by_head(reading: &mut Reading<'_>, setup: &Fields) -> Vec<(String, TableIndex)> {
    let Some(&table) = setup.tables("sockets").first() else {
        return Vec::new();
    };
    let tree = reading.tree;
    let mut found = Vec::new();
    let entries = &tree.table(table).entries;
    if let Some((_, over)) = entries.get_index(MOST_ENTRIES) {
        let what = format!("`sockets` of {}", setup.owner);
        too_many(&mut reading.problems, &what, entries.len(), over.key.clone());
    }
    for (head, entry) in entries.iter().take(MOST_ENTRIES) {
        reading.references.push(super::check::Reference {
            target: Target::Head,
            id: head.clone().into_owned(),
            place: entry.key.clone(),
            role: format!("`sockets` of {}", setup.owner),
        });
        let Value::Table(index) = entry.item.value else {
            reading.problems.error("wrong-type", entry.item.place.clone(), || {
                told(
                    format!(
                        "{} in `sockets` of {} is {}",
                        quoted(head),
                        setup.owner,
                        entry.item.value.kind()
                    ),
                    "Write a table like { socket = \"G3\", leads = [\"a10\"] }, or { } for unplugged.",
                )
            });
            continue;
        };
        found.push((head.clone().into_owned(), index));
    }
    found
}
