//! A text with its tree: where lines end, and which bytes belong to what.

use std::ops::Range;

use super::{Address, Refusal, not_toml};
use crate::file;
use crate::file::tree::{Entry, Origin, TableIndex, Tree, Value};
use crate::order::Order as _;

/// A text that is TOML.
pub(super) struct Document<'t> {
    pub text: &'t str,
    pub tree: Tree<'t>,
    /// How its lines end.
    pub newline: &'static str,
    /// Whether it is the whole plan: else what its entry names stands elsewhere.
    is_whole: bool,
}

impl<'t> Document<'t> {
    pub fn read(text: &'t str) -> Result<Self, Refusal> {
        let tree = file::toml_tree(text).map_err(|problem| not_toml(text, &problem))?;
        Ok(Self { text, tree, newline: newline_of(text), is_whole: true })
    }

    /// Reads the part of a text that an entry has for itself; lines of the whole end in `newline`.
    pub fn part(text: &'t str, newline: &'static str) -> Option<Self> {
        let tree = file::toml_tree(text).ok()?;
        Some(Self { text, tree, newline, is_whole: false })
    }

    /// Where what an entry names is to be looked for, if that is here.
    pub fn named(&self) -> Option<&Tree<'t>> {
        self.is_whole.then_some(&self.tree)
    }

    /// The table of an entry.
    pub fn find(&self, address: &Address) -> Result<TableIndex, Refusal> {
        let entry = match address {
            Address::Location => self.tree.root().entries.get("location").map(|entry| &entry.item.value),
            Address::Entry(table, id) => self.entry(table.name(), id).map(|entry| &entry.item.value),
            Address::Nth(log, at) => return self.nth(log.schema().name, *at, address),
        };
        match entry {
            Some(Value::Table(index)) => Ok(*index),
            _ => Err(missing(address)),
        }
    }

    fn nth(&self, name: &str, at: usize, address: &Address) -> Result<TableIndex, Refusal> {
        let found = match self.tree.root().entries.get(name).map(|entry| &entry.item.value) {
            Some(Value::Table(only)) if at == 0 => Some(*only),
            Some(Value::Tables(tables)) => tables.get(at).copied(),
            Some(Value::List(items)) => match items.get(at).map(|item| &item.value) {
                Some(Value::Table(index)) => Some(*index),
                _ => None,
            },
            _ => None,
        };
        found.ok_or_else(|| missing(address))
    }

    /// An entry of a table of the top.
    pub fn entry(&self, table: &str, id: &str) -> Option<&Entry<'t>> {
        match self.tree.root().entries.get(table)?.item.value {
            Value::Table(index) => self.tree.table(index).entries.get(id),
            _ => None,
        }
    }

    /// Where the line begins that `at` is on.
    pub fn line_start(&self, at: usize) -> usize {
        let start = self.text[..at].rfind('\n').map_or(0, |newline| newline + 1);
        // A byte-order mark stays where it is.
        if start == 0 && self.text.starts_with('\u{feff}') { '\u{feff}'.len_utf8().min(at) } else { start }
    }

    /// Where the line after the one of `at` begins, or the end of the text.
    pub fn line_end(&self, at: usize) -> usize {
        self.text[at..].find('\n').map_or(self.text.len(), |newline| at + newline + 1)
    }

    /// A line to insert at `at`, which is the start of a line or the end of the text.
    pub fn line(&self, at: usize, content: &str) -> String {
        if at == 0 || self.text[..at].ends_with(['\n', '\u{feff}']) {
            format!("{content}{}", self.newline)
        } else {
            format!("{}{content}", self.newline)
        }
    }

    /// The statements that make an entry up, those under headers of their own apart.
    pub fn statements(&self, entry: &Entry<'t>) -> Vec<Range<usize>> {
        let mut found = Vec::new();
        self.collect_statements(entry, &mut found);
        found.order_by_key(|range| range.start);
        found
    }

    fn collect_statements(&self, entry: &Entry<'t>, found: &mut Vec<Range<usize>>) {
        match &entry.item.value {
            Value::Tables(_) => {}
            Value::Table(index) => match self.tree.table(*index).origin {
                Origin::Inline => found.push(entry.start..entry.item.place.end),
                Origin::Header => {}
                Origin::Implicit | Origin::Dotted => {
                    for inner in self.tree.table(*index).entries.values() {
                        self.collect_statements(inner, found);
                    }
                }
            },
            _ => found.push(entry.start..entry.item.place.end),
        }
    }

    /// The statements of a table's own keys.
    pub fn own_statements(&self, table: TableIndex) -> Vec<Range<usize>> {
        let mut found = Vec::new();
        for entry in self.tree.table(table).entries.values() {
            self.collect_statements(entry, &mut found);
        }
        found.order_by_key(|range| range.start);
        found
    }

    /// The headers of a table and of all that is within it.
    pub fn headers(&self, table: TableIndex) -> Vec<usize> {
        let mut found = Vec::new();
        self.collect_headers(table, &mut found);
        found.sort_unstable();
        found
    }

    fn collect_headers(&self, table: TableIndex, found: &mut Vec<usize>) {
        let table = self.tree.table(table);
        found.extend(table.header);
        for entry in table.entries.values() {
            match &entry.item.value {
                Value::Table(inner) => self.collect_headers(*inner, found),
                Value::Tables(inner) => inner.iter().for_each(|inner| self.collect_headers(*inner, found)),
                _ => {}
            }
        }
    }

    /// From a header to the end of the last statement under it.
    pub fn section(&self, header: usize) -> Range<usize> {
        let start = self.tree.headers[header].start;
        let own_end = self.tree.headers[header].end;
        let next = self.tree.headers.get(header + 1).map_or(self.text.len(), |next| next.start);
        start..self.last_statement_before(next).max(own_end)
    }

    /// The end of the last statement that begins before `at`, or 0.
    pub fn last_statement_before(&self, at: usize) -> usize {
        let count = self.tree.statements.partition_point(|statement| statement.start < at);
        count.checked_sub(1).map_or(0, |last| self.tree.statements[last].end)
    }

    /// Where a new header may stand that is to come after `at`: past the statements that would
    /// otherwise change tables.
    pub fn room_after(&self, at: usize) -> usize {
        let next = self.tree.headers.partition_point(|header| header.start < at);
        let next = self.tree.headers.get(next).map_or(self.text.len(), |header| header.start);
        self.line_end(self.last_statement_before(next).max(at))
    }
}

/// How the lines of a text end: as the first one does.
pub(super) fn newline_of(text: &str) -> &'static str {
    let crlf = text.find('\n').is_some_and(|at| text[..at].ends_with('\r'));
    if crlf { "\r\n" } else { "\n" }
}

fn missing(address: &Address) -> Refusal {
    Refusal::new(
        format!("the plan has no {}", address.without_article()),
        "It may have been renamed or removed.",
    )
}
