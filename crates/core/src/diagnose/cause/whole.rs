//! Causes of a trip in which all of a supply went dark, or its meter.

use crate::network::SupplyAt;
use crate::plan::SupplyKind;
use crate::rule::words::pair;

use super::{Case, Cause, Kind, Likelihood};
use crate::diagnose::device::Lost;

fn supply_of(case: &Case<'_>) -> Option<SupplyAt> {
    case.trip.lost.iter().find_map(|lost| match lost {
        Lost::Supply(at) | Lost::Meter(at) => Some(*at),
        _ => None,
    })
}

/// Everything is dark.
pub(super) fn supply(case: &Case<'_>) -> Vec<Cause> {
    let Some(at) = supply_of(case) else { return Vec::new() };
    let (node, used) = (&case.network.supplies[at], &case.assessment.setups[case.trip.setup].supplies[at]);
    let (_, amps) = used.busiest();
    let id = &node.id;
    let over = node.limit.is_some_and(|limit| amps.is_over(limit.value));
    let carries = node.limit.map_or(format!("nobody knows the limit of {id}"), |limit| {
        let (amps, of) = pair(amps.0, limit.value.0);
        format!("{id} gives {amps} of {of} A a line")
    });
    let own = if over { Likelihood::Likely } else { Likelihood::Possible };
    if node.kind != SupplyKind::Mains {
        return vec![
            Cause::new(
                Kind::SupplyGone,
                if over { Likelihood::Possible } else { Likelihood::Likely },
                "it stopped: fuel, charge, heat or its own protection",
                "a plan cannot see it",
                "heads off; who runs it looks at its panel",
            ),
            Cause::new(Kind::Overload, own, format!("more than {id} gives"), carries, "fewer heads on it"),
        ];
    }
    let gone = if over { Likelihood::Possible } else { Likelihood::Likely };
    vec![
        Cause::new(
            Kind::SupplyGone,
            gone,
            "the supply itself",
            "likely if the neighbours are dark as well: look",
            "heads off, wait for the grid; a service fuse is for the grid only",
        ),
        Cause::new(
            Kind::Overload,
            own,
            "main switch or service fuse",
            format!("{carries}; likely if the neighbours have light"),
            "heads off; the owner and a licensed electrician reset it",
        ),
    ]
}

/// The meter is off, and every switch on the board is up.
pub(super) fn meter(case: &Case<'_>) -> Vec<Cause> {
    let Some(at) = supply_of(case) else { return Vec::new() };
    let (node, used) = (&case.network.supplies[at], &case.assessment.setups[case.trip.setup].supplies[at]);
    let (over, evidence) = match node.contract {
        Some(contract) => {
            let (kw, of) = pair(used.kw.0, contract.0);
            (used.kw.is_over(contract), format!("the heads take {kw} kW of {of} kW"))
        }
        None => (false, "nobody knows the contract".to_owned()),
    };
    let likelihood = if over { Likelihood::Likely } else { Likelihood::Possible };
    let gone = if over { Likelihood::Possible } else { Likelihood::Likely };
    vec![
        Cause::new(
            Kind::Contract,
            likelihood,
            "more power than was contracted",
            evidence,
            "heads off until the house and the rest fit; then whoever holds the contract resets the meter",
        ),
        Cause::new(
            Kind::SupplyGone,
            gone,
            "the meter was cut from afar, or the supply is gone",
            "look at its display, and whether the neighbours have light",
            "whoever holds the contract calls the grid",
        ),
    ]
}
