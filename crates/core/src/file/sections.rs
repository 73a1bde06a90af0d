//! Entries of a plan read again, where a change of the text lies within what is their own.
//!
//! Most edits touch one entry, and reading a large plan anew for it takes longer than a hand waits. What is
//! read here is what [`super::parse`] would read, or nothing is.

use std::ops::{Range, RangeInclusive};

use super::check::{BaseLoadReference, Reading, Reference, is_id};
use super::entry::{Entries, Entry};
use super::problem::{Gravity, Problem, Problems};
use super::schema::{
    BLOCK, CABLE, CIRCUIT, FLOOR, HEAD, LARGEST_FILE, MOST_ENTRIES, RCD, ROOM, SETUP, SOCKET, SUPPLY, Target,
};
use super::tree::{self, Origin, TableIndex, Tree, Value};
use super::{across, first_line_too_many, read, reference};
use crate::edit::{Change, Splice};
use crate::plan::Plan;

/// Tables whose entries have ids.
const TABLES: [&str; 10] = [
    SUPPLY.name,
    RCD.name,
    CIRCUIT.name,
    FLOOR.name,
    ROOM.name,
    SOCKET.name,
    HEAD.name,
    CABLE.name,
    BLOCK.name,
    SETUP.name,
];

/// Where each entry stands that has a part of the text for itself: from its header to the next one.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Sections {
    /// In the order of the text.
    parts: Vec<Part>,
    /// Tables of which some entries have no part for themselves.
    scattered: Vec<&'static str>,
}

/// The part of the text that an entry has for itself.
#[derive(Clone, Debug, PartialEq)]
struct Part {
    start: usize,
    /// Where its header ends.
    body: usize,
    end: usize,
    table: &'static str,
    id: Box<str>,
}

/// What a change makes of parts that follow each other.
struct Again {
    /// The parts as they were, by their places in [`Sections::parts`].
    was: RangeInclusive<usize>,
    entries: Vec<Entry>,
    /// Where the entries stand now.
    parts: Vec<Part>,
    problems: Vec<Problem>,
    references: Vec<Reference>,
    base_loads: Vec<BaseLoadReference>,
}

impl Sections {
    /// The parts of a text that was read into `tree`.
    pub(super) fn of(tree: &Tree<'_>, text: &str) -> Self {
        let mut sections = Self::default();
        for table in TABLES {
            let before = sections.parts.len();
            sections.parts.extend(parts(tree, text, table));
            let entries = reference::table_of(tree, table).map_or(0, |table| table.entries.len());
            if sections.parts.len() - before != entries {
                sections.scattered.push(table);
            }
        }
        sections.parts.sort_by_key(|part| part.start);
        sections
    }

    /// The part of an entry; `None` where it has none for itself.
    pub(crate) fn part(&self, table: &str, id: &str) -> Option<Range<usize>> {
        let part = self.parts.iter().find(|part| part.table == table && &*part.id == id)?;
        Some(part.start..part.end)
    }

    /// The part that a new entry of a table goes behind: the last of its kind. `None` where that is not sure.
    pub(crate) fn last_part(&self, table: &str) -> Option<Range<usize>> {
        let part = self.parts.iter().rev().find(|part| part.table == table)?;
        (!self.scattered.contains(&part.table)).then_some(part.start..part.end)
    }

    /// Reads the entries again that `change` lies within, and those that are new: `text` is the text after
    /// it, `plan` and `problems` what was read before it. The problems are then those of the new text; the
    /// entries are for the caller to put in their place. `None` where the text must be read as a whole:
    /// nothing is changed then.
    #[must_use]
    pub fn again(
        &mut self,
        text: &str,
        change: &Change,
        plan: &Plan,
        problems: &mut Vec<Problem>,
    ) -> Option<Entries> {
        let [step] = change.steps.as_slice() else { return None };
        let may_be = text.len() <= LARGEST_FILE && first_line_too_many(text).is_none();
        let are_notes = problems.iter().all(|problem| problem.gravity == Gravity::Note);
        if !may_be || !are_notes {
            return None;
        }
        let read = |was: RangeInclusive<usize>| {
            let now = moved(self.parts[*was.start()].start, step)..moved(self.parts[*was.end()].end, step);
            let is_last = text.len() == now.end;
            self.read(was, (text.get(now.clone())?, now.start), is_last, plan)
        };
        let mut found: Vec<Again> = self.touched(step)?.into_iter().map(read).collect::<Option<_>>()?;
        let gone = self.gone(&found);
        let is_good = self.may_be_new(&found, plan)
            && gone.iter().all(|(_, id)| !is_mentioned(text, id))
            && found.iter().all(|again| names_what_is_there(again, &found, plan));
        if !is_good {
            return None;
        }
        let outside = |place: usize| {
            let behind = self.parts.partition_point(|part| part.start <= place);
            behind.checked_sub(1).is_none_or(|at| {
                place >= self.parts[at].end || !found.iter().any(|again| again.was.contains(&at))
            })
        };
        problems.retain(|problem| outside(problem.span.start));
        for place in problems.iter_mut().flat_map(|problem| {
            std::iter::once(&mut problem.span).chain(problem.also.as_mut().map(|(place, _)| place))
        }) {
            *place = moved(place.start, step)..moved(place.end, step);
        }
        problems.extend(found.iter_mut().flat_map(|again| std::mem::take(&mut again.problems)));
        problems.sort_by_key(|problem| problem.span.start);
        self.follow(step, &mut found);
        Some(Entries { read: found.into_iter().flat_map(|again| again.entries).collect(), gone })
    }

    /// The parts that the splices of a step lie within, the header of the first left as it is: runs of parts
    /// that follow each other without anything between.
    fn touched(&self, step: &[Splice]) -> Option<Vec<RangeInclusive<usize>>> {
        let mut touched: Vec<RangeInclusive<usize>> = Vec::new();
        for splice in step {
            let first = self.parts.partition_point(|part| part.body <= splice.at).checked_sub(1)?;
            let end = splice.at + splice.removed.len();
            let last = first + self.parts[first..].iter().position(|part| end <= part.end)?;
            match touched.last_mut() {
                Some(before) if *before.end() >= first => *before = *before.start()..=last.max(*before.end()),
                _ => touched.push(first..=last),
            }
        }
        let follows = |pair: &[Part]| pair[0].end == pair[1].start;
        let are_runs = touched.iter().all(|run| self.parts[run.clone()].windows(2).all(follows));
        (are_runs && !touched.is_empty()).then_some(touched)
    }

    /// Reads what stands now where `was` stood: a text that begins at `start`. `None`: the first of the parts
    /// is not what it was, or something is wrong.
    fn read(
        &self,
        was: RangeInclusive<usize>,
        (text, start): (&str, usize),
        is_last: bool,
        plan: &Plan,
    ) -> Option<Again> {
        if !is_last && !text.ends_with('\n') {
            return None;
        }
        let (tree, complaints) = tree::tree(text);
        let first = &self.parts[*was.start()];
        let own_header = 0..first.body - first.start;
        if !complaints.is_empty() || tree.headers.first() != Some(&own_header) {
            return None;
        }
        let mut parts: Vec<Part> = Vec::with_capacity(1);
        for (name, _) in &tree.root().entries {
            let table = TABLES.into_iter().find(|table| table == name)?;
            parts.extend(self::parts(&tree, text, table));
        }
        parts.sort_by_key(|part| part.start);
        let is_whole = parts.len() == tree.headers.len();
        parts.first().filter(|own| is_whole && own.is(first))?;
        let problems = Problems::default();
        let mut reading = Reading { tree: &tree, problems, references: Vec::new(), base_loads: Vec::new() };
        let mut entries = Vec::with_capacity(parts.len());
        for part in &mut parts {
            let index = table_at(&tree, part.table, &part.id)?;
            let entry = read::entry_again(&mut reading, part.table, index, &part.id)?;
            if let Entry::Head(id, head) = &entry {
                across::amps_and_watts(&mut reading, plan.location.region, id, head);
            }
            if !entry.leaves_others_as_they_are(plan) {
                return None;
            }
            entries.push(entry);
            (part.start, part.body, part.end) = (part.start + start, part.body + start, part.end + start);
        }
        let Reading { problems, references, base_loads, .. } = reading;
        let problems = problems.in_order();
        let are_notes = problems.iter().all(|problem| problem.gravity == Gravity::Note);
        let problems = problems.into_iter().map(|problem| problem.behind(start)).collect();
        are_notes.then_some(Again { was, entries, parts, problems, references, base_loads })
    }

    /// Entries that are no longer where they stood.
    fn gone(&self, found: &[Again]) -> Vec<(&'static str, Box<str>)> {
        let of_one = |again: &Again| {
            let is_gone = |was: &&Part| !again.parts.iter().any(|now| now.is(was));
            let gone = self.parts[again.was.clone()].iter().filter(is_gone);
            gone.map(|part| (part.table, part.id.clone())).collect::<Vec<_>>()
        };
        found.iter().flat_map(of_one).collect()
    }

    /// Whether entries that are new may be: each is the last of its kind and has a name of its own. Those that
    /// were there stand in their order.
    fn may_be_new(&self, found: &[Again], plan: &Plan) -> bool {
        found.iter().enumerate().all(|(place, again)| {
            let (kept, new): (Vec<&Part>, Vec<&Part>) =
                again.parts.iter().partition(|part| has(plan, part.table, &part.id));
            let mut was = self.parts[again.was.clone()].iter();
            let behind = self.parts[again.was.end() + 1..].iter();
            let later = found[place + 1..].iter().flat_map(|again| &again.parts);
            let others: Vec<&Part> = behind.chain(later).collect();
            let is_last = |new: &Part| {
                let is_before = |kept: &&Part| kept.table != new.table || kept.start < new.start;
                others.iter().all(|part| part.table != new.table) && kept.iter().all(is_before)
            };
            let may_grow = |new: &Part| {
                [SOCKET.name, HEAD.name, SETUP.name].contains(&new.table)
                    && !self.scattered.contains(&new.table)
                    && count(plan, new.table) + again.parts.len() <= MOST_ENTRIES
            };
            new.iter().all(|new| is_id(&new.id) && may_grow(new) && is_last(new))
                && kept.iter().all(|kept| was.any(|was| was.is(kept)))
        })
    }

    /// Moves every part to where it is after a step.
    fn follow(&mut self, step: &[Splice], found: &mut [Again]) {
        let mut parts = Vec::with_capacity(self.parts.len() + found.len());
        let mut runs = found.iter_mut().peekable();
        let mut splices = step.iter().peekable();
        let (mut added, mut taken) = (0, 0);
        for (at, mut part) in std::mem::take(&mut self.parts).into_iter().enumerate() {
            while let Some(splice) = splices.next_if(|splice| splice.at < part.body) {
                added += splice.inserted.len();
                taken += splice.removed.len();
            }
            while runs.next_if(|again| *again.was.end() < at).is_some() {}
            if let Some(again) = runs.peek_mut().filter(|again| again.was.contains(&at)) {
                parts.append(&mut again.parts);
                continue;
            }
            for place in [&mut part.start, &mut part.body, &mut part.end] {
                *place = *place + added - taken;
            }
            parts.push(part);
        }
        self.parts = parts;
    }
}

impl Part {
    /// Whether it is the same entry's.
    fn is(&self, other: &Self) -> bool {
        (self.table, &self.id) == (other.table, &other.id)
    }
}

/// Whether an id may stand somewhere in a text as the name of something.
fn is_mentioned(text: &str, id: &str) -> bool {
    let is_part_of_a_name = |c: char| c.is_ascii_alphanumeric() || matches!(c, '-' | '_');
    let stands_alone = |at: usize| {
        !text[..at].ends_with(is_part_of_a_name) && !text[at + id.len()..].starts_with(is_part_of_a_name)
    };
    // A backslash may spell any letter of it.
    text.contains('\\') || text.match_indices(id).any(|(at, _)| stands_alone(at))
}

fn table_at(tree: &Tree<'_>, table: &str, id: &str) -> Option<TableIndex> {
    match reference::table_of(tree, table)?.entries.get(id)?.item.value {
        Value::Table(index) => Some(index),
        _ => None,
    }
}

/// The entries of a table that have a part of the text each.
fn parts<'t>(tree: &'t Tree<'_>, text: &'t str, table: &'static str) -> impl Iterator<Item = Part> + 't {
    let entries = reference::table_of(tree, table).map(|table| table.entries.iter());
    entries.into_iter().flatten().filter_map(move |(id, entry)| {
        let Value::Table(index) = entry.item.value else { return None };
        let own = tree.table(index);
        let header = own.header.filter(|_| own.origin == Origin::Header)?;
        let is_alone = own.entries.values().all(|entry| !has_header(tree, &entry.item.value));
        let end = tree.headers.get(header + 1).map_or(text.len(), |next| next.start);
        let Range { start, end: body } = tree.headers[header].clone();
        is_alone.then(|| Part { start, body, end, table, id: (**id).into() })
    })
}

/// Whether something within a value stands under a header of its own.
fn has_header(tree: &Tree<'_>, value: &Value<'_>) -> bool {
    match value {
        Value::Table(index) => {
            let table = tree.table(*index);
            table.header.is_some() || table.entries.values().any(|entry| has_header(tree, &entry.item.value))
        }
        Value::Tables(_) => true,
        _ => false,
    }
}

/// Where a place of the text before a step is after it; a splice that begins there lies before it.
fn moved(place: usize, step: &[Splice]) -> usize {
    step.iter()
        .filter(|splice| splice.at <= place)
        .fold(place, |place, splice| place + splice.inserted.len() - splice.removed.len())
}

/// Whether all that a part names is in the plan, or is new.
fn names_what_is_there(again: &Again, found: &[Again], plan: &Plan) -> bool {
    let is_new = |table: &str, id: &str| {
        let mut parts = found.iter().flat_map(|again| &again.parts);
        !has(plan, table, id) && parts.any(|part| part.table == table && &*part.id == id)
    };
    again.references.iter().all(|reference| is_there(plan, reference, is_new))
        && again.base_loads.iter().all(|base| has_base_load(plan, base))
}

/// Whether the plan has what is named, once.
fn is_there(plan: &Plan, reference: &Reference, is_new: impl Fn(&str, &str) -> bool) -> bool {
    match reference.target {
        Target::Class | Target::Outlet | Target::Plate => reference::is_known(reference),
        target => {
            let is_one = |table: &&&str| has(plan, table, &reference.id) || is_new(table, &reference.id);
            let tables = target.tables().iter().filter(is_one).count();
            tables == 1 || (tables > 1 && target == Target::Lead)
        }
    }
}

fn has(plan: &Plan, table: &str, id: &str) -> bool {
    match table {
        "supply" => plan.supplies.contains_key(id),
        "rcd" => plan.rcds.contains_key(id),
        "circuit" => plan.circuits.contains_key(id),
        "floor" => plan.floors.contains_key(id),
        "room" => plan.rooms.contains_key(id),
        "socket" => plan.sockets.contains_key(id),
        "head" => plan.heads.contains_key(id),
        "cable" => plan.cables.contains_key(id),
        "block" => plan.blocks.contains_key(id),
        "setup" => plan.setups.contains_key(id),
        _ => false,
    }
}

fn count(plan: &Plan, table: &str) -> usize {
    match table {
        "socket" => plan.sockets.len(),
        "head" => plan.heads.len(),
        _ => plan.setups.len(),
    }
}

fn has_base_load(plan: &Plan, named: &BaseLoadReference) -> bool {
    let circuit = plan.circuits.get(named.load.circuit.as_str());
    circuit.is_some_and(|circuit| {
        circuit.base.iter().any(|base| base.name.as_deref() == Some(named.load.name.as_str()))
    })
}
