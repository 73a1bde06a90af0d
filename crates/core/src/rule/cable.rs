//! Checks of the leads between a socket and a head.

use crate::assess::{Crossing, Subject};
use crate::network::{At, Link};
use crate::physics::cable::{Laid, filament_light};
use crate::physics::earth_loop::largest_loop;
use crate::plan::Load;
use crate::rule::protection::finest_rcds;
use crate::rule::words::{number, pair};
use crate::rule::{HeadScope, Report, Severity, Told};
use crate::unit::Ohms;

/// Percent that our own leads may lose (common practice, no source).
const DROP: f64 = 4.0;

/// A lead that carries more than it may as it lies.
pub(super) fn cable_hot(scope: &HeadScope<'_>, report: &mut Report<'_>) {
    let network = scope.context.network;
    let (head, amps) = (&network.heads[scope.head], scope.used.amps);
    for link in &scope.used.links {
        let Link::Cable(cable) = link else { continue };
        let Some(carries) = network.lead_carries(*cable, scope.used.terminals.lines) else { continue };
        if !amps.is_over(carries) {
            continue;
        }
        let node = &network.cables[*cable];
        let wound = node.laid == Laid::Wound;
        let (drawn, bears) = pair(amps.0, carries.0);
        let lying = if wound { " wound on its reel" } else { "" };
        report.add(
            Severity::Danger,
            Subject::Head(scope.head),
            Told {
                text: format!(
                    "{} draws {drawn} A over lead {}, which carries {bears} A{lying}",
                    head.id, node.id
                ),
                remedy: if wound {
                    "wind it off wholly, or take a lead that lies out".to_owned()
                } else {
                    "a heavier lead".to_owned()
                },
                crossing: Some(Crossing { value: amps.0, limit: carries.0, unit: "A" }),
                assumed: !node.is_printed || head.amps_origin().is_assumed(),
            },
        );
        return;
    }
}

/// More lost on our leads than crews put up with.
pub(super) fn drop_high(scope: &HeadScope<'_>, report: &mut Report<'_>) {
    let network = scope.context.network;
    let head = &network.heads[scope.head];
    if scope.used.socket.is_none() {
        return;
    }
    let assumed = head.amps_origin().is_assumed();
    let (Some(volts), Some(drop)) = (scope.used.arriving, scope.used.drop_percent()) else {
        report.add(
            Severity::Risk,
            Subject::Head(scope.head),
            Told {
                text: format!("{} asks more than its leads can bring", head.id),
                assumed,
                ..Told::default()
            },
        );
        return;
    };
    if drop <= DROP * (1.0 + 1e-9) {
        return;
    }
    let light = if head.load == Load::Filament {
        let rated = head.volts.unwrap_or(scope.used.terminals.volts);
        format!(", {:.0} % of its light", 100.0 * filament_light(volts, rated))
    } else {
        String::new()
    };
    report.add(
        Severity::Risk,
        Subject::Head(scope.head),
        Told {
            text: format!(
                "{} gets {} V at the end of {} m of lead, {} % less{light}",
                head.id,
                number(volts.0),
                number(scope.used.lead.0),
                number(drop)
            ),
            crossing: Some(Crossing { value: drop, limit: DROP, unit: "%" }),
            assumed,
            ..Told::default()
        },
    );
}

/// A loop so large that the breaker does not drop at once on an earth fault.
pub(super) fn loop_high(scope: &HeadScope<'_>, report: &mut Report<'_>) {
    let network = scope.context.network;
    let Some(socket) = scope.used.socket else { return };
    let node = &network.sockets[socket];
    let Some(circuit) = node.circuit else { return };
    let breaker = &network.circuits[circuit];
    let region = network.plan.location.region.unwrap_or_default();
    let plan = network.plan.sockets.get_index(socket.get()).map(|(_, socket)| socket);
    let Some(there) = plan.and_then(|socket| socket.loop_impedance).or_else(|| loop_at_board(scope)) else {
        return;
    };
    let Some(largest) = largest_loop(region, breaker.curve.value, breaker.breaker.value) else { return };
    let whole = there + scope.used.conductor * 2.0;
    if !whole.is_over(largest) {
        return;
    }
    let has_rcd = finest_rcds(scope.context, socket).iter().all(Option::is_some);
    let (is, may_be) = pair(whole.0, largest.0);
    let (severity, why) = if has_rcd {
        (Severity::Risk, format!("the {} is the only fast protection", network.region.words.rcd))
    } else {
        (Severity::Danger, "nothing drops at once on an earth fault".to_owned())
    };
    report.add(
        severity,
        Subject::Head(scope.head),
        Told {
            text: format!(
                "the earth-fault loop at {} is {is} ohm, {} allows {may_be}: {why}",
                network.heads[scope.head].id, breaker.id
            ),
            crossing: Some(Crossing { value: whole.0, limit: largest.0, unit: "ohm" }),
            assumed: breaker.breaker.origin.is_assumed() || breaker.curve.origin.is_assumed(),
            ..Told::default()
        },
    );
}

/// The loop up to the board, where the supply's is known: never more than the loop at a socket.
fn loop_at_board(scope: &HeadScope<'_>) -> Option<Ohms> {
    let network = scope.context.network;
    let supply = network.reach_of(scope.used.socket?).supply()?;
    network.plan.supplies.get_index(supply.get()).and_then(|(_, supply)| supply.loop_impedance)
}
