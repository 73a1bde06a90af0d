//! `ampwalk check`: what is wrong, worst first, and the numbers behind it.

mod json;
mod people;

use std::path::Path;

use super::checked::checked;
use crate::output::{Answer, as_json, columns};
use crate::trouble::Trouble;

/// The answer that other programs read.
pub fn for_programs(plan: &Path, setup: Option<&str>) -> Result<Answer, Trouble> {
    let checked = checked(plan, setup)?;
    let text = as_json(&json::report(&checked))?;
    Ok(checked.answer(text))
}

/// The answer that people read.
pub fn for_people(plan: &Path, setup: Option<&str>) -> Result<Answer, Trouble> {
    let checked = checked(plan, setup)?;
    let text = people::report(&checked, columns());
    Ok(checked.answer(text))
}
