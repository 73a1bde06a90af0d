//! The seeded instances of `tests/reference/placement/`: invented shoots of 12, 40 and 120 heads.
//!
//! The optima beside the names were proven by the solver `HiGHS` 1.16 on the same grouped model, importance first and
//! the other levels weighted after it (its MIP gap 0).

#![expect(clippy::unwrap_used, reason = "a helper that finds nothing fails the test")]
#![expect(clippy::disallowed_methods, reason = "the instances are files")]

#[path = "instance/read.rs"]
mod read;

use ampwalk_core::solve::{Answer, Effort, Level, Problem, Solution, evaluate, solve};

/// Name, importance of what stays dark, cost of generators, metres of lead.
const SMALL: [(&str, i64, i64, i64); 9] = [
    ("S-infeasible-1", 10, 0, 37),
    ("S-infeasible-2", 4, 100, 45),
    ("S-infeasible-3", 1, 100, 76),
    ("S-loose-1", 0, 0, 60),
    ("S-loose-2", 0, 0, 43),
    ("S-loose-3", 0, 0, 50),
    ("S-tight-1", 0, 100, 97),
    ("S-tight-2", 0, 0, 71),
    ("S-tight-3", 0, 0, 82),
];

const MIDDLE: [(&str, i64, i64, i64); 9] = [
    ("M-infeasible-1", 11, 100, 225),
    ("M-infeasible-2", 5, 100, 249),
    ("M-infeasible-3", 3, 100, 216),
    ("M-loose-1", 0, 0, 295),
    ("M-loose-2", 0, 0, 213),
    ("M-loose-3", 0, 0, 247),
    ("M-tight-1", 0, 100, 304),
    ("M-tight-2", 6, 100, 174),
    ("M-tight-3", 0, 100, 255),
];

fn instance(name: &str) -> Problem {
    let path = format!("{}/../../tests/reference/placement/{name}.json", env!("CARGO_MANIFEST_DIR"));
    read::problem(&std::fs::read_to_string(path).unwrap())
}

fn solved(name: &str, effort: Effort) -> Solution {
    let problem = instance(name);
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
        let solution = solved(name, Effort { rounds: 6_000, nodes: 2_000 });
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
