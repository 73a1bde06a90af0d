//! `ampwalk papers`: the sheets that the crew hands over, into a folder.

use std::path::PathBuf;
use std::sync::Arc;
use std::time::Instant;

use ampwalk_core::assess::{Verdict, assess};
use ampwalk_core::library::Paper;
use ampwalk_core::network::Network;
use ampwalk_core::plan::FORMAT_VERSION;
use ampwalk_core::solve::{Effort, Progress};
use ampwalk_papers::Kind;
use serde::Serialize;

use super::layout::{Stand, table, wrapped};
use crate::arguments::{PaperKind, PaperSize};
use crate::clock;
use crate::handout::{self, Format, HandedOut, Source, Written};
use crate::input;
use crate::output::{Answer, as_json, columns};
use crate::trouble::{Trouble, shown};

/// What the command line asks for.
#[derive(Debug)]
pub struct Asked {
    /// The plan file.
    pub plan: PathBuf,
    /// The folder.
    pub to: PathBuf,
    /// These sheets only; all where empty.
    pub only: Vec<Kind>,
    /// In these formats.
    pub formats: Vec<Format>,
    /// On this paper.
    pub paper: Option<Paper>,
    /// How long the producer's answer is sought.
    pub seconds: f64,
    /// For other programs.
    pub json: bool,
}

impl Asked {
    /// What the arguments say.
    pub fn of(
        (plan, to): (PathBuf, PathBuf),
        only: &[PaperKind],
        formats: Vec<Format>,
        paper: Option<PaperSize>,
        (seconds, json): (f64, bool),
    ) -> Self {
        let kind = |kind: &PaperKind| match kind {
            PaperKind::Survey => Kind::Survey,
            PaperKind::Patch => Kind::Patch,
            PaperKind::Load => Kind::Load,
            PaperKind::Strike => Kind::Strike,
            PaperKind::Generator => Kind::Generator,
            PaperKind::Cables => Kind::Cables,
            PaperKind::Labels => Kind::Labels,
            PaperKind::Safety => Kind::Safety,
        };
        let paper = paper.map(|paper| match paper {
            PaperSize::A4 => Paper::A4,
            PaperSize::Letter => Paper::Letter,
        });
        let only = only.iter().map(kind).collect();
        Self { plan, to, only, formats, paper, seconds, json }
    }
}

/// Does it.
pub fn papers(asked: Asked) -> Result<Answer, Trouble> {
    let source = input::source(&asked.plan)?;
    let good = input::good(&source)?;
    let wanted = handout::Asked {
        to: asked.to,
        only: asked.only,
        formats: asked.formats,
        paper: asked.paper,
        now: clock::issue()?,
    };
    let network = Network::of(Arc::new(good.parsed.plan));
    let assessment = assess(&network);
    let from = Instant::now();
    let mut go_on = |_: &Progress| from.elapsed().as_secs_f64() < asked.seconds;
    let effort = Effort { prover: ampwalk_exact::prover(), ..Effort::default() };
    let made_from = Source { text: &source.text, network: &network, assessment: &assessment, effort };
    let done = handout::hand_out(made_from, &wanted, &mut go_on)?;
    let folder = shown(&wanted.to);
    let text = if asked.json {
        json(&folder, assessment.verdict, &done)?
    } else {
        people(&folder, assessment.verdict, &done, columns())
    };
    // The sheets are there, whatever they say.
    Ok(Answer { notes: good.notes, ..Answer::clear(text) })
}

fn people(folder: &str, verdict: Verdict, done: &HandedOut, width: usize) -> String {
    let count = match done.new_files {
        0 => "nothing had changed".to_owned(),
        1 => "1 file written".to_owned(),
        count => format!("{count} files written"),
    };
    let mut text =
        wrapped(&format!("Sheets in {folder}: {count}. Verdict of the plan: {}.", verdict.word()), 0, width);
    let columns = [
        ("sheet", Stand::Left),
        ("setup", Stand::Left),
        ("rev", Stand::Left),
        ("changed", Stand::Left),
        ("files", Stand::Left),
    ];
    let row = |sheet: &Written| {
        let issued = &sheet.issued;
        vec![
            issued.sheet.clone(),
            issued.setup.clone().unwrap_or_default(),
            issued.revision.clone(),
            changed(sheet),
            sheet.files.join(" "),
        ]
    };
    text.push_str(&table(&columns, done.sheets.iter().map(row), width));
    if let Some(together) = &done.together {
        text.push_str(&wrapped(&format!("All of them together: {together}."), 0, width));
    }
    if !done.left_over.is_empty() {
        let left = done.left_over.join(", ");
        text.push_str(&wrapped(
            &format!("Of setups that the plan has no more, and still there: {left}."),
            0,
            width,
        ));
    }
    text.push_str(&wrapped(
        "A sheet plans and certifies nothing: local codes and a licensed electrician decide.",
        0,
        width,
    ));
    text
}

/// What is changed on a sheet, in a few words.
fn changed(sheet: &Written) -> String {
    let issued = &sheet.issued;
    if sheet.is_as_before {
        return "no".to_owned();
    }
    let Some(since) = &issued.since else { return "first issue".to_owned() };
    let (rows, gone) = (issued.changed_rows(), issued.gone_rows());
    let what = match (rows, gone) {
        (0, 0) => "around the tables".to_owned(),
        (rows, 0) => format!("{rows} of its rows"),
        (0, gone) => format!("{gone} rows gone"),
        (rows, gone) => format!("{rows} of its rows, {gone} gone"),
    };
    format!("{what}, since {since}")
}

#[derive(Serialize)]
struct Report<'a> {
    ampwalk: u32,
    to: &'a str,
    verdict: &'static str,
    sheets: Vec<SheetOf<'a>>,
    together: &'a [String],
    new_files: usize,
    left_over: &'a [String],
}

#[derive(Serialize)]
struct SheetOf<'a> {
    sheet: &'a str,
    setup: Option<&'a str>,
    revision: &'a str,
    since: Option<&'a str>,
    at: &'a str,
    new: bool,
    changed: Vec<RowOf<'a>>,
    gone: Vec<RowOf<'a>>,
    files: &'a [String],
}

#[derive(Serialize)]
struct RowOf<'a> {
    table: &'a str,
    row: &'a str,
}

fn json(folder: &str, verdict: Verdict, done: &HandedOut) -> Result<String, Trouble> {
    as_json(&Report {
        ampwalk: FORMAT_VERSION,
        to: folder,
        verdict: verdict.word(),
        sheets: done.sheets.iter().map(sheet_of).collect(),
        together: done.together.as_slice(),
        new_files: done.new_files,
        left_over: &done.left_over,
    })
}

/// A sheet for other programs.
fn sheet_of(sheet: &Written) -> SheetOf<'_> {
    let issued = &sheet.issued;
    let tables = || issued.tables.iter();
    let changed = tables().flat_map(|table| {
        let rows = table.rows.iter().filter(|row| row.changed);
        rows.map(|row| RowOf { table: &table.part, row: row.cells.first().map_or("", String::as_str) })
    });
    let gone = tables().flat_map(|table| table.gone.iter().map(|row| RowOf { table: &table.part, row }));
    SheetOf {
        sheet: &issued.sheet,
        setup: issued.setup.as_deref(),
        revision: &issued.revision,
        since: issued.since.as_deref(),
        at: &issued.at,
        new: !sheet.is_as_before,
        changed: changed.collect(),
        gone: gone.collect(),
        files: &sheet.files,
    }
}
