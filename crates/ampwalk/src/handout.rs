//! Handing sheets out: which files they make, their letters, and the folder that they go to.

mod folder;
mod fonts;
mod name;
mod register;

use std::path::{Path, PathBuf};

use ampwalk_core::assess::Assessment;
use ampwalk_core::library::Paper;
use ampwalk_core::network::Network;
use ampwalk_core::solve::verdict::ProducersAnswer;
use ampwalk_papers::{Document, Issued, Kind, Register, Sheet, every_sheet, html, pdf};

use crate::trouble::CallTrouble;

/// What sheets are written as.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Format {
    /// For printers, a file a sheet.
    Pdf,
    /// For telephones and mails, one file for all.
    Html,
    /// For spreadsheets, a file a sheet.
    Csv,
}

impl Format {
    /// What the file of one sheet ends in; none where all are in one file.
    const fn own_ending(self) -> Option<&'static str> {
        match self {
            Self::Pdf => Some("pdf"),
            Self::Csv => Some("csv"),
            Self::Html => None,
        }
    }
}

/// All of them.
pub const EVERY_FORMAT: [Format; 3] = [Format::Pdf, Format::Html, Format::Csv];

/// What is asked for.
#[derive(Clone, Debug)]
pub struct Asked {
    /// The folder; it is made where it is not there.
    pub to: PathBuf,
    /// These sheets only; all where empty.
    pub only: Vec<Kind>,
    /// In these formats.
    pub formats: Vec<Format>,
    /// On this paper; that of the region by default.
    pub paper: Option<Paper>,
    /// Date and hour, for a sheet that says something new.
    pub now: String,
}

/// What the sheets are made from.
#[derive(Clone, Copy)]
pub struct Source<'a> {
    /// The plan's text.
    pub text: &'a str,
    /// The same, resolved.
    pub network: &'a Network,
    /// What was found in it.
    pub assessment: &'a Assessment,
    /// The producer's answer; the generator's page is left out without it.
    pub answer: Option<&'a ProducersAnswer>,
}

/// What was handed out.
#[derive(Debug)]
pub struct HandedOut {
    /// Every sheet, with its letter and its files.
    pub sheets: Vec<Written>,
    /// Files that hold several sheets.
    pub together: Vec<String>,
    /// How many files were written; the others were there, byte by byte.
    pub new_files: usize,
    /// Files from before of sheets that the plan has no more.
    pub left_over: Vec<String>,
}

/// A sheet that was handed out.
#[derive(Debug)]
pub struct Written {
    /// Which, and what is changed.
    pub issued: Issued,
    /// Whether that letter was handed out before.
    pub is_as_before: bool,
    /// Its own files.
    pub files: Vec<String>,
}

/// Makes the sheets and puts them into the folder: whole or not at all, each of them.
///
/// # Errors
/// What is in the way and what to do; then no sheet was touched, or those that were are whole and the next
/// call goes on from there.
pub fn hand_out(source: Source<'_>, asked: &Asked) -> Result<HandedOut, CallTrouble> {
    let mut known = register::read(&asked.to)?;
    let before = known.clone();
    let mut sheets = wanted(source, &asked.only);
    let issued: Vec<Issued> = sheets.iter_mut().map(|sheet| known.issue(sheet, &asked.now)).collect();
    let stems = name::stems(&sheets);
    let (files, own) = files(source, asked, &sheets, &stems)?;
    folder::refuse_others(&asked.to, &before.files, &files)?;
    register::record(&mut known, &files);
    // Only where all of them are of one plan does the record say of which.
    let is_all = asked.only.is_empty()
        && asked.paper.is_none()
        && left_over(source.network, &asked.to, &known).is_empty();
    known.made_from = is_all.then(|| register::made_from(source.text));
    let records =
        [register::written(&register::between(before.clone(), &files))?, register::written(&known)?];
    let new_files = folder::put(&asked.to, &files, (register::NAME, &records))?;
    let sheets = issued
        .into_iter()
        .zip(own)
        .map(|(issued, files)| Written { is_as_before: before.sheets.contains(&issued), issued, files })
        .collect();
    let together = files.iter().filter(|file| file.is_of_all).map(|file| file.name.clone()).collect();
    Ok(HandedOut { sheets, together, new_files, left_over: left_over(source.network, &asked.to, &known) })
}

/// What is there of this very plan, all of it as it was handed out: then nothing is worked out again. It is
/// also how a search that was stopped by the clock comes to the same page twice.
///
/// # Errors
/// Where the folder has a record that cannot be gone on from.
pub fn as_handed_out(text: &str, asked: &Asked) -> Result<Option<HandedOut>, CallTrouble> {
    let known = register::read(&asked.to)?;
    if asked.paper.is_some() || known.made_from != Some(register::made_from(text)) {
        return Ok(None);
    }
    let is_wanted =
        |issued: &&Issued| asked.only.is_empty() || asked.only.iter().any(|kind| kind.word() == issued.sheet);
    let mut sheets = Vec::new();
    for issued in known.sheets.iter().filter(is_wanted) {
        let stem = name::stem(&issued.sheet, issued.setup.as_deref());
        let endings = asked.formats.iter().filter_map(|format| format.own_ending());
        let files = endings.map(|ending| format!("{stem}.{ending}")).collect();
        sheets.push(Written { issued: issued.clone(), is_as_before: true, files });
    }
    let together: Vec<String> = asked
        .formats
        .contains(&Format::Html)
        .then(|| format!("{}.html", name::together(&asked.only)))
        .into_iter()
        .collect();
    let mut files = sheets.iter().flat_map(|sheet| &sheet.files).chain(&together);
    let is_whole = files.all(|name| folder::is_as_recorded(&asked.to, &known.files, name));
    let is_there = is_whole && !sheets.is_empty();
    Ok(is_there.then(|| HandedOut { sheets, together, new_files: 0, left_over: Vec::new() }))
}

/// The sheets that are asked for, in the order in which a job needs them.
fn wanted(source: Source<'_>, only: &[Kind]) -> Vec<Sheet> {
    let mut sheets = every_sheet(source.network, source.assessment, source.answer, source.text);
    sheets.retain(|sheet| only.is_empty() || only.contains(&sheet.kind));
    sheets
}

/// A file to be written.
#[derive(Debug)]
struct File {
    name: String,
    bytes: Vec<u8>,
    is_of_all: bool,
}

/// The files of all sheets; and for each sheet the names of its own.
fn files(
    source: Source<'_>,
    asked: &Asked,
    sheets: &[Sheet],
    stems: &[String],
) -> Result<(Vec<File>, Vec<Vec<String>>), CallTrouble> {
    let mut document = document(source, asked);
    if asked.formats.contains(&Format::Pdf) {
        fonts::fill_in(sheets, &mut document);
    }
    let mut files = Vec::new();
    let mut own = Vec::new();
    for (sheet, stem) in sheets.iter().zip(stems) {
        let mut names = Vec::new();
        for format in &asked.formats {
            let (ending, bytes) = match format {
                Format::Pdf => ("pdf", printed(sheet, &document)?),
                Format::Csv => ("csv", sheet.to_csv().into_bytes()),
                Format::Html => continue,
            };
            names.push(format!("{stem}.{ending}"));
            files.push(File { name: format!("{stem}.{ending}"), bytes, is_of_all: false });
        }
        own.push(names);
    }
    if asked.formats.contains(&Format::Html) {
        let name = format!("{}.html", name::together(&asked.only));
        let bytes = html(sheets, &document).into_bytes();
        files.push(File { name, bytes, is_of_all: true });
    }
    Ok((files, own))
}

/// A sheet for the printer.
fn printed(sheet: &Sheet, document: &Document) -> Result<Vec<u8>, CallTrouble> {
    pdf(std::slice::from_ref(sheet), document).map_err(|error| CallTrouble {
        message: format!("the {} sheet cannot be written as PDF: {error}", sheet.kind.word()),
        remedy: "Ask for --format html,csv meanwhile; this is a fault of ours. Nothing was written."
            .to_owned(),
    })
}

/// What the files are called inside, and printed on.
fn document(source: Source<'_>, asked: &Asked) -> Document {
    let location = source.network.plan.location.name.as_deref();
    let title = location.map_or_else(|| "Sheets".to_owned(), |name| format!("{name}, sheets"));
    Document { title, paper: asked.paper, ..Document::default() }
}

/// Files in the folder of sheets that were issued once and that the plan has no more.
fn left_over(network: &Network, to: &Path, known: &Register) -> Vec<String> {
    let is_there = |issued: &Issued| {
        issued.setup.as_ref().is_none_or(|setup| network.plan.setups.contains_key(setup.as_str()))
    };
    let gone = known.sheets.iter().filter(|issued| !is_there(issued));
    let stems: Vec<String> = gone.map(|issued| name::stem(&issued.sheet, issued.setup.as_deref())).collect();
    let is_of = |name: &str| {
        let stem = name.rsplit_once('.').map_or(name, |(stem, _)| stem);
        stems.iter().any(|gone| gone == stem) && to.join(name).exists()
    };
    known.files.iter().map(|file| file.name.clone()).filter(|name| is_of(name)).collect()
}
