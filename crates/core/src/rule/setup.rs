//! Checks of a setup as a whole.

use std::collections::HashMap;

use crate::assess::{Crossing, Subject};
use crate::network::{At, BlockAt, CableAt, HeadAt, Link, Network, SupplyAt, distance};
use crate::plan::Line;
use crate::rule::words::{heads, number};
use crate::rule::{Report, SetupScope, Severity, Told};
use crate::unit::Metres;

/// Heads nearer than this can be touched together (from memory: the standards' arm's reach is 2.5 m
/// for live parts; crews work with 2 m).
const TOUCH: Metres = Metres(2.0);

/// A head that is on has no socket.
pub(super) fn head_unplaced(scope: &SetupScope<'_>, report: &mut Report<'_>) {
    let network = scope.context.network;
    for (head, used) in scope.used.heads.iter() {
        if used.as_ref().is_none_or(|used| used.socket.is_some()) {
            continue;
        }
        report.add(
            Severity::Dark,
            Subject::Head(head),
            Told { text: format!("{} is on and not plugged in", network.heads[head].id), ..Told::default() },
        );
    }
}

/// More leads or blocks of a kind in use than the truck has.
pub(super) fn stock_short(scope: &SetupScope<'_>, report: &mut Report<'_>) {
    let network = scope.context.network;
    let (cables, blocks) = stock_in_use(network, scope);
    for (at, cable) in network.cables.iter() {
        let users = cables.get(&at).map_or(&[][..], Vec::as_slice);
        short(network, report, Subject::Cable(at), cable.count, users, &format!("lead {}", cable.id));
    }
    for (at, block) in network.blocks.iter() {
        let users = blocks.get(&at).map_or(&[][..], Vec::as_slice);
        short(network, report, Subject::Block(at), block.count, users, &format!("block {}", block.id));
    }
}

fn short(
    network: &Network,
    report: &mut Report<'_>,
    subject: Subject,
    count: Option<u32>,
    users: &[HeadAt],
    what: &str,
) {
    let Some(count) = count else { return };
    if users.len() <= count as usize {
        return;
    }
    #[expect(clippy::cast_precision_loss, reason = "a handful of leads")]
    let crossing = Crossing { value: users.len() as f64, limit: f64::from(count), unit: "pieces" };
    report.add(
        Severity::Dark,
        subject,
        Told {
            text: format!(
                "{what} is used {} times, the truck has {count}: {}",
                users.len(),
                heads(network, users)
            ),
            remedy: "take another lead, or move a head nearer".to_owned(),
            crossing: Some(crossing),
            assumed: false,
        },
    );
}

type Users<K> = HashMap<K, Vec<HeadAt>>;

/// Who uses which leads and blocks; a block that several heads share at the wall counts once.
fn stock_in_use(network: &Network, scope: &SetupScope<'_>) -> (Users<CableAt>, Users<BlockAt>) {
    let mut cables: Users<CableAt> = HashMap::new();
    let mut blocks: Users<BlockAt> = HashMap::new();
    for socket in scope.used.sockets.iter().map(|(_, socket)| socket) {
        for plug in &socket.plugs {
            if let (Some(block), Some(first)) = (plug.block, plug.heads.first()) {
                blocks.entry(block).or_default().push(*first);
            }
        }
    }
    for (head, used) in scope.used.heads.iter() {
        let Some(used) = used else { continue };
        for (place, link) in used.links.iter().enumerate() {
            match link {
                Link::Cable(cable) => cables.entry(*cable).or_default().push(head),
                Link::Block(block) if place > 0 => blocks.entry(*block).or_default().push(head),
                Link::Block(_) => {}
            }
        }
    }
    debug_assert!(cables.keys().all(|at| at.get() < network.cables.len()), "known leads only");
    (cables, blocks)
}

/// Where a head that burns hangs.
#[derive(Clone, Copy)]
struct Fed {
    head: HeadAt,
    supply: SupplyAt,
    line: Line,
}

/// Heads that can be touched together, on different lines of one supply.
pub(super) fn two_lines(scope: &SetupScope<'_>, report: &mut Report<'_>) {
    near_pairs(
        scope,
        |a, b| a.supply == b.supply && a.line != b.line,
        |a, b, metres| {
            let network = scope.context.network;
            let supply = &network.supplies[a.supply];
            let volts = supply.volts_between(Line::L1L2);
            report.add(
                Severity::Risk,
                Subject::Head(a.head),
                Told {
                    text: format!(
                        "{} on {} and {} on {} stand {} m apart: {} V between their lines",
                        network.heads[a.head].id,
                        a.line,
                        network.heads[b.head].id,
                        b.line,
                        number(metres.0),
                        number(volts.0)
                    ),
                    crossing: Some(Crossing { value: metres.0, limit: TOUCH.0, unit: "m" }),
                    ..Told::default()
                },
            );
        },
    );
}

/// Heads that can be touched together, on different supplies.
pub(super) fn two_sources(scope: &SetupScope<'_>, report: &mut Report<'_>) {
    near_pairs(
        scope,
        |a, b| a.supply != b.supply,
        |a, b, metres| {
            let network = scope.context.network;
            report.add(
                Severity::Danger,
                Subject::Head(a.head),
                Told {
                    text: format!(
                        "{} on {} and {} on {} stand {} m apart, with no common {} known",
                        network.heads[a.head].id,
                        network.supplies[a.supply].id,
                        network.heads[b.head].id,
                        network.supplies[b.supply].id,
                        number(metres.0),
                        network.region.words.earth
                    ),
                    crossing: Some(Crossing { value: metres.0, limit: TOUCH.0, unit: "m" }),
                    ..Told::default()
                },
            );
        },
    );
}

/// Calls `tell` for each head with the nearest one before it in the plan that `clashes` and stands
/// within reach. Heads are sorted into squares of that size, so that a big plan costs no more a head.
fn near_pairs(
    scope: &SetupScope<'_>,
    clashes: impl Fn(&Fed, &Fed) -> bool,
    mut tell: impl FnMut(&Fed, &Fed, Metres),
) {
    let network = scope.context.network;
    let mut squares: HashMap<(i32, i64, i64), Vec<Fed>> = HashMap::new();
    for (head, used) in scope.used.heads.iter() {
        let Some(socket) = used.as_ref().and_then(|used| used.socket) else { continue };
        let place = &network.heads[head].place;
        let (Some(at), [part]) = (place.at, network.reach_of(socket).supplies.as_slice()) else { continue };
        let fed = Fed { head, supply: part.what.0, line: part.what.1 };
        #[expect(clippy::cast_possible_truncation, reason = "metres, at most 10,000")]
        let square = ((at.x / TOUCH).floor() as i64, (at.y / TOUCH).floor() as i64);
        let mut nearest: Option<(Fed, Metres)> = None;
        for (dx, dy) in (-1..=1).flat_map(|dx| (-1..=1).map(move |dy| (dx, dy))) {
            for other in squares.get(&(place.level, square.0 + dx, square.1 + dy)).into_iter().flatten() {
                let Some(metres) = distance(place, &network.heads[other.head].place) else { continue };
                let closer = nearest.as_ref().is_none_or(|(_, best)| best.is_over(metres));
                if !metres.is_over(TOUCH) && clashes(&fed, other) && closer {
                    nearest = Some((*other, metres));
                }
            }
        }
        if let Some((other, metres)) = nearest {
            tell(&fed, &other, metres);
        }
        squares.entry((place.level, square.0, square.1)).or_default().push(fed);
    }
}
