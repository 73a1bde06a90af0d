//! The load sheet: what every circuit carries in a setup, and what is left on it.
//!
//! Not on it, because no plan says it: the circuit's way on the board.

mod basis;
mod circuits;
mod rcds;
mod supplies;

use ampwalk_core::assess::{Assessment, SetupUse, Subject, Verdict};
use ampwalk_core::network::{At, Network, SetupAt};
use ampwalk_core::plan::{ClockTime, Weather};

use crate::sheet::{Cell, Field, Sheet};

/// What a sheet is made from.
#[derive(Clone, Copy)]
struct Source<'a> {
    network: &'a Network,
    assessment: &'a Assessment,
    setup: SetupAt,
    used: &'a SetupUse,
}

/// The load sheet of a setup: a row for every circuit, and footers for every RCD, line and supply.
/// `assessment` is that of `network`. Without a setup, or with one that the plan has not, the tables
/// are empty and a note says why.
#[must_use]
pub fn load_sheet(network: &Network, assessment: &Assessment, setup: Option<SetupAt>) -> Sheet {
    let source = setup
        .and_then(|setup| Some(Source { network, assessment, setup, used: assessment.setups.get(setup)? }));
    let mut notes = Vec::new();
    if source.is_none() {
        notes.push(
            "No setup is chosen, so nothing is counted. A plan needs a setup that says which heads are on."
                .to_owned(),
        );
    }
    notes.extend(explained(network));
    let words = &network.region.words;
    Sheet {
        title: "Load sheet, circuit by circuit".to_owned(),
        fields: fields(network, source),
        tables: vec![
            circuits::table(words, source),
            rcds::table(words, source),
            supplies::line_table(words, source),
            supplies::table(source),
        ],
        notes,
    }
}

fn fields(network: &Network, source: Option<Source<'_>>) -> Vec<Field> {
    let field = |name: &str, value: Option<String>| Field { name: name.to_owned(), value };
    let region = network.region;
    let hertz = region.hertz.first().map(|hertz| format!(", {hertz} Hz")).unwrap_or_default();
    let mut fields = vec![
        field("production", None),
        field("location", network.plan.location.name.clone()),
        field("date and call", None),
        field("drawn up by (role)", None),
        field("printed at", None),
        field("region", Some(format!("{}, {} V{hertz}", region.name, region.volts.0))),
    ];
    if let Some(source) = source {
        fields.push(field("setup", Some(setup_name(source))));
        fields.push(field("hours", Some(hours(source))));
        fields.push(field("weather", Some(weather(source).to_owned())));
        fields.push(field("verdict", Some(verdict(source))));
        fields.push(field("assumed", Some(format!("{} numbers rest on a default", source.used.assumed))));
    }
    fields.push(field("page", Some("1 of 1".to_owned())));
    fields
}

fn setup_name(source: Source<'_>) -> String {
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

fn verdict(source: Source<'_>) -> String {
    let word = source.assessment.verdict_in(source.setup).word();
    match source.assessment.binding_in(source.setup) {
        Some(finding) => format!("{word}: {}", finding.text),
        None => word.to_owned(),
    }
}

fn explained(network: &Network) -> Vec<String> {
    let words = &network.region.words;
    let (rcd, board) = (&words.rcd, &words.board);
    vec![
        "A \"-\" says nothing. \"May be\" counts heads on untraced sockets on every circuit that they may be \
         on, and what others may draw; used and left are reckoned with it. k is the share of the breaker's \
         rating that may be used. Watts left are at power factor 1. What is left is rounded down."
            .to_owned(),
        format!(
            "State is the worst finding about the row's own parts: clear, note, risk, dark, danger. The {rcd} of a \
             circuit is the one with least left. Holds: leakage that it surely holds; drops at: leakage that \
             surely drops it; left: what it surely holds less the peak while striking. A set's kVA are of \
             its plate; what height and heat take from it is in its state."
        ),
        format!(
            "This sheet plans; it certifies nothing. Local codes and a licensed electrician decide. No covers \
             off the {board}, no tie-in, no lifted earth."
        ),
    ]
}

/// The worst finding about any of some subjects, as a word.
fn state(source: Source<'_>, is_about: impl Fn(Subject) -> bool) -> Cell {
    let findings = source.assessment.findings_in(source.setup).filter(|finding| is_about(finding.subject));
    Cell::text(Verdict::of(findings).word())
}

/// Names in a list, all of them.
fn listed<T: ToString>(names: impl IntoIterator<Item = T>) -> Cell {
    let names: Vec<String> = names.into_iter().map(|name| name.to_string()).collect();
    if names.is_empty() { Cell::EMPTY } else { Cell::text(names.join(" ")) }
}
