//! How long it takes to say what to do after a trip, on a shoot of 120 heads: 200 trips, one after the other, the
//! time of each.
//!
//! Run with `cargo bench -p ampwalk-core --bench recover`.

#![expect(
    clippy::disallowed_types,
    clippy::disallowed_macros,
    reason = "the slowest of many trips is found by the clock, and told"
)]

#[path = "../tests/random/shoot.rs"]
mod shoot;
#[path = "../tests/random/trips.rs"]
mod trips;

use std::hint::black_box;
use std::sync::Arc;
use std::time::Duration;

use ampwalk_core::assess::assess;
use ampwalk_core::diagnose::{Trip, diagnose};
use ampwalk_core::file::parse;
use ampwalk_core::network::Network;
use criterion::{Criterion, criterion_group, criterion_main};

const TRIPS: usize = 200;

fn recoveries(criterion: &mut Criterion) {
    let parsed = parse(&shoot::shoot());
    assert!(parsed.problems.is_empty(), "{:?}", parsed.problems.first());
    let network = Network::of(Arc::new(parsed.plan));
    let assessment = assess(&network);
    let trips: Vec<Trip> = (0..TRIPS).map(|number| trips::trip(&network, &assessment, number)).collect();
    let mut slowest = (Duration::ZERO, 0);
    for (number, trip) in trips.iter().enumerate() {
        let from = std::time::Instant::now();
        black_box(diagnose(&network, &assessment, trip));
        slowest = slowest.max((from.elapsed(), number));
    }
    println!("slowest of {TRIPS} trips: {:?}, number {}", slowest.0, slowest.1);
    let mut group = criterion.benchmark_group("recover");
    group.sample_size(10);
    group.bench_function("slowest", |bench| {
        bench.iter(|| diagnose(&network, &assessment, black_box(&trips[slowest.1])));
    });
    let mut next = 0;
    group.bench_function("any", |bench| {
        bench.iter(|| {
            next = (next + 1) % TRIPS;
            diagnose(&network, &assessment, black_box(&trips[next]))
        });
    });
    group.finish();
}

criterion_group!(benches, recoveries);
criterion_main!(benches);
