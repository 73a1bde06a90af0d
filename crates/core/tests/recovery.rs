//! After a trip, on many plans: nothing lit moves, and nothing better is left undone.

#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]
#![expect(clippy::disallowed_methods, reason = "the environment says how many cases to try")]

#[path = "recovery/blind.rs"]
mod blind;
#[path = "recovery/every.rs"]
mod every;
#[path = "recovery/house.rs"]
mod house;
#[path = "random/shoot.rs"]
mod shoot;
#[path = "random/trips.rs"]
mod trips;

use std::collections::BTreeSet;
use std::sync::Arc;

use ampwalk_core::assess::{Assessment, assess};
use ampwalk_core::diagnose::{Diagnosis, Pattern, Relight, Trip, devices_of, diagnose};
use ampwalk_core::file::parse;
use ampwalk_core::network::{At, HeadAt, Network, SetupAt};
use ampwalk_core::plan::{Reset, TestOutcome};
use ampwalk_core::rule::Severity;

fn network(text: &str) -> Network {
    let parsed = parse(text);
    assert!(parsed.problems.is_empty(), "{:?}\n{text}", parsed.problems.first());
    Network::of(Arc::new(parsed.plan))
}

fn cases(name: &str, usually: usize) -> usize {
    std::env::var(name).ok().and_then(|cases| cases.parse().ok()).unwrap_or(usually)
}

/// Heads that get light at once or later, with where.
fn relit(told: &Diagnosis) -> impl Iterator<Item = &Relight> {
    told.now.iter().chain(told.later.iter().filter_map(|later| later.to.as_ref()))
}

/// The plan with the moves written into the setup.
fn written(network: &Network, told: &Diagnosis, setup: SetupAt) -> Network {
    let mut plan = (*network.plan).clone();
    for relight in relit(told).filter(|relight| relight.is_move()) {
        let sockets = &mut plan.setups.get_mut(network.setup_id(setup)).unwrap().sockets;
        sockets.insert(network.head_id(relight.head).clone(), Some(relight.placement(network)));
    }
    Network::of(Arc::new(plan))
}

fn worst(assessment: &Assessment, setup: SetupAt) -> BTreeSet<(&'static str, String)> {
    let worst = assessment.findings_in(setup).filter(|finding| finding.severity >= Severity::Dark);
    worst.map(|finding| (finding.rule.id, format!("{:?}", finding.subject))).collect()
}

/// What holds of every answer.
fn check(network: &Network, assessment: &Assessment, trip: &Trip, told: &Diagnosis) {
    let lit: BTreeSet<HeadAt> = told.lit.iter().chain(&told.unsure).copied().collect();
    let suspects: BTreeSet<HeadAt> = told.suspects().collect();
    for relight in relit(told) {
        assert!(!lit.contains(&relight.head), "a head that burns is moved: {relight:?}");
        assert!(!suspects.contains(&relight.head), "a suspect is lit: {relight:?}");
        assert_eq!(network.sockets[relight.to].test, TestOutcome::Ok);
        let is_pinned = network.plan.heads[network.head_id(relight.head)].pinned;
        assert!(!(is_pinned && relight.is_move()), "a pinned head is moved: {relight:?}");
    }
    let after = written(network, told, trip.setup);
    for head in &lit {
        let place = |network: &Network| network.setups[trip.setup].placed[*head].clone();
        assert_eq!(place(network), place(&after), "a head that burns is elsewhere");
    }
    for (at, setup) in after.setups.iter().filter(|(at, _)| *at != trip.setup) {
        assert_eq!(setup.placed, network.setups[at].placed, "another setup is changed");
    }
    let (before, after) = (worst(assessment, trip.setup), worst(&assess(&after), trip.setup));
    let worse: Vec<_> = after.difference(&before).collect();
    assert!(worse.is_empty(), "{worse:?} after {:?}", told.now);
    if told.pattern == Pattern::BreakerAndRcd {
        assert!(told.now.is_empty() && told.later.is_empty());
    }
    let (objective, bound) = (&told.proof.objective, &told.proof.bound);
    assert!(bound.dark_importance <= objective.dark_importance, "{:?}", told.proof);
    assert!(bound.moves <= objective.moves || !told.proof.is_most_light(), "{:?}", told.proof);
    let moves = relit(told).filter(|relight| relight.is_move()).count();
    assert_eq!(i64::try_from(moves).unwrap(), objective.moves, "{told:?}");
}

#[test]
fn trips_of_a_large_shoot_move_nothing_that_is_lit() {
    let network = network(&shoot::shoot());
    let assessment = assess(&network);
    let (mut moves, mut most_light, mut fewest) = (0, 0, 0);
    let trips = cases("AMPWALK_TRIP_CASES", 20);
    for number in 0..trips {
        let trip = trips::trip(&network, &assessment, number);
        let told = diagnose(&network, &assessment, &trip);
        check(&network, &assessment, &trip, &told);
        moves += told.proof.objective.moves;
        most_light += usize::from(told.proof.is_most_light());
        fewest += usize::from(told.proof.is_fewest_moves());
    }
    assert!(
        moves > 0 && fewest * 10 >= trips * 9,
        "{moves} moves; the fewest proven {fewest} times of {trips}, the most light {most_light} times"
    );
}

/// A trip there: an RCD or a breaker.
fn trip_in_house(network: &Network, assessment: &Assessment, seed: u64) -> Trip {
    let mut dice = house::Dice::new(seed ^ 0x5555);
    let device = dice.one_of(&["R0", "R0", "R1", "C0", "C1"]);
    let mut trip = Trip::of(network, SetupAt::new(0), vec![devices_of(network, device).unwrap()]);
    let order = &assessment.setups[SetupAt::new(0)].strike_order;
    trip.last_struck = (dice.under(3) == 0).then(|| order[dice.under(order.len())]);
    trip.reset = dice.one_of(&[Reset::NotTried, Reset::NotTried, Reset::Held]);
    trip
}

#[test]
fn no_way_that_enumeration_finds_lights_more_or_moves_less() {
    let (mut proven, mut moves) = (0, 0);
    let cases = cases("AMPWALK_RECOVER_CASES", 60);
    for seed in 0..cases as u64 {
        let text = house::house(seed);
        let network = network(&text);
        let assessment = assess(&network);
        let trip = trip_in_house(&network, &assessment, seed);
        let told = diagnose(&network, &assessment, &trip);
        check(&network, &assessment, &trip, &told);
        let every = every::Every::of(&network, &assessment, &trip, &told);
        let found = every.found(relit(&told));
        assert_eq!(every.broken(&found), None, "seed {seed}: {told:#?}\n{text}");
        let cost = every.cost(&found);
        assert_eq!((cost.0, cost.1), (told.proof.objective.dark_importance, told.proof.objective.moves));
        let better = every.better_than(cost);
        assert!(better.is_none(), "seed {seed}: {better:?} is better than {cost:?} {found:?}\n{text}");
        proven += usize::from(told.proof.is_fewest_moves());
        moves += told.proof.objective.moves;
    }
    assert!(moves > 0 && proven == cases, "{moves} moves, {proven} of {cases} proven");
}
