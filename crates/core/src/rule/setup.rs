//! Checks of a setup as a whole.

use std::collections::HashMap;
use std::sync::LazyLock;

use crate::assess::{Crossing, HeadUse, SetupUse, Subject};
use crate::network::{BlockAt, CableAt, HeadAt, Link, Network, SocketAt, SupplyAt, distance};
use crate::plan::Line;
use crate::rule::scope::Context;
use crate::rule::words::{heads, number, pair};
use crate::rule::{Found, Report, Rule, Scope, SetupScope, Severity, Told, rule};
use crate::unit::{Amps, Metres};

static TWO_LINES: LazyLock<Option<&Rule>> = LazyLock::new(|| rule("two-lines"));
static TWO_SOURCES: LazyLock<Option<&Rule>> = LazyLock::new(|| rule("two-sources"));

/// Heads nearer than this can be touched together (from memory: the standards' arm's reach is 2.5 m
/// for live parts; crews work with 2 m).
pub(crate) const TOUCH: Metres = Metres(2.0);

/// A head that is on has no socket.
pub(super) fn head_unplaced(scope: &SetupScope<'_>, report: &mut Report<'_>) {
    let network = scope.context.network;
    for (head, used) in scope.used.heads.iter() {
        if used.as_ref().is_none_or(|used| used.socket.is_some()) {
            continue;
        }
        report.add(Severity::Dark, Subject::Head(head), || Told {
            text: format!("{} is on and not plugged in", network.heads[head].id),
            ..Told::default()
        });
    }
}

/// No circuit is known for some sockets, so all of their heads may be on one breaker, and that one of the
/// smallest kind that is usual in the region.
pub(super) fn no_circuit_known(scope: &SetupScope<'_>, report: &mut Report<'_>) {
    let network = scope.context.network;
    let loose: Vec<(HeadAt, Amps)> = scope
        .used
        .heads
        .iter()
        .filter_map(|(head, used)| {
            let used = used.as_ref()?;
            network.reach_of(used.socket?).candidates.is_empty().then_some((head, used.amps))
        })
        .collect();
    let amps: Amps = loose.iter().map(|(_, amps)| *amps).sum();
    let smallest = network.region.smallest_breaker_a;
    if !amps.is_over(smallest) {
        return;
    }
    report.add(Severity::Risk, Subject::Location, || {
        let on: Vec<HeadAt> = loose.into_iter().map(|(head, _)| head).collect();
        let (drawn, carried) = pair(amps.0, smallest.0);
        Told {
            text: format!(
                "no circuit is known for {}: {drawn} A may be on one breaker, and {carried} A \
                 is the smallest \
                 usual here",
                heads(network, &on)
            ),
            remedy: format!("find the {}, and trace the sockets", network.region.words.board),
            crossing: Some(Crossing { value: amps.0, limit: smallest.0, unit: "A" }),
            assumed: true,
        }
    });
}

/// More leads or blocks of a kind in use than the truck has.
pub(super) fn stock_short(scope: &SetupScope<'_>, report: &mut Report<'_>) {
    let network = scope.context.network;
    let (cables, blocks) = stock_in_use(scope);
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
    report.add(Severity::Dark, subject, || Told {
        text: format!(
            "{what} is used {} times, the truck has {count}: {}",
            users.len(),
            heads(network, users)
        ),
        remedy: "take another lead, or move a head nearer".to_owned(),
        crossing: Some(crossing),
        assumed: false,
    });
}

type Users<K> = HashMap<K, Vec<HeadAt>>;

/// Who uses which leads and blocks; one that several heads share counts once.
fn stock_in_use(scope: &SetupScope<'_>) -> (Users<CableAt>, Users<BlockAt>) {
    let mut cables: Users<CableAt> = HashMap::new();
    let mut blocks: Users<BlockAt> = HashMap::new();
    scope.used.each_piece(|link, head| match link {
        Link::Cable(cable) => cables.entry(cable).or_default().push(head),
        Link::Block(block) => blocks.entry(block).or_default().push(head),
    });
    for users in cables.values_mut() {
        users.sort_unstable();
    }
    (cables, blocks)
}

/// Where a head that burns hangs.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Fed {
    head: HeadAt,
    supply: SupplyAt,
    line: Line,
}

/// Heads that can be touched together, on different lines of one supply.
pub(super) fn two_lines(scope: &SetupScope<'_>, report: &mut Report<'_>) {
    let network = scope.context.network;
    if network.supplies.iter().all(|(_, supply)| supply.lines().len() == 1) {
        return;
    }
    near_pairs(scope, clash_of_lines, |a, b, metres| {
        tell_two_lines(network, a, b, metres, &mut report.of(Scope::Neighbours(a.head)));
    });
}

/// Heads that can be touched together, on different supplies.
pub(super) fn two_sources(scope: &SetupScope<'_>, report: &mut Report<'_>) {
    let network = scope.context.network;
    if network.supplies.len() < 2 {
        return;
    }
    near_pairs(scope, clash_of_supplies, |a, b, metres| {
        tell_two_sources(network, a, b, metres, &mut report.of(Scope::Neighbours(a.head)));
    });
}

fn clash_of_lines(a: &Fed, b: &Fed) -> bool {
    a.supply == b.supply && a.line != b.line
}

fn clash_of_supplies(a: &Fed, b: &Fed) -> bool {
    a.supply != b.supply
}

/// What a head would clash with, were it fed so, among neighbours that burn within reach of it.
pub(crate) fn neighbour_findings(
    context: Context<'_>,
    fed: &Fed,
    neighbours: &[(Fed, Metres)],
    found: &mut Found,
) {
    let network = context.network;
    let nearest = |clashes: fn(&Fed, &Fed) -> bool| {
        neighbours
            .iter()
            .filter(|(other, _)| clashes(fed, other))
            .reduce(|best, next| if best.1.is_over(next.1) { next } else { best })
    };
    if let (Some((other, metres)), Some(rule)) = (nearest(clash_of_lines), *TWO_LINES) {
        let report = &mut Report::new(rule, Some(context.setup), Scope::Setup, found);
        tell_two_lines(network, fed, other, *metres, report);
    }
    if let (Some((other, metres)), Some(rule)) = (nearest(clash_of_supplies), *TWO_SOURCES) {
        let report = &mut Report::new(rule, Some(context.setup), Scope::Setup, found);
        tell_two_sources(network, fed, other, *metres, report);
    }
}

/// The heads that burn within reach of `head` in a setup, but for itself.
pub(crate) fn neighbours(network: &Network, used: &SetupUse, head: HeadAt) -> Vec<(Fed, Metres)> {
    let place = &network.heads[head].place;
    used.heads
        .iter()
        .filter(|(other, _)| *other != head)
        .filter_map(|(other, used)| {
            let metres = distance(place, &network.heads[other].place)?;
            let fed = fed(network, other, used.as_ref()?.socket?)?;
            (!metres.is_over(TOUCH)).then_some((fed, metres))
        })
        .collect()
}

/// Where a head at a socket hangs, where that is certain.
pub(crate) fn fed(network: &Network, head: HeadAt, socket: SocketAt) -> Option<Fed> {
    match network.reach_of(socket).supplies.as_slice() {
        [part] => Some(Fed { head, supply: part.what.0, line: part.what.1 }),
        _ => None,
    }
}

fn tell_two_lines(network: &Network, a: &Fed, b: &Fed, metres: Metres, report: &mut Report<'_>) {
    report.add(Severity::Risk, Subject::Head(a.head), || {
        let volts = network.supplies[a.supply].volts_between(Line::L1L2);
        Told {
            text: format!(
                "{} on {} and {} on {} stand {} m apart: {} V between their lines",
                network.heads[a.head].id,
                a.line,
                network.heads[b.head].id,
                b.line,
                number(metres.0),
                number(volts.0.round())
            ),
            crossing: Some(Crossing { value: metres.0, limit: TOUCH.0, unit: "m" }),
            ..Told::default()
        }
    });
}

fn tell_two_sources(network: &Network, a: &Fed, b: &Fed, metres: Metres, report: &mut Report<'_>) {
    report.add(Severity::Danger, Subject::Head(a.head), || Told {
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
    });
}

/// Calls `tell` for each head with the nearest one before it in the plan that `clashes` and stands
/// within reach. Heads are sorted into squares of that size, so that a big plan costs no more a head.
fn near_pairs(
    scope: &SetupScope<'_>,
    clashes: impl Fn(&Fed, &Fed) -> bool,
    mut tell: impl FnMut(&Fed, &Fed, Metres),
) {
    let network = scope.context.network;
    let in_square = |(head, used): (HeadAt, &Option<HeadUse>)| {
        let place = &network.heads[head].place;
        let at = place.at?;
        #[expect(clippy::cast_possible_truncation, reason = "metres, at most 10,000")]
        let square = ((at.x / TOUCH).floor() as i64, (at.y / TOUCH).floor() as i64);
        Some((
            Square { level: place.level, x: square.0, y: square.1 },
            fed(network, head, used.as_ref()?.socket?)?,
        ))
    };
    let mut heads: Vec<(Square, Fed)> = scope.used.heads.iter().filter_map(in_square).collect();
    let in_plan: Vec<(Square, Fed)> = heads.clone();
    heads.sort_by_key(|(square, fed)| (*square, fed.head));
    for (square, fed) in in_plan.iter().filter(|(_, fed)| (scope.wanted)(Scope::Neighbours(fed.head))) {
        let place = &network.heads[fed.head].place;
        let mut nearest: Option<(Fed, Metres)> = None;
        // Three squares above each other stand side by side in the sorted list.
        for x in square.x - 1..=square.x + 1 {
            let from = heads.partition_point(|(other, _)| *other < Square { x, y: square.y - 1, ..*square });
            let column = heads[from..].iter();
            let column = column.take_while(|(other, _)| *other <= Square { x, y: square.y + 1, ..*square });
            for (_, other) in column.filter(|(_, other)| other.head < fed.head) {
                let Some(metres) = distance(place, &network.heads[other.head].place) else { continue };
                let closer = nearest.as_ref().is_none_or(|(_, best)| best.is_over(metres));
                if !metres.is_over(TOUCH) && clashes(fed, other) && closer {
                    nearest = Some((*other, metres));
                }
            }
        }
        if let Some((other, metres)) = nearest {
            tell(fed, &other, metres);
        }
    }
}

/// A square as large as an arm reaches.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct Square {
    level: i32,
    x: i64,
    y: i64,
}
