//! All the sheets of a plan.

use ampwalk_core::assess::Assessment;
use ampwalk_core::import::Sheet as Entries;
use ampwalk_core::network::{Network, SetupAt};
use ampwalk_core::solve::verdict::ProducersAnswer;

use crate::{
    Sheet, cable_sheet, generator_sheet, label_sheet, load_sheet, patch_sheet, safety_sheet, strike_card,
    survey_sheet,
};

/// Every sheet of a plan: the survey; patch, load, strike card and labels of each setup in turn; then the
/// producer's page where `answer` is given, the cable pull list and the safety notes. `assessment` and
/// `answer` are of `network`, `text` is that of its plan. A plan without a setup has each sheet once, with a note that says so.
#[must_use]
pub fn every_sheet(
    network: &Network,
    assessment: &Assessment,
    answer: Option<&ProducersAnswer>,
    text: &str,
) -> Vec<Sheet> {
    let [mut sheets, behind] = sheets_around_the_answer(network, assessment, text);
    sheets.extend(answer.map(|answer| generator_sheet(network, answer)));
    sheets.extend(behind);
    sheets
}

/// The sheets that stand before the producer's page and those behind it: they may be made while the answer is
/// worked out.
#[must_use]
pub fn sheets_around_the_answer(network: &Network, assessment: &Assessment, text: &str) -> [Vec<Sheet>; 2] {
    let mut setups: Vec<Option<SetupAt>> = assessment.setups.indices().map(Some).collect();
    if setups.is_empty() {
        setups.push(None);
    }
    let of_setup = |setup: Option<SetupAt>| {
        [patch_sheet, load_sheet, strike_card, label_sheet].map(|sheet| sheet(network, assessment, setup))
    };
    let mut sheets = vec![survey_sheet(network, text, Entries::Sockets)];
    sheets.extend(setups.into_iter().flat_map(of_setup));
    [sheets, vec![cable_sheet(network, assessment), safety_sheet(network, assessment)]]
}
