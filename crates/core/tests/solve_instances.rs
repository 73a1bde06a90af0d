//! The seeded instances of `tests/reference/placement/`: invented shoots of 12, 40 and 120 heads.

#![expect(clippy::unwrap_used, reason = "a helper that finds nothing fails the test")]
#![expect(clippy::disallowed_methods, reason = "the instances are files")]

#[path = "instance/known.rs"]
mod known;
#[path = "instance/read.rs"]
mod read;

use ampwalk_core::solve::{Answer, Effort, Level, Solution, evaluate, solve};
use known::{MIDDLE, SMALL};

fn solved(name: &str, effort: Effort) -> Solution {
    let problem = read::instance(name);
    let solution = solve(&problem, effort, &mut |_| true);
    assert_eq!(evaluate(&problem, &solution.chosen), Ok(solution.score), "{name}");
    solution
}

#[test]
fn shoots_of_twelve_heads_come_to_the_known_optimum_and_are_proven() {
    for (name, dark, generator, metres) in SMALL {
        let solution = solved(name, Effort::default());
        assert_eq!(solution.answer, Answer::Optimal, "{name}");
        let score = solution.score;
        let found = (score.of(Level::Dark), score.of(Level::Generator), score.of(Level::Metres));
        assert_eq!(found, (dark, generator, metres), "{name}");
    }
}

#[test]
fn shoots_of_forty_heads_come_near_the_known_optimum_and_no_bound_is_over_it() {
    let mut alike = 0;
    for (name, dark, generator, metres) in MIDDLE {
        let solution = solved(name, Effort { rounds: 6_000, nodes: 2_000, prover: None });
        let (score, bound) = (solution.score, solution.bound);
        let above = (score.of(Level::Dark), score.of(Level::Generator));
        assert!(above >= (dark, generator), "{name}: {score:?}");
        assert!(bound.of(Level::Dark) <= dark, "{name}: {bound:?}");
        if above != (dark, generator) {
            continue;
        }
        alike += 1;
        assert!(bound.of(Level::Generator) <= generator, "{name}: {bound:?}");
        assert!(bound.of(Level::Metres) <= metres, "{name}: {bound:?}");
        let found = score.of(Level::Metres);
        assert!(found >= metres && found * 100 <= metres * 115, "{name}: {found} m for {metres} m");
    }
    assert!(alike >= 7, "{alike} of 9 equal the known optimum above metres");
}
