//! Which glyph shows a letter, and how wide it is.

use std::sync::{Arc, OnceLock};

use ampwalk_core::file::inert;
use flate2::{Decompress, FlushDecompress, Status};
use skrifa::charmap::Charmap;
use skrifa::instance::{LocationRef, Size};
use skrifa::metrics::GlyphMetrics;
use skrifa::raw::TableProvider;
use skrifa::{FontRef, MetadataProvider};

use super::Run;

/// A letter that no font has is shown as this one.
pub(crate) const REPLACEMENT: char = '\u{fffd}';
/// Letters below this are looked up once.
const COMMON: u32 = 0x530;
/// A font that may be put into no file (OpenType, OS/2, `fsType`).
const RESTRICTED: u16 = 0x0002;

/// A face that is built in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Face {
    Plain,
    Bold,
    Narrow,
    NarrowBold,
}

impl Face {
    /// Where it stands among the fonts.
    const fn place(self) -> usize {
        match self {
            Self::Plain => 0,
            Self::Bold => 1,
            Self::Narrow => 2,
            Self::NarrowBold => 3,
        }
    }

    /// The bold one of the same width.
    pub(crate) const fn bold(self) -> Self {
        match self {
            Self::Plain | Self::Bold => Self::Bold,
            Self::Narrow | Self::NarrowBold => Self::NarrowBold,
        }
    }
}

/// The faces that are built in, in their order, as the build packed them.
const PACKED: [&[u8]; 4] = [
    include_bytes!(concat!(env!("OUT_DIR"), "/plain")),
    include_bytes!(concat!(env!("OUT_DIR"), "/bold")),
    include_bytes!(concat!(env!("OUT_DIR"), "/narrow")),
    include_bytes!(concat!(env!("OUT_DIR"), "/narrow-bold")),
];

/// The bytes of the faces that are built in, in their order; unpacked once.
fn built_in() -> [&'static [u8]; 4] {
    static UNPACKED: [OnceLock<Vec<u8>>; 4] = [const { OnceLock::new() }; 4];
    std::array::from_fn(|face| UNPACKED[face].get_or_init(|| unpacked(PACKED[face])).as_slice())
}

/// A font as it was before it was packed. What the build packed unpacks; of anything else, what can be is there.
fn unpacked(packed: &[u8]) -> Vec<u8> {
    let mut font = Vec::with_capacity(3 * packed.len());
    let mut inflate = Decompress::new(false);
    loop {
        let before = (inflate.total_in(), font.len());
        let rest = usize::try_from(before.0).ok().and_then(|done| packed.get(done..)).unwrap_or_default();
        let done = inflate.decompress_vec(rest, &mut font, FlushDecompress::None);
        let goes_on =
            matches!(done, Ok(Status::Ok | Status::BufError)) && before != (inflate.total_in(), font.len());
        if !goes_on {
            return font;
        }
        font.reserve(packed.len());
    }
}

/// The fonts of a document: the faces that are built in, then those that the host hands in.
pub(crate) struct Fonts<'a> {
    loaded: Vec<Loaded<'a>>,
}

struct Loaded<'a> {
    bytes: Bytes<'a>,
    charmap: Charmap<'a>,
    metrics: GlyphMetrics<'a>,
    units: f32,
    /// The glyphs of common letters.
    common: Vec<Option<(u32, f32)>>,
}

/// Where a font's bytes are.
#[derive(Clone)]
pub(crate) enum Bytes<'a> {
    BuiltIn(&'static [u8]),
    Handed(&'a Arc<[u8]>),
}

/// A letter as it is shown.
#[derive(Clone, Copy)]
pub(crate) struct Glyph {
    pub(crate) font: usize,
    pub(crate) id: u32,
    /// In parts of the font's size.
    pub(crate) advance: f32,
    /// Whether it is there for a letter that no font has.
    pub(crate) is_lacking: bool,
}

impl<'a> Fonts<'a> {
    /// The built-in faces, and `handed` for letters that they have not, the first one that has it. What is
    /// no font, or one that may be put into no file, is passed over.
    pub(crate) fn new(handed: &'a [Arc<[u8]>]) -> Self {
        let built_in = built_in().into_iter().filter_map(|bytes| Loaded::of(bytes, Bytes::BuiltIn(bytes)));
        let handed = handed.iter().filter_map(|bytes| Loaded::of(bytes, Bytes::Handed(bytes)));
        Self { loaded: built_in.chain(handed).collect() }
    }

    /// The bytes of each, in their order.
    pub(crate) fn bytes(&self) -> impl Iterator<Item = Bytes<'a>> + '_ {
        self.loaded.iter().map(|loaded| loaded.bytes.clone())
    }

    /// How `letter` is shown in `face`: by that face, else by the plain one, else by what was handed in.
    pub(crate) fn glyph(&self, face: Face, letter: char) -> Glyph {
        if let Some(glyph) = self.of(face.place(), letter) {
            return glyph;
        }
        let others = (0..self.loaded.len()).find_map(|font| self.of(font, letter));
        others.unwrap_or_else(|| {
            let stand_in = self.of(face.place(), REPLACEMENT).or_else(|| self.of(face.place(), '?'));
            let stand_in = stand_in.unwrap_or(Glyph { font: 0, id: 0, advance: 0.6, is_lacking: true });
            Glyph { is_lacking: true, ..stand_in }
        })
    }

    fn of(&self, font: usize, letter: char) -> Option<Glyph> {
        let loaded = self.loaded.get(font)?;
        let common = loaded.common.get(letter as usize).copied();
        let (id, advance) = common.unwrap_or_else(|| loaded.look_up(letter))?;
        Some(Glyph { font, id, advance, is_lacking: false })
    }

    /// The width of `text` at the size 1.
    pub(crate) fn width(&self, text: &str, face: Face) -> f32 {
        text.chars().map(|letter| self.glyph(face, letter).advance).sum()
    }

    /// `text` in stretches of one font each.
    pub(crate) fn runs(&self, text: &str, face: Face) -> Vec<Run> {
        let mut runs: Vec<Run> = Vec::new();
        for letter in text.chars() {
            let glyph = self.glyph(face, letter);
            let is_same = runs.last().is_some_and(|run| run.font == glyph.font);
            if !is_same {
                runs.push(Run { font: glyph.font, text: String::new(), glyphs: Vec::new() });
            }
            if let Some(run) = runs.last_mut() {
                run.text.push(letter);
                run.glyphs.push((glyph.id, glyph.advance));
            }
        }
        runs
    }
}

impl<'a> Loaded<'a> {
    fn of(data: &'a [u8], bytes: Bytes<'a>) -> Option<Self> {
        let font = FontRef::from_index(data, 0).ok()?;
        if font.os2().is_ok_and(|table| table.fs_type() & 0xf == RESTRICTED) {
            return None;
        }
        let metrics = font.glyph_metrics(Size::unscaled(), LocationRef::default());
        let units = f32::from(font.head().ok()?.units_per_em());
        let mut loaded = Self { bytes, charmap: font.charmap(), metrics, units, common: Vec::new() };
        if units <= 0.0 {
            return None;
        }
        loaded.common = (0..COMMON).filter_map(char::from_u32).map(|c| loaded.look_up(c)).collect();
        Some(loaded)
    }

    fn look_up(&self, letter: char) -> Option<(u32, f32)> {
        let glyph = self.charmap.map(letter).filter(|glyph| glyph.to_u32() != 0)?;
        Some((glyph.to_u32(), self.metrics.advance_width(glyph)? / self.units))
    }
}

/// `text`, inert, and without code points that Unicode keeps for no letter at all.
pub(crate) fn printable(text: &str) -> String {
    let is_none = |c: char| (c as u32) & 0xfffe == 0xfffe || ('\u{fdd0}'..='\u{fdef}').contains(&c);
    inert(text).chars().map(|c| if is_none(c) { REPLACEMENT } else { c }).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_built_in_faces_are_unpacked_with_every_table_that_a_page_looks_at() {
        use dejavu::{sans, sans_condensed};
        let fonts = [sans::regular(), sans::bold(), sans_condensed::regular(), sans_condensed::bold()];
        for (unpacked, font) in built_in().into_iter().zip(fonts) {
            let [unpacked, font] = [unpacked, font].map(|bytes| FontRef::new(bytes).unwrap());
            let mut left_out = Vec::new();
            for entry in font.table_directory().table_records() {
                match (unpacked.table_data(entry.tag()), font.table_data(entry.tag())) {
                    (Some(unpacked), Some(font)) => {
                        assert!(unpacked.as_bytes() == font.as_bytes(), "{}", entry.tag());
                    }
                    _ => left_out.push(entry.tag().to_string()),
                }
            }
            let is_unused =
                |tag: &String| ["FFTM", "GDEF", "GPOS", "GSUB", "MATH", "kern"].contains(&tag.as_str());
            assert!(!left_out.is_empty() && left_out.iter().all(is_unused), "{left_out:?}");
        }
        assert!(PACKED.iter().map(|face| face.len()).sum::<usize>() < 1_350_000);
        assert!(unpacked(b"no font").len() < 100 && unpacked(b"").is_empty());
    }
}
