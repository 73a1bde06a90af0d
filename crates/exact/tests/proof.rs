//! What the exact prover proves: the published assignments, the seeded instances, and small random problems
//! as exhaustive enumeration has them.

#![cfg(feature = "exact")]
#![expect(clippy::unwrap_used, reason = "a helper that finds nothing fails the test")]

#[path = "../../core/tests/instance/gap.rs"]
mod gap;
#[path = "../../core/tests/instance/known.rs"]
mod known;
#[path = "../../core/tests/instance/read.rs"]
mod read;
#[path = "../../core/tests/instance/small.rs"]
mod small;

use ampwalk_core::solve::{Answer, Effort, LEVELS, Level, evaluate, solve};

/// A short search, then the prover.
fn effort() -> Effort {
    Effort { rounds: 1_000, nodes: 0, prover: ampwalk_exact::prover() }
}

#[test]
fn sixty_published_assignments_come_to_their_optimum_and_are_proven() {
    let instances = gap::instances();
    assert_eq!(instances.len(), 60);
    for instance in instances {
        let solution = solve(&instance.problem, effort(), &mut |_| true);
        assert_eq!(instance.earned(&solution), Some(instance.optimum), "{}", instance.name);
        assert_eq!(solution.answer, Answer::Optimal, "{}", instance.name);
        assert_eq!(evaluate(&instance.problem, &solution.chosen), Ok(solution.score), "{}", instance.name);
    }
}

#[test]
fn shoots_of_twelve_and_forty_heads_come_to_their_optimum_and_are_proven_at_every_level() {
    for (name, best) in known::SMALL.into_iter().chain(known::MIDDLE) {
        let problem = read::instance(name);
        let solution = solve(&problem, effort(), &mut |_| true);
        assert_eq!(known::of(&solution.score), best, "{name}");
        assert_eq!(solution.proven, LEVELS, "{name}");
        assert_eq!(solution.bound, solution.score, "{name}");
        assert_eq!(evaluate(&problem, &solution.chosen), Ok(solution.score), "{name}");
    }
}

#[test]
fn the_prover_alone_finds_the_optimum_of_exhaustive_enumeration_at_every_level() {
    for seed in 0..300 {
        let problem = small::problem(seed);
        let Some(best) = small::enumerate(&problem) else { continue };
        let effort = Effort { rounds: 0, ..effort() };
        let solution = solve(&problem, effort, &mut |_| true);
        assert_eq!(solution.score.in_order(&problem.order()), best, "seed {seed}: {problem:#?}");
        assert_eq!(solution.proven, LEVELS, "seed {seed}: {problem:#?}");
        assert_eq!(solution.bound, solution.score, "seed {seed}");
        assert_eq!(small::cost(&problem, &solution.chosen), Some(best), "seed {seed}");
    }
}

#[test]
fn a_prover_that_nobody_waits_for_leaves_the_best_so_far() {
    let problem = read::instance("L-tight-2");
    let mut left = 50;
    let solution = solve(&problem, effort(), &mut |_| {
        left -= 1;
        left > 0
    });
    assert_eq!(evaluate(&problem, &solution.chosen), Ok(solution.score));
    assert!(solution.bound.of(Level::Dark) <= solution.score.of(Level::Dark));
}
