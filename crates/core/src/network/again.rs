//! A network after one entry of its plan was read again.

use std::sync::Arc;

use super::build::{Kept, head_node, network, placed_in, setup_node};
use super::{
    At, CircuitAt, CircuitNode, Dense, HeadAt, HeadNode, Network, RcdAt, RcdNode, Reach, SetupAt, SetupNode,
    SocketAt,
};
use crate::file::{Entries, Entry};
use crate::plan::{Circuit, Floor, Plan, Room};

/// What a changed entry changes of all that is reckoned with.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Resolved {
    /// More than parts of it, and where heads are plugged in.
    Anew,
    /// These parts; how they hang together, and where heads stand and are plugged in, is as it was.
    Parts(Parts),
    /// Where heads are plugged in.
    Plugs,
    /// Nothing: a name has changed, or what the program may move.
    AsBefore,
}

/// Parts of a network that are not what they were.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Parts {
    /// Sockets, changed or new, and those behind a circuit or an RCD that is; others may be gone from the end.
    pub sockets: Vec<SocketAt>,
    /// Circuits.
    pub circuits: Vec<CircuitAt>,
    /// RCDs, those whose ramp tests say something else among them.
    pub rcds: Vec<RcdAt>,
    /// Heads.
    pub heads: Vec<HeadAt>,
}

impl Network {
    /// Puts entries, as they were read again, in their places: the network is then that of the changed plan.
    pub fn put(&mut self, entries: impl Into<Entries>) -> Resolved {
        let entries = entries.into();
        let said = parts_said(&entries);
        let has_gone = !entries.gone.is_empty();
        let is_renamed = matches!((entries.read.as_slice(), entries.gone.as_slice()), ([only], []) if is_renamed(&self.plan, only));
        let plan = Arc::make_mut(&mut self.plan);
        let only = match (entries.read.as_slice(), entries.gone.as_slice()) {
            ([only], []) => self::place(plan, only),
            _ => None,
        };
        entries.put(plan);
        match only {
            _ if is_renamed => Resolved::AsBefore,
            Some(Changed::Head(at)) => self.settle_head(at),
            Some(Changed::Setup(at)) => self.settle_setup(at),
            None => self.settle_parts(said.as_deref(), has_gone),
        }
    }

    /// Where no more than parts has changed, says which; `said` are those whose entries were read again, by table
    /// and id.
    fn settle_parts(&mut self, said: Option<&[(&str, String)]>, has_gone: bool) -> Resolved {
        // No head says anything of a socket, a circuit or an RCD, and no setup of more than circuits' base loads.
        let are_of =
            |tables: &[&str]| said.is_some_and(|said| said.iter().all(|(table, _)| tables.contains(table)));
        let keeps_heads = !has_gone && are_of(&["socket", "rcd", "circuit"]);
        let keeps_setups = !has_gone && are_of(&["socket", "rcd"]);
        let kept = Kept {
            heads: keeps_heads.then(|| std::mem::take(&mut self.heads)),
            setups: keeps_setups.then(|| std::mem::take(&mut self.setups)),
        };
        let now = Self { lengths: self.lengths, ..network(Arc::clone(&self.plan), kept) };
        let before = std::mem::replace(self, now);
        let is_like = self.hangs_together_as(&before)
            && (keeps_heads || all(&self.heads, &before.heads, stands_as_head))
            && (keeps_setups || self.setups == before.setups);
        let Some(said) = said.filter(|_| is_like) else { return Resolved::Anew };
        let is_said = |table, id: &str| said.iter().any(|(of, said)| *of == table && said == id);
        let circuits: Vec<CircuitAt> =
            differing(&self.circuits, &before.circuits, |node| is_said("circuit", node.id.as_str()));
        let rcds: Vec<RcdAt> = differing(&self.rcds, &before.rcds, |node| is_said("rcd", node.id.as_str()));
        let heads = if keeps_heads {
            Vec::new()
        } else {
            differing(&self.heads, &before.heads, |node| is_said("head", node.id.as_str()))
        };
        let is_behind = |reach: &Reach| {
            reach.circuits.iter().any(|part| circuits.contains(&part.what))
                || reach.rcds.iter().any(|part| rcds.contains(&part.what))
        };
        let behind: Dense<_, bool> = self.reaches.iter().map(|(_, reach)| is_behind(reach)).collect();
        let is_changed = |at: &SocketAt| {
            let (Some(then), now) = (before.sockets.get(*at), &self.sockets[*at]) else { return true };
            then != now
                || behind[now.reach]
                || now.portable.is_some_and(|portable| rcds.contains(&portable))
                || before.reaches[then.reach] != self.reaches[now.reach]
                || before.plates[then.plate] != self.plates[now.plate]
                || is_said("socket", now.id.as_str())
        };
        let sockets = self.sockets.indices().filter(is_changed).collect();
        Resolved::Parts(Parts { sockets, circuits, rcds, heads })
    }

    /// Whether what stands behind what is the same, and all that is no part.
    fn hangs_together_as(&self, other: &Self) -> bool {
        self.supplies == other.supplies
            && all(&self.rcds, &other.rcds, hangs_as_rcd)
            && all(&self.circuits, &other.circuits, hangs_as_circuit)
            && self.neutrals == other.neutrals
            && self.cables == other.cables
            && self.blocks == other.blocks
    }

    fn settle_setup(&mut self, at: SetupAt) -> Resolved {
        let Some((id, setup)) = self.plan.setups.get_index(at.get()) else { return Resolved::AsBefore };
        let node = setup_node(&self.plan, id, setup);
        let before = std::mem::replace(&mut self.setups[at], node);
        changed(before, &self.setups[at])
    }

    /// Where a head's plug alone has changed, the rest stays as it is; where it draws or leaks something else,
    /// more hangs on it, and all is resolved.
    fn settle_head(&mut self, at: HeadAt) -> Resolved {
        let plan = &*self.plan;
        let Some((id, head)) = plan.heads.get_index(at.get()) else { return Resolved::AsBefore };
        if head_node(plan, self.region, id, head) != self.heads[at] {
            let said = [("head", id.to_string())];
            return self.settle_parts(Some(&said), false);
        }
        let mut resolved = Resolved::AsBefore;
        for (setup, node) in self.setups.iter_mut() {
            let Some((_, setup)) = plan.setups.get_index(setup.get()) else { continue };
            let placed = placed_in(plan, setup, id, head);
            if placed != node.placed[at] {
                node.placed[at] = placed;
                resolved = Resolved::Plugs;
            }
        }
        resolved
    }
}

/// Whether two tables have the same number of entries, and each one `is_as` the other.
fn all<K: At, T>(now: &Dense<K, T>, then: &Dense<K, T>, is_as: impl Fn(&T, &T) -> bool) -> bool {
    now.len() == then.len() && now.iter().all(|(at, node)| is_as(node, &then[at]))
}

fn stands_as_head(now: &HeadNode, then: &HeadNode) -> bool {
    now.id == then.id && now.place == then.place
}

fn hangs_as_rcd(now: &RcdNode, then: &RcdNode) -> bool {
    now.id == then.id && now.upstream == then.upstream && now.darkens == then.darkens
}

fn hangs_as_circuit(now: &CircuitNode, then: &CircuitNode) -> bool {
    now.id == then.id
        && now.supply == then.supply
        && now.from == then.from
        && now.line == then.line
        && now.reach == then.reach
        && now.neutral == then.neutral
        && now.rcds == then.rcds
}

/// What of a table of the same entries is not what it was.
fn differing<K: At, T: PartialEq>(
    now: &Dense<K, T>,
    then: &Dense<K, T>,
    is_said: impl Fn(&T) -> bool,
) -> Vec<K> {
    now.iter().filter(|(at, node)| then[*at] != **node || is_said(node)).map(|(at, _)| at).collect()
}

/// Table and id of the parts that entries are of, where they are of nothing else.
fn parts_said(entries: &Entries) -> Option<Vec<(&'static str, String)>> {
    let read = entries.read.iter().map(|entry| match entry {
        Entry::Socket(id, _) => Some(("socket", id.to_string())),
        Entry::Circuit(id, _) => Some(("circuit", id.to_string())),
        Entry::Rcd(id, _) => Some(("rcd", id.to_string())),
        Entry::Head(id, _) => Some(("head", id.to_string())),
        _ => None,
    });
    let gone = entries.gone.iter().map(|(table, _)| (*table == "socket").then_some(()));
    gone.collect::<Option<()>>()?;
    read.collect()
}

/// Whether an entry has another name than before, and nothing else is other.
fn is_renamed(plan: &Plan, entry: &Entry) -> bool {
    match entry {
        Entry::Circuit(id, now) => plan
            .circuits
            .get(id)
            .is_some_and(|then| Circuit { name: now.name.clone(), ..then.clone() } == **now),
        Entry::Room(id, now) => {
            plan.rooms.get(id).is_some_and(|then| Room { name: now.name.clone(), ..then.clone() } == **now)
        }
        Entry::Floor(id, now) => {
            plan.floors.get(id).is_some_and(|then| Floor { name: now.name.clone(), ..then.clone() } == **now)
        }
        _ => false,
    }
}

/// An entry that more hangs on than where heads are plugged in only now and then.
enum Changed {
    Head(HeadAt),
    Setup(SetupAt),
}

/// Where a head or a setup stands that the plan has already.
fn place(plan: &Plan, entry: &Entry) -> Option<Changed> {
    match entry {
        Entry::Head(id, _) => plan.heads.get_index_of(id).map(|place| Changed::Head(HeadAt::new(place))),
        Entry::Setup(id, _) => plan.setups.get_index_of(id).map(|place| Changed::Setup(SetupAt::new(place))),
        _ => None,
    }
}

/// What has changed of a setup.
fn changed(before: SetupNode, now: &SetupNode) -> Resolved {
    if before == *now {
        return Resolved::AsBefore;
    }
    let plugged_as_now = SetupNode { placed: now.placed.clone(), ..before };
    if plugged_as_now == *now { Resolved::Plugs } else { Resolved::Anew }
}
