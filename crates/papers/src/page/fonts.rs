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

/// How wide the narrow faces are, of the others: 90 %, as the built-in font's own condensed one is drawn. That is the
/// same outlines on a squeezed grid, so that the narrow ones need no fonts of their own.
const NARROW: f32 = 0.9;

/// A face that is built in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Face {
    Plain,
    Bold,
    Narrow,
    NarrowBold,
}

impl Face {
    /// Where its font stands among the fonts.
    const fn font(self) -> usize {
        match self {
            Self::Plain | Self::Narrow => 0,
            Self::Bold | Self::NarrowBold => 1,
        }
    }

    /// How wide its letters are, of what their font says.
    const fn width(self) -> f32 {
        match self {
            Self::Plain | Self::Bold => 1.0,
            Self::Narrow | Self::NarrowBold => NARROW,
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

/// The fonts that are built in, in their order, as the build packed them.
const PACKED: [&[u8]; 2] =
    [include_bytes!(concat!(env!("OUT_DIR"), "/plain")), include_bytes!(concat!(env!("OUT_DIR"), "/bold"))];

/// The bytes of the fonts that are built in, in their order; unpacked once.
fn built_in() -> [&'static [u8]; 2] {
    static UNPACKED: [OnceLock<Vec<u8>>; 2] = [const { OnceLock::new() }; 2];
    std::array::from_fn(|font| UNPACKED[font].get_or_init(|| unpacked(PACKED[font])).as_slice())
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

/// The fonts of a document: those that are built in, then those that the host hands in.
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
    /// How wide it is drawn, of what its font says.
    pub(crate) width: f32,
    /// In parts of the font's size.
    pub(crate) advance: f32,
    /// Whether it is there for a letter that no font has.
    pub(crate) is_lacking: bool,
}

impl<'a> Fonts<'a> {
    /// The built-in fonts, and `handed` for letters that they have not, the first one that has it. What is
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

    /// How `letter` is shown in `face`: by its font, else by the plain one, else by what was handed in; all as
    /// wide as the face is.
    pub(crate) fn glyph(&self, face: Face, letter: char) -> Glyph {
        let of = |font| self.of(font, letter, face.width());
        if let Some(glyph) = of(face.font()) {
            return glyph;
        }
        (0..self.loaded.len()).find_map(of).unwrap_or_else(|| {
            let instead = |letter| self.of(face.font(), letter, face.width());
            let stand_in = instead(REPLACEMENT).or_else(|| instead('?'));
            let none = Glyph { font: 0, id: 0, width: 1.0, advance: 0.6, is_lacking: true };
            Glyph { is_lacking: true, ..stand_in.unwrap_or(none) }
        })
    }

    fn of(&self, font: usize, letter: char, width: f32) -> Option<Glyph> {
        let loaded = self.loaded.get(font)?;
        let common = loaded.common.get(letter as usize).copied();
        let (id, advance) = common.unwrap_or_else(|| loaded.look_up(letter))?;
        Some(Glyph { font, id, width, advance: advance * width, is_lacking: false })
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
                let (font, width) = (glyph.font, glyph.width);
                runs.push(Run { font, width, text: String::new(), glyphs: Vec::new() });
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
    use skrifa::GlyphId;
    use skrifa::outline::{DrawSettings, OutlinePen};

    use super::*;

    #[test]
    fn the_built_in_fonts_are_unpacked_with_every_table_that_a_page_looks_at() {
        use dejavu::sans;
        for (unpacked, font) in built_in().into_iter().zip([sans::regular(), sans::bold()]) {
            let [unpacked, font] = [unpacked, font].map(|bytes| FontRef::new(bytes).unwrap());
            let mut left_out = Vec::new();
            for entry in font.table_directory().table_records() {
                match (unpacked.table_data(entry.tag()), font.table_data(entry.tag())) {
                    (Some(_), Some(_)) if ["glyf", "loca", "post"].contains(&&*entry.tag().to_string()) => {}
                    (Some(unpacked), Some(font)) => {
                        assert!(unpacked.as_bytes() == font.as_bytes(), "{}", entry.tag());
                    }
                    _ => left_out.push(entry.tag().to_string()),
                }
            }
            let unused = "FFTM GDEF GPOS GSUB MATH cvt  fpgm gasp kern prep";
            assert!(!left_out.is_empty() && left_out.iter().all(|tag| unused.contains(tag)), "{left_out:?}");
            assert_eq!(unpacked.post().unwrap().italic_angle(), font.post().unwrap().italic_angle());
        }
        assert!(PACKED.iter().map(|font| font.len()).sum::<usize>() < 600_000);
        assert!(unpacked(b"no font").len() < 100 && unpacked(b"").is_empty());
    }

    /// The strokes of a glyph: what each does, and its points.
    fn drawn(font: &FontRef<'_>, glyph: u32) -> Option<Vec<(char, Vec<f32>)>> {
        let mut pen = Pen(Vec::new());
        let settings = DrawSettings::unhinted(Size::unscaled(), LocationRef::default());
        font.outline_glyphs().get(GlyphId::new(glyph))?.draw(settings, &mut pen).ok()?;
        Some(pen.0)
    }

    struct Pen(Vec<(char, Vec<f32>)>);

    impl OutlinePen for Pen {
        fn move_to(&mut self, x: f32, y: f32) {
            self.0.push(('m', vec![x, y]));
        }

        fn line_to(&mut self, x: f32, y: f32) {
            self.0.push(('l', vec![x, y]));
        }

        fn quad_to(&mut self, x0: f32, y0: f32, x: f32, y: f32) {
            self.0.push(('q', vec![x0, y0, x, y]));
        }

        fn curve_to(&mut self, x0: f32, y0: f32, x1: f32, y1: f32, x: f32, y: f32) {
            self.0.push(('c', vec![x0, y0, x1, y1, x, y]));
        }

        fn close(&mut self) {
            self.0.push(('z', Vec::new()));
        }
    }

    #[test]
    fn every_letter_of_the_built_in_fonts_is_drawn_as_before_they_were_packed() {
        use dejavu::sans;
        for (unpacked, font) in built_in().into_iter().zip([sans::regular(), sans::bold()]) {
            let [unpacked, font] = [unpacked, font].map(|bytes| FontRef::new(bytes).unwrap());
            let glyphs = u32::from(font.maxp().unwrap().num_glyphs());
            let mut strokes = 0;
            for glyph in 0..glyphs {
                let before = drawn(&font, glyph);
                assert!(drawn(&unpacked, glyph) == before, "glyph {glyph}");
                strokes += before.unwrap().len();
            }
            assert!(glyphs > 6_000 && strokes > 100_000, "{strokes} strokes in {glyphs} glyphs");
        }
    }

    #[test]
    fn the_narrow_faces_are_as_wide_as_the_condensed_fonts() {
        // DejaVu Sans Condensed 2.37 and its bold: advances (OpenType, `hmtx`) in 2048 units a letter.
        use dejavu::sans_condensed;
        let ours = Fonts::new(&[]);
        let theirs = [(Face::Narrow, sans_condensed::regular()), (Face::NarrowBold, sans_condensed::bold())];
        for (face, font) in theirs {
            let font = FontRef::new(font).unwrap();
            let metrics = font.glyph_metrics(Size::unscaled(), LocationRef::default());
            for letter in ('!'..='\u{52f}').filter(|letter| !letter.is_control()) {
                let Some(glyph) = font.charmap().map(letter) else { continue };
                let own = ours.glyph(face, letter);
                assert_eq!((own.id, own.width), (glyph.to_u32(), 0.9), "{letter}");
                let units = metrics.advance_width(glyph).unwrap();
                assert!((own.advance * 2048.0 - units).abs() <= 1.0, "{letter}: {units}");
            }
        }
    }
}
