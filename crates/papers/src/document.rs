//! Several sheets in one file.

use std::sync::Arc;

use ampwalk_core::library::Paper;

/// What a file of several sheets is called and printed on.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Document {
    /// Its title.
    pub title: String,
    /// Its paper; `None`: that of its first sheet.
    pub paper: Option<Paper>,
    /// Fonts (TrueType or OpenType, the whole file) for letters that the built-in ones have not, in the order
    /// in which they are asked. Only the PDF needs them.
    pub fallback_fonts: Vec<Arc<[u8]>>,
}
