//! What stands on top of a sheet: names and values, two beside each other.

use crate::sheet::Field;

use super::flow::{Flow, Look};
use super::fonts::{Face, printable};
use super::paper::MARGIN;
use super::{BlockKind, Form, Ink, Part, Rect};

/// Between the two halves, in points.
const GUTTER: f32 = 14.0;
/// No name takes more than this share of its half.
const NAME: f32 = 0.42;
/// A value of more lines than this has the whole width.
const LINES: usize = 2;
/// White below, in points.
const AIR: f32 = 2.5;
/// What a field to be written into has in height, in parts of the size of type.
const WRITTEN: f32 = 1.7;

/// A field's place on the page.
struct Slot<'a> {
    field: &'a Field,
    x: f32,
    width: f32,
}

/// Fields in two columns, row by row; a long one has a row of its own.
pub(crate) fn lay_out(flow: &mut Flow<'_, '_>, fields: &[Field]) {
    let size = flow.sizes.small;
    let (bold, plain) = (Look::new(Face::Bold, size), Look::new(Face::Plain, size));
    let half = (flow.width() - GUTTER) / 2.0;
    let widest = fields.iter().map(|field| flow.fonts.width(&printable(&field.name), bold.face) * size);
    let name = widest.fold(0.0, f32::max).min(half * NAME) + size;
    let mut waiting: Option<&Field> = None;
    for field in fields {
        let value = field.value.as_deref().unwrap_or_default();
        if flow.folded(value, plain, half - name).len() > LINES {
            if let Some(left) = waiting.take() {
                row(flow, &[Slot { field: left, x: MARGIN, width: half }], name);
            }
            row(flow, &[Slot { field, x: MARGIN, width: flow.width() }], name);
        } else if let Some(left) = waiting.take() {
            let right = Slot { field, x: MARGIN + half + GUTTER, width: half };
            row(flow, &[Slot { field: left, x: MARGIN, width: half }, right], name);
        } else {
            waiting = Some(field);
        }
    }
    if let Some(left) = waiting {
        row(flow, &[Slot { field: left, x: MARGIN, width: half }], name);
    }
}

/// Fields beside each other; a value that is longer than a page goes on below.
fn row(flow: &mut Flow<'_, '_>, slots: &[Slot<'_>], name: f32) {
    let size = flow.sizes.small;
    let (bold, plain) = (Look::new(Face::Bold, size), Look::new(Face::Plain, size));
    let folded: Vec<_> = slots
        .iter()
        .map(|slot| {
            let value = slot.field.value.as_deref().unwrap_or_default();
            let names = flow.folded(&slot.field.name, bold, name - size / 2.0);
            (names, flow.folded(value, plain, slot.width - name))
        })
        .collect();
    let longest = folded.iter().map(|(name, value)| name.len().max(value.len())).max().unwrap_or(1);
    let is_blank = slots.iter().any(|slot| slot.field.value.is_none());
    let most = plain.lines_in(flow.height() - AIR);
    let blocks: Vec<usize> = slots.iter().map(|_| flow.block(BlockKind::Paragraph)).collect();
    for begin in (0..longest).step_by(most) {
        let lines = (longest - begin).min(most);
        let mut height = plain.height(lines);
        if is_blank {
            height = height.max(size * WRITTEN);
        }
        flow.make_room(height);
        // What is read stands on the line that is written on.
        let down = height - plain.height(lines);
        for ((slot, (names, value)), block) in slots.iter().zip(&folded).zip(&blocks) {
            let part =
                |all: &[super::fold::Folded]| all.iter().skip(begin).take(most).cloned().collect::<Vec<_>>();
            let (names, value) = (part(names), part(value));
            let rect = |x, width| Rect { x, y: flow.y + down, width, height: height - down };
            let (left, right) = (rect(slot.x, name - size / 2.0), rect(slot.x + name, slot.width - name));
            if !names.is_empty() {
                flow.set(&names, bold, left, Part::Of(*block));
            }
            if slot.field.value.is_none() {
                let y = flow.y + height - 1.0;
                let form = Form::Line { from: (right.x, y), to: (right.right(), y), thick: 0.5 };
                flow.draw(form, Ink::Black, Part::Ornament);
            } else if !value.is_empty() {
                flow.set(&value, plain, right, Part::Of(*block));
            }
        }
        flow.y += height + AIR;
    }
}
