//! Every key of every table of the plan file: the one place that says which there are.
//!
//! The reader checks and reads by this table, the docs and the JSON Schema come from it, and a test
//! holds that every key here is read and that nothing else is.

mod json;
mod table;

pub use json::json_schema;
pub use table::{
    BASE, BLOCK, CABLE, CIRCUIT, FLOOR, HEAD, LOCATION, MEASURED, OVERRIDE, PLAN, RAMP, RCD, ROOM, SETUP,
    SOCKET, SPECTRUM_WORDS, SUPPLY, TRACE, TRIP,
};

/// A table of the plan file, or a table within one.
#[derive(Debug)]
pub struct TableSchema {
    /// Its name; empty for the top of the file.
    pub name: &'static str,
    /// What one of it is called in a sentence.
    pub noun: &'static str,
    /// What it is for.
    pub doc: &'static str,
    /// Keys of which one has to be there, if there are such.
    pub either: Option<&'static Either>,
    /// Its keys, in the order in which a reader expects them.
    pub keys: &'static [Key],
}

impl TableSchema {
    /// The key of that name.
    #[must_use]
    pub fn key(&self, name: &str) -> Option<&'static Key> {
        self.keys.iter().find(|key| key.name == name)
    }
}

/// Keys of which one has to be there.
#[derive(Debug)]
pub struct Either {
    /// These.
    pub keys: &'static [&'static str],
    /// What a table without any of them has, and what to do.
    pub none: (&'static str, &'static str),
    /// Where the first two may not both be there: what is said then.
    pub both: Option<Both>,
}

/// What is said of a table that has both of two keys.
#[derive(Debug)]
pub struct Both {
    /// The diagnostic.
    pub code: &'static str,
    /// What the table has.
    pub message: &'static str,
    /// What to do.
    pub remedy: &'static str,
    /// What the first of the two is, where it stands.
    pub first: &'static str,
}

/// A key of a table.
#[derive(Debug)]
pub struct Key {
    /// As it stands in the file; its ending is its unit.
    pub name: &'static str,
    /// What it takes.
    pub kind: Kind,
    /// Whether it may be left out.
    pub need: Need,
    /// What it says, in a sentence.
    pub doc: &'static str,
    /// Whether anything is computed from it yet.
    pub use_of: Use,
}

/// Whether a key may be left out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Need {
    /// It must be there.
    Required,
    /// It may be left out.
    Optional,
}

/// Whether anything is computed from a key yet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Use {
    /// Yes.
    Now,
    /// It is read and kept; this is what it waits for.
    Later(&'static str),
}

/// What a key takes.
#[derive(Clone, Copy, Debug)]
pub enum Kind {
    /// Words, at most [`LONGEST_TEXT`] characters.
    Text,
    /// A whole number from the first to the second.
    Whole(i64, i64),
    /// One of a few whole numbers.
    WholeOf(&'static [i64]),
    /// A number in a unit.
    Number(Bounds),
    /// A number in a unit, or `[least, most]`.
    Range(Bounds),
    /// `true` or `false`.
    Flag,
    /// One of a few words.
    Choice(&'static [&'static str]),
    /// An id.
    Id(Target),
    /// A list of ids.
    Ids(Target, Repeats),
    /// `[x, y]` in metres.
    Point,
    /// `[x, y, width, depth]` in metres.
    Area,
    /// `"HH:MM"`.
    Clock,
    /// `["HH:MM", "HH:MM"]`.
    Hours,
    /// A date and time.
    Moment,
    /// A named spectrum, or a list of `[order, percent]`.
    Spectrum,
    /// A list of `"CIRCUIT.name"`: base loads.
    BaseLoads,
    /// One table.
    Table(&'static TableSchema),
    /// A list of tables; one alone will do.
    Tables(&'static TableSchema),
    /// Tables by id.
    Entries(&'static TableSchema, Target),
}

/// Whether a list of ids may name one twice.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Repeats {
    /// Two of a type of lead, say.
    Allowed,
    /// Each once.
    Refused,
}

/// A number's unit and where it must lie.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bounds {
    /// Its unit.
    pub unit: Unit,
    /// The least it may be.
    pub low: f64,
    /// The most it may be.
    pub high: f64,
}

/// Units of numbers in the file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unit {
    /// None: a factor.
    Factor,
    /// Amperes.
    Amps,
    /// Milliamperes.
    MilliAmps,
    /// Volts.
    Volts,
    /// Watts.
    Watts,
    /// Kilowatts.
    KiloWatts,
    /// Kilovolt-amperes.
    KiloVoltAmps,
    /// Kilowatt-hours.
    KiloWattHours,
    /// Metres.
    Metres,
    /// Square millimetres.
    SquareMillimetres,
    /// Ohms.
    Ohms,
    /// Minutes.
    Minutes,
    /// Milliseconds.
    Milliseconds,
    /// Degrees Celsius.
    Celsius,
    /// Percent.
    Percent,
    /// The location's money.
    Money,
}

impl Unit {
    /// Its symbol; empty where there is none.
    #[must_use]
    pub const fn symbol(self) -> &'static str {
        match self {
            Self::Factor | Self::Money => "",
            Self::Amps => "A",
            Self::MilliAmps => "mA",
            Self::Volts => "V",
            Self::Watts => "W",
            Self::KiloWatts => "kW",
            Self::KiloVoltAmps => "kVA",
            Self::KiloWattHours => "kWh",
            Self::Metres => "m",
            Self::SquareMillimetres => "mm\u{b2}",
            Self::Ohms => "\u{3a9}",
            Self::Minutes => "min",
            Self::Milliseconds => "ms",
            Self::Celsius => "\u{b0}C",
            Self::Percent => "%",
        }
    }
}

/// What an id must be the name of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Target {
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
    /// A cable or a block.
    Lead,
    /// A circuit or an RCD.
    Breakable,
    /// A circuit, an RCD or a supply.
    Device,
    /// A class of head in the library.
    Class,
    /// A kind of outlet in the library.
    Outlet,
    /// A name that several sockets share; nothing else needs to have it.
    Plate,
}

impl Target {
    /// The tables of the file whose entries it may name; none for what is in the library.
    #[must_use]
    pub const fn tables(self) -> &'static [&'static str] {
        match self {
            Self::Supply => &["supply"],
            Self::Rcd => &["rcd"],
            Self::Circuit => &["circuit"],
            Self::Floor => &["floor"],
            Self::Room => &["room"],
            Self::Socket => &["socket"],
            Self::Head => &["head"],
            Self::Cable => &["cable"],
            Self::Block => &["block"],
            Self::Setup => &["setup"],
            Self::Lead => &["cable", "block"],
            Self::Breakable => &["circuit", "rcd"],
            Self::Device => &["circuit", "rcd", "supply"],
            Self::Class | Self::Outlet | Self::Plate => &[],
        }
    }

    /// The same with its article.
    #[must_use]
    pub fn with_article(self) -> String {
        let article = if self == Self::Rcd { "an" } else { "a" };
        format!("{article} {}", self.noun())
    }

    /// What it is called in a sentence.
    #[must_use]
    pub const fn noun(self) -> &'static str {
        match self {
            Self::Supply => "supply",
            Self::Rcd => "RCD",
            Self::Circuit => "circuit",
            Self::Floor => "floor",
            Self::Room => "room",
            Self::Socket => "socket",
            Self::Head => "head",
            Self::Cable => "cable",
            Self::Block => "block",
            Self::Setup => "setup",
            Self::Lead => "cable or block",
            Self::Breakable => "circuit or RCD",
            Self::Device => "circuit, RCD or supply",
            Self::Class => "class of head",
            Self::Outlet => "kind of outlet",
            Self::Plate => "plate",
        }
    }
}

/// Where a coordinate must lie.
pub const COORDINATE: Bounds = Bounds { unit: Unit::Metres, low: -10_000.0, high: 10_000.0 };
/// Orders of harmonics, the least and the most.
pub const HARMONIC_ORDERS: (i64, i64) = (2, 100);
/// A harmonic's share of the fundamental.
pub const HARMONIC_SHARE: Bounds = Bounds { unit: Unit::Percent, low: 0.0, high: 200.0 };
/// Longest text, in characters.
pub const LONGEST_TEXT: usize = 200;
/// Most entries of one table or list.
pub const MOST_ENTRIES: usize = 10_000;
/// Largest file, in bytes.
pub const LARGEST_FILE: usize = 8 * 1024 * 1024;

/// Every table of the file, the top first, each with those within it after it.
#[must_use]
pub fn tables() -> Vec<&'static TableSchema> {
    let mut found = Vec::new();
    collect(&PLAN, &mut found);
    found
}

fn collect(table: &'static TableSchema, found: &mut Vec<&'static TableSchema>) {
    if found.iter().any(|known| std::ptr::eq(*known, table)) {
        return;
    }
    found.push(table);
    for key in table.keys {
        if let Kind::Table(inner) | Kind::Tables(inner) | Kind::Entries(inner, _) = key.kind {
            collect(inner, found);
        }
    }
}

/// Keys that are read and kept, but that nothing is computed from yet, each with what it waits for.
pub fn not_yet_used() -> impl Iterator<Item = (&'static TableSchema, &'static Key, &'static str)> {
    tables().into_iter().flat_map(|table| {
        table.keys.iter().filter_map(move |key| match key.use_of {
            Use::Later(waits_for) => Some((table, key, waits_for)),
            Use::Now => None,
        })
    })
}

impl Kind {
    /// What to write, in words: for docs and for "expected …".
    #[must_use]
    pub fn expects(&self) -> String {
        match self {
            Self::Text => "text in quotes".to_owned(),
            Self::Whole(low, high) => format!("a whole number from {low} to {high}"),
            Self::WholeOf(values) => {
                let words: Vec<String> = values.iter().map(ToString::to_string).collect();
                one_of(&words)
            }
            Self::Number(bounds) => format!("a number{}", of_unit(*bounds)),
            Self::Range(bounds) => {
                format!("a number{}, or [least, most]", of_unit(*bounds))
            }
            Self::Flag => "true or false".to_owned(),
            Self::Choice(words) => quoted_words(words),
            Self::Id(target) => format!("the id of {} in quotes", target.with_article()),
            Self::Ids(target, _) => {
                format!("a list of ids, each of {}, like [\"A\", \"B\"]", target.with_article())
            }
            Self::Point => "[x, y] in metres".to_owned(),
            Self::Area => "[x, y, width, depth] in metres".to_owned(),
            Self::Clock => "a time of day, like \"09:00\"".to_owned(),
            Self::Hours => "two times of day, like [\"06:00\", \"22:00\"]".to_owned(),
            Self::Moment => "a date and time, like \"2026-03-02T14:05:00\"".to_owned(),
            Self::Spectrum => format!("{}, or a list of [order, percent]", quoted_words(&SPECTRUM_WORDS)),
            Self::BaseLoads => "a list of base loads, like [\"P2.fridge\"]".to_owned(),
            Self::Table(table) => format!("a table, like {}", example(table)),
            Self::Tables(table) => format!("a list of tables, like [{}]", example(table)),
            Self::Entries(table, target) => {
                format!("a table for each {}, by id: [{}.ID]", target.noun(), table.name)
            }
        }
    }
}

fn of_unit(bounds: Bounds) -> String {
    let symbol = bounds.unit.symbol();
    let space = if symbol.is_empty() { "" } else { " " };
    format!(" from {} to {}{space}{symbol}", bounds.low, bounds.high)
}

fn quoted_words(words: &[&str]) -> String {
    let quoted: Vec<String> = words.iter().map(|word| format!("\"{word}\"")).collect();
    one_of(&quoted)
}

fn one_of(words: &[String]) -> String {
    match words {
        [] => String::new(),
        [only] => only.clone(),
        [first @ .., last] => format!("{} or {last}", first.join(", ")),
    }
}

fn example(table: &TableSchema) -> String {
    let keys: Vec<String> = table.keys.iter().take(2).map(|key| format!("{} = …", key.name)).collect();
    format!("{{ {} }}", keys.join(", "))
}
