//! Checks of a circuit.

use crate::assess::{Crossing, Subject};
use crate::network::{At, HeadAt};
use crate::physics::harmonic::{NON_LINEAR_DISTORTION, distortion};
use crate::plan::{Circuit, HeldBy, Hours, SupplyKind};
use crate::rule::inrush::before_a_reset;
use crate::rule::words::{heads, is, number, pair, trip_window};
use crate::rule::{CircuitScope, Report, Severity, Told};
use crate::unit::{Amps, Watts};

/// Share of a rating above which a circuit is tight (common practice, no source).
const TIGHT: f64 = 0.8;
/// Minutes of a day.
const DAY: f64 = 1440.0;

fn plan_circuit<'a>(scope: &CircuitScope<'a>) -> Option<&'a Circuit> {
    scope.context.network.plan.circuits.get_index(scope.circuit.get()).map(|(_, circuit)| circuit)
}

fn is_used(scope: &CircuitScope<'_>) -> bool {
    !scope.used.heads.is_empty()
}

fn assumed(scope: &CircuitScope<'_>, heads: &[HeadAt]) -> bool {
    let network = scope.context.network;
    network.circuits[scope.circuit].breaker.origin.is_assumed() || network.any_amps_assumed(heads)
}

/// The largest of these heads, whose move helps most.
fn largest(scope: &CircuitScope<'_>, heads: &[HeadAt]) -> Option<(HeadAt, Amps)> {
    heads
        .iter()
        .filter_map(|head| Some((*head, scope.heads[*head].as_ref()?.amps)))
        .reduce(|best, next| if next.1.is_over(best.1) { next } else { best })
}

fn limit_words(scope: &CircuitScope<'_>) -> String {
    if scope.used.continuous {
        ", lowered for a load of three hours and more".to_owned()
    } else {
        String::new()
    }
}

/// More amps than the circuit may carry.
pub(super) fn breaker_over(scope: &CircuitScope<'_>, report: &mut Report<'_>) {
    let (amps, limit) = (scope.used.amps, scope.used.limit);
    if !is_used(scope) || !amps.is_over(limit) {
        return;
    }
    report.add(Severity::Dark, Subject::Circuit(scope.circuit), || {
        let network = scope.context.network;
        let (drawn, carried) = pair(amps.0, limit.0);
        let over = amps - limit;
        let remedy = match smallest_that_helps(scope, over) {
            Some(head) => {
                format!("move {} to another circuit: {} A must go", network.heads[head].id, number(over.0))
            }
            None => format!("move {} A of heads to other circuits", number(over.0)),
        };
        let remedy = remedy + before_a_reset(scope);
        Told {
            text: format!(
                "{} carries {drawn} A, its limit is {carried} A{}: {}{}",
                network.circuits[scope.circuit].id,
                limit_words(scope),
                heads(network, &scope.used.heads),
                trip_window(scope.used.window)
            ),
            remedy,
            crossing: Some(Crossing { value: amps.0, limit: limit.0, unit: "A" }),
            assumed: assumed(scope, &scope.used.heads),
        }
    });
}

/// The smallest head whose move alone brings the circuit under its limit.
fn smallest_that_helps(scope: &CircuitScope<'_>, over: Amps) -> Option<HeadAt> {
    scope
        .used
        .heads
        .iter()
        .filter_map(|head| Some((*head, scope.heads[*head].as_ref()?.amps)))
        .filter(|(_, amps)| amps.reaches(over))
        .reduce(|best, next| if best.1.is_over(next.1) { next } else { best })
        .map(|(head, _)| head)
}

/// More amps than the circuit may carry, if the untraced heads are on it or others draw theirs.
pub(super) fn breaker_may_over(scope: &CircuitScope<'_>, report: &mut Report<'_>) {
    let (certain, possible, limit) = (scope.used.amps, scope.used.possible, scope.used.limit);
    let own_fault = !scope.used.possible_heads.is_empty() || is_used(scope);
    if certain.is_over(limit) || !possible.is_over(limit) || !own_fault {
        return;
    }
    report.add(Severity::Risk, Subject::Circuit(scope.circuit), || {
        let network = scope.context.network;
        let (may, carried) = pair(possible.0, limit.0);
        let reserve = plan_circuit(scope).and_then(|circuit| circuit.reserve);
        let others = reserve.map_or(String::new(), |amps| format!(" and others draw {} A", number(amps.0)));
        let untraced = if scope.used.possible_heads.is_empty() {
            String::new()
        } else {
            format!(
                " if {}, untraced, {} on it",
                heads(network, &scope.used.possible_heads),
                is(&scope.used.possible_heads)
            )
        };
        Told {
            text: format!(
                "{} may carry {may} A of {carried} A{untraced}{others}; {} A is certain",
                network.circuits[scope.circuit].id,
                number(certain.0)
            ),
            remedy: "trace the untraced sockets, or take them as on this circuit".to_owned(),
            crossing: Some(Crossing { value: possible.0, limit: limit.0, unit: "A" }),
            assumed: true,
        }
    });
}

/// Within the limit, but over 0.8 of the rating.
pub(super) fn breaker_tight(scope: &CircuitScope<'_>, report: &mut Report<'_>) {
    let network = scope.context.network;
    let node = &network.circuits[scope.circuit];
    let (amps, tight) = (scope.used.amps, node.breaker.value * TIGHT);
    if !is_used(scope) || !amps.is_over(tight) || amps.is_over(scope.used.limit) {
        return;
    }
    report.add(Severity::Risk, Subject::Circuit(scope.circuit), || {
        let (drawn, carried) = pair(amps.0, scope.used.limit.0);
        Told {
            text: format!("{} carries {drawn} A of {carried} A{}", node.id, limit_words(scope)),
            remedy: match largest(scope, &scope.used.heads) {
                Some((head, _)) => {
                    format!("nothing more on it; if it warms up, {} goes first", network.heads[head].id)
                }
                None => String::new(),
            },
            crossing: Some(Crossing { value: amps.0, limit: tight.0, unit: "A" }),
            assumed: assumed(scope, &scope.used.heads),
        }
    });
}

/// Within the limit at nominal volts, over it at the lowest that the grid may deliver: heads of constant
/// power then draw more.
pub(super) fn amps_low_volts(scope: &CircuitScope<'_>, report: &mut Report<'_>) {
    let network = scope.context.network;
    let (nominal, limit) = (scope.used.amps, scope.used.limit);
    let from_mains = network.circuits[scope.circuit]
        .supply
        .is_some_and(|supply| network.supplies[supply].kind == SupplyKind::Mains);
    if !is_used(scope) || nominal.is_over(limit) || !from_mains {
        return;
    }
    let more: Amps = scope
        .used
        .heads
        .iter()
        .filter_map(|head| {
            let used = scope.heads[*head].as_ref()?;
            Some(used.at_lowest? - used.amps)
        })
        .sum();
    let low = nominal + more;
    if !low.is_over(limit) {
        return;
    }
    report.add(Severity::Risk, Subject::Circuit(scope.circuit), || {
        let (drawn, carried) = pair(low.0, limit.0);
        Told {
            text: format!(
                "{} would carry {drawn} A of {carried} A with the mains at its lowest, {:.0} % of nominal",
                network.circuits[scope.circuit].id,
                100.0 * network.region.lowest_volts
            ),
            crossing: Some(Crossing { value: low.0, limit: limit.0, unit: "A" }),
            assumed: assumed(scope, &scope.used.heads),
            ..Told::default()
        }
    });
}

/// Heads whose current an arc-fault breaker may take for an arc.
pub(super) fn afci(scope: &CircuitScope<'_>, report: &mut Report<'_>) {
    let network = scope.context.network;
    let Some(circuit) = plan_circuit(scope).filter(|circuit| circuit.afci) else { return };
    let dimmed = circuit.dimmer.is_some();
    let suspects: Vec<HeadAt> = scope
        .used
        .heads
        .iter()
        .copied()
        .filter(|head| dimmed || distortion(network.heads[*head].spectrum.orders()) > NON_LINEAR_DISTORTION)
        .collect();
    if suspects.is_empty() {
        return;
    }
    report.add(Severity::Risk, Subject::Circuit(scope.circuit), || {
        let why = if dimmed { "dimmed" } else { "uncorrected" };
        Told {
            text: format!(
                "{} has an arc-fault breaker, which may drop for {why} heads: {}",
                network.circuits[scope.circuit].id,
                heads(network, &suspects)
            ),
            ..Told::default()
        }
    });
}

/// More watts than the dimmer that feeds the circuit carries.
pub(super) fn dimmer_over(scope: &CircuitScope<'_>, report: &mut Report<'_>) {
    let network = scope.context.network;
    let Some(rated) = plan_circuit(scope).and_then(|circuit| circuit.dimmer) else { return };
    let watts: Watts = scope
        .used
        .heads
        .iter()
        .filter_map(|head| {
            let used = scope.heads[*head].as_ref()?;
            let power_factor = network.heads[*head].power_factor.value;
            Some(used.terminals.power(used.amps, power_factor))
        })
        .sum();
    if !watts.is_over(rated) {
        return;
    }
    report.add(Severity::Dark, Subject::Circuit(scope.circuit), || Told {
        text: format!(
            "the dimmer of {} carries {} W, its heads draw {} W",
            network.circuits[scope.circuit].id,
            number(rated.0),
            number(watts.0)
        ),
        remedy: "take heads off the dimmed circuit".to_owned(),
        crossing: Some(Crossing { value: watts.0, limit: rated.0, unit: "W" }),
        assumed: assumed(scope, &scope.used.heads),
    });
}

/// The circuit is off during the setup, or may go off.
pub(super) fn hours_out(scope: &CircuitScope<'_>, report: &mut Report<'_>) {
    let network = scope.context.network;
    let Some(circuit) = plan_circuit(scope) else { return };
    let on = || scope.used.heads.iter().chain(&scope.used.possible_heads).copied();
    if on().next().is_none() {
        return;
    }
    let id = &network.circuits[scope.circuit].id;
    let names = || heads(network, &on().collect::<Vec<HeadAt>>());
    let mut tell = |severity, text: &dyn Fn() -> String, remedy: &str| {
        report.add(severity, Subject::Circuit(scope.circuit), || Told {
            text: text(),
            remedy: remedy.to_owned(),
            ..Told::default()
        });
    };
    if let Some(hours) = circuit.hours {
        let setup = &network.setups[scope.context.setup];
        let span = || format!("{} to {}", hours.from, hours.until);
        match setup.start {
            None => tell(
                Severity::Risk,
                &|| format!("{id} is live from {} only, hours unknown: this setup has no start", span()),
                "give the setup its start",
            ),
            Some(start) if !is_live(hours, start.minutes, setup.minutes.0) => tell(
                if scope.used.heads.is_empty() { Severity::Risk } else { Severity::Dark },
                &|| format!("{id} is live from {} only, and {} burn past that", span(), names()),
                "another circuit, or the owner overrides the timer; test again at that hour",
            ),
            Some(_) => {}
        }
    }
    match circuit.held_by {
        None => {}
        Some(HeldBy::KeyCard) => tell(
            Severity::Risk,
            &|| format!("{id} is live only while a key card is in: {}", names()),
            "leave a card in for the setup, and say so at the door",
        ),
        Some(HeldBy::MovementSensor) => tell(
            Severity::Risk,
            &|| format!("{id} is held by a movement sensor and drops when nobody moves: {}", names()),
            "another circuit, or the owner overrides the sensor",
        ),
    }
}

/// Whether a timed circuit is live all through a setup that starts `start` minutes after midnight.
fn is_live(hours: Hours, start: u32, minutes: f64) -> bool {
    let (from, until) = (f64::from(hours.from.minutes), f64::from(hours.until.minutes));
    let live_for = (until - from).rem_euclid(DAY);
    let live_for = if live_for == 0.0 { DAY } else { live_for };
    let after = (f64::from(start) - from).rem_euclid(DAY);
    live_for >= DAY || after + minutes <= live_for
}

/// Others draw from the circuit, and nobody knows how much.
pub(super) fn reserve_unknown(scope: &CircuitScope<'_>, report: &mut Report<'_>) {
    let network = scope.context.network;
    let Some(circuit) = plan_circuit(scope) else { return };
    if !circuit.others || circuit.reserve.is_some() || !is_used(scope) {
        return;
    }
    report.add(Severity::Note, Subject::Circuit(scope.circuit), || {
        let id = &network.circuits[scope.circuit].id;
        Told {
            text: format!("others draw from {id} too, nobody knows how much"),
            assumed: true,
            ..Told::default()
        }
    });
}
#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::ClockTime;

    fn hours(from: u32, until: u32) -> Hours {
        Hours { from: ClockTime { minutes: from * 60 }, until: ClockTime { minutes: until * 60 } }
    }

    #[test]
    fn a_setup_must_lie_wholly_inside_the_hours_over_midnight_too() {
        assert!(is_live(hours(6, 22), 6 * 60, 960.0));
        assert!(!is_live(hours(6, 22), 20 * 60, 121.0));
        assert!(is_live(hours(6, 22), 20 * 60, 120.0));
        assert!(is_live(hours(18, 2), 23 * 60, 180.0));
        assert!(!is_live(hours(18, 2), 17 * 60, 60.0));
        assert!(is_live(hours(0, 0), 0, 3000.0));
    }
}
