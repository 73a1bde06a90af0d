//! What tracing a building takes, one breaker at a time and by halves: rounds, breakers switched off and on, sockets
//! looked at again, minutes. Random houses of 12 circuits and 40 sockets, every socket on any circuit as likely.
//!
//! `cargo run --release -p ampwalk-core --example tracing`; `AMPWALK_TRACE_CASES` says how many houses, 1,000 by
//! default.

#![expect(clippy::disallowed_macros, clippy::disallowed_methods, reason = "an example tells what it found")]
#![expect(clippy::unwrap_used, reason = "a helper that finds nothing ends the example")]

#[path = "../tests/tracing/walk.rs"]
mod walk;

use ampwalk_core::trace::next::{MINUTES_A_FLIP, MINUTES_A_ROUND, MINUTES_A_VISIT, Mode};
use walk::{Building, Walk, mean};

const CIRCUITS: usize = 12;
const SOCKETS: usize = 40;

fn main() {
    let houses =
        std::env::var("AMPWALK_TRACE_CASES").ok().and_then(|cases| cases.parse().ok()).unwrap_or(1000);
    println!(
        "{houses} houses of {CIRCUITS} circuits and {SOCKETS} sockets; minutes: {MINUTES_A_ROUND} a round, \
         {MINUTES_A_FLIP} a breaker, {MINUTES_A_VISIT} a socket (common practice, no source)"
    );
    println!(
        "{:<10} {:>8} {:>8} {:>8} {:>8}   expected minutes, not known at the end",
        "", "rounds", "flips", "visits", "minutes"
    );
    for (name, mode) in [("single", Mode::Single), ("halving", Mode::Halving)] {
        let walks: Vec<Walk> =
            (0..houses).map(|number| Building::random(number, CIRCUITS, SOCKETS).walk(mode)).collect();
        println!(
            "{name:<10} {:>8.2} {:>8.2} {:>8.1} {:>8.1}   {:.1}, {}",
            mean(&walks, |walk| walk.took.rounds),
            mean(&walks, |walk| walk.took.flips),
            mean(&walks, |walk| walk.took.visits),
            mean(&walks, |walk| walk.took.minutes()),
            mean(&walks, |walk| walk.expected.minutes()),
            walks.iter().map(|walk| walk.unknown).sum::<usize>()
        );
    }
}
