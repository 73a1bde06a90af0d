//! The JSON of `strike`: keys are added, never renamed.

use ampwalk_core::assess::{Step, may_drop};
use ampwalk_core::network::{HeadAt, Network};
use ampwalk_core::physics::residual::{odds, outcome};
use ampwalk_core::plan::FORMAT_VERSION;
use indexmap::IndexMap;
use serde::Serialize;

use super::{Cost, Order};
use crate::output::as_json;
use crate::trouble::Trouble;

#[derive(Serialize)]
struct Report<'a> {
    ampwalk: u32,
    setups: IndexMap<&'a str, Setup<'a>>,
}

#[derive(Serialize)]
struct Setup<'a> {
    /// The part of the order that the crew insists on.
    own_order: Vec<&'a str>,
    order: Vec<&'a str>,
    /// RCDs that the order is best for but a breaker, which another order spares.
    spared_breakers: Vec<&'a str>,
    steps: Vec<StepOf<'a>>,
    costs: Option<Costs<'a>>,
}

#[derive(Serialize)]
struct StepOf<'a> {
    head: &'a str,
    socket: &'a str,
    circuits: Vec<CircuitOf<'a>>,
    rcds: Vec<RcdOf<'a>>,
    may_drop: Vec<&'a str>,
}

#[derive(Serialize)]
struct CircuitOf<'a> {
    circuit: &'a str,
    certain: bool,
    striking_a: f64,
    lit_a: f64,
    possible_striking_a: f64,
    possible_lit_a: f64,
    limit_a: f64,
}

#[derive(Serialize)]
struct RcdOf<'a> {
    rcd: &'a str,
    certain: bool,
    striking_ma: f64,
    lit_ma: f64,
    possible_striking_ma: f64,
    possible_lit_ma: f64,
    room_ma: [Option<f64>; 2],
    outcome: &'static str,
    odds: f64,
}

#[derive(Serialize)]
struct Costs<'a> {
    best_order: Vec<&'a str>,
    rcds: Vec<RcdCost<'a>>,
    circuits: Vec<CircuitCost<'a>>,
}

#[derive(Serialize)]
struct RcdCost<'a> {
    rcd: &'a str,
    peak_ma: f64,
    best_peak_ma: f64,
    odds: f64,
    best_odds: f64,
}

#[derive(Serialize)]
struct CircuitCost<'a> {
    circuit: &'a str,
    start_peak_a: f64,
    best_start_peak_a: f64,
}

pub(super) fn text(network: &Network, orders: &[Order<'_>]) -> Result<String, Trouble> {
    let setups = orders.iter().map(|order| (network.setup_id(order.setup).as_str(), setup(network, order)));
    let report = Report { ampwalk: FORMAT_VERSION, setups: setups.collect() };
    as_json(&report)
}

fn ids<'a>(network: &'a Network, heads: &[HeadAt]) -> Vec<&'a str> {
    heads.iter().map(|head| network.head_id(*head).as_str()).collect()
}

fn setup<'a>(network: &'a Network, order: &Order<'_>) -> Setup<'a> {
    let spared = order.used.spared_breakers.iter();
    Setup {
        own_order: ids(network, &network.setups[order.setup].strike),
        order: ids(network, &order.used.strike_order),
        spared_breakers: spared.map(|at| network.circuit_id(*at).as_str()).collect(),
        steps: order.steps.iter().map(|step| step_of(network, order, step)).collect(),
        costs: order.cost.as_ref().map(|cost| costs(network, cost)),
    }
}

fn step_of<'a>(network: &'a Network, order: &Order<'_>, step: &Step) -> StepOf<'a> {
    let circuits = step.circuits.iter().map(|part| CircuitOf {
        circuit: network.circuit_id(part.circuit).as_str(),
        certain: part.certain,
        striking_a: part.striking.certain.0,
        lit_a: part.lit.certain.0,
        possible_striking_a: part.striking.possible.0,
        possible_lit_a: part.lit.possible.0,
        limit_a: order.used.circuits[part.circuit].limit.0,
    });
    let rcds = step.rcds.iter().map(|part| {
        let room = order.used.rcds[part.rcd].room.room;
        RcdOf {
            rcd: network.rcd_id(part.rcd).as_str(),
            certain: part.certain,
            striking_ma: part.striking.certain.0,
            lit_ma: part.lit.certain.0,
            possible_striking_ma: part.striking.possible.0,
            possible_lit_ma: part.lit.possible.0,
            room_ma: [Some(room.low.0), room.high.map(|high| high.0)],
            outcome: outcome(part.striking.possible, room).word(),
            odds: odds(part.striking.possible, room),
        }
    });
    StepOf {
        head: network.head_id(step.head).as_str(),
        socket: network.socket_id(step.socket).as_str(),
        circuits: circuits.collect(),
        rcds: rcds.collect(),
        may_drop: may_drop(order.used, step).into_iter().map(|at| network.rcd_id(at).as_str()).collect(),
    }
}

fn costs<'a>(network: &'a Network, cost: &Cost) -> Costs<'a> {
    let rcds = cost.rcds.iter().map(|(at, own, best)| RcdCost {
        rcd: network.rcd_id(*at).as_str(),
        peak_ma: own.milliamps,
        best_peak_ma: best.milliamps,
        odds: own.odds,
        best_odds: best.odds,
    });
    let circuits = cost.circuits.iter().map(|(at, own, best)| CircuitCost {
        circuit: network.circuit_id(*at).as_str(),
        start_peak_a: *own,
        best_start_peak_a: *best,
    });
    Costs { best_order: ids(network, &cost.best_order), rcds: rcds.collect(), circuits: circuits.collect() }
}
