//! Room left on an RCD in a setup, from its ramp tests or from the standard.

use crate::network::{CircuitAt, Network, RampReading, RcdAt, SetupAt};
use crate::physics::residual::{Room, room_after_reading, standard_band};
use crate::plan::RcdClass;
use crate::unit::MilliAmps;

/// Room left on an RCD, and what it rests on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RcdRoom {
    /// The room.
    pub room: Room,
    /// Whether a ramp test says something of it.
    pub tested: bool,
    /// Ramp tests went to a step at which it had to drop, and none ever dropped it.
    pub absent: bool,
    /// Ramp tests contradict each other; the lower window was taken.
    pub conflict: bool,
    /// Known leakage of the house's own loads that are on.
    pub base: MilliAmps,
}

/// A base load, as (circuit, place in its list).
type Base = (CircuitAt, usize);

/// Room left on an RCD in a setup.
pub(crate) fn rcd_room(network: &Network, setup: SetupAt, rcd: RcdAt) -> RcdRoom {
    let node = &network.rcds[rcd];
    let base_off = &network.setups[setup].base_off;
    let base = base_leakage(network, rcd, base_off);
    let tripped = node.readings.iter().any(|reading| reading.tripped.is_some());
    let never = node.readings.iter().any(|reading| reading.never);
    let tested = tripped || never || node.readings.iter().any(|reading| reading.held.0 > 0.0);
    let (floor, ceiling) = standard_band(node.class.value, node.rated.value);
    let untested =
        Room { low: (floor - base).max(MilliAmps::ZERO), high: Some((ceiling - base).max(MilliAmps::ZERO)) };
    if !tested {
        return RcdRoom { room: untested, tested, absent: false, conflict: false, base };
    }
    if !tripped {
        let held = node
            .readings
            .iter()
            .map(|reading| {
                let held = window(network, rcd, reading, base_off).low;
                // A test of another device says that this one held, and takes nothing from its band.
                if reading.passed_through { held.max(untested.low) } else { held }
            })
            .fold(MilliAmps::ZERO, MilliAmps::max);
        // A ramp that stopped early proves only what held; a sound device drops at its rating.
        let high = if never { None } else { Some(node.rated.value.max(held)) };
        return RcdRoom { room: Room { low: held, high }, tested, absent: never, conflict: false, base };
    }
    let (mut room, conflict) = intersect(
        node.readings
            .iter()
            .filter(|reading| !reading.never)
            .map(|reading| window(network, rcd, reading, base_off)),
    );
    // Where a load that nobody measured is off now, the step that tripped says nothing; a sound device
    // still drops at its rating.
    room.high = room.high.or(Some((ceiling - base).max(room.low)));
    if node.class.value == RcdClass::Gfci && !conflict {
        // The steps of a ramp tester are coarser than UL 943's band, so they do not widen it.
        room.low = room.low.max(untested.low);
        room.high = room.high.map(|high| high.min(ceiling).max(room.low));
    }
    RcdRoom { room, tested, absent: false, conflict, base }
}

/// What one reading leaves in a setup. Known base leakage is taken off in quadrature. A base load
/// whose leakage is not known and that was on then but is off now (or the other way round) leaves
/// one end of the window only.
fn window(network: &Network, rcd: RcdAt, reading: &RampReading, base_off: &[Base]) -> Window {
    let then = base_leakage(network, rcd, &reading.off) + reading.heads_leak;
    let now = base_leakage(network, rcd, base_off);
    let room = |milliamps| room_after_reading(milliamps, then, now);
    let unknown_on_then = has_unknown(network, rcd, base_off, &reading.off);
    let unknown_on_now = has_unknown(network, rcd, &reading.off, base_off);
    Window {
        low: if unknown_on_now { MilliAmps::ZERO } else { room(reading.held) },
        high: reading.tripped.filter(|_| !unknown_on_then).map(room),
    }
}

#[derive(Clone, Copy)]
struct Window {
    low: MilliAmps,
    high: Option<MilliAmps>,
}

/// The part of several windows that they share; where they share none, the lower one, and a conflict.
fn intersect(windows: impl Iterator<Item = Window> + Clone) -> (Room, bool) {
    let low = windows.clone().map(|window| window.low).fold(MilliAmps::ZERO, MilliAmps::max);
    let high = windows
        .clone()
        .filter_map(|window| window.high)
        .fold(None, |least: Option<MilliAmps>, high| Some(least.map_or(high, |least| least.min(high))));
    match high {
        Some(high) if low.is_over(high) => {
            let lowest = windows
                .filter(|window| window.high.is_none_or(|end| !end.is_over(high)))
                .map(|window| window.low)
                .fold(high, MilliAmps::min);
            (Room { low: lowest, high: Some(high) }, true)
        }
        high => (Room { low, high }, false),
    }
}

/// Known leakage of the base loads behind an RCD that are on.
fn base_leakage(network: &Network, rcd: RcdAt, off: &[Base]) -> MilliAmps {
    base_loads(network, rcd)
        .filter(|(base, _)| !off.contains(base))
        .map(|(_, load)| load.leak.value.high)
        .sum()
}

/// Whether a base load of unknown leakage is in `off` and not in `other_off`.
fn has_unknown(network: &Network, rcd: RcdAt, off: &[Base], other_off: &[Base]) -> bool {
    base_loads(network, rcd).any(|(base, load)| {
        load.leak.origin.is_assumed() && off.contains(&base) && !other_off.contains(&base)
    })
}

fn base_loads(network: &Network, rcd: RcdAt) -> impl Iterator<Item = (Base, &crate::network::BaseNode)> {
    network.rcds[rcd].darkens.iter().flat_map(|circuit| {
        network.circuits[*circuit].base.iter().enumerate().map(|(place, load)| ((*circuit, place), load))
    })
}
