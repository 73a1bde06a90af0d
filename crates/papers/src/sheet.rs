//! What a sheet is: fields on top, tables of marked cells, notes below.

use ampwalk_core::library::Paper;
use ampwalk_core::network::Origin;

use crate::drawing::Drawing;

/// One sheet, as data. [`Sheet::to_text`] and [`Sheet::to_csv`] write it.
///
/// Its texts may hold anything that the plan holds; the writers make them inert.
#[derive(Clone, Debug, PartialEq)]
pub struct Sheet {
    /// Which of the sheets it is.
    pub kind: Kind,
    /// The id of the setup that it tells of; `None`: of all of them, or of none.
    pub setup: Option<String>,
    /// How it is written where it is used.
    pub style: Style,
    /// Its name.
    pub title: String,
    /// What stands on top: where, when, who.
    pub fields: Vec<Field>,
    /// Its tables; the first is what the sheet is for, the others are its footers.
    pub tables: Vec<Table>,
    /// What the reader must know, a sentence or two each.
    pub notes: Vec<String>,
    /// Floors to scale, below the tables.
    pub drawings: Vec<Drawing>,
    /// Texts for codes that a telephone reads without a network, each in its own.
    pub codes: Vec<String>,
}

/// Which of the sheets.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Kind {
    /// What the walk found, socket by socket.
    Survey,
    /// The heads, to be filled in and read back.
    Heads,
    /// Which head goes into which socket.
    Patch,
    /// What each circuit, RCD and line carries.
    Load,
    /// The order to strike in, with the recovery card on its back.
    Strike,
    /// The producer's page.
    Generator,
    /// The leads to load and to lay.
    Cables,
    /// Stickers and plug tags.
    Labels,
    /// Safety notes and the record of handing back.
    Safety,
}

impl Kind {
    /// Every kind, with the word for it in commands and file names.
    pub const WORDS: [(&str, Self); 9] = [
        ("survey", Self::Survey),
        ("heads", Self::Heads),
        ("patch", Self::Patch),
        ("load", Self::Load),
        ("strike", Self::Strike),
        ("generator", Self::Generator),
        ("cables", Self::Cables),
        ("labels", Self::Labels),
        ("safety", Self::Safety),
    ];

    /// The word for it in commands and file names.
    #[must_use]
    pub fn word(self) -> &'static str {
        Self::WORDS.iter().find(|(_, kind)| *kind == self).map_or("", |(word, _)| word)
    }
}

/// How a sheet is written where it is used.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Style {
    /// The paper of everyday printers there.
    pub paper: Paper,
    /// The sign before decimals, for people; files for other programs have a point.
    pub decimal: char,
}

/// A name and a value on top of a sheet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Field {
    /// What it is.
    pub name: String,
    /// The value; `None`: a blank, to be filled in by hand.
    pub value: Option<String>,
}

/// One table.
#[derive(Clone, Debug, PartialEq)]
pub struct Table {
    /// One word for what a row is: what a CSV row begins with.
    pub part: &'static str,
    /// Its heading.
    pub title: String,
    /// Its columns; the first names the row.
    pub columns: Vec<Column>,
    /// Its rows, each with a cell for every column.
    pub rows: Vec<Row>,
}

/// One column.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Column {
    /// What it is, without the unit.
    pub heading: String,
    /// The unit of its numbers; empty where it has none.
    pub unit: &'static str,
    /// Whether its cells say what they rest on.
    pub is_marked: bool,
}

/// The cells of a row.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// One for every column.
    pub cells: Vec<Cell>,
    /// Whether it says something else than the issue before this one.
    pub is_changed: bool,
}

/// One cell.
#[derive(Clone, Debug, PartialEq)]
pub struct Cell {
    /// What it says.
    pub value: Value,
    /// What that rests on; every number has it.
    pub basis: Option<Basis>,
}

/// What a cell says.
#[derive(Clone, Debug, PartialEq)]
pub enum Value {
    /// There is nothing to say.
    Empty,
    /// A blank, to be filled in by hand.
    Blank,
    /// Words: a name, a state.
    Text(String),
    /// One number, in the unit of its column.
    Number(Number),
}

/// A number, and how it is written for people.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Number {
    /// The number, unrounded.
    pub value: f64,
    /// Decimals on paper.
    pub decimals: usize,
    /// Which way it is rounded there.
    pub rounding: Rounding,
}

/// Which way a number is rounded on paper.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rounding {
    /// To the nearest.
    Nearest,
    /// Down: what is left is never shown as more than it is.
    Down,
    /// Up: what is used is never shown as less than it is.
    Up,
}

/// What a number rests on: the weakest of all that went into it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Basis {
    /// Measured on location.
    Measured,
    /// The plan says it: a nameplate, or what the crew knows.
    Plan,
    /// A default: usual for its class or its region, or a standard's band.
    Assumed,
}

/// Rounding must not lift 2.0 that is 2.000 000 000 1 to 2.01.
const NOISE: f64 = 1e-6;

impl Number {
    /// The number for people, with the sign before decimals that they use.
    #[must_use]
    pub fn told(&self, style: Style) -> String {
        self.written(self.decimals).replace('.', style.decimal.encode_utf8(&mut [0; 4]))
    }

    /// The number with `decimals` decimals, rounded its way, with a decimal point.
    #[must_use]
    pub fn written(&self, decimals: usize) -> String {
        let scale = (0..decimals).fold(1.0, |scale, _| scale * 10.0);
        let scaled = self.value * scale;
        let rounded = match self.rounding {
            Rounding::Nearest => scaled.round(),
            Rounding::Down => (scaled + NOISE).floor(),
            Rounding::Up => (scaled - NOISE).ceil(),
        };
        // Adding 0 makes a negative zero a plain one.
        format!("{:.decimals$}", rounded / scale + 0.0)
    }
}

impl Sheet {
    /// Whether any row says something else than the issue before this one.
    pub(crate) fn has_changes(&self) -> bool {
        self.tables.iter().flat_map(|table| &table.rows).any(|row| row.is_changed)
    }

    /// What the signs behind numbers and before rows mean, for paper; `blank` is how a blank looks there.
    pub(crate) fn legend(&self, blank: &str) -> Vec<String> {
        let signs = Basis::ALL.map(|basis| format!("{} {}", basis.sign(), basis.word())).join(", ");
        let mut told = vec![format!("Behind a number: {signs}. {blank} is filled in by hand.")];
        if self.has_changes() {
            told.push("* before a row: it says something else than the issue before.".to_owned());
        }
        told
    }
}

impl Basis {
    /// Every one, the surest first.
    pub(crate) const ALL: [Self; 3] = [Self::Measured, Self::Plan, Self::Assumed];

    /// The word for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Measured => "measured",
            Self::Plan => "plan",
            Self::Assumed => "assumed",
        }
    }

    /// The sign for it, one column wide, behind a number on paper.
    #[must_use]
    pub const fn sign(self) -> char {
        match self {
            Self::Measured => '=',
            Self::Plan => 'p',
            Self::Assumed => '?',
        }
    }

    /// The weakest of several; of none, the plan's: it says that there are none.
    #[must_use]
    pub fn weakest(parts: impl IntoIterator<Item = Self>) -> Self {
        parts.into_iter().max().unwrap_or(Self::Plan)
    }
}

impl From<Origin> for Basis {
    fn from(origin: Origin) -> Self {
        match origin {
            Origin::Measured => Self::Measured,
            Origin::Plan => Self::Plan,
            Origin::Class | Origin::Region | Origin::Standard | Origin::Default => Self::Assumed,
        }
    }
}

impl Cell {
    /// A cell that says nothing.
    pub(crate) const EMPTY: Self = Self { value: Value::Empty, basis: None };

    /// A cell to be filled in by hand.
    pub(crate) const BLANK: Self = Self { value: Value::Blank, basis: None };

    /// What it says to people, with the sign for what that rests on, not made inert; `None`: a blank.
    pub(crate) fn told(&self, style: Style) -> Option<String> {
        let text = match &self.value {
            Value::Blank => return None,
            Value::Empty => return Some("-".to_owned()),
            Value::Text(text) => text.clone(),
            Value::Number(number) => number.told(style),
        };
        Some(match self.basis {
            Some(basis) => format!("{text}{}", basis.sign()),
            None => text,
        })
    }

    /// Words.
    pub(crate) fn text(text: impl Into<String>) -> Self {
        Self { value: Value::Text(text.into()), basis: None }
    }

    /// Words that rest on something.
    pub(crate) fn marked(text: impl Into<String>, basis: Basis) -> Self {
        Self { value: Value::Text(text.into()), basis: Some(basis) }
    }

    /// A number that rests on something.
    pub(crate) fn number(value: f64, decimals: usize, rounding: Rounding, basis: Basis) -> Self {
        Self { value: Value::Number(Number { value, decimals, rounding }), basis: Some(basis) }
    }
}

impl Row {
    /// A row that is as it was.
    pub(crate) fn of(cells: Vec<Cell>) -> Self {
        Self { cells, is_changed: false }
    }
}

impl Column {
    /// A column of words.
    pub(crate) fn words(heading: impl Into<String>) -> Self {
        Self { heading: heading.into(), unit: "", is_marked: false }
    }

    /// Its heading with the unit, not made inert.
    pub(crate) fn label(&self) -> String {
        match self.unit {
            "" => self.heading.clone(),
            unit => format!("{} {unit}", self.heading),
        }
    }

    /// Whether it has numbers, which lean right, as does their heading.
    pub(crate) fn is_of_numbers(&self) -> bool {
        !self.unit.is_empty()
    }

    /// A column whose cells say what they rest on.
    pub(crate) fn marked(heading: impl Into<String>, unit: &'static str) -> Self {
        Self { heading: heading.into(), unit, is_marked: true }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn number(value: f64, rounding: Rounding) -> String {
        Number { value, decimals: 2, rounding }.written(2)
    }

    #[test]
    fn what_is_left_is_never_shown_as_more_and_what_is_used_never_as_less() {
        assert_eq!(number(0.999, Rounding::Down), "0.99");
        assert_eq!(number(-0.001, Rounding::Down), "-0.01");
        assert_eq!(number(13.001, Rounding::Up), "13.01");
        assert_eq!(number(13.0 + 1e-10, Rounding::Up), "13.00");
        assert_eq!(number(2.0 - 1e-10, Rounding::Down), "2.00");
        assert_eq!(number(-0.001, Rounding::Nearest), "0.00");
    }

    #[test]
    fn a_sum_is_as_sure_as_the_least_sure_of_its_parts() {
        assert_eq!(Basis::weakest([Basis::Measured, Basis::Assumed, Basis::Plan]), Basis::Assumed);
        assert_eq!(Basis::weakest([Basis::Measured]), Basis::Measured);
        assert_eq!(Basis::weakest([]), Basis::Plan);
    }
}
