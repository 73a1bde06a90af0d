//! The seeded instances of `tests/reference/placement/`: invented shoots of 12, 40 and 120 heads.

#![expect(clippy::unwrap_used, reason = "a helper that finds nothing fails the test")]
#![expect(clippy::disallowed_methods, reason = "the instances are files")]

#[path = "instance/known.rs"]
mod known;
#[path = "instance/read.rs"]
mod read;

use ampwalk_core::solve::{Answer, Effort, Level, Solution, evaluate, solve};

fn solved(name: &str, effort: Effort) -> Solution {
    let problem = read::instance(name);
    let solution = solve(&problem, effort, &mut |_| true);
    assert_eq!(evaluate(&problem, &solution.chosen), Ok(solution.score), "{name}");
    solution
}

#[test]
fn shoots_of_twelve_heads_come_to_the_known_optimum_and_are_proven() {
    for (name, best) in known::SMALL {
        let solution = solved(name, Effort::default());
        assert_eq!(solution.answer, Answer::Optimal, "{name}");
        assert_eq!(known::of(&solution.score), best, "{name}");
    }
}

#[test]
fn shoots_of_forty_heads_come_near_the_known_optimum_and_no_bound_is_over_it() {
    let mut alike = 0;
    for (name, best) in known::MIDDLE {
        let solution = solved(name, Effort { rounds: 20_000, nodes: 2_000, prover: None });
        let (found, bound) = (known::of(&solution.score), known::of(&solution.bound));
        assert!(found >= best, "{name}: {found:?} is better than can be");
        // A bound is true where the levels above it are proven, and 0 after the first that is not.
        for (level, bound) in [Level::Dark, Level::Generator, Level::Metres].into_iter().zip(bound) {
            let at = solution.score.of(level);
            assert!(bound <= at, "{name}: {level:?} cannot be under {bound}, but is {at}");
        }
        assert!(bound <= best, "{name}: {bound:?} is over {best:?}");
        if found[..2] != best[..2] {
            continue;
        }
        alike += 1;
        let (found, least) = (found[2], best[2]);
        assert!(found * 100 <= least * 107, "{name}: {found} m for {least} m");
    }
    assert!(alike >= 8, "{alike} of 9 equal the known optimum above metres");
}
