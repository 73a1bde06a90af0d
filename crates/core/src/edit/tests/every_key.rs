//! The schema and the reader, held to each other by a plan that has every key.

use std::collections::BTreeSet;

use super::*;
use crate::edit::change::spliced;
use crate::file::Gravity;
use crate::file::schema::{Kind, PLAN as TOP, TableSchema, not_yet_used, tables};
use crate::file::tree::{TableIndex, Value as Read};

const EVERY_KEY: &str = include_str!("../../../../../tests/plans/every-key.toml");

/// Every table of the text with its keys: those within others as well.
fn walk(document: &Document<'_>, table: TableIndex, schema: &'static TableSchema, found: &mut Vec<Site>) {
    for (name, entry) in &document.tree.table(table).entries {
        let Some(key) = schema.key(name) else {
            continue;
        };
        found.push(Site { table, schema, key: key.name });
        let (Kind::Table(inner) | Kind::Tables(inner) | Kind::Entries(inner, _)) = key.kind else {
            continue;
        };
        let tables: Vec<TableIndex> = match (&key.kind, &entry.item.value) {
            (Kind::Entries(..), Read::Table(index)) => inner_tables(document, *index),
            (_, Read::Table(index)) => vec![*index],
            (_, Read::Tables(tables)) => tables.clone(),
            (_, Read::List(items)) => items
                .iter()
                .filter_map(|item| if let Read::Table(index) = item.value { Some(index) } else { None })
                .collect(),
            _ => Vec::new(),
        };
        for table in tables {
            walk(document, table, inner, found);
        }
    }
}

fn inner_tables(document: &Document<'_>, table: TableIndex) -> Vec<TableIndex> {
    let entries = document.tree.table(table).entries.values();
    entries
        .filter_map(|entry| if let Read::Table(index) = entry.item.value { Some(index) } else { None })
        .collect()
}

struct Site {
    table: TableIndex,
    schema: &'static TableSchema,
    key: &'static str,
}

fn sites(document: &Document<'_>) -> Vec<Site> {
    let mut found = Vec::new();
    walk(document, 0, &TOP, &mut found);
    found
}

#[test]
fn the_plan_with_every_key_is_good_and_has_every_key() {
    let parsed = parse(EVERY_KEY);
    assert!(parsed.problems.iter().all(|problem| problem.gravity == Gravity::Note), "{:#?}", parsed.problems);
    let document = Document::read(EVERY_KEY).unwrap();
    let there: BTreeSet<(&str, &str)> =
        sites(&document).iter().map(|site| (site.schema.name, site.key)).collect();
    let known: BTreeSet<(&str, &str)> =
        tables().iter().flat_map(|table| table.keys.iter().map(|key| (table.name, key.name))).collect();
    assert_eq!(there, known);
}

#[test]
fn every_key_reaches_the_plan() {
    let document = Document::read(EVERY_KEY).unwrap();
    let whole = parse(EVERY_KEY);
    for site in sites(&document) {
        let entry = &document.tree.table(site.table).entries[site.key];
        let mut splices = Splices::default();
        table::remove(&document, site.table, entry, &mut splices).unwrap();
        let without = spliced(EVERY_KEY, &splices.into_step(EVERY_KEY).unwrap());
        let parsed = parse(&without);
        // Without a flag that is false, or a required key, the plan may be the same or broken.
        let is_told = parsed.problems.iter().any(|problem| problem.gravity == Gravity::Error);
        assert!(parsed.plan != whole.plan || is_told, "{}.{} is read by nobody", site.schema.name, site.key);
    }
}

#[test]
fn every_key_and_table_has_a_sentence_and_later_ones_say_what_they_wait_for() {
    for table in tables() {
        assert!(table.doc.ends_with('.'), "{}", table.name);
        let mut names = BTreeSet::new();
        for key in table.keys {
            assert!(key.doc.ends_with('.') && key.doc.len() > 4, "{}.{}", table.name, key.name);
            assert!(!key.kind.expects().is_empty());
            assert!(names.insert(key.name), "{}.{} twice", table.name, key.name);
        }
    }
    assert!(not_yet_used().all(|(_, _, waits_for)| !waits_for.is_empty()));
    assert!(not_yet_used().any(|(table, key, _)| table.name == "circuit" && key.name == "ring"));
}

#[test]
fn every_entry_can_be_removed_or_says_who_needs_it() {
    let document = Document::read(EVERY_KEY).unwrap();
    for table in Table::ALL {
        let Read::Table(index) = document.tree.root().entries[table.name()].item.value else {
            panic!("{table:?}");
        };
        for id in document.tree.table(index).entries.keys() {
            let edit = Edit::RemoveEntry { of: Address::of(table, id) };
            match apply(EVERY_KEY, &edit) {
                Ok(_) => {
                    let after = edited(EVERY_KEY, &edit);
                    let errors: Vec<_> =
                        parse(&after).problems.into_iter().filter(|p| p.gravity == Gravity::Error).collect();
                    assert!(errors.is_empty(), "{edit:?}: {errors:#?}");
                }
                Err(refusal) => assert!(refusal.message.contains("is in use by"), "{edit:?}: {refusal:?}"),
            }
        }
    }
}

#[test]
fn every_entry_can_be_renamed_and_back() {
    let document = Document::read(EVERY_KEY).unwrap();
    for table in Table::ALL {
        let Read::Table(index) = document.tree.root().entries[table.name()].item.value else {
            panic!("{table:?}");
        };
        for id in document.tree.table(index).entries.keys() {
            let there = Edit::Rename { table, from: id.clone().into_owned(), to: "Renamed-1".to_owned() };
            let after = edited(EVERY_KEY, &there);
            let errors: Vec<_> =
                parse(&after).problems.into_iter().filter(|p| p.gravity == Gravity::Error).collect();
            assert!(errors.is_empty(), "{there:?}: {errors:#?}");
            let back = Edit::Rename { table, from: "Renamed-1".to_owned(), to: id.clone().into_owned() };
            assert_eq!(edited(&after, &back), EVERY_KEY, "{there:?}");
        }
    }
}
