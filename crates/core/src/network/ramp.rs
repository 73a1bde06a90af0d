//! What the ramp tests say of each RCD.

use crate::library::Region;
use crate::network::place::index_of;
use crate::network::{
    At, CircuitAt, Dense, HeadAt, HeadNode, RampReading, RcdAt, RcdNode, Reach, ReachAt, SocketAt, SocketNode,
};
use crate::plan::{BaseLoadRef, Plan, Ramp};

/// A ramp test that went to a step at which a working RCD must have dropped, and none did.
pub(super) fn never_tripped(ramp: &Ramp, region: &Region) -> bool {
    ramp.tripped.is_none() && ramp.held.reaches(region.must_trip_ma)
}

/// Hands each ramp test to the RCDs that it says something of: the one that dropped gets both ends,
/// one in the chain that stayed up gets the lower end only.
pub(super) fn take_readings(
    plan: &Plan,
    heads: &Dense<HeadAt, HeadNode>,
    sockets: &Dense<SocketAt, SocketNode>,
    reaches: &Dense<ReachAt, Reach>,
    rcds: &mut Dense<RcdAt, RcdNode>,
) {
    let region = plan.location.region.unwrap_or_default().region();
    for (socket_at, socket) in sockets.iter() {
        let Some((_, plan_socket)) = plan.sockets.get_index(socket_at.get()) else {
            continue;
        };
        for ramp in &plan_socket.ramps {
            let mut chain: Vec<RcdAt> = Vec::new();
            if let Some(portable) = socket.portable {
                chain.push(portable);
                chain.extend(&rcds[portable].upstream);
            }
            for rcd in reaches[socket.reach].certain_rcds() {
                if !chain.contains(&rcd) {
                    chain.push(rcd);
                }
            }
            let named = ramp.dropped.as_ref().and_then(|id| index_of(&plan.rcds, id.as_str()));
            if let Some(named) = named
                && !chain.contains(&named)
            {
                chain.push(named);
            }
            let dropped = named.or(chain.first().copied());
            for rcd in chain {
                let tripped = ramp.tripped.filter(|_| dropped == Some(rcd));
                let never =
                    never_tripped(ramp, region) && !rcds[rcd].rated.value.is_over(region.must_trip_ma);
                rcds[rcd].readings.push(RampReading {
                    socket: socket_at,
                    held: ramp.held,
                    tripped,
                    passed_through: dropped != Some(rcd),
                    never,
                    off: ramp.off.iter().filter_map(|base| base_load(plan, base)).collect(),
                    heads_leak: ramp
                        .heads_on
                        .iter()
                        .filter_map(|id| index_of::<HeadAt, _, _>(&plan.heads, id.as_str()))
                        .map(|head| heads[head].leak.value.high)
                        .sum(),
                });
            }
        }
    }
}

/// The circuit of a base load, and its place in that circuit's list.
pub(super) fn base_load(plan: &Plan, base: &BaseLoadRef) -> Option<(CircuitAt, usize)> {
    let (index, _, circuit) = plan.circuits.get_full(base.circuit.as_str())?;
    let place = circuit.base.iter().position(|load| load.name.as_deref() == Some(base.name.as_str()))?;
    Some((CircuitAt::new(index), place))
}
