//! Texts of codes put together again.

use std::collections::BTreeMap;
use std::fmt;

use super::checksum;

/// Why texts are not one whole issue.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Unread {
    /// There is no text at all.
    Nothing,
    /// The text at this place of those given, from 0, is none of these codes.
    NotOne(usize),
    /// The text at this place, from 0, is of another issue or another setup than the first.
    OtherIssue(usize),
    /// Codes that are missing, from 1.
    Missing(Vec<usize>),
    /// Letters were lost or changed: the checksum is another one.
    Altered,
}

impl fmt::Display for Unread {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Nothing => write!(formatter, "no code was read; read each of them"),
            Self::NotOne(at) => write!(formatter, "text {} is no code of a patch", at + 1),
            Self::OtherIssue(at) => {
                write!(formatter, "text {} is of another issue or setup; read all codes of one sheet", at + 1)
            }
            Self::Missing(places) => {
                let places: Vec<String> = places.iter().map(ToString::to_string).collect();
                write!(formatter, "read these as well: {}", places.join(", "))
            }
            Self::Altered => write!(formatter, "a text is not as it was printed; read the codes again"),
        }
    }
}

impl std::error::Error for Unread {}

struct Heading<'a> {
    name: &'a str,
    place: usize,
    count: usize,
    sum: &'a str,
}

impl<'a> Heading<'a> {
    /// `None` where the line is no heading. The name may hold commas, so it is read from its end.
    fn of(line: &'a str) -> Option<Self> {
        let (rest, sum) = line.rsplit_once(", issue ")?;
        let (name, places) = rest.rsplit_once(", ")?;
        let (place, count) = places.split_once('/')?;
        let (place, count) = (place.parse().ok()?, count.parse().ok()?);
        (place >= 1 && place <= count).then_some(Self { name, place, count, sum })
    }
}

/// The lines of an issue from the texts of its codes, in any order; the same text twice is no harm.
///
/// # Errors
///
/// Says which text is of another issue, which are missing, or that one was altered.
pub fn read_back(texts: &[impl AsRef<str>]) -> Result<Vec<String>, Unread> {
    let mut issue: Option<Heading<'_>> = None;
    let mut parts: BTreeMap<usize, Vec<&str>> = BTreeMap::new();
    for (at, text) in texts.iter().enumerate() {
        let mut lines = text.as_ref().split('\n');
        let heading = lines.next().and_then(Heading::of).ok_or(Unread::NotOne(at))?;
        let part: Vec<&str> = lines.collect();
        let first = issue.get_or_insert(Heading { ..heading });
        if (first.name, first.count, first.sum) != (heading.name, heading.count, heading.sum) {
            return Err(Unread::OtherIssue(at));
        }
        if parts.insert(heading.place, part.clone()).is_some_and(|before| before != part) {
            return Err(Unread::Altered);
        }
    }
    let issue = issue.ok_or(Unread::Nothing)?;
    // As many as are there tell what is missing; a count that was altered must not fill the memory.
    let missing: Vec<usize> =
        (1..=issue.count).filter(|place| !parts.contains_key(place)).take(MOST_TOLD).collect();
    if !missing.is_empty() {
        return Err(Unread::Missing(missing));
    }
    let lines: Vec<String> = parts.into_values().flatten().map(str::to_owned).collect();
    if checksum(issue.name, &lines) == issue.sum { Ok(lines) } else { Err(Unread::Altered) }
}

/// Missing codes that are named at most.
const MOST_TOLD: usize = 99;
