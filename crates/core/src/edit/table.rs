//! Keys of one table, however the table is written: under a header, dotted, or inline.

use super::document::Document;
use super::list;
use super::mention;
use super::splice::Splices;
use super::value::{Value, bare_or_quoted};
use super::{Address, Refusal, Table};
use crate::file::schema::{Key, Kind, TableSchema};
use crate::file::tree::{Entry, Origin, TableIndex, Value as Read};
use crate::file::{self, value_problem};
use crate::order::Order as _;

/// Sets keys of an entry, each to a value or to nothing.
pub(super) fn set_keys(
    document: &Document<'_>,
    of: &Address,
    keys: &[(&str, Option<Value>)],
    splices: &mut Splices,
) -> Result<(), Refusal> {
    let table = document.find(of)?;
    let mut pairs = Vec::with_capacity(keys.len());
    for (name, value) in keys {
        let key = checked(document, of, name, value.as_ref())?;
        if let (Address::Entry(Table::Circuit, id), "base") = (of, key.name) {
            mention::keep_base_loads(document, id, value.as_ref())?;
        }
        pairs.push((key.name, value.as_ref()));
    }
    set(document, table, Some(of.schema()), &pairs, splices)
}

/// The key of that name, where it may take that value.
pub(super) fn checked(
    document: &Document<'_>,
    of: &Address,
    name: &str,
    value: Option<&Value>,
) -> Result<&'static Key, Refusal> {
    let Some(key) = of.schema().key(name) else {
        return Err(Refusal::new(
            format!("{} has no key {}", of.schema().noun, file::quoted(name)),
            "Choose one that the plan file knows.",
        ));
    };
    let problem =
        value.and_then(|value| value_problem(key, &of.to_string(), &value.written(), document.named()));
    match problem {
        Some(problem) => Err(Refusal::new(problem.message, problem.remedy)),
        None => Ok(key),
    }
}

/// Takes all keys out of a table; it stays, with nothing in it.
pub(super) fn empty(document: &Document<'_>, table: TableIndex, splices: &mut Splices) {
    let statements = document.own_statements(table);
    let read = document.tree.table(table);
    let path = read.entries.values().next().map(|entry| &document.text[entry.start..entry.key.start]);
    match (read.origin, statements.split_first(), path) {
        (Origin::Dotted, Some((first, rest)), Some(path)) if !read.is_inline => {
            let path = path.trim_end().trim_end_matches('.').trim_end();
            splices.replace(first.clone(), format!("{path} = {{}}"));
            for statement in rest {
                remove_statement(document, statement, splices);
            }
        }
        (Origin::Inline, _, _) => {
            let all: Vec<usize> = (0..statements.len()).collect();
            list::remove(document.text, &statements, &all, splices);
        }
        _ => {
            for statement in &statements {
                remove_statement(document, statement, splices);
            }
        }
    }
}

/// Sets keys of a table, each to a value or to nothing.
pub(super) fn set(
    document: &Document<'_>,
    table: TableIndex,
    schema: Option<&'static TableSchema>,
    pairs: &[(&str, Option<&Value>)],
    splices: &mut Splices,
) -> Result<(), Refusal> {
    let entries = &document.tree.table(table).entries;
    let mut new: Vec<(&str, &Value)> = Vec::new();
    for (name, value) in pairs {
        match (entries.get(*name), value) {
            (Some(entry), Some(value)) => {
                if !replace(document, entry, inner_schema(schema, name), value, splices)? {
                    remove(document, table, entry, splices)?;
                    new.push((name, value));
                }
            }
            (Some(entry), None) => remove(document, table, entry, splices)?,
            (None, Some(value)) => new.push((name, value)),
            (None, None) => {}
        }
    }
    if let Some(schema) = schema {
        new.order_by_key(|(name, _)| rank(schema, name));
    }
    insert(document, table, schema, &new, splices)
}

/// The schema of the table that a key holds, if it holds one.
fn inner_schema(schema: Option<&'static TableSchema>, name: &str) -> Option<&'static TableSchema> {
    match schema?.key(name)?.kind {
        Kind::Table(inner) | Kind::Tables(inner) => Some(inner),
        _ => None,
    }
}

fn rank(schema: &TableSchema, name: &str) -> usize {
    schema.keys.iter().position(|key| key.name == name).unwrap_or(usize::MAX)
}

/// Puts a value in the place of another. `false`: it is written so differently that it has to be
/// taken out and put in anew.
fn replace(
    document: &Document<'_>,
    entry: &Entry<'_>,
    schema: Option<&'static TableSchema>,
    value: &Value,
    splices: &mut Splices,
) -> Result<bool, Refusal> {
    if value.is(&entry.item, &document.tree) {
        return Ok(true);
    }
    match (&entry.item.value, value) {
        (Read::Table(table), Value::Table(pairs)) => replace_table(document, *table, schema, pairs, splices),
        (Read::Table(table), _) if document.tree.table(*table).origin != Origin::Inline => Ok(false),
        (Read::Tables(tables), Value::List(values)) => {
            replace_tables(document, tables, schema, values, splices)
        }
        (Read::Tables(_), _) => Ok(false),
        (Read::List(items), Value::List(values)) => {
            list::set(document, &entry.item.place, items, values, splices);
            Ok(true)
        }
        _ => {
            splices.replace(entry.item.place.clone(), value.written());
            Ok(true)
        }
    }
}

fn replace_table(
    document: &Document<'_>,
    table: TableIndex,
    schema: Option<&'static TableSchema>,
    pairs: &[(String, Value)],
    splices: &mut Splices,
) -> Result<bool, Refusal> {
    let old = document.tree.table(table);
    let lasts = pairs.iter().any(|(key, _)| old.entries.contains_key(key.as_str()));
    // A dotted table is there by its keys alone.
    if matches!(old.origin, Origin::Dotted | Origin::Implicit) && !lasts {
        return Ok(false);
    }
    let gone = old
        .entries
        .keys()
        .filter(|name| !pairs.iter().any(|(key, _)| key == name.as_ref()))
        .map(|name| (name.as_ref(), None));
    let kept = pairs.iter().map(|(key, value)| (key.as_str(), Some(value)));
    let all: Vec<(&str, Option<&Value>)> = gone.chain(kept).collect();
    set(document, table, schema, &all, splices)?;
    Ok(true)
}

/// Tables under headers of one name, one by one.
fn replace_tables(
    document: &Document<'_>,
    tables: &[TableIndex],
    schema: Option<&'static TableSchema>,
    values: &[Value],
    splices: &mut Splices,
) -> Result<bool, Refusal> {
    let new: Option<Vec<&Vec<(String, Value)>>> =
        values.iter().map(|value| if let Value::Table(pairs) = value { Some(pairs) } else { None }).collect();
    let Some(new) = new else {
        return Ok(false);
    };
    for (table, pairs) in tables.iter().zip(&new) {
        replace_table(document, *table, schema, pairs, splices)?;
    }
    for surplus in tables.iter().skip(new.len()) {
        for header in document.headers(*surplus) {
            remove_section(document, header, splices);
        }
    }
    let last = tables.last().and_then(|last| Some((document.tree.table(*last).header?, *last)));
    if let Some((header, last)) = last {
        let end = document.headers(last).into_iter().map(|header| document.section(header).end).max();
        let at = document.room_after(end.unwrap_or(0));
        let header = &document.text[document.tree.headers[header].clone()];
        for pairs in new.iter().skip(tables.len()) {
            splices.insert(at, block(document, at, header, pairs));
        }
    }
    Ok(true)
}

/// Takes an entry out of a table.
pub(super) fn remove(
    document: &Document<'_>,
    table: TableIndex,
    entry: &Entry<'_>,
    splices: &mut Splices,
) -> Result<(), Refusal> {
    let statements = document.statements(entry);
    if document.tree.table(table).is_inline {
        let all = document.own_statements(table);
        let surplus: Vec<usize> = (0..all.len())
            .filter(|at| statements.binary_search_by_key(&all[*at].start, |s| s.start).is_ok())
            .collect();
        if surplus.len() == all.len() && document.tree.table(table).origin != Origin::Inline {
            return Err(Refusal::new(
                "a dotted key inside of { } cannot be taken out from here",
                "Change it in a text editor.",
            )
            .at(entry.key.clone()));
        }
        list::remove(document.text, &all, &surplus, splices);
        return Ok(());
    }
    for statement in statements {
        remove_statement(document, &statement, splices);
    }
    for header in headers_of(document, entry) {
        remove_section(document, header, splices);
    }
    Ok(())
}

fn headers_of(document: &Document<'_>, entry: &Entry<'_>) -> Vec<usize> {
    match &entry.item.value {
        Read::Table(table) => document.headers(*table),
        Read::Tables(tables) => tables.iter().flat_map(|table| document.headers(*table)).collect(),
        _ => Vec::new(),
    }
}

/// Takes a statement out; a comment behind it stays on its line.
fn remove_statement(document: &Document<'_>, statement: &std::ops::Range<usize>, splices: &mut Splices) {
    let line = document.line_start(statement.start)..document.line_end(statement.end);
    let behind = &document.text[statement.end..line.end];
    match behind.find('#') {
        Some(comment) => splices.remove(statement.start..statement.end + comment),
        None => splices.remove(line),
    }
}

/// Takes a header and the statements under it out, with one of the blank lines around them.
pub(super) fn remove_section(document: &Document<'_>, header: usize, splices: &mut Splices) {
    let section = document.section(header);
    let text = document.text;
    let mut start = document.line_start(section.start);
    let mut end = document.line_end(section.end);
    let next_line = document.line_end(end);
    if end < text.len() && text[end..next_line].trim().is_empty() {
        end = next_line;
    } else if end == text.len() && start > 0 {
        let before = document.line_start(start - 1);
        if text[before..start].trim().is_empty() {
            start = before;
        }
    }
    splices.remove(start..end);
}

/// Puts new keys into a table.
pub(super) fn insert(
    document: &Document<'_>,
    table: TableIndex,
    schema: Option<&'static TableSchema>,
    new: &[(&str, &Value)],
    splices: &mut Splices,
) -> Result<(), Refusal> {
    if new.is_empty() {
        return Ok(());
    }
    let written: Vec<String> =
        new.iter().map(|(name, value)| format!("{} = {}", bare_or_quoted(name), value.written())).collect();
    let read = document.tree.table(table);
    match read.origin {
        Origin::Inline => insert_inline(document, table, &written.join(", "), splices),
        Origin::Implicit => return insert_under_headers(document, table, new, splices),
        Origin::Dotted if read.is_inline => insert_behind_dotted(document, table, &written, splices),
        Origin::Header | Origin::Dotted => {
            for ((name, _), written) in new.iter().zip(&written) {
                insert_line(document, table, schema, name, written, splices);
            }
        }
    }
    Ok(())
}

fn insert_inline(document: &Document<'_>, table: TableIndex, written: &str, splices: &mut Splices) {
    if let Some(last) = document.own_statements(table).last() {
        splices.insert(last.end, format!(", {written}"));
        return;
    }
    let open = document.tree.table(table).place.start + 1;
    let space = if document.text[open..].starts_with('}') { " " } else { "" };
    splices.insert(open, format!(" {written}{space}"));
}

fn insert_behind_dotted(
    document: &Document<'_>,
    table: TableIndex,
    written: &[String],
    splices: &mut Splices,
) {
    let entries = &document.tree.table(table).entries;
    let Some((last, sibling)) = document.own_statements(table).last().cloned().zip(entries.values().last())
    else {
        return;
    };
    let prefix = &document.text[sibling.start..sibling.key.start];
    for written in written {
        splices.insert(last.end, format!(", {prefix}{written}"));
    }
}

/// A key on a line of its own, behind the keys that a reader expects before it.
fn insert_line(
    document: &Document<'_>,
    table: TableIndex,
    schema: Option<&'static TableSchema>,
    name: &str,
    written: &str,
    splices: &mut Splices,
) {
    let read = document.tree.table(table);
    let own = schema.map_or(usize::MAX, |schema| rank(schema, name));
    let before = |other: &str| schema.is_none_or(|schema| rank(schema, other) < own);
    let last_statement = |entry: &Entry<'_>| document.statements(entry).pop();
    let anchor = read
        .entries
        .iter()
        .filter(|(other, _)| read.header.is_none() || before(other))
        .filter_map(|(_, entry)| Some((last_statement(entry)?, entry)))
        .max_by_key(|(statement, _)| statement.end);
    let (end, prefix) = if let Some((statement, entry)) = anchor {
        let indent = &document.text[document.line_start(statement.start)..statement.start];
        let dotted = &document.text[entry.start..entry.key.start];
        (statement.end, format!("{indent}{dotted}"))
    } else {
        let end = read.header.map_or(0, |header| document.tree.headers[header].end);
        (end, String::new())
    };
    let at = document.line_end(end);
    splices.insert(at, document.line(at, &format!("{prefix}{written}")));
}

/// A table that is there by the headers within it alone gets another one.
fn insert_under_headers(
    document: &Document<'_>,
    table: TableIndex,
    new: &[(&str, &Value)],
    splices: &mut Splices,
) -> Result<(), Refusal> {
    let headers = document.headers(table);
    let model = document.tree.table(table).entries.values().find_map(|entry| {
        let header = headers_of(document, entry).first().copied()?;
        let header = &document.tree.headers[header];
        document.text.get(header.start..entry.key.start)
    });
    let (Some(last), Some(model)) = (headers.last(), model) else {
        return Err(unwritable());
    };
    let at = document.room_after(document.section(*last).end);
    for (name, value) in new {
        let Value::Table(pairs) = value else {
            return Err(unwritable());
        };
        let header = format!("{model}{}]", bare_or_quoted(name));
        splices.insert(at, block(document, at, &header, pairs));
    }
    Ok(())
}

fn unwritable() -> Refusal {
    Refusal::new(
        "this part of the file is written in a way that cannot be changed from here",
        "Change it in a text editor.",
    )
}

/// A header with keys under it, after a blank line.
pub(super) fn block(document: &Document<'_>, at: usize, header: &str, pairs: &[(String, Value)]) -> String {
    let newline = document.newline;
    let before = &document.text[..at];
    let mut text = String::new();
    if !before.trim_start_matches('\u{feff}').is_empty() {
        if !before.ends_with('\n') {
            text.push_str(newline);
        }
        text.push_str(newline);
    }
    text.push_str(header);
    text.push_str(newline);
    for (key, value) in pairs {
        text.extend([bare_or_quoted(key).as_str(), " = ", value.written().as_str(), newline]);
    }
    text
}
