//! Lists in place: what stays, stays as it is written, comments and all.

use std::ops::Range;

use super::document::Document;
use super::splice::Splices;
use super::value::Value;
use crate::file::tree::Item;

/// Makes a list hold `values`. What is in it at the beginning and at the end already is not touched.
pub(super) fn set(
    document: &Document<'_>,
    list: &Range<usize>,
    items: &[Item<'_>],
    values: &[Value],
    splices: &mut Splices,
) {
    let same = |(value, item): &(&Value, &Item<'_>)| value.is(item, &document.tree);
    let head = values.iter().zip(items).take_while(same).count();
    let tail = values[head..].iter().rev().zip(items[head..].iter().rev()).take_while(same).count();
    let old = &items[head..items.len() - tail];
    let new = &values[head..values.len() - tail];
    for (item, value) in old.iter().zip(new) {
        splices.replace(item.place.clone(), value.written());
    }
    if old.len() > new.len() {
        let places: Vec<Range<usize>> = items.iter().map(|item| item.place.clone()).collect();
        let surplus: Vec<usize> = (head + new.len()..items.len() - tail).collect();
        remove(document.text, &places, &surplus, splices);
    }
    if new.len() > old.len() {
        let written: Vec<String> = new[old.len()..].iter().map(Value::written).collect();
        let after = (head + old.len()).checked_sub(1).map(|last| items[last].place.end);
        insert(list, after, items.is_empty(), &written.join(", "), splices);
    }
}

/// Puts `written` after the item that ends at `after`, or at the beginning of the list.
fn insert(list: &Range<usize>, after: Option<usize>, is_empty: bool, written: &str, splices: &mut Splices) {
    match after {
        Some(end) => splices.insert(end, format!(", {written}")),
        None if is_empty => splices.insert(list.start + 1, written),
        None => splices.insert(list.start + 1, format!("{written}, ")),
    }
}

/// Takes items out of a list, or keys out of an inline table, each with its comma.
pub(super) fn remove(text: &str, places: &[Range<usize>], surplus: &[usize], splices: &mut Splices) {
    let mut last_kept_loses_comma = false;
    for &at in surplus {
        let place = places[at].clone();
        match comma_after(text, place.end) {
            Some(comma) if text[place.end..comma].trim().is_empty() => {
                let space = text[comma + 1..].bytes().take_while(|byte| *byte == b' ').count();
                let end = comma + 1 + space;
                splices.remove(place.start..end);
            }
            Some(comma) => {
                splices.remove(place);
                splices.remove(comma..comma + 1);
            }
            None => {
                splices.remove(place);
                last_kept_loses_comma = true;
            }
        }
    }
    if !last_kept_loses_comma {
        return;
    }
    let last_kept = (0..places.len()).rev().find(|at| !surplus.contains(at));
    if let Some(last_kept) = last_kept
        && let Some(comma) = comma_after(text, places[last_kept].end)
    {
        let spaces = text[comma + 1..].bytes().take_while(|byte| *byte == b' ').count();
        splices.remove(comma..comma + 1 + spaces);
    }
}

/// The comma that follows a value, past spaces, line ends and comments.
fn comma_after(text: &str, from: usize) -> Option<usize> {
    let mut at = from;
    loop {
        let rest = &text[at..];
        let skipped = rest.len() - rest.trim_start().len();
        at += skipped;
        match text[at..].chars().next()? {
            ',' => return Some(at),
            '#' => at += text[at..].find('\n')?,
            _ => return None,
        }
    }
}
