//! Whether a device sees the shapes of current that its heads put to earth.
//!
//! Type AC sees alternating current only, A pulsating direct current too, B smooth direct current as
//! well (IEC 60755, BS 7671 531.3.3). A rectifier on one line puts pulses to earth, one on three
//! lines nearly smooth current, of which a device of type A bears 6 mA and one of type F 10 mA before
//! it is blind. Type F adds the mixed frequencies of speed drives on one line: no head asks for it.

use crate::assess::Subject;
use crate::library::RegionCode;
use crate::network::{HeadAt, Network};
use crate::plan::{RcdKind, word_of};
use crate::rule::words::{heads, is};
use crate::rule::{RcdScope, Report, Severity, Told};

/// A device with electronic heads behind it whose faults it may not see.
pub(in crate::rule) fn rcd_type(scope: &RcdScope<'_>, report: &mut Report<'_>) {
    let network = scope.context.network;
    let node = &network.rcds[scope.rcd];
    let Some(kind) = node.kind.filter(|kind| *kind != RcdKind::B) else { return };
    let electronic = |head: &HeadAt| !network.heads[*head].spectrum.orders().is_empty();
    let on_three = |head: &HeadAt| {
        let used = scope.heads.get(*head).and_then(Option::as_ref);
        used.is_some_and(|used| used.terminals.lines == 3)
    };
    let (three_lines, others): (Vec<HeadAt>, Vec<HeadAt>) =
        scope.used.heads.iter().copied().filter(electronic).partition(on_three);
    let word = word_of(&RcdKind::WORDS, &kind);
    let mut told = Vec::new();
    if !three_lines.is_empty() {
        told.push(format!(
            "{} {} electronic on three {}s and may leak smooth direct current, which blinds it",
            heads(network, &three_lines),
            is(&three_lines),
            network.region.words.line
        ));
    }
    if kind == RcdKind::Ac && !others.is_empty() {
        told.push(format!(
            "it may not see a fault in an electronic head: {}{}",
            heads(network, &others),
            not_allowed(network)
        ));
    }
    if told.is_empty() {
        return;
    }
    report.add(Severity::Risk, Subject::Rcd(scope.rcd), || {
        let remedy = if three_lines.is_empty() {
            String::new()
        } else {
            format!("a socket behind a type B device for {}", heads(network, &three_lines))
        };
        Told { text: format!("{} is type {word}: {}", node.id, told.join("; ")), remedy, ..Told::default() }
    });
}

/// Where no device of type AC may be fitted any more.
fn not_allowed(network: &Network) -> &'static str {
    match network.plan.location.region {
        Some(RegionCode::Au) => "; Australia has let none be newly fitted since 2023 (from memory)",
        Some(RegionCode::Eu) => "; some countries, such as Germany, allow none",
        _ => "",
    }
}
