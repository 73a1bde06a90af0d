//! Changes of what is on the truck: splitters and leads.

use itertools::Itertools as _;

use crate::id::{BlockId, CableId, HeadId, LeadId, OutletId, SocketId};
use crate::library::{RegionCode, library};
use crate::network::{HeadAt, Network, SocketAt, lead_needed};
use crate::order::Order as _;
use crate::plan::{Block, Cable, ConductorSize, Placement, Plan};
use crate::rule::words::number;
use crate::unit::Metres;

use super::super::super::Wishes;
use super::super::super::build::may_be_used;
use super::super::electric;
use super::super::house::House;
use super::{Asks, Case, Change, Kind, Sources};

/// So many sockets are tried with a splitter, and so many types of lead.
const FEW: usize = 6;
/// Choices of heads that go on a splitter together which are tried.
const MOST_ON_IT: usize = 20;
/// Ways of a splitter where the truck has none.
const THREE_WAY: u32 = 3;
/// Lengths of a lead that crews carry (common practice, no source).
const LENGTHS: [f64; 7] = [5.0, 10.0, 15.0, 20.0, 30.0, 50.0, 75.0];

/// Limits that a lead could lift.
const OF_LEADS: [&str; 4] = ["cable-short", "drop-high", "chain-long", "cable-hot"];

/// Sockets that may be used, those nearest to the dark heads first.
pub(super) fn near(case: &Case<'_>) -> Vec<SocketAt> {
    let network = case.network;
    let wishes = Wishes { sources: Sources::Mains, ..Wishes::default() };
    let mut sockets: Vec<SocketAt> =
        network.sockets.indices().filter(|at| may_be_used(network, *at, wishes)).collect();
    let metres = |at: SocketAt| {
        let to = |head: &HeadAt| needed(network, at, *head).map_or(f64::MAX, |metres| metres.0);
        case.dark.iter().map(to).fold(f64::MAX, f64::min)
    };
    sockets.order_by(|a, b| metres(*a).total_cmp(&metres(*b)));
    sockets
}

fn needed(network: &Network, socket: SocketAt, head: HeadAt) -> Option<Metres> {
    let node = &network.heads[head];
    lead_needed(&network.sockets[socket].place, &node.place, network.plan.location.stair, node.tail)
}

/// A splitter at a socket: one of the truck's where it plugs in, else a three-way.
pub(super) fn block(case: &Case<'_>) -> Kind {
    let network = case.network;
    let sockets = near(case);
    let mut at_best = case.plan();
    let mut changes = Vec::new();
    for at in sockets {
        let id = network.socket_id(at).clone();
        let Some((block, table)) = block_for(network, at) else { continue };
        let ways = table.ways.unwrap_or(1);
        let before = network.sockets[at].ways.value;
        if ways < 2 {
            continue;
        }
        let wider = |plan: &mut Plan| {
            if let Some(socket) = plan.sockets.get_mut(id.as_str()) {
                socket.ways = Some(before + ways - 1);
            }
        };
        wider(&mut at_best);
        if changes.len() >= FEW {
            continue;
        }
        let mut plan = case.plan();
        wider(&mut plan);
        plan.blocks.entry(block.clone()).or_insert_with(|| table.clone());
        let action = format!("put block {block}, {ways} ways, into {id}");
        let socket = id.clone();
        changes.push(Change {
            finish: Some(Box::new(move |house: &House| on_block(house, &socket, before, (&block, ways)))),
            ..Change::of(plan, Asks::Crew, action).gaining(f64::from(ways - 1), "ways")
        });
    }
    Kind { at_best: (changes.len() > 1).then_some(at_best), changes }
}

/// The truck's splitter that plugs into a socket, else a three-way of its own kind.
fn block_for(network: &Network, socket: SocketAt) -> Option<(BlockId, Block)> {
    let outlet = network.sockets[socket].outlet.value?;
    let fits = |plug: &OutletId| outlet.accepts(plug);
    let of_truck = network.blocks.iter().find(|(_, node)| fits(&node.plug_id));
    if let Some((_, node)) = of_truck {
        return network
            .plan
            .blocks
            .get_key_value(node.id.as_str())
            .map(|(id, block)| (id.clone(), block.clone()));
    }
    let plug =
        library().outlets.iter().find(|(_, own)| std::ptr::eq(*own, outlet)).map(|(id, _)| id.clone())?;
    let mut id = "three-way".to_owned();
    while network.plan.blocks.contains_key(id.as_str()) || network.plan.cables.contains_key(id.as_str()) {
        id.push('2');
    }
    let block = Block {
        plug: Some(plug),
        ways: Some(THREE_WAY),
        rated: Some(outlet.amps),
        fuse: None,
        count: Some(1),
    };
    Some((id.as_str().into(), block))
}

/// The placement with as many heads as it takes on a splitter, and the socket as it is: those that draw least
/// first, then any others. Nothing where setups place heads there by themselves.
fn on_block(house: &House, socket: &SocketId, ways: u32, (block, block_ways): (&BlockId, u32)) -> Vec<Plan> {
    let network = &house.assignment.network;
    let mut plan = Plan::clone(&network.plan);
    let Some(table) = plan.sockets.get_mut(socket.as_str()) else { return Vec::new() };
    table.ways = Some(ways);
    let is_there = |placement: &Placement| placement.socket == *socket;
    let by_setup = plan.setups.values().flat_map(|setup| setup.sockets.values());
    if by_setup.flatten().any(is_there) {
        return Vec::new();
    }
    let mut there: Vec<HeadId> = plan
        .heads
        .iter()
        .filter(|(_, head)| head.placement.as_ref().is_some_and(is_there))
        .map(|(id, _)| id.clone())
        .collect();
    let most = usize::try_from(ways).unwrap_or(usize::MAX);
    if there.len() <= most {
        return vec![plan];
    }
    let amps = |id: &HeadId| network.head(id.as_str()).map_or(0.0, |at| electric::amps(network, at).0);
    there.order_by(|a, b| amps(a).total_cmp(&amps(b)));
    let on_it = there.len() + 1 - most;
    if on_it > usize::try_from(block_ways).unwrap_or(usize::MAX) {
        return Vec::new();
    }
    let with = |some: Vec<&HeadId>| {
        let mut plan = plan.clone();
        for id in some {
            let placement = plan.heads.get_mut(id.as_str())?.placement.as_mut()?;
            placement.leads.insert(0, LeadId::from(block.as_str()));
        }
        Some(plan)
    };
    there.iter().combinations(on_it).take(MOST_ON_IT).filter_map(with).collect()
}

/// One more of a lead that the truck has.
pub(super) fn lead(case: &Case<'_>) -> Kind {
    let counted: Vec<CableId> = case
        .network
        .plan
        .cables
        .iter()
        .filter(|(_, cable)| cable.count.is_some())
        .map(|(id, _)| id.clone())
        .collect();
    let with_more = |ids: &[CableId], more: u32| {
        let mut plan = case.plan();
        for id in ids {
            if let Some(cable) = plan.cables.get_mut(id.as_str()) {
                cable.count = cable.count.map(|count| count.saturating_add(more));
            }
        }
        plan
    };
    let change = |id: &CableId| {
        let plan = with_more(std::slice::from_ref(id), 1);
        Change::of(plan, Asks::Crew, format!("take one more lead {id} along")).gaining(1.0, "leads")
    };
    let changes = counted.iter().take(FEW).map(change).collect();
    Kind { at_best: (counted.len() > 1).then(|| with_more(&counted, 1)), changes }
}

/// A lead that the truck has not: long enough for the dark heads, and thick enough.
pub(super) fn longer_lead(case: &Case<'_>) -> Kind {
    if !OF_LEADS.contains(&case.why.limit) {
        return Kind::default();
    }
    let network = case.network;
    let reach = |head: &HeadAt| {
        near(case)
            .iter()
            .filter_map(|at| needed(network, *at, *head))
            .map(|metres| metres.0)
            .fold(f64::MAX, f64::min)
    };
    let least = case.dark.iter().map(reach).fold(0.0, f64::max);
    let sizes = if matches!(network.plan.location.region, Some(RegionCode::Us | RegionCode::Ca)) {
        [12, 10, 8].map(ConductorSize::Gauge)
    } else {
        [2.5, 4.0, 6.0].map(ConductorSize::SquareMillimetres)
    };
    let Some(first) = case.dark.first() else { return Kind::default() };
    let plug = network.heads[*first].plug_id.clone();
    let mut changes = Vec::new();
    for length in LENGTHS.into_iter().filter(|length| *length >= least).take(2) {
        for size in sizes {
            let mut plan = case.plan();
            let mut id = "new-lead".to_owned();
            while plan.cables.contains_key(id.as_str()) || plan.blocks.contains_key(id.as_str()) {
                id.push('2');
            }
            let cable = Cable {
                length: Metres(length),
                size,
                plug: Some(plug.clone()),
                rated: None,
                count: u32::try_from(case.dark.len()).ok(),
                reel_rated: None,
                on_reel: false,
                fuse: None,
            };
            plan.cables.insert(id.as_str().into(), cable);
            let count = case.dark.len();
            let action =
                format!("bring {count} × a lead of {} m, {}, plug {plug}", number(length), written(size));
            changes.push(Change::of(plan, Asks::Crew, action).gaining(length, "m"));
        }
    }
    Kind { at_best: None, changes }
}

fn written(size: ConductorSize) -> String {
    match size {
        ConductorSize::SquareMillimetres(area) => format!("{} mm²", number(area)),
        ConductorSize::Gauge(gauge) => format!("AWG {gauge}"),
    }
}
