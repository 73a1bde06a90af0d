//! One line an entry: read as it is typed, with an echo of what was understood.
//!
//! `G3 dining 2x10 ok r15/20 p2?` is a socket: room, ways and amps, outcome of the tester, ramp held
//! and tripped, and a circuit that the wall says and nobody traced. Order is free; what the line does
//! not say stays unknown. [`forms`] is the grammar, part by part.

mod circuit;
mod complete;
mod current;
mod engine;
mod finish;
mod form;
mod gear;
mod lookup;
mod place;
mod ramp;
mod setup;
mod socket;
mod token;
mod trace;
mod value;
mod write;

use std::ops::Range;

pub use complete::{Completion, complete};
pub use form::{Form, forms};
pub use write::write;

use crate::edit::{Address, Edit, Log, Refusal, Table, Value};
use crate::file::schema::{self, TableSchema, Target};
use crate::file::{quoted, readable};
use crate::plan::Plan;
use token::Token;

/// Longest line that is read, in characters.
pub const LONGEST_LINE: usize = 2000;

/// A ramp test as a line says it: `r15/20 off P2.fridge >RA on D,E`.
pub(crate) fn ramp_words(plan: &Plan, test: &crate::plan::Ramp) -> String {
    write::ramp(plan, &current::ramp(test))
}

/// What a line is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Subject {
    /// An entry of a table.
    Entry(Table),
    /// One more ramp test at a socket that is there.
    Ramp,
    /// What went dark when something was switched off.
    Trace,
}

impl Subject {
    /// Every one, in the order of a survey.
    pub const ALL: [Self; 12] = [
        Self::Entry(Table::Supply),
        Self::Entry(Table::Rcd),
        Self::Entry(Table::Circuit),
        Self::Entry(Table::Floor),
        Self::Entry(Table::Room),
        Self::Entry(Table::Socket),
        Self::Ramp,
        Self::Trace,
        Self::Entry(Table::Head),
        Self::Entry(Table::Cable),
        Self::Entry(Table::Block),
        Self::Entry(Table::Setup),
    ];

    /// What one of it is called.
    #[must_use]
    pub fn noun(self) -> &'static str {
        match self {
            Self::Entry(table) => table.noun(),
            Self::Ramp => "ramp test",
            Self::Trace => "trace",
        }
    }

    fn schema(self) -> &'static TableSchema {
        match self {
            Self::Entry(table) => table.schema(),
            Self::Ramp => &schema::SOCKET,
            Self::Trace => &schema::TRACE,
        }
    }

    /// The table of its entries' ids.
    const fn table(self) -> Option<Table> {
        match self {
            Self::Entry(table) => Some(table),
            Self::Ramp => Some(Table::Socket),
            Self::Trace => None,
        }
    }
}

/// Whether a line makes an entry or changes one.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Status {
    /// It makes one of this id; `None`: it does not say the id yet, or a trace, which has none.
    New(Option<String>),
    /// It changes the one of this id, or leaves it as it is.
    Existing(String),
}

/// A part of a line that was understood.
#[derive(Clone, Debug, PartialEq)]
pub struct Part {
    /// Where it stands, in bytes of the line.
    pub span: Range<usize>,
    /// What it was understood as: "2 ways of 10 A (au-10)".
    pub meaning: String,
    /// What looks like a slip although it may be so.
    pub doubt: Option<String>,
    /// The keys that it gives.
    pub keys: Vec<&'static str>,
}

/// A part of a line that was not understood, or that cannot be.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Misread {
    /// Where it stands, in bytes of the line.
    pub span: Range<usize>,
    /// Why.
    pub why: String,
    /// What was probably meant, as it may be typed instead, the likeliest first.
    pub suggestions: Vec<String>,
    /// What could be added first, if it is really there: never done silently.
    pub offer: Option<Offer>,
}

/// An entry that a line names and that is not there: how its own line would begin.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Offer {
    /// What it would be.
    pub subject: Subject,
    /// The beginning of its line.
    pub line: String,
}

/// What a line still has to say.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Missing {
    /// What: "the room".
    pub what: String,
    /// An example of it.
    pub example: String,
}

/// A line as far as it was understood.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// What it is about.
    pub subject: Subject,
    /// Whether it is a new one.
    pub status: Status,
    /// What was understood, in the order of the line.
    pub parts: Vec<Part>,
    /// What was not, in the order of the line.
    pub misread: Vec<Misread>,
    /// What it still has to say to be a whole entry.
    pub missing: Vec<Missing>,
    /// All that the line says, key by key.
    assigned: Vec<(&'static str, Option<Value>)>,
    /// What that changes.
    changes: Vec<(&'static str, Option<Value>)>,
    /// What stood there before, in words, for each of the changes.
    before: Vec<Option<String>>,
    /// Where the entry is, or will be.
    address: Option<Address>,
}

/// Reads a line about `subject` in a plan. It never fails: what was not understood is in the line.
#[must_use]
pub fn read(plan: &Plan, subject: Subject, text: &str) -> Line {
    if text.chars().nth(LONGEST_LINE).is_some() {
        let why = format!("the line is longer than {LONGEST_LINE} characters");
        let wrong = Wrong::new(0, why).at(0..text.len());
        return Line {
            subject,
            status: Status::New(None),
            parts: Vec::new(),
            misread: vec![wrong],
            missing: Vec::new(),
            assigned: Vec::new(),
            changes: Vec::new(),
            before: Vec::new(),
            address: None,
        };
    }
    let tokens = token::tokens(text);
    match subject {
        Subject::Trace => trace::read(plan, &tokens),
        _ => engine::read(plan, subject, &tokens),
    }
}

impl Line {
    /// Whether it can be entered: all understood, nothing missing.
    #[must_use]
    pub fn is_whole(&self) -> bool {
        self.misread.is_empty() && self.missing.is_empty()
    }

    /// All that the line says, key by key; `None`: the key goes out.
    pub(crate) fn assigned(&self) -> &[(&'static str, Option<Value>)] {
        &self.assigned
    }

    /// What the line does, in one sentence.
    #[must_use]
    pub fn echo(&self) -> String {
        let mut sentence = self.beginning();
        let id = self.parts.iter().find(|part| part.keys == ["id"]);
        if let Some(doubt) = id.and_then(|part| part.doubt.as_deref()) {
            sentence.push_str(" (");
            sentence.push_str(doubt);
            sentence.push(')');
        }
        let rest = self.parts.iter().filter(|part| part.keys != ["id"] && !part.meaning.is_empty());
        let meanings: Vec<String> = rest.map(meaning).collect();
        if !meanings.is_empty() {
            sentence.push_str(": ");
            sentence.push_str(&meanings.join(", "));
        }
        let was: Vec<&str> = self.before.iter().flatten().map(String::as_str).collect();
        if !was.is_empty() {
            sentence.push_str("; was ");
            sentence.push_str(&was.join(", "));
        }
        if self.is_whole() && self.changes.is_empty() {
            sentence.push_str("; nothing changes");
        }
        if let Some(first) = self.misread.first() {
            sentence.push_str("; not understood: ");
            sentence.push_str(&first.told());
        }
        if !self.missing.is_empty() {
            let missing: Vec<&str> = self.missing.iter().map(|missing| missing.what.as_str()).collect();
            sentence.push_str("; still missing: ");
            sentence.push_str(&missing.join(", "));
        }
        sentence.push('.');
        sentence
    }

    fn beginning(&self) -> String {
        let noun = self.subject.noun();
        match &self.status {
            Status::New(Some(id)) => format!("New {noun} {id}"),
            Status::New(None) => format!("New {noun}"),
            Status::Existing(id) if self.subject == Subject::Ramp => format!("Ramp test at socket {id}"),
            Status::Existing(id) if self.subject == Subject::Trace => format!("Trace {id}"),
            Status::Existing(id) => {
                let mut noun = noun.to_owned();
                noun.get_mut(..1).map(str::make_ascii_uppercase);
                format!("{noun} {id}")
            }
        }
    }

    /// The line as one step that can be undone.
    ///
    /// # Errors
    ///
    /// A [`Refusal`] where a part was not understood or something is missing; its span is in the line.
    pub fn edit(&self) -> Result<Edit, Refusal> {
        if let Some(first) = self.misread.first() {
            return Err(Refusal {
                message: first.why.clone(),
                remedy: first.remedy(),
                span: Some(first.span.clone()),
            });
        }
        let missing = self.missing.first();
        let (Some(of), None) = (&self.address, missing) else {
            let (what, example) =
                missing.map_or(("the id", "G3"), |missing| (&*missing.what, &*missing.example));
            return Err(Refusal {
                message: format!("the line does not say {what}"),
                remedy: format!("Add it, like {example}."),
                span: None,
            });
        };
        let label = match &self.status {
            Status::New(Some(id)) => format!("Add {} {id}", self.subject.noun()),
            Status::New(None) => format!("Add {}", self.subject.noun()),
            Status::Existing(_) if self.subject == Subject::Ramp => format!("Add a ramp test at {of}"),
            Status::Existing(_) => format!("Change {of}"),
        };
        Ok(Edit::Many { edits: self.edits(of), label })
    }

    fn edits(&self, of: &Address) -> Vec<Edit> {
        if matches!(self.status, Status::New(_)) {
            let given =
                self.changes.iter().filter_map(|(key, value)| Some(((*key).to_owned(), value.clone()?)));
            return vec![Edit::AddEntry { of: of.clone(), keys: given.collect() }];
        }
        // What goes out goes first, so that no two keys that exclude each other ever stand together.
        let (out, in_): (Vec<_>, Vec<_>) = self.changes.iter().partition(|(_, value)| value.is_none());
        out.into_iter()
            .chain(in_)
            .map(|(key, value)| Edit::SetKey { of: of.clone(), key: (*key).to_owned(), value: value.clone() })
            .collect()
    }
}

fn meaning(part: &Part) -> String {
    match &part.doubt {
        Some(doubt) => format!("{} ({doubt})", part.meaning),
        None => part.meaning.clone(),
    }
}

impl Misread {
    /// What to do about it, in a sentence.
    #[must_use]
    pub fn remedy(&self) -> String {
        let offer = self.offer.as_ref().map(|offer| {
            format!("If it is there, add it first, as a {}: {}.", offer.subject.noun(), offer.line)
        });
        let meant = match self.suggestions.as_slice() {
            [] => None,
            [all @ .., last] if !all.is_empty() => {
                Some(format!("Did you mean {} or {last}?", all.join(", ")))
            }
            [last, ..] => Some(format!("Did you mean {last}?")),
        };
        match (meant, offer) {
            (None, None) => "Write it in another way, or take it out.".to_owned(),
            (meant, offer) => {
                let all: Vec<String> = meant.into_iter().chain(offer).collect();
                readable(all.join(" "))
            }
        }
    }

    fn told(&self) -> String {
        if self.suggestions.is_empty() && self.offer.is_none() {
            return self.why.clone();
        }
        format!("{} ({})", self.why, self.remedy().trim_end_matches('.'))
    }
}

/// What a line is read with.
struct Context<'p> {
    plan: &'p Plan,
    subject: Subject,
    schema: &'static TableSchema,
    tokens: &'p [Token],
    /// Which of the words is the id.
    id_at: Option<usize>,
    /// The entry that is there already.
    existing: Option<&'p str>,
}

/// What a form makes of the words at one place.
enum Found {
    /// They are not its own.
    No,
    /// Understood.
    Read(Taken),
    /// Its own, but wrong.
    Bad(Wrong),
}

/// What a form took.
#[derive(Clone, Debug)]
struct Taken {
    tokens: usize,
    meaning: String,
    doubt: Option<String>,
    sets: Vec<(&'static str, Set)>,
}

/// What a part does to a key.
#[derive(Clone, Debug, PartialEq)]
enum Set {
    /// Gives it.
    To(Value),
    /// Takes it out.
    Clear,
    /// One more of a list that the line says whole.
    Item(Value),
    /// One more than the list has.
    With(Value),
    /// One less than the list has.
    Without(Value),
    /// Width and depth of a box.
    Size(f64, f64),
    /// The corner of a box.
    Corner(f64, f64),
}

/// Why words are wrong.
#[derive(Clone, Debug)]
struct Wrong {
    tokens: usize,
    why: String,
    suggestions: Vec<String>,
    offer: Option<Offer>,
}

impl Wrong {
    fn new(tokens: usize, why: String) -> Self {
        Self { tokens, why, suggestions: Vec::new(), offer: None }
    }

    fn or_nearest(mut self, near: Option<&str>) -> Self {
        self.suggestions.extend(near.map(typed));
        self
    }

    /// Says how what is missing would be added, where a line can do so.
    fn offering(mut self, target: Target, given: &str) -> Self {
        let table = Table::ALL.into_iter().find(|table| target.tables() == [table.name()]);
        if let Some(table) = table.filter(|_| crate::file::is_id(given)) {
            self.offer = Some(Offer { subject: Subject::Entry(table), line: given.to_owned() });
        }
        self
    }

    fn at(self, span: Range<usize>) -> Misread {
        Misread { span, why: readable(self.why), suggestions: self.suggestions, offer: self.offer }
    }
}

impl Taken {
    fn new(tokens: usize, meaning: String, sets: Vec<(&'static str, Set)>) -> Self {
        Self { tokens, meaning, doubt: None, sets }
    }
}

/// A word as it may be typed: in quotes where it would fall apart without.
fn typed(word: &str) -> String {
    let is_plain =
        !word.is_empty() && word.chars().all(|c| c.is_alphanumeric() || matches!(c, '-' | '_' | '.' | '/'));
    if is_plain { word.to_owned() } else { format!("\"{}\"", word.replace('"', "\"\"")) }
}

/// The address of a new entry of a log.
const fn logged(log: Log, at: usize) -> Address {
    Address::Nth(log, at)
}

/// A user's word in a sentence.
fn shown(word: &str) -> String {
    quoted(word)
}
