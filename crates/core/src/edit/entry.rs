//! Whole entries: added, taken out, and a setup's own placements.

use super::document::Document;
use super::mention;
use super::splice::Splices;
use super::table;
use super::value::{Value, bare_or_quoted};
use super::{Address, Override, Refusal, Table, list, placement_value};
use crate::file;
use crate::file::schema::{self, Need};
use crate::file::tree::{Origin, Value as Read};

/// Adds an entry after the last of its kind.
pub(super) fn add(
    document: &Document<'_>,
    of: &Address,
    keys: &[(String, Value)],
    splices: &mut Splices,
) -> Result<(), Refusal> {
    may_be_added(document, of, keys)?;
    let root = &document.tree.root().entries;
    let name = of.schema().name;
    let value = Value::Table(keys.to_vec());
    match (root.get(name).map(|entry| (&entry.item.value, entry)), of) {
        (Some((Read::Table(table), _)), Address::Entry(_, id))
            if document.tree.table(*table).origin == Origin::Inline =>
        {
            table::insert(document, *table, None, &[(id, &value)], splices)
        }
        (Some((Read::List(items), entry)), Address::Nth(..)) => {
            let at = items.last().map_or(entry.item.place.start + 1, |last| last.place.end);
            let comma = if items.is_empty() { "" } else { ", " };
            splices.insert(at, format!("{comma}{}", value.written()));
            Ok(())
        }
        (Some((Read::Table(_), _)), Address::Nth(..)) => Err(Refusal::new(
            format!("`{name}` is written as one table, not as [[{name}]]"),
            format!("Write its header as [[{name}]] in a text editor."),
        )),
        _ => {
            let at = place_for(document, name);
            let header = match of {
                Address::Location => "[location]".to_owned(),
                Address::Entry(_, id) => format!("[{name}.{}]", bare_or_quoted(id)),
                Address::Nth(..) => format!("[[{name}]]"),
            };
            splices.insert(at, table::block(document, at, &header, keys));
            Ok(())
        }
    }
}

fn may_be_added(document: &Document<'_>, of: &Address, keys: &[(String, Value)]) -> Result<(), Refusal> {
    if let Address::Entry(table, id) = of {
        new_id(document, *table, id)?;
    }
    if *of == Address::Location && document.find(of).is_ok() {
        return Err(Refusal::new("the plan has its location already", "Change its keys."));
    }
    for (at, (name, value)) in keys.iter().enumerate() {
        table::checked(document, of, name, Some(value))?;
        if keys[..at].iter().any(|(other, _)| other == name) {
            return Err(Refusal::new(format!("`{name}` is given twice"), "Keep one of the two."));
        }
    }
    let required = of
        .schema()
        .keys
        .iter()
        .find(|key| key.need == Need::Required && !keys.iter().any(|(name, _)| name == key.name));
    match required {
        None => Ok(()),
        Some(key) => Err(Refusal::new(
            format!("a new {} needs `{}`", of.schema().noun, key.name),
            format!("Give it: {}.", key.kind.expects()),
        )),
    }
}

/// Checks that an entry may have that id.
pub(super) fn new_id(document: &Document<'_>, table: Table, id: &str) -> Result<(), Refusal> {
    if !file::is_id(id) {
        return Err(Refusal::new(
            format!("{} is no id", file::quoted(id)),
            "An id is letters, digits, `-` and `_`, with no spaces.",
        ));
    }
    let rival = match table {
        Table::Cable => Some(Table::Block),
        Table::Block => Some(Table::Cable),
        _ => None,
    };
    for table in std::iter::once(table).chain(rival) {
        if let Some(entry) = document.entry(table.name(), id) {
            return Err(Refusal::new(
                format!("there is a {} `{id}` already", table.noun()),
                "Choose another id.",
            )
            .at(entry.key.clone()));
        }
    }
    Ok(())
}

/// Where a new entry of a table of the top goes: after the last of its kind, or after the kinds that
/// stand before it in a plan.
fn place_for(document: &Document<'_>, name: &str) -> usize {
    let order = schema::PLAN.keys;
    let own = order.iter().position(|key| key.name == name).unwrap_or(order.len());
    let mut before = order.iter().take(own + 1).rev();
    let end = before.find_map(|key| end_of(document, key.name));
    document.room_after(end.unwrap_or_else(|| first_statement_end(document)))
}

/// Past the statements at the top, before the first header.
fn first_statement_end(document: &Document<'_>) -> usize {
    let first_header = document.tree.headers.first().map_or(document.text.len(), |header| header.start);
    document.last_statement_before(first_header)
}

/// Where everything under a key of the top ends.
fn end_of(document: &Document<'_>, name: &str) -> Option<usize> {
    let entry = document.tree.root().entries.get(name)?;
    let headers = match &entry.item.value {
        Read::Table(table) => document.headers(*table),
        Read::Tables(tables) => tables.iter().flat_map(|table| document.headers(*table)).collect(),
        _ => Vec::new(),
    };
    let sections = headers.into_iter().map(|header| document.section(header).end);
    let statements = document.statements(entry).into_iter().map(|statement| statement.end);
    sections.chain(statements).max()
}

/// Takes an entry out, and its mentions.
pub(super) fn remove(document: &Document<'_>, of: &Address, splices: &mut Splices) -> Result<(), Refusal> {
    let table = document.find(of)?;
    match of {
        Address::Location => {
            return Err(Refusal::new("a plan needs its location", "Change its keys instead."));
        }
        Address::Entry(kind, id) => {
            mention::remove(document, *kind, id, splices)?;
            let Some((parent, entry)) = parent_of(document, kind.name(), id) else {
                return Err(Refusal::new(format!("the plan has no {of}"), "It may have been removed."));
            };
            table::remove(document, parent, entry, splices)?;
        }
        Address::Nth(log, at) => {
            let entry = document.tree.root().entries.get(log.schema().name);
            match entry.map(|entry| (&entry.item.value, entry)) {
                Some((Read::List(items), _)) => {
                    let places: Vec<_> = items.iter().map(|item| item.place.clone()).collect();
                    list::remove(document.text, &places, &[*at], splices);
                }
                Some((Read::Table(_), entry)) => table::remove(document, 0, entry, splices)?,
                _ => {
                    for header in document.headers(table) {
                        table::remove_section(document, header, splices);
                    }
                }
            }
        }
    }
    Ok(())
}

fn parent_of<'d, 't>(
    document: &'d Document<'t>,
    table: &str,
    id: &str,
) -> Option<(usize, &'d file::tree::Entry<'t>)> {
    match document.tree.root().entries.get(table)?.item.value {
        Read::Table(parent) => Some((parent, document.tree.table(parent).entries.get(id)?)),
        _ => None,
    }
}

/// Says where a head is plugged in for one setup.
pub(super) fn set_override(
    document: &Document<'_>,
    setup: &str,
    head: &str,
    placement: &Override,
    splices: &mut Splices,
) -> Result<(), Refusal> {
    let of = Address::of(Table::Setup, setup);
    let table = document.find(&of)?;
    if document.named().is_some() {
        document.find(&Address::of(Table::Head, head))?;
    }
    let value = match placement {
        Override::AsTheHeadSays => None,
        Override::Unplugged => Some(placement_value(None)),
        Override::Plugged(placement) => Some(placement_value(Some(placement))),
    };
    if let Some(value) = &value {
        let wrapped = Value::Table(vec![(head.to_owned(), value.clone())]);
        table::checked(document, &of, "sockets", Some(&wrapped))?;
    }
    let sockets = document.tree.table(table).entries.get("sockets");
    match (sockets.map(|entry| (&entry.item.value, entry)), value) {
        (Some((Read::Table(inner), entry)), None) => {
            let entries = &document.tree.table(*inner).entries;
            let is_only = entries.len() == 1 && entries.contains_key(head);
            if is_only {
                return table::remove(document, table, entry, splices);
            }
            table::set(document, *inner, None, &[(head, None)], splices)
        }
        (Some((Read::Table(inner), _)), Some(value)) => {
            table::set(document, *inner, None, &[(head, Some(&value))], splices)
        }
        (_, None) => Ok(()),
        (_, Some(value)) => {
            let wrapped = Value::Table(vec![(head.to_owned(), value)]);
            table::set(document, table, Some(&schema::SETUP), &[("sockets", Some(&wrapped))], splices)
        }
    }
}
