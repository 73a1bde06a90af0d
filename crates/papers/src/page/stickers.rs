//! Stickers and tags side by side, with lines to cut along. None is over two pages.

use crate::sheet::{Style, Table};

use super::cells::{Shown, cells, heading};
use super::flow::{Flow, Lean, Look};
use super::fold::{Folded, cut};
use super::fonts::{Face, printable};
use super::paper::MARGIN;
use super::{BlockKind, Form, Ink, LINE, Part, Rect};

/// How many stand beside each other.
const ACROSS: usize = 3;
/// White inside of the cuts, in points.
const PADDING: f32 = 6.0;
/// The name's size of type, and the least it shrinks to where it is very long.
const NAME: (f32, f32) = (24.0, 9.0);
/// A name of more lines than this is set smaller.
const NAME_LINES: usize = 3;
/// The size of what stands second: the use of a socket, the socket of a plug.
const SECOND: f32 = 12.0;
/// What a sticker begins with that nobody plugs anything into.
const NO: &str = "NO";

/// A text of a sticker, folded.
struct Stretch {
    look: Look,
    lines: Vec<Folded>,
    /// Whether it is a line to be written on.
    is_blank: bool,
}

/// A sticker, folded for its width.
type Sticker = Vec<Stretch>;

/// The rows of a table, each as a sticker.
pub(crate) fn lay_out(flow: &mut Flow<'_, '_>, table: &Table, style: Style) {
    flow.gap(flow.sizes.body);
    let title = printable(&table.title);
    if table.rows.is_empty() {
        flow.heading(2, &title, flow.sizes.heading, flow.sizes.body * LINE);
        flow.paragraph("none", Look::new(Face::Plain, flow.sizes.body));
        return;
    }
    #[expect(clippy::cast_precision_loss, reason = "three")]
    let width = flow.width() / ACROSS as f32;
    let rows: Vec<Vec<Shown>> = table.rows.iter().map(|row| cells(table, row, style)).collect();
    let headings: Vec<String> = table.columns.iter().map(heading).collect();
    let mut stickers: Vec<(Sticker, f32)> = Vec::new();
    for row in &rows {
        let own = sticker(flow, row, &headings, table.part, width);
        // One that is higher than a page has the page's width, and more than a page is cut off with a sign.
        stickers.push(if height(&own) <= flow.height() {
            (own, width)
        } else {
            whole(flow, row, &headings, table.part)
        });
    }
    flow.heading(2, &title, flow.sizes.heading, stickers.first().map_or(0.0, |(own, _)| height(own)) + 4.0);
    flow.y += 4.0;
    let mut rest = stickers.as_slice();
    while let Some((_, first)) = rest.first() {
        let beside = if *first > width {
            1
        } else {
            rest.iter().take(ACROSS).take_while(|(_, own)| own <= first).count()
        };
        let (now, later) = rest.split_at(beside.max(1));
        beside_each_other(flow, now);
        rest = later;
    }
}

/// A sticker over the whole width. What is higher than a page even so is cut off, each of its texts at its
/// share of the page, with a sign that says so.
fn whole(flow: &Flow<'_, '_>, row: &[Shown], headings: &[String], part: &str) -> (Sticker, f32) {
    let width = flow.width();
    let mut own = sticker(flow, row, headings, part, width);
    if height(&own) > flow.height() {
        #[expect(clippy::cast_precision_loss, reason = "cells of a row")]
        let share = (flow.height() - 2.0 * PADDING) / own.len().max(1) as f32;
        for stretch in &mut own {
            let most = stretch.look.lines_in(share);
            if let Some(last) = stretch.lines.get(most - 1).filter(|_| stretch.lines.len() > most) {
                // Longer than the line, so that the sign comes behind what is left of it.
                let longer = last.text.repeat(2);
                let room = (width - 2.0 * PADDING) / stretch.look.size;
                let end = cut(flow.fonts, &longer, stretch.look.face, room);
                stretch.lines.truncate(most - 1);
                stretch.lines.push(end);
            }
        }
    }
    (own, width)
}

fn sticker(flow: &Flow<'_, '_>, row: &[Shown], headings: &[String], part: &str, width: f32) -> Sticker {
    let inner = width - 2.0 * PADDING;
    let stretches = row.iter().zip(headings).enumerate().map(|(place, (cell, heading))| {
        let Shown::Text(text) = cell else {
            let look = Look::new(Face::Plain, flow.sizes.body);
            return Stretch { look, lines: flow.folded(heading, look, inner), is_blank: true };
        };
        let (look, text) = match place {
            0 => (named(flow, text, inner), text.clone()),
            1 if part == "tag" => (Look::new(Face::Bold, SECOND * 1.5), format!("\u{2192} {text}")),
            1 if text.starts_with(NO) => (Look::new(Face::Bold, SECOND), text.clone()),
            1 => (Look::new(Face::Plain, SECOND), text.clone()),
            _ => (Look::new(Face::Plain, flow.sizes.body), format!("{heading}: {text}")),
        };
        Stretch { look, lines: flow.folded(&text, look, inner), is_blank: false }
    });
    stretches.collect()
}

/// The name, as large as it can be.
fn named(flow: &Flow<'_, '_>, text: &str, width: f32) -> Look {
    let mut look = Look::new(Face::Bold, NAME.0);
    while look.size > NAME.1 && flow.folded(text, look, width).len() > NAME_LINES {
        look.size -= 1.0;
    }
    look
}

/// The height of a sticker, its padding among it.
fn height(sticker: &Sticker) -> f32 {
    2.0 * PADDING + sticker.iter().map(|stretch| stretch.look.height(stretch.lines.len())).sum::<f32>()
}

/// Stickers side by side, all as high as the highest.
fn beside_each_other(flow: &mut Flow<'_, '_>, stickers: &[(Sticker, f32)]) {
    let high = stickers.iter().map(|(own, _)| height(own)).fold(0.0, f32::max);
    flow.make_room(high);
    let top = flow.y;
    let mut x = MARGIN;
    for (sticker, width) in stickers {
        let block = flow.block(BlockKind::Paragraph);
        let mut y = top + PADDING;
        for stretch in sticker {
            let high = stretch.look.height(stretch.lines.len());
            let rect = Rect { x: x + PADDING, y, width: width - 2.0 * PADDING, height: high };
            flow.set(&stretch.lines, stretch.look.leaning(Lean::Left), rect, Part::Of(block));
            y += high;
            if stretch.is_blank {
                let form =
                    Form::Line { from: (rect.x + rect.width / 2.0, y), to: (rect.right(), y), thick: 0.5 };
                flow.draw(form, Ink::Black, Part::Ornament);
            }
        }
        cuts(flow, Rect { x, y: top, width: *width, height: high });
        x += width;
    }
    flow.y += high;
}

/// The lines to cut along, around a sticker.
fn cuts(flow: &mut Flow<'_, '_>, rect: Rect) {
    let corners = [
        (rect.x, rect.y),
        (rect.right(), rect.y),
        (rect.right(), rect.bottom()),
        (rect.x, rect.bottom()),
        (rect.x, rect.y),
    ];
    for pair in corners.windows(2) {
        if let [from, to] = pair {
            // Always in the same direction, so that the dashes of neighbours fall upon each other.
            let (from, to) = if (from.0 + from.1) <= (to.0 + to.1) { (*from, *to) } else { (*to, *from) };
            flow.draw(Form::Line { from, to, thick: 0.5 }, Ink::Cut, Part::Ornament);
        }
    }
}
