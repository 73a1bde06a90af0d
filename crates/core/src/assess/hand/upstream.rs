//! What a head changes upstream of its socket: circuits, RCDs, supplies.
//!
//! Sockets with the same things upstream give the same answer, so it is worked out once for all of them.

use std::collections::HashMap;
use std::rc::Rc;

use super::Hand;
use super::trial::Order;
use crate::assess::conflict::{self, is_in_conflict};
use crate::assess::neutrals;
use crate::assess::tally::{chain, line_drawn};
use crate::assess::usage::{Certainty, CircuitUse, HeadUse, RcdUse};
use crate::network::{CircuitAt, HeadAt, Link, Part, RcdAt, ReachAt, SocketAt, SupplyAt};
use crate::physics::residual::Outcome;
use crate::plan::Line;
use crate::rule::scope::{Context, check_circuit, check_rcd, check_supply};
use crate::rule::{CircuitScope, Found, RcdScope, SupplyScope};
use crate::unit::{Amps, MilliAmps};

/// What a head changes upstream of its socket, in one setup, and what is found there.
pub(super) struct Upstream {
    /// Circuits that carry it, with it.
    pub circuits: Vec<(CircuitAt, CircuitUse)>,
    /// Found of the circuits.
    pub of_circuits: Found,
    /// Found of the RCDs, then of the supplies.
    pub of_devices: Found,
    /// The circuit where it is traced, and the amps that would be left on it.
    pub circuit_left: Option<(CircuitAt, Amps)>,
    /// The tightest RCD, and the milliamps that would surely be left on it.
    pub rcd_left: Option<(RcdAt, MilliAmps)>,
    /// The worst chance that an RCD drops, where one may.
    pub odds: Option<f64>,
}

/// What is known of one setup and one kind of terminals.
pub(super) struct Known {
    /// By the set of circuits that sockets may be on: a few classes each.
    upstream: HashMap<ReachAt, Vec<(Class, Rc<Upstream>)>>,
    devices: HashMap<Chain, Rc<Devices>>,
    supplies: HashMap<Feeds, Rc<Found>>,
    /// What is found before anything was looked at.
    nothing: Found,
}

/// Supplies and lines that may feed a socket.
type Feeds = Vec<Part<(SupplyAt, Line)>>;

/// Sockets of one class, among those that may be on the same circuits, have the same things upstream of a
/// head that takes the same leads there.
struct Class {
    portable: Option<RcdAt>,
    place: Exposed,
    links: Vec<Link>,
}

/// RCDs that a head leaks through, and whether it hangs in the wet there.
#[derive(PartialEq, Eq, Hash)]
struct Chain {
    rcds: Vec<(RcdAt, Certainty)>,
    place: Exposed,
}

/// What makes a place dangerous where an RCD is not proven.
#[derive(Clone, Copy, PartialEq, Eq, Hash)]
struct Exposed {
    wet: bool,
    outdoor: bool,
}

/// RCDs with the head behind them, and what is found of them.
struct Devices {
    found: Found,
    left: Option<(RcdAt, MilliAmps)>,
    odds: Option<f64>,
}

/// The trial that is looked at.
#[derive(Clone, Copy)]
struct Trial<'a> {
    hand: &'a Hand,
    context: Context<'a>,
    socket: SocketAt,
    used: &'a HeadUse,
    order: &'a Order,
}

impl Known {
    /// Nothing yet; findings are kept as in `nothing`.
    pub(super) fn of(nothing: Found) -> Self {
        Self { upstream: HashMap::new(), devices: HashMap::new(), supplies: HashMap::new(), nothing }
    }

    /// What a head with this use changes upstream of a socket. Heads that share leads there are `sharing`:
    /// what arrives at them hangs on the socket, so that nothing is known from another.
    pub(super) fn upstream<'a>(
        &mut self,
        hand: &'a Hand,
        context: Context<'a>,
        (socket, used): (SocketAt, &'a HeadUse),
        order: &'a Order,
        sharing: &[HeadAt],
    ) -> Rc<Upstream> {
        let trial = Trial { hand, context, socket, used, order };
        let has_block = used.links.iter().any(|link| matches!(link, Link::Block(_)));
        if has_block || !sharing.is_empty() {
            return Rc::new(self.work_out(trial));
        }
        let node = &context.network.sockets[socket];
        let place = trial.exposed();
        let is_like = |class: &Class| {
            class.portable == node.portable && class.place == place && class.links == used.links
        };
        let known =
            self.upstream.get(&node.reach).and_then(|known| known.iter().find(|(own, _)| is_like(own)));
        if let Some((_, upstream)) = known {
            return Rc::clone(upstream);
        }
        let upstream = Rc::new(self.work_out(trial));
        let class = Class { portable: node.portable, place, links: used.links.clone() };
        self.upstream.entry(node.reach).or_default().push((class, Rc::clone(&upstream)));
        upstream
    }

    fn work_out(&mut self, trial: Trial<'_>) -> Upstream {
        let mut circuits = trial.circuits();
        trial.settle_circuits(&mut circuits, |head| trial.order.ranks[head]);
        let in_conflict = trial.in_conflict(&circuits);
        let better = trial.better_order(&mut circuits, &in_conflict);
        let (devices, of_supplies) = match &better {
            None => (self.devices(trial), self.supplies(trial)),
            Some(ranks) => {
                let rank = |head: HeadAt| ranks.get(&head).copied().unwrap_or(usize::MAX);
                (
                    Rc::new(trial.devices(rank, self.nothing.empty())),
                    Rc::new(trial.supplies(Some(ranks), self.nothing.empty())),
                )
            }
        };
        let mut of_circuits = self.nothing.empty();
        for (circuit, used) in &circuits {
            let (context, heads) = (trial.context, &trial.order.heads);
            check_circuit(&CircuitScope { context, heads, circuit: *circuit, used }, &mut of_circuits);
        }
        let mut of_devices = self.nothing.empty();
        of_devices.extend(&devices.found);
        of_devices.extend(&of_supplies);
        let candidates = &trial.context.network.reach_of(trial.socket).candidates;
        let traced = circuits.iter().find(|(at, _)| *candidates == [*at]);
        Upstream {
            circuit_left: traced.map(|(at, used)| (*at, used.limit - used.possible)),
            circuits,
            of_circuits,
            of_devices,
            rcd_left: devices.left,
            odds: devices.odds,
        }
    }

    fn devices(&mut self, trial: Trial<'_>) -> Rc<Devices> {
        let network = trial.context.network;
        let rcds: Vec<_> = chain(network, trial.socket).collect();
        let rank = |head: HeadAt| trial.order.ranks[head];
        // A device with a pole for each line tells one line from the other.
        if rcds.iter().any(|(rcd, _)| network.rcds[*rcd].poles == Some(4)) {
            return Rc::new(trial.devices(rank, self.nothing.empty()));
        }
        let known = self.devices.entry(Chain { rcds, place: trial.exposed() });
        Rc::clone(known.or_insert_with(|| Rc::new(trial.devices(rank, self.nothing.empty()))))
    }

    fn supplies(&mut self, trial: Trial<'_>) -> Rc<Found> {
        let parts = trial.context.network.reach_of(trial.socket).supplies.clone();
        let known = self.supplies.entry(parts);
        Rc::clone(known.or_insert_with(|| Rc::new(trial.supplies(None, self.nothing.empty()))))
    }
}

impl Trial<'_> {
    fn exposed(self) -> Exposed {
        let place = &self.context.network.sockets[self.socket].place;
        Exposed { wet: place.wet, outdoor: place.outdoor }
    }

    /// The circuits that the head loads, with it, in no order of striking yet.
    fn circuits(self) -> Vec<(CircuitAt, CircuitUse)> {
        let (network, head) = (self.context.network, self.hand.head);
        let lifted = &self.hand.lifted[self.context.setup];
        let reach = network.reach_of(self.socket);
        let with_head = |part: &Part<CircuitAt>| {
            let mut circuit = lifted.circuits[part.what].clone();
            circuit.add_head(head, self.used.amps, line_drawn(network, reach, part.what), part.certain);
            if let Some(neutral) = network.circuits[part.what].neutral {
                circuit.neutral =
                    Some(neutrals::with_head(network, lifted, reach, (head, self.used), neutral));
            }
            (part.what, circuit)
        };
        reach.circuits.iter().map(with_head).collect()
    }

    /// Works out what follows from the sums of circuits, with the heads in this order.
    fn settle_circuits(self, circuits: &mut [(CircuitAt, CircuitUse)], rank: impl Fn(HeadAt) -> usize) {
        let network = self.context.network;
        let run = self.hand.run(network, self.context.setup, self.socket);
        for (at, circuit) in circuits {
            circuit.draws.sort_by_key(|(head, _)| rank(*head));
            circuit.heads.sort_by_key(|head| rank(*head));
            let runs = |head: HeadAt| if head == self.hand.head { run } else { self.order.runs[head] };
            circuit.settle(network, *at, &self.order.heads, runs);
        }
    }

    /// Breakers that the falling order does not keep and another would.
    fn in_conflict(self, circuits: &[(CircuitAt, CircuitUse)]) -> Vec<CircuitAt> {
        let (network, setup) = (self.context.network, self.context.setup);
        let is_touched = |at: CircuitAt| circuits.iter().any(|(circuit, _)| *circuit == at);
        let elsewhere = self.hand.lifted[setup].in_conflict.iter().copied().filter(|at| !is_touched(*at));
        let here = circuits
            .iter()
            .filter(|(at, used)| is_in_conflict(network, setup, *at, used, &self.order.heads))
            .map(|(at, _)| *at);
        elsewhere.chain(here).collect()
    }

    /// Each head's place in the order of striking, where it is not the falling one; `circuits` are settled
    /// by it then.
    fn better_order(
        self,
        circuits: &mut Vec<(CircuitAt, CircuitUse)>,
        in_conflict: &[CircuitAt],
    ) -> Option<HashMap<HeadAt, usize>> {
        if in_conflict.is_empty() {
            return None;
        }
        let (network, setup, order) = (self.context.network, self.context.setup, self.order);
        let lifted = &self.hand.lifted[setup];
        let rcds = self.rcds(|head| order.ranks[head]);
        let sums = conflict::Sums {
            network,
            setup,
            heads: &order.heads,
            circuits: &lifted.circuits,
            rcds: &lifted.rcds,
            changed_circuits: circuits,
            changed_rcds: &rcds,
        };
        // What a battery station gives for moments hangs on the order of all heads, else only groups that
        // the head is in can turn out in another way.
        let orders_all = network.plan.supplies.values().any(|supply| supply.peak_kw.is_some());
        let concerns = |group: &conflict::Group| {
            orders_all
                || circuits.iter().any(|(at, _)| group.circuits.contains(at))
                || rcds.iter().any(|(at, _)| group.rcds.contains(at))
        };
        let better = conflict::reordered(&sums, in_conflict, &order.falling, concerns)?;
        let ranks: HashMap<HeadAt, usize> =
            better.into_iter().enumerate().map(|(rank, head)| (head, rank)).collect();
        self.settle_circuits(circuits, |head| ranks.get(&head).copied().unwrap_or(usize::MAX));
        Some(ranks)
    }

    /// The RCDs that the head leaks through, with it, in this order.
    fn rcds(self, rank: impl Fn(HeadAt) -> usize) -> Vec<(RcdAt, RcdUse)> {
        let network = self.context.network;
        let lifted = &self.hand.lifted[self.context.setup];
        let with_head = |(rcd, certainty): (RcdAt, Certainty)| {
            let mut device = lifted.rcds[rcd].clone();
            device.order.push((self.hand.head, certainty));
            device.order.sort_by_key(|(head, _)| rank(*head));
            device.settle(network, rcd, &self.order.heads);
            (rcd, device)
        };
        chain(network, self.socket).map(with_head).collect()
    }

    /// The RCDs, and what is found of them on top of `found`.
    fn devices(self, rank: impl Fn(HeadAt) -> usize, found: Found) -> Devices {
        let rcds = self.rcds(rank);
        let mut devices = Devices { found, left: None, odds: None };
        for (rcd, used) in &rcds {
            let scope = RcdScope::new(self.context, &self.order.heads, (*rcd, used), &rcds);
            check_rcd(&scope, &mut devices.found);
            if used.outcome == Outcome::MayTrip {
                devices.odds = Some(devices.odds.map_or(used.odds, |odds| odds.max(used.odds)));
            }
            let left = used.room.room.low - used.possible_peak;
            let tightest = devices.left.is_none_or(|(_, least)| least.is_over(left));
            if !used.room.absent && tightest {
                devices.left = Some((*rcd, left));
            }
        }
        devices
    }

    /// Findings of the supplies that feed the head, or may; `ranks` where the order is not the falling one.
    fn supplies(self, ranks: Option<&HashMap<HeadAt, usize>>, mut found: Found) -> Found {
        let (network, order, head) = (self.context.network, self.order, self.hand.head);
        let reach = network.reach_of(self.socket);
        for (at, supply) in self.hand.lifted[self.context.setup].supplies.iter() {
            if !reach.supplies.iter().any(|part| part.what.0 == at) {
                continue;
            }
            let mut supply = supply.clone();
            if reach.supply() == Some(at) {
                supply.add_head(network, head, self.used);
                match ranks {
                    Some(ranks) => {
                        supply.heads.sort_by_key(|head| ranks.get(head).copied().unwrap_or(usize::MAX));
                    }
                    None => supply.heads.sort_by_key(|head| order.ranks[*head]),
                }
            }
            for part in reach.supplies.iter().filter(|part| part.what.0 == at) {
                supply.add_current(network, head, self.used, *part);
            }
            let scope = SupplyScope { context: self.context, heads: &order.heads, supply: at, used: &supply };
            check_supply(&scope, &mut found);
        }
        found
    }
}
