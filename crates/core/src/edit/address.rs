//! What an edit is about.

use std::fmt;

use indexmap::IndexMap;

use crate::file::schema::{self, TableSchema, Target};
use crate::plan::Plan;

/// An entry of the plan.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub enum Address {
    /// The location.
    Location,
    /// An entry of a table, by its id.
    Entry(Table, String),
    /// A trace or a trip, counted from 0.
    Nth(Log, usize),
}

/// A table whose entries have ids.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Table {
    /// `[supply.ID]`
    Supply,
    /// `[rcd.ID]`
    Rcd,
    /// `[circuit.ID]`
    Circuit,
    /// `[floor.ID]`
    Floor,
    /// `[room.ID]`
    Room,
    /// `[socket.ID]`
    Socket,
    /// `[head.ID]`
    Head,
    /// `[cable.ID]`
    Cable,
    /// `[block.ID]`
    Block,
    /// `[setup.ID]`
    Setup,
}

/// A list of tables at the top of the plan.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Log {
    /// `[[trace]]`
    Trace,
    /// `[[trip]]`
    Trip,
}

impl Table {
    /// Every one, in the order of the file.
    pub const ALL: [Self; 10] = [
        Self::Supply,
        Self::Rcd,
        Self::Circuit,
        Self::Floor,
        Self::Room,
        Self::Socket,
        Self::Head,
        Self::Cable,
        Self::Block,
        Self::Setup,
    ];

    /// Its keys.
    #[must_use]
    pub fn schema(self) -> &'static TableSchema {
        match self {
            Self::Supply => &schema::SUPPLY,
            Self::Rcd => &schema::RCD,
            Self::Circuit => &schema::CIRCUIT,
            Self::Floor => &schema::FLOOR,
            Self::Room => &schema::ROOM,
            Self::Socket => &schema::SOCKET,
            Self::Head => &schema::HEAD,
            Self::Cable => &schema::CABLE,
            Self::Block => &schema::BLOCK,
            Self::Setup => &schema::SETUP,
        }
    }

    /// Its name in the file.
    #[must_use]
    pub fn name(self) -> &'static str {
        self.schema().name
    }

    /// What one of its entries is called.
    #[must_use]
    pub fn noun(self) -> &'static str {
        self.schema().noun
    }

    /// The ids of its entries, in the order of the file.
    #[must_use]
    pub fn ids(self, plan: &Plan) -> Vec<String> {
        fn words<Id: ToString, V>(entries: &IndexMap<Id, V>) -> Vec<String> {
            entries.keys().map(ToString::to_string).collect()
        }
        match self {
            Self::Supply => words(&plan.supplies),
            Self::Rcd => words(&plan.rcds),
            Self::Circuit => words(&plan.circuits),
            Self::Floor => words(&plan.floors),
            Self::Room => words(&plan.rooms),
            Self::Socket => words(&plan.sockets),
            Self::Head => words(&plan.heads),
            Self::Cable => words(&plan.cables),
            Self::Block => words(&plan.blocks),
            Self::Setup => words(&plan.setups),
        }
    }

    /// Whether an id that names a `target` may name one of its entries.
    pub(super) fn is_named_by(self, target: Target) -> bool {
        target.tables().contains(&self.name())
    }
}

impl Log {
    /// Its keys.
    #[must_use]
    pub fn schema(self) -> &'static TableSchema {
        match self {
            Self::Trace => &schema::TRACE,
            Self::Trip => &schema::TRIP,
        }
    }
}

impl Address {
    /// The entry of that id.
    #[must_use]
    pub fn of(table: Table, id: &str) -> Self {
        Self::Entry(table, id.to_owned())
    }

    /// Its keys.
    #[must_use]
    pub fn schema(&self) -> &'static TableSchema {
        match self {
            Self::Location => &schema::LOCATION,
            Self::Entry(table, _) => table.schema(),
            Self::Nth(log, _) => log.schema(),
        }
    }

    /// In words, to come after "no".
    pub(super) fn without_article(&self) -> String {
        match self {
            Self::Location => "location".to_owned(),
            other => other.to_string(),
        }
    }

    /// In words, without the number that a new trace or trip does not have yet.
    pub(super) fn unnumbered(&self) -> String {
        match self {
            Self::Nth(log, _) => log.schema().noun.to_owned(),
            other => other.to_string(),
        }
    }
}

impl fmt::Display for Address {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Location => f.write_str("the location"),
            Self::Entry(table, id) => write!(f, "{} {id}", table.noun()),
            Self::Nth(log, at) => write!(f, "{} {}", log.schema().noun, at + 1),
        }
    }
}
