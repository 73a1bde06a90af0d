//! Pieces that several views draw with. They know styles and widths, and nothing of plans.

pub mod bar;
pub mod list;
pub mod table;
pub mod text;
