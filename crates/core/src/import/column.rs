//! The columns of the two sheets, and the headings that people give them.

use super::Sheet;
use crate::library::library;

/// What a cell of a column gives.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Role {
    /// The id of the row.
    Id,
    /// A key of the entry.
    Key,
    /// One of the two numbers of `at`: 0 is x, 1 is y.
    At(usize),
    /// Ramp tests, as a one-line entry writes them.
    Ramp,
    /// What the polarity tester said.
    Outcome,
    /// Something that another entry says: printed, never read back.
    Elsewhere,
}

/// One column of a sheet.
#[derive(Clone, Copy, Debug)]
pub struct Column {
    /// The key of the plan file; for [`Role::Elsewhere`] the table that says it.
    pub key: &'static str,
    /// What its cells give.
    pub role: Role,
    /// Its heading, without the unit.
    pub heading: &'static str,
    /// Its unit, as it is printed; empty where it has none.
    pub unit: &'static str,
    /// Other headings for it, in small letters.
    also: &'static [&'static str],
}

const fn column(
    role: Role,
    key: &'static str,
    heading: &'static str,
    unit: &'static str,
    also: &'static [&'static str],
) -> Column {
    Column { key, role, heading, unit, also }
}

use Role::{At, Elsewhere, Id, Key, Outcome, Ramp};

/// The columns of the survey sheet.
pub static SOCKETS: &[Column] = &[
    column(Id, "id", "socket", "", &["id", "socket id", "outlet id", "power point id", "no", "number"]),
    column(Elsewhere, "room", "floor", "", &["storey", "level"]),
    column(Key, "room", "room", "", &["place", "space"]),
    column(At(0), "at", "x", "m", &["at x", "across"]),
    column(At(1), "at", "y", "m", &["at y", "up"]),
    column(Key, "outlet", "outlet", "", &["outlet type", "type", "kind", "socket type"]),
    column(Key, "ways", "ways", "", &["plugs", "outlets in plate", "gangs", "gang"]),
    column(Key, "plate", "plate", "", &["plate id"]),
    column(Key, "plate_a", "plate limit", "A", &["plate", "plate rating"]),
    column(Outcome, "test", "tester", "", &["test", "polarity", "verdict", "tester verdict", "outcome"]),
    column(Key, "loop_ohm", "loop", "ohm", &["earth loop", "loop impedance", "zs"]),
    column(Ramp, "ramp", "ramp held/tripped", "mA", &["ramp", "ramp test", "ramp tests", "ramps"]),
    column(Key, "circuit", "circuit", "", &["traced circuit", "breaker id", "way on the board"]),
    column(Elsewhere, "socket", "found by", "", &["circuit found by"]),
    column(Key, "label", "label", "", &["breaker label", "board label", "panel label", "marked"]),
    column(Elsewhere, "circuit", "breaker", "A", &["breaker rating", "fuse"]),
    column(Elsewhere, "circuit", "curve", "", &["breaker type", "breaker curve"]),
    column(Elsewhere, "circuit", "RCD", "", &["rcd id", "gfci", "safety switch"]),
    column(Elsewhere, "rcd", "RCD rated", "mA", &["rcd rating"]),
    column(Elsewhere, "rcd", "RCD type", "", &["rcd kind"]),
    column(Elsewhere, "circuit", "base loads", "", &["base load", "fixed load", "fixed load seen"]),
    column(Key, "portable_rcd", "portable RCD", "", &["plug in rcd"]),
    column(
        Elsewhere,
        "room",
        "wet or outdoor",
        "",
        &["wet", "outdoor", "outside", "wet/outdoor", "wet/outside"],
    ),
    column(Key, "ban", "ban", "", &["banned", "not to be used", "do not use"]),
];

/// The columns of the head sheet.
pub static HEADS: &[Column] = &[
    column(Id, "id", "head", "", &["id", "head id", "head no", "no", "number", "lamp", "fixture"]),
    column(Key, "class", "class", "", &["type", "kind"]),
    column(Key, "name", "name", "", &["called"]),
    column(Key, "watts", "power", "W", &["watts", "w", "watt"]),
    column(Key, "amps", "current", "A", &["amps", "a", "amp"]),
    column(Key, "pf", "power factor", "", &["pf", "cos phi"]),
    column(Key, "volts", "voltage", "V", &["volts", "v", "built for"]),
    column(Key, "leak_ma", "leak", "mA", &["leakage", "ma"]),
    column(Key, "idle_ma", "idle leak", "mA", &["idle", "idle leakage"]),
    column(Key, "strike_ma", "strike", "mA", &["strike leak", "strike leakage"]),
    column(Key, "leak_from", "leak from", "", &["leakage from"]),
    column(Key, "start_a", "start", "A", &["start amps", "starting", "starting current"]),
    column(Key, "start_min", "run-up", "min", &["start min", "runup"]),
    column(Key, "restrike_min", "restrike", "min", &["hot restrike"]),
    column(Key, "load", "load", "", &["load kind"]),
    column(Key, "plug", "plug", "", &["plug type"]),
    column(Key, "fuse_a", "plug fuse", "A", &["fuse"]),
    column(Key, "room", "room", "", &["place", "set position"]),
    column(At(0), "at", "x", "m", &["at x", "across"]),
    column(At(1), "at", "y", "m", &["at y", "up"]),
    column(Key, "tail_m", "tail", "m", &["mains tail"]),
    column(Key, "socket", "socket", "", &["plugged into", "plugged in", "outlet"]),
    column(Key, "leads", "leads", "", &["lead", "cables", "cable", "lead ids"]),
    column(Key, "pinned", "pinned", "", &["pin"]),
    column(Key, "importance", "importance", "", &["priority"]),
];

/// A heading as it is compared: small letters, single blanks, and the unit it ends with apart.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Heading {
    whole: String,
    name: String,
    unit: String,
}

impl Heading {
    pub fn of(text: &str) -> Self {
        let flat: String =
            text.to_lowercase().chars().map(|c| if matches!(c, '_' | '-' | '.') { ' ' } else { c }).collect();
        let is_bracket = |c: char| matches!(c, '(' | ')' | '[' | ']');
        let bracket = flat.find(['(', '[']);
        let (name, unit) = if let Some(at) = bracket {
            (flat[..at].to_owned(), flat[at..].replace(is_bracket, " "))
        } else {
            let trimmed = flat.trim();
            let cut = trimmed.rsplit_once(char::is_whitespace);
            let (name, unit) = cut.unwrap_or((trimmed, ""));
            (name.to_owned(), unit.to_owned())
        };
        let joined = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
        let whole = if bracket.is_some() { joined(&name) } else { joined(&flat) };
        Self { whole, name: joined(&name), unit: joined(&unit) }
    }

    /// The column of `sheet` that it means, and the unit that it says, which may be none.
    pub fn column(&self, sheet: Sheet) -> Option<(&'static Column, &str)> {
        let columns = sheet.columns();
        let is_bracketed = self.whole == self.name && !self.unit.is_empty();
        if is_bracketed {
            let named = |column: &&Column| column.is(&self.name, sheet);
            // `plate (A)` is the limit of the plate, `plate` is the plate.
            let with_unit = columns.iter().filter(|column| !column.unit.is_empty()).find(named);
            return with_unit
                .or_else(|| columns.iter().find(named))
                .map(|column| (column, self.unit.as_str()));
        }
        if !self.name.is_empty() && self.whole != self.name {
            let fits = |column: &&Column| {
                column.is(&self.name, sheet) && super::number::factor(column.unit, &self.unit).is_some()
            };
            if let Some(column) = columns.iter().find(fits) {
                return Some((column, self.unit.as_str()));
            }
        }
        columns.iter().find(|column| column.is(&self.whole, sheet)).map(|column| (column, ""))
    }
}

impl Column {
    fn is(&self, name: &str, sheet: Sheet) -> bool {
        self.is_called(name)
            || (self.is_the_socket(sheet)
                && is_a_regions_socket(name)
                && !sheet.columns().iter().any(|other| other.is_called(name)))
    }

    fn is_called(&self, name: &str) -> bool {
        self.heading.to_lowercase().replace('-', " ") == name || self.also.contains(&name)
    }

    /// Whether the region's word for a socket is its heading.
    #[must_use]
    pub fn is_the_socket(&self, sheet: Sheet) -> bool {
        match sheet {
            Sheet::Sockets => self.role == Id,
            Sheet::Heads => self.key == "socket",
        }
    }
}

fn is_a_regions_socket(name: &str) -> bool {
    // A sheet of sockets has a column `outlet`, so where that is the word for a socket its ids are `outlet id`.
    let name = name.strip_suffix(" id").unwrap_or(name);
    library().regions.values().any(|region| region.words.socket.to_lowercase() == name)
}
