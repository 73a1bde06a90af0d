//! Sizes of paper, margins and type.

use ampwalk_core::library::Paper;

/// Points in a millimetre.
pub(crate) const MILLIMETRE: f32 = 72.0 / 25.4;
/// White on every side: what everyday printers cannot reach, and a punched hole, are within it.
pub(crate) const MARGIN: f32 = 12.0 * MILLIMETRE;
/// What the foot of a page takes above the margin.
pub(crate) const FOOT: f32 = 16.0;

/// Width and height of `paper` upright, in points (ISO 216; ANSI/ASME Y14.1).
pub(crate) const fn size(paper: Paper) -> (f32, f32) {
    match paper {
        Paper::A4 => (595.276, 841.89),
        Paper::Letter => (612.0, 792.0),
    }
}

/// Sizes of type on a sheet, in points.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Type {
    pub(crate) title: f32,
    pub(crate) heading: f32,
    pub(crate) body: f32,
    /// How small a wide table may get.
    pub(crate) least: f32,
    /// What stands on top and below.
    pub(crate) small: f32,
}

/// Of everyday sheets.
pub(crate) const SHEET: Type = Type { title: 16.0, heading: 11.0, body: 9.0, least: 7.0, small: 8.5 };
/// Of sheets that have a line or two too many for their pages.
pub(crate) const COMPACT: Type = Type { title: 14.0, heading: 10.0, body: 8.0, least: 7.0, small: 8.0 };
/// Of cards, which are read in the dark.
pub(crate) const CARD: Type = Type { title: 20.0, heading: 15.0, body: 12.0, least: 12.0, small: 12.0 };
/// Of what stands at a page's foot.
pub(crate) const FOOTER: f32 = 8.0;
