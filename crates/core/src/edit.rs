//! What a user does to a plan, as a change of its file's text.
//!
//! An edit touches the bytes that it is about and no other: comments, order, spelling, byte-order
//! mark and line endings stay. What comes back is a [`Change`] that knows its inverse.

mod address;
mod change;
mod document;
mod entry;
mod list;
mod mention;
mod splice;
mod table;
mod typed;
mod value;
mod within;

use std::fmt::Write as _;
use std::ops::Range;

pub use address::{Address, Log, Table};
pub use change::{Change, Splice};
pub(crate) use mention::base_load_names;
pub use typed::{Reading, typed};
pub use value::Value;
pub use within::apply_within;

use crate::file::migrate::{self, STEPS, Step};
use crate::file::{self, position, readable};
use crate::id::{HeadId, SetupId};
use crate::plan::Placement;
pub(crate) use change::spliced;
use document::Document;
pub(crate) use splice::Splices;

/// What a user does to a plan.
#[derive(Clone, Debug, PartialEq)]
pub enum Edit {
    /// Plugs a head in, or unplugs it.
    Plug {
        /// The head.
        head: HeadId,
        /// Where it goes; `None`: unplugged.
        placement: Option<Placement>,
    },
    /// Says where a head is plugged in for one setup.
    PlugForSetup {
        /// The setup.
        setup: SetupId,
        /// The head.
        head: HeadId,
        /// Where it goes.
        placement: Override,
    },
    /// The program may not move the head any more.
    Pin {
        /// The head.
        head: HeadId,
    },
    /// The program may move the head again.
    Unpin {
        /// The head.
        head: HeadId,
    },
    /// Sets a key, or takes it out.
    SetKey {
        /// What it is a key of.
        of: Address,
        /// The key.
        key: String,
        /// Its new value; `None`: none.
        value: Option<Value>,
    },
    /// Adds an entry after the last of its kind. The index of a new trace or trip is ignored.
    AddEntry {
        /// Its address.
        of: Address,
        /// Its keys.
        keys: Vec<(String, Value)>,
    },
    /// Takes an entry out, and every mention of it that may go. Refused where something cannot do
    /// without it.
    RemoveEntry {
        /// Its address.
        of: Address,
    },
    /// Gives an entry another id, wherever it is mentioned.
    Rename {
        /// Its table.
        table: Table,
        /// Its id.
        from: String,
        /// Its new id.
        to: String,
    },
    /// Gives a circuit's base load another name, wherever it is mentioned.
    RenameBaseLoad {
        /// The circuit.
        circuit: String,
        /// Its name.
        from: String,
        /// Its new name.
        to: String,
    },
    /// Several at once: one step for undo.
    Many {
        /// In this order.
        edits: Vec<Edit>,
        /// What they are together.
        label: String,
    },
}

/// Where a head is plugged in for one setup.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Override {
    /// Where it is plugged in anyway.
    AsTheHeadSays,
    /// Nowhere.
    Unplugged,
    /// There.
    Plugged(Placement),
}

/// Why an edit cannot be made.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Refusal {
    /// Why.
    pub message: String,
    /// What to do about it.
    pub remedy: String,
    /// Where in the text, if it is about a place.
    pub span: Option<Range<usize>>,
}

impl Refusal {
    fn new(message: impl AsRef<str>, remedy: impl AsRef<str>) -> Self {
        Self { message: readable(message), remedy: readable(remedy), span: None }
    }

    fn at(mut self, span: Range<usize>) -> Self {
        self.span = Some(span);
        self
    }
}

/// Makes `edit` on the text of a plan.
///
/// # Errors
///
/// A [`Refusal`] where the text is not TOML, where what the edit is about is not there, where a value
/// is not what its key takes, or where the plan cannot do without what is to be removed.
pub fn apply(text: &str, edit: &Edit) -> Result<Change, Refusal> {
    let (change, after) = make_unread(text, edit)?;
    if !change.is_empty() && Document::read(&after).is_err() {
        return Err(not_from_here());
    }
    Ok(change)
}

/// Makes `edit` on the text of a plan: the change and the text after it, which nobody has read yet. Where
/// that is no TOML, as [`NOT_TOML`](crate::file::NOT_TOML) tells, the edit is [`not_from_here`].
///
/// # Errors
///
/// As [`apply`], but for that.
pub fn make_unread(text: &str, edit: &Edit) -> Result<(Change, String), Refusal> {
    make_by(text, edit, STEPS)
}

/// The same, where these steps lead from earlier formats to this one: a text in an earlier one is brought to
/// this one first, as a part of the change.
pub(crate) fn make_by(text: &str, edit: &Edit, earlier: &[Step]) -> Result<(Change, String), Refusal> {
    let mut steps = Vec::new();
    let mut brought = None;
    let mut current = std::borrow::Cow::Borrowed(text);
    let flat = flat(edit);
    let mut rest = flat.as_slice();
    while !rest.is_empty() {
        let document = Document::read(&current)?;
        if brought.is_none() {
            let up = migrate::bring(&current, &document.tree, earlier);
            brought = Some(up.as_ref().map_or_else(Vec::new, |up| up.change.steps.clone()));
            if let Some(up) = up {
                current = up.text.into();
                continue;
            }
        }
        let (step, done) = batch(&document, rest)?;
        rest = &rest[done..];
        if !step.is_empty() {
            current = spliced(&current, &step).into();
            steps.push(step);
        }
    }
    if steps.is_empty() {
        return Ok((Change { label: edit.label(), steps }, text.to_owned()));
    }
    steps.splice(0..0, brought.unwrap_or_default());
    Ok((Change { label: edit.label(), steps }, current.into_owned()))
}

fn flat(edit: &Edit) -> Vec<&Edit> {
    match edit {
        Edit::Many { edits, .. } => edits.iter().flat_map(flat).collect(),
        single => vec![single],
    }
}

/// Makes as many edits on one reading of the text as are about different entries.
fn batch(document: &Document<'_>, edits: &[&Edit]) -> Result<(Vec<Splice>, usize), Refusal> {
    let mut splices = Splices::default();
    let mut touched = std::collections::HashSet::new();
    let mut done = 0;
    for edit in edits {
        let own = edit.touches();
        let is_alone = own.is_none();
        if done > 0 && own.is_none_or(|own| !touched.insert(own)) {
            break;
        }
        if done == 0 {
            touched.extend(edit.touches());
        }
        make(document, edit, &mut splices)?;
        done += 1;
        if is_alone {
            break;
        }
    }
    Ok((splices.into_step(document.text)?, done))
}

/// The refusal of an edit after which the text would be no TOML.
#[must_use]
pub fn not_from_here() -> Refusal {
    Refusal::new(
        "this part of the file is written in a way that cannot be changed from here",
        "Change it in a text editor.",
    )
}

fn make(document: &Document<'_>, edit: &Edit, splices: &mut Splices) -> Result<(), Refusal> {
    match edit {
        Edit::Plug { head, placement } => {
            let socket = placement.as_ref().map(|placement| Value::text(placement.socket.as_str()));
            let leads = placement.as_ref().and_then(leads);
            let of = Address::of(Table::Head, head.as_str());
            table::set_keys(document, &of, &[("socket", socket), ("leads", leads)], splices)
        }
        Edit::PlugForSetup { setup, head, placement } => {
            entry::set_override(document, setup.as_str(), head.as_str(), placement, splices)
        }
        Edit::Pin { head } => {
            let of = Address::of(Table::Head, head.as_str());
            table::set_keys(document, &of, &[("pinned", Some(Value::Flag(true)))], splices)
        }
        Edit::Unpin { head } => {
            let of = Address::of(Table::Head, head.as_str());
            table::set_keys(document, &of, &[("pinned", None)], splices)
        }
        Edit::SetKey { of, key, value } => {
            table::set_keys(document, of, &[(key.as_str(), value.clone())], splices)
        }
        Edit::AddEntry { of, keys } => entry::add(document, of, keys, splices),
        Edit::RemoveEntry { of } => entry::remove(document, of, splices),
        Edit::Rename { table, from, to } => mention::rename(document, *table, from, to, splices),
        Edit::RenameBaseLoad { circuit, from, to } => {
            mention::rename_base_load(document, circuit, from, to, splices)
        }
        Edit::Many { edits, .. } => edits.iter().try_for_each(|edit| make(document, edit, splices)),
    }
}

fn leads(placement: &Placement) -> Option<Value> {
    let leads = &placement.leads;
    (!leads.is_empty()).then(|| Value::List(leads.iter().map(|lead| Value::text(lead.as_str())).collect()))
}

/// The keys of a placement inside a setup's `sockets`.
fn placement_value(placement: Option<&Placement>) -> Value {
    let Some(placement) = placement else {
        return Value::Table(Vec::new());
    };
    let socket = ("socket".to_owned(), Value::text(placement.socket.as_str()));
    let leads = leads(placement).map(|leads| ("leads".to_owned(), leads));
    Value::Table(std::iter::once(socket).chain(leads).collect())
}

impl Edit {
    /// The one entry that it changes; `None` where it changes the order or the names of entries.
    fn touches(&self) -> Option<Address> {
        match self {
            Edit::Plug { head, .. } | Edit::Pin { head } | Edit::Unpin { head } => {
                Some(Address::of(Table::Head, head.as_str()))
            }
            Edit::PlugForSetup { setup, .. } => Some(Address::of(Table::Setup, setup.as_str())),
            Edit::SetKey { of, .. } => Some(of.clone()),
            _ => None,
        }
    }

    /// What it does, in a few words, for the undo list.
    #[must_use]
    pub fn label(&self) -> String {
        match self {
            Edit::Plug { head, placement: Some(placement) } => {
                format!("Plug {head} into {}{}", placement.socket, by_way_of(placement))
            }
            Edit::Plug { head, placement: None } => format!("Unplug {head}"),
            Edit::PlugForSetup { setup, head, placement } => match placement {
                Override::Plugged(placement) => {
                    format!("Plug {head} into {}{} for {setup}", placement.socket, by_way_of(placement))
                }
                Override::Unplugged => format!("Unplug {head} for {setup}"),
                Override::AsTheHeadSays => format!("Plug {head} for {setup} where it is anyway"),
            },
            Edit::Pin { head } => format!("Pin {head}"),
            Edit::Unpin { head } => format!("Unpin {head}"),
            Edit::SetKey { of, key, value: Some(_) } => format!("Set {key} of {of}"),
            Edit::SetKey { of, key, value: None } => format!("Clear {key} of {of}"),
            Edit::AddEntry { of, .. } => format!("Add {}", of.unnumbered()),
            Edit::RemoveEntry { of } => format!("Remove {of}"),
            Edit::Rename { table, from, to } => format!("Rename {} {from} to {to}", table.noun()),
            Edit::RenameBaseLoad { circuit, from, to } => format!("Rename {circuit}.{from} to {to}"),
            Edit::Many { label, .. } => label.clone(),
        }
    }
}

fn by_way_of(placement: &Placement) -> String {
    let mut words = String::new();
    for (at, lead) in placement.leads.iter().enumerate() {
        let joint = if at == 0 { " by " } else { ", " };
        // Writing to a string cannot fail.
        let _ = write!(words, "{joint}{lead}");
    }
    words
}

/// A refusal for a text that is not TOML: where, and what to mend.
fn not_toml(text: &str, problem: &file::Problem) -> Refusal {
    let (line, column) = position(text, problem.span.start);
    Refusal::new(format!("line {line}, column {column}: {}", problem.message), problem.remedy.clone())
        .at(problem.span.clone())
}

#[cfg(test)]
mod tests;
