//! A program handed to `HiGHS`, in a thread of its own so that whoever waits can stop waiting.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{RecvTimeoutError, sync_channel};
use std::thread;
use std::time::Duration;

use ampwalk_core::solve::{Program, Proved, Sum};
use highs::{HighsModelStatus, HighsSolutionStatus, RowProblem, Sense, SolvedModel};

/// How often whoever waits is asked whether to go on.
const ASKED_EVERY: Duration = Duration::from_millis(5);
/// The solver cannot be told to stop: it works for so many seconds at first, then on from what it has found
/// for twice as long each time, unless nobody waits for it any more; so many times.
const FIRST: f64 = 4.0;
const TIMES: u32 = 4;
/// Costs are whole, so that a gap under 1 is none.
const GAP: f64 = 0.99;
/// A bound is rounded up but for this much, and this share of it, by which the solver may be off.
const SLACK: (f64, f64) = (1e-4, 1e-7);

/// Makes the cost of a program as small as it can be.
pub fn prove(program: &Program, start: &[i64], go_on: &mut dyn FnMut() -> bool) -> Proved {
    let (owned, start) = (program.clone(), start.to_vec());
    let (told, wait) = sync_channel(1);
    let is_wanted = Arc::new(AtomicBool::new(true));
    let still_wanted = Arc::clone(&is_wanted);
    let spawned = thread::Builder::new().name("prover".to_owned()).spawn(move || {
        // Nobody listens where the wait was given up.
        let _ = told.send(closed(&owned, &start, &still_wanted));
    });
    if spawned.is_err() {
        return Proved::default();
    }
    loop {
        match wait.recv_timeout(ASKED_EVERY) {
            Ok(proved) => return proved,
            Err(RecvTimeoutError::Timeout) if go_on() => {}
            Err(_) => {
                is_wanted.store(false, Ordering::Relaxed);
                return Proved::default();
            }
        }
    }
}

#[expect(clippy::cast_precision_loss, reason = "limits and costs are far under 2^53")]
const fn real(number: i64) -> f64 {
    number as f64
}

/// What the solver makes of a program from a start, longer and longer; once more without it where it says that
/// it is done and its values cost more than its bound: it loses its way now and then from a start that it has
/// presolved.
fn closed(program: &Program, start: &[i64], is_wanted: &AtomicBool) -> Proved {
    let mut known = Proved { values: Some(start.to_vec()), floor: None };
    let mut seconds = FIRST;
    for _ in 0..TIMES {
        if !is_wanted.load(Ordering::Relaxed) {
            break;
        }
        let Some((proved, is_done)) = solved(program, known.values.as_deref(), seconds) else { break };
        known = better(program, known, proved);
        if is_closed(program, &known) {
            break;
        }
        if is_done {
            let again = is_wanted.load(Ordering::Relaxed).then(|| solved(program, None, seconds)).flatten();
            return again.map_or_else(|| known.clone(), |(again, _)| better(program, known.clone(), again));
        }
        seconds *= 2.0;
    }
    known
}

/// Whether the values cost what none can be under.
fn is_closed(program: &Program, proved: &Proved) -> bool {
    let cost = proved.values.as_ref().and_then(|values| program.cost(values));
    cost.is_some() && cost == proved.floor
}

/// The cheaper values of two, and the higher floor.
fn better(program: &Program, one: Proved, other: Proved) -> Proved {
    let cost =
        |proved: &Proved| proved.values.as_ref().and_then(|values| program.cost(values)).unwrap_or(i64::MAX);
    let floor = one.floor.max(other.floor);
    let values = if cost(&other) < cost(&one) { other.values } else { one.values };
    Proved { values, floor }
}

/// What the solver makes of a program, and whether it says that it is done; `None` where it fails.
fn solved(program: &Program, start: Option<&[i64]>, seconds: f64) -> Option<(Proved, bool)> {
    let mut problem = RowProblem::default();
    let columns: Vec<_> = program
        .columns
        .iter()
        .map(|column| problem.add_integer_column(real(column.cost), real(column.least)..=real(column.most)))
        .collect();
    for Sum { terms, least, most } in &program.sums {
        let terms: Vec<_> = terms.iter().map(|(column, times)| (columns[*column], real(*times))).collect();
        let least = least.map_or(f64::NEG_INFINITY, real);
        problem.add_row(least..=most.map_or(f64::INFINITY, real), &terms);
    }
    let mut model = problem.try_optimise(Sense::Minimise).ok()?;
    model.make_quiet();
    model.try_set_option("threads", 1).ok()?;
    model.try_set_option("time_limit", seconds).ok()?;
    model.try_set_option("mip_rel_gap", 0.0).ok()?;
    model.try_set_option("mip_abs_gap", GAP).ok()?;
    if let Some(start) = start {
        let start: Vec<f64> = start.iter().map(|value| real(*value)).collect();
        model.try_set_solution(Some(&start), None, None, None).ok()?;
    }
    let model = model.try_solve().ok()?;
    let proved = Proved { values: values(program, &model), floor: floor(&model) };
    Some((proved, model.status() == HighsModelStatus::Optimal))
}

/// The best values, where there are any and they keep every limit in whole numbers.
#[expect(clippy::cast_possible_truncation, reason = "limits are far under 2^53")]
fn values(program: &Program, model: &SolvedModel) -> Option<Vec<i64>> {
    if model.primal_solution_status() != HighsSolutionStatus::Feasible {
        return None;
    }
    let values: Vec<i64> = model.get_solution().columns().iter().map(|value| value.round() as i64).collect();
    program.cost(&values).map(|_| values)
}

/// What no values cost less than.
#[expect(clippy::cast_possible_truncation, reason = "costs are far under 2^53")]
fn floor(model: &SolvedModel) -> Option<i64> {
    let has_bound = matches!(model.status(), HighsModelStatus::Optimal | HighsModelStatus::ReachedTimeLimit);
    let bound =
        model.double_info_value(c"mip_dual_bound").ok().filter(|bound| bound.is_finite() && has_bound)?;
    Some((bound - SLACK.0 - SLACK.1 * bound.abs()).ceil() as i64)
}
