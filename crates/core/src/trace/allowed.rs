//! What may be switched off to trace, and what goes dark with it.

use crate::library::OutletUse;
use crate::network::{At, CircuitAt, HeadAt, Network, SocketAt};
use crate::trace::next::Switch;
use crate::trace::{CircuitSet, Device, Problem, Readings};

/// A base load, as (circuit, place in its list).
pub type Base = (CircuitAt, usize);

/// What goes dark with some circuits.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct GoesDark {
    /// Circuits, those of distribution boxes included.
    pub circuits: Vec<CircuitAt>,
    /// Circuits that may go with them: through a neutral that they share, or on a distribution box of which nobody
    /// knows where it is plugged in.
    pub perhaps: Vec<CircuitAt>,
    /// Sockets on them for certain.
    pub sockets: Vec<SocketAt>,
    /// Sockets that may be on any of them.
    pub sockets_perhaps: Vec<SocketAt>,
    /// Heads that hang on any of these sockets.
    pub heads: Vec<HeadAt>,
    /// What the house has on them.
    pub base: Vec<Base>,
    /// Medical outlets and outlets of somebody's uninterruptible supply that may be on them.
    pub delicate: Vec<SocketAt>,
}

/// Circuits that must not go dark: those with a reason to stay on, and those of medical outlets.
#[must_use]
pub fn kept_on(network: &Network, readings: &Readings<'_>) -> CircuitSet {
    let count = network.circuits.len();
    let with_reason = network.plan.circuits.values().enumerate().filter(|(_, node)| node.keep_on.is_some());
    let mut kept = CircuitSet::of(count, with_reason.map(|(place, _)| CircuitAt::new(place)));
    let medical = network.sockets.iter().filter(|(_, socket)| usage(socket) == OutletUse::Medical);
    for (socket, _) in medical {
        if let Some(only) = readings.circuits(socket).only() {
            kept.insert(only);
        }
    }
    kept
}

fn usage(socket: &crate::network::SocketNode) -> OutletUse {
    socket.outlet.value.map_or(OutletUse::General, |outlet| outlet.usage)
}

/// Devices that may be switched off: none that darkens, or may, a circuit that must stay on.
#[must_use]
pub fn switches(network: &Network, problem: &Problem, readings: &Readings<'_>) -> Vec<Switch> {
    let kept = kept_on(network, readings);
    let feeds = Feeds::of(problem, readings);
    let breakers = problem.building.iter().map(Device::Breaker);
    breakers
        .chain(network.rcds.indices().map(Device::Rcd))
        .map(|device| (device, problem.hit(&[device])))
        .map(|(device, off)| Switch { device, to_ask: to_ask(network, &off).count(), off })
        .filter(|switch| switch.off.meets(&problem.building))
        .filter(|switch| {
            let touched = feeds.touched(problem, &switch.off);
            !touched.0.meets(&kept) && !touched.1.meets(&kept)
        })
        .collect()
}

/// Base loads of circuits whose owner has not agreed that they may be off.
fn to_ask<'a>(network: &'a Network, off: &'a CircuitSet) -> impl Iterator<Item = Base> + 'a {
    off.iter().flat_map(move |circuit| {
        let base = network.circuits[circuit].base.iter().enumerate();
        base.filter(|(_, load)| !load.owner_can_switch_off).map(move |(place, _)| (circuit, place))
    })
}

/// Distribution boxes: circuits that are fed from sockets, with the circuits that these may be on.
struct Feeds(Vec<(CircuitAt, CircuitSet)>);

impl Feeds {
    fn of(problem: &Problem, readings: &Readings<'_>) -> Self {
        let feed =
            |(at, circuit): (CircuitAt, &crate::trace::Circuit)| Some((at, readings.circuits(circuit.from?)));
        Self(problem.circuits.iter().filter_map(feed).collect())
    }

    /// Circuits that go dark with these, and those that may.
    fn touched(&self, problem: &Problem, off: &CircuitSet) -> (CircuitSet, CircuitSet) {
        let mut dark = off.clone();
        let mut perhaps = problem.with_shared(off).without(off);
        // A box may hang on a box.
        for _ in 0..=self.0.len() {
            let before = (dark.len(), perhaps.len());
            for (circuit, feed) in &self.0 {
                if !feed.is_empty() && feed.is_within(&dark) {
                    dark.insert(*circuit);
                } else if feed.meets(&dark) || feed.meets(&perhaps) {
                    perhaps.insert(*circuit);
                }
            }
            perhaps.add(&problem.with_shared(&dark));
            perhaps = problem.with_shared(&perhaps);
            perhaps.take_out(&dark);
            if before == (dark.len(), perhaps.len()) {
                break;
            }
        }
        (dark, perhaps)
    }
}

impl GoesDark {
    /// What goes dark with these circuits off.
    #[must_use]
    pub fn with(network: &Network, problem: &Problem, readings: &Readings<'_>, off: &CircuitSet) -> Self {
        let (dark, perhaps) = Feeds::of(problem, readings).touched(problem, off);
        let touched = dark.or(&perhaps);
        let mut found =
            Self { circuits: dark.iter().collect(), perhaps: perhaps.iter().collect(), ..Self::default() };
        let mut is_touched = vec![false; network.sockets.len()];
        for (at, socket) in network.sockets.iter() {
            let may_be_on = readings.circuits(at);
            if !may_be_on.meets(&touched) {
                continue;
            }
            is_touched[at.get()] = true;
            if may_be_on.is_within(&dark) { &mut found.sockets } else { &mut found.sockets_perhaps }.push(at);
            if matches!(usage(socket), OutletUse::Medical | OutletUse::Ups) {
                found.delicate.push(at);
            }
        }
        let hangs_there = |head: &crate::plan::Head| {
            let placement = head.placement.as_ref()?;
            let socket = network.socket(placement.socket.as_str())?;
            is_touched[socket.get()].then_some(())
        };
        let heads = network.plan.heads.values().enumerate();
        found.heads =
            heads.filter(|(_, head)| hangs_there(head).is_some()).map(|(at, _)| HeadAt::new(at)).collect();
        for circuit in touched.iter() {
            found.base.extend((0..network.circuits[circuit].base.len()).map(|place| (circuit, place)));
        }
        found
    }

    /// Base loads whose owner has not agreed that they may be off: to be asked first.
    pub fn to_ask<'a>(&'a self, network: &'a Network) -> impl Iterator<Item = Base> + 'a {
        let asked = |(circuit, place): &Base| !network.circuits[*circuit].base[*place].owner_can_switch_off;
        self.base.iter().copied().filter(asked)
    }
}
