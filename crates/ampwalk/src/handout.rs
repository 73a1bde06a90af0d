//! Handing sheets out: which files they make, their letters, and the folder that they go to.

mod folder;
mod fonts;
mod name;
mod register;

use std::panic::resume_unwind;
use std::path::{Path, PathBuf};
use std::thread;

use ampwalk_core::assess::Assessment;
use ampwalk_core::library::Paper;
use ampwalk_core::network::Network;
use ampwalk_core::solve::verdict::generator;
use ampwalk_core::solve::{Effort, Progress};
use ampwalk_core::workers::Workers;
use ampwalk_papers::{
    Document, Issued, Kind, Register, Sheet, generator_sheet, html, pdf, sheets_around_the_answer,
};
use ampwalk_tui::cores::Cores;

use clap::ValueEnum;

use crate::trouble::CallTrouble;

/// A format of sheets.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Format {
    /// For printers, a file a sheet
    Pdf,
    /// For telephones and mails, one file for all
    Html,
    /// For spreadsheets, a file a sheet
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

impl Asked {
    fn wants(&self, word: &str) -> bool {
        self.only.is_empty() || self.only.iter().any(|kind| kind.word() == word)
    }

    /// The name of the file that all sheets stand in, where one is asked for.
    fn together(&self) -> Option<String> {
        self.formats.contains(&Format::Html).then(|| format!("{}.html", name::together(&self.only)))
    }
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
    /// How much is tried for the producer's answer.
    pub effort: Effort,
}

/// What was handed out.
#[derive(Debug)]
pub struct HandedOut {
    /// Every sheet, with its letter and its files.
    pub sheets: Vec<Written>,
    /// The file that holds all of them.
    pub together: Option<String>,
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

/// Makes the sheets and puts them into the folder: whole or not at all, each of them. Where they stand there as they
/// were made of this very plan, nothing is worked out again; so a search for the producer's answer that was
/// stopped by the clock comes to the same page twice. `go_on` is told how far that search is and asked whether to go
/// on.
///
/// # Errors
/// What is in the way and what to do; then no sheet was touched, or those that were are whole and the next
/// call goes on from there.
pub fn hand_out(
    source: Source<'_>,
    asked: &Asked,
    go_on: &mut dyn FnMut(&Progress) -> bool,
) -> Result<HandedOut, CallTrouble> {
    let before = register::read(&asked.to)?;
    if let Some(done) = as_handed_out(&before, source.text, asked) {
        return Ok(done);
    }
    let mut known = before.clone();
    let mut sheets = wanted(source, asked, go_on);
    let issued: Vec<Issued> = sheets.iter_mut().map(|sheet| known.issue(sheet, &asked.now)).collect();
    let stems = name::stems(&sheets);
    let (files, own) = files(source, asked, &sheets, &stems)?;
    folder::refuse_others(&asked.to, &before.files, &files)?;
    register::record(&mut known, &files);
    let left_over = left_over(source.network, &asked.to, &known);
    // Only where all of them are of one plan does the record say of which.
    let is_all = asked.only.is_empty() && asked.paper.is_none() && left_over.is_empty();
    known.made_from = is_all.then(|| register::made_from(source.text));
    let records =
        [register::written(&register::between(before.clone(), &files))?, register::written(&known)?];
    let new_files = folder::put(&asked.to, &files, (register::NAME, &records))?;
    let sheets = issued
        .into_iter()
        .zip(own)
        .map(|(issued, files)| Written { is_as_before: before.sheets.contains(&issued), issued, files })
        .collect();
    Ok(HandedOut { sheets, together: asked.together(), new_files, left_over })
}

/// What is there of this very plan, where all of it is as it was handed out.
fn as_handed_out(known: &Register, text: &str, asked: &Asked) -> Option<HandedOut> {
    if asked.paper.is_some() || known.made_from != Some(register::made_from(text)) {
        return None;
    }
    let written = |issued: &Issued| {
        let stem = name::stem(&issued.sheet, issued.setup.as_deref());
        let endings = asked.formats.iter().filter_map(|format| format.own_ending());
        let files = endings.map(|ending| format!("{stem}.{ending}")).collect();
        Written { issued: issued.clone(), is_as_before: true, files }
    };
    let sheets: Vec<Written> =
        known.sheets.iter().filter(|issued| asked.wants(&issued.sheet)).map(written).collect();
    let together = asked.together();
    let mut files = sheets.iter().flat_map(|sheet| &sheet.files).chain(&together);
    let is_whole = files.all(|name| folder::is_as_recorded(&asked.to, &known.files, name));
    let is_there = is_whole && !sheets.is_empty();
    is_there.then(|| HandedOut { sheets, together, new_files: 0, left_over: Vec::new() })
}

/// The sheets that are asked for, in the order in which a job needs them.
fn wanted(source: Source<'_>, asked: &Asked, go_on: &mut dyn FnMut(&Progress) -> bool) -> Vec<Sheet> {
    let Source { text, network, assessment, effort } = source;
    // The answer takes about as long as all the other sheets together.
    let (answer, around) = thread::scope(|scope| {
        let around = scope.spawn(|| sheets_around_the_answer(network, assessment, text));
        let answer = asked.wants(Kind::Generator.word()).then(|| generator(network, effort, go_on));
        (answer, around.join().unwrap_or_else(|panic| resume_unwind(panic)))
    });
    let [mut sheets, behind] = around;
    sheets.extend(answer.map(|answer| generator_sheet(network, &answer)));
    sheets.extend(behind);
    sheets.retain(|sheet| asked.wants(sheet.kind.word()));
    sheets
}

/// A file to be written.
#[derive(Debug)]
struct File {
    name: String,
    bytes: Vec<u8>,
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
    let endings: Vec<(Format, &str)> =
        asked.formats.iter().filter_map(|format| Some((*format, format.own_ending()?))).collect();
    let of_sheet = |(sheet, stem): (&Sheet, &String)| -> Result<Vec<File>, CallTrouble> {
        let file = |(format, ending): &(Format, &str)| {
            let bytes = match format {
                Format::Pdf => printed(sheet, &document)?,
                Format::Csv | Format::Html => sheet.to_csv().into_bytes(),
            };
            Ok(File { name: format!("{stem}.{ending}"), bytes })
        };
        endings.iter().map(file).collect()
    };
    let all: Vec<(&Sheet, &String)> = sheets.iter().zip(stems).collect();
    let together = asked.together();
    // The last job is the one file that holds all of them.
    let made =
        Cores.each(all.len() + usize::from(together.is_some()), |job| match (all.get(job), &together) {
            (Some(one), _) => of_sheet(*one),
            (None, Some(name)) => {
                Ok(vec![File { name: name.clone(), bytes: html(sheets, &document).into_bytes() }])
            }
            (None, None) => Ok(Vec::new()),
        });
    let made: Vec<Vec<File>> = made.into_iter().collect::<Result<_, _>>()?;
    let names = |files: &Vec<File>| files.iter().map(|file| file.name.clone()).collect();
    let own = made.iter().take(all.len()).map(names).collect();
    Ok((made.into_iter().flatten().collect(), own))
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
