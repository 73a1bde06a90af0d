//! What a word of a line may be the name of.

use super::token::same;
use crate::file::is_id;
use crate::file::schema::Target;
use crate::library::library;
use crate::plan::{BaseLoadRef, Plan};

/// What a word names.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Named {
    /// Nothing.
    Nothing,
    /// One thing, by its id.
    One(String, By),
    /// Several: which is not said.
    Several(Vec<String>),
}

/// How a word names a thing: the better way first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum By {
    /// By its very id.
    Id,
    /// By its id but for letter case.
    Case,
    /// By what it is called.
    Name,
}

/// An id that may be named, with what it is called.
pub(super) type Candidate<'p> = (&'p str, Option<&'p str>);

/// All that a word may name as `target`.
pub(super) fn candidates(plan: &Plan, target: Target) -> Vec<Candidate<'_>> {
    match target {
        Target::Supply => plan.supplies.keys().map(|id| (id.as_str(), None)).collect(),
        Target::Rcd => plan.rcds.keys().map(|id| (id.as_str(), None)).collect(),
        Target::Circuit => plan.circuits.iter().map(|(id, one)| (id.as_str(), one.name.as_deref())).collect(),
        Target::Floor => plan.floors.iter().map(|(id, one)| (id.as_str(), one.name.as_deref())).collect(),
        Target::Room => plan.rooms.iter().map(|(id, one)| (id.as_str(), one.name.as_deref())).collect(),
        Target::Socket => plan.sockets.keys().map(|id| (id.as_str(), None)).collect(),
        Target::Head => plan.heads.iter().map(|(id, one)| (id.as_str(), one.name.as_deref())).collect(),
        Target::Cable => plan.cables.keys().map(|id| (id.as_str(), None)).collect(),
        Target::Block => plan.blocks.keys().map(|id| (id.as_str(), None)).collect(),
        Target::Setup => plan.setups.iter().map(|(id, one)| (id.as_str(), one.name.as_deref())).collect(),
        Target::Lead => both(plan, &[Target::Cable, Target::Block]),
        Target::Breakable => both(plan, &[Target::Circuit, Target::Rcd]),
        Target::Device => both(plan, &[Target::Circuit, Target::Rcd, Target::Supply]),
        Target::Class => library().heads.keys().map(|id| (id.as_str(), None)).collect(),
        Target::Outlet => library().outlets.keys().map(|id| (id.as_str(), None)).collect(),
        Target::Plate => {
            plan.sockets.values().filter_map(|one| Some((one.plate.as_ref()?.as_str(), None))).collect()
        }
    }
}

fn both<'p>(plan: &'p Plan, targets: &[Target]) -> Vec<Candidate<'p>> {
    targets.iter().flat_map(|target| candidates(plan, *target)).collect()
}

/// A way to name something, and whether a candidate is named so.
type Way<'f> = (By, &'f dyn Fn(&Candidate<'_>) -> bool);

/// What `given` names as `target`.
pub(super) fn named(plan: &Plan, target: Target, given: &str) -> Named {
    let all = candidates(plan, target);
    if target == Target::Plate {
        return if is_id(given) { Named::One(given.to_owned(), By::Id) } else { Named::Nothing };
    }
    let ways: [Way<'_>; 3] = [
        (By::Id, &|(id, _)| *id == given),
        (By::Case, &|(id, _)| same(id, given)),
        (By::Name, &|(_, name)| name.is_some_and(|name| same(name, given))),
    ];
    for (by, fits) in ways {
        let found: Vec<&str> = all.iter().filter(|one| fits(one)).map(|(id, _)| *id).collect();
        match found.as_slice() {
            [] => {}
            [one] => return Named::One((*one).to_owned(), by),
            several => return Named::Several(several.iter().map(|id| (*id).to_owned()).collect()),
        }
    }
    Named::Nothing
}

/// What a thing is called besides its id.
pub(super) fn called<'p>(plan: &'p Plan, target: Target, id: &str) -> Option<&'p str> {
    candidates(plan, target).into_iter().find(|(other, _)| *other == id)?.1
}

/// The base load of `CIRCUIT.name`, or of a name that only one circuit has.
pub(super) fn base_load(plan: &Plan, given: &str) -> Result<BaseLoadRef, Vec<String>> {
    let all: Vec<BaseLoadRef> = plan
        .circuits
        .iter()
        .flat_map(|(circuit, one)| {
            let names = one.base.iter().filter_map(|load| load.name.clone());
            names.map(|name| BaseLoadRef { circuit: circuit.clone(), name })
        })
        .collect();
    let written = |load: &BaseLoadRef| format!("{}.{}", load.circuit, load.name);
    if let Some(exact) = all.iter().find(|load| written(load) == given) {
        return Ok(exact.clone());
    }
    let near: Vec<&BaseLoadRef> =
        all.iter().filter(|load| same(&written(load), given) || same(&load.name, given)).collect();
    match near.as_slice() {
        [one] => Ok((*one).clone()),
        [] => Err(all.iter().map(written).collect()),
        several => Err(several.iter().map(|load| written(load)).collect()),
    }
}
