//! Parts of the reading for whoever writes: a text as a tree, and one value on its own.

use super::check::{Checked, Reading, check};
use super::complain;
use super::field::fields;
use super::problem::{Problem, Problems};
use super::reference;
use super::schema::{Key, Kind, TableSchema};
use super::tree::{self, TableIndex, Tree, Value};

/// A text as a tree, or the first thing that is wrong with it as TOML.
pub(crate) fn toml_tree(text: &str) -> Result<Tree<'_>, Box<Problem>> {
    let (tree, complaints) = tree::tree(text);
    let mut problems = Problems::default();
    for complaint in complaints {
        complain(&mut problems, text, complaint);
    }
    match problems.in_order().into_iter().next() {
        Some(problem) => Err(Box::new(problem)),
        None => Ok(tree),
    }
}

/// What is wrong with a value of a key of `owner`, written as TOML, in the plan of `plan`; where that is
/// `None`, what the value names is not looked for.
pub(crate) fn value_problem(
    key: &'static Key,
    owner: &str,
    written: &str,
    plan: Option<&Tree<'_>>,
) -> Option<Problem> {
    let text = format!("{} = {written}", key.name);
    let tree = match toml_tree(&text) {
        Ok(tree) => tree,
        Err(problem) => return Some(*problem),
    };
    let mut reading = Reading {
        tree: &tree,
        problems: Problems::default(),
        references: Vec::new(),
        base_loads: Vec::new(),
    };
    let item = &tree.root().entries.get(key.name)?.item;
    if let Some(Checked::Tables(tables)) = check(&mut reading, key, item, owner) {
        for table in tables {
            inner(&mut reading, key, table, owner);
        }
    }
    if let Some(plan) = plan {
        reading.tree = plan;
        reference::check(&mut reading);
    }
    reading.problems.in_order().into_iter().next()
}

fn inner(reading: &mut Reading<'_>, key: &'static Key, table: TableIndex, owner: &str) {
    match key.kind {
        Kind::Table(schema) | Kind::Tables(schema) => below(reading, schema, table, owner),
        Kind::Entries(schema, _) => {
            let tree = reading.tree;
            for entry in tree.table(table).entries.values() {
                if let Value::Table(index) = entry.item.value {
                    below(reading, schema, index, owner);
                }
            }
        }
        _ => {}
    }
}

fn below(reading: &mut Reading<'_>, schema: &'static TableSchema, table: TableIndex, owner: &str) {
    let owner = format!("a {} of {owner}", schema.noun);
    fields(reading, schema, table, owner);
}
