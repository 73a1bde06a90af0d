//! `ampwalk recover`: after a trip.

mod json;
mod people;

use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::Instant;

use ampwalk_core::assess::{Assessment, Verdict, assess};
use ampwalk_core::diagnose::{Diagnosis, Lost, Relight, Trip, devices_of, diagnose, infer};
use ampwalk_core::edit::{self, Address, Edit, Log, Override, Value};
use ampwalk_core::file::nearest;
use ampwalk_core::network::{HeadAt, Network, SetupAt};
use ampwalk_core::plan::{Reset, word_of};
use ampwalk_core::unit::Minutes;

use super::checked::find_setup;
use crate::arguments::ResetWord;
use crate::clock;
use crate::input::{self, is_standard_input};
use crate::keep::Home;
use crate::output::{Answer, columns};
use crate::trouble::{CallTrouble, Trouble};

/// What the call says.
pub struct Asked {
    /// The plan file.
    pub plan: PathBuf,
    /// What dropped.
    pub lost: Vec<String>,
    /// Heads that went dark.
    pub dark: Vec<String>,
    /// The setup.
    pub setup: Option<String>,
    /// The head struck last.
    pub last: Option<String>,
    /// How long after switch-on.
    pub after: Option<String>,
    /// What the reset did.
    pub reset: Option<ResetWord>,
}

/// Whether the plan is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Write {
    /// Moves and the trip's line.
    Plan,
    /// It stays as it is.
    Nothing,
}

/// For whom the answer is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Form {
    /// Other programs.
    Json,
    /// People.
    Words,
}

/// A trip, and what it comes to.
struct Recovered {
    network: Network,
    trip: Trip,
    diagnosis: Diagnosis,
    seconds: f64,
}

impl Recovered {
    /// The heads that are moved, those that wait for their restrike last.
    fn moves(&self) -> impl Iterator<Item = &Relight> {
        let later = self.diagnosis.later.iter().filter_map(|later| later.to.as_ref());
        self.diagnosis.now.iter().chain(later).filter(|relight| relight.is_move())
    }

    /// Heads that are no suspects and have no light, nor get any by waiting where they are moved to.
    fn unplaced(&self) -> impl Iterator<Item = HeadAt> {
        self.diagnosis.left.iter().map(|left| left.head)
    }
}

/// The answer.
pub fn recover(asked: &Asked, write: Write, form: Form) -> Result<Answer, Trouble> {
    if write == Write::Plan && is_standard_input(&asked.plan) {
        return Err(Trouble::call(
            "standard input cannot be written to",
            "Name the plan file, or leave --write out.",
        ));
    }
    let source = input::source(&asked.plan)?;
    let good = input::good(&source)?;
    let network = Network::of(Arc::new(good.parsed.plan));
    let assessment = assess(&network);
    let mut notes = good.notes;
    let trip = trip(asked, &network, &assessment, &mut notes)?;
    let from = Instant::now();
    let diagnosis = diagnose(&network, &assessment, &trip);
    let seconds = from.elapsed().as_secs_f64();
    let told = Recovered { network, trip, diagnosis, seconds };
    if write == Write::Plan {
        let text = written(&told, &source.text)?;
        let mut home = Home::new(&asked.plan, &source.text);
        home.save(&text).map_err(|why| Trouble::call(why, "Nothing was written."))?;
    }
    let text = match form {
        Form::Json => json::text(&told)?,
        Form::Words => people::text(&told, write, columns()),
    };
    let verdict = if told.unplaced().next().is_some() { Verdict::Dark } else { Verdict::Clear };
    Ok(Answer { text, notes, verdict })
}

fn trip(
    asked: &Asked,
    network: &Network,
    assessment: &Assessment,
    notes: &mut String,
) -> Result<Trip, Trouble> {
    let setup = match &asked.setup {
        Some(id) => find_setup(network, id, &asked.plan)?,
        None => network.setups.indices().next().ok_or_else(|| CallTrouble {
            message: "the plan has no setup, so nothing burns".to_owned(),
            remedy: "Add one: [setup.day] with `minutes` and `on`.".to_owned(),
        })?,
    };
    let dark = asked.dark.iter().map(|id| head(network, id)).collect::<Result<Vec<_>, _>>()?;
    let lost = if dark.is_empty() {
        asked.lost.iter().map(|id| device(network, id)).collect::<Result<Vec<_>, _>>()?
    } else {
        vec![inferred(network, setup, &dark, notes)?]
    };
    let mut trip = Trip::of(network, setup, lost);
    trip.dark = dark;
    trip.last_struck = asked.last.as_deref().map(|id| head(network, id)).transpose()?;
    if let Some(last) = trip.last_struck.filter(|last| assessment.setups[setup].heads[*last].is_none()) {
        let id = network.head_id(last);
        return Err(Trouble::call(
            format!("{id} is not on in {}", network.setup_id(setup)),
            "Name a head of the setup, or another --setup.",
        ));
    }
    trip.after = asked.after.as_deref().map(minutes).transpose()?;
    trip.reset = match asked.reset {
        None => Reset::NotTried,
        Some(ResetWord::Held) => Reset::Held,
        Some(ResetWord::DidNotHold) => Reset::DidNotHold,
    };
    trip.resets += u32::from(asked.reset.is_some());
    Ok(trip)
}

fn head(network: &Network, id: &str) -> Result<HeadAt, CallTrouble> {
    network.head(id).ok_or_else(|| {
        let known = network.heads.iter().map(|(_, head)| head.id.as_str());
        unknown("head", id, nearest(id, known))
    })
}

fn device(network: &Network, id: &str) -> Result<Lost, CallTrouble> {
    let supply = network.supplies.indices().next();
    let by_word = || match id {
        "everything" => supply.map(Lost::Supply),
        "meter" => supply.map(Lost::Meter),
        _ => None,
    };
    devices_of(network, id).or_else(by_word).ok_or_else(|| {
        let rcds = network.rcds.iter().map(|(_, rcd)| rcd.id.as_str());
        let circuits = network.circuits.iter().map(|(_, circuit)| circuit.id.as_str());
        unknown("RCD, circuit or supply", id, nearest(id, rcds.chain(circuits)))
    })
}

fn unknown(what: &str, id: &str, near: Option<&str>) -> CallTrouble {
    CallTrouble {
        message: format!("there is no {what} `{}`", crate::trouble::shown(Path::new(id))),
        remedy: near.map_or_else(
            || "`ampwalk check PLAN` lists them.".to_owned(),
            |near| format!("Did you mean `{near}`?"),
        ),
    }
}

/// The nearest device that darkens these heads; others that would as well are noted.
fn inferred(network: &Network, setup: SetupAt, dark: &[HeadAt], notes: &mut String) -> Result<Lost, Trouble> {
    let found = infer(network, setup, dark);
    let Some(first) = found.first() else {
        return Err(Trouble::call(
            "no device of the plan darkens all of these heads",
            "Look at the board and say what is down: --lost ID",
        ));
    };
    let others: Vec<String> = found[1..].iter().map(|other| other.lost.words(network)).collect();
    if !others.is_empty() {
        let (taken, others) = (first.lost.words(network), others.join(", "));
        notes.extend([
            "taken: ",
            &taken,
            ", the nearest; it may also be ",
            &others,
            ". Look at the board; --lost says it.\n",
        ]);
    }
    Ok(first.lost)
}

/// A time: `0s`, `12m`, `1h30m`, `12`.
fn minutes(text: &str) -> Result<Minutes, CallTrouble> {
    let wrong = || CallTrouble {
        message: format!("`{}` is no time", crate::trouble::shown(Path::new(text))),
        remedy: "Write seconds, minutes or hours: 5s, 12m, 1h30m.".to_owned(),
    };
    if let Ok(minutes) = text.parse::<f64>() {
        return if (0.0..=100_000.0).contains(&minutes) { Ok(Minutes(minutes)) } else { Err(wrong()) };
    }
    let (mut total, mut rest) = (0.0, text);
    while !rest.is_empty() {
        let end = rest.find(|c: char| c.is_ascii_alphabetic()).ok_or_else(wrong)?;
        let (value, letter) = (rest[..end].parse::<f64>().map_err(|_| wrong())?, rest[end..].chars().next());
        total += match letter {
            Some('s') => value / 60.0,
            Some('m') => value,
            Some('h') => value * 60.0,
            _ => return Err(wrong()),
        };
        rest = &rest[end + 1..];
    }
    if (0.0..=100_000.0).contains(&total) && !text.is_empty() { Ok(Minutes(total)) } else { Err(wrong()) }
}

/// The plan's text with the moves made and the trip logged.
fn written(told: &Recovered, text: &str) -> Result<String, Trouble> {
    let network = &told.network;
    let setup = network.setup_id(told.trip.setup);
    let moves = told.moves().map(|relight| Edit::PlugForSetup {
        setup: setup.clone(),
        head: network.head_id(relight.head).clone(),
        placement: Override::Plugged(relight.placement(network)),
    });
    let device = told.trip.lost.iter().copied().max_by_key(|lost| matches!(lost, Lost::Circuit(_)));
    let word = word_of(&Reset::WORDS, &told.trip.reset);
    let keys = [
        ("at", Some(Value::text(&clock::moment()))),
        ("device", device.map(|lost| Value::text(lost.id(network).as_str()))),
        ("setup", Some(Value::text(setup.as_str()))),
        ("last_struck", told.trip.last_struck.map(|head| Value::text(network.head_id(head).as_str()))),
        ("after_min", told.trip.after.map(|after| Value::Number(after.0))),
        ("reset", Some(Value::text(word))),
    ];
    let keys = keys.into_iter().filter_map(|(key, value)| Some((key.to_owned(), value?))).collect();
    let log = Edit::AddEntry { of: Address::Nth(Log::Trip, 0), keys };
    let edit = Edit::Many { edits: moves.chain([log]).collect(), label: "Recover".to_owned() };
    edit::apply(text, &edit)
        .map(|change| change.apply(text))
        .map_err(|refusal| Trouble::call(refusal.message, refusal.remedy))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times_are_read_in_seconds_minutes_and_hours() {
        let near = |text: &str, expected: f64| (minutes(text).unwrap().0 - expected).abs() < 1e-9;
        assert!(near("12m", 12.0) && near("30s", 0.5) && near("1h30m", 90.0) && near("12", 12.0));
        assert!(near("0s", 0.0));
        for wrong in ["", "m", "12x", "-5m", "1e9", "12m5", "nan", "é"] {
            assert!(minutes(wrong).is_err(), "{wrong}");
        }
    }
}
