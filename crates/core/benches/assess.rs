//! How long it takes to read, resolve and assess plans from a shoot's size to a campus's.
//!
//! Run with `cargo bench -p ampwalk-core`.

#[path = "assess/plan.rs"]
mod plan;

use std::hint::black_box;
use std::sync::Arc;

use ampwalk_core::assess::assess;
use ampwalk_core::file::parse;
use ampwalk_core::network::Network;
use criterion::{BenchmarkId, Criterion, Throughput, criterion_group, criterion_main};
use plan::{SIZES, plan};

fn network(text: &str) -> Network {
    let parsed = parse(text);
    assert!(parsed.problems.is_empty(), "{:?}", parsed.problems.first());
    Network::of(Arc::new(parsed.plan))
}

fn every_size(
    criterion: &mut Criterion,
    name: &str,
    mut step: impl FnMut(&mut criterion::Bencher<'_>, &str),
) {
    let mut group = criterion.benchmark_group(name);
    for size in SIZES {
        let text = plan(size);
        group.throughput(Throughput::Elements(size.heads as u64));
        group.bench_function(BenchmarkId::from_parameter(size.heads), |bencher| step(bencher, &text));
    }
    group.finish();
}

fn benches(criterion: &mut Criterion) {
    every_size(criterion, "assess", |bencher, text| {
        let network = network(text);
        bencher.iter(|| assess(black_box(&network)));
    });
    every_size(criterion, "resolve", |bencher, text| {
        let plan = Arc::new(parse(text).plan);
        bencher.iter(|| Network::of(black_box(Arc::clone(&plan))));
    });
    every_size(criterion, "parse", |bencher, text| bencher.iter(|| parse(black_box(text))));
}

criterion_group! {
    name = all;
    config = Criterion::default().sample_size(20);
    targets = benches
}
criterion_main!(all);
