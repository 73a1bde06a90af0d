//! The generalized assignments gap1 to gap12 of the OR-Library against their published optima: one of each of
//! the twelve sets, or all sixty where `AMPWALK_GAP` is `all`.

#![expect(clippy::unwrap_used, reason = "a helper that finds nothing fails the test")]
#![expect(clippy::disallowed_methods, reason = "the assignments are files")]

#[path = "instance/gap.rs"]
mod gap;

use ampwalk_core::solve::{Effort, evaluate, solve};

/// Instances of a set, which differ in their numbers alone.
const OF_A_SET: usize = 5;

#[test]
fn sixty_published_assignments_come_within_half_a_percent_of_their_optimum() {
    let instances = gap::instances();
    assert_eq!(instances.len(), 60);
    let every = if std::env::var("AMPWALK_GAP").is_ok_and(|word| word == "all") { 1 } else { OF_A_SET };
    for instance in instances.into_iter().step_by(every) {
        let name = &instance.name;
        let effort = Effort { rounds: 20_000, nodes: 2_000, prover: None };
        let solution = solve(&instance.problem, effort, &mut |_| true);
        assert_eq!(evaluate(&instance.problem, &solution.chosen), Ok(solution.score), "{name}");
        let earned = instance.earned(&solution).unwrap_or_else(|| panic!("{name}: a job is left"));
        assert!(earned <= instance.optimum, "{name}: {earned} is more than can be earned");
        assert!(earned * 1000 >= instance.optimum * 995, "{name}: {earned} of {}", instance.optimum);
    }
}
