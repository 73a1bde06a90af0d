//! Checks of a head at its socket.

use crate::assess::{Crossing, Subject};
use crate::library::HeadFamily;
use crate::network::{At, Link};
use crate::rule::fit::{first_misfit, least_rating};
use crate::rule::words::{number, pair};
use crate::rule::{HeadScope, Report, Severity, Told};
use crate::unit::{Metres, Volts};

/// Volts that a head may be off its own by before it is the wrong supply: 240 V heads burn on 208 V,
/// 230 V heads on 240 V; 120 V ones do not.
const VOLTS_TOLERANCE: f64 = 0.15;

/// A plug that does not fit, or more amps than an outlet, plug or fuse on the way carries.
pub(super) fn outlet_over(scope: &HeadScope<'_>, report: &mut Report<'_>) {
    let network = scope.context.network;
    let Some(socket) = scope.used.socket else { return };
    let (head, links) = (&network.heads[scope.head], &scope.used.links);
    if let Some(misfit) = first_misfit(network, socket, links, scope.head) {
        report.add(Severity::Danger, Subject::Head(scope.head), || Told {
            text: format!(
                "{} does not plug into {}: plug {} does not go into outlet {}",
                head.id, network.sockets[socket].id, misfit.plug, misfit.outlet
            ),
            remedy: format!(
                "put {} on an outlet that takes its plug; no adaptor that defeats a rating",
                head.id
            ),
            assumed: head.plug.origin.is_assumed(),
            ..Told::default()
        });
        return;
    }
    let Some(rating) = least_rating(network, socket, links, scope.head) else { return };
    let amps = scope.used.amps;
    if !amps.is_over(rating.amps) {
        return;
    }
    report.add(Severity::Danger, Subject::Head(scope.head), || {
        let (drawn, carried) = pair(amps.0, rating.amps.0);
        Told {
            text: format!("{} draws {drawn} A, {} carries {carried} A", head.id, rating.words(network)),
            remedy: format!("put {} on a larger outlet, with plug and lead to match", head.id),
            crossing: Some(Crossing { value: amps.0, limit: rating.amps.0, unit: "A" }),
            assumed: rating.assumed || head.amps_origin().is_assumed(),
        }
    });
}

/// A lead that does not reach.
pub(super) fn cable_short(scope: &HeadScope<'_>, report: &mut Report<'_>) {
    let network = scope.context.network;
    let (Some(socket), Some(needed)) = (scope.used.socket, scope.used.lead_needed) else { return };
    let lead = scope.used.lead;
    let head = &network.heads[scope.head];
    // Where the plan lists no leads at all, nobody is planning them yet.
    let planned = !network.cables.is_empty() || lead.0 > 0.0;
    if !planned || !needed.is_over(lead) {
        return;
    }
    report.add(Severity::Dark, Subject::Head(scope.head), || {
        let (takes, has) = pair(needed.0, lead.0);
        let socket = &network.sockets[socket].id;
        let text = if lead == Metres::ZERO {
            format!("{} has no lead to {socket}, {takes} m away along the walls", head.id)
        } else {
            format!("{} has {has} m of lead to {socket}, it takes {takes} m", head.id)
        };
        Told {
            text,
            crossing: Some(Crossing { value: needed.0, limit: lead.0, unit: "m" }),
            ..Told::default()
        }
    });
}

/// More than two leads joined, or a block on a block.
pub(super) fn chain_long(scope: &HeadScope<'_>, report: &mut Report<'_>) {
    const JOINED: usize = 2;
    let cables = scope.used.links.iter().filter(|link| matches!(link, Link::Cable(_))).count();
    let blocks = scope.used.links.len() - cables;
    if cables <= JOINED && blocks <= 1 {
        return;
    }
    let head = &scope.context.network.heads[scope.head].id;
    let (text, count, most) = if cables > JOINED {
        (format!("{head} hangs on {cables} leads joined"), cables, JOINED)
    } else {
        (format!("{head} hangs on a block behind a block"), blocks, 1)
    };
    #[expect(clippy::cast_precision_loss, reason = "a handful of leads")]
    let crossing = Crossing { value: count as f64, limit: most as f64, unit: "joined" };
    report.add(Severity::Risk, Subject::Head(scope.head), || Told {
        text,
        crossing: Some(crossing),
        ..Told::default()
    });
}

/// A head built for other volts than its socket gives.
pub(super) fn volts_wrong(scope: &HeadScope<'_>, report: &mut Report<'_>) {
    let network = scope.context.network;
    let Some(socket) = scope.used.socket else { return };
    let head = &network.heads[scope.head];
    let Some(built_for) = head.volts else { return };
    let there: Volts = scope.used.terminals.volts;
    if (there / built_for - 1.0).abs() <= VOLTS_TOLERANCE {
        return;
    }
    report.add(Severity::Danger, Subject::Head(scope.head), || Told {
        text: format!(
            "{} is built for {} V, {} gives {} V",
            head.id,
            number(built_for.0),
            network.sockets[socket].id,
            number(there.0)
        ),
        crossing: Some(Crossing { value: built_for.0, limit: there.0, unit: "V" }),
        ..Told::default()
    });
}

/// A discharge or LED head on a dimmer.
pub(super) fn dimmed(scope: &HeadScope<'_>, report: &mut Report<'_>) {
    let network = scope.context.network;
    let Some(socket) = scope.used.socket else { return };
    let head = &network.heads[scope.head];
    if !matches!(head.family, Some(HeadFamily::Discharge | HeadFamily::Led | HeadFamily::Fluorescent)) {
        return;
    }
    let Some(circuit) = network.sockets[socket].circuit else { return };
    let plan = network.plan.circuits.get_index(circuit.get()).map(|(_, circuit)| circuit);
    if plan.is_none_or(|circuit| circuit.dimmer.is_none()) {
        return;
    }
    report.add(Severity::Dark, Subject::Head(scope.head), || Told {
        text: format!(
            "{} is on {}, which a dimmer feeds: a discharge or LED head does not burn on it",
            head.id, network.sockets[socket].id
        ),
        ..Told::default()
    });
}

/// A plug or joint outdoors in rain.
pub(super) fn wet_joint(scope: &HeadScope<'_>, report: &mut Report<'_>) {
    let network = scope.context.network;
    let Some(socket) = scope.used.socket else { return };
    if !scope.context.rains() {
        return;
    }
    let head = &network.heads[scope.head];
    let joint = head.place.outdoor && !scope.used.links.is_empty();
    let plug = network.sockets[socket].place.outdoor;
    if !joint && !plug {
        return;
    }
    report.add(Severity::Danger, Subject::Head(scope.head), || {
        let where_it_is = if plug { "plug" } else { "joint" };
        Told { text: format!("{} has a {where_it_is} outdoors in rain", head.id), ..Told::default() }
    });
}
