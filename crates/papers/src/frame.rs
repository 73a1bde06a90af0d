//! What the sheets are made from, what stands on top of each, and the caution below.

use ampwalk_core::assess::{Assessment, SetupUse, Subject, Verdict};
use ampwalk_core::library::LengthWord;
use ampwalk_core::network::{At, Network, SetupAt};
use ampwalk_core::plan::{ClockTime, Weather};
use ampwalk_core::unit::Metres;

use crate::sheet::{Basis, Cell, Column, Field, Kind, Rounding, Sheet, Style};

/// What a sheet of one setup is made from.
#[derive(Clone, Copy)]
pub(crate) struct Source<'a> {
    pub(crate) network: &'a Network,
    pub(crate) assessment: &'a Assessment,
    pub(crate) setup: SetupAt,
    pub(crate) used: &'a SetupUse,
}

impl<'a> Source<'a> {
    /// `None` without a setup, or with one that the plan has not.
    pub(crate) fn of(
        network: &'a Network,
        assessment: &'a Assessment,
        setup: Option<SetupAt>,
    ) -> Option<Self> {
        let setup = setup?;
        Some(Self { network, assessment, setup, used: assessment.setups.get(setup)? })
    }
}

/// The note of a sheet that has no setup to tell of.
pub(crate) fn no_setup(source: Option<Source<'_>>) -> Vec<String> {
    let note =
        "No setup is chosen, so nothing is counted. A plan needs a setup that says which heads are on.";
    if source.is_none() { vec![note.to_owned()] } else { Vec::new() }
}

/// What stands below every sheet.
pub(crate) fn caution(network: &Network) -> String {
    format!(
        "This sheet plans; it certifies nothing. Local codes and a licensed electrician decide. No covers \
         off the {}, no tie-in, no lifted earth.",
        network.region.words.board
    )
}

/// A sheet with nothing on it yet.
pub(crate) fn bare(network: &Network, kind: Kind, source: Option<Source<'_>>) -> Sheet {
    Sheet {
        kind,
        setup: source.map(|source| source.network.setup_id(source.setup).to_string()),
        style: Style { paper: network.region.paper, decimal: network.region.decimal },
        title: String::new(),
        fields: Vec::new(),
        tables: Vec::new(),
        notes: Vec::new(),
        drawings: Vec::new(),
        codes: Vec::new(),
    }
}

/// A name and what stands beside it.
pub(crate) fn field(name: &str, value: Option<String>) -> Field {
    Field { name: name.to_owned(), value }
}

/// A blank, to be filled in by hand.
pub(crate) fn blank(name: &str) -> Field {
    field(name, None)
}

/// The place, and who made the sheet when.
pub(crate) fn place_fields(network: &Network) -> Vec<Field> {
    let region = network.region;
    let hertz = region.hertz.first().map(|hertz| format!(", {hertz} Hz")).unwrap_or_default();
    vec![
        blank("production"),
        field("location", network.plan.location.name.clone()),
        blank("date and call"),
        blank("drawn up by (role)"),
        blank("printed at"),
        field("region", Some(format!("{}, {} V{hertz}", region.name, region.volts.0))),
    ]
}

/// What stands on top of a sheet of one setup.
pub(crate) fn fields(network: &Network, source: Option<Source<'_>>) -> Vec<Field> {
    let mut fields = place_fields(network);
    if let Some(source) = source {
        fields.push(field("setup", Some(setup_name(source))));
        fields.push(field("hours", Some(hours(source))));
        fields.push(field("weather", Some(weather(source).to_owned())));
        fields.push(field("verdict", Some(verdict(source))));
        fields.push(field("assumed", Some(format!("{} numbers rest on a default", source.used.assumed))));
    }
    fields
}

pub(crate) fn setup_name(source: Source<'_>) -> String {
    let node = &source.network.setups[source.setup];
    let name =
        source.network.plan.setups.get_index(source.setup.get()).and_then(|(_, setup)| setup.name.as_ref());
    name.map_or_else(|| node.id.to_string(), |name| format!("{name} ({})", node.id))
}

/// Hours in a day that a clock tells, in minutes.
const DAY: u32 = 24 * 60;

fn hours(source: Source<'_>) -> String {
    let node = &source.network.setups[source.setup];
    let minutes = node.minutes.0;
    let Some(start) = node.start else { return format!("{minutes} min, start not given") };
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "kept to a day, so it fits, and it is not negative"
    )]
    let later = minutes.rem_euclid(f64::from(DAY)).round() as u32;
    let end = ClockTime { minutes: (start.minutes + later) % DAY };
    format!("{start} to {end}, {minutes} min")
}

fn weather(source: Source<'_>) -> &'static str {
    match source.network.setups[source.setup].weather {
        Weather::Dry => "dry",
        Weather::Rain => "rain",
    }
}

pub(crate) fn verdict(source: Source<'_>) -> String {
    let word = source.assessment.verdict_in(source.setup).word();
    match source.assessment.binding_in(source.setup) {
        Some(finding) => format!("{word}: {}", finding.text),
        None => word.to_owned(),
    }
}

/// The worst finding about any of some subjects, as a word.
pub(crate) fn state(source: Source<'_>, is_about: impl Fn(Subject) -> bool) -> Cell {
    let findings = source.assessment.findings_in(source.setup).filter(|finding| is_about(finding.subject));
    Cell::text(Verdict::of(findings).word())
}

/// Names in a list, all of them.
pub(crate) fn listed<T: ToString>(names: impl IntoIterator<Item = T>) -> Cell {
    let names: Vec<String> = names.into_iter().map(|name| name.to_string()).collect();
    if names.is_empty() { Cell::EMPTY } else { Cell::text(names.join(" ")) }
}

/// Feet in a metre's place: the international foot.
pub(crate) const FOOT: Metres = Metres(0.3048);

/// A column of lengths, in the unit that the crews there speak.
pub(crate) fn length_column(network: &Network, heading: &str) -> Column {
    let unit = match network.lengths {
        LengthWord::Metres => "m",
        LengthWord::Feet => "ft",
    };
    Column::marked(heading, unit)
}

/// A length in that unit.
pub(crate) fn length(network: &Network, metres: Metres, rounding: Rounding, basis: Basis) -> Cell {
    let value = match network.lengths {
        LengthWord::Metres => metres.0,
        LengthWord::Feet => metres / FOOT,
    };
    Cell::number(value, 1, rounding, basis)
}

/// A count of things.
pub(crate) fn count(value: usize, basis: Basis) -> Cell {
    #[expect(clippy::cast_precision_loss, reason = "things that a crew carries")]
    let value = value as f64;
    Cell::number(value, 0, Rounding::Nearest, basis)
}

/// Words, where there are any.
pub(crate) fn told(words: Option<impl Into<String>>) -> Cell {
    words.map_or(Cell::EMPTY, Cell::text)
}
