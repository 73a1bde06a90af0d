//! A question that is answered by a line: a key's value, or a new name.

use ampwalk_core::edit::{Address, Edit, Table, Value, typed};
use ampwalk_core::file::schema::{Key, Kind, SPECTRUM_WORDS, Target};
use ampwalk_core::library::library;
use ampwalk_core::network::{Network, SetupAt};
use ampwalk_core::plan::Plan;
use ampwalk_core::shorthand::{Subject, read};

use crate::form::id_of;
use crate::layer::Prompt;
use crate::line;
use crate::text::capital;

/// What is asked.
#[derive(Clone, Debug, PartialEq)]
pub enum Question {
    /// The value of a key.
    Key {
        /// Of what.
        of: Address,
        /// Which.
        key: &'static str,
    },
    /// An entry in one line.
    Line {
        /// What kind of entry.
        subject: Subject,
        /// Whether another of the kind may follow.
        next: Next,
    },
    /// Which of a circuit's base loads is off in a setup, or on again.
    BaseLoad {
        /// The circuit.
        circuit: String,
        /// The setup.
        setup: String,
    },
    /// A new id.
    Name {
        /// What gets it.
        of: Address,
    },
}

/// What comes after a line is taken.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Next {
    /// An empty line for another of the kind.
    Another,
    /// What lies below.
    Back,
}

/// A question, and the answer so far.
#[derive(Clone, Debug)]
pub struct Ask {
    /// What is asked.
    pub question: Question,
    /// The line, and which candidate is chosen: 0 is the line itself.
    pub prompt: Prompt,
    /// Why the last answer did not go.
    pub wrong: Option<String>,
}

/// Something that may be answered.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Candidate {
    /// What goes into the plan.
    pub value: String,
    /// What it is.
    pub note: String,
}

impl Question {
    /// What is asked, as a heading.
    #[must_use]
    pub fn title(&self) -> String {
        match self {
            Self::Key { of, key } => format!("{key} of {of}"),
            Self::Line { subject, .. } => format!("{} in one line", capital(subject.noun())),
            Self::BaseLoad { circuit, setup } => format!("What the house has on {circuit}, in {setup}"),
            Self::Name { of } => format!("A new name for {of}"),
        }
    }

    /// What may be answered, in a sentence or two.
    #[must_use]
    pub fn hint(&self) -> String {
        match self {
            Self::Key { of, key } => match of.schema().key(key) {
                Some(key) => format!("{} Expected: {}. Empty takes it out.", key.doc, plain(key)),
                None => String::new(),
            },
            Self::Line { .. } => String::new(),
            Self::BaseLoad { .. } => {
                "Choose what its owner switches off for this setup, or has on again. It is \
                                      listed to be switched on again at the end: ask first, say what for."
                    .to_owned()
            }
            Self::Name { .. } => "Letters, digits, - and _. Every mention of it changes with it.".to_owned(),
        }
    }

    fn kind(&self) -> Option<Kind> {
        match self {
            Self::Key { of, key } => of.schema().key(key).map(|key| key.kind),
            Self::Line { .. } | Self::BaseLoad { .. } | Self::Name { .. } => None,
        }
    }

    /// The edit that an answer comes to.
    ///
    /// # Errors
    ///
    /// In words, where the answer is nothing that the key takes.
    pub fn edit(&self, network: &Network, setup: Option<SetupAt>, answer: &str) -> Result<Edit, String> {
        match self {
            Self::Line { subject, .. } => line::edit(network, setup, &read(&network.plan, *subject, answer)),
            Self::Key { of, key } => {
                let kind = self.kind().ok_or_else(|| format!("there is no key {key}"))?;
                let value: Option<Value> =
                    if answer.trim().is_empty() { None } else { Some(typed(kind, answer)?) };
                Ok(Edit::SetKey { of: of.clone(), key: (*key).to_owned(), value })
            }
            Self::BaseLoad { circuit, setup } => base_load(&network.plan, circuit, setup, answer.trim()),
            Self::Name { of } => match id_of(of) {
                Some((table, id)) => {
                    Ok(Edit::Rename { table, from: id.to_owned(), to: answer.trim().to_owned() })
                }
                None => Err(format!("{of} has no name")),
            },
        }
    }
}

/// What a key takes, as it is typed here: without the quotes and brackets of the file.
fn plain(key: &Key) -> String {
    match key.kind {
        Kind::Text => "any text".to_owned(),
        Kind::Flag => "yes or no".to_owned(),
        Kind::Choice(words) => words.join(", "),
        Kind::Id(target) => format!("the name of {}", target.with_article()),
        Kind::Ids(target, _) => format!("names, each of {}", target.with_article()),
        Kind::Clock => "a time of day, like 09:00".to_owned(),
        Kind::Hours => "two times of day, like 06:00 22:00".to_owned(),
        Kind::Point => "x and y in metres, like 2 8".to_owned(),
        Kind::Area => "x, y, width and depth in metres".to_owned(),
        Kind::BaseLoads => "base loads, like P2.fridge".to_owned(),
        other => other.expects(),
    }
}

/// The answers that there are, those that the line begins or is within; none where any text will do.
#[must_use]
pub fn candidates(plan: &Plan, question: &Question, line: &str) -> Vec<Candidate> {
    if let Question::BaseLoad { circuit, setup } = question {
        return base_loads(plan, circuit, setup);
    }
    let all: Vec<Candidate> = match question.kind() {
        Some(Kind::Choice(words)) => words.iter().map(|word| bare(word)).collect(),
        Some(Kind::Spectrum) => SPECTRUM_WORDS.iter().map(|word| bare(word)).collect(),
        Some(Kind::Flag) => ["yes", "no"].map(bare).to_vec(),
        Some(Kind::Id(target)) => of_target(plan, target),
        _ => Vec::new(),
    };
    let line = line.trim().to_lowercase();
    let matches = |candidate: &Candidate| {
        candidate.value.to_lowercase().contains(&line) || candidate.note.to_lowercase().contains(&line)
    };
    let exact = all.iter().any(|candidate| candidate.value.to_lowercase() == line);
    if exact { all } else { all.into_iter().filter(matches).collect() }
}

/// The base loads of a circuit that have a name, and how they stand in a setup.
fn base_loads(plan: &Plan, circuit: &str, setup: &str) -> Vec<Candidate> {
    let (Some(own), Some(setup)) = (plan.circuits.get(circuit), plan.setups.get(setup)) else {
        return Vec::new();
    };
    let is_off =
        |name: &str| setup.base_off.iter().any(|off| off.circuit.as_str() == circuit && off.name == name);
    let candidate = |load: &ampwalk_core::plan::BaseLoad| {
        let name = load.name.clone()?;
        let owner = if load.owner_can_switch_off { "its owner may switch it off" } else { "ask its owner" };
        let state = if is_off(&name) { "OFF in this setup" } else { "on" };
        let note = format!("{state}, {} A; {owner}", ampwalk_core::rule::words::number(load.amps.0));
        Some(Candidate { value: name, note })
    };
    own.base.iter().filter_map(candidate).collect()
}

/// Puts a base load on the list of those that are off in a setup, or takes it from there.
fn base_load(plan: &Plan, circuit: &str, setup: &str, name: &str) -> Result<Edit, String> {
    let known = base_loads(plan, circuit, setup);
    if !known.iter().any(|candidate| candidate.value == name) {
        return Err(format!("{circuit} has no base load `{name}`"));
    }
    let written = format!("{circuit}.{name}");
    let off = plan.setups.get(setup).map(|setup| setup.base_off.as_slice()).unwrap_or_default();
    let mut all: Vec<String> = off.iter().map(|off| format!("{}.{}", off.circuit, off.name)).collect();
    match all.iter().position(|off| *off == written) {
        Some(place) => {
            all.remove(place);
        }
        None => all.push(written),
    }
    let value = (!all.is_empty()).then(|| Value::texts(all.iter().map(String::as_str)));
    Ok(Edit::SetKey { of: Address::of(Table::Setup, setup), key: "base_off".to_owned(), value })
}

fn bare(word: &str) -> Candidate {
    Candidate { value: word.to_owned(), note: String::new() }
}

/// Every name that a reference may have.
fn of_target(plan: &Plan, target: Target) -> Vec<Candidate> {
    let library = library();
    match target {
        Target::Class => library
            .heads
            .iter()
            .map(|(id, class)| Candidate { value: id.to_string(), note: class.name.clone() })
            .collect(),
        Target::Outlet => {
            let region = plan.location.region;
            let usual = |outlet: &&ampwalk_core::library::Outlet| {
                region.is_none_or(|region| outlet.regions.is_empty() || outlet.regions.contains(&region))
            };
            library
                .outlets
                .iter()
                .filter(|(_, outlet)| usual(outlet))
                .map(|(id, outlet)| Candidate { value: id.to_string(), note: outlet.name.clone() })
                .collect()
        }
        _ => ampwalk_core::edit::Table::ALL
            .into_iter()
            .filter(|table| target.tables().contains(&table.name()))
            .flat_map(|table| table.ids(plan).into_iter().map(move |id| (table, id)))
            .map(|(table, id)| Candidate { value: id, note: table.noun().to_owned() })
            .collect(),
    }
}
