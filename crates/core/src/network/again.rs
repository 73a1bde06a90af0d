//! A network after one entry of its plan was read again.

use std::sync::Arc;

use super::build::{head_node, placed_in, setup_node};
use super::{At, HeadAt, Network, SetupAt, SetupNode, SocketAt};
use crate::file::{Entries, Entry};
use crate::plan::Plan;

/// What a changed entry changes of all that is reckoned with.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Resolved {
    /// More than sockets, and where heads are plugged in.
    Anew,
    /// These sockets, changed or new, and others that are gone from the end; no ramp test, and nothing that
    /// is not a socket.
    Sockets(Vec<SocketAt>),
    /// Where heads are plugged in.
    Plugs,
    /// Nothing: a name has changed, or what the program may move.
    AsBefore,
}

impl Network {
    /// Puts entries, as they were read again, in their places: the network is then that of the changed plan.
    pub fn put(&mut self, entries: impl Into<Entries>) -> Resolved {
        let entries = entries.into();
        let of_sockets = sockets_alone(&self.plan, &entries);
        let plan = Arc::make_mut(&mut self.plan);
        let only = match (entries.read.as_slice(), entries.gone.as_slice()) {
            ([only], []) => self::place(plan, only),
            _ => None,
        };
        entries.put(plan);
        match only {
            Some(Changed::Head(at)) => self.settle_head(at),
            Some(Changed::Setup(at)) => self.settle_setup(at),
            None => self.settle_sockets(of_sockets),
        }
    }

    /// Where no more than sockets has changed, says which; `said` are those whose entries were read again.
    fn settle_sockets(&mut self, said: Option<Vec<String>>) -> Resolved {
        let Some(said) = said else { return self.settle_all() };
        let now = self.resolved_anew();
        let before = std::mem::replace(self, now);
        if !self.is_like_but_for_sockets(&before) {
            return Resolved::Anew;
        }
        let is_changed = |at: &SocketAt| {
            let (Some(then), now) = (before.sockets.get(*at), &self.sockets[*at]) else { return true };
            then != now
                || before.reaches[then.reach] != self.reaches[now.reach]
                || before.plates[then.plate] != self.plates[now.plate]
                || said.iter().any(|id| id == now.id.as_str())
        };
        Resolved::Sockets(self.sockets.indices().filter(is_changed).collect())
    }

    /// Whether all but the sockets, their plates and what lies upstream of them is the same.
    fn is_like_but_for_sockets(&self, other: &Self) -> bool {
        self.supplies == other.supplies
            && self.rcds == other.rcds
            && self.circuits == other.circuits
            && self.neutrals == other.neutrals
            && self.heads == other.heads
            && self.cables == other.cables
            && self.blocks == other.blocks
            && self.setups == other.setups
    }

    fn settle_all(&mut self) -> Resolved {
        *self = self.resolved_anew();
        Resolved::Anew
    }

    fn resolved_anew(&self) -> Self {
        Self { lengths: self.lengths, ..Self::of(Arc::clone(&self.plan)) }
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
            return self.settle_all();
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

/// The ids of the sockets that entries are of, where they are of nothing else, bring no ramp test and take none.
fn sockets_alone(plan: &Plan, entries: &Entries) -> Option<Vec<String>> {
    let ramps = |id: &str| plan.sockets.get(id).map_or(&[][..], |socket| &*socket.ramps);
    let mut ids = Vec::new();
    for entry in &entries.read {
        match entry {
            Entry::Socket(id, socket) if socket.ramps == ramps(id.as_str()) => ids.push(id.to_string()),
            _ => return None,
        }
    }
    for (table, id) in &entries.gone {
        if *table != "socket" || !ramps(id).is_empty() {
            return None;
        }
    }
    Some(ids)
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
