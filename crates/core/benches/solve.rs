//! How long a placement takes on the seeded instances of 12, 40 and 120 heads: a first answer, and with proof.
//!
//! Run with `cargo bench -p ampwalk-core --bench solve`.

#![expect(clippy::unwrap_used, reason = "without its instances there is nothing to measure")]
#![expect(clippy::disallowed_methods, reason = "the instances are files")]

#[path = "../tests/instance/read.rs"]
mod read;

use std::hint::black_box;

use ampwalk_core::solve::{Effort, solve};
use criterion::{BenchmarkId, Criterion, criterion_group, criterion_main};

fn placements(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("place");
    group.sample_size(10);
    for name in ["S-tight-1", "M-tight-1", "L-tight-1"] {
        let problem = read::instance(name);
        let answer = Effort { rounds: 2_000, nodes: 0, prover: None };
        group.bench_with_input(BenchmarkId::new("answer", name), &problem, |bench, problem| {
            bench.iter(|| solve(black_box(problem), answer, &mut |_| true));
        });
        let proof = Effort { nodes: 20_000, ..Effort::default() };
        group.bench_with_input(BenchmarkId::new("proof", name), &problem, |bench, problem| {
            bench.iter(|| solve(black_box(problem), proof, &mut |_| true));
        });
    }
    group.finish();
}

criterion_group!(benches, placements);
criterion_main!(benches);
