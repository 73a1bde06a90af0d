//! A change of a text, byte for byte, and its inverse.

use std::ops::Range;

/// A change of a text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Change {
    /// What it does, in a few words.
    pub label: String,
    /// One after the other; the splices of a step are all counted in the text before that step, in
    /// its order, and do not overlap.
    pub steps: Vec<Vec<Splice>>,
}

/// One place of a change.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Splice {
    /// Where, in bytes.
    pub at: usize,
    /// What stands there before.
    pub removed: String,
    /// What stands there after.
    pub inserted: String,
}

impl Splice {
    /// What makes one text of the other: the place from the first difference to the last.
    #[must_use]
    pub fn between(before: &str, after: &str) -> Self {
        let same = before.bytes().zip(after.bytes()).take_while(|(one, other)| one == other).count();
        let is_boundary = |at: &usize| before.is_char_boundary(*at) && after.is_char_boundary(*at);
        let at = (0..=same).rev().find(is_boundary).unwrap_or_default();
        let rest = before[at..].bytes().rev().zip(after[at..].bytes().rev());
        let same = rest.take_while(|(one, other)| one == other).count();
        let ends = |back: usize| (before.len() - back, after.len() - back);
        let is_boundary = |back: &usize| {
            let (end, end_after) = ends(*back);
            before.is_char_boundary(end) && after.is_char_boundary(end_after)
        };
        let (end, end_after) = ends((0..=same).rev().find(is_boundary).unwrap_or_default());
        Self { at, removed: before[at..end].to_owned(), inserted: after[at..end_after].to_owned() }
    }
}

impl Change {
    /// What makes one text of the other.
    #[must_use]
    pub fn between(before: &str, after: &str, label: &str) -> Self {
        let splice = Splice::between(before, after);
        let is_nothing = splice.removed.is_empty() && splice.inserted.is_empty();
        let steps = if is_nothing { Vec::new() } else { vec![vec![splice]] };
        Self { label: label.to_owned(), steps }
    }

    /// A change of one step.
    pub(crate) fn of(label: &str, step: Vec<Splice>) -> Self {
        Self { label: label.to_owned(), steps: vec![step] }
    }

    /// Where a place of the text after the change was before it; of what was put in, the whole of what it
    /// stands for.
    pub(crate) fn place_before(&self, place: Range<usize>) -> Range<usize> {
        self.steps.iter().rev().fold(place, |place, step| {
            let start = before(step, place.start, |splice| splice.at);
            let end = before(step, place.end, |splice| splice.at + splice.removed.len());
            start..end.max(start)
        })
    }

    /// Whether it changes nothing.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.steps.iter().all(Vec::is_empty)
    }

    /// The text after the change. A text that the change was not made for comes back as it is.
    #[must_use]
    pub fn apply(&self, text: &str) -> String {
        let mut current = text.to_owned();
        for step in &self.steps {
            if !fits(&current, step) {
                return text.to_owned();
            }
            current = spliced(&current, step);
        }
        current
    }

    /// The change that takes it back.
    #[must_use]
    pub fn inverse(&self) -> Self {
        let steps = self.steps.iter().rev().map(|step| inverse(step)).collect();
        Self { label: self.label.clone(), steps }
    }
}

/// Where an offset of the text after a step was before it; `within` says it for one inside of what was put in.
fn before(step: &[Splice], offset: usize, within: impl Fn(&Splice) -> usize) -> usize {
    let mut added = 0;
    let mut taken = 0;
    for splice in step {
        let from = splice.at + added - taken;
        if offset <= from {
            break;
        }
        if offset < from + splice.inserted.len() {
            return within(splice);
        }
        added += splice.inserted.len();
        taken += splice.removed.len();
    }
    offset + taken - added
}

fn inverse(step: &[Splice]) -> Vec<Splice> {
    let mut added = 0;
    let mut taken = 0;
    step.iter()
        .map(|splice| {
            let at = splice.at + added - taken;
            added += splice.inserted.len();
            taken += splice.removed.len();
            Splice { at, removed: splice.inserted.clone(), inserted: splice.removed.clone() }
        })
        .collect()
}

fn fits(text: &str, step: &[Splice]) -> bool {
    let mut from = 0;
    step.iter().all(|splice| {
        let end = splice.at + splice.removed.len();
        let fits = splice.at >= from && text.get(splice.at..end) == Some(&splice.removed);
        from = end;
        fits
    })
}

/// The text after one step that fits it.
pub(crate) fn spliced(text: &str, step: &[Splice]) -> String {
    let grown: usize = step.iter().map(|splice| splice.inserted.len()).sum();
    let mut result = String::with_capacity(text.len() + grown);
    let mut from = 0;
    for splice in step {
        result.push_str(&text[from..splice.at]);
        result.push_str(&splice.inserted);
        from = splice.at + splice.removed.len();
    }
    result.push_str(&text[from..]);
    result
}
