//! Checks of a socket with all that is plugged into it.

use crate::assess::{Crossing, PlugUse, Subject};
use crate::library::OutletUse;
use crate::network::{At, HeadAt, Origin, SocketAt};
use crate::plan::{EarthClass, TestOutcome};
use crate::rule::exposure::exposure;
use crate::rule::fit::{outlet_rating, trunk_rating};
use crate::rule::protection::finest_rcds;
use crate::rule::words::{heads, is, number, pair};
use crate::rule::{Report, Severity, SocketScope, Told};
use crate::unit::{Amps, MilliAmps};

/// Ratings over this protect no person (IEC 60364-4-41 411.3.3).
const PERSONAL: MilliAmps = MilliAmps(30.0);
/// Sockets up to this must be behind an RCD, where a region has that rule.
const COVERED: Amps = Amps(32.0);

/// Heads that hang on a socket: those plugged in, and those on a distribution box that is.
fn heads_on(scope: &SocketScope<'_>) -> Vec<HeadAt> {
    let plugged = scope.used.plugs.iter().flat_map(|plug| plug.heads.iter().copied());
    plugged.chain(scope.used.fed.iter().copied()).collect()
}

fn has_class_one(scope: &SocketScope<'_>) -> bool {
    heads_on(scope).iter().any(|head| scope.context.network.heads[*head].earth_class.value == EarthClass::I)
}

/// Whether a missing earth is how a small floating generator reads.
fn is_generator_exception(scope: &SocketScope<'_>) -> bool {
    let network = scope.context.network;
    network.sockets[scope.socket].test == TestOutcome::NoEarth
        && network.reach_of(scope.socket).supply().is_some_and(|at| network.supplies[at].small_floating)
}

/// A tester outcome that is not ok.
pub(super) fn socket_unsafe(scope: &SocketScope<'_>, report: &mut Report<'_>) {
    let network = scope.context.network;
    let node = &network.sockets[scope.socket];
    if matches!(node.test, TestOutcome::Ok | TestOutcome::Untested) || is_generator_exception(scope) {
        return;
    }
    let words = &network.region.words;
    let (active, neutral, earth) = (&words.active, &words.neutral, &words.earth);
    let polarised = node.outlet.value.is_none_or(|outlet| outlet.polarised);
    let earthed = node.outlet.value.is_none_or(|outlet| outlet.earthed);
    let (severity, why) = match node.test {
        TestOutcome::Reversed if !polarised => (
            Severity::Note,
            format!(
                "{active} and {neutral} are swapped; this kind of outlet is not polarised, so that a turned plug does the same"
            ),
        ),
        TestOutcome::Reversed => (
            Severity::Danger,
            format!(
                "{active} and {neutral} are swapped: the head stays live with its switch off, in rain and while a screw-base lamp is changed"
            ),
        ),
        TestOutcome::NoEarth if !earthed => (
            if has_class_one(scope) { Severity::Danger } else { Severity::Risk },
            format!("this kind of outlet has no {earth}: metal of a class I head that fails stays live"),
        ),
        TestOutcome::NoEarth => (
            Severity::Danger,
            format!("there is no {earth}: metal of a head that fails stays live, and no breaker drops"),
        ),
        TestOutcome::NoNeutral => (
            Severity::Danger,
            format!("there is no {neutral}: nothing burns, and {active} is live all the same"),
        ),
        TestOutcome::Dead => (
            Severity::Danger,
            "it is dead: switched, timed or broken, and it may come on under somebody's hands".to_owned(),
        ),
        TestOutcome::ActiveOnEarth => (
            Severity::Danger,
            format!("{active} and {earth} are swapped: the metal of every head on it is live"),
        ),
        _ => (Severity::Danger, "the tester showed something that it should not".to_owned()),
    };
    report.add(severity, Subject::Socket(scope.socket), || {
        let remedy = match severity {
            Severity::Note => format!("know that the tester reads that here; switch off at {}", words.board),
            Severity::Risk => "class II heads only, or another socket".to_owned(),
            _ => format!(
                "unplug {}; nobody uses this {}; tell the owner",
                heads(network, &heads_on(scope)),
                words.socket
            ),
        };
        Told { text: format!("{}: {why}", node.id), remedy, ..Told::default() }
    });
}

/// Nobody used the tester.
pub(super) fn socket_untested(scope: &SocketScope<'_>, report: &mut Report<'_>) {
    let network = scope.context.network;
    let node = &network.sockets[scope.socket];
    if node.test != TestOutcome::Untested {
        return;
    }
    let on = heads_on(scope);
    let exposed = exposure(scope.context, scope.socket, &on);
    report.add(
        if exposed.is_some() { Severity::Danger } else { Severity::Risk },
        Subject::Socket(scope.socket),
        || {
            let place = exposed.map_or(String::new(), |exposed| format!(", {}", exposed.words()));
            Told {
                text: format!(
                    "{} was not tested{place}, and {} {} on it",
                    node.id,
                    heads(network, &on),
                    is(&on)
                ),
                ..Told::default()
            }
        },
    );
}

/// A socket that is not to be used.
pub(super) fn socket_banned(scope: &SocketScope<'_>, report: &mut Report<'_>) {
    let network = scope.context.network;
    let node = &network.sockets[scope.socket];
    let plan = network.plan.sockets.get_index(scope.socket.get()).map(|(_, socket)| socket);
    let usage = node.outlet.value.map_or(OutletUse::General, |outlet| outlet.usage);
    let why = match (plan.and_then(|socket| socket.ban.as_deref()), usage) {
        (Some(ban), _) => ban,
        (None, OutletUse::General) => return,
        (None, OutletUse::Shaver) => "a shaver outlet",
        (None, OutletUse::Medical) => "a medical outlet",
        (None, OutletUse::Ups) => "somebody's uninterruptible supply",
    };
    report.add(Severity::Danger, Subject::Socket(scope.socket), || Told {
        text: format!("{} is not to be used: {why}", node.id),
        remedy: format!("unplug {}", heads(network, &heads_on(scope))),
        ..Told::default()
    });
}

/// More plugs than ways.
pub(super) fn socket_full(scope: &SocketScope<'_>, report: &mut Report<'_>) {
    let network = scope.context.network;
    let node = &network.sockets[scope.socket];
    let box_plug = usize::from(!node.feeds.is_empty());
    let plugs = scope.used.plugs.len() + box_plug;
    if plugs <= node.ways.value as usize {
        return;
    }
    let plugged: Vec<HeadAt> = scope.used.plugs.iter().flat_map(|plug| plug.heads.iter().copied()).collect();
    let (and_dark, remedy) = match scope.used.dark.as_slice() {
        [] => (String::new(), String::new()),
        dark => (
            format!(", and plugged in but off {}", heads(network, dark)),
            format!("unplug what is off: {}; or another socket, or a block", heads(network, dark)),
        ),
    };
    let boxed = if box_plug > 0 { " and a distribution box" } else { "" };
    #[expect(clippy::cast_precision_loss, reason = "a handful of plugs")]
    let crossing = Crossing { value: plugs as f64, limit: f64::from(node.ways.value), unit: "plugs" };
    report.add(Severity::Dark, Subject::Socket(scope.socket), || Told {
        text: format!(
            "{} takes {} and has {plugs}: {}{boxed}{and_dark}",
            node.id,
            counted(node.ways.value, "plug"),
            heads(network, &plugged)
        ),
        remedy,
        crossing: Some(crossing),
        assumed: node.ways.origin.is_assumed(),
    });
}

fn counted(count: u32, what: &str) -> String {
    if count == 1 { format!("1 {what}") } else { format!("{count} {what}s") }
}

/// A block, or a distribution box, over what its outlet or plug carries.
pub(super) fn outlet_over(scope: &SocketScope<'_>, report: &mut Report<'_>) {
    let network = scope.context.network;
    let node = &network.sockets[scope.socket];
    for plug in &scope.used.plugs {
        trunk_over(scope, plug, Some(scope.socket), report);
    }
    let Some(rating) = outlet_rating(network, scope.socket) else { return };
    if scope.used.feed.is_over(rating.amps) {
        report.add(Severity::Danger, Subject::Socket(scope.socket), || {
            let (drawn, carried) = pair(scope.used.feed.0, rating.amps.0);
            Told {
                text: format!(
                    "the distribution box on {} draws {drawn} A a line, the outlet carries {carried} A",
                    node.id
                ),
                remedy: "move a head from its busiest line".to_owned(),
                crossing: Some(Crossing { value: scope.used.feed.0, limit: rating.amps.0, unit: "A" }),
                assumed: rating.assumed,
            }
        });
    }
}

/// A block, or a lead before it, over what outlet, plugs, fuses and the block itself carry; then those
/// behind it.
fn trunk_over(scope: &SocketScope<'_>, plug: &PlugUse, wall: Option<SocketAt>, report: &mut Report<'_>) {
    let network = scope.context.network;
    let Some(block) = plug.block else { return };
    if let Some(rating) = trunk_rating(network, wall, &plug.trunk)
        && plug.amps.is_over(rating.amps)
    {
        report.add(Severity::Danger, Subject::Socket(scope.socket), || {
            let (drawn, carried) = pair(plug.amps.0, rating.amps.0);
            Told {
                text: format!(
                    "{} on block {} at {} draw {drawn} A, {} carries {carried} A",
                    heads(network, &plug.heads),
                    network.blocks[block].id,
                    network.sockets[scope.socket].id,
                    rating.words(network)
                ),
                remedy: "take a head off the block".to_owned(),
                crossing: Some(Crossing { value: plug.amps.0, limit: rating.amps.0, unit: "A" }),
                assumed: rating.assumed || network.any_amps_assumed(&plug.heads),
            }
        });
    }
    plug.onward.iter().for_each(|next| trunk_over(scope, next, None, report));
}

/// More amps on one plate than it carries in all.
pub(super) fn plate_over(scope: &SocketScope<'_>, report: &mut Report<'_>) {
    let network = scope.context.network;
    let plate = &network.plates[network.sockets[scope.socket].plate];
    let Some(limit) = plate.limit else { return };
    let uses = &scope.context.setups[scope.context.setup].sockets;
    let others = plate.sockets.iter().filter(|socket| **socket != scope.socket);
    let amps = scope.used.amps + others.map(|socket| uses[*socket].amps).sum();
    if !amps.is_over(limit.value) {
        return;
    }
    let first = plate.sockets.first().copied().unwrap_or(scope.socket);
    report.add(Severity::Danger, Subject::Socket(first), || {
        let name = match &plate.id {
            Some(id) => format!("plate {id}"),
            None => format!("the plate of {}", network.sockets[first].id),
        };
        let (drawn, carried) = pair(amps.0, limit.value.0);
        Told {
            text: format!("{name} carries {drawn} A, it is made for {carried} A in all"),
            crossing: Some(Crossing { value: amps.0, limit: limit.value.0, unit: "A" }),
            assumed: limit.origin.is_assumed() || network.any_amps_assumed(&heads_on(scope)),
            ..Told::default()
        }
    });
}

/// No RCD between a head and the supply, none that is proven, or none fine enough for a person.
pub(super) fn rcd_absent(scope: &SocketScope<'_>, report: &mut Report<'_>) {
    let network = scope.context.network;
    let node = &network.sockets[scope.socket];
    if network.reach_of(scope.socket).supply().is_some_and(|at| network.supplies[at].small_floating) {
        return;
    }
    if finest_rcds(scope.context, scope.socket).all(|rcd| rcd.is_some()) {
        return;
    }
    let (rcd, rcd_long) = (&network.region.words.rcd, &network.region.words.rcd_long);
    let Some((severity, place)) = missing_severity(scope) else { return };
    report.add(severity, Subject::Socket(scope.socket), || {
        let why = if node.never_tripped {
            format!("a ramp test dropped nothing: there is no {rcd} on it, or it is faulty, or the tester is")
        } else if network.reach_of(scope.socket).candidates.len() > 1 {
            format!("untraced, and a circuit that it may be on has no {rcd}")
        } else {
            format!("no {rcd} is known between it and the supply")
        };
        Told {
            text: format!("{}{place}: {why}", node.id),
            remedy: format!(
                "a plug-in {rcd_long} in {}, tested that day, or another {}",
                node.id, network.region.words.socket
            ),
            ..Told::default()
        }
    });
}

/// How bad a missing RCD is at this socket, and the words for its place.
fn missing_severity(scope: &SocketScope<'_>) -> Option<(Severity, String)> {
    let network = scope.context.network;
    let node = &network.sockets[scope.socket];
    if let Some(exposed) = exposure(scope.context, scope.socket, &heads_on(scope)) {
        return Some((Severity::Danger, format!(", {}", exposed.words())));
    }
    let small = node.outlet.value.is_none_or(|outlet| !outlet.amps.is_over(COVERED));
    match (network.region.sockets_need_rcd, small) {
        (true, true) => Some((Severity::Danger, String::new())),
        (false, _) => Some((Severity::Risk, String::new())),
        (true, false) => None,
    }
}

/// The finest RCD of the chain is too coarse for a person.
pub(super) fn rcd_coarse(scope: &SocketScope<'_>, report: &mut Report<'_>) {
    let network = scope.context.network;
    let node = &network.sockets[scope.socket];
    let coarsest = finest_rcds(scope.context, scope.socket)
        .flatten()
        .map(|rcd| (rcd, network.rcds[rcd].rated))
        .reduce(|most, next| if next.1.value.is_over(most.1.value) { next } else { most });
    let Some((rcd, rated)) = coarsest else { return };
    if !rated.value.is_over(PERSONAL) {
        return;
    }
    let Some((severity, place)) = missing_severity(scope) else { return };
    report.add(severity, Subject::Socket(scope.socket), || {
        let words = &network.region.words;
        Told {
            text: format!(
                "{}{place}: the finest {} before it is {}, {} mA, which protects no person",
                node.id,
                words.rcd,
                network.rcds[rcd].id,
                number(rated.value.0)
            ),
            remedy: format!("a plug-in 30 mA {} in {}, tested that day", words.rcd_long, node.id),
            crossing: Some(Crossing { value: rated.value.0, limit: PERSONAL.0, unit: "mA" }),
            assumed: rated.origin == Origin::Region,
        }
    });
}
