//! The generalized assignments gap1 to gap12 of the OR-Library against their published optima.

#![expect(clippy::unwrap_used, reason = "a helper that finds nothing fails the test")]
#![expect(clippy::disallowed_methods, reason = "the assignments are files")]

#[path = "instance/gap.rs"]
mod gap;

use ampwalk_core::solve::{Effort, evaluate, solve};

#[test]
fn sixty_published_assignments_come_within_half_a_percent_of_their_optimum() {
    let instances = gap::instances();
    assert_eq!(instances.len(), 60);
    for instance in instances {
        let name = &instance.name;
        let effort = Effort { nodes: 20_000, ..Effort::default() };
        let solution = solve(&instance.problem, effort, &mut |_| true);
        assert_eq!(evaluate(&instance.problem, &solution.chosen), Ok(solution.score), "{name}");
        let earned = instance.earned(&solution).unwrap_or_else(|| panic!("{name}: a job is left"));
        assert!(earned <= instance.optimum, "{name}: {earned} is more than can be earned");
        assert!(earned * 1000 >= instance.optimum * 995, "{name}: {earned} of {}", instance.optimum);
    }
}
