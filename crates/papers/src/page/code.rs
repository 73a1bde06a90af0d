//! Codes that a telephone reads without a network.

use crate::codes::{Matrix, modules};

use super::flow::{Flow, Lean, Look};
use super::fonts::{Face, printable};
use super::paper::{MARGIN, MILLIMETRE};
use super::{BlockKind, Form, Ink, Part, Rect};

/// The least side of a module: what a telephone makes out at arm's length (common practice, no source).
const MODULE: f32 = 0.5 * MILLIMETRE;
/// White modules on each side (ISO/IEC 18004).
const QUIET: usize = 4;
/// The least side of a code with its white, in points.
const SIDE: f32 = 120.0;
/// Between codes, in points.
const GAP: f32 = 8.0;

/// The codes of a sheet, side by side.
pub(crate) fn lay_out(flow: &mut Flow<'_, '_>, texts: &[String]) {
    if texts.is_empty() {
        return;
    }
    let codes: Vec<_> = texts.iter().map(|text| modules(text)).collect();
    let widest = codes.iter().flatten().map(|code| code.width + 2 * QUIET).max().unwrap_or_default();
    let side = (as_length(widest) * MODULE).max(SIDE);
    let look = Look::new(Face::Plain, flow.sizes.body).leaning(Lean::Middle);
    let high = side + look.height(1);
    flow.gap(flow.sizes.body);
    flow.heading(2, "Codes that a telephone reads without a network", flow.sizes.heading, high + GAP);
    let mut x = MARGIN;
    flow.y += GAP / 2.0;
    for (place, (text, code)) in texts.iter().zip(&codes).enumerate() {
        let name = format!("{} of {}", place + 1, texts.len());
        let code = match code {
            Ok(code) => code,
            Err(error) => {
                flow.paragraph(&format!("Code {name}: {error}"), Look::new(Face::Plain, flow.sizes.body));
                continue;
            }
        };
        if x > MARGIN && x + side > MARGIN + flow.width() + 1e-2 {
            x = MARGIN;
            flow.y += high + GAP;
        }
        if x <= MARGIN {
            flow.make_room(high);
        }
        let told = text.lines().map(printable).collect::<Vec<_>>().join("; ");
        let rect = Rect { x, y: flow.y, width: side, height: side };
        let figure = flow.figure(format!("Code {name}, which says: {told}"), rect);
        draw(flow, code, rect, figure);
        let caption = flow.block(BlockKind::Paragraph);
        flow.set_text(&name, look, (x, flow.y + side), side, Part::Of(caption));
        x += side + GAP;
    }
    flow.y += high;
}

/// A code in a square, its white among it.
fn draw(flow: &mut Flow<'_, '_>, code: &Matrix, rect: Rect, figure: usize) {
    let side = rect.width / as_length(code.width + 2 * QUIET);
    let white = as_length(QUIET) * side;
    let form = Form::Modules { corner: (rect.x + white, rect.y + white), side, runs: code.runs().collect() };
    flow.draw(form, Ink::Black, Part::Of(figure));
}

#[expect(clippy::cast_precision_loss, reason = "modules of a code: 177 at most, and its white")]
fn as_length(modules: usize) -> f32 {
    modules as f32
}
