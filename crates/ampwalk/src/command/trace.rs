//! `ampwalk trace`: what the traces prove of each socket, what clashes, and what to test next.

mod json;
mod people;

use std::path::Path;
use std::sync::Arc;

use ampwalk_core::assess::Verdict;
use ampwalk_core::network::Network;
use ampwalk_core::trace::Report;

use crate::input;
use crate::output::{Answer, columns};
use crate::trouble::Trouble;

/// For whom the answer is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Form {
    /// For people.
    Words,
    /// For other programs.
    Json,
}

/// Does it.
pub fn trace(plan: &Path, form: Form) -> Result<Answer, Trouble> {
    let good = input::good_plan(plan)?;
    let network = Network::of(Arc::new(good.parsed.plan));
    let report = Report::of(&network);
    let text = match form {
        Form::Json => json::text(&network, &report)?,
        Form::Words => people::text(&network, &report, columns()),
    };
    Ok(Answer { verdict: verdict(&report), text, notes: good.notes })
}

/// A neutral that is not where it should be can hurt somebody; what clashes, or is labelled wrong, is a risk.
fn verdict(report: &Report) -> Verdict {
    if !report.stray_trips.is_empty() {
        Verdict::Danger
    } else if !report.clashes.is_empty() || report.labels.are_distrusted() {
        Verdict::Risk
    } else {
        Verdict::Clear
    }
}
