//! Changes tried one by one, each in a copy of the plan that is solved and assessed again.

use std::sync::Arc;

use crate::network::{At, Network};
use crate::plan::Plan;
use crate::solve::{Answer, Effort, Level, Progress};

use super::super::Sources;
use super::change::{self, Case, Change};
use super::house::{self, House, on_house};
use super::reason::{self, Reason};
use super::{Asks, SMALL, WayOut, enough, size};

/// What trying changes of one kind may cost: heads, times sockets, times changes.
const PATIENCE: usize = 20_000;
/// So many of a kind are tried at least.
const LEAST: usize = 2;

/// The first change of each kind that makes everything fit, each solved and assessed again; where none does
/// by itself, those that help most, each with a second one. On a large plan not all have
/// their turn.
pub(super) fn ways_out(
    network: &Network,
    house: &House,
    why: &Reason,
    effort: Effort,
    go_on: &mut dyn FnMut(&Progress) -> bool,
) -> Vec<WayOut> {
    let enough = enough(network, effort);
    let nodes = enough.nodes / 2 * SMALL / size(network).max(SMALL);
    let effort = Effort { rounds: enough.rounds / 5, nodes, prover: None };
    let each = (PATIENCE / size(network)).max(LEAST);
    let mut trial = Trial { effort, each, is_stopped: false, go_on };
    let (ways, halves) = trial.each_kind(&Case::new(network, house, why));
    if !ways.is_empty() {
        return ways;
    }
    let mut seconds = halves.into_iter().take(HALVES).map(|half| trial.with_a_second(half));
    seconds.find(|ways| !ways.is_empty()).unwrap_or_default()
}

/// So many changes are tried with a second one.
const HALVES: usize = 3;

/// A change that does not do by itself, and what it comes to.
struct Half {
    change: Change,
    network: Network,
    house: House,
}

impl Half {
    /// Whether less stays dark with it, or not more and the head that the reason was found with is lit.
    fn helps(&self, case: &Case<'_>) -> bool {
        let dark = |house: &House| house.assignment.objective.dark_importance;
        let is_lit = |head| !reason::dark(&self.network, &self.house).contains(&head);
        let (now, before) = (dark(&self.house), dark(case.house));
        now < before || now == before && case.why.head.is_some_and(is_lit)
    }
}

/// What a change comes to.
enum Tried {
    /// Everything fits.
    Does(Box<WayOut>),
    /// Something stays dark.
    Half(Box<Half>),
    /// It cannot be made.
    Fails,
}

/// Changes being tried.
struct Trial<'a> {
    effort: Effort,
    /// So many of a kind are tried.
    each: usize,
    is_stopped: bool,
    go_on: &'a mut dyn FnMut(&Progress) -> bool,
}

impl Trial<'_> {
    /// As many changes of a kind as are tried: its first ones, and its last, which is the most thorough.
    fn some(&self, mut changes: Vec<Change>) -> Vec<Change> {
        if changes.len() > self.each {
            changes.drain(self.each - 1..changes.len() - 1);
        }
        changes
    }

    fn on_house(&mut self, network: &Network, sources: Sources) -> House {
        on_house(network, sources, self.effort, &mut |now| {
            self.is_stopped = self.is_stopped || !(self.go_on)(now);
            !self.is_stopped && now.best.of(Level::Dark) > 0 && now.proven == 0
        })
    }

    /// The first change of each kind that does, and the first that helps and does not by itself.
    fn each_kind(&mut self, case: &Case<'_>) -> (Vec<WayOut>, Vec<Half>) {
        let (mut ways, mut halves) = (Vec::new(), Vec::new());
        for kind in change::KINDS {
            if self.is_stopped {
                break;
            }
            let kind = kind(case);
            if let Some(plan) = kind.at_best
                && kind.changes.len() > 1
            {
                let changed = Network::of(Arc::new(plan));
                let at_best = self.on_house(&changed, Sources::Mains);
                let before = case.house.assignment.objective.dark_importance;
                if !at_best.works && at_best.assignment.objective.dark_importance >= before {
                    continue;
                }
            }
            let mut has_half = false;
            for change in self.some(kind.changes) {
                if self.is_stopped {
                    return (ways, halves);
                }
                match self.tried(change) {
                    Tried::Does(way) => {
                        ways.push(*way);
                        break;
                    }
                    Tried::Half(half) if !has_half => {
                        let helping = self.helping(*half, case);
                        has_half = helping.is_some();
                        halves.extend(helping);
                    }
                    Tried::Half(_) | Tried::Fails => {}
                }
            }
        }
        (ways, halves)
    }

    /// Solves a changed plan; what is left dark where that does not do.
    fn tried(&mut self, change: Change) -> Tried {
        let network = Network::of(Arc::new(change.plan.clone()));
        let again = self.on_house(&network, change.sources);
        let real = match &change.finish {
            None => Some(again),
            Some(finish) => {
                let as_it_is = |plan| house::as_it_is(&Network::of(Arc::new(plan)), change.sources);
                finish(&again).into_iter().map(as_it_is).find(|real| real.works)
            }
        };
        match real {
            Some(real) if real.works => {
                let proof = real.assignment;
                let action = change.told.map_or(change.action, |told| told(&proof));
                let (gains, unit, asks) = (change.gains, change.unit, change.asks);
                Tried::Does(Box::new(WayOut { action, gains, unit, asks, proof }))
            }
            Some(house)
                if change.finish.is_none()
                    && change.told.is_none()
                    && house.assignment.answer != Answer::None =>
            {
                Tried::Half(Box::new(Half { change, network, house }))
            }
            _ => Tried::Fails,
        }
    }

    /// A half that helps. Which of several heads stay dark is often open: where no more stay dark than before,
    /// it is asked whether the one that the reason was found with can be among those that are lit.
    fn helping(&mut self, half: Half, case: &Case<'_>) -> Option<Half> {
        if half.helps(case) {
            return Some(half);
        }
        let head = case.why.head?;
        let mut plan = Plan::clone(&half.network.plan);
        let (_, table) = plan.heads.get_index_mut(head.get())?;
        table.importance = Some(half.network.heads[head].importance + 1);
        let house = self.on_house(&Network::of(Arc::new(plan)), half.change.sources);
        Some(Half { house, ..half }).filter(|half| half.helps(case))
    }

    /// A change with each second one that makes everything fit.
    fn with_a_second(&mut self, half: Half) -> Vec<WayOut> {
        let why = reason::reason(&half.network, &half.house);
        let (ways, _) = self.each_kind(&Case::new(&half.network, &half.house, &why));
        let first = half.change;
        let joined = |second: WayOut| WayOut {
            action: format!("{}, and {}", first.action, second.action),
            gains: None,
            unit: "",
            asks: if first.asks == Asks::Owner { Asks::Owner } else { second.asks },
            proof: second.proof,
        };
        ways.into_iter().map(joined).collect()
    }
}
