//! Plans in an earlier format: steps that bring a text to this program's format, a version at a time.
//!
//! A step changes the bytes that it is about and no others, as an edit does: comments and order stay.
//! Reading brings an earlier plan up without touching its file; the first edit writes it in this format,
//! as a part of the same change, so that one undo gives the old bytes back.

use super::alone::toml_tree;
use super::problem::Problem;
use super::tree::{Tree, Value};
use crate::edit::{Change, Splices, spliced};

/// From one version of the format to the next.
pub(crate) struct Step {
    /// The version that it takes.
    pub from: u32,
    /// Gathers what it changes of a text with this tree, the version's own number apart.
    pub rewrite: fn(&str, &Tree<'_>, &mut Splices),
}

/// The steps to this program's format, one from each version before it. Version 1 is the first.
pub(crate) const STEPS: &[Step] = &[];

/// A text that was brought to a later version.
pub(crate) struct Brought {
    /// What was changed.
    pub change: Change,
    /// The text after it.
    pub text: String,
}

/// Brings a text as far as the steps lead. `None` where none of them takes it: it is in this program's
/// format or in a later one, or it does not say.
pub(crate) fn bring(text: &str, tree: &Tree<'_>, steps: &[Step]) -> Option<Brought> {
    let first = one(text, tree, steps)?;
    let mut brought =
        Brought { text: spliced(text, &first), change: Change::of("Bring the plan to this format", first) };
    while let Some(next) = toml_tree(&brought.text).ok().and_then(|tree| one(&brought.text, &tree, steps)) {
        brought.text = spliced(&brought.text, &next);
        brought.change.steps.push(next);
    }
    Some(brought)
}

/// The next step, made.
fn one(text: &str, tree: &Tree<'_>, steps: &[Step]) -> Option<Vec<crate::edit::Splice>> {
    let version = &tree.root().entries.get("ampwalk")?.item;
    let Value::Whole(Some(given)) = version.value else { return None };
    let step = steps.iter().find(|step| i64::from(step.from) == given)?;
    let mut splices = Splices::default();
    (step.rewrite)(text, tree, &mut splices);
    splices.replace(version.place.clone(), (step.from + 1).to_string());
    splices.into_step(text).ok()
}

impl Brought {
    /// A problem of the brought text where it stands in the text as it was.
    pub fn in_the_text_before(&self, problem: Problem) -> Problem {
        problem.moved(|place| self.change.place_before(place))
    }
}

#[cfg(test)]
mod tests;
