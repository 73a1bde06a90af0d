//! What ramp tests tell besides the room that is left: what a base load leaks, and what a first step that tripped
//! or a ramp that never did may mean. Common practice, no source, where nothing else is named.

use crate::network::{CircuitAt, Network, Origin, RampReading, RcdAt, SocketAt};
use crate::order::Order as _;
use crate::plan::RcdClass;
use crate::unit::MilliAmps;

/// The first step of a ramp tester (common practice, no source).
const FIRST_STEP: MilliAmps = MilliAmps(10.0);
/// A plug-in tester that is left in a socket behind the same RCD leaks this much: 3.1 and 4.2 mA were measured on
/// two (one report, an electricians' forum).
pub const TESTER_LEAKS: (MilliAmps, MilliAmps) = (MilliAmps(3.1), MilliAmps(4.2));

/// What ramp tests tell of an RCD or a socket.
#[derive(Clone, Debug, PartialEq)]
pub enum Story {
    /// One base load on, and off, with all else the same.
    BaseLoad(BaseLoadLeaks),
    /// The first step tripped: nothing is left, and why.
    FirstStep {
        /// The RCD.
        rcd: RcdAt,
        /// Where it was tested.
        socket: SocketAt,
        /// What may be behind it, as far as the plan does not rule it out.
        causes: Vec<FirstStepCause>,
    },
    /// A ramp went to a step at which an RCD must drop, and none did.
    NeverTripped {
        /// Where it was tested.
        socket: SocketAt,
        /// RCDs that the plan has before it.
        claimed: Vec<RcdAt>,
    },
}

/// What a base load leaks, from a ramp with it and one without.
#[derive(Clone, Debug, PartialEq)]
pub struct BaseLoadLeaks {
    /// The RCD.
    pub rcd: RcdAt,
    /// The load, as (circuit, place in its list).
    pub load: (CircuitAt, usize),
    /// It leaks more than the first and less than the second, if it leaks as a resistance does, in step with what
    /// the tester injects; `None`: no end, as a step was not reached.
    pub leaks: (MilliAmps, Option<MilliAmps>),
    /// The difference of the steps that held: what its absence gains.
    pub gain: MilliAmps,
    /// The step that held with it on.
    pub held_with: MilliAmps,
    /// The step that held with it off.
    pub held_without: MilliAmps,
    /// It may leak up to this, if it leaks through filters, a quarter turn ahead: √(off² − on²).
    pub at_most: Option<MilliAmps>,
    /// Whether its owner agreed that it may be off.
    pub owner_can_switch_off: bool,
}

/// Why a first step trips.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FirstStepCause {
    /// Something behind it leaks so much already.
    Leaking,
    /// It is a device of 10 mA or less.
    TenMilliamp,
    /// It is a ground-fault interrupter.
    GroundFault,
}

/// What the ramp tests of a plan tell: base loads first, those that gain most first.
#[must_use]
pub fn stories(network: &Network) -> Vec<Story> {
    let mut loads: Vec<BaseLoadLeaks> =
        network.rcds.indices().flat_map(|rcd| base_loads(network, rcd)).collect();
    loads.order_by(|one, other| other.gain.total_cmp(one.gain));
    let first_steps = network.rcds.indices().filter_map(|rcd| first_step(network, rcd));
    let never = network.sockets.iter().filter(|(_, socket)| socket.never_tripped).map(|(at, socket)| {
        let house = network.reach_of(at).rcds.iter().map(|part| part.what);
        Story::NeverTripped { socket: at, claimed: socket.portable.into_iter().chain(house).collect() }
    });
    loads.into_iter().map(Story::BaseLoad).chain(first_steps).chain(never).collect()
}

/// Base loads that were on in one ramp of an RCD and off in another, each alone.
fn base_loads(network: &Network, rcd: RcdAt) -> Vec<BaseLoadLeaks> {
    let own =
        || network.rcds[rcd].readings.iter().filter(|reading| !reading.passed_through && !reading.never);
    let mut found: Vec<BaseLoadLeaks> = Vec::new();
    for without in own() {
        for with in own() {
            let Some(load) = only_difference(with, without) else { continue };
            let next = leaks(network, rcd, load, with, without);
            match found.iter_mut().find(|known| known.load == load) {
                Some(known) => known.narrow(&next),
                None => found.push(next),
            }
        }
    }
    found
}

/// The one load that was off in `without` and on in `with`, where nothing else differs.
fn only_difference(with: &RampReading, without: &RampReading) -> Option<(CircuitAt, usize)> {
    let mut more = without.off.iter().filter(|load| !with.off.contains(load));
    let load = *more.next()?;
    let nothing_else = more.next().is_none() && with.off.iter().all(|load| without.off.contains(load));
    (nothing_else && with.heads_leak == without.heads_leak).then_some(load)
}

fn leaks(
    network: &Network,
    rcd: RcdAt,
    load: (CircuitAt, usize),
    with: &RampReading,
    without: &RampReading,
) -> BaseLoadLeaks {
    let least = with.tripped.map_or(MilliAmps::ZERO, |tripped| without.held - tripped);
    let turned = |off: MilliAmps| MilliAmps((off.0.powi(2) - with.held.0.powi(2)).max(0.0).sqrt());
    BaseLoadLeaks {
        rcd,
        load,
        leaks: (least.max(MilliAmps::ZERO), without.tripped.map(|tripped| tripped - with.held)),
        gain: (without.held - with.held).max(MilliAmps::ZERO),
        held_with: with.held,
        held_without: without.held,
        at_most: without.tripped.map(turned),
        owner_can_switch_off: network.circuits[load.0].base[load.1].owner_can_switch_off,
    }
}

impl BaseLoadLeaks {
    /// What both pairs of ramps say.
    fn narrow(&mut self, other: &Self) {
        let least = |one: Option<MilliAmps>, other: Option<MilliAmps>| match (one, other) {
            (Some(one), Some(other)) => Some(one.min(other)),
            (one, other) => one.or(other),
        };
        self.leaks = (self.leaks.0.max(other.leaks.0), least(self.leaks.1, other.leaks.1));
        self.at_most = least(self.at_most, other.at_most);
        self.held_with = self.held_with.max(other.held_with);
        self.held_without = self.held_without.max(other.held_without);
        self.gain = (self.held_without - self.held_with).max(MilliAmps::ZERO);
    }
}

/// An RCD that the first step dropped, with what that may mean.
fn first_step(network: &Network, rcd: RcdAt) -> Option<Story> {
    let node = &network.rcds[rcd];
    let is_first = |reading: &&RampReading| reading.held <= MilliAmps::ZERO && reading.tripped.is_some();
    let reading = node.readings.iter().find(is_first)?;
    let is_known = |origin: Origin| origin == Origin::Plan;
    let causes = if node.class.value == RcdClass::Gfci && is_known(node.class.origin) {
        vec![FirstStepCause::GroundFault]
    } else {
        let is_fine = is_known(node.rated.origin) && FIRST_STEP.reaches(node.rated.value);
        let may_be_fine = !is_known(node.rated.origin) || is_fine;
        let may_be_ground_fault = !is_known(node.class.origin) && may_be_fine;
        [
            Some(FirstStepCause::Leaking),
            may_be_fine.then_some(FirstStepCause::TenMilliamp),
            may_be_ground_fault.then_some(FirstStepCause::GroundFault),
        ]
        .into_iter()
        .flatten()
        .collect()
    };
    Some(Story::FirstStep { rcd, socket: reading.socket, causes })
}
