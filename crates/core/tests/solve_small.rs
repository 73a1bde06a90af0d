//! The solver against exhaustive enumeration on small random problems: the same optimum at every level,
//! and what is fixed found to break a limit exactly where it does.
//!
//! `AMPWALK_SOLVE_CASES` says how many.

#![expect(clippy::unwrap_used, reason = "a helper that finds nothing fails the test")]
#![expect(clippy::disallowed_methods, reason = "the environment says how many cases to try")]

#[path = "instance/small.rs"]
mod small;

use ampwalk_core::solve::{Answer, Effort, LEVELS, Problem, evaluate, solve};
use small::{SETUPS, cost, enumerate, problem};

fn cases() -> u64 {
    std::env::var("AMPWALK_SOLVE_CASES").ok().and_then(|cases| cases.parse().ok()).unwrap_or(100)
}

#[test]
fn the_optimum_is_that_of_exhaustive_enumeration_at_every_level() {
    for seed in 0..cases() {
        let problem = problem(seed);
        let best = enumerate(&problem);
        let solution = solve(&problem, Effort::default(), &mut |_| true);
        match best {
            None => assert_eq!(solution.answer, Answer::None, "seed {seed}: {problem:#?}"),
            Some(best) => {
                assert_eq!(solution.answer, Answer::Optimal, "seed {seed}: {solution:?} {problem:#?}");
                assert_eq!(solution.proven, LEVELS, "seed {seed}");
                let found = solution.score.in_order(&problem.order());
                assert_eq!(found, best, "seed {seed}: {solution:?} {problem:#?}");
                assert_eq!(cost(&problem, &solution.chosen), Some(best), "seed {seed}");
                assert_eq!(evaluate(&problem, &solution.chosen), Ok(solution.score), "seed {seed}");
                assert_eq!(solution.bound, solution.score, "seed {seed}");
            }
        }
    }
}

#[test]
fn proof_alone_finds_the_optimum_without_a_search_before_it() {
    for seed in 0..cases() {
        let problem = problem(seed);
        let Some(best) = enumerate(&problem) else { continue };
        let solution = solve(&problem, Effort { rounds: 0, nodes: 400_000, prover: None }, &mut |_| true);
        assert_eq!(solution.score.in_order(&problem.order()), best, "seed {seed}");
    }
}

#[test]
fn a_bound_is_never_over_the_optimum_and_a_stop_still_answers() {
    for seed in 0..cases() {
        let problem = problem(seed);
        let Some(best) = enumerate(&problem) else { continue };
        for stop_after in [0, 1, 3] {
            let mut asked = 0;
            let solution = solve(&problem, Effort { rounds: 40, nodes: 5, prover: None }, &mut |progress| {
                asked += 1;
                assert!(progress.bound.in_order(&problem.order()) <= best, "seed {seed}");
                asked <= stop_after
            });
            let (found, bound) =
                (solution.score.in_order(&problem.order()), solution.bound.in_order(&problem.order()));
            assert!(found >= best && bound <= best, "seed {seed}: {solution:?}");
            assert!(cost(&problem, &solution.chosen).is_some(), "seed {seed}");
            assert_eq!(solution.answer == Answer::Optimal, solution.proven > 4, "seed {seed}");
        }
    }
}

#[test]
fn the_same_problem_has_the_same_answer() {
    for seed in 0..20 {
        let problem = problem(seed);
        let once = solve(&problem, Effort::default(), &mut |_| true);
        assert_eq!(once, solve(&problem, Effort::default(), &mut |_| true));
    }
}

/// Leaves one constraint out of a problem.
type LeaveOut = fn(&mut Problem);

#[test]
fn a_solver_that_ignores_any_one_constraint_is_caught() {
    let without: [(&str, LeaveOut); 9] = [
        ("amps", |problem| {
            problem
                .rows
                .iter_mut()
                .filter(|row| row.family.is_some_and(|of| of < SETUPS))
                .for_each(|row| row.limit = 1000);
        }),
        ("amps of long runs", |problem| problem.rows.iter_mut().for_each(|row| row.lowered = None)),
        ("standing leakage", |problem| {
            problem.rows.iter_mut().filter(|row| row.family == Some(SETUPS)).for_each(|row| row.limit = 1000);
        }),
        ("ways", |problem| {
            problem
                .rows
                .iter_mut()
                .filter(|row| row.family == Some(SETUPS + 1))
                .for_each(|row| row.limit = 1000);
        }),
        ("leads", |problem| {
            problem.rows.iter_mut().filter(|row| row.family.is_none()).for_each(|row| row.limit = 1000);
        }),
        ("peak", |problem| problem.devices.iter_mut().for_each(|device| device.high = None)),
        ("generators", |problem| problem.generators = vec![0, 0]),
        ("neighbours", |problem| problem.neighbours.clear()),
        ("exclusions", |problem| problem.excluded.clear()),
    ];
    for (name, leave_out) in without {
        let caught = (0..200).any(|seed| {
            let whole = problem(seed);
            let mut less = whole.clone();
            leave_out(&mut less);
            let blind = solve(&less, Effort { rounds: 300, nodes: 20_000, prover: None }, &mut |_| true);
            cost(&whole, &blind.chosen) != enumerate(&whole)
        });
        assert!(caught, "nothing tells that {name} is ignored");
    }
}
