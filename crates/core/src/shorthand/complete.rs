//! What a word that is being typed may become.

use std::ops::Range;

use super::form::{How, forms};
use super::lookup::candidates;
use super::{Context, Subject, engine, gear, socket, token, typed};
use crate::edit::Table;
use crate::file::schema::{Kind, SPECTRUM_WORDS, Target};
use crate::library::{RegionCode, library};
use crate::order::Order as _;
use crate::plan::Plan;

/// Most candidates that are offered.
const MOST: usize = 50;

/// What the word at the cursor may become.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Completion {
    /// What would be replaced, in bytes of the line.
    pub span: Range<usize>,
    /// With what: those that begin with it first, each once.
    pub words: Vec<String>,
}

/// What the word that ends at `cursor`, in bytes, may become. A cursor inside of a character counts
/// as before it.
#[must_use]
pub fn complete(plan: &Plan, subject: Subject, text: &str, cursor: usize) -> Completion {
    let mut cursor = cursor.min(text.len());
    while !text.is_char_boundary(cursor) {
        cursor -= 1;
    }
    let before = &text[..cursor];
    if before.chars().nth(super::LONGEST_LINE).is_some() {
        return Completion::default();
    }
    let tokens = token::tokens(before);
    let is_inside = tokens.last().is_some_and(|last| last.span.end == cursor);
    let (begun, done) = if is_inside { tokens.split_last() } else { None }
        .map_or((None, &*tokens), |(last, done)| (Some(last), done));
    let span = begun.map_or(cursor..cursor, |token| token.span.clone());
    let given = begun.map(|token| token.text.as_str()).unwrap_or_default();
    let (prefix, given) = match given.split_once('=') {
        Some((key, rest)) => (format!("{key}="), rest),
        None => (String::new(), given),
    };
    let leading = done.last().and_then(token::Token::word);
    let target =
        key_named(subject, prefix.trim_end_matches('=')).or_else(|| led_by(subject, leading.as_deref()?));
    let mut words = match target {
        Some(key) => of_key(plan, subject, key),
        None if prefix.is_empty() => {
            let ids = ids(plan, subject).into_iter().filter(|_| done.is_empty());
            ids.chain(of_line(plan, subject)).collect()
        }
        None => Vec::new(),
    };
    let wanted = given.to_lowercase();
    let mut seen = std::collections::HashSet::new();
    words.retain(|word| word.to_lowercase().contains(&wanted) && word != given && seen.insert(word.clone()));
    // Among those that begin alike the order of the plan stays.
    words.order_by_key(|word| !word.to_lowercase().starts_with(&wanted));
    words.truncate(MOST);
    let words = words.into_iter().map(|word| format!("{prefix}{}", typed(&word))).collect();
    Completion { span, words }
}

/// Every word that says something in a line of this kind.
pub(super) fn vocabulary(context: &Context<'_>) -> Vec<String> {
    of_line(context.plan, context.subject)
}

fn ids(plan: &Plan, subject: Subject) -> Vec<String> {
    let target = match subject.table() {
        Some(table) => engine::target_of(table),
        None => Target::Breakable,
    };
    candidates(plan, target).into_iter().map(|(id, _)| id.to_owned()).collect()
}

fn key_named(subject: Subject, name: &str) -> Option<&'static str> {
    subject.schema().key(name).map(|key| key.name)
}

/// The key whose value follows a word.
fn led_by(subject: Subject, word: &str) -> Option<&'static str> {
    forms(subject).iter().find_map(|form| match form.how {
        How::Led(words, key) if words.contains(&word) => Some(key),
        How::Own(_) => match word {
            "portable" if form.written.starts_with(word) => Some("portable_rcd"),
            "class" if form.written.starts_with("discharge") => Some("class"),
            _ => None,
        },
        _ => None,
    })
}

/// What a key may be.
fn of_key(plan: &Plan, subject: Subject, name: &str) -> Vec<String> {
    let Some(key) = subject.schema().key(name) else {
        return Vec::new();
    };
    match key.kind {
        Kind::Choice(words) => words.iter().map(|word| (*word).to_owned()).collect(),
        Kind::Spectrum => SPECTRUM_WORDS.iter().map(|word| (*word).to_owned()).collect(),
        Kind::Flag => ["yes", "no"].map(str::to_owned).into(),
        Kind::Id(target) | Kind::Ids(target, _) => named(plan, target),
        Kind::BaseLoads => base_loads(plan),
        _ => Vec::new(),
    }
}

fn base_loads(plan: &Plan) -> Vec<String> {
    let loads = plan.circuits.iter().flat_map(|(circuit, one)| {
        let names = one.base.iter().filter_map(|load| load.name.as_deref());
        names.map(move |name| format!("{circuit}.{name}"))
    });
    loads.collect()
}

/// Ids, and names that are not the same: of the region where that narrows them.
fn named(plan: &Plan, target: Target) -> Vec<String> {
    if target == Target::Outlet {
        return outlets(plan.location.region);
    }
    let mut words = Vec::new();
    for (id, name) in candidates(plan, target) {
        words.push(id.to_owned());
        words.extend(name.map(ToOwned::to_owned));
    }
    words
}

fn outlets(region: Option<RegionCode>) -> Vec<String> {
    let here = library().outlets.iter().filter(|(_, outlet)| {
        region.is_none_or(|region| outlet.regions.is_empty() || outlet.regions.contains(&region))
    });
    here.map(|(id, _)| id.to_string()).collect()
}

fn of_line(plan: &Plan, subject: Subject) -> Vec<String> {
    if subject == Subject::Trace {
        let words = ["off", "dropped", "dead", "live"].map(str::to_owned);
        return named(plan, Target::Socket)
            .into_iter()
            .chain(named(plan, Target::Breakable))
            .chain(words)
            .collect();
    }
    let mut words: Vec<String> = Vec::new();
    for form in forms(subject) {
        match form.how {
            How::Ref(key) | How::Item(key) => words.extend(of_key(plan, subject, key)),
            How::Words(key, synonyms) => {
                words.extend(of_key(plan, subject, key));
                words.extend(synonyms.iter().map(|(word, _)| (*word).to_owned()));
            }
            How::Flag(_, own) | How::Led(own, _) => words.extend(own.iter().map(|word| (*word).to_owned())),
            _ => {}
        }
    }
    match subject {
        Subject::Entry(Table::Socket) => {
            words.extend(socket::outcome_words(plan.location.region));
            words.extend(["label", "plate", "portable", "ban", "ramp"].map(str::to_owned));
        }
        Subject::Ramp => words.extend(["ok", "trip", "off", "dropped", "on"].map(str::to_owned)),
        Subject::Entry(Table::Head) => words.extend(gear::class_words()),
        Subject::Entry(Table::Cable) => words.extend(["reel", "awg"].map(str::to_owned)),
        Subject::Entry(Table::Circuit) => words.extend(["base", "clamp", "hours"].map(str::to_owned)),
        Subject::Entry(Table::Setup) => words.extend(["all", "none"].map(str::to_owned)),
        _ => {}
    }
    words
}
