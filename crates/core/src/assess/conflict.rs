//! Where the order that is best for the RCDs is not best for a breaker: which heads that ties together,
//! and what they do.

use std::collections::{BTreeSet, HashMap};

use crate::network::{CircuitAt, Dense, HeadAt, Network, RcdAt, SetupAt};
use crate::strike::Struck;
use crate::strike::search::{Limit, Meter, Problem, Share};

use super::tally::{chain, struck};
use super::usage::{Certainty, CircuitUse, HeadUse, RcdUse};

/// The sums of a setup, some of them changed.
pub(super) struct Sums<'a> {
    pub network: &'a Network,
    pub setup: SetupAt,
    pub heads: &'a Dense<HeadAt, Option<HeadUse>>,
    pub circuits: &'a Dense<CircuitAt, CircuitUse>,
    pub rcds: &'a Dense<RcdAt, RcdUse>,
    pub changed_circuits: &'a [(CircuitAt, CircuitUse)],
    pub changed_rcds: &'a [(RcdAt, RcdUse)],
}

/// Whether a breaker is lifted over its rating as its heads are struck, and would not be in falling
/// order of start over running amps.
pub(super) fn is_in_conflict(
    network: &Network,
    setup: SetupAt,
    circuit: CircuitAt,
    used: &CircuitUse,
    heads: &Dense<HeadAt, Option<HeadUse>>,
) -> bool {
    let rating = network.circuits[circuit].breaker_warm;
    if !used.start_peak.is_over(rating) || used.amps.is_over(rating) {
        return false;
    }
    let insisted = &network.setups[setup].strike;
    let mut draws: Vec<(usize, HeadAt, Struck)> = used
        .draws
        .iter()
        .filter_map(|(head, _)| {
            let rank = insisted.iter().position(|other| other == head).unwrap_or(insisted.len());
            Some((rank, *head, struck(network, *head, heads[*head].as_ref()?)))
        })
        .collect();
    draws.sort_by(|a, b| a.0.cmp(&b.0).then(over_running(b.2).total_cmp(&over_running(a.2))));
    let mut best = used.clone();
    let line = |head: HeadAt| used.draws.iter().find(|(other, _)| *other == head).map(|(_, line)| *line);
    best.draws = draws.iter().filter_map(|(_, head, _)| Some((*head, line(*head)?))).collect();
    !best.start_peak_of(network, heads).is_over(rating)
}

fn over_running(struck: Struck) -> f64 {
    (struck.start - struck.running).0
}

/// Puts the heads that `in_conflict` ties together into the order that keeps most limits, in the
/// places that they have in `order`: falling strike leakage after what the crew insists on. Only
/// groups that `concerns` are looked at. `None` where that order stands.
pub(super) fn reordered(
    sums: &Sums<'_>,
    in_conflict: &[CircuitAt],
    order: &[HeadAt],
    concerns: impl Fn(&Group) -> bool,
) -> Option<Vec<HeadAt>> {
    if in_conflict.is_empty() {
        return None;
    }
    let mut left: BTreeSet<CircuitAt> = in_conflict.iter().copied().collect();
    let mut changed: Option<Vec<HeadAt>> = None;
    let ranks: HashMap<HeadAt, usize> = order.iter().enumerate().map(|(rank, head)| (*head, rank)).collect();
    while let Some(first) = left.pop_first() {
        let group = sums.group(first);
        let in_question: Vec<CircuitAt> =
            in_conflict.iter().copied().filter(|circuit| group.circuits.contains(circuit)).collect();
        left.retain(|circuit| !group.circuits.contains(circuit));
        if !concerns(&group) {
            continue;
        }
        let mut moved: Vec<HeadAt> = group.heads.iter().copied().collect();
        moved.sort_by_key(|head| ranks.get(head));
        let Some(better) = sums.problem(&group, &moved, &in_question, &ranks).better_order() else {
            continue;
        };
        let order = changed.get_or_insert_with(|| order.to_vec());
        for (place, head) in moved.iter().zip(better) {
            if let Some(rank) = ranks.get(place) {
                order[*rank] = moved[head];
            }
        }
    }
    changed
}

/// Devices and heads that are tied together: a head whose place in the order matters ties its
/// devices, a device its heads.
#[derive(Default)]
pub(super) struct Group {
    pub heads: BTreeSet<HeadAt>,
    pub circuits: BTreeSet<CircuitAt>,
    pub rcds: BTreeSet<RcdAt>,
}

impl Sums<'_> {
    fn circuit(&self, at: CircuitAt) -> &CircuitUse {
        let changed = self.changed_circuits.iter().find(|(circuit, _)| *circuit == at);
        changed.map_or(&self.circuits[at], |(_, used)| used)
    }

    fn rcd(&self, at: RcdAt) -> &RcdUse {
        let changed = self.changed_rcds.iter().find(|(rcd, _)| *rcd == at);
        changed.map_or(&self.rcds[at], |(_, used)| used)
    }

    fn struck(&self, head: HeadAt) -> Option<Struck> {
        Some(struck(self.network, head, self.heads[head].as_ref()?))
    }

    fn is_insisted(&self, head: HeadAt) -> bool {
        self.network.setups[self.setup].strike.contains(&head)
    }

    /// Whether its place matters: it leaks or draws more as it is struck, and the crew does not insist.
    /// The others come last in any case.
    fn is_moved(&self, head: HeadAt) -> bool {
        let matters = |head: Struck| head.strike.0 > 0.0 || over_running(head) > 0.0;
        self.struck(head).is_some_and(matters) && !self.is_insisted(head)
    }

    fn group(&self, first: CircuitAt) -> Group {
        let mut group = Group::default();
        group.circuits.insert(first);
        let mut waiting: Vec<HeadAt> = self.circuit(first).draws.iter().map(|(head, _)| *head).collect();
        while let Some(head) = waiting.pop() {
            if !self.is_moved(head) || !group.heads.insert(head) {
                continue;
            }
            let Some(socket) = self.heads[head].as_ref().and_then(|used| used.socket) else { continue };
            for part in self.network.reach_of(socket).circuits.iter().filter(|part| part.certain) {
                if group.circuits.insert(part.what) {
                    waiting.extend(self.circuit(part.what).draws.iter().map(|(head, _)| *head));
                }
            }
            for (rcd, _) in chain(self.network, socket) {
                if group.rcds.insert(rcd) {
                    waiting.extend(self.rcd(rcd).order.iter().map(|(head, _)| *head));
                }
            }
        }
        group
    }

    fn problem(
        &self,
        group: &Group,
        moved: &[HeadAt],
        in_question: &[CircuitAt],
        ranks: &HashMap<HeadAt, usize>,
    ) -> Problem {
        let of_struck = |head: &HeadAt| self.struck(*head).map_or(0.0, over_running);
        let mut making = Making {
            problem: Problem {
                heads: vec![Vec::new(); moved.len()],
                over_running: moved.iter().map(of_struck).collect(),
                in_question: vec![false; moved.len()],
                ..Problem::default()
            },
            place: moved.iter().enumerate().map(|(place, head)| (*head, place)).collect(),
            ranks,
        };
        for circuit in &group.circuits {
            let used = self.circuit(*circuit);
            let first = making.problem.meters.len();
            for (conductor, before) in used.line_base.iter().enumerate() {
                let on_line = used.draws.iter().filter(|(_, line)| line.conductors().contains(&conductor));
                let adds = on_line.filter_map(|(head, _)| {
                    let struck = self.struck(*head)?;
                    Some((*head, struck.running.0, struck.start.0))
                });
                making.add_meter(self, before.0, adds);
            }
            let rating = self.network.circuits[*circuit].breaker_warm;
            making.problem.limits.push(Limit::Breaker { rating, first, lines: used.line_base.len() });
            if in_question.contains(circuit) {
                for (head, _) in &used.draws {
                    if let Some(place) = making.place.get(head) {
                        making.problem.in_question[*place] = true;
                    }
                }
            }
        }
        for rcd in &group.rcds {
            self.add_rcd(*rcd, &mut making);
        }
        making.problem
    }

    fn add_rcd(&self, rcd: RcdAt, making: &mut Making<'_>) {
        let used = self.rcd(rcd);
        let least = making.problem.meters.len();
        let certain = used.order.iter().filter(|(_, certainty)| *certainty == Certainty::Certain);
        let at_least = certain.map(|(head, _)| {
            let node = &self.network.heads[*head];
            (*head, node.leak.value.low.0, (node.leak.value.low + node.strike.value.low).0)
        });
        making.add_meter(self, used.idle.0, at_least);
        let at_most = used.order.iter().map(|(head, _)| {
            let node = &self.network.heads[*head];
            (*head, node.leak.value.high.0, (node.leak.value.high + node.strike.value.high).0)
        });
        making.add_meter(self, used.others(self.network, rcd).0, at_most);
        making.problem.limits.push(Limit::Rcd { room: used.room.room, least, most: least + 1 });
    }
}

/// A problem in the making.
struct Making<'a> {
    problem: Problem,
    /// Heads that are moved, and their places.
    place: HashMap<HeadAt, usize>,
    ranks: &'a HashMap<HeadAt, usize>,
}

impl Making<'_> {
    /// Adds a meter with what each head adds to it: lit, and striking.
    fn add_meter(&mut self, sums: &Sums<'_>, before: f64, adds: impl Iterator<Item = (HeadAt, f64, f64)>) {
        let meter = self.problem.meters.len();
        let (mut all, mut insisted) = (before, Vec::new());
        for (head, lit, striking) in adds {
            all += lit;
            if let Some(place) = self.place.get(&head) {
                self.problem.heads[*place].push(Share { meter, lit, striking });
            } else if sums.is_insisted(head) {
                insisted.push((self.ranks.get(&head), lit, striking));
            }
        }
        insisted.sort_by_key(|(rank, ..)| *rank);
        let (mut lit_before, mut least_peak) = (before, all);
        for (_, lit, striking) in insisted {
            least_peak = least_peak.max(lit_before + striking);
            lit_before += lit;
        }
        self.problem.meters.push(Meter { before: lit_before, least_peak });
    }
}
