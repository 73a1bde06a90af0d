//! What is wrong with a plan file, where, and how to mend it.

use std::ops::Range;

use super::inert::inert;
use crate::order::Order as _;

/// Problems beyond these are counted, not told.
const MOST_PROBLEMS: usize = 500;

/// The code of every diagnostic, in the order of the alphabet.
pub const CODES: [&str; 42] = [
    "ambiguous-reference",
    "amps-and-watts",
    "bad-id",
    "bad-time",
    "base-load-twice",
    "cable-and-block",
    "control-character",
    "dead-and-live",
    "duplicate-id",
    "duplicate-key",
    "leads-without-socket",
    "line-missing",
    "line-not-there",
    "listed-twice",
    "loop",
    "missing-key",
    "more-problems",
    "names-itself",
    "not-finite",
    "not-whole",
    "out-of-range",
    "ramp-order",
    "range-reversed",
    "size-twice",
    "supply-and-from",
    "syntax",
    "text-too-long",
    "too-deep",
    "too-large",
    "too-many-entries",
    "two-devices",
    "unknown-base-load",
    "unknown-class",
    "unknown-key",
    "unknown-outlet",
    "unknown-reference",
    "unknown-table",
    "unknown-word",
    "version-later",
    "version-missing",
    "wrong-count",
    "wrong-type",
];

/// One thing that is wrong with a plan file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Problem {
    /// Stable kebab-case id of the diagnostic: one of [`CODES`].
    pub code: &'static str,
    /// How much it matters.
    pub gravity: Gravity,
    /// Where: bytes of the text.
    pub span: Range<usize>,
    /// The other end, where there are two, and what stands there.
    pub also: Option<(Range<usize>, String)>,
    /// What is wrong.
    pub message: String,
    /// What to do about it.
    pub remedy: String,
}

impl Problem {
    /// The same in a text that has `bytes` more before it.
    pub(super) fn behind(self, bytes: usize) -> Self {
        self.moved(|place| place.start + bytes..place.end + bytes)
    }

    /// The same in a text in which every place is another.
    pub(super) fn moved(mut self, moved: impl Fn(Range<usize>) -> Range<usize>) -> Self {
        self.span = moved(self.span);
        self.also = self.also.map(|(place, what)| (moved(place), what));
        self
    }
}

/// How much a problem matters.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Gravity {
    /// Worth knowing; the plan is good.
    Note,
    /// Written for a later version of the program: to look at, not to change.
    LaterVersion,
    /// The plan is wrong here.
    Error,
}

/// Problems as they are found, up to a bound.
#[derive(Debug, Default)]
pub(super) struct Problems {
    found: Vec<Problem>,
    untold: usize,
}

impl Problems {
    /// Notes an error. `told` is only called while there is room.
    pub fn error(&mut self, code: &'static str, span: Range<usize>, told: impl FnOnce() -> Told) {
        self.add(code, Gravity::Error, span, told);
    }

    /// Notes a problem of any gravity.
    pub fn add(
        &mut self,
        code: &'static str,
        gravity: Gravity,
        span: Range<usize>,
        told: impl FnOnce() -> Told,
    ) {
        debug_assert!(CODES.contains(&code), "{code} is not listed");
        if self.found.len() >= MOST_PROBLEMS {
            self.untold += 1;
            return;
        }
        let Told { message, remedy, also } = told();
        self.found.push(Problem { code, gravity, span, also, message, remedy });
    }

    /// All that were noted, in the order of the text.
    pub fn in_order(mut self) -> Vec<Problem> {
        self.found.order_by_key(|problem| problem.span.start);
        if let (true, Some(last)) = (self.untold > 0, self.found.last()) {
            let span = last.span.clone();
            self.found.push(Problem {
                code: "more-problems",
                gravity: Gravity::Error,
                span,
                also: None,
                message: format!("{} more problems are not listed", self.untold),
                remedy: "Mend the ones above first, then look again.".to_owned(),
            });
        }
        self.found
    }
}

/// The words of a problem.
#[derive(Debug)]
pub(super) struct Told {
    message: String,
    remedy: String,
    also: Option<(Range<usize>, String)>,
}

/// The words of a problem at one place.
pub(super) fn told(message: impl AsRef<str>, remedy: impl AsRef<str>) -> Told {
    Told { message: readable(message), remedy: readable(remedy), also: None }
}

impl Told {
    /// Names the other end.
    pub fn and(mut self, place: Range<usize>, what: impl AsRef<str>) -> Self {
        self.also = Some((place, readable(what)));
        self
    }
}

/// Words that are told, which may name what a stranger wrote as it stands there: no longer than a person reads, and with
/// nothing in them that a terminal acts on.
pub(crate) fn readable(words: impl AsRef<str>) -> String {
    const LONGEST: usize = 600;
    cut(words.as_ref(), LONGEST)
}

/// The user's own text inside a message: short, and with nothing in it that a terminal acts on.
pub(crate) fn quoted(text: &str) -> String {
    const LONGEST: usize = 40;
    format!("`{}`", cut(text, LONGEST))
}

/// The beginning of a text, inert, with a mark where something is left out.
fn cut(text: &str, longest: usize) -> String {
    match text.char_indices().nth(longest) {
        Some((end, _)) => format!("{}…", inert(&text[..end])),
        None => inert(text),
    }
}
