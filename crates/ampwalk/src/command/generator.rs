//! `ampwalk generator`: whether one is needed, for the producer.

mod json;
mod people;

use std::path::Path;
use std::sync::Arc;
use std::time::Instant;

use ampwalk_core::assess::Verdict as Worst;
use ampwalk_core::network::Network;
use ampwalk_core::solve::Effort;
use ampwalk_core::solve::verdict::{Need, generator as solve};

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
pub fn generator(plan: &Path, seconds: f64, form: Form) -> Result<Answer, Trouble> {
    let source = input::source(plan)?;
    let good = input::good(&source)?;
    let network = Network::of(Arc::new(good.parsed.plan));
    let from = Instant::now();
    let effort = Effort { prover: ampwalk_exact::prover(), ..Effort::default() };
    let verdict = solve(&network, effort, &mut |_| from.elapsed().as_secs_f64() < seconds);
    let text = match form {
        Form::Json => json::text(&network, &verdict)?,
        Form::Words => people::text(&network, &verdict, columns()),
    };
    let worst = if verdict.need == Need::No { Worst::Clear } else { Worst::Dark };
    Ok(Answer { verdict: worst, text, notes: good.notes })
}
