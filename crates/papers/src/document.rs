//! Several sheets in one file.

use ampwalk_core::library::Paper;

/// What a file of several sheets is called and printed on.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Document {
    /// Its title.
    pub title: String,
    /// Its paper; `None`: that of its first sheet.
    pub paper: Option<Paper>,
}
