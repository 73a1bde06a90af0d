//! Checks of an RCD.

mod chain;
mod kind;

pub(super) use kind::rcd_type;

use crate::assess::{Crossing, Subject, struck};
use crate::network::{At, HeadAt, RcdAt};
use crate::physics::residual::Outcome;
use crate::plan::RcdClass;
use crate::rule::exposure::exposure;
use crate::rule::words::{heads, is, list, number, odds, pair};
use crate::rule::{RcdScope, Report, Severity, Told};
use crate::strike::{peak_leakage, with_one_more};
use crate::unit::MilliAmps;

/// Share of a rating that may leak in normal use (BS 7671 531.3.2).
const SHARE: f64 = 0.30;

fn is_used(scope: &RcdScope<'_>) -> bool {
    !scope.used.heads.is_empty() || !scope.used.possible_heads.is_empty()
}

fn assumed(scope: &RcdScope<'_>) -> bool {
    let network = scope.context.network;
    !scope.used.room.tested
        || scope
            .used
            .heads
            .iter()
            .chain(&scope.used.possible_heads)
            .any(|head| crate::assess::leakage_origin(network, *head).is_assumed())
}

/// The head that strikes at the peak: with the one that comes after it, the worst moment.
fn worst_strike(scope: &RcdScope<'_>) -> Option<(HeadAt, MilliAmps)> {
    let network = scope.context.network;
    scope
        .used
        .heads
        .iter()
        .chain(&scope.used.possible_heads)
        .map(|head| {
            let node = &network.heads[*head];
            (*head, node.leak.value.high + node.strike.value.high)
        })
        .reduce(|best, next| if next.1.is_over(best.1) { next } else { best })
}

/// Where its room comes from.
fn room_words(scope: &RcdScope<'_>) -> String {
    let node = &scope.context.network.rcds[scope.rcd];
    let room = scope.used.room.room;
    let low = number(room.low.0);
    let span = match room.high {
        Some(high) if high != room.low => format!("{low} to {} mA", number(high.0)),
        _ => format!("{low} mA"),
    };
    if scope.used.room.tested {
        format!("has {span} left")
    } else {
        format!("was not ramp-tested: {span} by its rating of {} mA", number(node.rated.value.0))
    }
}

/// The remedy that fits: another RCD for the head that peaks.
fn move_away(scope: &RcdScope<'_>) -> String {
    scope.move_away.get_or_init(|| where_to_move(scope)).clone()
}

fn where_to_move(scope: &RcdScope<'_>) -> String {
    let network = scope.context.network;
    let Some((head, peak)) = worst_strike(scope) else { return String::new() };
    let id = &network.heads[head].id;
    if let Some((at, left)) = roomiest_for(scope, head) {
        format!("move {id} to a socket behind {}: {} mA left there", network.rcds[at].id, number(left.0))
    } else {
        let rcd = &network.region.words.rcd;
        format!("move {id}, {} mA when it is switched on, behind another {rcd}", number(peak.0))
    }
}

/// Of the few RCDs with most room left, none of them in one chain with this one, the one that would have
/// most left with a head more; `None` where none bears it.
fn roomiest_for(scope: &RcdScope<'_>, head: HeadAt) -> Option<(RcdAt, MilliAmps)> {
    let network = scope.context.network;
    let setup = &scope.context.setups[scope.context.setup];
    let chain = &network.rcds[scope.rcd].upstream;
    let elsewhere = setup
        .roomiest
        .iter()
        .filter(|at| **at != scope.rcd && !chain.contains(at))
        .filter(|at| !network.rcds[**at].upstream.contains(&scope.rcd));
    let mut best: Option<(RcdAt, MilliAmps)> = None;
    for at in elsewhere {
        let used = &setup.rcds[*at];
        let low = used.room.room.low;
        // With a head more there is no more left than there is now.
        let is_new = used.order.iter().all(|(other, _)| *other != head);
        let is_no_better = |(_, left)| !(low - used.possible_peak).is_over(left);
        if is_new && best.is_some_and(is_no_better) {
            continue;
        }
        let with_it = peak_with(scope, *at, head);
        let left = low - with_it;
        if low.reaches(with_it) && best.is_none_or(|(_, most)| left.is_over(most)) {
            best = Some((*at, left));
        }
    }
    best
}

/// Most that would leak through an RCD while its heads, and one more, are struck in order.
fn peak_with(scope: &RcdScope<'_>, rcd: RcdAt, more: HeadAt) -> MilliAmps {
    let network = scope.context.network;
    let used = &scope.context.setups[scope.context.setup].rcds[rcd];
    let struck = |head: HeadAt| Some(struck(network, head, scope.heads[head].as_ref()?));
    let lit = used.order.iter().map(|(head, _)| network.heads[*head].leak.value.high).sum();
    let others = used.possible_standing - lit;
    let order = used.order.iter().map(|(head, _)| *head).filter(|head| *head != more).filter_map(struck);
    let Some(more) = struck(more) else { return peak_leakage(order, others) };
    if network.setups[scope.context.setup].strike.is_empty() {
        return peak_leakage(with_one_more(order, more), others);
    }
    // A crew with an order of its own strikes it last.
    peak_leakage(order.chain(std::iter::once(more)), others)
}

/// It will drop, or may, while the heads are struck.
pub(super) fn rcd_trips(scope: &RcdScope<'_>, report: &mut Report<'_>) {
    if scope.used.outcome != Outcome::Trips || !is_used(scope) {
        return;
    }
    report.add(Severity::Dark, Subject::Rcd(scope.rcd), || {
        let network = scope.context.network;
        let room = scope.used.room.room;
        let high = room.high.unwrap_or(room.low);
        let id = &network.rcds[scope.rcd].id;
        let (peak, at) = pair(scope.used.peak.0, high.0);
        Told {
            text: format!(
                "{id} drops: {peak} mA as {} {} switched on, and it drops at {at} mA; {}",
                heads(network, &scope.used.heads),
                is(&scope.used.heads),
                goes_dark(scope)
            ),
            remedy: move_away(scope),
            crossing: Some(Crossing { value: scope.used.peak.0, limit: high.0, unit: "mA" }),
            assumed: assumed(scope),
        }
    });
}

/// Which circuits go with it, and which other devices may.
fn goes_dark(scope: &RcdScope<'_>) -> String {
    let network = scope.context.network;
    let circuits = &network.rcds[scope.rcd].darkens;
    let too = chain::others_may_drop(scope);
    match circuits.as_slice() {
        [] => format!("only what is plugged into it goes dark{too}"),
        circuits => format!("dark then: {}{too}", list(circuits.iter().map(|at| &network.circuits[*at].id))),
    }
}

/// It may drop while the heads are struck.
pub(super) fn rcd_may_trip(scope: &RcdScope<'_>, report: &mut Report<'_>) {
    if scope.used.outcome != Outcome::MayTrip || !is_used(scope) {
        return;
    }
    report.add(Severity::Risk, Subject::Rcd(scope.rcd), || {
        let network = scope.context.network;
        let node = &network.rcds[scope.rcd];
        let (peak, low) = (scope.used.possible_peak, scope.used.room.room.low);
        let reached = number(peak.0);
        let on = if scope.used.heads.is_empty() { &scope.used.possible_heads } else { &scope.used.heads };
        let untraced = if scope.used.possible_heads.is_empty() {
            String::new()
        } else {
            format!(
                ", if {}, untraced, {} behind it",
                heads(network, &scope.used.possible_heads),
                is(&scope.used.possible_heads)
            )
        };
        Told {
            text: format!(
                "{} may drop, {} if any threshold in its room is as likely: {reached} mA while \
                 {} {} switched \
                 on{untraced}, and it {}; {}",
                node.id,
                odds(scope.used.odds),
                heads(network, on),
                is(on),
                room_words(scope),
                goes_dark(scope)
            ),
            remedy: move_away(scope),
            crossing: Some(Crossing { value: peak.0, limit: low.0, unit: "mA" }),
            assumed: assumed(scope),
        }
    });
}

/// What burns leaks more than it surely holds: it may drop in the middle of a take.
pub(super) fn rcd_standing(scope: &RcdScope<'_>, report: &mut Report<'_>) {
    let (standing, low) = (scope.used.standing, scope.used.room.room.low);
    if scope.used.heads.is_empty() || !standing.is_over(low) || scope.used.room.absent {
        return;
    }
    report.add(Severity::Dark, Subject::Rcd(scope.rcd), || {
        let network = scope.context.network;
        let (leaks, held) = pair(standing.0, low.0);
        Told {
            text: format!(
                "{} may drop at any moment of the take: {leaks} mA leaks while all burn ({}), \
                 and it surely holds {held} mA only",
                network.rcds[scope.rcd].id,
                heads(network, &scope.used.heads)
            ),
            remedy: move_away(scope),
            crossing: Some(Crossing { value: standing.0, limit: low.0, unit: "mA" }),
            assumed: assumed(scope),
        }
    });
}

/// What burns leaks over 30 % of the rating.
pub(super) fn rcd_share(scope: &RcdScope<'_>, report: &mut Report<'_>) {
    let network = scope.context.network;
    let node = &network.rcds[scope.rcd];
    if node.class.value == RcdClass::Gfci || scope.used.heads.is_empty() || scope.used.room.absent {
        return;
    }
    let (standing, share) = (scope.used.standing, node.rated.value * SHARE);
    if !standing.is_over(share) {
        return;
    }
    report.add(Severity::Risk, Subject::Rcd(scope.rcd), || {
        let (leaks, limit) = pair(standing.0, share.0);
        Told {
            text: format!(
                "{leaks} mA leaks through {} while all burn, over 30 % of its {} mA ({limit} \
                 mA)",
                node.id,
                number(node.rated.value.0)
            ),
            remedy: move_away(scope),
            crossing: Some(Crossing { value: standing.0, limit: share.0, unit: "mA" }),
            assumed: assumed(scope) || node.rated.origin.is_assumed(),
        }
    });
}

/// Heads behind an RCD that nobody ramp-tested.
pub(super) fn rcd_untested(scope: &RcdScope<'_>, report: &mut Report<'_>) {
    if scope.used.room.tested || scope.used.heads.is_empty() {
        return;
    }
    let network = scope.context.network;
    let node = &network.rcds[scope.rcd];
    let exposed = scope.used.heads.iter().find_map(|head| {
        let socket = scope.heads[*head].as_ref()?.socket?;
        exposure(scope.context, socket, &[*head])
    });
    report.add(
        if exposed.is_some() { Severity::Danger } else { Severity::Risk },
        Subject::Rcd(scope.rcd),
        || {
            let words = &network.region.words;
            let keep_on = node.darkens.iter().find_map(|at| {
                let (_, circuit) = network.plan.circuits.get_index(at.get())?;
                circuit.keep_on.as_deref().map(|why| (&network.circuits[*at].id, why))
            });
            let board_found = network.plan.location.board == Some(crate::plan::Board::Found);
            let remedy = match (keep_on, board_found) {
                (Some((circuit, why)), _) => format!(
                    "no ramp test: {circuit} stays on ({why}); put a plug-in {} in the socket",
                    words.rcd_long
                ),
                (None, false) => format!(
                    "find the {} before any ramp test; until then a plug-in {} in the socket",
                    words.board, words.rcd_long
                ),
                (None, true) => format!(
                    "ask the owner, then ramp-test from 10 mA; everything behind {} goes dark with \
                     it",
                    node.id
                ),
            };
            let place = exposed.map_or(String::new(), |exposed| format!(", {}", exposed.words()));
            Told {
                text: format!(
                    "{} was not ramp-tested{place}, and {} {} behind it",
                    node.id,
                    heads(network, &scope.used.heads),
                    is(&scope.used.heads)
                ),
                remedy,
                assumed: true,
                ..Told::default()
            }
        },
    );
}

/// Others leak through it, and nobody knows how much.
pub(super) fn reserve_unknown(scope: &RcdScope<'_>, report: &mut Report<'_>) {
    let network = scope.context.network;
    let node = &network.rcds[scope.rcd];
    let shared = node
        .darkens
        .iter()
        .any(|at| network.plan.circuits.get_index(at.get()).is_some_and(|(_, circuit)| circuit.others));
    if !shared || node.reserve.is_some() || scope.used.heads.is_empty() {
        return;
    }
    report.add(Severity::Note, Subject::Rcd(scope.rcd), || Told {
        text: format!("others leak through {} too, nobody knows how much", node.id),
        remedy: "ask them, and give the RCD its reserve_ma".to_owned(),
        assumed: true,
        ..Told::default()
    });
}
