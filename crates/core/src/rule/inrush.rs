//! Checks of a circuit while heads are switched on: inrush and run-up.

use crate::assess::{Crossing, Subject, at_once};
use crate::network::{HeadAt, Origin};
use crate::physics::breaker::trip_window as window_of;
use crate::plan::{Curve, word_of};
use crate::rule::words::{heads, number, pair, time, trip_window};
use crate::rule::{CircuitScope, Report, Severity, Told};
use crate::unit::Seconds;

/// Heads that are switched on together may open the breaker at once.
pub(super) fn breaker_inrush(scope: &CircuitScope<'_>, report: &mut Report<'_>) {
    let Some(inrush) = &scope.used.inrush else { return };
    if !inrush.most.counts.is_over(inrush.limit) {
        return;
    }
    report.add(Severity::Risk, Subject::Circuit(scope.circuit), || {
        let network = scope.context.network;
        let node = &network.circuits[scope.circuit];
        let curve = word_of(&Curve::WORDS, &node.curve.value);
        let (counts, bears) = pair(inrush.most.counts.0, inrush.limit.0);
        let who = match inrush.together.as_slice() {
            [only] => format!("{} comes on", network.heads[*only].id),
            together => format!("{}, on one plug, come on together", heads(network, together)),
        };
        let all = if inrush.all.counts.is_over(inrush.most.counts) {
            format!("; all of {} at one reset counts as {} A", node.id, number(inrush.all.counts.0))
        } else {
            String::new()
        };
        let remedy = match at_once(&inrush.together, scope.heads, inrush.limit) {
            0 => format!(
                "another circuit, or a slower curve than {curve}: none of them comes on here for sure"
            ),
            count => format!("{count} at one go at most, each by its own switch; all off before a reset"),
        };
        Told {
            text: format!(
                "{who} with a peak of {} A, which counts as {counts} A: {curve}{} of {} may \
                 open at once from {bears} A{all}",
                number(inrush.most.peak.0),
                number(node.breaker.value.0),
                node.id,
            ),
            remedy,
            crossing: Some(Crossing { value: inrush.most.counts.0, limit: inrush.limit.0, unit: "A" }),
            assumed: is_assumed(scope, &inrush.together),
        }
    });
}

fn is_assumed(scope: &CircuitScope<'_>, together: &[HeadAt]) -> bool {
    let network = scope.context.network;
    let node = &network.circuits[scope.circuit];
    let of_head = |head: &HeadAt| {
        let inrush = network.heads[*head].inrush;
        inrush.map_or(Origin::Default, |inrush| inrush.origin.max(inrush.milliseconds.origin)).is_assumed()
    };
    node.breaker.origin.is_assumed() || node.curve.origin.is_assumed() || together.iter().any(of_head)
}

/// What to add to a remedy where a reset would bring on more than the breaker bears.
pub(super) fn before_a_reset(scope: &CircuitScope<'_>) -> &'static str {
    let too_much = |inrush: &crate::assess::CircuitInrush| inrush.all.counts.is_over(inrush.limit);
    if scope.used.inrush.as_ref().is_some_and(too_much) {
        "; heads off before a reset, or they open it again as they come on together"
    } else {
        ""
    }
}

/// Amps over the rating while heads run up.
pub(super) fn start_over(scope: &CircuitScope<'_>, report: &mut Report<'_>) {
    let network = scope.context.network;
    let node = &network.circuits[scope.circuit];
    let (peak, rating) = (scope.used.start_peak, node.breaker_warm);
    if scope.used.heads.is_empty() || !peak.is_over(rating) || scope.used.amps.is_over(rating) {
        return;
    }
    report.add(Severity::Risk, Subject::Circuit(scope.circuit), || {
        let (reached, carried) = pair(peak.0, rating.0);
        let window = window_of(node.curve.value, rating, peak);
        let run_up = longest_run_up(scope);
        let meanwhile = match (run_up, window.earliest) {
            (Some(run_up), Some(earliest)) if run_up.is_over(earliest) => {
                format!(", so that it may drop while they run up for {}", time(run_up))
            }
            (Some(run_up), Some(_)) => format!(", and they run up for {} only", time(run_up)),
            _ => String::new(),
        };
        Told {
            text: format!(
                "{} reaches {reached} A of {carried} A while its heads run up{}{meanwhile}",
                node.id,
                trip_window(window)
            ),
            crossing: Some(Crossing { value: peak.0, limit: rating.0, unit: "A" }),
            assumed: node.breaker.origin.is_assumed() || network.any_amps_assumed(&scope.used.heads),
            ..Told::default()
        }
    });
}

/// How long the slowest of the heads runs up that draw more meanwhile, where known.
fn longest_run_up(scope: &CircuitScope<'_>) -> Option<Seconds> {
    let run_up = |head: &HeadAt| {
        scope.heads[*head].as_ref().filter(|used| used.start.is_over(used.amps))?;
        let minutes = scope.context.network.heads[*head].start_minutes?.value;
        Some(Seconds::from(minutes))
    };
    scope.used.heads.iter().filter_map(run_up).reduce(Seconds::max)
}
