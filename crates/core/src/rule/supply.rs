//! Checks of a supply.

use crate::assess::{Crossing, Subject, SupplyUse};
use crate::library::ContractGrace;
use crate::network::{HeadAt, Known, Network, SupplyAt, plan_order};
use crate::plan::{EarthClass, SupplyKind};
use crate::rule::words::{heads, is, number, pair};
use crate::rule::{Report, Severity, SupplyScope, Told};
use crate::unit::{Amps, KiloWatts, Minutes};

/// Class I heads that a small floating set may feed (IET On-Site Guide 2.4.1, BS 7671 551.4.4).
const FLOATING_CLASS_ONE: usize = 1;

/// A line of the mains over its main switch or service fuse, or perhaps, where untraced heads may be on
/// it.
pub(super) fn main_over(scope: &SupplyScope<'_>, report: &mut Report<'_>) {
    line_over_limit(scope, report, SupplyKind::Mains);
}

/// A line of a generator or battery station over its limit.
pub(super) fn line_over(scope: &SupplyScope<'_>, report: &mut Report<'_>) {
    line_over_limit(scope, report, SupplyKind::Generator);
    line_over_limit(scope, report, SupplyKind::Battery);
}

fn line_over_limit(scope: &SupplyScope<'_>, report: &mut Report<'_>, kind: SupplyKind) {
    let network = scope.context.network;
    let node = &network.supplies[scope.supply];
    let Some(limit) = node.limit.filter(|_| node.kind == kind) else { return };
    let (line, amps) = scope.used.busiest();
    if amps.is_over(limit.value) {
        if !scope.used.heads.is_empty() {
            report.add(Severity::Dark, Subject::Supply(scope.supply), || {
                certainly_over(scope, line, amps, limit)
            });
        }
        return;
    }
    let (line, may) = busiest_perhaps(scope.used);
    if may.is_over(limit.value) && scope.used.possible[line].is_over(Amps::ZERO) {
        report.add(Severity::Risk, Subject::Supply(scope.supply), || perhaps_over(scope, line, may, limit));
    }
}

/// The line that may carry most with the untraced heads that may be on it, and that.
fn busiest_perhaps(used: &SupplyUse) -> (usize, Amps) {
    let may = |line: usize| (line, used.lines[line].amps() + used.possible[line]);
    [may(1), may(2)].into_iter().fold(may(0), |best, next| if next.1.is_over(best.1) { next } else { best })
}

fn certainly_over(scope: &SupplyScope<'_>, line: usize, amps: Amps, limit: Known<Amps>) -> Told {
    let network = scope.context.network;
    let node = &network.supplies[scope.supply];
    let (drawn, carried) = pair(amps.0, limit.value.0);
    let what = if node.kind == SupplyKind::Mains { "main switch or service fuse" } else { "breaker" };
    Told {
        text: format!("{} carries {drawn} A, its {what} carries {carried} A", line_name(scope, line)),
        remedy: format!("take {} A off it: another supply, or another setup", number((amps - limit.value).0)),
        crossing: Some(Crossing { value: amps.0, limit: limit.value.0, unit: "A" }),
        assumed: limit.origin.is_assumed() || network.any_amps_assumed(&scope.used.heads),
    }
}

fn perhaps_over(scope: &SupplyScope<'_>, line: usize, may: Amps, limit: Known<Amps>) -> Told {
    let network = scope.context.network;
    let untraced: Vec<HeadAt> = scope
        .heads
        .iter()
        .filter(|(_, used)| {
            let socket = used.as_ref().and_then(|used| used.socket);
            let parts = socket.map_or(&[][..], |socket| &network.reach_of(socket).supplies);
            parts.iter().any(|part| {
                !part.certain && part.what.0 == scope.supply && part.what.1.conductors().contains(&line)
            })
        })
        .map(|(head, _)| head)
        .collect();
    let (may_carry, carried) = pair(may.0, limit.value.0);
    let on_it = match untraced.as_slice() {
        [] => String::new(),
        untraced => format!(" if {}, untraced, {} on it", heads(network, untraced), is(untraced)),
    };
    Told {
        text: format!(
            "{} may carry {may_carry} A of {carried} A{on_it}; {} A is certain",
            line_name(scope, line),
            number((may - scope.used.possible[line]).0)
        ),
        remedy: "trace the untraced sockets, or take them as on this line".to_owned(),
        crossing: Some(Crossing { value: may.0, limit: limit.value.0, unit: "A" }),
        assumed: true,
    }
}

/// `L2 of house`, or `house` where it has one line only.
fn line_name(scope: &SupplyScope<'_>, line: usize) -> String {
    let node = &scope.context.network.supplies[scope.supply];
    if node.lines().len() == 1 { node.id.to_string() } else { format!("L{} of {}", line + 1, node.id) }
}

/// More kilowatts than the metered contract bears for the setup's length.
pub(super) fn contract_over(scope: &SupplyScope<'_>, report: &mut Report<'_>) {
    let network = scope.context.network;
    let node = &network.supplies[scope.supply];
    let Some(contract) = node.contract else { return };
    let kw = scope.used.kw;
    if scope.used.heads.is_empty() || !kw.is_over(contract) {
        return;
    }
    let borne = borne_for(&network.region.contract_grace, kw / contract);
    let minutes = minutes_at(scope, contract);
    let is_borne = match borne {
        Borne::ForEver => true,
        Borne::MinutesADay(most) => !minutes.is_over(most),
        Borne::NotAtAll => false,
    };
    if is_borne {
        return;
    }
    report.add(Severity::Dark, Subject::Supply(scope.supply), || {
        let (why, remedy) = match borne {
            Borne::MinutesADay(most) => (
                format!("which is borne for {} min a day, not {}", number(most.0), number(minutes.0)),
                format!("shorten it to {} min in all, or take heads off", number(most.0)),
            ),
            Borne::ForEver | Borne::NotAtAll => {
                (cut(&network.region.contract_grace), "take heads off, or ask for more power".to_owned())
            }
        };
        let (drawn, bought) = pair(kw.0, contract.0);
        Told {
            text: format!("{} gives {drawn} kW on a contract of {bought} kW, {why}", node.id),
            remedy,
            crossing: Some(Crossing { value: kw.0, limit: contract.0, unit: "kW" }),
            assumed: network.any_amps_assumed(&scope.used.heads),
        }
    });
}

/// How soon it is cut where nothing more is borne: the grid's pages say it together with the grace.
fn cut(grace: &[ContractGrace]) -> String {
    let soon =
        if grace.is_empty() { "which may be cut at once" } else { "which is cut within about 2 minutes" };
    soon.to_owned()
}

/// How long a supply bears more than its contract.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Borne {
    ForEver,
    MinutesADay(Minutes),
    NotAtAll,
}

fn borne_for(grace: &[ContractGrace], times: f64) -> Borne {
    match grace.iter().find(|step| times <= step.times + 1e-9) {
        None => Borne::NotAtAll,
        Some(step) => step.minutes_a_day.map_or(Borne::ForEver, Borne::MinutesADay),
    }
}

/// Minutes up to the end of this setup in which the supply is over what it bears for ever.
fn minutes_at(scope: &SupplyScope<'_>, contract: KiloWatts) -> Minutes {
    let network = scope.context.network;
    let mut total = Minutes::ZERO;
    for setup in plan_order(&network.setups) {
        let kw = scope.context.kw(setup, scope.supply);
        let for_ever = borne_for(&network.region.contract_grace, kw / contract) == Borne::ForEver;
        if kw.is_over(contract) && !for_ever {
            total += network.setups[setup].minutes;
        }
        if setup == scope.context.setup {
            break;
        }
    }
    total
}

/// A small set whose neutral floats: a missing earth is normal, and no RCD trips on a first fault.
pub(super) fn neutral_floating(scope: &SupplyScope<'_>, report: &mut Report<'_>) {
    let network = scope.context.network;
    let node = &network.supplies[scope.supply];
    if !node.small_floating || scope.used.heads.is_empty() {
        return;
    }
    let class_one: Vec<HeadAt> = scope
        .used
        .heads
        .iter()
        .copied()
        .filter(|head| network.heads[*head].earth_class.value == EarthClass::I)
        .collect();
    let rains = scope.context.rains();
    let too_many = class_one.len() > FLOATING_CLASS_ONE;
    let words = &network.region.words;
    let text = match (rains, too_many) {
        (true, _) => {
            format!("the neutral of {} floats, in rain: no {} drops on a first fault", node.id, words.rcd)
        }
        (false, true) => format!(
            "the neutral of {} floats, and it feeds {} class I heads, {}: two faults meet through their metal",
            node.id,
            class_one.len(),
            heads(network, &class_one)
        ),
        (false, false) => format!(
            "the neutral of {} floats: no-{} is normal there, and no {} drops on a first fault",
            node.id, words.earth, words.rcd
        ),
    };
    #[expect(clippy::cast_precision_loss, reason = "a handful of heads")]
    let crossing = (!rains && too_many).then_some(Crossing {
        value: class_one.len() as f64,
        limit: FLOATING_CLASS_ONE as f64,
        unit: "heads",
    });
    report.add(
        if rains || too_many { Severity::Danger } else { Severity::Note },
        Subject::Supply(scope.supply),
        || Told { text, crossing, ..Told::default() },
    );
}

/// A generator indoors.
pub(super) fn fumes(network: &Network, report: &mut Report<'_>) {
    for (at, node) in network.supplies.iter() {
        let inside = node.place.room.is_some() && !node.place.outdoor;
        if node.kind == SupplyKind::Generator && inside {
            let subject: SupplyAt = at;
            report.add(Severity::Danger, Subject::Supply(subject), || Told {
                text: format!("{} stands indoors: its exhaust kills", node.id),
                ..Told::default()
            });
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::library::RegionCode;

    #[test]
    fn an_italian_contract_bears_a_tenth_more_for_ever_and_a_third_more_for_three_hours() {
        // Published by press and grid pages for the 3 kW contract.
        let grace = &RegionCode::It.region().contract_grace;
        assert_eq!(borne_for(grace, 3.3 / 3.0), Borne::ForEver);
        assert_eq!(borne_for(grace, 3.9 / 3.0), Borne::MinutesADay(Minutes(180.0)));
        assert_eq!(borne_for(grace, 4.2 / 3.0), Borne::NotAtAll);
        assert_eq!(borne_for(&RegionCode::Eu.region().contract_grace, 1.01), Borne::NotAtAll);
    }
}
