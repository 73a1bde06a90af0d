//! The names of branches, and what stands under them.

use ampwalk_core::assess::{CircuitUse, RcdUse};
use ampwalk_core::network::{At, CircuitAt, Network, RcdAt, SetupAt, SocketAt, SupplyAt};
use ampwalk_core::plan::{Circuit, Curve, HeldBy, RcdClass, RcdKind, SupplyKind, Wiring, word_of};
use ampwalk_core::rule::words::{heads, number};

use crate::scene::Scene;
use crate::theme::Role;
use crate::view::board::tree::Branch;
use crate::view::phrase::{amps, any_circuit, circuits, joined, milliamps, place};
use crate::widget::text::visible;
use ampwalk_core::rule::words::tester;

/// What a branch is called.
pub(super) fn name(scene: &Scene<'_>, branch: Branch) -> String {
    let network = scene.network;
    match branch {
        Branch::Heading(words) => words.to_owned(),
        Branch::Supply(at) => {
            format!("{} {}", network.supplies[at].id, supply_kind(network.supplies[at].kind))
        }
        Branch::Line(_, line) => format!("{} L{}", network.region.words.line, line + 1),
        Branch::Rcd(at) => format!("{} {}", network.rcds[at].id, rcd_word(network, at)),
        Branch::Plugged(at, socket) => {
            format!("{} plugged in at {}", network.rcds[at].id, network.sockets[socket].id)
        }
        Branch::Circuit(at) => {
            let name = plan_circuit(network, at).and_then(|circuit| circuit.name.as_deref());
            visible(format!("{} {}", network.circuits[at].id, name.unwrap_or_default()).trim_end())
        }
        Branch::Feed(at) => format!("box on {}", network.sockets[at].id),
        Branch::Untraced(at) => network.sockets[at].id.to_string(),
    }
}

/// What stands under a branch, most important first.
pub(super) fn detail(scene: &Scene<'_>, branch: Branch) -> Vec<(String, Role)> {
    let network = scene.network;
    match branch {
        Branch::Supply(at) => supply(scene, at),
        Branch::Rcd(at) | Branch::Plugged(at, _) => rcd(scene, at),
        Branch::Circuit(at) => circuit(scene, at),
        Branch::Untraced(at) => vec![(untraced(network, at), Role::Quiet)],
        Branch::Heading(_) | Branch::Line(..) | Branch::Feed(_) => Vec::new(),
    }
}

fn plan_circuit(network: &Network, at: CircuitAt) -> Option<&Circuit> {
    network.plan.circuits.get_index(at.get()).map(|(_, circuit)| circuit)
}

const fn supply_kind(kind: SupplyKind) -> &'static str {
    match kind {
        SupplyKind::Mains => "mains",
        SupplyKind::Generator => "generator",
        SupplyKind::Battery => "battery",
    }
}

fn rcd_word(network: &Network, at: RcdAt) -> &str {
    match network.rcds[at].class.value {
        RcdClass::Gfci => "GFCI",
        RcdClass::Portable => "plug-in RCD",
        RcdClass::Rcd if network.region.rcd_class == RcdClass::Rcd => &network.region.words.rcd,
        RcdClass::Rcd => "RCD",
    }
}

fn supply(scene: &Scene<'_>, at: SupplyAt) -> Vec<(String, Role)> {
    let node = &scene.network.supplies[at];
    let line = &scene.network.region.words.line;
    let wiring = match node.wiring.value {
        Wiring::One => format!("one {line}"),
        Wiring::Split => format!("two {line}s, split"),
        Wiring::Star => format!("three {line}s"),
    };
    let kw = scene.used().map(|used| used.supplies[at].kw);
    let contract = match (node.contract, kw) {
        (Some(contract), Some(kw)) => {
            format!("contract {} kW, {} kW in use", number(contract.0), number(kw.0))
        }
        (Some(contract), None) => format!("contract {} kW", number(contract.0)),
        (None, _) => String::new(),
    };
    let floating = if node.small_floating {
        format!("neutral floating: reads no {}, as such sets do", scene.network.region.words.earth)
    } else {
        String::new()
    };
    let volts = format!("{} V", number(node.volts.value.0));
    let over = node.contract.zip(kw).is_some_and(|(contract, kw)| kw.is_over(contract));
    vec![(joined([volts, wiring, contract, floating]), if over { Role::Dark } else { Role::Quiet })]
}

fn rcd(scene: &Scene<'_>, at: RcdAt) -> Vec<(String, Role)> {
    let network = scene.network;
    let node = &network.rcds[at];
    let kind = match node.kind {
        Some(kind) => {
            format!(" type {}", word_of(&RcdKind::WORDS, &kind))
        }
        None => String::new(),
    };
    let assumed = if node.rated.origin.is_assumed() { ", assumed" } else { "" };
    let rating = format!("{}{kind}{assumed}", milliamps(node.rated.value));
    let darkens = match node.darkens.as_slice() {
        [] => "darkens only what is plugged into it".to_owned(),
        behind => format!("darkens {}", circuits(network, behind)),
    };
    let floors = floors_behind(network, at);
    let floors = if floors > 1 { format!(" over {floors} floors") } else { String::new() };
    let used = scene.used().map(|used| &used.rcds[at]);
    let (lit, proof) = used.map_or_else(Default::default, |used| (lit(used), proof(used)));
    let mut told = vec![
        (joined([lit, format!("{darkens}{floors}")]), Role::Quiet),
        (joined([rating, proof]), Role::Quiet),
    ];
    if let Some(used) = used.filter(|used| !used.possible_heads.is_empty()) {
        let may = format!(
            "may be behind it too: {}; {} at most while striking",
            heads(network, &used.possible_heads),
            milliamps(used.possible_peak)
        );
        told.insert(0, (may, Role::Risk));
    }
    told
}

fn lit(used: &RcdUse) -> String {
    let striking = if used.peak == used.standing {
        String::new()
    } else {
        format!(", {} striking", milliamps(used.peak))
    };
    let vector = used.vector_standing.filter(|vector| used.standing.is_over(*vector));
    let vector = vector.map_or_else(String::new, |vector| {
        format!("; at best {} lit, as the lines partly cancel", milliamps(vector))
    });
    format!("{} lit{striking}{vector}", milliamps(used.standing))
}

fn proof(used: &RcdUse) -> String {
    let room = &used.room;
    if room.absent {
        return "a ramp test dropped nothing: it is not there, or faulty, or the tester is".to_owned();
    }
    let conflict = if room.conflict { ", readings contradict: the lower is taken" } else { "" };
    if room.tested {
        format!("ramp-tested{conflict}")
    } else {
        "not ramp-tested: room by its rating, assumed".to_owned()
    }
}

/// How many floors the sockets behind an RCD are on.
fn floors_behind(network: &Network, at: RcdAt) -> usize {
    let mut behind = network.rcds[at].darkens.clone();
    behind.sort_unstable();
    let mut floors: Vec<usize> = network
        .sockets
        .iter()
        .filter(|(_, socket)| socket.circuit.is_some_and(|circuit| behind.binary_search(&circuit).is_ok()))
        .filter_map(|(_, socket)| socket.place.floor)
        .collect();
    floors.sort_unstable();
    floors.dedup();
    floors.len()
}

fn circuit(scene: &Scene<'_>, at: CircuitAt) -> Vec<(String, Role)> {
    let network = scene.network;
    let mut told = Vec::new();
    let plan = plan_circuit(network, at);
    if let Some(why) = plan.and_then(|circuit| circuit.keep_on.as_deref()) {
        told.push((format!("MUST STAY ON: {why}. Never switch it off, never ramp-test it."), Role::Risk));
    }
    let used = scene.used().map(|used| &used.circuits[at]);
    if let Some(used) = used.filter(|used| used.possible.is_over(used.amps)) {
        let role = if used.possible.is_over(used.limit) { Role::Risk } else { Role::Quiet };
        told.push((may_carry(network, at, used), role));
    }
    let mut pieces = vec![rating(network, at)];
    if let Some(used) = used {
        if !used.heads.is_empty() {
            pieces.push(format!("heads {}", heads(network, &used.heads)));
        }
        if used.continuous {
            pieces.push("limit lowered: burns three hours and more".to_owned());
        }
        if used.start_peak.is_over(used.amps) {
            pieces.push(format!("{} while striking", amps(used.start_peak)));
        }
    }
    pieces.extend(plan.map(live_when).into_iter().flatten());
    told.push((joined(pieces), Role::Quiet));
    told.extend(base_loads(scene, at).map(|text| (text, Role::Quiet)));
    told
}

fn may_carry(network: &Network, at: CircuitAt, used: &CircuitUse) -> String {
    let untraced = if used.possible_heads.is_empty() {
        String::new()
    } else {
        format!(" with {}, not traced", heads(network, &used.possible_heads))
    };
    let reserve = plan_circuit(network, at).and_then(|circuit| circuit.reserve);
    let others =
        reserve.map_or(String::new(), |reserve| format!(" and {} that others may draw", amps(reserve)));
    format!("may carry {}{untraced}{others}", amps(used.possible))
}

fn rating(network: &Network, at: CircuitAt) -> String {
    let node = &network.circuits[at];
    let assumed = if node.breaker.origin.is_assumed() { ", assumed" } else { "" };
    let rating = number(node.breaker.value.0);
    let words = match node.curve.value {
        Curve::B => format!("B{rating}"),
        Curve::C => format!("C{rating}"),
        Curve::D => format!("D{rating}"),
        Curve::Ul => format!("{rating} A breaker"),
        Curve::Gg => format!("{rating} A fuse"),
        Curve::Rewirable => format!("{rating} A rewirable fuse"),
    };
    let several = node.supply.is_some_and(|supply| network.supplies[supply].lines().len() > 1);
    let line = if several { format!(" on {}", node.line) } else { String::new() };
    let rcd = if network.reaches[node.reach].certain_rcds().next().is_none() {
        format!(", no {} known", network.region.words.rcd)
    } else {
        String::new()
    };
    format!("{words}{line}{assumed}{rcd}")
}

fn live_when(circuit: &Circuit) -> Vec<String> {
    let mut words = Vec::new();
    if let Some(hours) = circuit.hours {
        words.push(format!("live {} to {} only", hours.from, hours.until));
    }
    match circuit.held_by {
        Some(HeldBy::KeyCard) => words.push("live while a key card is in".to_owned()),
        Some(HeldBy::MovementSensor) => words.push("held by a movement sensor".to_owned()),
        None => {}
    }
    if let Some(id) = &circuit.neutral_with {
        words.push(format!("shares its neutral with {id}"));
    }
    if let Some(watts) = circuit.dimmer {
        words.push(format!("dimmed, {} W", number(watts.0)));
    }
    if circuit.others {
        words.push("others draw from it, nobody knows how much".to_owned());
    }
    words
}

fn base_loads<'a>(scene: &Scene<'a>, at: CircuitAt) -> impl Iterator<Item = String> + use<'a> {
    let network = scene.network;
    let off: &[(CircuitAt, usize)] =
        scene.setup.and_then(|setup: SetupAt| network.setups.get(setup)).map_or(&[], |setup| &setup.base_off);
    network.circuits[at].base.iter().enumerate().map(move |(place, load)| {
        let name = visible(load.name.as_deref().unwrap_or("house load"));
        let leak = load.leak.value.high;
        let leak = if leak.0 > 0.0 { format!(", leaks {}", milliamps(leak)) } else { String::new() };
        let who = match (off.contains(&(at, place)), load.owner_can_switch_off) {
            (true, _) => "OFF for this setup: the owner must get it back on",
            (false, true) => "its owner agreed that it may be off",
            (false, false) => "stays on unless its owner agrees",
        };
        format!("house: {name} {}{leak}: {who}", amps(load.amps))
    })
}

fn untraced(network: &Network, at: SocketAt) -> String {
    let node = &network.sockets[at];
    let candidates = any_circuit(network, &network.reach_of(at).candidates);
    joined([format!("may be on {candidates}"), place(network, &node.place), tester(network, node.test)])
}
