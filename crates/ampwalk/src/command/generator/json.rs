//! The answer that other programs read. Keys are added, never renamed.

use ampwalk_core::network::Network;
use ampwalk_core::plan::{FORMAT_VERSION, Fuel, Wiring, word_of};
use ampwalk_core::solve::verdict::{Hire, ProducersAnswer, Reason, WayOut};
use serde::Serialize;

use crate::output::as_json;
use crate::trouble::Trouble;

#[derive(Debug, Serialize)]
struct Report<'a> {
    ampwalk: u32,
    verdict: &'static str,
    proven: bool,
    stopped: bool,
    summary: &'a str,
    reason: Option<Why<'a>>,
    ways_out: Vec<Way<'a>>,
    hire: Option<Hired<'a>>,
}

#[derive(Debug, Serialize)]
struct Why<'a> {
    limit: &'static str,
    subject: String,
    needed: Option<f64>,
    there: Option<f64>,
    unit: &'static str,
    text: &'a str,
}

#[derive(Debug, Serialize)]
struct Way<'a> {
    #[serde(rename = "do")]
    action: &'a str,
    gains: Option<f64>,
    unit: &'static str,
    asks: &'static str,
}

#[derive(Debug, Serialize)]
struct Hired<'a> {
    kva: Option<f64>,
    computed_kva: f64,
    lines: &'static str,
    hours: f64,
    fuel: &'static str,
    fuel_l: Option<f64>,
    heads: Vec<&'a str>,
    outlets: Vec<Outlets<'a>>,
    notes: &'a [String],
}

#[derive(Debug, Serialize)]
struct Outlets<'a> {
    outlet: &'a str,
    count: usize,
}

fn reason<'a>(network: &Network, reason: &'a Reason) -> Why<'a> {
    Why {
        limit: reason.limit,
        subject: reason.subject.path(network),
        needed: reason.needed,
        there: reason.there,
        unit: reason.unit,
        text: &reason.text,
    }
}

fn way(way: &WayOut) -> Way<'_> {
    Way { action: &way.action, gains: way.gains, unit: way.unit, asks: way.asks.word() }
}

fn hired<'a>(network: &'a Network, hire: &'a Hire) -> Hired<'a> {
    let outlets =
        hire.outlets.iter().map(|(outlet, count)| Outlets { outlet: outlet.as_str(), count: *count });
    Hired {
        kva: hire.kva.map(|kva| kva.0),
        computed_kva: hire.computed_kva.0,
        lines: word_of(&Wiring::WORDS, &hire.wiring),
        hours: hire.hours,
        fuel: word_of(&Fuel::WORDS, &hire.fuel),
        fuel_l: hire.litres.map(|litres| litres.0),
        heads: hire.heads.iter().map(|head| network.head_id(*head).as_str()).collect(),
        outlets: outlets.collect(),
        notes: &hire.notes,
    }
}

pub(super) fn text(network: &Network, verdict: &ProducersAnswer) -> Result<String, Trouble> {
    let report = Report {
        ampwalk: FORMAT_VERSION,
        verdict: verdict.need.word(),
        proven: verdict.is_proven,
        stopped: verdict.was_stopped,
        summary: &verdict.summary,
        reason: verdict.reason.as_ref().map(|why| reason(network, why)),
        ways_out: verdict.ways_out.iter().map(way).collect(),
        hire: verdict.hire.as_ref().map(|hire| hired(network, hire)),
    };
    as_json(&report)
}
