//! The sockets of a plan with their trouble, room by room.

use std::collections::HashMap;

use ampwalk_core::library::OutletUse;
use ampwalk_core::network::{At, Network, SocketAt};
use ampwalk_core::plan::{Ramp, Socket, TestOutcome};
use ampwalk_core::rule::words::number;

use crate::theme::Role;
use crate::view::phrase::{amps, any_circuit};
use crate::view::walk::place_in_plan;
use crate::widget::table::Cell;
use crate::widget::text::visible;
use ampwalk_core::rule::words::tester;

/// What is wrong with a socket, worst first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Trouble {
    /// The tester said so.
    Unsafe,
    /// Not to be used.
    Banned,
    /// A ramp test dropped nothing.
    NeverDropped,
    /// Nobody used the tester.
    Untested,
    /// Nobody knows its circuit.
    Untraced,
    /// Its label names another circuit.
    Label,
    /// Known well enough.
    Nothing,
}

/// Every socket with its worst trouble: floors, rooms and the sockets of a room each with the worst
/// first, else in the order of the plan.
pub(super) fn survey(network: &Network) -> Vec<(SocketAt, Trouble)> {
    let mut rooms: HashMap<Option<usize>, (Trouble, usize)> = HashMap::new();
    let mut floors: HashMap<Option<usize>, (Trouble, usize)> = HashMap::new();
    let mut all: Vec<(SocketAt, Trouble)> =
        network.sockets.indices().map(|socket| (socket, trouble(network, socket))).collect();
    for (socket, trouble) in &all {
        let place = &network.sockets[*socket].place;
        let here = (*trouble, place_in_plan(*socket));
        let worst = |had: &mut (Trouble, usize)| had.0 = had.0.min(here.0);
        rooms.entry(place.room).and_modify(worst).or_insert(here);
        floors.entry(place.floor).and_modify(worst).or_insert(here);
    }
    all.sort_by_key(|(socket, trouble)| {
        let place = &network.sockets[*socket].place;
        (floors.get(&place.floor).copied(), rooms.get(&place.room).copied(), *trouble, place_in_plan(*socket))
    });
    all
}

/// A survey in numbers.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Counts {
    pub tested: usize,
    pub untested: usize,
    pub unsafe_ones: usize,
    pub untraced: usize,
    pub labels_checked: usize,
    pub labels_wrong: usize,
}

impl Counts {
    pub(super) fn of(network: &Network, survey: &[(SocketAt, Trouble)]) -> Self {
        let mut counts = Self::default();
        for (socket, trouble) in survey {
            let node = &network.sockets[*socket];
            counts.untested += usize::from(node.test == TestOutcome::Untested);
            counts.tested += usize::from(node.test != TestOutcome::Untested);
            counts.unsafe_ones += usize::from(*trouble == Trouble::Unsafe);
            counts.untraced += usize::from(node.circuit.is_none());
            if let Some(right) = label_is_right(network, *socket) {
                counts.labels_checked += 1;
                counts.labels_wrong += usize::from(!right);
            }
        }
        counts
    }
}

fn plan_socket(network: &Network, socket: SocketAt) -> Option<&Socket> {
    network.plan.sockets.get_index(socket.get()).map(|(_, socket)| socket)
}

/// A small generator whose neutral floats reads so, and that is how such sets are.
fn is_floating_generator(network: &Network, socket: SocketAt) -> bool {
    network.sockets[socket].test == TestOutcome::NoEarth
        && network.reach_of(socket).supply().is_some_and(|supply| network.supplies[supply].small_floating)
}

/// An outlet whose plug goes in either way reads so one time in two.
fn is_unpolarised(network: &Network, socket: SocketAt) -> bool {
    let node = &network.sockets[socket];
    node.test == TestOutcome::Reversed && node.outlet.value.is_some_and(|outlet| !outlet.polarised)
}

fn trouble(network: &Network, socket: SocketAt) -> Trouble {
    let node = &network.sockets[socket];
    let expected = is_floating_generator(network, socket) || is_unpolarised(network, socket);
    if !matches!(node.test, TestOutcome::Ok | TestOutcome::Untested) && !expected {
        return Trouble::Unsafe;
    }
    if ban(network, socket).is_some() {
        return Trouble::Banned;
    }
    if node.never_tripped {
        return Trouble::NeverDropped;
    }
    if node.test == TestOutcome::Untested {
        return Trouble::Untested;
    }
    if node.circuit.is_none() {
        return Trouble::Untraced;
    }
    if label_is_right(network, socket) == Some(false) {
        return Trouble::Label;
    }
    Trouble::Nothing
}

/// Why a socket is not to be used.
fn ban(network: &Network, socket: SocketAt) -> Option<String> {
    if let Some(ban) = plan_socket(network, socket).and_then(|socket| socket.ban.as_deref()) {
        return Some(visible(ban));
    }
    match network.sockets[socket].outlet.value?.usage {
        OutletUse::General => None,
        OutletUse::Shaver => Some("a shaver outlet".to_owned()),
        OutletUse::Medical => Some("a medical outlet".to_owned()),
        OutletUse::Ups => Some("somebody's uninterruptible supply".to_owned()),
    }
}

/// Whether the label names the circuit that a test proved; `None` where either is missing.
fn label_is_right(network: &Network, socket: SocketAt) -> Option<bool> {
    let label = plan_socket(network, socket)?.label.as_deref()?.trim();
    let (id, circuit) = network.plan.circuits.get_index(network.sockets[socket].circuit?.get())?;
    let same = |word: &str| word.eq_ignore_ascii_case(label);
    (!label.is_empty()).then(|| same(id.as_str()) || circuit.name.as_deref().is_some_and(same))
}

/// The columns of a socket.
pub(super) fn cells(network: &Network, socket: SocketAt, trouble: Trouble) -> Vec<Cell> {
    let node = &network.sockets[socket];
    let plan = plan_socket(network, socket);
    let outlet = plan.and_then(|socket| socket.outlet.as_ref()).unwrap_or(&network.region.outlet);
    let ways = node.ways.value;
    let plate = network.plates[node.plate].id.as_ref().map(ToString::to_string);
    let circuit = match node.circuit {
        Some(circuit) => network.circuits[circuit].id.to_string(),
        None => format!("{}?", any_circuit(network, &network.reach_of(socket).candidates)),
    };
    let untraced = if node.circuit.is_none() { Role::Risk } else { Role::Text };
    vec![
        (node.id.to_string(), Role::Text),
        (state(network, socket, trouble), state_role(trouble)),
        (circuit, untraced),
        ramp(network, socket),
        label(network, socket),
        (if ways == 1 { outlet.to_string() } else { format!("{ways} × {outlet}") }, Role::Quiet),
        (plate.unwrap_or_default(), Role::Quiet),
    ]
}

fn state(network: &Network, socket: SocketAt, trouble: Trouble) -> String {
    let tested = tester(network, network.sockets[socket].test);
    match trouble {
        Trouble::Unsafe => format!("UNSAFE: {tested}"),
        Trouble::Banned => format!("NOT TO BE USED: {}", ban(network, socket).unwrap_or_default()),
        Trouble::NeverDropped => format!("NO {} PROVEN", network.region.words.rcd.to_uppercase()),
        Trouble::Untested => "NOT TESTED".to_owned(),
        Trouble::Untraced => format!("{tested}, not traced"),
        Trouble::Label => format!("{tested}, LABEL WRONG"),
        Trouble::Nothing => tested,
    }
}

const fn state_role(trouble: Trouble) -> Role {
    match trouble {
        Trouble::Unsafe | Trouble::Banned | Trouble::NeverDropped => Role::Danger,
        Trouble::Untested | Trouble::Untraced | Trouble::Label => Role::Risk,
        Trouble::Nothing => Role::Good,
    }
}

fn ramp(network: &Network, socket: SocketAt) -> Cell {
    let ramps = plan_socket(network, socket).map_or(&[][..], |socket| &socket.ramps);
    match ramps {
        [] => ("no ramp test".to_owned(), Role::Quiet),
        [only] => (reading(network, only), Role::Text),
        [first, rest @ ..] => (format!("{}, {} more", reading(network, first), rest.len()), Role::Text),
    }
}

fn reading(network: &Network, ramp: &Ramp) -> String {
    let held = number(ramp.held.0);
    match ramp.tripped {
        Some(tripped) if ramp.held.0 <= 0.0 => format!("tripped {} at once", number(tripped.0)),
        Some(tripped) => format!("held {held}, tripped {}", number(tripped.0)),
        None if ramp.held.reaches(network.region.must_trip_ma) => format!("held {held}, never tripped"),
        None => format!("held {held}, stopped there"),
    }
}

fn label(network: &Network, socket: SocketAt) -> Cell {
    let text = plan_socket(network, socket).and_then(|socket| socket.label.as_deref()).unwrap_or_default();
    let text = visible(text);
    match label_is_right(network, socket) {
        Some(false) => (format!("{text}: wrong"), Role::Risk),
        Some(true) => (text, Role::Text),
        None if text.is_empty() => (text, Role::Quiet),
        None => (format!("{text}, no proof"), Role::Quiet),
    }
}

/// What else the row under the cursor says: why it matters, and what to do.
pub(super) fn remarks(network: &Network, socket: SocketAt) -> Vec<(String, Role)> {
    let node = &network.sockets[socket];
    let words = &network.region.words;
    let mut told = Vec::new();
    if trouble(network, socket) == Trouble::Unsafe {
        let why = match node.test {
            TestOutcome::Reversed => {
                "a head stays live with its switch off: rain, or the change of a screw-base lamp. "
            }
            TestOutcome::Dead => "switched, timed or broken; it may come on under somebody's hands. ",
            _ => "",
        };
        told.push((format!("{why}Do not plug in; tell the owner."), Role::Danger));
    }
    if is_floating_generator(network, socket) {
        let text = format!("no {} is how a small generator with a floating neutral reads", words.earth);
        told.push((text, Role::Note));
    }
    if is_unpolarised(network, socket) {
        told.push((
            "this kind of outlet is not polarised: a turned plug reads the same".to_owned(),
            Role::Note,
        ));
    }
    if node.never_tripped {
        let text = format!(
            "a ramp test dropped nothing: there is no {} on it, or it is faulty, or the tester is. Test the \
             tester; till then a plug-in {} in it.",
            words.rcd, words.rcd_long
        );
        told.push((text, Role::Danger));
    }
    if node.circuit.is_none() {
        told.push((
            "not traced: its heads are counted on every circuit that it may be on".to_owned(),
            Role::Risk,
        ));
    }
    if label_is_right(network, socket) == Some(false) {
        told.push(("a label is not evidence: the trace counts".to_owned(), Role::Risk));
    }
    if let Some(portable) = node.portable {
        told.push((format!("{} is plugged in here", network.rcds[portable].id), Role::Text));
    }
    if let Some(limit) = network.plates[node.plate].limit {
        let assumed = if limit.origin.is_assumed() { ", assumed" } else { "" };
        told.push((format!("the plate carries {} in all{assumed}", amps(limit.value)), Role::Quiet));
    }
    told
}
