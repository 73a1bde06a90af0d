//! `check --json`: the contract with other programs.
//!
//! Numbers are in the unit of their key's ending and never rounded; unknown or never is `null`; what
//! this build does not compute is left out. Keys may be added, never renamed. Tables are in the order
//! of the plan file.

use std::collections::HashMap;

use ampwalk_core::assess::{CircuitUse, Finding, HeadUse, RcdUse, SetupUse, SupplyUse, may_drop, steps};
use ampwalk_core::network::{HeadAt, Network, RcdAt, SetupAt, SupplyAt};
use ampwalk_core::physics::phasor::Phasor;
use ampwalk_core::plan::FORMAT_VERSION;
use indexmap::IndexMap;
use serde::Serialize;

use crate::command::checked::Checked;

/// Names of the line conductors.
const LINES: [&str; 3] = ["L1", "L2", "L3"];

/// Everything that a check came to.
#[derive(Debug, Serialize)]
pub struct Report<'a> {
    ampwalk: u32,
    location: Option<&'a str>,
    verdict: &'static str,
    setups: IndexMap<&'a str, Setup<'a>>,
    findings: Vec<Found<'a>>,
}

#[derive(Debug, Serialize)]
struct Setup<'a> {
    minutes: f64,
    circuits: IndexMap<&'a str, Circuit<'a>>,
    rcds: IndexMap<&'a str, Rcd<'a>>,
    supplies: IndexMap<&'a str, Supply>,
    heads: IndexMap<&'a str, Head<'a>>,
    strike_order: Vec<&'a str>,
    /// Breakers for which the order departs from falling strike leakage.
    spared_breakers: Vec<&'a str>,
}

#[derive(Debug, Serialize)]
struct Circuit<'a> {
    amps: f64,
    possible_amps: f64,
    limit_a: f64,
    /// What is left for certain whatever the untraced sockets are on; below 0 where it is over.
    free_a: f64,
    start_peak_a: f64,
    /// Peak of all its heads at one reset; null: the curve has no published band, or no inrush is known.
    inrush_a: Option<f64>,
    /// Lasting amps that the most that one switch brings on counts as …
    inrush_counts_a: Option<f64>,
    /// … against those from which the breaker may open at once.
    inrush_limit_a: Option<f64>,
    /// Shared with other circuits, theirs included; null: not shared.
    neutral_a: Option<f64>,
    /// Earliest and latest; `[null, null]`: never.
    trip_window_s: [Option<f64>; 2],
    breaker: &'static str,
    heads: Vec<&'a str>,
}

#[derive(Debug, Serialize)]
struct Rcd<'a> {
    room_ma: [Option<f64>; 2],
    tested: bool,
    standing_ma: f64,
    /// As a vector sum over the lines; `null` where it is not a 4-pole device.
    vector_standing_ma: Option<f64>,
    peak_ma: f64,
    possible_standing_ma: f64,
    possible_peak_ma: f64,
    outcome: &'static str,
    odds: f64,
    darkens: Vec<&'a str>,
}

#[derive(Debug, Serialize)]
struct Supply {
    /// Only the lines that it has.
    line_a: IndexMap<&'static str, f64>,
    neutral_a: f64,
    kva: f64,
    kw: f64,
    limit_a: Option<f64>,
    /// Its busiest line, of the limit.
    percent: Option<f64>,
    /// How long a full battery station runs this load; null: no station, or its energy is not known.
    hours: Option<f64>,
    /// What a generator burns in the setup; null: no generator, or its fuel or size is not known.
    fuel_l: Option<f64>,
}

#[derive(Debug, Serialize)]
struct Head<'a> {
    socket: Option<&'a str>,
    circuit: Option<&'a str>,
    amps: f64,
    lead_m: f64,
    lead_needed_m: Option<f64>,
    /// That arrive.
    volts: Option<f64>,
    drop_percent: Option<f64>,
    /// Of a filament, at those volts.
    light_percent: Option<f64>,
    colour_k: Option<f64>,
    strike: Option<usize>,
    /// RCDs that may drop as it is struck, the likeliest first.
    may_drop: Vec<&'a str>,
}

#[derive(Debug, Serialize)]
struct Found<'a> {
    rule: &'static str,
    severity: &'static str,
    setup: Option<&'a str>,
    subject: String,
    value: Option<f64>,
    limit: Option<f64>,
    unit: Option<&'static str>,
    text: &'a str,
    #[serde(rename = "do")]
    remedy: &'a str,
    source: &'static str,
    assumed: bool,
}

/// What is told of a checked plan.
pub fn report(checked: &Checked) -> Report<'_> {
    let network = &checked.network;
    let setups = checked
        .setups()
        .map(|at| (network.setup_id(at).as_str(), setup(network, at, &checked.assessment.setups[at])));
    Report {
        ampwalk: FORMAT_VERSION,
        location: network.plan.location.name.as_deref(),
        verdict: checked.verdict().word(),
        setups: setups.collect(),
        findings: checked.findings().map(|finding| found(network, finding)).collect(),
    }
}

fn setup<'a>(network: &'a Network, at: SetupAt, used: &SetupUse) -> Setup<'a> {
    let may: HashMap<HeadAt, Vec<RcdAt>> =
        steps(network, used).iter().map(|step| (step.head, may_drop(used, step))).collect();
    let heads = used.heads.iter().filter_map(|(at, used)| Some((at, used.as_ref()?)));
    Setup {
        minutes: network.setups[at].minutes.0,
        circuits: used
            .circuits
            .iter()
            .map(|(at, used)| (network.circuit_id(at).as_str(), circuit(network, used)))
            .collect(),
        rcds: used
            .rcds
            .iter()
            .map(|(at, used)| (network.rcd_id(at).as_str(), rcd(network, at, used)))
            .collect(),
        supplies: used
            .supplies
            .iter()
            .map(|(supply_at, used)| {
                (network.supply_id(supply_at).as_str(), supply(network, at, supply_at, used))
            })
            .collect(),
        heads: heads
            .map(|(at, used)| (network.head_id(at).as_str(), head(network, at, used, may.get(&at))))
            .collect(),
        strike_order: head_ids(network, &used.strike_order),
        spared_breakers: used.spared_breakers.iter().map(|at| network.circuit_id(*at).as_str()).collect(),
    }
}

fn circuit<'a>(network: &'a Network, used: &CircuitUse) -> Circuit<'a> {
    Circuit {
        amps: used.amps.0,
        possible_amps: used.possible.0,
        limit_a: used.limit.0,
        free_a: (used.limit - used.possible).0,
        start_peak_a: used.start_peak.0,
        inrush_a: used.inrush.as_ref().map(|inrush| inrush.all.peak.0),
        inrush_counts_a: used.inrush.as_ref().map(|inrush| inrush.most.counts.0),
        inrush_limit_a: used.inrush.as_ref().map(|inrush| inrush.limit.0),
        neutral_a: used.neutral.map(|amps| amps.0),
        trip_window_s: [used.window.earliest, used.window.latest].map(|bound| bound.map(|bound| bound.0)),
        breaker: used.breaker.word(),
        heads: head_ids(network, &used.heads),
    }
}

fn rcd<'a>(network: &'a Network, at: RcdAt, used: &RcdUse) -> Rcd<'a> {
    let room = used.room.room;
    Rcd {
        room_ma: [Some(room.low.0), room.high.map(|high| high.0)],
        tested: used.room.tested,
        standing_ma: used.standing.0,
        vector_standing_ma: used.vector_standing.map(|standing| standing.0),
        peak_ma: used.peak.0,
        possible_standing_ma: used.possible_standing.0,
        possible_peak_ma: used.possible_peak.0,
        outcome: used.outcome.word(),
        odds: used.odds,
        darkens: network.rcds[at]
            .darkens
            .iter()
            .map(|circuit| network.circuit_id(*circuit).as_str())
            .collect(),
    }
}

fn supply(network: &Network, setup: SetupAt, at: SupplyAt, used: &SupplyUse) -> Supply {
    let node = &network.supplies[at];
    let amps = used.lines.map(Phasor::amps);
    let limit = node.limit.map(|limit| limit.value);
    Supply {
        line_a: node.lines().map(|line| (LINES[line], amps[line].0)).collect(),
        neutral_a: used.orders.neutral().0,
        kva: used.orders.apparent_power(node.volts.value).0,
        kw: used.kw.0,
        limit_a: limit.map(|limit| limit.0),
        percent: limit.map(|limit| 100.0 * (used.busiest().1 / limit)),
        hours: used.battery_run(network, at).map(|run| run.0 / 60.0),
        fuel_l: used.fuel(network, at, setup).map(|fuel| fuel.0),
    }
}

fn head<'a>(network: &'a Network, at: HeadAt, used: &HeadUse, may_drop: Option<&Vec<RcdAt>>) -> Head<'a> {
    let node = &network.heads[at];
    let circuit = used.socket.and_then(|socket| network.sockets[socket].circuit);
    Head {
        socket: used.socket.map(|socket| network.socket_id(socket).as_str()),
        circuit: circuit.map(|circuit| network.circuit_id(circuit).as_str()),
        amps: used.amps.0,
        lead_m: used.lead.0,
        lead_needed_m: used.lead_needed.map(|needed| needed.0),
        volts: used.arriving.map(|volts| volts.0),
        drop_percent: used.drop_percent(),
        light_percent: used.light_percent(node),
        colour_k: used.colour(node).map(|colour| colour.0),
        strike: used.strike,
        may_drop: may_drop
            .map_or_else(Vec::new, |rcds| rcds.iter().map(|at| network.rcd_id(*at).as_str()).collect()),
    }
}

fn found<'a>(network: &'a Network, finding: &'a Finding) -> Found<'a> {
    Found {
        rule: finding.rule.id,
        severity: finding.severity.word(),
        setup: finding.setup.map(|setup| network.setup_id(setup).as_str()),
        subject: finding.subject.path(network),
        value: finding.crossing.map(|crossing| crossing.value),
        limit: finding.crossing.map(|crossing| crossing.limit),
        unit: finding.crossing.map(|crossing| crossing.unit),
        text: &finding.text,
        remedy: &finding.remedy,
        source: finding.rule.source,
        assumed: finding.assumed,
    }
}

fn head_ids<'a>(network: &'a Network, heads: &[HeadAt]) -> Vec<&'a str> {
    heads.iter().map(|head| network.head_id(*head).as_str()).collect()
}
