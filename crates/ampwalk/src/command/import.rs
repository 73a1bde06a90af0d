//! `ampwalk import`: a survey or head sheet as CSV, taken in whole or not at all.

use std::fmt::Write as _;
use std::path::Path;
use std::sync::Arc;

use ampwalk_core::import::{Import, Refused, Sheet, import as read};
use ampwalk_core::network::Network;
use ampwalk_core::plan::FORMAT_VERSION;
use ampwalk_papers::survey_sheet;
use serde::Serialize;

use super::layout::wrapped;
use crate::arguments::SheetKind;
use crate::input::{self, is_standard_input};
use crate::keep::Home;
use crate::output::{Answer, as_json, columns};
use crate::trouble::{Trouble, visible};

/// More refusals than these are counted, not told.
const MOST_TOLD: usize = 100;

/// What the command line asks for.
#[derive(Clone, Copy, Debug)]
pub struct Asked {
    /// Save it.
    pub write: bool,
    /// For other programs.
    pub json: bool,
}

fn sheet_of(kind: SheetKind) -> Sheet {
    match kind {
        SheetKind::Sockets => Sheet::Sockets,
        SheetKind::Heads => Sheet::Heads,
    }
}

/// Prints a sheet of a plan, to fill in.
pub fn sheet(plan: &Path, kind: SheetKind) -> Result<Answer, Trouble> {
    let source = input::source(plan)?;
    let good = input::good(&source)?;
    let network = Network::of(Arc::new(good.parsed.plan));
    let text = survey_sheet(&network, &source.text, sheet_of(kind)).to_csv();
    Ok(Answer { notes: good.notes, ..Answer::clear(text) })
}

/// Takes a sheet in.
pub fn import(file: &Path, plan: &Path, what: Option<SheetKind>, asked: Asked) -> Result<Answer, Trouble> {
    if is_standard_input(plan) && (asked.write || is_standard_input(file)) {
        let message = if asked.write {
            "standard input cannot be written to"
        } else {
            "sheet and plan cannot both come from standard input"
        };
        return Err(Trouble::call(message, "Give the plan's file."));
    }
    let csv = input::source(file)?;
    let source = input::source(plan)?;
    let good = input::good(&source)?;
    let done = read(&source.text, &csv.text, what.map(sheet_of))
        .map_err(|refused| Trouble::Plan(told(&csv.name, &refused)))?;
    let is_saved = asked.write && !done.change.is_empty();
    if is_saved {
        let text = done.change.apply(&source.text);
        Home::new(plan, &source.text)
            .save(&text)
            .map_err(|words| Trouble::call(words, "Nothing was written."))?;
    }
    let text = if asked.json { json(&done, is_saved)? } else { people(&done, is_saved, columns()) };
    Ok(Answer { notes: good.notes, ..Answer::clear(text) })
}

fn told(name: &str, refused: &[Refused]) -> String {
    let mut text = String::new();
    for one in refused.iter().take(MOST_TOLD) {
        // Writing to a string cannot fail.
        let _ = writeln!(text, "{name}:{}:{}: {}\n  {}", one.line, one.column, one.message, one.remedy);
    }
    if let Some(more) = refused.len().checked_sub(MOST_TOLD).filter(|more| *more > 0) {
        let _ = writeln!(text, "And {more} more.");
    }
    text.push_str("Nothing was imported.\n");
    text
}

fn people(done: &Import, is_saved: bool, width: usize) -> String {
    let saved = match (is_saved, done.change.is_empty()) {
        (true, _) => " Saved.",
        (false, true) => " The plan says all of it already.",
        (false, false) => " Nothing is saved without --write.",
    };
    let mut text = wrapped(
        &format!(
            "Sheet of {}: {} added, {} changed, {} unchanged.{saved}",
            done.sheet.word(),
            done.added.len(),
            done.changed.len(),
            done.unchanged
        ),
        0,
        width,
    );
    for id in &done.added {
        text.push_str(&wrapped(&format!("add {id}"), 2, width));
    }
    for changed in &done.changed {
        text.push_str(&wrapped(&format!("change {}: {}", changed.id, changed.keys.join(", ")), 2, width));
    }
    for aside in &done.aside {
        let heading = visible(&aside.heading);
        text.push_str(&wrapped(&format!("left aside: {heading} ({})", aside.why), 0, width));
    }
    text
}

#[derive(Serialize)]
struct Report<'a> {
    ampwalk: u32,
    sheet: &'static str,
    added: &'a [String],
    changed: Vec<Change<'a>>,
    unchanged: usize,
    aside: Vec<Left<'a>>,
    saved: bool,
}

#[derive(Serialize)]
struct Change<'a> {
    id: &'a str,
    keys: &'a [&'static str],
}

#[derive(Serialize)]
struct Left<'a> {
    column: &'a str,
    why: &'a str,
}

fn json(done: &Import, saved: bool) -> Result<String, Trouble> {
    let report = Report {
        ampwalk: FORMAT_VERSION,
        sheet: done.sheet.word(),
        added: &done.added,
        changed: done.changed.iter().map(|one| Change { id: &one.id, keys: &one.keys }).collect(),
        unchanged: done.unchanged,
        aside: done.aside.iter().map(|one| Left { column: &one.heading, why: &one.why }).collect(),
        saved,
    };
    as_json(&report)
}
