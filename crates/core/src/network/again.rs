//! A network after one entry of its plan was read again.

use std::sync::Arc;

use super::build::{head_node, placed_in, setup_node};
use super::{At, HeadAt, Network, SetupAt, SetupNode};
use crate::file::Entry;

/// What a changed entry changes of all that is reckoned with.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Resolved {
    /// More than where heads are plugged in.
    Anew,
    /// Where heads are plugged in.
    Plugs,
    /// Nothing: a name has changed, or what the program may move.
    AsBefore,
}

impl Network {
    /// Puts an entry, as it was read again, in its place: the network is then that of the changed plan. An
    /// entry that the plan does not have is left out.
    pub fn put(&mut self, entry: Entry) -> Resolved {
        let plan = Arc::make_mut(&mut self.plan);
        match entry {
            Entry::Head(id, head) => {
                let Some((place, _, old)) = plan.heads.get_full_mut(&id) else { return Resolved::AsBefore };
                *old = *head;
                self.settle_head(HeadAt::new(place))
            }
            Entry::Setup(id, setup) => {
                let Some((place, _, old)) = plan.setups.get_full_mut(&id) else { return Resolved::AsBefore };
                *old = *setup;
                let node = setup_node(plan, &id, &plan.setups[place]);
                let before = std::mem::replace(&mut self.setups[SetupAt::new(place)], node);
                changed(before, &self.setups[SetupAt::new(place)])
            }
        }
    }

    /// Where a head's plug alone has changed, the rest stays as it is; where it draws or leaks something else,
    /// more hangs on it, and all is resolved.
    fn settle_head(&mut self, at: HeadAt) -> Resolved {
        let plan = &*self.plan;
        let Some((id, head)) = plan.heads.get_index(at.get()) else { return Resolved::AsBefore };
        if head_node(plan, self.region, id, head) != self.heads[at] {
            *self = Self { lengths: self.lengths, ..Self::of(Arc::clone(&self.plan)) };
            return Resolved::Anew;
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

/// What has changed of a setup.
fn changed(before: SetupNode, now: &SetupNode) -> Resolved {
    if before == *now {
        return Resolved::AsBefore;
    }
    let plugged_as_now = SetupNode { placed: now.placed.clone(), ..before };
    if plugged_as_now == *now { Resolved::Plugs } else { Resolved::Anew }
}
