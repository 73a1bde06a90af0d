//! The sheets: name, what it tells, and what it would hold for a plan.

use std::collections::HashSet;

use ampwalk_core::explain::Topic;
use ampwalk_core::network::Link;
use ampwalk_core::plan::{SupplyKind, TestOutcome};
use ampwalk_core::unit::Metres;
use ampwalk_papers::Kind;

use crate::scene::Scene;
use crate::view::phrase::{counted, joined, sockets};
use crate::words::length;

/// One sheet.
pub(super) struct Sheet {
    /// What the crew calls it.
    pub name: &'static str,
    /// What stands on it.
    pub columns: &'static str,
    /// What it would hold for this plan.
    pub holds: fn(&Scene<'_>) -> String,
    /// The numbers on it that can be explained.
    pub topics: fn(&Scene<'_>) -> Vec<Topic>,
    /// Which.
    pub kind: Kind,
}

/// All of them, in the order in which a job needs them.
pub(super) const SHEETS: &[Sheet] = &[
    Sheet {
        name: "socket survey",
        columns: "each one's place, outlet, tester outcome, ramp steps, circuit and how it was found, ban",
        holds: survey,
        topics: none,
        kind: Kind::Survey,
    },
    Sheet {
        name: "patch",
        columns: "head to socket to circuit to RCD, by head and by socket, with leads",
        holds: patch,
        topics: none,
        kind: Kind::Patch,
    },
    Sheet {
        name: "load by circuit",
        columns: "breaker, base, heads, amps running and striking, limit, left; RCD with mA; state as a word",
        holds: load,
        topics: load_topics,
        kind: Kind::Load,
    },
    Sheet {
        name: "strike order card",
        columns: "for the pocket: number, head, where, wait until, amps after this step; what to relight",
        holds: strike,
        topics: strike_topics,
        kind: Kind::Strike,
    },
    Sheet {
        name: "generator request",
        columns: "for the producer: yes, no or only if; the one reason; what to hire",
        holds: generator,
        topics: supply_topics,
        kind: Kind::Generator,
    },
    Sheet {
        name: "lead pull list",
        columns: "for the truck: type, length, how many needed, there and short, for which head",
        holds: leads,
        topics: lead_topics,
        kind: Kind::Cables,
    },
    Sheet {
        name: "socket labels",
        columns: "to stick on the plate: id, circuit, RCD, what may be plugged in, or NO and why",
        holds: labels,
        topics: none,
        kind: Kind::Labels,
    },
    Sheet {
        name: "notes and hand-back",
        columns: "defects and who was told, what must be switched on again, ramp tests, trips, the meter",
        holds: hand_back,
        topics: none,
        kind: Kind::Safety,
    },
];

fn survey(scene: &Scene<'_>) -> String {
    let network = scene.network;
    let all = network.sockets.len();
    let untested = network.sockets.iter().filter(|(_, node)| node.test == TestOutcome::Untested).count();
    let untraced = network.sockets.iter().filter(|(_, node)| node.circuit.is_none()).count();
    let one = &network.region.words.socket;
    let all_words = counted(all, one, &sockets(network));
    format!("{all_words}, {} tested, {} traced", all - untested, all - untraced)
}

fn patch(scene: &Scene<'_>) -> String {
    let network = scene.network;
    let placed = scene.assessment.setups.iter().map(|(_, used)| {
        let on = used.heads.iter().filter_map(|(_, head)| head.as_ref());
        on.filter(|head| head.socket.is_none()).count()
    });
    let lost: usize = placed.sum();
    let lost =
        if lost > 0 { counted(lost, "place still to find", "places still to find") } else { String::new() };
    let heads = counted(network.heads.len(), "head", "heads");
    joined([format!("{heads} in {}", counted(network.setups.len(), "setup", "setups")), lost])
}

fn load(scene: &Scene<'_>) -> String {
    let network = scene.network;
    let rcd = &network.region.words.rcd;
    format!(
        "{}, {}, {}",
        counted(network.circuits.len(), "circuit", "circuits"),
        counted(network.rcds.len(), rcd, &format!("{rcd}s")),
        counted(network.supplies.len(), "supply", "supplies")
    )
}

fn none(_: &Scene<'_>) -> Vec<Topic> {
    Vec::new()
}

/// Every supply, RCD and circuit that is in use.
fn load_topics(scene: &Scene<'_>) -> Vec<Topic> {
    let Some(used) = scene.used() else { return Vec::new() };
    let rcds = used.rcds.iter().filter(|(_, rcd)| !rcd.heads.is_empty() || !rcd.possible_heads.is_empty());
    let circuits = used.circuits.iter().filter(|(_, circuit)| circuit.possible.0 > 0.0);
    let mut topics = supply_topics(scene);
    topics.extend(rcds.flat_map(|(at, _)| [Topic::RcdRoom(at), Topic::RcdStanding(at), Topic::RcdPeak(at)]));
    topics.extend(
        circuits.flat_map(|(at, _)| [Topic::CircuitAmps(at), Topic::CircuitLimit(at), Topic::StartPeak(at)]),
    );
    topics
}

fn supply_topics(scene: &Scene<'_>) -> Vec<Topic> {
    let supplies = scene.network.supplies.indices();
    supplies
        .flat_map(|at| {
            [Topic::SupplyLine(at), Topic::SupplyNeutral(at), Topic::SupplyPower(at), Topic::SupplyRating(at)]
        })
        .collect()
}

fn strike_topics(scene: &Scene<'_>) -> Vec<Topic> {
    let Some(used) = scene.used() else { return Vec::new() };
    used.strike_order
        .first()
        .map(|head| Topic::HeadStrike(*head))
        .into_iter()
        .chain(
            used.circuits
                .iter()
                .filter(|(_, circuit)| !circuit.heads.is_empty())
                .map(|(at, _)| Topic::StartPeak(at)),
        )
        .chain(used.rcds.iter().filter(|(_, rcd)| !rcd.heads.is_empty()).map(|(at, _)| Topic::RcdPeak(at)))
        .collect()
}

fn lead_topics(scene: &Scene<'_>) -> Vec<Topic> {
    let Some(used) = scene.used() else { return Vec::new() };
    used.strike_order.iter().map(|head| Topic::LeadNeeded(*head)).collect()
}

fn strike(scene: &Scene<'_>) -> String {
    let steps: usize = scene.assessment.setups.iter().map(|(_, used)| used.strike_order.len()).sum();
    let cards = counted(scene.network.setups.len(), "card", "cards");
    format!("{cards}, {} in all", counted(steps, "step", "steps"))
}

fn generator(scene: &Scene<'_>) -> String {
    let generators =
        scene.network.supplies.iter().filter(|(_, node)| node.kind == SupplyKind::Generator).count();
    match generators {
        0 => "no generator in the plan".to_owned(),
        count => format!("{} in the plan", counted(count, "generator", "generators")),
    }
}

fn leads(scene: &Scene<'_>) -> String {
    let mut types = HashSet::new();
    let mut most = Metres::ZERO;
    for (_, used) in scene.assessment.setups.iter() {
        let heads = used.heads.iter().filter_map(|(_, head)| head.as_ref());
        let mut metres = Metres::ZERO;
        for head in heads {
            metres += head.lead;
            types.extend(head.links.iter().copied());
        }
        most = most.max(metres);
    }
    let blocks = types.iter().filter(|link| matches!(link, Link::Block(_))).count();
    let kinds = counted(types.len() - blocks, "type of lead", "types of lead");
    let blocks = if blocks > 0 { counted(blocks, "type of block", "types of block") } else { String::new() };
    joined([format!("{kinds} in use, {} at most in one setup", length(scene.network, most)), blocks])
}

fn labels(scene: &Scene<'_>) -> String {
    let network = scene.network;
    let no = network.plan.sockets.values().filter(|socket| {
        let outcome = socket.test.unwrap_or_default();
        socket.ban.is_some() || !matches!(outcome, TestOutcome::Ok | TestOutcome::Untested)
    });
    format!("{}, {} of them may say NO", counted(network.sockets.len(), "label", "labels"), no.count())
}

fn hand_back(scene: &Scene<'_>) -> String {
    let plan = &scene.network.plan;
    let outcomes = plan.sockets.values().map(|socket| socket.test.unwrap_or_default());
    let defects = outcomes.filter(|test| !matches!(test, TestOutcome::Ok | TestOutcome::Untested)).count();
    let mut off = HashSet::new();
    for setup in plan.setups.values() {
        off.extend(setup.base_off.iter().map(|base| (base.circuit.as_str(), base.name.as_str())));
    }
    let ramps: usize = plan.sockets.values().map(|socket| socket.ramps.len()).sum();
    joined([
        counted(defects, "defect", "defects"),
        format!("{} to switch on again", off.len()),
        counted(ramps, "ramp test", "ramp tests"),
        counted(plan.trips.len(), "trip", "trips"),
    ])
}
