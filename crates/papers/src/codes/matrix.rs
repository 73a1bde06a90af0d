//! A code as modules, black and white.

use std::fmt;

use qrcode::bits::Bits;
use qrcode::types::QrError;
use qrcode::{EcLevel, QrCode, Version};

/// The modules of a code (ISO/IEC 18004), without the white margin of four modules that must be around it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Matrix {
    /// Modules in a row, and rows.
    pub width: usize,
    /// Row by row from the upper left; `true` is black.
    pub is_black: Vec<bool>,
}

/// The text has more bytes than any code has room for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct TooLong {
    /// Bytes of the text, in UTF-8.
    pub bytes: usize,
}

impl fmt::Display for TooLong {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(formatter, "{} bytes are more than a code has room for; split the text", self.bytes)
    }
}

impl std::error::Error for TooLong {}

/// The largest version of a code.
const LARGEST: i16 = 40;

/// The smallest code with error correction M that has room for `text`. It is encoded byte by byte, as UTF-8:
/// a coder that looks for shorter ways would take some of these bytes for Shift JIS, and a telephone would
/// read other letters.
///
/// # Errors
///
/// Where no code has room: over 2331 bytes.
pub fn modules(text: &str) -> Result<Matrix, TooLong> {
    (1..=LARGEST)
        .find_map(|version| coded(text.as_bytes(), Version::Normal(version)).ok())
        .ok_or(TooLong { bytes: text.len() })
}

fn coded(bytes: &[u8], version: Version) -> Result<Matrix, QrError> {
    let mut bits = Bits::new(version);
    bits.push_byte_data(bytes)?;
    bits.push_terminator(EcLevel::M)?;
    let code = QrCode::with_bits(bits, EcLevel::M)?;
    let is_black = code.to_colors().into_iter().map(|color| color == qrcode::Color::Dark).collect();
    Ok(Matrix { width: code.width(), is_black })
}

impl Matrix {
    /// Stretches of black modules, row by row: x, y and how many.
    pub fn runs(&self) -> impl Iterator<Item = (usize, usize, usize)> + '_ {
        self.is_black.chunks(self.width.max(1)).enumerate().flat_map(|(y, row)| {
            let mut at = 0;
            row.chunk_by(|one, next| one == next).filter_map(move |run| {
                let x = at;
                at += run.len();
                run.first().filter(|is_black| **is_black).map(|_| (x, y, run.len()))
            })
        })
    }
}
