//! Two texts that came of one, made into one again: entry by entry, so that whoever changed another entry
//! than we did loses nothing, and neither do we.
//!
//! A text is taken apart at its headers. What belongs to one entry, `[head.A]` and `[head.A.x]` say, is one
//! part, with the comments above it; what stands before the first header is a part as well. An element
//! of a list, a `[[trip]]` say, is known by what it says: whoever adds one adds it beside those of others.

use std::collections::{HashMap, HashSet};
use std::ops::Range;

use super::tree::{self, Tree, Value};

/// Whose words stand where both changed the same part.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// Those in hand.
    Mine,
    /// Those of whoever else wrote the file.
    Theirs,
}

/// A part that both changed, each in another way. Texts are without the white space around them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Clash {
    /// What it is, as its header says it, `head.A`; for what stands before the first header [`BEGINNING`],
    /// for a text that cannot be taken apart [`WHOLE`].
    pub name: String,
    /// What stood there before; `None`: nothing did.
    pub before: Option<String>,
    /// What stands there in hand; `None`: it was taken out.
    pub mine: Option<String>,
    /// What stands there elsewhere; `None`: it was taken out.
    pub theirs: Option<String>,
}

/// The name of what stands before the first header.
pub const BEGINNING: &str = "the beginning of the file";
/// The name of a whole text, where it cannot be taken apart.
pub const WHOLE: &str = "the whole file";

/// Makes one text of `mine` and `theirs`, which both came of `before`. A part that one of them changed is
/// as that one has it; what both changed in different ways is as `choose` says, which is given its name.
///
/// What nobody changed keeps the order and the white space of `theirs`.
///
/// # Errors
/// What both changed and `choose` says nothing of, in the order of `mine`, then of `theirs`.
pub fn merge(
    before: &str,
    mine: &str,
    theirs: &str,
    choose: &dyn Fn(&str) -> Option<Side>,
) -> Result<String, Vec<Clash>> {
    if theirs == before || theirs == mine {
        return Ok(mine.to_owned());
    }
    if mine == before {
        return Ok(theirs.to_owned());
    }
    let apart = [before, mine, theirs].map(Apart::of);
    let [Some(before_parts), Some(mine_parts), Some(mut theirs_parts)] = apart else {
        return whole(before, mine, theirs, choose);
    };
    let mut clashes = Vec::new();
    let mut taken = Vec::new();
    for key in keys(&mine_parts, &theirs_parts, &before_parts) {
        let [before, mine, theirs] = [&before_parts, &mine_parts, &theirs_parts].map(|parts| parts.said(key));
        if mine == before || mine == theirs {
            continue;
        }
        if theirs == before {
            taken.push(key.clone());
            continue;
        }
        match choose(&key.name()) {
            Some(Side::Mine) => taken.push(key.clone()),
            Some(Side::Theirs) => {}
            None => clashes.push(Clash {
                name: key.name(),
                before: before.map(str::to_owned),
                mine: mine.map(str::to_owned),
                theirs: theirs.map(str::to_owned),
            }),
        }
    }
    if !clashes.is_empty() {
        return Err(clashes);
    }
    for key in taken {
        theirs_parts.take(&key, &mine_parts);
    }
    Ok(theirs_parts.text())
}

/// A part that one text has otherwise than another. Texts are without the white space around them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Difference {
    /// As that of a [`Clash`].
    pub name: String,
    /// What one text says there; `None`: nothing.
    pub one: Option<String>,
    /// What the other says there; `None`: nothing.
    pub other: Option<String>,
}

/// What one text has otherwise than the other, part by part, in the order of the other.
#[must_use]
pub fn differences(one: &str, other: &str) -> Vec<Difference> {
    if one == other {
        return Vec::new();
    }
    let (Some(ones), Some(others)) = (Apart::of(one), Apart::of(other)) else {
        let [one, other] = [one, other].map(|text| Some(text.to_owned()));
        return vec![Difference { name: WHOLE.to_owned(), one, other }];
    };
    let differs = |key: &Key| {
        let [one, other] = [&ones, &others].map(|parts| parts.said(key).map(str::to_owned));
        (one != other).then(|| Difference { name: key.name(), one, other })
    };
    keys(&others, &ones, &ones).into_iter().filter_map(differs).collect()
}

fn whole(
    before: &str,
    mine: &str,
    theirs: &str,
    choose: &dyn Fn(&str) -> Option<Side>,
) -> Result<String, Vec<Clash>> {
    match choose(WHOLE) {
        Some(Side::Mine) => Ok(mine.to_owned()),
        Some(Side::Theirs) => Ok(theirs.to_owned()),
        None => Err(vec![Clash {
            name: WHOLE.to_owned(),
            before: Some(before.to_owned()),
            mine: Some(mine.to_owned()),
            theirs: Some(theirs.to_owned()),
        }]),
    }
}

/// Every key once: those of `mine` in its order, then those that only the others have.
fn keys<'p>(mine: &'p Apart<'_>, theirs: &'p Apart<'_>, before: &'p Apart<'_>) -> Vec<&'p Key> {
    let mut seen = HashSet::new();
    let all = [mine, theirs, before].into_iter().flat_map(|parts| parts.parts.iter().map(|(key, _)| key));
    all.filter(|key| seen.insert(*key)).collect()
}

/// What a part is.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
enum Key {
    /// What stands before the first header.
    Beginning,
    /// What is under the headers that begin with these names, two at most.
    Table(Vec<String>),
    /// An element of the list of this name that says this, and is the n-th that does.
    Element(String, String, usize),
}

impl Key {
    fn name(&self) -> String {
        match self {
            Self::Beginning => BEGINNING.to_owned(),
            Self::Table(path) => path.join("."),
            Self::Element(list, _, _) => list.clone(),
        }
    }
}

/// A text taken apart.
#[derive(Debug)]
struct Apart<'t> {
    /// In the order of the text.
    parts: Vec<(Key, &'t str)>,
    places: HashMap<Key, &'t str>,
    /// Parts that were taken over from another text.
    taken: HashSet<Key>,
}

impl<'t> Apart<'t> {
    /// Takes a text apart; `None` where it is no TOML, or one entry stands in several places.
    fn of(text: &'t str) -> Option<Self> {
        let (tree, complaints) = tree::tree(text);
        if !complaints.is_empty() {
            return None;
        }
        let mut parts: Vec<(Key, Range<usize>)> = vec![(Key::Beginning, 0..0)];
        let mut said: HashMap<(String, String), usize> = HashMap::new();
        for (at, header) in tree.headers.iter().enumerate() {
            let start = with_comment(text, header.start, parts.last().map_or(0, |(_, part)| part.start));
            let next = tree.headers.get(at + 1).map_or(text.len(), |next| next.start);
            let end = if next < text.len() { with_comment(text, next, header.end) } else { next };
            if let Some((_, last)) = parts.last_mut() {
                last.end = start;
            }
            let path = path(&text[header.clone()])?;
            let list = is_list(&tree, &path).then(|| path.first().cloned()).flatten();
            let is_element = list.is_some() && text[header.clone()].starts_with("[[");
            let key = match list {
                Some(list) if is_element => {
                    let words = text[start..end].trim().to_owned();
                    let times = said.entry((list.clone(), words.clone())).or_default();
                    *times += 1;
                    Key::Element(list, words, *times)
                }
                // What is under an element goes with it, and it with the list.
                Some(_) => return None,
                None => Key::Table(path.into_iter().take(2).collect()),
            };
            match parts.last_mut() {
                Some((own, range)) if *own == key => range.end = next,
                _ => parts.push((key, start..next)),
            }
        }
        if let Some((_, last)) = parts.last_mut() {
            last.end = text.len();
        }
        let parts: Vec<(Key, &str)> = parts.into_iter().map(|(key, range)| (key, &text[range])).collect();
        let places: HashMap<Key, &str> = parts.iter().cloned().collect();
        (places.len() == parts.len()).then_some(Self { parts, places, taken: HashSet::new() })
    }

    /// What a part says, without the white space around it; `None` where there is none, or nothing in it.
    fn said(&self, key: &Key) -> Option<&'t str> {
        self.places.get(key).map(|text| text.trim()).filter(|said| !said.is_empty())
    }

    /// Takes a part over as another text has it: its words, its place where it is new, or that it is gone.
    fn take(&mut self, key: &Key, from: &Apart<'t>) {
        let at = self.parts.iter().position(|(own, _)| own == key);
        self.taken.insert(key.clone());
        match (at, from.places.get(key)) {
            (Some(at), Some(part)) => self.parts[at].1 = part,
            (Some(at), None) => drop(self.parts.remove(at)),
            (None, Some(part)) => {
                let before = from.parts.iter().take_while(|(other, _)| other != key);
                let behind =
                    before.filter_map(|(other, _)| self.parts.iter().position(|(own, _)| own == other));
                let at = behind.last().map_or(self.parts.len(), |at| at + 1);
                self.parts.insert(at, (key.clone(), part));
            }
            (None, None) => {}
        }
    }

    /// One text again. Where parts of both texts meet, a line without anything is between them.
    fn text(&self) -> String {
        let mut text = String::new();
        let mut was_taken = false;
        for (key, part) in &self.parts {
            let is_taken = self.taken.contains(key);
            if (is_taken || was_taken) && !text.is_empty() && !part.is_empty() {
                if !text.ends_with('\n') {
                    text.push('\n');
                }
                let begins_empty = part.lines().next().is_some_and(|line| line.trim().is_empty());
                if !begins_empty && !ends_with_empty_line(&text) {
                    text.push('\n');
                }
            }
            text.push_str(part);
            was_taken = is_taken;
        }
        text
    }
}

fn ends_with_empty_line(text: &str) -> bool {
    text.strip_suffix('\n')
        .is_some_and(|above| above.rsplit('\n').next().is_none_or(|line| line.trim().is_empty()))
}

/// Where that begins which goes with the header at `place`: the comments and empty lines above it, but for a
/// comment that follows right upon what stands there before. Nothing before `from` belongs to it.
fn with_comment(text: &str, place: usize, from: usize) -> usize {
    let (mut start, mut first_empty) = (place, None);
    while let Some(above) = text[from..start].strip_suffix('\n') {
        let line = above.rfind('\n').map_or(from, |end| from + end + 1);
        let said = text[line..start].trim();
        if line <= from || !(said.is_empty() || said.starts_with('#')) {
            break;
        }
        start = line;
        if said.is_empty() {
            first_empty = Some(line);
        }
    }
    first_empty.unwrap_or(start)
}

/// The names in a header.
fn path(header: &str) -> Option<Vec<String>> {
    let (tree, complaints) = tree::tree(header);
    let mut path = Vec::new();
    let mut table = tree.root();
    while let Some((name, entry)) = table.entries.first() {
        path.push(name.to_string());
        table = match &entry.item.value {
            Value::Table(index) => tree.table(*index),
            Value::Tables(all) => tree.table(*all.first()?),
            _ => return None,
        };
    }
    (complaints.is_empty() && !path.is_empty()).then_some(path)
}

/// Whether the first name of a header is a list of tables.
fn is_list(tree: &Tree<'_>, path: &[String]) -> bool {
    let first = path.first().and_then(|name| tree.root().entries.get(name.as_str()));
    first.is_some_and(|entry| matches!(entry.item.value, Value::Tables(_)))
}
