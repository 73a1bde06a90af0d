//! Pages onto the writer's surfaces.

use std::sync::Arc;

use krilla::Data;
use krilla::color::luma;
use krilla::geom::{Path, PathBuilder, Point, Rect as Area, Transform};
use krilla::num::NormalizedF32;
use krilla::paint::{Fill, Stroke, StrokeDash};
use krilla::surface::Surface;
use krilla::text::{Font, GlyphId, KrillaGlyph};

use super::PdfError;
use super::tags::Tags;
use crate::page::{Bytes, Fonts, Form, Ink, Item, Line, Page, Part, Rect, Run, Shape, TextBox};

/// How far the ends of a quarter circle's curve are drawn, in parts of the radius: 4/3 of the tangent of an
/// eighth of a turn.
const BEND: f32 = 0.552_284_8;
/// The grey of rules, from 0, black, to 255.
const GREY: u8 = 170;

/// Bytes that a host handed in, as the writer takes them.
struct Handed(Arc<[u8]>);

impl AsRef<[u8]> for Handed {
    fn as_ref(&self) -> &[u8] {
        &self.0
    }
}

/// The fonts, as the writer knows them, in their order.
pub(super) fn fonts(fonts: &Fonts<'_>) -> Result<Vec<Font>, PdfError> {
    let font = |bytes: Bytes<'_>| {
        let data = match bytes {
            Bytes::BuiltIn(bytes) => Data::from(bytes),
            Bytes::Handed(bytes) => {
                let bytes: Arc<dyn AsRef<[u8]> + Send + Sync> = Arc::new(Handed(Arc::clone(bytes)));
                Data::from(bytes)
            }
        };
        Font::new(data, 0).ok_or_else(|| PdfError::Font("its tables cannot be read".to_owned()))
    };
    fonts.bytes().map(font).collect()
}

/// Everything on a page, each item with its tag.
pub(super) fn page(surface: &mut Surface<'_>, page: &Page, fonts: &[Font], tags: &mut Tags<'_>) {
    for item in &page.items {
        let part = match item {
            Item::Text(text) => text.part,
            Item::Shape(shape) => shape.part,
        };
        let place = surface.start_tagged(Tags::content(part));
        match item {
            Item::Text(text) => lines(surface, text, fonts),
            Item::Shape(own) => shape(surface, own),
        }
        surface.end_tagged();
        if !matches!(part, Part::Ornament | Part::Footer) {
            tags.put(part, place);
        }
    }
}

fn fill(ink: Ink) -> Fill {
    let level = match ink {
        Ink::Black => 0,
        Ink::Grey | Ink::Cut => GREY,
        Ink::White => u8::MAX,
    };
    Fill { paint: luma::Color::new(level).into(), ..Fill::default() }
}

fn stroke(ink: Ink, thick: f32) -> Stroke {
    let dash = (ink == Ink::Cut).then(|| StrokeDash { array: vec![4.0, 3.0], offset: 0.0 });
    Stroke { paint: fill(ink).paint, width: thick, dash, opacity: NormalizedF32::ONE, ..Stroke::default() }
}

fn lines(surface: &mut Surface<'_>, text: &TextBox, fonts: &[Font]) {
    surface.set_stroke(None);
    surface.set_fill(Some(fill(Ink::Black)));
    for line in &text.lines {
        let mut x = line.x;
        for run in &line.runs {
            x = draw_run(surface, run, line, x, fonts);
        }
    }
}

/// One stretch of a line; where it ends.
fn draw_run(surface: &mut Surface<'_>, run: &Run, line: &Line, x: f32, fonts: &[Font]) -> f32 {
    let Some(font) = fonts.get(run.font) else { return x };
    let letters = run.text.char_indices().zip(&run.glyphs);
    let glyphs: Vec<KrillaGlyph> = letters
        .map(|((at, letter), (id, advance))| {
            let range = at..at + letter.len_utf8();
            KrillaGlyph::new(GlyphId::new(*id), *advance / run.width, 0.0, 0.0, 0.0, range, None)
        })
        .collect();
    let draw = |surface: &mut Surface<'_>, x, y| {
        surface.draw_glyphs(Point::from_xy(x, y), &glyphs, font.clone(), &run.text, line.size, false);
    };
    if run.width < 1.0 {
        surface.push_transform(&Transform::from_row(run.width, 0.0, 0.0, 1.0, x, line.baseline));
        draw(surface, 0.0, 0.0);
        surface.pop();
    } else {
        draw(surface, x, line.baseline);
    }
    x + run.glyphs.iter().map(|(_, advance)| advance * line.size).sum::<f32>()
}

fn shape(surface: &mut Surface<'_>, shape: &Shape) {
    if let Form::Modules { corner, side, runs } = &shape.form {
        surface.push_transform(&Transform::from_row(*side, 0.0, 0.0, *side, corner.0, corner.1));
        painted(surface, modules(runs), Some(fill(shape.ink)), None);
        surface.pop();
        return;
    }
    let (path, inside, outline) = match &shape.form {
        Form::Line { from, to, thick } => (line(*from, *to), None, Some(stroke(shape.ink, *thick))),
        Form::Outline { rect, thick } => (square(*rect), None, Some(stroke(shape.ink, *thick))),
        Form::Filled { rect } => (square(*rect), Some(fill(shape.ink)), None),
        Form::Modules { .. } => (None, None, None),
        Form::Ring { centre, radius, thick } => {
            (circle(*centre, *radius), Some(fill(Ink::White)), Some(stroke(shape.ink, *thick)))
        }
    };
    painted(surface, path, inside, outline);
}

fn painted(surface: &mut Surface<'_>, path: Option<Path>, inside: Option<Fill>, outline: Option<Stroke>) {
    if let Some(path) = path {
        surface.set_fill(inside);
        surface.set_stroke(outline);
        surface.draw_path(&path);
    }
}

fn line(from: (f32, f32), to: (f32, f32)) -> Option<Path> {
    let mut path = PathBuilder::new();
    path.move_to(from.0, from.1);
    path.line_to(to.0, to.1);
    path.finish()
}

fn square(rect: Rect) -> Option<Path> {
    let mut path = PathBuilder::new();
    path.push_rect(Area::from_xywh(rect.x, rect.y, rect.width, rect.height)?);
    path.finish()
}

/// Modules a unit wide, so that their numbers are short: a code has thousands. They are a little higher than
/// that, so that no screen shows a white hair between rows.
fn modules(runs: &[(usize, usize, usize)]) -> Option<Path> {
    #[expect(clippy::cast_precision_loss, reason = "a code has 177 modules in a row at most")]
    let length = |modules: usize| modules as f32;
    let mut path = PathBuilder::new();
    for (x, y, count) in runs {
        path.push_rect(Area::from_xywh(length(*x), length(*y), length(*count), 1.02)?);
    }
    path.finish()
}

/// A circle of four curves.
fn circle((x, y): (f32, f32), radius: f32) -> Option<Path> {
    let bend = radius * BEND;
    let mut path = PathBuilder::new();
    path.move_to(x + radius, y);
    path.cubic_to(x + radius, y + bend, x + bend, y + radius, x, y + radius);
    path.cubic_to(x - bend, y + radius, x - radius, y + bend, x - radius, y);
    path.cubic_to(x - radius, y - bend, x - bend, y - radius, x, y - radius);
    path.cubic_to(x + bend, y - radius, x + radius, y - bend, x + radius, y);
    path.close();
    path.finish()
}
