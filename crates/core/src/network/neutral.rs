//! Neutrals that several circuits share.

use crate::network::place::index_of;
use crate::network::{At, CircuitAt, CircuitNode, Dense, Known, NeutralAt, SupplyAt, SupplyNode};
use crate::plan::{Plan, Wiring};
use crate::unit::Amps;

/// A neutral wire that several circuits share.
#[derive(Clone, Debug, PartialEq)]
pub struct NeutralNode {
    /// The circuits, in the order of the plan; two at least.
    pub circuits: Vec<CircuitAt>,
    /// What it carries: it is no thicker than the smallest breaker among them asks for.
    pub limit: Known<Amps>,
    /// How the lines stand to each other whose loads meet in it: those of one supply. Loads of several
    /// supplies, which stand nohow to each other, are taken as of one line, the most that they can make.
    pub wiring: Option<Wiring>,
}

/// Circuits that share a neutral, each group in the order of the plan; two at least in each. One circuit that
/// says it is enough for both; chains are one group.
pub(crate) fn neutral_groups(plan: &Plan, count: usize) -> Vec<Vec<CircuitAt>> {
    if plan.circuits.values().all(|circuit| circuit.neutral_with.is_none()) {
        return Vec::new();
    }
    let mut leaders: Vec<usize> = (0..count).collect();
    for (place, circuit) in plan.circuits.values().enumerate() {
        let other = circuit.neutral_with.as_ref();
        let Some(other) = other.and_then(|id| index_of::<CircuitAt, _, _>(&plan.circuits, id.as_str()))
        else {
            continue;
        };
        let (one, other) = (leader(&mut leaders, place), leader(&mut leaders, other.get()));
        leaders[one.max(other)] = one.min(other);
    }
    let mut groups: Vec<Vec<CircuitAt>> = vec![Vec::new(); count];
    for place in 0..count {
        groups[leader(&mut leaders, place)].push(CircuitAt::new(place));
    }
    groups.retain(|group| group.len() > 1);
    groups
}

/// Finds the neutrals that circuits share, and marks the circuits with them. One circuit that says it is
/// enough for both; chains are one neutral.
pub(super) fn shared_neutrals(
    plan: &Plan,
    circuits: &mut Dense<CircuitAt, CircuitNode>,
    supplies: &Dense<SupplyAt, SupplyNode>,
) -> Dense<NeutralAt, NeutralNode> {
    let mut neutrals = Dense::default();
    for members in neutral_groups(plan, circuits.len()) {
        let Some(node) = neutral(circuits, supplies, members) else { continue };
        let members = node.circuits.clone();
        let at = neutrals.push(node);
        for circuit in members {
            circuits[circuit].neutral = Some(at);
        }
    }
    neutrals
}

/// The first circuit of the group that one belongs to; the way there is made shorter.
fn leader(leaders: &mut [usize], mut place: usize) -> usize {
    while leaders[place] != place {
        leaders[place] = leaders[leaders[place]];
        place = leaders[place];
    }
    place
}

fn neutral(
    circuits: &Dense<CircuitAt, CircuitNode>,
    supplies: &Dense<SupplyAt, SupplyNode>,
    members: Vec<CircuitAt>,
) -> Option<NeutralNode> {
    let breaker = |at: &CircuitAt| circuits[*at].breaker;
    let limit = members
        .iter()
        .map(breaker)
        .reduce(|least, next| if least.value.is_over(next.value) { next } else { least })?;
    let supply = circuits[*members.first()?].supply;
    let one_supply = members.iter().all(|at| circuits[*at].supply == supply);
    let wiring = supply.filter(|_| one_supply).map(|supply| supplies[supply].wiring.value);
    Some(NeutralNode { circuits: members, limit, wiring })
}
