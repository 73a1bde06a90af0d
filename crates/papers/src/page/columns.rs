//! How wide the columns of a table are, in which size of type, and which of them stand beside each other.

use super::cells::Shown;
use super::fold::widest_word;
use super::fonts::{Face, Fonts};
use super::paper::Type;

/// White on either side of a cell's text, in parts of the size of type.
const PADDING: f32 = 0.38;
/// The least that a line to be written on needs, in parts of the size of type, and what it likes to have.
const WRITTEN: (f32, f32) = (3.6, 7.0);
/// No column is narrower than this, in parts of the size of type: over the widest letter.
const NARROWEST: f32 = 2.4;
/// No word makes a column wider than this share of the page; it is broken then.
const WORD: f32 = 0.15;
/// No column asks for more than this share of the page.
const SHARE: f32 = 1.0 / 3.0;
/// A cell of more lines than this is hard to read; smaller or narrower letters come first.
const MANY_LINES: f32 = 4.0;
/// How much the size of type goes down at a time, in points.
const STEP: f32 = 0.5;
/// The size of tables that go on below, however small they may get else.
const BANDED: f32 = 8.0;

/// A table's columns on the page.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Plan {
    pub(crate) face: Face,
    pub(crate) size: f32,
    /// The columns that stand beside each other, with their widths, padding among them.
    pub(crate) bands: Vec<Vec<(usize, f32)>>,
}

/// White on either side of a cell's text of a size, in points.
pub(crate) fn padding(size: f32) -> f32 {
    PADDING * size
}

/// What a column asks for at the size 1.
#[derive(Clone, Copy, Debug, Default)]
struct Wish {
    /// With no word broken.
    least: f32,
    /// With no cell folded.
    whole: f32,
}

/// Headings and cells of a table, for the widths of its columns.
pub(crate) struct Content<'a> {
    pub(crate) headings: &'a [String],
    pub(crate) rows: &'a [Vec<Shown>],
}

impl Content<'_> {
    fn wishes(&self, fonts: &Fonts<'_>, face: Face) -> Vec<Wish> {
        let of_heading = |text: &String| {
            let least = widest_word(fonts, text, face.bold());
            Wish { least, whole: least }
        };
        let mut wishes: Vec<Wish> = self.headings.iter().map(of_heading).collect();
        for row in self.rows {
            for (place, (wish, cell)) in wishes.iter_mut().zip(row).enumerate() {
                let face = if place == 0 { face.bold() } else { face };
                let own = match cell {
                    Shown::Blank => Wish { least: WRITTEN.0, whole: WRITTEN.1 },
                    Shown::Text(text) => {
                        Wish { least: widest_word(fonts, text, face), whole: fonts.width(text, face) }
                    }
                };
                wish.least = wish.least.max(own.least);
                wish.whole = wish.whole.max(own.whole);
            }
        }
        wishes
    }
}

/// The columns of a table on pages of a width.
pub(crate) fn plan(content: &Content<'_>, fonts: &Fonts<'_>, sizes: Type, width: f32) -> Plan {
    let plain = content.wishes(fonts, Face::Plain);
    let narrow = content.wishes(fonts, Face::Narrow);
    let mut attempts = vec![(Face::Plain, sizes.body), (Face::Narrow, sizes.body)];
    let mut size = sizes.body - STEP;
    while size >= sizes.least {
        attempts.push((Face::Narrow, size));
        size -= STEP;
    }
    let all: Vec<usize> = (0..content.headings.len()).collect();
    let mut fitting = None;
    for (face, size) in attempts {
        let wishes = if face == Face::Plain { &plain } else { &narrow };
        let Some(widths) = shared(&all, wishes, size, width) else { continue };
        let is_easy = widths.iter().all(|(place, own)| {
            wishes[*place].whole * size <= MANY_LINES * (own - 2.0 * padding(size)).max(1.0)
        });
        fitting = Some(Plan { face, size, bands: vec![widths] });
        if is_easy {
            break;
        }
    }
    fitting.unwrap_or_else(|| {
        let size = sizes.least.max(BANDED);
        Plan { face: Face::Narrow, size, bands: banded(&narrow, size, width) }
    })
}

/// Whether all columns have room beside each other at the body's size, no word broken but very long ones.
pub(crate) fn fits(content: &Content<'_>, fonts: &Fonts<'_>, sizes: Type, width: f32) -> bool {
    let all: Vec<usize> = (0..content.headings.len()).collect();
    let wishes = content.wishes(fonts, Face::Narrow);
    shared(&all, &wishes, sizes.body, width).is_some_and(|widths| {
        let lines = |(place, own): &(usize, f32)| {
            wishes[*place].whole * sizes.body / (own - 2.0 * padding(sizes.body)).max(1.0)
        };
        widths.iter().map(lines).fold(0.0, f32::max) <= MANY_LINES
    })
}

/// Columns in bands, the first of all repeated in each.
fn banded(wishes: &[Wish], size: f32, width: f32) -> Vec<Vec<(usize, f32)>> {
    let mut bands: Vec<Vec<usize>> = Vec::new();
    let mut used = 0.0;
    let own = |place: usize| {
        let (least, most) = asked(wishes[place], size, width);
        most.min(width / 4.0).max(least)
    };
    for place in 1..wishes.len() {
        if bands.is_empty() || used + own(place) > width {
            bands.push(vec![0]);
            used = own(0);
        }
        used += own(place);
        if let Some(band) = bands.last_mut() {
            band.push(place);
        }
    }
    bands.iter().filter_map(|band| shared(band, wishes, size, width)).collect()
}

/// What a column asks for at a size on pages of a width, padding among it: at least, and at most.
fn asked(wish: Wish, size: f32, width: f32) -> (f32, f32) {
    let least = (wish.least * size).min(width * WORD).max(NARROWEST * size) + 2.0 * padding(size);
    let most = (wish.whole * size + 2.0 * padding(size)).min(width * SHARE).max(least);
    (least, most)
}

/// The width shared out among columns; `None` where it is less than the least that they ask for.
fn shared(band: &[usize], wishes: &[Wish], size: f32, width: f32) -> Option<Vec<(usize, f32)>> {
    let asked: Vec<(f32, f32)> = band.iter().map(|place| asked(wishes[*place], size, width)).collect();
    let least: f32 = asked.iter().map(|own| own.0).sum();
    let most: f32 = asked.iter().map(|own| own.1).sum();
    let spare = width - least;
    if spare < 0.0 {
        return None;
    }
    let stretch = if most > least { (spare / (most - least)).min(1.0) } else { 0.0 };
    // What no column asks for goes to all, by what they ask.
    let over = ((width - most) / most).max(0.0);
    let widths = asked.iter().map(|(least, most)| (least + (most - least) * stretch) + most * over);
    Some(band.iter().copied().zip(widths).collect())
}
