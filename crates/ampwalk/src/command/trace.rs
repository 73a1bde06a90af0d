//! `ampwalk trace`: what the traces prove of each socket, what clashes, and what to test next.

mod json;
mod people;

use std::path::Path;
use std::sync::Arc;

use ampwalk_core::assess::{Verdict, assess};
use ampwalk_core::network::Network;
use ampwalk_core::trace::{ClampReading, ClampStand, Report, clamp_readings};

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
    let clamps = clamp_readings(&network, &assess(&network));
    let text = match form {
        Form::Json => json::text(&network, &report, &clamps)?,
        Form::Words => people::text(&network, &report, &clamps, columns()),
    };
    Ok(Answer { verdict: verdict(&report, &clamps), text, notes: good.notes })
}

/// A neutral that is not where it should be can hurt somebody; what clashes, is labelled wrong, or flows without
/// anybody knowing, is a risk.
fn verdict(report: &Report, clamps: &[ClampReading]) -> Verdict {
    let flows_unknown = clamps.iter().any(|reading| reading.stand == ClampStand::More);
    if !report.stray_trips.is_empty() {
        Verdict::Danger
    } else if !report.clashes.is_empty() || report.labels.are_distrusted() || flows_unknown {
        Verdict::Risk
    } else {
        Verdict::Clear
    }
}
