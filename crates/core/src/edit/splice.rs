//! Splices as they are gathered for one step.

use std::ops::Range;

use super::{Refusal, Splice};

/// Replacements of one text, in any order.
#[derive(Debug, Default)]
pub(crate) struct Splices(Vec<(Range<usize>, String)>);

impl Splices {
    pub fn replace(&mut self, range: Range<usize>, with: impl Into<String>) {
        self.0.push((range, with.into()));
    }

    pub fn insert(&mut self, at: usize, text: impl Into<String>) {
        self.replace(at..at, text);
    }

    pub fn remove(&mut self, range: Range<usize>) {
        self.replace(range, "");
    }

    /// In the order of the text; insertions at one place in the order in which they came. Removals
    /// that overlap are one.
    pub fn into_step(mut self, text: &str) -> Result<Vec<Splice>, Refusal> {
        self.0.sort_by_key(|(range, _)| (range.start, range.end));
        let mut merged: Vec<(Range<usize>, String)> = Vec::with_capacity(self.0.len());
        for (range, with) in self.0 {
            match merged.last_mut() {
                Some((last, last_with)) if range.start < last.end => {
                    if !last_with.is_empty() || !with.is_empty() {
                        return Err(Refusal::new(
                            "this part of the file is written in a way that cannot be changed from here",
                            "Change it in a text editor.",
                        )
                        .at(range));
                    }
                    last.end = last.end.max(range.end);
                }
                _ => merged.push((range, with)),
            }
        }
        Ok(merged
            .into_iter()
            .filter(|(range, with)| text[range.clone()] != **with)
            .map(|(range, inserted)| Splice { at: range.start, removed: text[range].to_owned(), inserted })
            .collect())
    }
}
