//! The Plot screen: heads on the left, the floor on the right, what is wrong below.

pub mod arrange;
mod bars;
mod cell;
mod floor;
mod hand;
mod heads;
mod inspector;
mod reason;

use ampwalk_core::network::SocketAt;
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

use super::Hits;
use crate::model::Model;
use crate::paint::{self, split_bottom, split_left, split_top};
use crate::plot::{Focus, Held};
use crate::theme::Role;

/// Columns under which heads and sockets have no place side by side.
const SIDE_BY_SIDE: u16 = 56;
/// Columns from which the findings have a pane of their own.
const WITH_FINDINGS: u16 = 150;

/// The regions of the Plot screen. A region of no rows or columns is not drawn.
#[derive(Clone, Copy, Debug, Default)]
struct Regions {
    heads: Rect,
    wall: Rect,
    title: Rect,
    floor: Rect,
    others: Rect,
    bars: Rect,
    rule: Rect,
    reason: Rect,
    findings: Rect,
}

fn regions(model: &Model, body: Rect) -> Regions {
    let mut regions = Regions::default();
    let mut rest = body;
    if body.width >= SIDE_BY_SIDE {
        let columns = if body.width >= 100 { 30 } else { 22 };
        (regions.heads, rest) = split_left(body, columns);
        (regions.wall, rest) = split_left(rest, 1);
    } else if model.plot.held.is_none() && model.plot.focus == Focus::Heads {
        let (heads, below) = split_bottom(body, u16::from(body.height > 5) * 2);
        regions.heads = heads;
        regions.reason = below;
        return regions;
    }
    if body.width >= WITH_FINDINGS {
        let (left, right) = split_left(rest, rest.width - 42);
        rest = left;
        regions.findings = right;
    }
    let network = model.document.network();
    let others = u16::try_from(model.pages.len().saturating_sub(1)).unwrap_or(u16::MAX);
    let rcds = u16::try_from(network.rcds.len()).unwrap_or(u16::MAX);
    let (rule, reason, bars, others) = match body.height {
        0..=5 => (0, 0, 0, 0),
        6..=8 => (0, 1, 0, others.min(1)),
        9..=11 => (1, 2, 0, others.min(1)),
        12..=15 => (1, 3, rcds.min(1), others.min(1)),
        16..=21 => (1, 4, rcds.min(2), others.min(1)),
        22..=29 => (1, 6, rcds.min(3), others.min(2)),
        30..=39 => (1, 8, rcds.min(6), others.min(4)),
        _ => (1, 10, rcds.min(10), others.min(6)),
    };
    (regions.title, rest) = split_top(rest, u16::from(body.height > 2));
    (rest, regions.reason) = split_bottom(rest, reason);
    (rest, regions.rule) = split_bottom(rest, rule);
    (rest, regions.bars) = split_bottom(rest, bars);
    (regions.floor, regions.others) = split_bottom(rest, others);
    regions
}

/// The sockets of the floor that are shown, and how many other floors have a line.
pub(super) fn in_sight(model: &Model, body: Rect) -> (Vec<SocketAt>, usize) {
    let regions = regions(model, body);
    let lines = usize::from(regions.others.height);
    let Some(page) = model.pages.get(model.page) else { return (Vec::new(), lines) };
    let chosen = model.plot.held.as_ref().and_then(Held::target);
    let shown = arrange::arrange(model.document.network(), page, regions.floor, chosen);
    (shown.sockets.into_iter().map(|(socket, _)| socket).collect(), lines)
}

/// What the screen is too small for, in words.
pub(super) fn left_out(model: &Model, body: Rect) -> Vec<&'static str> {
    let regions = regions(model, body);
    let network = model.document.network();
    let mut words = Vec::new();
    if regions.heads.is_empty() {
        words.push("heads (left shows them)");
    }
    if regions.floor.is_empty() {
        words.push("sockets (right shows them)");
    }
    if regions.bars.is_empty() && !network.rcds.is_empty() {
        words.push("RCD bars (2 shows them)");
    }
    words
}

/// Draws the Plot screen.
pub(super) fn draw(model: &Model, body: Rect, buffer: &mut Buffer, hits: &mut Hits) {
    let regions = regions(model, body);
    let frame = model.theme.style(Role::Frame);
    for row in 0..regions.wall.height {
        paint::text(regions.wall, row, "│", frame, buffer);
    }
    if model.setup.is_none() {
        draw_no_setup(model, body, buffer);
        return;
    }
    heads::draw(model, regions.heads, buffer, hits);
    floor::draw(model, regions.title, regions.floor, buffer, hits);
    floor::draw_others(model, regions.others, buffer, hits);
    paint::rule(regions.rule, 0, frame, buffer);
    if let Some(held) = &model.plot.held {
        hand::draw(model, held, [regions.bars, regions.rule, regions.reason], buffer);
    } else {
        bars::draw(model, regions.bars, buffer);
        reason::draw_count(model, regions.rule, buffer);
        if regions.findings.is_empty() {
            reason::draw(model, regions.reason, buffer);
        } else {
            inspector::draw(model, regions.reason, buffer);
        }
    }
    reason::draw_pane(model, regions.findings, buffer);
}

fn draw_no_setup(model: &Model, body: Rect, buffer: &mut Buffer) {
    let area = if body.width >= SIDE_BY_SIDE { split_left(body, 23).1 } else { body };
    let network = model.document.network();
    let mut lines = Vec::new();
    if network.sockets.is_empty() {
        lines.push(format!("No {} yet.", network.region.words.socket));
        lines.push("Next: 1 for Walk, and n there: one line each.".to_owned());
    }
    if network.heads.is_empty() {
        lines.push("No head yet.".to_owned());
        lines.push("Next: n adds one: its id, its class, its room.".to_owned());
    }
    lines.push("No setup yet.".to_owned());
    lines.push("Next: :new setup, such as day 9:00 4h A B.".to_owned());
    let mut row = 1;
    for line in lines {
        for part in crate::text::wrap(&line, usize::from(area.width).saturating_sub(2)) {
            paint::text(area, row, &format!(" {part}"), model.theme.style(Role::Text), buffer);
            row += 1;
        }
    }
}
