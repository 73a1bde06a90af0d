//! Causes of a trip in which only a breaker or fuse went.

use crate::assess::CircuitUse;
use crate::network::CircuitAt;
use crate::physics::breaker::TripWindow;
use crate::plan::Reset;
use crate::rule::words::{number, pair, time};
use crate::unit::Seconds;

use super::{AT_ONCE, Case, Cause, Kind, Likelihood};
use crate::diagnose::device::Lost;

/// Breaker down, RCDs up.
pub(super) fn breaker(case: &Case<'_>) -> Vec<Cause> {
    let mut causes = Vec::new();
    for lost in &case.trip.lost {
        let Lost::Circuit(circuit) = lost else { continue };
        let used = &case.assessment.setups[case.trip.setup].circuits[*circuit];
        causes.push(overload(case, *circuit, used));
        causes.extend(inrush(case, *circuit, used));
        causes.push(short(case, *circuit, used));
        causes.push(unknown(case, *circuit, used));
    }
    causes
}

fn at_once(case: &Case<'_>) -> Option<bool> {
    case.trip.after.map(|after| !after.is_over(AT_ONCE))
}

/// Whether the breaker's standard lets it open after so long.
fn contains(window: TripWindow, elapsed: Seconds) -> bool {
    let Some(earliest) = window.earliest else { return false };
    elapsed.reaches(earliest) && window.latest.is_none_or(|latest| !elapsed.is_over(latest))
}

fn overload(case: &Case<'_>, circuit: CircuitAt, used: &CircuitUse) -> Cause {
    let id = case.network.circuit_id(circuit);
    let rating = case.network.circuits[circuit].breaker_warm;
    let window = used.window;
    let (amps, of) = pair(used.possible.max(used.amps).0, rating.0);
    let carried = format!("{id} carries {amps} of {of} A");
    let opens = match (window.earliest, window.latest) {
        (Some(earliest), Some(latest)) => format!(", it opens after {} to {}", time(earliest), time(latest)),
        (Some(earliest), None) => format!(", it may open from {} on", time(earliest)),
        (None, _) => String::new(),
    };
    let (likelihood, evidence) = match case.trip.after {
        Some(after) if contains(window, Seconds::from(after)) && at_once(case) == Some(false) => {
            (Likelihood::Likely, format!("{carried}{opens}, and went after {}", time(Seconds::from(after))))
        }
        None if window.earliest.is_some() => (Likelihood::Likely, format!("{carried}{opens}")),
        _ if at_once(case) == Some(true) => {
            (Likelihood::Unlikely, format!("{carried}, and an overload takes longer"))
        }
        _ if window.earliest.is_some() || used.possible.is_over(rating) => {
            (Likelihood::Possible, format!("{carried}{opens}"))
        }
        _ => (Likelihood::Unlikely, carried),
    };
    let remedy = "take heads off it, let the breaker cool 1 to 5 minutes; warm it opens earlier";
    Cause::new(Kind::Overload, likelihood, format!("too many amps on {id}"), evidence, remedy)
}

fn inrush(case: &Case<'_>, circuit: CircuitAt, used: &CircuitUse) -> Option<Cause> {
    let id = case.network.circuit_id(circuit);
    if at_once(case) == Some(false) {
        return None;
    }
    let remedy = "heads off, then on one by one";
    let Some(inrush) = &used.inrush else {
        let evidence = format!("nobody knows the inrush on {id}, or the band of its breaker");
        return Some(Cause::new(Kind::Inrush, Likelihood::Possible, "inrush", evidence, remedy));
    };
    let reaches = |counts: crate::unit::Amps| !inrush.limit.is_over(counts);
    let likelihood = match (at_once(case), reaches(inrush.most.counts), reaches(inrush.all.counts)) {
        (_, true, _) => Likelihood::Likely,
        (_, false, true) => Likelihood::Possible,
        (_, false, false) => Likelihood::Unlikely,
    };
    let evidence = format!(
        "one switch brings {} A, all together {} A, against {} A of its magnetic trip",
        number(inrush.most.counts.0),
        number(inrush.all.counts.0),
        number(inrush.limit.0)
    );
    Some(Cause::new(Kind::Inrush, likelihood, format!("inrush on {id}"), evidence, remedy))
}

fn short(case: &Case<'_>, circuit: CircuitAt, used: &CircuitUse) -> Cause {
    let id = case.network.circuit_id(circuit);
    let what = match case.last() {
        Some(last) => format!("a short in {} or its lead", case.id(last)),
        None => format!("a short on {id}"),
    };
    let explained = used.inrush.as_ref().is_some_and(|inrush| !inrush.limit.is_over(inrush.most.counts));
    let (likelihood, evidence) = match (case.trip.reset, at_once(case)) {
        (Reset::DidNotHold, _) => (Likelihood::Likely, "it opened again with the heads off".to_owned()),
        (Reset::Held, _) => (Likelihood::Possible, "the reset held without it".to_owned()),
        (_, Some(true)) if !explained => {
            (Likelihood::Likely, "it went within a second, and inrush does not explain it".to_owned())
        }
        (_, Some(false)) => {
            (Likelihood::Possible, "a lead that is warm or crushed can do it late".to_owned())
        }
        _ => (Likelihood::Possible, "a plan cannot see it".to_owned()),
    };
    let remedy = "leave it off; a competent person tests head and lead before they are used again";
    Cause::new(Kind::Short, likelihood, what, evidence, remedy)
}

/// What is on the circuit and in no plan.
fn unknown(case: &Case<'_>, circuit: CircuitAt, used: &CircuitUse) -> Cause {
    let id = case.network.circuit_id(circuit);
    let fits = !used.possible.is_over(used.limit);
    let later = at_once(case) == Some(false);
    let likelihood = if fits && later { Likelihood::Likely } else { Likelihood::Possible };
    let evidence = if fits {
        format!("by the numbers {id} bears its load")
    } else {
        "somebody else may be on it".to_owned()
    };
    let remedy = "ask who else is on it; clamp it; a warm plug or smell: leave it off, tell the owner";
    Cause::new(Kind::Unknown, likelihood, "a load nobody told of, or a bad contact", evidence, remedy)
}
