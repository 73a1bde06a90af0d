//! The numbers that can be explained, and how they are asked for.

use crate::assess::Subject;
use crate::file::nearest;
use crate::network::{CircuitAt, HeadAt, Network, RcdAt, SocketAt, SupplyAt};

/// A number that can be explained.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Topic {
    /// Running amps of a head.
    HeadAmps(HeadAt),
    /// Amps of a head while it runs up.
    HeadStart(HeadAt),
    /// What a head leaks: lit, dark, and on top while it strikes.
    HeadLeakage(HeadAt),
    /// Volts that arrive at a head.
    HeadVolts(HeadAt),
    /// Metres of lead that a head takes.
    LeadNeeded(HeadAt),
    /// A head's number in the order of striking.
    HeadStrike(HeadAt),
    /// Earth-fault loop of a head, against what drops there.
    EarthLoop(HeadAt),
    /// Amps of a socket, against outlet and plate.
    SocketAmps(SocketAt),
    /// Amps of a circuit.
    CircuitAmps(CircuitAt),
    /// What a circuit may carry.
    CircuitLimit(CircuitAt),
    /// Largest amps of a circuit while its heads run up.
    StartPeak(CircuitAt),
    /// When a breaker opens.
    TripWindow(CircuitAt),
    /// What comes on at once against a breaker's magnetic band.
    Inrush(CircuitAt),
    /// Amps of a neutral that circuits share.
    SharedNeutral(CircuitAt),
    /// Room left on an RCD.
    RcdRoom(RcdAt),
    /// Leakage through an RCD while all burn.
    RcdStanding(RcdAt),
    /// Largest leakage through an RCD while its heads are struck, and the odds that it drops.
    RcdPeak(RcdAt),
    /// Leakage through a 4-pole RCD as a vector sum over its lines.
    RcdVector(RcdAt),
    /// Amps of a supply's busiest line.
    SupplyLine(SupplyAt),
    /// Amps of a supply's neutral.
    SupplyNeutral(SupplyAt),
    /// Apparent and real power of a supply.
    SupplyPower(SupplyAt),
    /// What is left of a generator's rating at its height and heat.
    SupplyRating(SupplyAt),
    /// How long a battery station runs.
    BatteryRun(SupplyAt),
    /// What a generator burns.
    Fuel(SupplyAt),
    /// Volts on each line if the neutral broke.
    LostNeutral(SupplyAt),
}

impl Topic {
    /// Its name among the numbers of its subject: the key of the same number in JSON, where it is there.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Self::HeadAmps(_) | Self::SocketAmps(_) | Self::CircuitAmps(_) => "amps",
            Self::HeadStart(_) => "start_a",
            Self::HeadLeakage(_) => "leak_ma",
            Self::HeadVolts(_) => "volts",
            Self::LeadNeeded(_) => "lead_needed_m",
            Self::HeadStrike(_) => "strike",
            Self::EarthLoop(_) => "loop_ohm",
            Self::Inrush(_) => "inrush_a",
            Self::RcdVector(_) => "vector_standing_ma",
            Self::BatteryRun(_) => "hours",
            Self::Fuel(_) => "fuel_l",
            Self::CircuitLimit(_) => "limit_a",
            Self::StartPeak(_) => "start_peak_a",
            Self::TripWindow(_) => "trip_window_s",
            Self::RcdRoom(_) => "room_ma",
            Self::RcdStanding(_) => "standing_ma",
            Self::RcdPeak(_) => "peak_ma",
            Self::SupplyLine(_) => "line_a",
            Self::SupplyNeutral(_) | Self::SharedNeutral(_) => "neutral_a",
            Self::SupplyPower(_) => "kva",
            Self::SupplyRating(_) => "rating",
            Self::LostNeutral(_) => "lost_neutral",
        }
    }

    /// What it is a number of.
    #[must_use]
    pub const fn subject(self) -> Subject {
        match self {
            Self::HeadAmps(at)
            | Self::HeadStart(at)
            | Self::HeadLeakage(at)
            | Self::HeadVolts(at)
            | Self::LeadNeeded(at)
            | Self::HeadStrike(at)
            | Self::EarthLoop(at) => Subject::Head(at),
            Self::SocketAmps(at) => Subject::Socket(at),
            Self::CircuitAmps(at)
            | Self::CircuitLimit(at)
            | Self::StartPeak(at)
            | Self::TripWindow(at)
            | Self::Inrush(at)
            | Self::SharedNeutral(at) => Subject::Circuit(at),
            Self::RcdRoom(at) | Self::RcdStanding(at) | Self::RcdPeak(at) | Self::RcdVector(at) => {
                Subject::Rcd(at)
            }
            Self::SupplyLine(at)
            | Self::SupplyNeutral(at)
            | Self::SupplyPower(at)
            | Self::SupplyRating(at)
            | Self::BatteryRun(at)
            | Self::Fuel(at)
            | Self::LostNeutral(at) => Subject::Supply(at),
        }
    }
}

/// The numbers of a subject, in the order in which they are told. Leads, blocks and the location as a
/// whole have none of their own.
#[must_use]
pub fn topics(subject: Subject) -> Vec<Topic> {
    match subject {
        Subject::Head(at) => vec![
            Topic::HeadAmps(at),
            Topic::HeadStart(at),
            Topic::HeadLeakage(at),
            Topic::HeadStrike(at),
            Topic::HeadVolts(at),
            Topic::LeadNeeded(at),
            Topic::EarthLoop(at),
        ],
        Subject::Socket(at) => vec![Topic::SocketAmps(at)],
        Subject::Circuit(at) => {
            vec![Topic::CircuitAmps(at), Topic::CircuitLimit(at), Topic::StartPeak(at), Topic::TripWindow(at)]
        }
        Subject::Rcd(at) => {
            vec![Topic::RcdRoom(at), Topic::RcdStanding(at), Topic::RcdPeak(at), Topic::RcdVector(at)]
        }
        Subject::Supply(at) => vec![
            Topic::SupplyLine(at),
            Topic::SupplyNeutral(at),
            Topic::SupplyPower(at),
            Topic::SupplyRating(at),
            Topic::BatteryRun(at),
            Topic::Fuel(at),
            Topic::LostNeutral(at),
        ],
        Subject::Location | Subject::Cable(_) | Subject::Block(_) => Vec::new(),
    }
}

/// What somebody asks to have explained: a subject, and one of its numbers where that is named.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Asked {
    /// What it is about.
    pub subject: Subject,
    /// The one number; `None`: all of them.
    pub topic: Option<Topic>,
}

impl Asked {
    /// The numbers that are asked for.
    #[must_use]
    pub fn topics(self) -> Vec<Topic> {
        self.topic.map_or_else(|| topics(self.subject), |topic| vec![topic])
    }
}

/// Why what was asked for is nothing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unknown {
    /// What is wrong, in a sentence without its full stop.
    pub message: String,
    /// What to type instead.
    pub remedy: String,
}

/// The tables that have numbers.
const TABLES: [&str; 5] = ["head", "socket", "circuit", "rcd", "supply"];

/// What `text` asks for: `circuit.P1`, `circuit.P1.amps`, or the id alone where one table has it.
///
/// # Errors
///
/// Where nothing is called so, or two tables have the id, or the subject has no number of that name;
/// the remedy names what there is.
pub fn find(network: &Network, text: &str) -> Result<Asked, Unknown> {
    let (first, rest) = text.split_once('.').unwrap_or((text, ""));
    if TABLES.contains(&first) && !rest.is_empty() {
        let (id, key) = rest.split_once('.').map_or((rest, None), |(id, key)| (id, Some(key)));
        let subject = subject(network, first, id).ok_or_else(|| no_such(network, first, id))?;
        return with_key(network, subject, key);
    }
    let key = (!rest.is_empty()).then_some(rest);
    let found: Vec<Subject> = TABLES.iter().filter_map(|table| subject(network, table, first)).collect();
    match found.as_slice() {
        [only] => with_key(network, *only, key),
        [] => Err(nothing_called(network, first)),
        several => {
            let paths: Vec<String> = several.iter().map(|subject| subject.path(network)).collect();
            Err(Unknown {
                message: format!("`{first}` is the name of several"),
                remedy: format!("Say which: {}", paths.join(", ")),
            })
        }
    }
}

fn subject(network: &Network, table: &str, id: &str) -> Option<Subject> {
    match table {
        "head" => network.head(id).map(Subject::Head),
        "socket" => network.socket(id).map(Subject::Socket),
        "circuit" => network.circuit(id).map(Subject::Circuit),
        "rcd" => network.rcd(id).map(Subject::Rcd),
        "supply" => network.supply(id).map(Subject::Supply),
        _ => None,
    }
}

fn with_key(network: &Network, subject: Subject, key: Option<&str>) -> Result<Asked, Unknown> {
    let Some(key) = key else { return Ok(Asked { subject, topic: None }) };
    let all = topics(subject);
    if let Some(topic) = all.iter().find(|topic| topic.key() == key) {
        return Ok(Asked { subject, topic: Some(*topic) });
    }
    let keys: Vec<&str> = all.iter().map(|topic| topic.key()).collect();
    Err(Unknown {
        message: format!("`{}` has no number `{key}`", subject.path(network)),
        remedy: offer(key, &keys),
    })
}

/// The ids of a table, in the order of the file.
fn ids(network: &Network, table: &str) -> Vec<String> {
    let plan = &network.plan;
    match table {
        "head" => plan.heads.keys().map(ToString::to_string).collect(),
        "socket" => plan.sockets.keys().map(ToString::to_string).collect(),
        "circuit" => plan.circuits.keys().map(ToString::to_string).collect(),
        "rcd" => plan.rcds.keys().map(ToString::to_string).collect(),
        "supply" => plan.supplies.keys().map(ToString::to_string).collect(),
        _ => Vec::new(),
    }
}

fn no_such(network: &Network, table: &str, id: &str) -> Unknown {
    let known = ids(network, table);
    let known: Vec<&str> = known.iter().map(String::as_str).collect();
    Unknown { message: format!("there is no {table} `{id}` in the plan"), remedy: offer(id, &known) }
}

fn nothing_called(network: &Network, id: &str) -> Unknown {
    let every: Vec<String> = TABLES
        .iter()
        .flat_map(|table| ids(network, table).into_iter().map(move |id| format!("{table}.{id}")))
        .collect();
    let near = nearest(id, every.iter().filter_map(|path| path.split_once('.').map(|(_, id)| id)));
    Unknown {
        message: format!("nothing in the plan is called `{id}`"),
        remedy: match near {
            Some(near) => format!("Did you mean `{near}`?"),
            None => "Name a head, socket, circuit, rcd or supply of the plan, such as `circuit.P1`, and if \
                     you like one of its numbers: `circuit.P1.amps`"
                .to_owned(),
        },
    }
}

/// The nearest of what there is, and the first of the rest.
fn offer(given: &str, known: &[&str]) -> String {
    const SHOWN: usize = 12;
    if known.is_empty() {
        return "The plan has none.".to_owned();
    }
    let more = if known.len() > SHOWN { " …" } else { "" };
    let list = format!("{}{more}", known[..known.len().min(SHOWN)].join(", "));
    match nearest(given, known.iter().copied()) {
        Some(near) => format!("Did you mean `{near}`? There is: {list}"),
        None => format!("There is: {list}"),
    }
}
