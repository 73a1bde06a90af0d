//! What a solution does to the plan, and what the whole then shows.

use std::collections::HashSet;
use std::sync::Arc;

use crate::assess::{Assessment, Finding, Subject, assess};
use crate::network::{HeadAt, Network, PlacedHead, SetupAt};
use crate::plan::Plan;

use super::Move;
use super::build::{Built, is_hard, named};
use super::spot::{Spot, placement, with_placements};

/// Where a spot goes.
fn place<'a>(built: &'a Built, chosen: &[Option<usize>], spot: usize) -> Option<&'a PlacedHead> {
    chosen[spot].map(|choice| &built.places[spot][choice])
}

/// The plan with the solution in it.
pub(super) fn plan_with(network: &Network, built: &Built, chosen: &[Option<usize>]) -> Plan {
    let placements = built
        .spots
        .iter()
        .enumerate()
        .filter(|(_, spot)| !spot.is_fixed)
        .map(|(at, spot)| (spot, place(built, chosen, at).map(|placed| placement(network, placed))));
    with_placements(network, placements)
}

/// What changes, in the order of the plan.
pub(super) fn moves(network: &Network, built: &Built, chosen: &[Option<usize>]) -> Vec<Move> {
    let mut moves = Vec::new();
    for (at, spot) in built.spots.iter().enumerate() {
        let to = place(built, chosen, at);
        if spot.is_fixed || to == spot.now.as_ref() {
            continue;
        }
        moves.push(Move {
            setup: spot.own,
            head: spot.head,
            from: spot.now.as_ref().map(|now| now.socket),
            to: to.map(|placed| placed.socket),
            placement: to.map(|placed| placement(network, placed)),
        });
    }
    moves
}

/// Heads that stay dark.
pub(super) fn unplaced(built: &Built, chosen: &[Option<usize>]) -> Vec<(Option<SetupAt>, HeadAt)> {
    let dark = built.spots.iter().zip(chosen).filter(|(_, choice)| choice.is_none());
    dark.map(|(spot, _)| (spot.own, spot.head)).collect()
}

fn assessed(network: &Network, built: &Built, chosen: &[Option<usize>]) -> (Network, Assessment) {
    let after = Network::of(Arc::new(plan_with(network, built, chosen)));
    let assessment = assess(&after);
    (after, assessment)
}

/// Hard findings that were not there with only the heads that stay.
fn broken<'a>(built: &Built, assessment: &'a Assessment) -> Vec<&'a Finding> {
    let key = |finding: &Finding| (finding.rule.id, finding.setup, finding.subject);
    let before: HashSet<_> = built.before.iter().filter(|finding| is_hard(finding)).map(key).collect();
    assessment.findings.iter().filter(|finding| is_hard(finding) && !before.contains(&key(finding))).collect()
}

/// The placed spots that take part in a finding.
pub(super) fn parties(
    after: &Network,
    built: &Built,
    chosen: &[Option<usize>],
    assessment: &Assessment,
    found: &Finding,
) -> Vec<usize> {
    // What a battery station gives in one setup is missing in the next.
    let is_stored = found.crossing.is_some_and(|crossing| crossing.unit == "kWh");
    let only = found.setup.filter(|_| !is_stored);
    let setups: Vec<SetupAt> = only.map_or_else(|| after.setups.indices().collect(), |at| vec![at]);
    let heads: Option<Vec<HeadAt>> = found.setup.and_then(|setup| {
        let used = &assessment.setups[setup];
        Some(match found.subject {
            Subject::Circuit(at) => {
                let circuit = &used.circuits[at];
                let shared =
                    after.circuits[at].neutral.map(|neutral| after.neutrals[neutral].circuits.clone());
                let others = shared.into_iter().flatten().flat_map(|at| used.circuits[at].heads.clone());
                circuit.heads.iter().chain(&circuit.possible_heads).copied().chain(others).collect()
            }
            Subject::Rcd(at) => {
                let rcd = &used.rcds[at];
                rcd.heads.iter().chain(&rcd.possible_heads).copied().collect()
            }
            Subject::Head(_) if found.rule.id != "two-sources" => vec![named(found)?],
            _ => return None,
        })
    });
    let is_party = |(at, spot): (usize, &Spot)| {
        let takes_part = heads.as_ref().is_none_or(|heads| heads.contains(&spot.head));
        let free = chosen[at].is_some() && !spot.is_fixed;
        (free && takes_part && spot.on.iter().chain(&spot.off).any(|at| setups.contains(at))).then_some(at)
    };
    built.spots.iter().enumerate().filter_map(is_party).collect()
}

/// Tells the placed spots that take part in each thing that a whole breaks.
pub(super) type Judge<'a> = dyn Fn(&Built, &[Option<usize>]) -> Vec<Breach> + 'a;

/// Something that a whole breaks.
pub(super) struct Breach {
    /// The rule.
    pub rule: &'static str,
    /// The placed spots that take part.
    pub spots: Vec<usize>,
}

/// The placed spots that take part in each hard finding of the whole that was not there before.
pub(super) fn broken_parties(network: &Network, built: &Built, chosen: &[Option<usize>]) -> Vec<Breach> {
    let (after, assessment) = assessed(network, built, chosen);
    let found = broken(built, &assessment);
    let breach = |found: &Finding| Breach {
        rule: found.rule.id,
        spots: parties(&after, built, chosen, &assessment, found),
    };
    found.into_iter().map(breach).collect()
}

/// A set of choices that may not stand together, and the rule that it breaks.
pub(super) type Lesson = (&'static str, Vec<(usize, usize)>);

/// Sets of choices that may not stand together, as the whole shows; none where it breaks nothing.
pub(super) fn lessons(judge: &Judge<'_>, built: &Built, chosen: &[Option<usize>]) -> Vec<Lesson> {
    let mut lessons: Vec<Lesson> = Vec::new();
    for breach in judge(built, chosen) {
        let set: Vec<(usize, usize)> =
            breach.spots.into_iter().filter_map(|at| Some((at, chosen[at]?))).collect();
        if !set.is_empty() && lessons.iter().all(|(_, known)| *known != set) {
            lessons.push((breach.rule, set));
        }
    }
    lessons
}

/// Takes heads out, the least important first, until the whole breaks nothing.
pub(super) fn lift_the_rest(judge: &Judge<'_>, built: &Built, chosen: &mut [Option<usize>]) {
    loop {
        let broken = judge(built, chosen);
        let Some(first) = broken.into_iter().next() else { return };
        let least = first.spots.into_iter().min_by_key(|at| built.problem.items[*at].importance);
        let Some(least) = least else { return };
        chosen[least] = None;
    }
}
