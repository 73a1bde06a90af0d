//! What is known of seeded instances after so long.
//!
//! Called with milliseconds, then names such as `M-tight-1`, or files of such instances, `.json`. One line for
//! each instance and time: name, milliseconds asked, milliseconds taken, importance of what stays dark, cost
//! of generators, moves, metres, how many levels are proven, the bound of the first that is not, and where
//! each head goes: the number of its place (sockets of one room and circuit, as they come), or `-`. Each
//! time is a run of its own. `tests/peers/placing.py` sets this beside solvers from outside.

#![expect(clippy::unwrap_used, reason = "a tool for developers")]

#[path = "../../core/tests/instance/read.rs"]
mod read;

use std::time::{Duration, Instant};

use ampwalk_core::solve::{Effort, LEVELS, Level, Problem, Solution, solve};

fn main() {
    let (times, names): (Vec<String>, Vec<String>) =
        std::env::args().skip(1).partition(|word| word.parse::<u64>().is_ok());
    let effort = Effort { prover: ampwalk_exact::prover(), ..Effort::default() };
    for name in names {
        let problem = problem(&name);
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
            let places = places(&problem, &solution);
            println!("{name} {time} {took} {dark} {generator} {moves} {metres} {proven} {bound} {places}");
        }
    }
}

/// The problem of an instance, by its name or its file.
fn problem(name: &str) -> Problem {
    if std::path::Path::new(name).extension().is_some_and(|kind| kind == "json") {
        return read::problem(&std::fs::read_to_string(name).unwrap());
    }
    read::instance(name)
}

/// Where each head goes, with commas between. Places are the rows of the last family, and what a choice
/// loads first.
fn places(problem: &Problem, solution: &Solution) -> String {
    let last = problem.rows.iter().filter_map(|row| row.family).max();
    let first = problem.rows.iter().position(|row| row.family == last).unwrap();
    let place = |(item, choice): (usize, &Option<usize>)| {
        choice.map_or_else(
            || "-".to_owned(),
            |choice| (problem.items[item].choices[choice].loads[0].row - first).to_string(),
        )
    };
    solution.chosen.iter().enumerate().map(place).collect::<Vec<_>>().join(",")
}
