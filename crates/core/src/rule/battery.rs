//! Checks of a battery station: its energy, and the power that it gives for moments.

use crate::assess::{Crossing, Subject, energy, energy_before, energy_in};
use crate::network::At;
use crate::physics::generator::battery_run;
use crate::plan::SupplyKind;
use crate::rule::words::{number, pair};
use crate::rule::{Report, Severity, SupplyScope, Told};
use crate::unit::KiloWattHours;

/// Its energy is out before the setup ends, with what the setups before took and no charge between.
pub(super) fn energy_out(scope: &SupplyScope<'_>, report: &mut Report<'_>) {
    let (network, setup) = (scope.context.network, scope.context.setup);
    let Some(holds) = energy(network, scope.supply).filter(|_| !scope.used.heads.is_empty()) else { return };
    let before = energy_before(network, setup, |at| scope.context.kw(at, scope.supply));
    let given = before + energy_in(network, setup, scope.used.kw);
    if !given.is_over(holds) {
        return;
    }
    report.add(Severity::Dark, Subject::Supply(scope.supply), || {
        let node = &network.supplies[scope.supply];
        let left = (holds - before).max(KiloWattHours::ZERO);
        let when = match battery_run(left, scope.used.kw) {
            Some(lasts) if left.is_over(KiloWattHours::ZERO) => {
                let all = network.setups[setup].minutes;
                format!("it is empty after {} of {} min", number(lasts.0.floor()), number(all.0))
            }
            _ => "it is empty before this setup begins".to_owned(),
        };
        let (asked, has) = pair(given.0, holds.0);
        Told {
            text: format!(
                "{} holds {has} kWh, and {asked} kWh are asked of it by the end: {when}, \
                 without a charge between setups",
                node.id
            ),
            remedy: format!(
                "take heads off it, charge it between, or a second one: {} kWh are missing",
                number((given - holds).0)
            ),
            crossing: Some(Crossing { value: given.0, limit: holds.0, unit: "kWh" }),
            assumed: network.any_amps_assumed(&scope.used.heads),
        }
    });
}

/// More power while heads start than it gives for moments.
pub(super) fn peak_over(scope: &SupplyScope<'_>, report: &mut Report<'_>) {
    let network = scope.context.network;
    let plan = network.plan.supplies.get_index(scope.supply.get()).map(|(_, supply)| supply);
    let Some(plan) = plan.filter(|plan| plan.kind == SupplyKind::Battery) else { return };
    let Some(gives) = plan.peak_kw.filter(|_| !scope.used.heads.is_empty()) else { return };
    let peak = scope.used.start_peak(network, scope.heads);
    // What it does not give for long is told already.
    let told = plan.kw.is_some_and(|kw| scope.used.kw.is_over(kw));
    if told || !peak.is_over(gives) {
        return;
    }
    let lasts = scope.used.kw.is_over(gives);
    report.add(if lasts { Severity::Dark } else { Severity::Risk }, Subject::Supply(scope.supply), || {
        let (asked, has) = pair(peak.0, gives.0);
        Told {
            text: format!(
                "{} is asked for {asked} kW {}, it gives {has} kW for moments",
                network.supplies[scope.supply].id,
                if lasts { "all along" } else { "while its heads run up" }
            ),
            remedy: "strike the largest first, one at a time, or a larger station".to_owned(),
            crossing: Some(Crossing { value: peak.0, limit: gives.0, unit: "kW" }),
            assumed: network.any_amps_assumed(&scope.used.heads),
        }
    });
}
