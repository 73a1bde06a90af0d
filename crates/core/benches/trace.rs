//! How long tracing takes in a large building: 80 circuits, 400 sockets that nobody traced, 100 tests of which each
//! says something of every fourth socket.
//!
//! Run with `cargo bench -p ampwalk-core --bench trace`. The limit is 5 ms for an update of the trace.

use std::fmt::Write as _;
use std::hint::black_box;
use std::sync::Arc;

use ampwalk_core::file::parse;
use ampwalk_core::network::Network;
use ampwalk_core::trace::{Readings, Report, Survey};
use criterion::{Criterion, criterion_group, criterion_main};

const CIRCUITS: usize = 80;
const SOCKETS: usize = 400;
const TESTS: usize = 100;

/// The circuit that a socket is really on.
fn truth(socket: usize) -> usize {
    socket * 7 % CIRCUITS
}

/// Every fourth test is of an RCD, every fourth of several breakers at once.
fn tests(text: &mut String, tests: usize) {
    for test in 0..tests {
        let first = test * 13 % CIRCUITS;
        let off: Vec<usize> = match test % 4 {
            0 => (first / 4 * 4..first / 4 * 4 + 4).collect(),
            1 => (0..CIRCUITS / 2).map(|step| (first + 2 * step) % CIRCUITS).collect(),
            _ => vec![first],
        };
        if test % 4 == 0 {
            let _ = writeln!(text, "[[trace]]\noff = \"R{}\"", first / 4);
        } else {
            let _ = writeln!(text, "[[trace]]\noff = \"C{}\"", off[0]);
        }
        if test % 4 == 1 {
            let others: Vec<String> = off[1..].iter().map(|circuit| format!("\"C{circuit}\"")).collect();
            let _ = writeln!(text, "also_off = [{}]", others.join(", "));
        }
        let seen = (test % 4..SOCKETS).step_by(4);
        let (dead, live): (Vec<usize>, Vec<usize>) = seen.partition(|socket| off.contains(&truth(*socket)));
        for (key, sockets) in [("dead", dead), ("live", live)] {
            let ids: Vec<String> = sockets.iter().map(|socket| format!("\"S{socket}\"")).collect();
            let _ = writeln!(text, "{key} = [{}]", ids.join(", "));
        }
    }
}

fn network(tests_made: usize) -> Network {
    let mut text = String::from(
        "ampwalk = 1\n[location]\nregion = \"au\"\nboard = \"found\"\n[supply.house]\nkind = \"mains\"\n\
         [floor.g]\nlevel = 0\n[room.g]\nfloor = \"g\"\n",
    );
    for rcd in 0..CIRCUITS / 4 {
        let _ = writeln!(text, "[rcd.R{rcd}]\nrated_ma = 30");
    }
    for circuit in 0..CIRCUITS {
        let _ = writeln!(
            text,
            "[circuit.C{circuit}]\nsupply = \"house\"\nbreaker_a = 20\nrcd = \"R{}\"",
            circuit / 4
        );
    }
    for socket in 0..SOCKETS {
        let _ = writeln!(text, "[socket.S{socket}]\nroom = \"g\"\nlabel = \"C{}\"", truth(socket));
    }
    tests(&mut text, tests_made);
    let parsed = parse(&text);
    assert!(parsed.problems.is_empty(), "{:?}", parsed.problems.first());
    Network::of(Arc::new(parsed.plan))
}

fn benches(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("trace");
    for tests_made in [0, 10, TESTS] {
        let network = network(tests_made);
        group.bench_function(format!("sets after {tests_made} tests"), |bencher| {
            bencher.iter(|| {
                let survey = Survey::of(black_box(&network));
                let readings = Readings::of(&survey.problem);
                survey.problem.sockets.indices().map(|socket| readings.circuits(socket).len()).sum::<usize>()
            });
        });
        group.bench_function(format!("report after {tests_made} tests"), |bencher| {
            bencher.iter(|| Report::of(black_box(&network)));
        });
        group.bench_function(format!("resolve after {tests_made} tests"), |bencher| {
            bencher.iter(|| Network::of(black_box(Arc::clone(&network.plan))));
        });
    }
    group.finish();
}

criterion_group! {
    name = all;
    config = Criterion::default().sample_size(20);
    targets = benches
}
criterion_main!(all);
