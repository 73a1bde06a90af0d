//! One entry of a plan read again, where a change of the text lies within what is its own.
//!
//! Most edits touch one head or one setup, and reading a large plan anew for it takes longer than a hand
//! waits. What is read here is what [`super::parse`] would read, or nothing is.

use std::ops::Range;

use super::check::{BaseLoadReference, Reading, Reference};
use super::problem::{Gravity, Problem, Problems};
use super::schema::{HEAD, LARGEST_FILE, SETUP, Target};
use super::tree::{self, Origin, TableIndex, Tree, Value};
use super::{across, first_line_too_many, read, reference};
use crate::edit::{Change, Splice};
use crate::id::{HeadId, SetupId};
use crate::plan::{Head, Plan, Setup};

/// Where each head and each setup stands that has a part of the text for itself: from its header to the
/// next one.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Sections {
    /// In the order of the text.
    parts: Vec<Part>,
}

/// The part of the text that an entry has for itself.
#[derive(Clone, Debug, PartialEq)]
struct Part {
    start: usize,
    /// Where its header ends.
    body: usize,
    end: usize,
    table: &'static str,
    id: String,
}

/// An entry as it was read again.
#[derive(Clone, Debug, PartialEq)]
pub enum Entry {
    /// A head.
    Head(HeadId, Box<Head>),
    /// A setup.
    Setup(SetupId, Box<Setup>),
}

impl Sections {
    /// The parts of a text that was read into `tree`.
    pub(super) fn of(tree: &Tree<'_>, text: &str) -> Self {
        let mut parts: Vec<Part> =
            [HEAD.name, SETUP.name].into_iter().flat_map(|table| parts(tree, text, table)).collect();
        parts.sort_by_key(|part| part.start);
        Self { parts }
    }

    /// The part of an entry; `None` where it has none for itself.
    pub(crate) fn part(&self, table: &str, id: &str) -> Option<Range<usize>> {
        let part = self.parts.iter().find(|part| part.table == table && part.id == id)?;
        Some(part.start..part.end)
    }

    /// Reads the one entry again that `change` lies within: `text` is the text after it, `plan` and
    /// `problems` what was read before it. The problems are then those of the new text; the entry is for the
    /// caller to put in its place. `None` where the text must be read as a whole: nothing is changed then.
    #[must_use]
    pub fn again(
        &mut self,
        text: &str,
        change: &Change,
        plan: &Plan,
        problems: &mut Vec<Problem>,
    ) -> Option<Entry> {
        let [step] = change.steps.as_slice() else { return None };
        let at = self.touched(step)?;
        let may_be = text.len() <= LARGEST_FILE && first_line_too_many(text).is_none();
        let are_notes = problems.iter().all(|problem| problem.gravity == Gravity::Note);
        if !may_be || !are_notes {
            return None;
        }
        let grown = |place: usize| moved(place, step);
        let part = &self.parts[at];
        let (before, now) = (part.start..part.end, part.start..grown(part.end));
        let (entry, found) = part.read(text.get(now.clone())?, text.len() == now.end, plan)?;
        let outside = |place: &Range<usize>| place.end <= before.start || place.start >= before.end;
        problems.retain(|problem| outside(&problem.span));
        for place in problems.iter_mut().flat_map(|problem| {
            std::iter::once(&mut problem.span).chain(problem.also.as_mut().map(|(place, _)| place))
        }) {
            if place.start >= before.end {
                *place = grown(place.start)..grown(place.end);
            }
        }
        problems.extend(found.into_iter().map(|problem| problem.behind(now.start)));
        problems.sort_by_key(|problem| problem.span.start);
        self.parts[at].end = now.end;
        for part in &mut self.parts[at + 1..] {
            (part.start, part.body, part.end) = (grown(part.start), grown(part.body), grown(part.end));
        }
        Some(entry)
    }

    /// The one part that all splices of a step lie within, its header left as it is.
    fn touched(&self, step: &[Splice]) -> Option<usize> {
        let (first, last) = (step.first()?, step.last()?);
        let at = self.parts.partition_point(|part| part.body <= first.at).checked_sub(1)?;
        (last.at + last.removed.len() <= self.parts[at].end).then_some(at)
    }
}

impl Part {
    /// Reads the entry out of its part of the text, with what is worth knowing of it. `None`: the part is not
    /// what it was, or something is wrong with it.
    fn read(&self, text: &str, is_last: bool, plan: &Plan) -> Option<(Entry, Vec<Problem>)> {
        if !is_last && !text.ends_with('\n') {
            return None;
        }
        let (tree, complaints) = tree::tree(text);
        let own_header = 0..self.body - self.start;
        if !complaints.is_empty() || !tree.headers.iter().eq(std::iter::once(&own_header)) {
            return None;
        }
        let [top] = tree.root().entries.values().collect::<Vec<_>>()[..] else { return None };
        let Value::Table(top) = top.item.value else { return None };
        let (id, entry) = tree.table(top).entries.get_index(0)?;
        let Value::Table(table) = entry.item.value else { return None };
        if *id != self.id {
            return None;
        }
        let mut reading = Reading {
            tree: &tree,
            problems: Problems::default(),
            references: Vec::new(),
            base_loads: Vec::new(),
        };
        let entry = self.entry(&mut reading, table, plan)?;
        let names_something = reading.references.iter().all(|reference| is_there(plan, reference))
            && reading.base_loads.iter().all(|base| has_base_load(plan, base));
        let found = reading.problems.in_order();
        let is_good = names_something && found.iter().all(|problem| problem.gravity == Gravity::Note);
        is_good.then_some((entry, found))
    }

    fn entry(&self, reading: &mut Reading<'_>, table: TableIndex, plan: &Plan) -> Option<Entry> {
        if self.table == SETUP.name {
            let setup = read::setup_again(reading, table, &self.id)?;
            return Some(Entry::Setup(SetupId::from(self.id.as_str()), Box::new(setup)));
        }
        let head = read::head_again(reading, table, &self.id);
        let id = HeadId::from(self.id.as_str());
        across::amps_and_watts(reading, plan.location.region, &id, &head);
        Some(Entry::Head(id, Box::new(head)))
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
        is_alone.then(|| Part { start, body, end, table, id: id.clone().into_owned() })
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

/// Whether the plan has what is named, once.
fn is_there(plan: &Plan, reference: &Reference) -> bool {
    match reference.target {
        Target::Class | Target::Outlet | Target::Plate => reference::is_known(reference),
        target => {
            let tables = target.tables().iter().filter(|table| has(plan, table, &reference.id)).count();
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

fn has_base_load(plan: &Plan, named: &BaseLoadReference) -> bool {
    let circuit = plan.circuits.get(named.load.circuit.as_str());
    circuit.is_some_and(|circuit| {
        circuit.base.iter().any(|base| base.name.as_deref() == Some(named.load.name.as_str()))
    })
}
