//! Sheets on the screens: one is made aside, shown as it is printed, and all are handed out.
//!
//! As with placings ([`crate::placing`]) the screens only ask and take in what comes of it: a large plan's patch
//! sheet tries every head elsewhere, and the producer's page needs the solver.

use std::sync::Arc;

use ampwalk_core::assess::assess;
use ampwalk_core::file;
use ampwalk_core::import::Sheet as Entries;
use ampwalk_core::network::{Network, SetupAt};
use ampwalk_core::solve;
use ampwalk_core::solve::verdict::generator;
use ampwalk_papers::{
    Kind, Sheet, cable_sheet, generator_sheet, label_sheet, load_sheet, patch_sheet, safety_sheet,
    strike_card, survey_sheet,
};

use crate::placing::Request;

/// The fewest columns that a sheet is laid out in.
const LEAST: usize = 40;
/// The most: what an everyday page has, so that what is shown is broken as what is printed.
const MOST: usize = 100;

/// A sheet that was made.
#[derive(Clone, Debug)]
pub struct Made {
    /// What was asked.
    pub request: Request,
    /// The sheet.
    pub sheet: Sheet,
}

/// A sheet as it is shown, and how far down.
#[derive(Clone, Debug)]
pub struct Shown {
    /// The sheet.
    pub sheet: Box<Sheet>,
    /// Its lines, for the columns that there are.
    pub lines: Vec<String>,
    /// Lines above the first that is shown.
    pub scroll: usize,
}

impl Shown {
    /// A sheet on a terminal of so many columns.
    #[must_use]
    pub fn of(sheet: Box<Sheet>, columns: u16) -> Self {
        let mut shown = Self { sheet, lines: Vec::new(), scroll: 0 };
        shown.fit(columns);
        shown
    }

    /// Lays it out anew.
    pub fn fit(&mut self, columns: u16) {
        let columns = usize::from(columns).saturating_sub(2).clamp(LEAST, MOST);
        self.lines = self.sheet.to_text(columns).lines().map(str::to_owned).collect();
    }
}

/// Makes a sheet. `go_on` is told how far the producer's answer is and asked whether to go on.
pub fn make(
    request: Request,
    kind: Kind,
    setup: Option<SetupAt>,
    go_on: &mut dyn FnMut(&solve::Progress) -> bool,
) -> Made {
    let network = Network::of(Arc::new(file::parse(&request.text).plan));
    let sheet = match kind {
        Kind::Survey => survey_sheet(&network, &request.text, Entries::Sockets),
        Kind::Heads => survey_sheet(&network, &request.text, Entries::Heads),
        Kind::Patch => patch_sheet(&network, &assess(&network), setup),
        Kind::Load => load_sheet(&network, &assess(&network), setup),
        Kind::Strike => strike_card(&network, &assess(&network), setup),
        Kind::Labels => label_sheet(&network, &assess(&network), setup),
        Kind::Generator => generator_sheet(&network, &generator(&network, request.effort, go_on)),
        Kind::Cables => cable_sheet(&network, &assess(&network)),
        Kind::Safety => safety_sheet(&network, &assess(&network)),
    };
    Made { request, sheet }
}
