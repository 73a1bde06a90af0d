//! A recovery that does not mind one thing: it is caught by what minds it. The blind one is the solver itself,
//! given the plan or the trip without the thing; its answer is judged with it.

use std::sync::Arc;

use ampwalk_core::assess::assess;
use ampwalk_core::diagnose::{Diagnosis, Trip, diagnose};
use ampwalk_core::network::Network;
use ampwalk_core::plan::Reset;
use ampwalk_core::unit::{Amps, Leakage};

use super::every::Every;
use super::{house, network, relit, trip_in_house};

/// Small houses, of which in some the thing decides.
const HOUSES: u64 = 80;

/// In how many houses the answer to a question without the thing is caught by `catches`, given the true
/// trip, the true answer and the blind one.
fn caught(
    blind: impl Fn(&Network, &Trip, &Diagnosis) -> (Network, Trip),
    catches: impl Fn(&Every<'_>, &Diagnosis, &Diagnosis) -> bool,
) -> usize {
    let is_caught = |seed: &u64| {
        let network = network(&house::house(*seed));
        let assessment = assess(&network);
        let trip = trip_in_house(&network, &assessment, *seed);
        let told = diagnose(&network, &assessment, &trip);
        let every = Every::of(&network, &assessment, &trip, &told);
        let (other, otherwise) = blind(&network, &trip, &told);
        let answer = diagnose(&other, &assess(&other), &otherwise);
        assert!(!catches(&every, &told, &told), "seed {seed}: the one that sees is caught");
        catches(&every, &told, &answer)
    };
    (0..HOUSES).filter(is_caught).count()
}

/// What a minute's look at the answers says: the thing decides in so many houses at least.
const SOME: usize = 3;

#[test]
fn a_recovery_blind_to_suspects_is_caught() {
    let blind = |network: &Network, trip: &Trip, _: &Diagnosis| {
        (network.clone(), Trip { last_struck: None, ..trip.clone() })
    };
    let lights_a_suspect = |_: &Every<'_>, told: &Diagnosis, answer: &Diagnosis| {
        told.suspects().any(|head| relit(answer).any(|relight| relight.head == head))
    };
    let count = caught(blind, lights_a_suspect);
    assert!(count >= SOME, "caught in {count} houses");
}

#[test]
fn a_recovery_blind_to_dead_sockets_is_caught() {
    // As if the reset had held: everything is live again.
    let blind = |network: &Network, trip: &Trip, _: &Diagnosis| {
        (network.clone(), Trip { reset: Reset::Held, ..trip.clone() })
    };
    let uses_a_dead_one = |every: &Every<'_>, _: &Diagnosis, answer: &Diagnosis| {
        relit(answer).any(|relight| !every.is_live(relight.to))
    };
    let count = caught(blind, uses_a_dead_one);
    assert!(count >= SOME, "caught in {count} houses");
}

#[test]
fn a_recovery_blind_to_what_burns_is_caught() {
    // As if what burns drew next to nothing and leaked nothing.
    let blind = |network: &Network, trip: &Trip, told: &Diagnosis| {
        let mut plan = (*network.plan).clone();
        for head in &told.lit {
            if let Some(head) = plan.heads.get_mut(network.head_id(*head)) {
                head.amps = Some(Amps(0.01));
                (head.leak, head.strike) = (Some(Leakage::ZERO), Some(Leakage::ZERO));
            }
        }
        (Network::of(Arc::new(plan)), trip.clone())
    };
    let breaks = |every: &Every<'_>, _: &Diagnosis, answer: &Diagnosis| {
        every.broken(&every.found(relit(answer))).is_some()
    };
    let count = caught(blind, breaks);
    assert!(count >= SOME, "caught in {count} houses");
}
