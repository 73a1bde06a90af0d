//! An edit made on the parts of the text that its entries have for themselves.

use std::collections::BTreeMap;
use std::ops::Range;

use super::document::{Document, newline_of};
use super::splice::Splices;
use super::{Address, Change, Edit, Splice, Table, change, flat, make};
use crate::file::Sections;

/// A part of the text, as it is and as it will be.
struct Part {
    place: Range<usize>,
    now: String,
}

/// Makes an edit on the parts of the text that its entries have for themselves, without reading the rest.
/// What the edit names is not looked for, and nothing is said of a refusal: where [`Sections::again`] does
/// not take the change, or this returns `None`, [`super::apply`] tells.
#[must_use]
pub fn apply_within(text: &str, edit: &Edit, sections: &Sections) -> Option<Change> {
    let newline = newline_of(text);
    let mut parts: BTreeMap<usize, Part> = BTreeMap::new();
    let mut may_add = true;
    for edit in flat(edit) {
        // What an edit names must be there before it.
        let adds = matches!(edit, Edit::AddEntry { .. });
        if adds && !may_add {
            return None;
        }
        may_add = adds;
        let place = part_of(edit, sections)?;
        let part = parts
            .entry(place.start)
            .or_insert_with(|| Part { now: text.get(place.clone()).unwrap_or_default().to_owned(), place });
        let document = Document::part(&part.now, newline)?;
        let mut splices = Splices::default();
        make(&document, edit, &mut splices).ok()?;
        let step = splices.into_step(document.text).ok()?;
        // What changes nothing may be about something that is not there.
        if step.is_empty() {
            return None;
        }
        part.now = change::spliced(&part.now, &step);
    }
    let step: Vec<Splice> = parts.into_values().filter_map(|part| part.splice(text)).collect();
    Some(Change { label: edit.label(), steps: vec![step] })
}

/// The part that an edit changes; a new entry goes behind the last of its kind.
fn part_of(edit: &Edit, sections: &Sections) -> Option<Range<usize>> {
    if let Edit::AddEntry { of: Address::Entry(table, id), .. } = edit {
        let is_there = sections.part(table.name(), id).is_some();
        return sections.last_part(table.name()).filter(|_| !is_there);
    }
    // Whether a base load may go hangs on what names it elsewhere.
    if matches!(edit, Edit::SetKey { of: Address::Entry(Table::Circuit, _), key, .. } if key == "base") {
        return None;
    }
    let Some(Address::Entry(table, id)) = edit.touches() else { return None };
    sections.part(table.name(), &id)
}

impl Part {
    /// What has changed of it.
    fn splice(&self, text: &str) -> Option<Splice> {
        let was = &text[self.place.clone()];
        let now = self.now.as_str();
        let same = was.char_indices().zip(now.char_indices()).find(|(a, b)| a != b);
        let from = same.map_or(was.len().min(now.len()), |((at, _), _)| at);
        let ends = was[from..].chars().rev().zip(now[from..].chars().rev());
        let same_end: usize = ends.take_while(|(a, b)| a == b).map(|(same, _)| same.len_utf8()).sum();
        let (removed, inserted) = (&was[from..was.len() - same_end], &now[from..now.len() - same_end]);
        (was != now).then(|| Splice {
            at: self.place.start + from,
            removed: removed.to_owned(),
            inserted: inserted.to_owned(),
        })
    }
}
