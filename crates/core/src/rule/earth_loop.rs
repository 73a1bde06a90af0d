//! The check of the earth-fault loop from a socket to a head.

use crate::assess::Subject;
use crate::library::Outlet;
use crate::network::{At, Known, Link, RcdAt};
use crate::physics::earth_loop::{
    largest_loop, largest_loop_of_plug_fuse, largest_loop_of_rcd, takes_british_rule_over,
};
use crate::rule::protection::finest_rcds;
use crate::rule::words::{hundredths, number};
use crate::rule::{Crossing, HeadScope, Report, Severity, Told};
use crate::unit::{Amps, Ohms};

/// A point between the wall and a head, the earth-fault loop there, and the device before it that drops
/// at once over the largest one.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct EarthLoop {
    /// Where: the head, or the end of a lead.
    pub at: String,
    /// The loop there.
    pub ohms: Ohms,
    /// The largest that `device` allows.
    pub largest: Ohms,
    /// The breaker, or a plug fuse.
    pub device: String,
    /// Whether `largest` rests on a default.
    pub assumed: bool,
}

/// The loop where it is worst against what drops there: over its limit furthest from the wall, else at
/// the head. `None` where it is not known, or where no table says.
///
/// A plug fuse helps a fault behind it only: the head's own none in the leads, a lead's none before it.
/// So a head's own fuse counts where no lead is before it; else its last lead's end, with the same loop
/// and without that fuse, is worse.
pub(crate) fn earth_loop(scope: &HeadScope<'_>) -> Option<EarthLoop> {
    let network = scope.context.network;
    let socket = scope.used.socket?;
    let breaker = &network.circuits[network.sockets[socket].circuit?];
    let region = network.plan.location.region.unwrap_or_default();
    let plan = network.plan.sockets.get_index(socket.get()).map(|(_, socket)| socket);
    let there = plan.and_then(|socket| socket.loop_impedance).or_else(|| loop_at_board(scope))?;
    let head = &network.heads[scope.head];
    let mut here = EarthLoop {
        at: head.id.to_string(),
        ohms: there,
        largest: largest_loop(region, breaker.curve.value, breaker.breaker.value)?,
        device: breaker.id.to_string(),
        assumed: breaker.breaker.origin.is_assumed() || breaker.curve.origin.is_assumed(),
    };
    let mut worst: Option<EarthLoop> = None;
    for link in &scope.used.links {
        let (id, plug, fuse) = match link {
            Link::Cable(cable) => {
                let cable = &network.cables[*cable];
                (format!("lead {}", cable.id), &cable.plug, cable.fuse)
            }
            Link::Block(block) => {
                let block = &network.blocks[*block];
                (format!("block {}", block.id), &block.plug, block.fuse)
            }
        };
        here.take_fuse(plug, fuse, &id);
        here.ohms += network.conductor_of(*link)? * 2.0;
        if here.ohms.is_over(here.largest) {
            worst = Some(EarthLoop { at: format!("the end of {id}"), ..here.clone() });
        }
    }
    if scope.used.links.is_empty() {
        here.take_fuse(&head.plug, head.fuse, &format!("{}'s plug", head.id));
    }
    Some(if here.ohms.is_over(here.largest) { here } else { worst.unwrap_or(here) })
}

impl EarthLoop {
    /// Counts a fuse of a fused plug, where it opens over a larger loop than what is before it.
    fn take_fuse(&mut self, plug: &Known<Option<&'static Outlet>>, fuse: Option<Known<Amps>>, what: &str) {
        let is_fused_kind = plug.value.is_some_and(|plug| plug.plug_fuse_a.is_some());
        let Some(fuse) = fuse.filter(|_| is_fused_kind) else { return };
        let Some(largest) = largest_loop_of_plug_fuse(fuse.value) else { return };
        if largest.is_over(self.largest) {
            self.largest = largest;
            self.device = format!("the {} A fuse in {what}", number(fuse.value.0));
            self.assumed = fuse.origin.is_assumed();
        }
    }
}

/// A loop so large that neither breaker nor plug fuse drops at once on an earth fault.
pub(super) fn loop_high(scope: &HeadScope<'_>, report: &mut Report<'_>) {
    let network = scope.context.network;
    let Some(found) = earth_loop(scope).filter(|found| found.ohms.is_over(found.largest)) else { return };
    let (severity, why) = protected(scope, found.ohms);
    report.add(severity, Subject::Head(scope.head), || {
        let region = network.plan.location.region.unwrap_or_default();
        let by = if takes_british_rule_over(region) { " by BS 7671's rule" } else { "" };
        let (is, may_be) = (hundredths(found.ohms.0), hundredths(found.largest.0));
        Told {
            text: format!(
                "the earth-fault loop at {} is {is} ohm, {} allows {may_be}{by}: {why}",
                found.at, found.device
            ),
            crossing: Some(Crossing { value: found.ohms.0, limit: found.largest.0, unit: "ohm" }),
            assumed: found.assumed,
            ..Told::default()
        }
    });
}

/// Whether an RCD drops where the breaker does not.
fn protected(scope: &HeadScope<'_>, ohms: Ohms) -> (Severity, String) {
    let network = scope.context.network;
    let nothing = || (Severity::Danger, "nothing drops at once on an earth fault".to_owned());
    let Some(socket) = scope.used.socket else { return nothing() };
    let rcds: Option<Vec<RcdAt>> = finest_rcds(scope.context, socket).collect();
    let rated = |rcd: &RcdAt| network.rcds[*rcd].rated.value;
    let coarsest = |rcds: Vec<RcdAt>| {
        rcds.into_iter().reduce(|most, next| if rated(&next).is_over(rated(&most)) { next } else { most })
    };
    let Some(rcd) = rcds.and_then(coarsest) else { return nothing() };
    let largest = largest_loop_of_rcd(rated(&rcd));
    let (id, milliamps) = (&network.rcds[rcd].id, number(rated(&rcd).0));
    let up_to = format!("{:.0}", largest.0);
    if ohms.is_over(largest) {
        let text = format!("{id}, {milliamps} mA, allows {up_to} ohm, and nothing else drops at once");
        return (Severity::Danger, text);
    }
    let what = &network.region.words.rcd;
    (
        Severity::Risk,
        format!("{what} {id}, {milliamps} mA, is the only fast protection, good up to {up_to} ohm"),
    )
}

/// The loop up to the board, where the supply's is known: never more than the loop at a socket.
fn loop_at_board(scope: &HeadScope<'_>) -> Option<Ohms> {
    let network = scope.context.network;
    let supply = network.reach_of(scope.used.socket?).supply()?;
    network.plan.supplies.get_index(supply.get()).and_then(|(_, supply)| supply.loop_impedance)
}
