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
/// Cells of more lines than this are hard to read, the usual ones and the longest; smaller or narrower
/// letters come first.
const MANY_LINES: (f32, f32) = (3.0, 12.0);
/// What a usual cell is taken to be, in parts of the root of the mean square: of cells that are all alike
/// it is their width, and one long cell among many short ones counts for little.
const USUAL: f32 = 1.2;
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
    /// With few cells folded.
    usual: f32,
    /// With no cell folded.
    whole: f32,
}

impl Wish {
    /// Whether its cells are easy to read in a column of a width, both at the size 1.
    fn is_easy(&self, width: f32) -> bool {
        self.usual <= MANY_LINES.0 * width && self.whole <= MANY_LINES.1 * width
    }
}

/// Headings and cells of a table, for the widths of its columns.
pub(crate) struct Content<'a> {
    pub(crate) headings: &'a [String],
    pub(crate) rows: &'a [Vec<Shown>],
}

impl Content<'_> {
    fn wishes(&self, fonts: &Fonts<'_>, face: Face) -> Vec<Wish> {
        let column = |(place, heading): (usize, &String)| {
            let face = if place == 0 { face.bold() } else { face };
            let least = widest_word(fonts, heading, face.bold());
            let mut wish = Wish { least, usual: 0.0, whole: least };
            for cell in self.rows.iter().filter_map(|row| row.get(place)) {
                let (word, own) = match cell {
                    Shown::Blank => WRITTEN,
                    Shown::Text(text) => (widest_word(fonts, text, face), fonts.width(text, face)),
                };
                wish.least = wish.least.max(word);
                wish.whole = wish.whole.max(own);
                wish.usual += own * own;
            }
            #[expect(clippy::cast_precision_loss, reason = "rows of a table")]
            let rows = self.rows.len().max(1) as f32;
            wish.usual = ((wish.usual / rows).sqrt() * USUAL).clamp(wish.least.min(wish.whole), wish.whole);
            wish
        };
        self.headings.iter().enumerate().map(column).collect()
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
        let is_easy = is_easy(&widths, wishes, size);
        // What is not easy to read in any size is not set smaller than it must be.
        if is_easy || fitting.is_none() || size >= BANDED {
            fitting = Some(Plan { face, size, bands: vec![widths] });
        }
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
    let widths = shared(&all, &wishes, sizes.body, width);
    widths.is_some_and(|widths| is_easy(&widths, &wishes, sizes.body))
}

/// Whether no column is too narrow to be read easily.
fn is_easy(widths: &[(usize, f32)], wishes: &[Wish], size: f32) -> bool {
    widths.iter().all(|(place, own)| wishes[*place].is_easy(own / size - 2.0 * PADDING))
}

/// Columns in bands, the first of all repeated in each.
fn banded(wishes: &[Wish], size: f32, width: f32) -> Vec<Vec<(usize, f32)>> {
    let mut bands: Vec<Vec<usize>> = Vec::new();
    let mut used = 0.0;
    let own = |place: usize| {
        let [least, usual, _] = asked(wishes[place], size, width);
        usual.min(width / 4.0).max(least)
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

/// What a column asks for at a size on pages of a width, padding among it: at least, usually, at most.
fn asked(wish: Wish, size: f32, width: f32) -> [f32; 3] {
    let padding = 2.0 * padding(size);
    let least = (wish.least * size).min(width * WORD).max(NARROWEST * size) + padding;
    let limited = |own: f32| (own * size + padding).min(width * SHARE).max(least);
    [least, limited(wish.usual), limited(wish.whole)]
}

/// The width shared out among columns: first what all ask for at least, then what they usually need, then
/// what their longest cells need, and what is over to all. `None` where there is not even the least.
fn shared(band: &[usize], wishes: &[Wish], size: f32, width: f32) -> Option<Vec<(usize, f32)>> {
    let asked: Vec<[f32; 3]> = band.iter().map(|place| asked(wishes[*place], size, width)).collect();
    let mut widths: Vec<f32> = asked.iter().map(|own| own[0]).collect();
    let mut spare = width - widths.iter().sum::<f32>();
    if spare < 0.0 {
        return None;
    }
    for more in [1, 2] {
        let wanted: f32 = asked.iter().map(|own| own[more] - own[more - 1]).sum();
        let part = if wanted > spare { spare / wanted } else { 1.0 };
        for (own, asked) in widths.iter_mut().zip(&asked) {
            *own += (asked[more] - asked[more - 1]) * part;
        }
        spare = (spare - wanted * part).max(0.0);
    }
    let stretch = width / widths.iter().sum::<f32>().max(1.0);
    Some(band.iter().copied().zip(widths.iter().map(|own| own * stretch.max(1.0))).collect())
}
