//! Builds the network from the plan, top down.

use std::sync::Arc;

use crate::id::{CableId, CircuitId, HeadId, OutletId, RcdId, RoomId, SetupId, SupplyId};
use crate::library::{Outlet, Region, library};
use crate::network::head::fuse;
use crate::network::neutral::shared_neutrals;
use crate::network::place::{dense, index_of};
use crate::network::ramp::{base_load, take_readings};
use crate::network::setup::placed;
use crate::network::socket::{sockets, terminals};
use crate::network::upstream::{FinishedReaches, Reaches};
use crate::network::{
    At, BaseNode, BlockNode, CableNode, CircuitAt, CircuitNode, Dense, HeadAt, HeadNode, Known, Network,
    Origin, Place, PlacedHead, RcdAt, RcdNode, ReachAt, SetupAt, SetupNode, SupplyAt, SupplyNode,
};
use crate::physics::breaker::warm_rating;
use crate::physics::cable::{Laid, Printed, carries, conductor_resistance};
use crate::plan::{Cable, Circuit, Head, Line, Plan, Rcd, RcdClass, Setup, Supply, SupplyKind, Wiring};
use crate::unit::{Amps, Leakage, MilliAmps};

/// What of a network of before still holds for the plan, so that it need not be resolved anew.
#[derive(Default)]
pub(super) struct Kept {
    pub heads: Option<Dense<HeadAt, HeadNode>>,
    pub setups: Option<Dense<SetupAt, SetupNode>>,
}

pub(super) fn network(plan: Arc<Plan>, kept: Kept) -> Network {
    let region = plan.location.region.unwrap_or_default().region();
    let supplies: Dense<SupplyAt, _> =
        dense(&plan.supplies, |id, supply| supply_node(&plan, region, id, supply));
    let mut circuits: Dense<CircuitAt, _> =
        dense(&plan.circuits, |id, circuit| circuit_node(&plan, region, id, circuit));
    let mut rcds: Dense<RcdAt, _> = dense(&plan.rcds, |id, rcd| rcd_node(&plan, region, id, rcd));
    let mut reaches = Reaches::new(&plan, &circuits, &rcds, &supplies);
    let (mut sockets, plates) = sockets(&plan, region, &mut reaches);
    let reaches = reaches.finish();
    settle_circuits(&mut circuits, &reaches);
    let neutrals = shared_neutrals(&plan, &mut circuits, &supplies);
    for (_, socket) in sockets.iter_mut() {
        socket.terminals = terminals(socket, &reaches.all[socket.reach], &supplies, region);
    }
    for (at, circuit) in circuits.iter() {
        if let Some(socket) = circuit.from {
            sockets[socket].feeds.push(at);
        }
    }
    for (circuit, reach) in reaches.by_circuit.iter() {
        for rcd in reaches.all[*reach].certain_rcds() {
            rcds[rcd].darkens.push(circuit);
        }
    }
    let heads =
        kept.heads.unwrap_or_else(|| dense(&plan.heads, |id, head| head_node(&plan, region, id, head)));
    take_readings(&plan, &heads, &sockets, &reaches.all, &mut rcds);
    let cables = dense(&plan.cables, |id, cable| cable_node(&plan, region, id, cable));
    let blocks = dense(&plan.blocks, |id, block| {
        let (plug_id, plug) = plug(region, block.plug.as_ref());
        BlockNode {
            id: id.clone(),
            plug,
            plug_id,
            ways: Known::or(block.ways, Origin::Default, 1),
            rated: block.rated,
            fuse: fuse(block.fuse, plug.value),
            count: block.count,
        }
    });
    let setups = kept.setups.unwrap_or_else(|| dense(&plan.setups, |id, setup| setup_node(&plan, id, setup)));
    Network {
        lengths: region.words.length,
        region,
        supplies,
        rcds,
        circuits,
        neutrals,
        sockets,
        plates,
        heads,
        cables,
        blocks,
        setups,
        reaches: reaches.all,
        plan,
    }
}

fn supply_node(plan: &Plan, region: &Region, id: &SupplyId, supply: &Supply) -> SupplyNode {
    let wiring = Known::or(supply.wiring, Origin::Default, Wiring::One);
    let volts = Known::or(supply.volts, Origin::Region, region.volts);
    let lines = match wiring.value {
        Wiring::One => 1.0,
        Wiring::Split => 2.0,
        Wiring::Star => 3.0,
    };
    let by_kva = supply
        .kva
        .filter(|_| supply.kind == SupplyKind::Generator)
        .map(|kva| Known { value: Amps(1000.0 * kva.0 / (volts.value.0 * lines)), origin: Origin::Default });
    SupplyNode {
        id: id.clone(),
        kind: supply.kind,
        wiring,
        volts,
        limit: supply.limit.map(|value| Known { value, origin: Origin::Plan }).or(by_kva),
        contract: supply.contract,
        small_floating: SupplyNode::is_small_floating(supply),
        place: Place::new(plan, supply.room.as_ref().map(RoomId::as_str), supply.at),
    }
}

fn circuit_node(plan: &Plan, region: &Region, id: &CircuitId, circuit: &Circuit) -> CircuitNode {
    let breaker = Known::or(circuit.breaker, Origin::Region, region.smallest_breaker_a);
    CircuitNode {
        id: id.clone(),
        supply: circuit.supply.as_ref().and_then(|id| index_of(&plan.supplies, id.as_str())),
        from: circuit.from.as_ref().and_then(|id| index_of(&plan.sockets, id.as_str())),
        line: circuit.line.unwrap_or(Line::L1),
        reach: ReachAt::new(0),
        breaker,
        breaker_warm: plan
            .location
            .ambient
            .map_or(breaker.value, |ambient| warm_rating(breaker.value, ambient)),
        curve: Known::or(circuit.curve, Origin::Region, region.curve),
        neutral: None,
        rcds: rcd_chain(plan, circuit.rcd.as_ref().map(RcdId::as_str)),
        base: circuit
            .base
            .iter()
            .map(|base| BaseNode {
                name: base.name.clone(),
                amps: base.amps,
                leak: Known::or(base.leak, Origin::Default, Leakage::ZERO),
                owner_can_switch_off: base.owner_can_switch_off,
            })
            .collect(),
    }
}

/// An RCD and those upstream of it, nearest first; a loop, which the reader reports, ends it.
fn rcd_chain(plan: &Plan, first: Option<&str>) -> Vec<RcdAt> {
    let mut chain = Vec::new();
    let mut next = first.and_then(|id| plan.rcds.get_full(id));
    while let Some((index, _, rcd)) = next {
        let at = RcdAt::new(index);
        if chain.contains(&at) {
            break;
        }
        chain.push(at);
        next = rcd.behind.as_ref().and_then(|id| plan.rcds.get_full(id.as_str()));
    }
    chain
}

fn rcd_node(plan: &Plan, region: &Region, id: &RcdId, rcd: &Rcd) -> RcdNode {
    let class = Known::or(rcd.class, Origin::Region, region.rcd_class);
    let rated = if class.value == region.rcd_class { region.rcd_rated_ma } else { usual_rating(class.value) };
    RcdNode {
        id: id.clone(),
        rated: Known::or(rcd.rated, Origin::Region, rated),
        class,
        kind: rcd.kind,
        poles: rcd.poles,
        upstream: rcd_chain(plan, rcd.behind.as_ref().map(RcdId::as_str)),
        darkens: Vec::new(),
        reserve: rcd.reserve,
        readings: Vec::new(),
    }
}

/// Rating of a device of a class that is not the region's usual one: IEC 61008-1's for protection
/// of persons, UL 943's for class A.
const fn usual_rating(class: RcdClass) -> MilliAmps {
    match class {
        RcdClass::Rcd | RcdClass::Portable => MilliAmps(30.0),
        RcdClass::Gfci => MilliAmps(6.0),
    }
}

fn cable_node(plan: &Plan, region: &Region, id: &CableId, cable: &Cable) -> CableNode {
    let (plug_id, plug) = plug(region, cable.plug.as_ref());
    let code = plan.location.region.unwrap_or_default();
    let printed = Printed { rated: cable.rated, wound: cable.reel_rated };
    let laid = if cable.on_reel { Laid::Wound } else { Laid::Out };
    CableNode {
        id: id.clone(),
        length: cable.length,
        plug,
        plug_id,
        fuse: fuse(cable.fuse, plug.value),
        conductor: conductor_resistance(cable.size, cable.length),
        carries: [1, 2, 3].map(|lines| carries(code, cable.size, printed, laid, lines)),
        is_printed: cable.rated.is_some(),
        wound_is_over: printed
            .wound
            .zip(carries(code, cable.size, printed, Laid::Out, 1))
            .is_some_and(|(wound, out)| wound.is_over(out)),
        laid,
        count: cable.count,
    }
}

pub(super) fn plug(region: &Region, given: Option<&OutletId>) -> (OutletId, Known<Option<&'static Outlet>>) {
    let id = given.unwrap_or(&region.outlet).clone();
    let origin = if given.is_some() { Origin::Plan } else { Origin::Region };
    let plug = library().outlets.get(id.as_str());
    (id, Known { value: plug, origin })
}

/// A circuit that is fed from a socket has the supply of that socket.
fn settle_circuits(circuits: &mut Dense<CircuitAt, CircuitNode>, reaches: &FinishedReaches) {
    for (at, circuit) in circuits.iter_mut() {
        circuit.reach = reaches.by_circuit[at];
        let reach = &reaches.all[circuit.reach];
        if circuit.from.is_some() {
            circuit.supply = reach.supply();
        }
        if let (Some(supply), [only]) = (circuit.supply, reach.supplies.as_slice())
            && only.what.0 == supply
        {
            circuit.line = only.what.1;
        }
    }
}

pub(super) fn head_node(plan: &Plan, region: &Region, id: &HeadId, head: &Head) -> HeadNode {
    let place = Place::new(plan, head.room.as_ref().map(RoomId::as_str), head.at);
    HeadNode::new(id, head, region, place)
}

/// Where a head is plugged in for a setup: where that setup says, or else where the head does.
pub(super) fn placed_in(plan: &Plan, setup: &Setup, id: &HeadId, head: &Head) -> Option<PlacedHead> {
    let placement = match setup.sockets.get(id) {
        Some(own) => own.as_ref(),
        None => head.placement.as_ref(),
    };
    placement.and_then(|placement| placed(plan, placement))
}

pub(super) fn setup_node(plan: &Plan, id: &SetupId, setup: &Setup) -> SetupNode {
    let find = |ids: &[HeadId]| -> Vec<HeadAt> {
        ids.iter().filter_map(|id| index_of(&plan.heads, id.as_str())).collect()
    };
    let on = find(&setup.on);
    let mut is_on = Dense::filled(plan.heads.len(), false);
    for head in &on {
        is_on[*head] = true;
    }
    let placed = dense(&plan.heads, |id, head| placed_in(plan, setup, id, head));
    SetupNode {
        id: id.clone(),
        minutes: setup.minutes,
        start: setup.start,
        on,
        is_on,
        placed,
        strike: find(&setup.strike),
        base_off: setup.base_off.iter().filter_map(|base| base_load(plan, base)).collect(),
        weather: setup.weather.or(plan.location.weather).unwrap_or_default(),
    }
}
