//! The solver against exhaustive enumeration on small random problems: the same optimum at every level,
//! and what is fixed found to break a limit exactly where it does.
//!
//! `AMPWALK_SOLVE_CASES` says how many.

#![expect(clippy::unwrap_used, reason = "a helper that finds nothing fails the test")]
#![expect(clippy::disallowed_methods, reason = "the environment says how many cases to try")]

#[path = "instance/small.rs"]
mod small;

use ampwalk_core::solve::{Answer, Choice, Effort, LEVELS, Limit, Problem, Row, conflict, evaluate, solve};
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

/// The limits by kind: amps, standing leakage, ways, leads, peaks, neighbours, exclusions.
fn kinds(problem: &Problem) -> Vec<Vec<Limit>> {
    let kind = |limit: &Limit| match limit {
        Limit::Row(row) => match problem.rows[*row].family {
            Some(family) if family < SETUPS => 0,
            Some(SETUPS) => 1,
            Some(_) => 2,
            None => 3,
        },
        Limit::Device(_) => 4,
        Limit::Neighbours(_) => 5,
        Limit::Excluded(_) => 6,
    };
    let mut kinds = vec![Vec::new(); 7];
    for limit in Limit::all_of(problem) {
        kinds[kind(&limit)].push(limit);
    }
    kinds
}

/// The problem with only these limits.
fn with_only(problem: &Problem, limits: &[Limit]) -> Problem {
    let mut less = problem.clone();
    for (at, row) in less.rows.iter_mut().enumerate() {
        if !limits.contains(&Limit::Row(at)) {
            (row.limit, row.lowered) = (1000, None);
        }
    }
    for (at, device) in less.devices.iter_mut().enumerate() {
        if !limits.contains(&Limit::Device(at)) {
            device.high = None;
        }
    }
    let keep = |is_kept: fn(usize) -> Limit, count: usize| -> Vec<bool> {
        (0..count).map(|at| limits.contains(&is_kept(at))).collect()
    };
    let mut kept = keep(Limit::Neighbours, problem.neighbours.len()).into_iter();
    less.neighbours.retain(|_| kept.next() == Some(true));
    let mut kept = keep(Limit::Excluded, problem.excluded.len()).into_iter();
    less.excluded.retain(|_| kept.next() == Some(true));
    less
}

/// Whether some placement lights all of these, those that are fixed in their places.
fn can_all_be_lit(problem: &Problem, items: &[usize]) -> bool {
    fn go(problem: &Problem, items: &[usize], chosen: &mut Vec<Option<usize>>) -> bool {
        let mut so_far = chosen.clone();
        so_far.resize(problem.items.len(), None);
        if cost(problem, &so_far).is_none() {
            return false;
        }
        let Some(item) = problem.items.get(chosen.len()) else { return true };
        let places: Vec<Option<usize>> = if item.is_fixed || items.contains(&chosen.len()) {
            (0..item.choices.len()).map(Some).collect()
        } else {
            vec![None]
        };
        places.into_iter().any(|place| {
            chosen.push(place);
            let can = go(problem, items, chosen);
            chosen.pop();
            can
        })
    }
    go(problem, items, &mut Vec::new())
}

#[test]
fn the_limits_named_for_a_dark_head_are_broken_by_every_placement_of_it_with_those_named() {
    let (mut told, mut alone, mut one_kind) = (0, 0, 0);
    for seed in 0..cases() {
        let problem = problem(seed);
        let solution = solve(&problem, Effort::default(), &mut |_| true);
        if solution.answer == Answer::None {
            continue;
        }
        let kinds = kinds(&problem);
        for item in (0..problem.items.len()).filter(|at| solution.chosen[*at].is_none()) {
            let effort = Effort { rounds: 0, nodes: 400_000, prover: None };
            let found = conflict(&problem, &solution.chosen, item, &kinds, effort, &mut |_| true);
            let found = found.unwrap_or_else(|| panic!("seed {seed}: no reason for {item}"));
            assert_eq!(found.items[0], item, "seed {seed}");
            let limits = |kinds_: &[usize]| -> Vec<Limit> {
                kinds_.iter().flat_map(|kind| kinds[*kind].iter().copied()).collect()
            };
            let with = with_only(&problem, &limits(&found.groups));
            assert!(!can_all_be_lit(&with, &found.items), "seed {seed}: {found:?}");
            // And none of it is said for nothing: without any one kind, or any one head, all can be lit.
            for left_out in &found.groups {
                let rest: Vec<usize> = found.groups.iter().copied().filter(|kind| kind != left_out).collect();
                assert!(
                    can_all_be_lit(&with_only(&problem, &limits(&rest)), &found.items),
                    "seed {seed}: {found:?}"
                );
            }
            for left_out in &found.items[1..] {
                let rest: Vec<usize> = found.items.iter().copied().filter(|at| at != left_out).collect();
                assert!(can_all_be_lit(&with, &rest), "seed {seed}: {found:?}");
            }
            told += 1;
            alone += u32::from(found.items.len() == 1);
            one_kind += u32::from(found.groups.len() == 1);
        }
    }
    let counts = format!("{told} dark heads: {alone} fit nowhere alone, {one_kind} for one kind of limit");
    assert!(told > 0 && alone > 0 && one_kind > 0, "{counts}");
}

/// Holds that a solver which is blind to a constraint gives itself away: one of some small cases comes out otherwise
/// than enumeration with all constraints says.
fn is_caught(leave_out: fn(&mut Problem)) {
    let gives_itself_away = |seed| {
        let whole = problem(seed);
        let mut less = whole.clone();
        leave_out(&mut less);
        let blind = solve(&less, Effort { rounds: 300, nodes: 20_000, prover: None }, &mut |_| true);
        cost(&whole, &blind.chosen) != enumerate(&whole)
    };
    assert!((0..200).any(gives_itself_away), "nothing tells that it is ignored");
}

/// Takes the limit from rows of a kind.
fn without_limit(problem: &mut Problem, is_it: impl Fn(&Row) -> bool) {
    problem.rows.iter_mut().filter(|row| is_it(row)).for_each(|row| row.limit = 1000);
}

fn each_choice(problem: &mut Problem, change: impl FnMut(&mut Choice)) {
    problem.items.iter_mut().flat_map(|item| &mut item.choices).for_each(change);
}

#[test]
fn a_solver_blind_to_amps_is_caught() {
    is_caught(|problem| without_limit(problem, |row| row.family.is_some_and(|of| of < SETUPS)));
}

#[test]
fn a_solver_blind_to_the_lower_amps_of_long_runs_is_caught() {
    is_caught(|problem| problem.rows.iter_mut().for_each(|row| row.lowered = None));
}

#[test]
fn a_solver_blind_to_standing_leakage_is_caught() {
    is_caught(|problem| without_limit(problem, |row| row.family == Some(SETUPS)));
}

#[test]
fn a_solver_blind_to_the_peak_while_striking_is_caught() {
    is_caught(|problem| problem.devices.iter_mut().for_each(|device| device.high = None));
}

#[test]
fn a_solver_blind_to_ways_is_caught() {
    is_caught(|problem| without_limit(problem, |row| row.family == Some(SETUPS + 1)));
}

#[test]
fn a_solver_blind_to_the_leads_on_the_truck_is_caught() {
    is_caught(|problem| without_limit(problem, |row| row.family.is_none()));
}

#[test]
fn a_solver_blind_to_what_a_generator_costs_is_caught() {
    is_caught(|problem| problem.generators = vec![0, 0]);
}

#[test]
fn a_solver_blind_to_two_sources_side_by_side_is_caught() {
    is_caught(|problem| problem.neighbours.clear());
}

#[test]
fn a_solver_blind_to_what_may_not_stand_together_is_caught() {
    is_caught(|problem| problem.excluded.clear());
}

#[test]
fn a_solver_that_lets_pinned_heads_go_is_caught() {
    is_caught(|problem| problem.items.iter_mut().for_each(|item| item.is_fixed = false));
}

#[test]
fn a_solver_blind_to_importance_is_caught() {
    is_caught(|problem| problem.items.iter_mut().for_each(|item| item.importance = 1));
}

#[test]
fn a_solver_blind_to_odds_is_caught() {
    is_caught(|problem| {
        problem.devices.iter_mut().for_each(|device| {
            device.low = device.high.map_or(device.low, |high| device.low.max(high - 1));
        });
    });
}

#[test]
fn a_solver_blind_to_moves_is_caught() {
    is_caught(|problem| each_choice(problem, |choice| choice.moved = 0));
}

#[test]
fn a_solver_blind_to_the_length_of_lead_is_caught() {
    is_caught(|problem| each_choice(problem, |choice| choice.metres = 0));
}

#[test]
fn a_solver_blind_to_sockets_without_an_rcd_is_caught() {
    is_caught(|problem| each_choice(problem, |choice| choice.unprotected = 0));
}

#[test]
fn a_solver_that_strikes_in_the_wrong_order_is_caught() {
    is_caught(|problem| {
        each_choice(problem, |choice| choice.leaks.iter_mut().for_each(|leak| leak.rank *= -1));
    });
}

#[test]
fn a_solver_that_sees_all_is_not_accused() {
    for seed in 0..200 {
        let whole = problem(seed);
        let seeing = solve(&whole, Effort { rounds: 300, nodes: 20_000, prover: None }, &mut |_| true);
        let best = enumerate(&whole);
        assert!(best.is_none() || cost(&whole, &seeing.chosen) == best, "seed {seed}");
    }
}
