//! RCDs with their bars, those in trouble first.

use std::cmp::Reverse;
use std::collections::BTreeSet;

use ampwalk_core::assess::Subject;
use ampwalk_core::network::{Network, RcdAt, SetupAt};
use ampwalk_core::physics::residual::{Outcome, Room};
use ampwalk_core::rule::words::{list, number, odds};
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::text::Span;

use crate::model::Model;
use crate::paint;
use crate::text::{pad, width};
use crate::theme::Role;
use crate::words;

/// Cells of an RCD's bar, the most.
const BAR: usize = 12;

/// A bar of `cells` cells, `share` of it used; over 1 it is full.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    clippy::cast_precision_loss,
    reason = "a bar has few cells, and the share of them is clamped"
)]
pub(super) fn bar(model: &Model, share: f64, cells: usize, role: Role) -> Vec<Span<'static>> {
    let full = (share * cells as f64).ceil().clamp(0.0, cells as f64) as usize;
    vec![
        Span::styled("▮".repeat(full), model.theme.style(role)),
        Span::styled("▯".repeat(cells - full), model.theme.style(Role::BarFree)),
    ]
}

pub(super) fn draw(model: &Model, area: Rect, buffer: &mut Buffer) {
    let (Some(setup), false) = (model.setup, area.is_empty()) else { return };
    let network = model.document.network();
    let used = &model.document.assessment().setups[setup];
    let mut rcds: Vec<RcdAt> = network.rcds.indices().collect();
    rcds.sort_by_cached_key(|rcd| {
        let tenth_milliamps = used.rcds[*rcd].possible_peak.0 * 10.0;
        (Reverse(used.rcds[*rcd].outcome), Reverse(tenth_milliamps.round().total_cmp(&0.0)), *rcd)
    });
    let shown = usize::from(area.height);
    for (row, rcd) in rcds.iter().take(shown).enumerate() {
        let more = (row + 1 == shown).then(|| rcds.len() - shown).filter(|more| *more > 0);
        let spans = line(model, setup, *rcd, usize::from(area.width), more);
        paint::line(area, u16::try_from(row).unwrap_or(u16::MAX), spans, buffer);
    }
}

fn line(model: &Model, setup: SetupAt, rcd: RcdAt, cells: usize, more: Option<usize>) -> Vec<Span<'static>> {
    let network = model.document.network();
    let used = &model.document.assessment().setups[setup].rcds[rcd];
    let role = rcd_role(model, setup, rcd);
    let room = used.room.room;
    let high = room.high.unwrap_or(room.low).0.max(f64::EPSILON);
    let peak = used.peak.max(used.possible_peak);
    let mut state = match used.outcome {
        Outcome::Holds => "holds".to_owned(),
        Outcome::MayTrip => format!("may drop {}", odds(used.odds)),
        Outcome::Trips => "DROPS".to_owned(),
    };
    if let Some(more) = more {
        state = format!("{state}  +{more}: 2");
    }
    let numbers = format!(" {} of {} mA ", number(peak.0), room_words(room));
    let what = format!(" {} {}", network.rcd_id(rcd), darkens(network, rcd));
    let spare = cells.saturating_sub(width(&numbers) + width(&state) + 1);
    let bar_cells = BAR.min(spare.saturating_sub(16));
    let what = pad(&what, spare.saturating_sub(bar_cells + 1));
    let mut spans = vec![Span::raw(what), Span::raw(" ")];
    spans.extend(bar(model, peak.0 / high, bar_cells, role));
    spans.push(Span::raw(numbers));
    spans.push(Span::styled(state, model.theme.style(if role == Role::BarUsed { Role::Good } else { role })));
    spans
}

/// Room left: `10`, or `10-15` where only a range is known.
pub(super) fn room_words(room: Room) -> String {
    match room.high {
        Some(high) if high != room.low => format!("{}-{}", number(room.low.0), number(high.0)),
        Some(high) => number(high.0),
        None => format!("{}+", number(room.low.0)),
    }
}

/// The circuits that go dark with an RCD, and over how many floors their sockets are.
fn darkens(network: &Network, rcd: RcdAt) -> String {
    let circuits = &network.rcds[rcd].darkens;
    let floors: BTreeSet<_> = network
        .sockets
        .iter()
        .filter(|(_, socket)| socket.circuit.is_some_and(|circuit| circuits.contains(&circuit)))
        .filter_map(|(_, socket)| socket.place.floor)
        .collect();
    let names = list(circuits.iter().map(|circuit| network.circuit_id(*circuit)));
    if floors.len() > 1 { format!("{names}, {} floors", floors.len()) } else { names }
}

fn rcd_role(model: &Model, setup: SetupAt, rcd: RcdAt) -> Role {
    let mut findings = model.document.assessment().findings_in(setup);
    let worst = findings.find(|finding| finding.subject == Subject::Rcd(rcd));
    worst
        .filter(|finding| finding.severity >= ampwalk_core::rule::Severity::Risk)
        .map_or(Role::BarUsed, |finding| words::severity_role(finding.severity))
}
