//! Where the next thing goes: down the page, then onto the next one.

use std::collections::BTreeSet;

use super::fold::{BASELINE, Folded, LINE, fold};
use super::fonts::{Face, Fonts, printable};
use super::paper::{FOOT, MARGIN, Type};
use super::{Block, BlockKind, Form, Ink, Item, Layout, Line, Page, Part, Rect, Shape, TextBox};

/// A sheet while it is laid out.
pub(crate) struct Flow<'a, 'f> {
    pub(crate) layout: &'a mut Layout,
    pub(crate) fonts: &'a Fonts<'f>,
    pub(crate) sizes: Type,
    /// Width and height of its pages.
    pub(crate) paper: (f32, f32),
    /// Where on the page the next thing begins.
    pub(crate) y: f32,
    /// Letters that it cannot show.
    lacking: BTreeSet<char>,
}

/// The way a text is set.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Look {
    pub(crate) face: Face,
    pub(crate) size: f32,
    pub(crate) lean: Lean,
}

/// The side that text leans on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Lean {
    Left,
    Middle,
    Right,
}

impl Look {
    pub(crate) const fn new(face: Face, size: f32) -> Self {
        Self { face, size, lean: Lean::Left }
    }

    pub(crate) const fn leaning(self, lean: Lean) -> Self {
        Self { lean, ..self }
    }

    /// The height of so many lines.
    pub(crate) fn height(self, lines: usize) -> f32 {
        #[expect(clippy::cast_precision_loss, reason = "lines on a page")]
        let lines = lines as f32;
        lines * self.size * LINE
    }

    /// How many lines fit into a height, one at least.
    pub(crate) fn lines_in(self, height: f32) -> usize {
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "lines on a page")]
        let lines = (height / (self.size * LINE)).floor().max(1.0) as usize;
        lines
    }
}

impl<'a, 'f> Flow<'a, 'f> {
    /// A sheet's flow, on a page of its own.
    pub(crate) fn new(layout: &'a mut Layout, fonts: &'a Fonts<'f>, sizes: Type, paper: (f32, f32)) -> Self {
        let mut flow = Self { layout, fonts, sizes, paper, y: MARGIN, lacking: BTreeSet::new() };
        flow.turn();
        flow
    }

    /// The width that there is between the margins.
    pub(crate) fn width(&self) -> f32 {
        self.paper.0 - 2.0 * MARGIN
    }

    /// The height that a page has for what flows.
    pub(crate) fn height(&self) -> f32 {
        self.paper.1 - 2.0 * MARGIN - FOOT
    }

    /// The height that is left on this page.
    pub(crate) fn left(&self) -> f32 {
        MARGIN + self.height() - self.y
    }

    /// Whether nothing is on this page yet.
    pub(crate) fn is_fresh(&self) -> bool {
        self.y <= MARGIN
    }

    /// Onto a new page.
    pub(crate) fn turn(&mut self) {
        let sheet = self.layout.sheets.len().saturating_sub(1);
        let (width, height) = self.paper;
        self.layout.pages.push(Page { width, height, sheet, items: Vec::new() });
        self.y = MARGIN;
    }

    /// Onto a new page where `height` is more than what is left; whether it went there.
    pub(crate) fn make_room(&mut self, height: f32) -> bool {
        // Sums of heights that fit exactly must not turn the page for the last bit of a number.
        let turns = height > self.left() + 1e-2 && !self.is_fresh();
        if turns {
            self.turn();
        }
        turns
    }

    /// A gap, where something stands above it.
    pub(crate) fn gap(&mut self, height: f32) {
        if !self.is_fresh() {
            self.y += height;
        }
    }

    /// A block of this sheet, to which items then belong.
    pub(crate) fn block(&mut self, kind: BlockKind) -> usize {
        let sheet = self.layout.sheets.len().saturating_sub(1);
        self.layout.blocks.push(Block { sheet, kind });
        self.layout.blocks.len() - 1
    }

    /// A drawing on this page.
    pub(crate) fn figure(&mut self, told: String, rect: Rect) -> usize {
        let page = self.layout.pages.len().saturating_sub(1);
        self.block(BlockKind::Figure { told, page, rect })
    }

    /// `text` folded for a width.
    pub(crate) fn folded(&self, text: &str, look: Look, width: f32) -> Vec<Folded> {
        fold(self.fonts, text, look.face, width / look.size)
    }

    /// Lines into a rectangle that they fit.
    pub(crate) fn set(&mut self, lines: &[Folded], look: Look, rect: Rect, part: Part) {
        let mut set = Vec::with_capacity(lines.len());
        for (place, line) in lines.iter().enumerate() {
            let width = line.width * look.size;
            let spare = rect.width - width;
            let x = match look.lean {
                Lean::Left => rect.x,
                Lean::Middle => rect.x + spare / 2.0,
                Lean::Right => rect.x + spare,
            };
            let letters = line.text.chars();
            let fonts = self.fonts;
            self.lacking.extend(letters.filter(|letter| fonts.glyph(look.face, *letter).is_lacking));
            set.push(Line {
                x,
                baseline: rect.y + look.height(place) + look.size * BASELINE,
                width,
                size: look.size,
                runs: self.fonts.runs(&line.text, look.face),
            });
        }
        self.push(Item::Text(TextBox { rect, lines: set, part }));
    }

    /// Text into a rectangle as high as it needs; that height.
    pub(crate) fn set_text(&mut self, text: &str, look: Look, at: (f32, f32), width: f32, part: Part) -> f32 {
        let lines = self.folded(text, look, width);
        let height = look.height(lines.len());
        self.set(&lines, look, Rect { x: at.0, y: at.1, width, height }, part);
        height
    }

    /// Something drawn.
    pub(crate) fn draw(&mut self, form: Form, ink: Ink, part: Part) {
        self.push(Item::Shape(Shape { form, ink, part }));
    }

    /// A rule across from `x` at the height `y`.
    pub(crate) fn rule(&mut self, x: f32, y: f32, width: f32, thick: f32, ink: Ink) {
        self.draw(Form::Line { from: (x, y), to: (x + width, y), thick }, ink, Part::Ornament);
    }

    fn push(&mut self, item: Item) {
        if let Some(page) = self.layout.pages.last_mut() {
            page.items.push(item);
        }
    }

    /// A heading, with `follows` of height below it on the same page.
    pub(crate) fn heading(&mut self, level: u16, text: &str, size: f32, follows: f32) {
        let look = Look::new(Face::Bold, size);
        let lines = self.folded(text, look, self.width());
        let height = look.height(lines.len());
        let all = height + follows;
        self.make_room(all.min(self.height()));
        let block = self.block(BlockKind::Heading { level, text: printable(text) });
        self.lines(&lines, look, Part::Of(block));
    }

    /// A paragraph over the whole width.
    pub(crate) fn paragraph(&mut self, text: &str, look: Look) {
        let lines = self.folded(text, look, self.width());
        let height = look.height(lines.len());
        if height <= self.height() {
            self.make_room(height);
        }
        let block = self.block(BlockKind::Paragraph);
        self.lines(&lines, look, Part::Of(block));
    }

    /// Lines over the whole width, as many pages as they need.
    fn lines(&mut self, lines: &[Folded], look: Look, part: Part) {
        let mut rest = lines;
        while !rest.is_empty() {
            self.make_room(look.height(1));
            let (now, later) = rest.split_at(look.lines_in(self.left() + 1e-2).min(rest.len()));
            let height = look.height(now.len());
            self.set(now, look, Rect { x: MARGIN, y: self.y, width: self.width(), height }, part);
            self.y += height;
            rest = later;
        }
    }

    /// The letters of this sheet that no font has, and those of `others`.
    pub(crate) fn lacking(&self, others: &str) -> BTreeSet<char> {
        let fonts = self.fonts;
        let others = printable(others);
        let of_others = others.chars().filter(|letter| fonts.glyph(Face::Plain, *letter).is_lacking);
        self.lacking.iter().copied().chain(of_others).collect()
    }
}
