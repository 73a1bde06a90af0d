//! Changes of what is asked of the house: pins, tests, base loads, setups.

use indexmap::IndexMap;

use crate::id::{HeadId, SetupId};
use crate::network::{HeadAt, Network, SetupAt, SocketAt};
use crate::order::Order as _;
use crate::plan::{ClockTime, Plan, Setup, SupplyKind, TestOutcome};
use crate::rule::words::{list, number};
use crate::unit::{MilliAmps, Minutes};

use super::super::super::Sources;
use super::super::super::build::is_fed_by;
use super::super::super::why::switch_offs;
use super::super::house::is_pinned;
use super::{Asks, Case, Change, Kind};

/// Minutes of a day.
const DAY: u32 = 24 * 60;

/// Pins that are let go: those of heads that stay dark, else all.
pub(super) fn unpin(case: &Case<'_>) -> Kind {
    let all: Vec<HeadAt> =
        case.network.heads.indices().filter(|head| is_pinned(case.network, *head)).collect();
    let without = |heads: &[HeadAt]| {
        let mut plan = case.plan();
        for head in heads {
            if let Some(head) = plan.heads.get_mut(case.network.head_id(*head).as_str()) {
                head.pinned = false;
            }
        }
        plan
    };
    let change = |heads: &[HeadAt]| {
        let names = list(heads.iter().map(|head| case.network.head_id(*head)));
        Change::of(without(heads), Asks::Crew, format!("unpin {names}: moved, everything fits"))
    };
    let mut changes: Vec<Change> =
        all.iter().take(FEW).map(|head| change(std::slice::from_ref(head))).collect();
    if all.len() > 1 {
        changes.push(change(&all));
    }
    Kind { at_best: (all.len() > 1).then(|| without(&all)), changes }
}

/// So many single changes of a kind are tried.
const FEW: usize = 6;

/// The tester put into sockets that nobody tested yet.
pub(super) fn test(case: &Case<'_>) -> Kind {
    let network = case.network;
    let untested: Vec<_> = network
        .sockets
        .indices()
        .filter(|at| {
            network.sockets[*at].test == TestOutcome::Untested && is_fed_by(network, *at, Sources::Mains)
        })
        .collect();
    if untested.is_empty() {
        return Kind::default();
    }
    let mut plan = case.plan();
    for at in &untested {
        if let Some(socket) = plan.sockets.get_mut(network.socket_id(*at).as_str()) {
            socket.test = Some(TestOutcome::Ok);
        }
    }
    let told = move |proof: &super::Assignment| {
        let after = &proof.network;
        let is_used = |at: &SocketAt| {
            after.setups.iter().any(|(_, setup)| {
                after.heads.indices().any(|head| {
                    setup.is_on[head]
                        && setup.placed[head].as_ref().is_some_and(|placed| placed.socket == *at)
                })
            })
        };
        let used = untested.iter().filter(|at| is_used(at)).map(|at| after.socket_id(*at));
        format!("put the tester into {}: if it finds nothing wrong there, everything fits", list(used))
    };
    let change = Change { told: Some(Box::new(told)), ..Change::of(plan, Asks::Crew, String::new()) };
    Kind { at_best: None, changes: vec![change] }
}

/// Base loads switched off by their owner, who agreed to it; one, else all.
pub(super) fn switch_off(case: &Case<'_>) -> Kind {
    let each = switch_offs(case.network);
    let mut all = case.plan();
    for (_, setup) in &mut all.setups {
        for (circuit, name, _) in &each {
            let off = crate::plan::BaseLoadRef { circuit: circuit.as_str().into(), name: name.clone() };
            if !setup.base_off.contains(&off) {
                setup.base_off.push(off);
            }
        }
    }
    let (mut sum, mut names, mut changes) = (0.0, Vec::new(), Vec::new());
    for (circuit, name, plan) in &each {
        let (gains, unit) = gain(case, circuit, name);
        sum += gains;
        names.push(format!("{circuit}'s {name}"));
        let action = format!("ask the owner to switch {circuit}'s {name} off");
        changes.push(Change::of(plan.clone(), Asks::Owner, action).gaining(gains, unit));
    }
    changes.order_by(|a, b| a.gains.unwrap_or(0.0).total_cmp(&b.gains.unwrap_or(0.0)));
    changes.truncate(FEW);
    if each.len() > 1 {
        let unit = changes.first().map_or("A", |change| change.unit);
        let action = format!("ask the owner to switch {} off", list(names));
        changes.push(Change::of(all.clone(), Asks::Owner, action).gaining(sum, unit));
    }
    Kind { at_best: (each.len() > 1).then_some(all), changes }
}

/// What a base load that is off leaves to heads, in the unit that the reason is counted in.
fn gain(case: &Case<'_>, circuit: &str, name: &str) -> (f64, &'static str) {
    let network = case.network;
    let base = network
        .plan
        .circuits
        .get(circuit)
        .and_then(|circuit| circuit.base.iter().find(|base| base.name.as_deref() == Some(name)));
    let Some(base) = base else { return (0.0, "A") };
    let supply = network.circuit(circuit).and_then(|at| network.circuits[at].supply);
    let volts = supply.map_or(network.region.volts, |at| network.supplies[at].volts.value);
    match case.why.unit {
        "mA" => (freed(case, circuit, name).0, "mA"),
        "kW" => (base.amps.0 * volts.0 / 1000.0, "kW"),
        _ => (base.amps.0, "A"),
    }
}

/// Room on the nearest RCD that a base load leaves once it is off: its leakage where that is known, else what
/// ramp tests with it and without it say.
fn freed(case: &Case<'_>, circuit: &str, name: &str) -> MilliAmps {
    let room = |plan: Plan| {
        let network = Network::of(std::sync::Arc::new(plan));
        let rcd = network.circuit(circuit).and_then(|at| network.circuits[at].rcds.first().copied());
        let setup = network.setups.indices().next();
        let (Some(rcd), Some(setup)) = (rcd, setup) else { return MilliAmps::ZERO };
        let used = crate::assess::assess(&network);
        let used = &used.setups[setup].rcds[rcd];
        used.room.room.low
    };
    let off = crate::plan::BaseLoadRef { circuit: circuit.into(), name: name.to_owned() };
    let mut without = case.plan();
    for (_, setup) in &mut without.setups {
        setup.base_off.push(off.clone());
    }
    room(without) - room(case.plan())
}

/// Battery stations that the plan has.
pub(super) fn own_battery(case: &Case<'_>) -> Kind {
    let stations: Vec<_> = case
        .network
        .supplies
        .iter()
        .filter(|(_, supply)| supply.kind == SupplyKind::Battery)
        .map(|(_, supply)| supply.id.clone())
        .collect();
    if stations.is_empty() {
        return Kind::default();
    }
    let action = format!("keep battery station {} of the plan: with it no engine is needed", list(stations));
    let change = Change::of(case.plan(), Asks::Crew, action);
    Kind { at_best: None, changes: vec![Change { sources: Sources::MainsAndBatteries, ..change }] }
}

/// A setup in two, the heads that stay dark in one of their own: one setup, else all that have both; or one no
/// longer than its contract bears.
pub(super) fn split(case: &Case<'_>) -> Kind {
    let setups: Vec<SetupAt> =
        case.network.setups.indices().filter(|at| !away(case, *at).is_empty()).collect();
    let mut changes: Vec<Change> = shorter(case).into_iter().collect();
    changes.extend(setups.iter().take(FEW).filter_map(|at| in_two(case, &[*at])));
    if setups.len() > 1 {
        changes.extend(in_two(case, &setups));
    }
    Kind { at_best: None, changes }
}

/// Heads of a setup that stay dark; none where no others are on with them.
fn away(case: &Case<'_>, at: SetupAt) -> Vec<HeadId> {
    let node = &case.network.setups[at];
    let others = case.network.heads.indices().any(|head| node.is_on[head] && !case.dark.contains(&head));
    let dark = case.dark.iter().filter(|head| others && node.is_on[**head]);
    dark.map(|head| case.network.head_id(*head).clone()).collect()
}

fn in_two(case: &Case<'_>, which: &[SetupAt]) -> Option<Change> {
    let network = case.network;
    let mut plan = case.plan();
    let mut told = Vec::new();
    let mut setups: IndexMap<SetupId, Setup> = IndexMap::new();
    for at in network.setups.indices() {
        let id = network.setup_id(at);
        let mut first = plan.setups.get(id.as_str())?.clone();
        if !which.contains(&at) {
            setups.insert(id.clone(), first);
            continue;
        }
        let away = away(case, at);
        let mut second = first.clone();
        second.on.retain(|head| away.contains(head));
        second.strike.retain(|head| away.contains(head));
        first.on.retain(|head| !away.contains(head));
        first.strike.retain(|head| !away.contains(head));
        second.start = first.start.map(|start| later(start, first.minutes));
        told.push(format!("{id}, with {} in a setup of their own", list(&away)));
        setups.insert(id.clone(), first);
        let mut name = format!("{id}-2");
        while network.plan.setups.contains_key(name.as_str()) || setups.contains_key(name.as_str()) {
            name.push('2');
        }
        setups.insert(name.as_str().into(), second);
    }
    plan.setups = setups;
    (!told.is_empty()).then(|| Change::of(plan, Asks::Crew, format!("split {}", told.join("; split "))))
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "minutes of a setup, 1 to 10080")]
fn later(start: ClockTime, by: Minutes) -> ClockTime {
    ClockTime { minutes: (start.minutes + by.0.round() as u32) % DAY }
}

/// Setups no longer than the contract may be passed for.
fn shorter(case: &Case<'_>) -> Option<Change> {
    let grace = case.network.region.contract_grace.iter().find_map(|step| step.minutes_a_day)?;
    if case.why.limit != "contract-over" {
        return None;
    }
    let mut plan = case.plan();
    let mut told = Vec::new();
    let mut gains = 0.0;
    for (id, setup) in &mut plan.setups {
        if setup.minutes.is_over(grace) {
            gains += (setup.minutes - grace).0;
            setup.minutes = grace;
            told.push(id.clone());
        }
    }
    let action =
        format!("burn {} for {} min at most: the contract bears that a day", list(&told), number(grace.0));
    (!told.is_empty()).then(|| Change::of(plan, Asks::Crew, action).gaining(gains, "min"))
}
