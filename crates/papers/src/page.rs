//! Sheets laid out on pages, as plain data: where each line of text, rule and mark stands.
//!
//! Lengths are in points, 1/72 of an inch; x grows to the right and y downwards from a page's upper left
//! corner. Nothing here knows of a file format.

mod cells;
mod code;
mod columns;
mod fields;
mod floor;
mod flow;
mod fold;
mod fonts;
mod footer;
mod paper;
mod sheet;
mod stickers;
mod table;

use crate::document::Document;
use crate::sheet::Sheet;

pub(crate) use fold::LINE;
pub(crate) use fonts::{Bytes, Face, Fonts, printable};

/// Sheets on pages.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Layout {
    pub(crate) pages: Vec<Page>,
    /// What the pages hold, in reading order; a [`Part`] says which of them it belongs to.
    pub(crate) blocks: Vec<Block>,
    /// The name of each sheet, and the place of its first page.
    pub(crate) sheets: Vec<(String, usize)>,
}

/// One side of a leaf.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Page {
    pub(crate) width: f32,
    pub(crate) height: f32,
    /// Which of the sheets it is of.
    pub(crate) sheet: usize,
    pub(crate) items: Vec<Item>,
}

/// What is drawn, in this order.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Item {
    Text(TextBox),
    Shape(Shape),
}

/// Text in the rectangle that is kept for it.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct TextBox {
    /// Where the text may stand; no other box comes into it.
    pub(crate) rect: Rect,
    pub(crate) lines: Vec<Line>,
    pub(crate) part: Part,
}

/// A line of text.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Line {
    pub(crate) x: f32,
    pub(crate) baseline: f32,
    /// The width of what is seen of it: without the blank that it was broken at.
    pub(crate) width: f32,
    pub(crate) size: f32,
    pub(crate) runs: Vec<Run>,
}

/// Letters of one font.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Run {
    /// Which of [`Fonts`].
    pub(crate) font: usize,
    /// How wide it is drawn, of what the font says.
    pub(crate) width: f32,
    pub(crate) text: String,
    /// Glyph and advance, in parts of the font's size, of each of its letters.
    pub(crate) glyphs: Vec<(u32, f32)>,
}

impl Page {
    /// How far down it is filled, in parts of its height.
    fn filled(&self) -> f32 {
        let bottom = |item: &Item| match item {
            Item::Text(text) => text.rect.bottom(),
            Item::Shape(Shape { form: Form::Modules { corner, side, runs }, .. }) => {
                let rows = runs.iter().map(|(_, row, _)| row + 1).max().unwrap_or_default();
                #[expect(clippy::cast_precision_loss, reason = "rows of a code")]
                let rows = rows as f32;
                corner.1 + rows * side
            }
            Item::Shape(_) => 0.0,
        };
        self.items.iter().map(bottom).fold(0.0, f32::max) / self.height
    }
}

impl Layout {
    /// How many pages, blocks and sheets there are.
    fn lengths(&self) -> (usize, usize, usize) {
        (self.pages.len(), self.blocks.len(), self.sheets.len())
    }

    /// What came after these lengths, taken off.
    fn split_off(&mut self, (pages, blocks, sheets): (usize, usize, usize)) -> Self {
        Self {
            pages: self.pages.split_off(pages),
            blocks: self.blocks.split_off(blocks),
            sheets: self.sheets.split_off(sheets),
        }
    }

    /// What was taken off, put on again where it was.
    fn append(&mut self, mut other: Self) {
        self.pages.append(&mut other.pages);
        self.blocks.append(&mut other.blocks);
        self.sheets.append(&mut other.sheets);
    }
}

/// Lines, squares and rings, black or grey.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Shape {
    pub(crate) form: Form,
    pub(crate) ink: Ink,
    pub(crate) part: Part,
}

/// What is drawn.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Form {
    /// A straight line from x, y to x, y, this thick.
    Line { from: (f32, f32), to: (f32, f32), thick: f32 },
    /// A rectangle's outline, this thick.
    Outline { rect: Rect, thick: f32 },
    /// A rectangle, filled.
    Filled { rect: Rect },
    /// Black modules of a code whose upper left corner is at `corner`, `side` wide each: column, row, and how
    /// many there are in a row from there.
    Modules { corner: (f32, f32), side: f32, runs: Vec<(usize, usize, usize)> },
    /// A ring, this thick, filled with white.
    Ring { centre: (f32, f32), radius: f32, thick: f32 },
}

/// How dark it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Ink {
    Black,
    /// Light grey, for rules.
    Grey,
    /// Grey and dashed, for cuts with scissors.
    Cut,
    /// The paper's.
    White,
}

/// A rectangle.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct Rect {
    pub(crate) x: f32,
    pub(crate) y: f32,
    pub(crate) width: f32,
    pub(crate) height: f32,
}

impl Rect {
    pub(crate) fn right(&self) -> f32 {
        self.x + self.width
    }

    pub(crate) fn bottom(&self) -> f32 {
        self.y + self.height
    }

    /// Whether it and another have more in common than an edge.
    pub(crate) fn covers(&self, other: &Self) -> bool {
        let across = self.right().min(other.right()) - self.x.max(other.x);
        let down = self.bottom().min(other.bottom()) - self.y.max(other.y);
        across > 0.0 && down > 0.0
    }
}

/// What an item belongs to, for those who hear the page instead of seeing it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Part {
    /// Nothing that is told: rules, footers, the head of a table again.
    Ornament,
    /// The foot of a page.
    Footer,
    /// A block, by its place among the layout's.
    Of(usize),
    /// A cell of a block that is a table; row 0 has the headings.
    Cell { block: usize, row: usize, column: usize },
    /// The same, where it is a line to be written on.
    Blank { block: usize, row: usize, column: usize },
}

/// What is told as a whole.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Block {
    /// Which of the sheets it is of.
    pub(crate) sheet: usize,
    pub(crate) kind: BlockKind,
}

/// What sort of whole.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum BlockKind {
    /// A heading: of a sheet 1, of a part of it 2.
    Heading {
        level: u16,
        text: String,
    },
    Paragraph,
    Table,
    /// A drawing: what it shows in words, on which page it is, and where there.
    Figure {
        told: String,
        page: usize,
        rect: Rect,
    },
}

/// `sheets` on the pages of `document`.
pub(crate) fn lay_out(sheets: &[Sheet], document: &Document, fonts: &Fonts<'_>) -> Layout {
    let mut layout = Layout::default();
    for sheet in sheets {
        sheet::lay_out(&mut layout, sheet, document, fonts);
    }
    footer::number(&mut layout, &document.title, fonts);
    layout
}
