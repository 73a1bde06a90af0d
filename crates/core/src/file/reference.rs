//! Whether what a plan names is there.

use std::collections::{HashMap, HashSet};
use std::ops::Range;

use super::check::{BaseLoadReference, Reading, Reference};
use super::nearest::nearest;
use super::problem::{Told, quoted, told};
use super::schema::{self, Kind, Target};
use super::tree::{Entry, Table, Tree, Value};
use crate::id::{ClassId, OutletId};
use crate::library::library;

/// More ids than this are not searched for one that looks alike.
const MOST_COMPARED: usize = 2000;

/// Reports every reference to nothing.
pub(super) fn check(reading: &mut Reading<'_>) {
    for reference in std::mem::take(&mut reading.references) {
        let tree = reading.tree;
        let place = reference.place.clone();
        if is_there(tree, &reference) {
            if let Some((first, second)) = twice_there(tree, &reference) {
                reading
                    .problems
                    .error("ambiguous-reference", place, || ambiguous(tree, &reference, first, second));
            }
            continue;
        }
        let code = match reference.target {
            Target::Class => "unknown-class",
            Target::Outlet => "unknown-outlet",
            _ => "unknown-reference",
        };
        reading.problems.error(code, place, || unknown(tree, &reference));
    }
    base_loads(reading);
    one_name_for_leads(reading);
}

fn is_there(tree: &Tree<'_>, reference: &Reference) -> bool {
    match reference.target {
        Target::Plate | Target::Class | Target::Outlet => is_known(reference),
        target => target.tables().iter().any(|table| entry(tree, table, &reference.id).is_some()),
    }
}

/// Whether what is named is there whatever the plan says: a plate is made by its name, classes and outlets
/// are the library's.
pub(super) fn is_known(reference: &Reference) -> bool {
    let id = reference.id.as_str();
    match reference.target {
        Target::Plate => true,
        Target::Class => library().heads.contains_key(id),
        Target::Outlet => library().outlets.contains_key(id),
        _ => false,
    }
}

/// The two tables that both have what is named. Cables and blocks are told elsewhere.
fn twice_there(tree: &Tree<'_>, reference: &Reference) -> Option<(&'static str, &'static str)> {
    if reference.target == Target::Lead {
        return None;
    }
    let mut tables =
        reference.target.tables().iter().filter(|table| entry(tree, table, &reference.id).is_some());
    Some((tables.next()?, tables.next()?))
}

/// What an entry of a table is called, with its article.
fn one_of(table: &str) -> String {
    let target = schema::PLAN.key(table).map(|key| key.kind);
    match target {
        Some(Kind::Entries(_, target)) => target.with_article(),
        _ => table.to_owned(),
    }
}

fn ambiguous(tree: &Tree<'_>, reference: &Reference, first: &str, second: &str) -> Told {
    let Reference { id, role, .. } = reference;
    let other_end = entry(tree, second, id).map_or(0..0, |entry| entry.key.clone());
    told(
        format!("{role} names `{id}`, which is {} and {}", one_of(first), one_of(second)),
        "Give one of them another id: here the plan has to mean one of them.",
    )
    .and(other_end, format!("`{id}` is {} here", one_of(second)))
}

fn unknown(tree: &Tree<'_>, reference: &Reference) -> Told {
    let Reference { target, id, role, .. } = reference;
    let noun = target.noun();
    let built_in: Vec<&str> = match target {
        Target::Class => library().heads.keys().map(ClassId::as_str).collect(),
        Target::Outlet => library().outlets.keys().map(OutletId::as_str).collect(),
        _ => Vec::new(),
    };
    if target.tables().is_empty() {
        let remedy = match nearest(id, built_in) {
            Some(near) => format!("Did you mean \"{near}\"? `ampwalk library` lists them all."),
            None => "`ampwalk library` lists what is built in.".to_owned(),
        };
        return told(format!("{role} is {}, and the library has no such {noun}", quoted(id)), remedy);
    }
    let message = format!("{role} names {noun} {}, and there is none", quoted(id));
    let other = other_table(tree, id);
    if let Some((table, found)) = other {
        return told(
            message,
            format!("`{id}` is {}. Write the id of {}.", one_of(table), target.with_article()),
        )
        .and(found.key.clone(), format!("`{id}` is {} here", one_of(table)));
    }
    let near = target.tables().iter().find_map(|table| {
        let entries = &table_of(tree, table)?.entries;
        if entries.len() > MOST_COMPARED {
            return None;
        }
        let word = nearest(id, entries.keys().map(AsRef::as_ref))?;
        Some((table, word, entries.get(word)?))
    });
    let header = target.tables().first().copied().unwrap_or_default();
    match near {
        Some((table, word, found)) => {
            told(message, format!("Did you mean \"{word}\"? Else add [{table}.{id}]."))
                .and(found.key.clone(), format!("`{word}` is here"))
        }
        None => told(
            message,
            format!("Add [{header}.{id}], or write the id of {} that is there.", target.with_article()),
        ),
    }
}

/// An entry of that id in any keyed table.
fn other_table<'a, 't>(tree: &'a Tree<'t>, id: &str) -> Option<(&'static str, &'a Entry<'t>)> {
    const TABLES: [&str; 10] =
        ["socket", "circuit", "rcd", "head", "room", "floor", "supply", "setup", "cable", "block"];
    TABLES.into_iter().find_map(|table| entry(tree, table, id).map(|found| (table, found)))
}

/// A keyed table of the top.
pub(super) fn table_of<'a, 't>(tree: &'a Tree<'t>, name: &str) -> Option<&'a Table<'t>> {
    match tree.root().entries.get(name)?.item.value {
        Value::Table(index) => Some(tree.table(index)),
        _ => None,
    }
}

/// An entry of a keyed table.
pub(super) fn entry<'a, 't>(tree: &'a Tree<'t>, table: &str, id: &str) -> Option<&'a Entry<'t>> {
    table_of(tree, table)?.entries.get(id)
}

/// A key of an entry of a keyed table.
pub(super) fn field<'a, 't>(tree: &'a Tree<'t>, table: &str, id: &str, key: &str) -> Option<&'a Entry<'t>> {
    match entry(tree, table, id)?.item.value {
        Value::Table(index) => tree.table(index).entries.get(key),
        _ => None,
    }
}

/// Where the value of a key stands, or else its entry's id, or else nothing.
pub(super) fn place(tree: &Tree<'_>, table: &str, id: &str, key: &str) -> Range<usize> {
    field(tree, table, id, key)
        .map(|field| field.item.place.clone())
        .or_else(|| entry(tree, table, id).map(|entry| entry.key.clone()))
        .unwrap_or(0..0)
}

fn base_loads(reading: &mut Reading<'_>) {
    let mut names: HashMap<String, HashSet<String>> = HashMap::new();
    for reference in std::mem::take(&mut reading.base_loads) {
        let BaseLoadReference { load, place, role } = reference;
        let circuit = load.circuit.as_str();
        let tree = reading.tree;
        let Some(found) = entry(tree, "circuit", circuit) else {
            let reference =
                Reference { target: Target::Circuit, id: circuit.to_owned(), place: place.clone(), role };
            reading.problems.error("unknown-reference", place, || unknown(tree, &reference));
            continue;
        };
        let known = names.entry(circuit.to_owned()).or_insert_with(|| base_names(tree, circuit));
        if !known.contains(&load.name) {
            reading.problems.error("unknown-base-load", place, || {
                let near = nearest(&load.name, known.iter().map(String::as_str));
                told(
                    format!(
                        "{role} names {}, and circuit `{circuit}` has no such base load",
                        quoted(&load.name)
                    ),
                    match near {
                        Some(near) => format!("Did you mean \"{circuit}.{near}\"?"),
                        None => format!(
                            "Name it in `base` of circuit `{circuit}`: base = [{{ name = \"…\", amps = … }}]."
                        ),
                    },
                )
                .and(found.key.clone(), format!("circuit `{circuit}`"))
            });
        }
    }
}

fn base_names(tree: &Tree<'_>, circuit: &str) -> HashSet<String> {
    let Some(base) = field(tree, "circuit", circuit, "base") else {
        return HashSet::new();
    };
    let tables: Vec<usize> = match &base.item.value {
        Value::Table(table) => vec![*table],
        Value::Tables(tables) => tables.clone(),
        Value::List(items) => items
            .iter()
            .filter_map(|item| match item.value {
                Value::Table(table) => Some(table),
                _ => None,
            })
            .collect(),
        _ => Vec::new(),
    };
    tables
        .into_iter()
        .filter_map(|table| match &tree.table(table).entries.get("name")?.item.value {
            Value::Text(name) => Some(name.clone().into_owned()),
            _ => None,
        })
        .collect()
}

/// `leads` names cables and blocks alike, so an id is one or the other.
fn one_name_for_leads(reading: &mut Reading<'_>) {
    let tree = reading.tree;
    let Some(blocks) = table_of(tree, "block") else {
        return;
    };
    for (id, block) in &blocks.entries {
        let Some(cable) = entry(tree, "cable", id) else {
            continue;
        };
        reading.problems.error("cable-and-block", block.key.clone(), || {
            told(
                format!("{} is a cable and a block", quoted(id)),
                "Give one of them another id: `leads` names both kinds.",
            )
            .and(cable.key.clone(), "the cable")
        });
    }
}
