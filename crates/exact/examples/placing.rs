//! What is known of seeded instances after so long.
//!
//! Called with milliseconds, then names such as `M-tight-1`. One line for each instance and time: name,
//! milliseconds asked, milliseconds taken, importance of what stays dark, cost of generators, moves, metres,
//! how many levels are proven, and the bound of the first that is not. Each time is a run of its own.

#![expect(clippy::unwrap_used, reason = "a tool for developers")]

#[path = "../../core/tests/instance/read.rs"]
mod read;

use std::time::{Duration, Instant};

use ampwalk_core::solve::{Effort, LEVELS, Level, solve};

fn main() {
    let (times, names): (Vec<String>, Vec<String>) =
        std::env::args().skip(1).partition(|word| word.parse::<u64>().is_ok());
    let effort = Effort { prover: ampwalk_exact::prover(), ..Effort::default() };
    for name in names {
        let problem = read::instance(&name);
        for time in &times {
            let limit = Duration::from_millis(time.parse().unwrap());
            let from = Instant::now();
            let solution = solve(&problem, effort, &mut |_| from.elapsed() < limit);
            let took = from.elapsed().as_millis();
            let (score, proven) = (solution.score, solution.proven);
            let [dark, generator, moves, metres] =
                [Level::Dark, Level::Generator, Level::Moves, Level::Metres].map(|level| score.of(level));
            let bound = problem.order().get(proven.min(LEVELS - 1)).map(|level| solution.bound.of(*level));
            let bound = bound.unwrap_or_default();
            println!("{name} {time} {took} {dark} {generator} {moves} {metres} {proven} {bound}");
        }
    }
}
