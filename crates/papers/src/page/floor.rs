//! A floor to scale: rooms, marks, leads, names, a bar for the scale, and what the marks mean.

mod names;

use crate::drawing::{Drawing, MarkKind};

use super::flow::{Flow, Look};
use super::fonts::{Face, printable};
use super::paper::MARGIN;
use super::{BlockKind, Form, Ink, LINE, Part, Rect};

use names::Board;

/// The most that a metre is on paper, in points.
const LARGEST: f32 = 56.0;
/// The least height of a floor that is worth drawing where the page is half full, in points.
const LEAST: f32 = 150.0;
/// With more marks than this all is drawn smaller.
const FEW: usize = 60;
/// Half a mark's side, in points, where there are few marks and where there are many.
const HALF: (f32, f32) = (3.6, 2.4);
/// Type of names, likewise.
const NAME: (f32, f32) = (8.0, 7.0);
/// How thick lines are, in points.
const WALL: f32 = 0.8;
const LEAD: f32 = 0.6;
/// What the bar takes below the floor, in points.
const BAR: f32 = 20.0;
/// White around the floor for names at its edge, in points.
const AIR: f32 = 12.0;

/// A drawing on the paper.
pub(super) struct Floor<'d> {
    pub(super) drawing: &'d Drawing,
    /// Points a metre.
    scale: f32,
    /// Where its upper left corner is.
    corner: (f32, f32),
    pub(super) half: f32,
    pub(super) look: Look,
    pub(super) area: Rect,
}

impl Floor<'_> {
    /// A place of the building on the paper; what lies outside of the floor is put onto its edge.
    pub(super) fn at(&self, (x, y): (f64, f64)) -> (f32, f32) {
        let kept = |metres: f64, most: f64| points(metres.clamp(0.0, most.max(0.0)), self.scale);
        let (width, depth) = self.drawing.size;
        (self.corner.0 + kept(x, width), self.corner.1 + kept(y, depth))
    }
}

#[expect(clippy::cast_possible_truncation, reason = "a place on paper")]
fn points(metres: f64, scale: f32) -> f32 {
    let points = metres as f32 * scale;
    if points.is_finite() { points } else { 0.0 }
}

/// A floor where the flow is, or on the next page.
pub(crate) fn lay_out(flow: &mut Flow<'_, '_>, drawing: &Drawing) {
    let sizes = flow.sizes;
    let look = Look::new(Face::Plain, sizes.small);
    let title = format!("{}, to scale", printable(&drawing.title));
    #[expect(clippy::cast_precision_loss, reason = "kinds of marks")]
    let below = BAR + (drawing.legend.len() + 1) as f32 * (look.size * LINE + 2.0) + AIR;
    let heading = Look::new(Face::Bold, sizes.heading);
    let title_height = heading.height(flow.folded(&title, heading, flow.width()).len()) + sizes.body;
    let room = |left: f32| (flow.width() - 2.0 * AIR, left - below - title_height - 2.0 * AIR);
    let best = scale(drawing, room(flow.height()));
    let here = scale(drawing, room(flow.left()));
    let depth = |scale: f32| points(drawing.size.1, scale);
    let is_worth = here >= best * 0.8 && (depth(here) >= LEAST || here >= best);
    let scale = if is_worth { here } else { best };
    flow.gap(sizes.body);
    let high = depth(scale) + 2.0 * AIR;
    flow.heading(2, &title, sizes.heading, high + below);
    let is_dense = drawing.marks.len() > FEW;
    let (half, size) = if is_dense { (HALF.1, NAME.1) } else { (HALF.0, NAME.0) };
    let width = points(drawing.size.0, scale);
    let floor = Floor {
        drawing,
        scale,
        corner: (MARGIN + (flow.width() - width) / 2.0, flow.y + AIR),
        half,
        look: Look::new(if is_dense { Face::Narrow } else { Face::Plain }, size),
        area: Rect { x: MARGIN, y: flow.y, width: flow.width(), height: high },
    };
    let told = described(drawing);
    let figure = flow.figure(told, Rect { height: high + BAR, ..floor.area });
    let not_named = draw(flow, &floor, figure);
    flow.y += high;
    bar(flow, &floor, figure);
    legend(flow, drawing, look);
    told_below(flow, drawing, &not_named, look);
}

/// Points a metre so that a floor fits a room of width and height.
fn scale(drawing: &Drawing, (width, height): (f32, f32)) -> f32 {
    let fit = |metres: f64, points: f32| {
        #[expect(clippy::cast_possible_truncation, reason = "a scale on paper")]
        let metres = metres.max(0.1) as f32;
        points.max(1.0) / metres
    };
    fit(drawing.size.0, width).min(fit(drawing.size.1, height)).min(LARGEST)
}

/// Rooms, leads, marks, then names where they cover nothing; what could not be named.
fn draw(flow: &mut Flow<'_, '_>, floor: &Floor<'_>, figure: usize) -> Vec<String> {
    let part = Part::Of(figure);
    for room in &floor.drawing.rooms {
        let (left, top) = floor.at(room.corner);
        let (right, bottom) = floor.at((room.corner.0 + room.size.0, room.corner.1 + room.size.1));
        let rect = Rect { x: left, y: top, width: right - left, height: bottom - top };
        flow.draw(Form::Outline { rect, thick: WALL }, Ink::Grey, part);
    }
    for lead in &floor.drawing.leads {
        let form = Form::Line { from: floor.at(lead.from), to: floor.at(lead.to), thick: LEAD };
        flow.draw(form, Ink::Black, part);
    }
    for mark in &floor.drawing.marks {
        shape(flow, mark.kind, floor.at(mark.at), floor.half, part);
    }
    let mut board = Board::of(floor);
    let mut not_named = Vec::new();
    for room in &floor.drawing.rooms {
        let name = printable(room.name.trim());
        if !name.is_empty() && !board.name_room(flow, room, &name, part) {
            not_named.push(format!("room {name}"));
        }
    }
    for mark in &floor.drawing.marks {
        let name = printable(mark.name.trim());
        if !name.is_empty() && !board.name_mark(flow, mark, &name, part) {
            let (across, down) = mark.at;
            not_named.push(format!("{name} {across:.1} m across, {down:.1} m down"));
        }
    }
    not_named
}

/// A mark: squares are sockets, filled, empty or crossed out; rings are heads.
fn shape(flow: &mut Flow<'_, '_>, kind: MarkKind, (x, y): (f32, f32), half: f32, part: Part) {
    let rect = Rect { x: x - half, y: y - half, width: 2.0 * half, height: 2.0 * half };
    match kind {
        MarkKind::Used => flow.draw(Form::Filled { rect }, Ink::Black, part),
        MarkKind::Head => {
            flow.draw(Form::Ring { centre: (x, y), radius: half, thick: WALL }, Ink::Black, part);
        }
        MarkKind::Free | MarkKind::Forbidden => {
            flow.draw(Form::Filled { rect }, Ink::White, part);
            flow.draw(Form::Outline { rect, thick: WALL }, Ink::Black, part);
        }
    }
    if kind == MarkKind::Forbidden {
        for (from, to) in [
            ((rect.x, rect.y), (rect.right(), rect.bottom())),
            ((rect.x, rect.bottom()), (rect.right(), rect.y)),
        ] {
            flow.draw(Form::Line { from, to, thick: WALL }, Ink::Black, part);
        }
    }
}

/// The bar that shows the scale, with its words.
fn bar(flow: &mut Flow<'_, '_>, floor: &Floor<'_>, figure: usize) {
    let (metres, words) = &floor.drawing.scale;
    let long = points(*metres, floor.scale).clamp(0.0, flow.width() / 2.0);
    let (x, y, part) = (MARGIN, flow.y + BAR / 2.0, Part::Of(figure));
    flow.draw(Form::Line { from: (x, y), to: (x + long, y), thick: WALL }, Ink::Black, part);
    for end in [x, x + long] {
        flow.draw(Form::Line { from: (end, y - 3.0), to: (end, y + 3.0), thick: WALL }, Ink::Black, part);
    }
    let look = Look::new(Face::Plain, floor.look.size);
    let at = (x + long + 6.0, y - look.height(1) / 2.0);
    let words = super::fold::cut(flow.fonts, words, look.face, (flow.width() / 3.0) / look.size);
    let rect = Rect { x: at.0, y: at.1, width: flow.width() / 3.0, height: look.height(1) };
    flow.set(&[words], look, rect, part);
    flow.y += BAR;
}

/// What each kind of mark means.
fn legend(flow: &mut Flow<'_, '_>, drawing: &Drawing, look: Look) {
    let lead = "lead, drawn straight; laid along walls it is longer".to_owned();
    let marks = drawing.legend.iter().map(|(kind, words)| (Some(*kind), words.clone()));
    let lines = marks.chain((!drawing.leads.is_empty()).then_some((None, lead)));
    for (kind, words) in lines {
        let lines = flow.folded(&words, look, flow.width() - 16.0);
        let high = look.height(lines.len());
        flow.make_room(high.min(flow.height()));
        let middle = (MARGIN + 5.0, flow.y + look.height(1) / 2.0);
        match kind {
            Some(kind) => shape(flow, kind, middle, HALF.0, Part::Ornament),
            None => flow.rule(middle.0 - 5.0, middle.1, 10.0, LEAD, Ink::Black),
        }
        let block = flow.block(BlockKind::Paragraph);
        let rect = Rect { x: MARGIN + 16.0, y: flow.y, width: flow.width() - 16.0, height: high };
        flow.set(&lines, look, rect, Part::Of(block));
        flow.y += high + 2.0;
    }
}

/// What has no name or no place on the drawing.
fn told_below(flow: &mut Flow<'_, '_>, drawing: &Drawing, not_named: &[String], look: Look) {
    if !not_named.is_empty() {
        let told = not_named.join("; ");
        flow.paragraph(&format!("No room for these names; from the upper left corner: {told}."), look);
    }
    if !drawing.not_drawn.is_empty() {
        let told = drawing.not_drawn.iter().map(|name| printable(name)).collect::<Vec<_>>().join(", ");
        flow.paragraph(&format!("Not drawn, place not known: {told}."), look);
    }
}

/// What is to be seen, in words.
fn described(drawing: &Drawing) -> String {
    let heads = drawing.marks.iter().filter(|mark| mark.kind == MarkKind::Head).count();
    format!(
        "{} to scale: {} rooms, {} sockets, {heads} heads, {} leads. The tables say which is plugged in where.",
        printable(&drawing.title),
        drawing.rooms.len(),
        drawing.marks.len() - heads,
        drawing.leads.len()
    )
}
