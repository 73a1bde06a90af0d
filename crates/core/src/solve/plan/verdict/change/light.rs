//! Changes of the heads themselves: another class, or a battery station for a small one.

use crate::id::ClassId;
use crate::library::{HeadClass, HeadFamily, library};
use crate::network::{HeadAt, Network};
use crate::order::Order as _;
use crate::physics::generator::PLANNED_SHARE;
use crate::plan::{Head, Plan};
use crate::rule::words::{list, number};
use crate::unit::{KiloWattHours, KiloWatts, Watts};

use super::super::electric;
use super::{Asks, Case, Change, Kind};

/// So many steps down are tried, and so many heads on a station.
const FEW: usize = 5;
/// The least power factor of a class that is offered in exchange.
const CORRECTED: f64 = 0.95;
/// The most that one portable battery station is asked for, and its energy (typical, from memory).
const STATION: (KiloWatts, KiloWattHours) = (KiloWatts(1.0), KiloWattHours(3.0));

/// Watts of a head, where it gives light and they are known.
fn watts(network: &Network, head: HeadAt) -> Option<Watts> {
    let node = &network.heads[head];
    let gives_light = node.family != Some(HeadFamily::Other);
    gives_light.then(|| Watts(1000.0 * electric::real(network, head).0))
}

/// Classes of a family under so many watts, the largest first.
fn under(family: HeadFamily, watts: Watts) -> Vec<(&'static ClassId, &'static HeadClass)> {
    let mut classes: Vec<_> = library()
        .heads
        .iter()
        .filter(|(_, class)| {
            class.family == family && class.power_factor >= CORRECTED && watts.is_over(class.watts)
        })
        .collect();
    classes.order_by(|a, b| b.1.watts.total_cmp(a.1.watts));
    classes
}

/// A head of another class in its stead: what its plate said no longer holds.
fn exchanged(head: &Head, class: &ClassId) -> Head {
    Head {
        class: Some(class.clone()),
        name: head.name.clone(),
        room: head.room.clone(),
        at: head.at,
        tail: head.tail,
        placement: head.placement.clone(),
        pinned: head.pinned,
        importance: head.importance,
        ..Head::default()
    }
}

/// The dark heads, each a step or several down in its own family.
pub(super) fn smaller(case: &Case<'_>) -> Kind {
    let step = |steps: usize| {
        exchange(case, |head, watts| {
            let family = case.network.heads[head].family?;
            let classes = under(family, watts);
            Some((*classes.get(steps)?, 1))
        })
    };
    Kind { at_best: None, changes: (0..FEW).filter_map(step).collect() }
}

/// The dark heads as LED heads, two for one where they draw less, else one for one.
pub(super) fn led(case: &Case<'_>) -> Kind {
    let step = |(steps, count): (usize, u32)| {
        exchange(case, |head, watts| {
            // In their own family they were offered already.
            if case.network.heads[head].family == Some(HeadFamily::Led) {
                return None;
            }
            let classes = under(HeadFamily::Led, watts / f64::from(count));
            Some((*classes.get(steps)?, count))
        })
    };
    let steps = (0..FEW).flat_map(|steps| [(steps, 2), (steps, 1)]);
    Kind { at_best: None, changes: steps.filter_map(step).collect() }
}

type Offer = ((&'static ClassId, &'static HeadClass), u32);

/// Every dark head exchanged for what is offered for it; `None` where there is nothing to offer for any.
fn exchange(case: &Case<'_>, offer: impl Fn(HeadAt, Watts) -> Option<Offer>) -> Option<Change> {
    let mut plan = case.plan();
    let (mut told, mut before, mut exchanged_heads) = (Vec::new(), 0.0, Vec::new());
    let mut unit = "A";
    for head in &case.dark {
        let id = case.network.head_id(*head);
        let Some(((class, _), count)) = watts(case.network, *head).and_then(|watts| offer(*head, watts))
        else {
            continue;
        };
        exchanged_heads.push(*head);
        let new = exchanged(plan.heads.get(id.as_str())?, class);
        plan.heads.insert(id.clone(), new.clone());
        for _ in 1..count {
            twin(&mut plan, id.as_str(), Head { placement: None, pinned: false, ..new.clone() });
        }
        let taken = case.taken_by(*head);
        before += taken.0;
        unit = taken.1;
        let times = if count > 1 { format!("{count} × ") } else { String::new() };
        told.push(format!("{id} for {times}{class}"));
    }
    if told.is_empty() {
        return None;
    }
    let after = taken_in(case, &plan, &exchanged_heads);
    let action = format!("exchange {}", list(told));
    Some(Change::of(plan, Asks::Crew, action).gaining(before - after, unit))
}

/// What exchanged heads, and those beside them, take in a changed plan.
fn taken_in(case: &Case<'_>, plan: &Plan, exchanged: &[HeadAt]) -> f64 {
    let network = Network::of(std::sync::Arc::new(plan.clone()));
    let changed = Case { network: &network, house: case.house, why: case.why, dark: Vec::new() };
    let is_old = |head: HeadAt| {
        let id = network.head_id(head);
        case.network.head(id.as_str()).is_some_and(|old| !exchanged.contains(&old))
    };
    network.heads.indices().filter(|head| !is_old(*head)).map(|head| changed.taken_by(head).0).sum()
}

/// A second head beside one, on whenever that is.
fn twin(plan: &mut Plan, id: &str, head: Head) {
    let mut name = format!("{id}-2");
    while plan.heads.contains_key(name.as_str()) {
        name.push('2');
    }
    plan.heads.insert(name.as_str().into(), head);
    for (_, setup) in &mut plan.setups {
        if setup.on.iter().any(|on| on.as_str() == id) {
            setup.on.push(name.as_str().into());
        }
    }
}

/// One small head on a battery station, the smallest first.
pub(super) fn battery(case: &Case<'_>) -> Kind {
    let network = case.network;
    let energy = |head: HeadAt| {
        KiloWattHours(electric::real(network, head).0 * electric::minutes_on(network, head).0 / 60.0)
    };
    let is_small = |head: &HeadAt| {
        let kw = electric::real(network, *head);
        !kw.is_over(STATION.0) && !energy(*head).is_over(STATION.1)
    };
    let mut small: Vec<HeadAt> = electric::on_anywhere(network).into_iter().filter(is_small).collect();
    small.order_by(|a, b| electric::real(network, *a).total_cmp(electric::real(network, *b)));
    let off = |heads: &[HeadAt]| {
        let mut plan = case.plan();
        for (_, setup) in &mut plan.setups {
            let stays = |id: &crate::id::HeadId| heads.iter().all(|head| network.head_id(*head) != id);
            setup.on.retain(|id| stays(id));
            setup.strike.retain(|id| stays(id));
        }
        // Unplugged from the house, so that nothing of it leaks there.
        for head in heads {
            if let Some(head) = plan.heads.get_mut(network.head_id(*head).as_str()) {
                (head.placement, head.pinned) = (None, false);
            }
        }
        plan
    };
    let change = |head: &HeadAt| {
        let kw = electric::real(network, *head);
        let action = format!(
            "run {} from a battery station: {} kW to plan with, {} kWh",
            network.head_id(*head),
            number((kw / PLANNED_SHARE).0),
            number(energy(*head).0)
        );
        let (gains, unit) = case.taken_by(*head);
        Change::of(off(std::slice::from_ref(head)), Asks::Crew, action).gaining(gains, unit)
    };
    let changes: Vec<Change> = small.iter().take(FEW).map(change).collect();
    Kind { at_best: (changes.len() > 1).then(|| off(&small)), changes }
}
