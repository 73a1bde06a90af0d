//! The sheets that a lighting crew hands over, made from a plan and its assessment.
//!
//! Pure, as the core is: a [`Sheet`] is plain data, and text, CSV, HTML and PDF are made from it in memory. No
//! clock: whoever hands a sheet out says when ([`Register::issue`]). Names of people are blanks, to be
//! filled in by hand.
//!
//! A sheet repeats what was planned. It certifies nothing: local codes and a licensed electrician
//! decide, and every sheet says so.

mod basis;
mod cables;
pub mod codes;
mod comma;
mod document;
mod drawing;
mod every;
mod frame;
mod hire;
mod html;
mod issue;
mod labels;
mod load;
mod names;
mod page;
mod patch;
mod pdf;
mod safety;
mod sheet;
mod strike;
mod survey;
mod text;

pub use cables::cable_sheet;
pub use document::Document;
pub use drawing::{Drawing, DrawnLead, DrawnRoom, Mark, MarkKind};
pub use every::{every_sheet, sheets_around_the_answer};
pub use hire::generator_sheet;
pub use html::html;
pub use issue::{Issued, IssuedFile, IssuedRow, IssuedTable, MadeFrom, Register};
pub use labels::label_sheet;
pub use load::load_sheet;
pub use patch::patch_sheet;
pub use pdf::{PdfError, lacking_letters, letters_of_font, pdf};
pub use safety::safety_sheet;
pub use sheet::{Basis, Cell, Column, Field, Kind, Number, Rounding, Row, Sheet, Style, Table, Value};
pub use strike::strike_card;
pub use survey::survey_sheet;

#[cfg(test)]
mod tests;
