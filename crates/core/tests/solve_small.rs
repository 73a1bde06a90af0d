//! The solver against exhaustive enumeration on small random problems: the same optimum at every level,
//! and what is fixed found to break a limit exactly where it does.
//!
//! `AMPWALK_SOLVE_CASES` says how many; the enumeration below shares no code with the solver.

#![expect(clippy::unwrap_used, reason = "a helper that finds nothing fails the test")]
#![expect(clippy::disallowed_methods, reason = "the environment says how many cases to try")]

use ampwalk_core::solve::{
    Answer, Choice, Device, Effort, Item, LEVELS, Leak, Level, Limit, Load, Problem, Row, conflict, evaluate,
    solve,
};

/// Numbers from a seed: a linear congruence (Knuth's MMIX constants, from memory).
struct Dice(u64);

impl Dice {
    fn under(&mut self, count: u64) -> usize {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        usize::try_from((self.0 >> 33) % count).unwrap()
    }

    fn number(&mut self, from: i64, to: i64) -> i64 {
        from + i64::try_from(self.under(u64::try_from(to - from + 1).unwrap())).unwrap()
    }

    fn one_in(&mut self, count: u64) -> bool {
        self.under(count) == 0
    }
}

const SETUPS: usize = 2;

struct Socket {
    circuit: usize,
    rcd: usize,
    generator: Option<usize>,
    source: usize,
}

/// A problem with every kind of constraint: ways, amps a setup, lowered amps, leads, standing leakage, peaks,
/// generators, neighbours, exclusions, fixed heads, places that heads are at now, twins.
fn problem(seed: u64) -> Problem {
    let mut dice = Dice(seed.wrapping_mul(0x9E37_79B9).wrapping_add(1));
    let mut problem = Problem::default();
    let (circuits, rcds) = (2 + dice.under(2), 1 + dice.under(2));
    let sockets: Vec<Socket> = (0..2 + dice.under(4))
        .map(|_| {
            let generator = dice.one_in(4).then(|| dice.under(2));
            Socket {
                circuit: dice.under(circuits as u64),
                rcd: dice.under(rcds as u64),
                generator,
                source: generator.map_or(0, |at| at + 1),
            }
        })
        .collect();
    for _ in 0..circuits {
        let limit = dice.number(8, 20);
        let lowered = dice.one_in(3).then_some(limit * 8 / 10);
        for setup in 0..SETUPS {
            problem.rows.push(Row { limit, lowered, family: Some(setup), is_headroom: true });
        }
    }
    let standing = problem.rows.len();
    for _ in 0..rcds {
        let (low, high) = (dice.number(5, 15), dice.number(10, 25));
        for _ in 0..SETUPS {
            problem.rows.push(Row { limit: low, lowered: None, family: Some(SETUPS), is_headroom: false });
            let high = (!dice.one_in(6)).then_some(high);
            problem.devices.push(Device { before: dice.number(0, 2), low, high });
        }
    }
    let ways = problem.rows.len();
    for _ in &sockets {
        problem.rows.push(Row {
            limit: dice.number(1, 3),
            lowered: None,
            family: Some(SETUPS + 1),
            is_headroom: false,
        });
    }
    let leads = problem.rows.len();
    problem.rows.push(Row { limit: dice.number(0, 4), lowered: None, family: None, is_headroom: false });
    problem.generators = vec![dice.number(1, 3), dice.number(1, 3)];
    let heads = 1 + dice.under(6);
    while problem.items.len() < heads {
        let (amps, leak, strike) = (dice.number(1, 9), dice.number(0, 4), [0, 0, 5, 10][dice.under(4)]);
        let on = [vec![0], vec![1], vec![0, 1]][dice.under(3)].clone();
        let lowers = dice.one_in(3);
        let mut choices = Vec::new();
        let now = dice.under(sockets.len() as u64 + 2);
        for (at, socket) in sockets.iter().enumerate() {
            if dice.one_in(6) {
                continue;
            }
            let metres = dice.number(1, 12);
            let mut choice = Choice {
                moved: i64::from(now < sockets.len() && now != at),
                metres,
                unprotected: i64::from(dice.one_in(3)),
                generators: socket.generator.into_iter().collect(),
                source: Some(socket.source),
                ..Choice::default()
            };
            choice.loads.push(Load { row: ways + at, amount: 1 });
            if metres > 8 {
                choice.loads.push(Load { row: leads, amount: 1 });
            }
            for setup in &on {
                let row = socket.circuit * SETUPS + setup;
                choice.loads.push(Load { row, amount: amps });
                if lowers {
                    choice.lowers.push(row);
                }
                let device = socket.rcd * SETUPS + setup;
                choice.loads.push(Load { row: standing + device, amount: leak });
                choice.leaks.push(Leak { device, standing: leak, strike, rank: -strike });
            }
            choices.push(choice);
        }
        let item = Item { importance: dice.number(1, 9), is_fixed: false, choices };
        for _ in 0..=dice.under(3) {
            if problem.items.len() < heads {
                problem.items.push(item.clone());
            }
        }
    }
    twist(&mut dice, &mut problem);
    problem
}

/// Fixes a head, lets two stand side by side, forbids a pair, puts moves before odds: each now and then.
fn twist(dice: &mut Dice, problem: &mut Problem) {
    let heads = problem.items.len();
    if dice.one_in(3) && !problem.items[0].choices.is_empty() {
        let item = &mut problem.items[0];
        item.is_fixed = true;
        item.choices.truncate(1);
    }
    if heads > 1 && dice.one_in(3) {
        problem.neighbours.push((0, heads - 1));
    }
    if heads > 1 && dice.one_in(4) {
        let last = |item: &Item| item.choices.len().checked_sub(1);
        if let (Some(a), Some(b)) = (last(&problem.items[0]), last(&problem.items[heads - 1])) {
            problem.excluded.push(vec![(0, a), (heads - 1, b)]);
        }
    }
    if dice.one_in(4) {
        problem.levels = Some([
            Level::Dark,
            Level::Generator,
            Level::Moves,
            Level::Odds,
            Level::Metres,
            Level::Unprotected,
        ]);
    }
}

/// Largest leakage of a device over every order of striking that its ranks allow.
fn peak(before: i64, leaks: &mut [Leak]) -> i64 {
    leaks.sort_by_key(|leak| leak.rank);
    let mut worst = before;
    for last in 0..leaks.len() {
        let lit: i64 = leaks[..=last].iter().map(|leak| leak.standing).sum();
        worst = worst.max(before + lit + leaks[last].strike);
    }
    worst
}

/// What a placement costs in the order of levels; `None` where it breaks a limit.
fn cost(problem: &Problem, chosen: &[Option<usize>]) -> Option<[i64; LEVELS]> {
    let picked: Vec<(usize, &Choice)> = chosen
        .iter()
        .enumerate()
        .filter_map(|(item, choice)| Some((item, &problem.items[item].choices[(*choice)?])))
        .collect();
    for (at, row) in problem.rows.iter().enumerate() {
        let loads = picked.iter().flat_map(|(_, choice)| &choice.loads).filter(|load| load.row == at);
        let sum: i64 = loads.map(|load| load.amount).sum();
        let is_lowered = picked.iter().any(|(_, choice)| choice.lowers.contains(&at));
        let limit = row.lowered.filter(|_| is_lowered).unwrap_or(row.limit);
        if sum > limit {
            return None;
        }
    }
    let mut odds = 0;
    for (at, device) in problem.devices.iter().enumerate() {
        let mut leaks: Vec<Leak> = picked
            .iter()
            .flat_map(|(_, choice)| &choice.leaks)
            .filter(|leak| leak.device == at)
            .copied()
            .collect();
        let worst = peak(device.before, &mut leaks);
        let Some(high) = device.high else { continue };
        if leaks.is_empty() || worst <= device.low {
            continue;
        }
        if worst >= high {
            return None;
        }
        let share = 1_000_000 * (worst - device.low);
        odds += (share + high - device.low - 1) / (high - device.low);
    }
    for (a, b) in &problem.neighbours {
        let source =
            |at: usize| picked.iter().find(|(item, _)| *item == at).and_then(|(_, choice)| choice.source);
        if source(*a).zip(source(*b)).is_some_and(|(a, b)| a != b) {
            return None;
        }
    }
    if problem.excluded.iter().any(|set| set.iter().all(|(item, choice)| chosen[*item] == Some(*choice))) {
        return None;
    }
    let sum = |of: fn(&Choice) -> i64| picked.iter().map(|(_, choice)| of(choice)).sum::<i64>();
    let dark: i64 = chosen
        .iter()
        .zip(&problem.items)
        .filter(|(choice, _)| choice.is_none())
        .map(|(_, item)| item.importance)
        .sum();
    let running = |at: &usize| picked.iter().any(|(_, choice)| choice.generators.contains(at));
    let generators = (0..problem.generators.len()).filter(running).map(|at| problem.generators[at]).sum();
    let of = |level: Level| match level {
        Level::Dark => dark,
        Level::Generator => generators,
        Level::Odds => odds,
        Level::Moves => sum(|choice| choice.moved),
        Level::Metres => sum(|choice| choice.metres),
        Level::Unprotected => sum(|choice| choice.unprotected),
    };
    Some(problem.order().map(of))
}

/// The best of every placement that breaks nothing; `None` where the fixed ones break a limit.
fn enumerate(problem: &Problem) -> Option<[i64; LEVELS]> {
    fn go(problem: &Problem, chosen: &mut Vec<Option<usize>>, best: &mut Option<[i64; LEVELS]>) {
        let at = chosen.len();
        if at == problem.items.len() {
            if let Some(cost) = cost(problem, chosen)
                && best.is_none_or(|best| cost < best)
            {
                *best = Some(cost);
            }
            return;
        }
        // Limits that a few break, more break too.
        let mut so_far = chosen.clone();
        so_far.resize(problem.items.len(), None);
        if cost(problem, &so_far).is_none() {
            return;
        }
        let item = &problem.items[at];
        if !item.is_fixed {
            chosen.push(None);
            go(problem, chosen, best);
            chosen.pop();
        }
        for choice in 0..item.choices.len() {
            chosen.push(Some(choice));
            go(problem, chosen, best);
            chosen.pop();
        }
    }
    let mut best = None;
    go(problem, &mut Vec::new(), &mut best);
    best
}

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
        let solution = solve(&problem, Effort { rounds: 0, nodes: 400_000 }, &mut |_| true);
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
            let solution = solve(&problem, Effort { rounds: 40, nodes: 5 }, &mut |progress| {
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
            let effort = Effort { rounds: 0, nodes: 400_000 };
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
        let blind = solve(&less, Effort { rounds: 300, nodes: 20_000 }, &mut |_| true);
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
        let seeing = solve(&whole, Effort { rounds: 300, nodes: 20_000 }, &mut |_| true);
        let best = enumerate(&whole);
        assert!(best.is_none() || cost(&whole, &seeing.chosen) == best, "seed {seed}");
    }
}
