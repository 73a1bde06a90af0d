//! Everywhere that an id is mentioned: renamed together, taken out together.

use std::ops::Range;

use super::document::Document;
use super::entry::new_id;
use super::splice::Splices;
use super::value::{Value, bare_or_quoted, quoted};
use super::{Address, Refusal, Table, list, table};
use crate::file;
use crate::file::schema::{self, Key, Kind, Need, TableSchema, Target};
use crate::file::tree::{Entry, Item, TableIndex, Value as Read};
use crate::order::Order as _;

/// A place where the plan names something.
struct Mention<'d, 't> {
    /// What it stands in.
    owner: String,
    at: At<'d, 't>,
    form: Form<'d, 't>,
}

/// A key in a table.
#[derive(Clone, Copy)]
struct At<'d, 't> {
    table: TableIndex,
    schema: &'static TableSchema,
    key: &'static Key,
    entry: &'d Entry<'t>,
}

/// How it names it.
enum Form<'d, 't> {
    /// `key = "ID"`
    Alone(&'d Item<'t>),
    /// `key = ["ID", …]`: which.
    Listed(&'d [Item<'t>], usize),
    /// `key.ID = …`
    Name(TableIndex, &'d Entry<'t>),
}

/// Gathers the places that `of_interest` accepts: by what they must name and what they say.
fn mentions<'d, 't>(
    document: &'d Document<'t>,
    of_interest: &dyn Fn(Named, &str) -> bool,
) -> Vec<Mention<'d, 't>> {
    let mut walk = Walk { document, of_interest, found: Vec::new() };
    walk.table(0, &schema::PLAN, "");
    walk.found
}

/// What a place names.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Named {
    Entry(Target),
    /// `CIRCUIT.name`
    BaseLoad,
}

struct Walk<'d, 't, 'f> {
    document: &'d Document<'t>,
    of_interest: &'f dyn Fn(Named, &str) -> bool,
    found: Vec<Mention<'d, 't>>,
}

impl<'d, 't> Walk<'d, 't, '_> {
    fn table(&mut self, table: TableIndex, schema: &'static TableSchema, owner: &str) {
        for (name, entry) in &self.document.tree.table(table).entries {
            if let Some(key) = schema.key(name) {
                self.key(table, schema, key, entry, owner);
            }
        }
    }

    fn key(
        &mut self,
        table: TableIndex,
        schema: &'static TableSchema,
        key: &'static Key,
        entry: &'d Entry<'t>,
        owner: &str,
    ) {
        let at = At { table, schema, key, entry };
        let mut push = |form| self.found.push(Mention { owner: owner.to_owned(), at, form });
        match (key.kind, &entry.item.value) {
            (Kind::Id(target), Read::Text(id)) if (self.of_interest)(Named::Entry(target), id) => {
                push(Form::Alone(&entry.item));
            }
            (Kind::Ids(..) | Kind::BaseLoads, Read::List(items)) => {
                let named = match key.kind {
                    Kind::Ids(target, _) => Named::Entry(target),
                    _ => Named::BaseLoad,
                };
                for (at, item) in items.iter().enumerate() {
                    if let Read::Text(text) = &item.value
                        && (self.of_interest)(named, text)
                    {
                        push(Form::Listed(items, at));
                    }
                }
            }
            (Kind::Table(inner) | Kind::Tables(inner), Read::Table(index)) => {
                self.table(*index, inner, owner);
            }
            (Kind::Tables(inner), Read::Tables(tables)) => {
                for (at, index) in tables.iter().enumerate() {
                    self.table(*index, inner, &numbered(inner, at, owner));
                }
            }
            (Kind::Tables(inner), Read::List(items)) => {
                for (at, item) in items.iter().enumerate() {
                    if let Read::Table(index) = item.value {
                        self.table(index, inner, &numbered(inner, at, owner));
                    }
                }
            }
            (Kind::Entries(inner, target), Read::Table(index)) => {
                self.entries(*index, at, inner, target, owner);
            }
            _ => {}
        }
    }

    fn entries(
        &mut self,
        table: TableIndex,
        at: At<'d, 't>,
        inner: &'static TableSchema,
        target: Target,
        owner: &str,
    ) {
        let is_top = at.schema.name.is_empty();
        for (id, named) in &self.document.tree.table(table).entries {
            if !is_top && (self.of_interest)(Named::Entry(target), id) {
                let form = Form::Name(table, named);
                self.found.push(Mention { owner: owner.to_owned(), at, form });
            }
            if let Read::Table(index) = named.item.value {
                let own = format!("{} {id}", inner.noun);
                self.table(index, inner, if is_top { &own } else { owner });
            }
        }
    }
}

fn numbered(schema: &TableSchema, at: usize, owner: &str) -> String {
    if owner.is_empty() { format!("{} {}", schema.noun, at + 1) } else { owner.to_owned() }
}

/// Whether `target` means the entry of `table` and no other by that id.
fn means(document: &Document<'_>, table: Table, target: Target, id: &str) -> bool {
    table.is_named_by(target)
        && target.tables().iter().all(|other| *other == table.name() || document.entry(other, id).is_none())
}

/// Gives an entry another id, wherever it is mentioned.
pub(super) fn rename(
    document: &Document<'_>,
    table: Table,
    from: &str,
    to: &str,
    splices: &mut Splices,
) -> Result<(), Refusal> {
    let index = document.find(&Address::of(table, from))?;
    if from == to {
        return Ok(());
    }
    new_id(document, table, to)?;
    if let Some(entry) = document.entry(table.name(), from) {
        rename_key(document, index, entry, to, splices);
    }
    let of_interest = |named: Named, text: &str| match named {
        Named::Entry(target) => text == from && means(document, table, target, from),
        Named::BaseLoad => table == Table::Circuit && circuit_of(text) == Some(from),
    };
    for mention in mentions(document, &of_interest) {
        match &mention.form {
            Form::Alone(item) => splices.replace(item.place.clone(), quoted(to)),
            Form::Listed(items, at) => {
                let item = &items[*at];
                let name = match (&mention.at.key.kind, &item.value) {
                    (Kind::BaseLoads, Read::Text(text)) => format!("{to}{}", &text[from.len()..]),
                    _ => to.to_owned(),
                };
                splices.replace(item.place.clone(), quoted(&name));
            }
            Form::Name(_, entry) => {
                if let Read::Table(inner) = entry.item.value {
                    rename_key(document, inner, entry, to, splices);
                }
            }
        }
    }
    Ok(())
}

fn circuit_of(base_load: &str) -> Option<&str> {
    base_load.split_once('.').map(|(circuit, _)| circuit)
}

/// Renames a table's key wherever a header or a dotted path has it.
fn rename_key(
    document: &Document<'_>,
    table: TableIndex,
    entry: &Entry<'_>,
    to: &str,
    splices: &mut Splices,
) {
    let paths = document.tree.mentions.iter().filter(|(index, _)| *index == table).map(|(_, place)| place);
    let mut places: Vec<&Range<usize>> = paths.chain(std::iter::once(&entry.key)).collect();
    places.order_by_key(|place| place.start);
    places.dedup();
    for place in places {
        splices.replace(place.clone(), bare_or_quoted(to));
    }
}

/// The base loads of a circuit's table.
fn base_loads(document: &Document<'_>, circuit: TableIndex) -> Vec<TableIndex> {
    match document.tree.table(circuit).entries.get("base").map(|entry| &entry.item.value) {
        Some(Read::Table(only)) => vec![*only],
        Some(Read::Tables(tables)) => tables.clone(),
        Some(Read::List(items)) => items
            .iter()
            .filter_map(|item| match item.value {
                Read::Table(index) => Some(index),
                _ => None,
            })
            .collect(),
        _ => Vec::new(),
    }
}

/// Sees that no base load of a circuit goes that is named elsewhere, where `now` is all that it has.
pub(super) fn keep_base_loads(
    document: &Document<'_>,
    circuit: &str,
    now: Option<&Value>,
) -> Result<(), Refusal> {
    let table = document.find(&Address::of(Table::Circuit, circuit))?;
    let stay = base_load_names(now);
    for load in base_loads(document, table) {
        let name = match document.tree.table(load).entries.get("name").map(|entry| &entry.item.value) {
            Some(Read::Text(name)) if !stay.contains(&&**name) => name,
            _ => continue,
        };
        let whole = format!("{circuit}.{name}");
        let of_interest = |named: Named, text: &str| named == Named::BaseLoad && text == whole;
        let found = mentions(document, &of_interest);
        if !found.is_empty() {
            let users: Vec<&str> = found.iter().map(|mention| mention.owner.as_str()).collect();
            return Err(in_use(&format!("base load {}", file::quoted(&whole)), &users));
        }
    }
    Ok(())
}

/// The names in a list of base loads.
pub(crate) fn base_load_names(list: Option<&Value>) -> Vec<&str> {
    let tables = match list {
        Some(Value::List(loads)) => loads.as_slice(),
        Some(only) => std::slice::from_ref(only),
        None => &[],
    };
    let keys = tables.iter().filter_map(|load| match load {
        Value::Table(keys) => Some(keys),
        _ => None,
    });
    keys.flatten()
        .filter_map(|(key, value)| match value {
            Value::Text(name) if key == "name" => Some(name.as_str()),
            _ => None,
        })
        .collect()
}

/// Gives a circuit's base load another name, wherever it is mentioned.
pub(super) fn rename_base_load(
    document: &Document<'_>,
    circuit: &str,
    from: &str,
    to: &str,
    splices: &mut Splices,
) -> Result<(), Refusal> {
    let table = document.find(&Address::of(Table::Circuit, circuit))?;
    let tables = base_loads(document, table);
    let named = |name: &str| {
        tables.iter().copied().find(|index| {
            let entry = document.tree.table(*index).entries.get("name");
            matches!(entry.map(|entry| &entry.item.value), Some(Read::Text(text)) if text == name)
        })
    };
    let Some(load) = named(from) else {
        return Err(Refusal::new(
            format!("circuit {circuit} has no base load {}", file::quoted(from)),
            "It may have been renamed or removed.",
        ));
    };
    if from == to {
        return Ok(());
    }
    if named(to).is_some() {
        return Err(Refusal::new(
            format!("circuit {circuit} has a base load {} already", file::quoted(to)),
            "Choose another name.",
        ));
    }
    let value = Value::text(to);
    let problem = schema::BASE
        .key("name")
        .and_then(|key| file::value_problem(key, "a base load", &value.written(), document.named()));
    if let Some(problem) = problem {
        return Err(Refusal::new(problem.message, problem.remedy));
    }
    table::set(document, load, Some(&schema::BASE), &[("name", Some(&value))], splices)?;
    let whole = format!("{circuit}.{from}");
    let of_interest = |named: Named, text: &str| named == Named::BaseLoad && text == whole;
    for mention in mentions(document, &of_interest) {
        if let Form::Listed(items, at) = mention.form {
            splices.replace(items[at].place.clone(), quoted(&format!("{circuit}.{to}")));
        }
    }
    Ok(())
}

/// Takes the mentions of an entry out, where they may go.
pub(super) fn remove(
    document: &Document<'_>,
    table: Table,
    id: &str,
    splices: &mut Splices,
) -> Result<(), Refusal> {
    let of_interest = |named: Named, text: &str| match named {
        Named::Entry(target) => text == id && means(document, table, target, id),
        Named::BaseLoad => table == Table::Circuit && circuit_of(text) == Some(id),
    };
    let found = mentions(document, &of_interest);
    let own = format!("{} {id}", table.noun());
    let others: Vec<&Mention<'_, '_>> = found.iter().filter(|mention| mention.owner != own).collect();
    let users: Vec<&str> =
        others.iter().filter(|mention| is_needed(mention)).map(|mention| mention.owner.as_str()).collect();
    if !users.is_empty() {
        return Err(in_use(&own, &users));
    }
    let mut lists: Vec<(&[Item<'_>], Vec<usize>)> = Vec::new();
    for mention in others {
        match &mention.form {
            Form::Alone(_) => remove_key(document, mention, splices)?,
            Form::Name(parent, entry) => remove_override(document, mention, *parent, entry, splices)?,
            Form::Listed(items, at) => match lists.last_mut() {
                Some((last, surplus)) if std::ptr::eq(*last, *items) => surplus.push(*at),
                _ => lists.push((items, vec![*at])),
            },
        }
    }
    for (items, surplus) in lists {
        let places: Vec<Range<usize>> = items.iter().map(|item| item.place.clone()).collect();
        list::remove(document.text, &places, &surplus, splices);
    }
    Ok(())
}

fn in_use(own: &str, users: &[&str]) -> Refusal {
    const MOST: usize = 5;
    let mut named: Vec<&str> = users.to_vec();
    named.sort_unstable();
    named.dedup();
    let more = named.len().saturating_sub(MOST);
    let mut words = named[..named.len() - more].join(", ");
    if more > 0 {
        words = format!("{words} and {more} more");
    }
    Refusal::new(format!("{own} is in use by {words}"), "Change or remove that first.")
}

/// Whether a mention stands in a table of that kind.
fn is(mention: &Mention<'_, '_>, schema: &'static TableSchema) -> bool {
    std::ptr::eq(mention.at.schema, schema)
}

/// Whether what a mention stands in cannot be without it.
fn is_needed(mention: &Mention<'_, '_>) -> bool {
    // A lead is not taken out from between a socket and a head: the rest would mean another thing.
    let is_lead = mention.at.key.name == "leads";
    let is_feed = is(mention, &schema::CIRCUIT) && matches!(mention.at.key.name, "supply" | "from");
    let is_traced =
        is(mention, &schema::TRACE) && matches!(mention.at.key.name, "off" | "ramp_dropped" | "also_off");
    let is_required = mention.at.key.need == Need::Required && matches!(mention.form, Form::Alone(_));
    is_lead || is_feed || is_traced || is_required
}

/// Takes a key out; leads go with their socket.
fn remove_key(
    document: &Document<'_>,
    mention: &Mention<'_, '_>,
    splices: &mut Splices,
) -> Result<(), Refusal> {
    if is(mention, &schema::OVERRIDE) && mention.at.key.name == "socket" {
        table::empty(document, mention.at.table, splices);
        return Ok(());
    }
    let keys: &[(&str, Option<&Value>)] = match mention.at.key.name {
        "socket" => &[("socket", None), ("leads", None)],
        name => &[(name, None)],
    };
    table::set(document, mention.at.table, Some(mention.at.schema), keys, splices)
}

/// Takes a head out of a setup's `sockets`, and `sockets` itself with the last one.
fn remove_override(
    document: &Document<'_>,
    mention: &Mention<'_, '_>,
    parent: TableIndex,
    entry: &Entry<'_>,
    splices: &mut Splices,
) -> Result<(), Refusal> {
    if document.tree.table(parent).entries.len() > 1 {
        return table::remove(document, parent, entry, splices);
    }
    table::remove(document, mention.at.table, mention.at.entry, splices)
}
