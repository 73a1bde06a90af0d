//! Checks of a generator's or battery station's sums.

use crate::assess::{Crossing, Subject};
use crate::network::{At, HeadAt, SetRating};
use crate::physics::generator::{Fill, NON_LINEAR_SHARE, PLANNED_SHARE, STEP_PERCENT, fill, takes_step};
use crate::physics::harmonic::{NON_LINEAR_DISTORTION, distortion};
use crate::plan::{Fuel, Supply, SupplyKind};
use crate::rule::words::{heads, number, pair};
use crate::rule::{Report, Severity, SupplyScope, Told};
use crate::unit::KiloVoltAmps;

fn plan_supply<'a>(scope: &SupplyScope<'a>) -> Option<&'a Supply> {
    scope.context.network.plan.supplies.get_index(scope.supply.get()).map(|(_, supply)| supply)
}

/// What a set that is in use gives here.
fn rating(scope: &SupplyScope<'_>) -> Option<SetRating> {
    scope.context.network.set_rating(scope.supply).filter(|_| !scope.used.heads.is_empty())
}

fn apparent_power(scope: &SupplyScope<'_>) -> KiloVoltAmps {
    scope.used.orders.apparent_power(scope.context.network.supplies[scope.supply].volts.value)
}

fn is_assumed(scope: &SupplyScope<'_>) -> bool {
    scope.context.network.any_amps_assumed(&scope.used.heads)
}

/// Which of kVA and kW is fuller, as load, rating and unit.
fn tightest(scope: &SupplyScope<'_>, rating: &SetRating) -> Option<(f64, f64, &'static str)> {
    let kva = rating.kva.map(|kva| (apparent_power(scope).0, kva.0, "kVA"));
    let kw = rating.kw.map(|kw| (scope.used.kw.0, kw.0, "kW"));
    kva.into_iter().chain(kw).max_by(|a, b| (a.0 / a.1).total_cmp(&(b.0 / b.1)))
}

fn told(scope: &SupplyScope<'_>, rating: &SetRating, remedy: &str, share: f64) -> Option<Told> {
    let (load, limit, unit) = tightest(scope, rating)?;
    let (gives, has) = pair(load, limit);
    let less = if rating.left < 1.0 {
        format!(", {} % of its plate at this height and heat", number(100.0 * rating.left))
    } else {
        String::new()
    };
    Some(Told {
        text: format!(
            "{} gives {gives} {unit}, it has {has} {unit}{less}: {}",
            scope.context.network.supplies[scope.supply].id,
            heads(scope.context.network, &scope.used.heads)
        ),
        remedy: remedy.to_owned(),
        crossing: Some(Crossing { value: load, limit: limit * share, unit }),
        assumed: is_assumed(scope),
    })
}

/// More kVA or kW than it has.
pub(super) fn generator_over(scope: &SupplyScope<'_>, report: &mut Report<'_>) {
    let Some(rating) = rating(scope) else { return };
    let Some((load, limit, _)) = tightest(scope, &rating) else { return };
    if load <= limit * (1.0 + 1e-9) {
        return;
    }
    if let Some(told) = told(scope, &rating, "a larger set, or take heads off it", 1.0) {
        report.add(Severity::Dark, Subject::Supply(scope.supply), || told);
    }
}

/// Over 80 % of what it has.
pub(super) fn generator_tight(scope: &SupplyScope<'_>, report: &mut Report<'_>) {
    let Some(rating) = rating(scope) else { return };
    let Some((load, limit, _)) = tightest(scope, &rating) else { return };
    let is_tight = load > limit * PLANNED_SHARE * (1.0 + 1e-9) && load <= limit * (1.0 + 1e-9);
    if !is_tight {
        return;
    }
    if let Some(told) = told(scope, &rating, "a larger set: plan to 80 %", PLANNED_SHARE) {
        report.add(Severity::Risk, Subject::Supply(scope.supply), || told);
    }
}

/// A diesel under 30 % of its kilowatts.
pub(super) fn generator_light(scope: &SupplyScope<'_>, report: &mut Report<'_>) {
    let is_diesel = plan_supply(scope).is_some_and(|supply| supply.fuel == Some(Fuel::Diesel));
    let Some(rated) = rating(scope).and_then(|rating| rating.kw).filter(|_| is_diesel) else { return };
    if fill(scope.used.kw, rated) != Fill::Light {
        return;
    }
    report.add(Severity::Note, Subject::Supply(scope.supply), || {
        let light = crate::physics::generator::LIGHT_SHARE;
        Told {
            text: format!(
                "{} gives {} kW of {} kW: a diesel under 30 % wet-stacks",
                scope.context.network.supplies[scope.supply].id,
                number(scope.used.kw.0),
                number(rated.0)
            ),
            crossing: Some(Crossing { value: scope.used.kw.0, limit: rated.0 * light, unit: "kW" }),
            assumed: is_assumed(scope),
            ..Told::default()
        }
    });
}

/// One head that is a larger step than the set takes at once.
pub(super) fn generator_step(scope: &SupplyScope<'_>, report: &mut Report<'_>) {
    let Some(supply) = plan_supply(scope).filter(|supply| supply.kind == SupplyKind::Generator) else {
        return;
    };
    let Some(rated) = rating(scope).and_then(|rating| rating.kva) else { return };
    let percent = supply.step_percent.unwrap_or(STEP_PERCENT);
    let setup = &scope.context.network;
    let largest = scope
        .used
        .heads
        .iter()
        .filter_map(|head| {
            let used = scope.heads[*head].as_ref()?;
            Some((*head, used.terminals.apparent_power(used.start)))
        })
        .max_by(|a, b| a.1.total_cmp(b.1));
    let Some((head, step)) = largest.filter(|(_, step)| !takes_step(*step, rated, percent)) else { return };
    report.add(Severity::Risk, Subject::Supply(scope.supply), || Told {
        text: format!(
            "{} is a step of {} kVA on {}, which takes {} kVA at once",
            setup.heads[head].id,
            number(step.0),
            setup.supplies[scope.supply].id,
            number(rated.0 * percent / 100.0)
        ),
        crossing: Some(Crossing { value: step.0, limit: rated.0 * percent / 100.0, unit: "kVA" }),
        assumed: supply.step_percent.is_none() || setup.heads[head].amps_origin().is_assumed(),
        ..Told::default()
    });
}

/// More than 40 % of its load is non-linear.
pub(super) fn generator_harmonics(scope: &SupplyScope<'_>, report: &mut Report<'_>) {
    if plan_supply(scope).is_none_or(|supply| supply.kind != SupplyKind::Generator) {
        return;
    }
    let network = scope.context.network;
    let power = |head: HeadAt| {
        let used = scope.heads[head].as_ref()?;
        Some(used.terminals.apparent_power(used.amps))
    };
    let is_bent = |head: &HeadAt| distortion(network.heads[*head].spectrum.orders()) > NON_LINEAR_DISTORTION;
    let all: KiloVoltAmps = scope.used.heads.iter().filter_map(|head| power(*head)).sum();
    let bent: Vec<HeadAt> = scope.used.heads.iter().copied().filter(is_bent).collect();
    let share = bent.iter().filter_map(|head| power(*head)).sum::<KiloVoltAmps>() / all;
    if share.is_nan() || share <= NON_LINEAR_SHARE {
        return;
    }
    report.add(Severity::Risk, Subject::Supply(scope.supply), || Told {
        text: format!(
            "{} % of the load of {} is non-linear: {}",
            number((100.0 * share).round()),
            network.supplies[scope.supply].id,
            heads(network, &bent)
        ),
        remedy: "corrected heads, or an alternator of 1.5 to 2 times the load".to_owned(),
        crossing: Some(Crossing { value: 100.0 * share, limit: 100.0 * NON_LINEAR_SHARE, unit: "%" }),
        assumed: true,
    });
}
