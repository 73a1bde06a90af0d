//! `ampwalk schema`: the JSON Schema of the plan file.

use ampwalk_core::file::schema::json_schema;

use crate::output::{Answer, as_json};
use crate::trouble::Trouble;

/// The schema.
pub fn schema() -> Result<Answer, Trouble> {
    as_json(&json_schema()).map(Answer::clear)
}
