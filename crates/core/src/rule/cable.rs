//! Checks of the leads between a socket and a head.

use crate::assess::{Crossing, PlugUse, Subject, own_links};
use crate::library::HeadFamily;
use crate::network::{CableAt, HeadAt, Link};
use crate::physics::cable::Laid;
use crate::physics::filament::RATED_COLOUR;
use crate::rule::scope::Context;
use crate::rule::words::{heads, number, pair};
use crate::rule::{HeadScope, Report, Severity, SocketScope, Told};
use crate::unit::Amps;

/// Percent that our own leads may lose (common practice, no source).
const DROP: f64 = 4.0;

/// A head's own lead that carries more than it may as it lies.
pub(super) fn cable_hot(scope: &HeadScope<'_>, report: &mut Report<'_>) {
    let carried = Carried { heads: &[scope.head], amps: scope.used.amps, lines: scope.used.terminals.lines };
    for link in own_links(&scope.used.links) {
        if let Link::Cable(cable) = link
            && carried.heats(scope.context, *cable, Subject::Head(scope.head), report)
        {
            return;
        }
    }
}

/// A lead before a block that carries more than it may, with all that hangs on the block.
pub(super) fn shared_cable_hot(scope: &SocketScope<'_>, report: &mut Report<'_>) {
    for plug in &scope.used.plugs {
        trunk_hot(scope, plug, report);
    }
}

fn trunk_hot(scope: &SocketScope<'_>, plug: &PlugUse, report: &mut Report<'_>) {
    let lines = scope.context.network.terminals(scope.socket).lines;
    let carried = Carried { heads: &plug.heads, amps: plug.amps, lines };
    for link in &plug.trunk {
        if let Link::Cable(cable) = link
            && carried.heats(scope.context, *cable, Subject::Socket(scope.socket), report)
        {
            break;
        }
    }
    plug.onward.iter().for_each(|next| trunk_hot(scope, next, report));
}

/// What a lead carries.
struct Carried<'a> {
    heads: &'a [HeadAt],
    amps: Amps,
    lines: u8,
}

impl Carried<'_> {
    /// Tells of a lead that is over its rating, or has none that is known; whether it did.
    fn heats(&self, context: Context<'_>, cable: CableAt, subject: Subject, report: &mut Report<'_>) -> bool {
        let network = context.network;
        let node = &network.cables[cable];
        let carries = network.lead_carries(cable, self.lines);
        if self.heads.is_empty() || carries.is_some_and(|carries| !self.amps.is_over(carries)) {
            return false;
        }
        let verb = if self.heads.len() == 1 { "draws" } else { "draw" };
        let (who, id) = (heads(network, self.heads), &node.id);
        let Some(carries) = carries else {
            let drawn = number(self.amps.0);
            let text = format!(
                "{who} {verb} {drawn} A over lead {id}, and nobody knows what it carries: its size is below the table, and no rating is given"
            );
            let remedy = "a heavier lead, or read the rating off it".to_owned();
            report.add(Severity::Risk, subject, || Told { text, remedy, assumed: true, ..Told::default() });
            return true;
        };
        report.add(Severity::Danger, subject, || {
            let (drawn, bears) = pair(self.amps.0, carries.0);
            let wound = node.laid == Laid::Wound;
            let lying = match (wound, node.wound_is_over) {
                (false, _) => "",
                (true, false) => " wound on its reel",
                (true, true) => {
                    " wound on its reel: what is printed for that is more than unwound, and does not count"
                }
            };
            Told {
                text: format!("{who} {verb} {drawn} A over lead {id}, which carries {bears} A{lying}"),
                remedy: if wound {
                    "wind it off wholly, or take a lead that lies out".to_owned()
                } else {
                    "a heavier lead".to_owned()
                },
                crossing: Some(Crossing { value: self.amps.0, limit: carries.0, unit: "A" }),
                assumed: !node.is_printed || network.any_amps_assumed(self.heads),
            }
        });
        true
    }
}

/// More lost on our leads than crews put up with.
pub(super) fn drop_high(scope: &HeadScope<'_>, report: &mut Report<'_>) {
    if scope.used.socket.is_none() {
        return;
    }
    if let Some((severity, told)) = drop_told(scope) {
        report.add(severity, Subject::Head(scope.head), || {
            let assumed = scope.context.network.heads[scope.head].amps_origin().is_assumed();
            Told { assumed, ..told }
        });
    }
}

fn drop_told(scope: &HeadScope<'_>) -> Option<(Severity, Told)> {
    let head = &scope.context.network.heads[scope.head];
    if scope.used.conductor.is_none() {
        let text = format!(
            "nobody knows what arrives at {}: the resistance of its lead is unknown, its size is below the table",
            head.id
        );
        return Some((Severity::Note, Told { text, ..Told::default() }));
    }
    let shared = match scope.used.shared.map_or(0, |shared| shared.with) {
        0 => String::new(),
        1 => " shared with another head".to_owned(),
        others => format!(" shared with {others} heads"),
    };
    let (Some(volts), Some(drop)) = (scope.used.arriving, scope.used.drop_percent()) else {
        let text = if shared.is_empty() {
            format!("{} asks more than its leads can bring", head.id)
        } else {
            format!("{} is on leads{shared}, and together they ask more than its leads can bring", head.id)
        };
        return Some((Severity::Risk, Told { text, remedy: published_total(scope), ..Told::default() }));
    };
    if drop <= DROP * (1.0 + 1e-9) {
        return None;
    }
    let light = match (scope.used.light_percent(head), scope.used.colour(head)) {
        (Some(light), Some(colour)) => {
            format!(": {light:.0} % of its light is left, at {:.0} K for {:.0}", colour.0, RATED_COLOUR.0)
        }
        _ => String::new(),
    };
    let text = format!(
        "{} gets {} V at the end of {} m of lead{shared}, {} % less{light}",
        head.id,
        number(volts.0),
        number(scope.used.lead.0),
        number(drop)
    );
    let crossing = Some(Crossing { value: drop, limit: DROP, unit: "%" });
    Some((Severity::Risk, Told { text, remedy: published_total(scope), crossing, ..Told::default() }))
}

/// What to do, and what the region publishes for the way from the supply to the head in all.
fn published_total(scope: &HeadScope<'_>) -> String {
    let network = scope.context.network;
    let region = network.region;
    let (key, what, percent) = if network.heads[scope.head].family == Some(HeadFamily::Other) {
        ("drop_other_percent", "such loads", region.drop_other_percent)
    } else {
        ("drop_lighting_percent", "lighting", region.drop_lighting_percent)
    };
    // A source goes on with what it says, and how sure that is.
    let source =
        region.sources.get(key).and_then(|source| source.split([':', ',']).next()).unwrap_or_default();
    format!(
        "a heavier or shorter lead; for {what} {} % in all is published, the building's wires included ({source})",
        number(percent)
    )
}
