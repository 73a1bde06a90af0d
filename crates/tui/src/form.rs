//! Entries of the plan as lists of keys: what there is, and what may be said of each.

use std::collections::HashMap;

use ampwalk_core::edit::{Address, Reading, Table};
use ampwalk_core::file::schema::{Key, Need};
use ampwalk_core::network::At;
use ampwalk_core::plan::Plan;

/// One key of an entry.
#[derive(Clone, Debug, PartialEq)]
pub struct Field {
    /// The key.
    pub key: &'static str,
    /// What it says, in a sentence.
    pub doc: &'static str,
    /// Whether the entry cannot do without it.
    pub required: bool,
    /// As somebody would type it; `None`: the plan is silent.
    pub value: Option<String>,
}

/// What the text says of each entry: its keys with their values, as somebody would type them, in the
/// order of the text.
pub type Said = HashMap<Address, Vec<(String, String)>>;

/// What a text says of the entries of its plan; nothing where it is no TOML.
#[must_use]
pub fn said(text: &str, plan: &Plan) -> Said {
    let Ok(reading) = Reading::of(text) else { return Said::new() };
    entries(plan)
        .into_iter()
        .filter(|of| reading.has(of))
        .map(|of| (of.clone(), keys(&reading, &of)))
        .collect()
}

/// What a text says of one entry.
#[must_use]
pub fn keys(reading: &Reading<'_>, of: &Address) -> Vec<(String, String)> {
    reading.keys(of).into_iter().map(|(key, value)| (key, value.shown())).collect()
}

/// Every key that an entry may have, with its value: those that it has first, in the order of the
/// file, then the others in the order of the format.
#[must_use]
pub fn fields(keys: &[(String, String)], of: &Address) -> Vec<Field> {
    let schema = of.schema();
    let field = |key: &'static Key, value: Option<String>| Field {
        key: key.name,
        doc: key.doc,
        required: key.need == Need::Required,
        value,
    };
    let said = keys.iter().filter_map(|(name, value)| Some(field(schema.key(name)?, Some(value.clone()))));
    let silent = schema.keys.iter().filter(|key| !keys.iter().any(|(name, _)| name == key.name));
    said.chain(silent.map(|key| field(key, None))).collect()
}

/// Every entry of the plan, table by table, the location first. Traces and trips are logs of what
/// happened and stand last.
#[must_use]
pub fn entries(plan: &Plan) -> Vec<Address> {
    let of = |table: Table, ids: Vec<String>| ids.into_iter().map(move |id| Address::of(table, &id));
    let mut all = vec![Address::Location];
    for table in Table::ALL {
        all.extend(of(table, table.ids(plan)));
    }
    let logs = (0..plan.traces.len()).map(|at| Address::Nth(ampwalk_core::edit::Log::Trace, at));
    all.extend(logs);
    all.extend((0..plan.trips.len()).map(|at| Address::Nth(ampwalk_core::edit::Log::Trip, at)));
    all
}

/// What a subject of a finding is called in the plan.
#[must_use]
pub fn address(
    network: &ampwalk_core::network::Network,
    subject: ampwalk_core::assess::Subject,
) -> Option<Address> {
    use ampwalk_core::assess::Subject;
    let entry = |table: Table, id: &str| Some(Address::of(table, id));
    match subject {
        Subject::Location => Some(Address::Location),
        Subject::Supply(at) => entry(Table::Supply, network.supply_id(at).as_str()),
        Subject::Rcd(at) => entry(Table::Rcd, network.rcd_id(at).as_str()),
        Subject::Circuit(at) => entry(Table::Circuit, network.circuit_id(at).as_str()),
        Subject::Socket(at) => entry(Table::Socket, network.socket_id(at).as_str()),
        Subject::Head(at) => entry(Table::Head, network.head_id(at).as_str()),
        Subject::Cable(at) => {
            network.plan.cables.get_index(at.get()).and_then(|(id, _)| entry(Table::Cable, id.as_str()))
        }
        Subject::Block(at) => {
            network.plan.blocks.get_index(at.get()).and_then(|(id, _)| entry(Table::Block, id.as_str()))
        }
    }
}

/// An entry's id; `None` for the location, a trace or a trip.
#[must_use]
pub fn id_of(of: &Address) -> Option<(Table, &str)> {
    match of {
        Address::Entry(table, id) => Some((*table, id)),
        Address::Location | Address::Nth(..) => None,
    }
}
