//! The sums of one setup: what each socket, circuit, RCD and supply carries.

use crate::network::{
    CircuitAt, Dense, HeadAt, Network, NeutralAt, Origin, RcdAt, Reach, SetupAt, SocketAt, SupplyAt,
    Terminals,
};
use crate::physics::harmonic::{Draw, LineLoad};
use crate::physics::phasor::Shift;
use crate::plan::Line;
use crate::strike::Struck;
use crate::unit::{Amps, MilliAmps, Minutes};

use super::conflict::{self, is_in_conflict};
use super::neutrals::{self, draw_through, empty_neutrals};
use super::order::{Runs, strike_order};
use super::places::{head_use_again, sockets};
use super::plug::settle_volts;
use super::room::rcd_room;
use super::usage::{
    Certainty, CircuitUse, HeadUse, RcdUse, SetupUse, SupplyUse, empty_circuit, empty_rcd, empty_supply,
    head_draw, line_of,
};

/// Sums one setup up. `before` has its sums while heads were plugged in elsewhere and all else was as it is:
/// what hangs on one head's own plug, or on no plug, is taken from there.
pub(super) fn setup_use(
    network: &Network,
    setup: SetupAt,
    runs: &Runs,
    before: Option<&SetupUse>,
) -> SetupUse {
    setup_use_without(network, setup, runs, before, None)
}

/// Sums one setup up with one head taken out of its socket.
pub(super) fn setup_use_without(
    network: &Network,
    setup: SetupAt,
    runs: &Runs,
    before: Option<&SetupUse>,
    lifted: Option<HeadAt>,
) -> SetupUse {
    let node = &network.setups[setup];
    let place = |head: HeadAt| {
        node.placed[head]
            .as_ref()
            .filter(|_| lifted != Some(head))
            .map(|placed| (placed.socket, placed.links.as_slice()))
    };
    let mut heads: Dense<HeadAt, Option<HeadUse>> = network
        .heads
        .indices()
        .map(|head| {
            let there = before.and_then(|before| before.heads[head].as_ref());
            node.is_on[head].then(|| head_use_again(network, head, place(head), there))
        })
        .collect();
    let placed = |head: HeadAt| heads[head].as_ref().filter(|used| used.socket.is_some());
    let falling = strike_order(network, setup, |head| Some(struck(network, head, placed(head)?)));
    let InOrder { strike_order, sums, spared_breakers, in_conflict } =
        in_best_order(network, setup, before, lifted, falling, &heads, &runs[setup]);
    let Summed { circuits, rcds, supplies, neutrals } = sums;
    for (number, head) in strike_order.iter().enumerate() {
        if let Some(used) = &mut heads[*head] {
            used.strike = Some(number + 1);
        }
    }
    let sockets = sockets(network, setup, &heads, lifted, |socket| {
        feed(&network.sockets[socket].feeds, |circuit| &circuits[circuit])
    });
    for (_, socket) in sockets.iter() {
        for plug in socket.plugs.iter().filter(|plug| plug.heads.len() > 1) {
            settle_volts(network, plug, &mut heads);
        }
    }
    let roomiest = roomiest(network, &rcds);
    let assumed = count_assumed(network, &heads, &circuits, &rcds);
    SetupUse {
        heads,
        sockets,
        circuits,
        rcds,
        supplies,
        neutrals,
        strike_order,
        spared_breakers,
        in_conflict,
        roomiest,
        assumed,
    }
}

/// The sums of heads that are struck in an order.
struct InOrder {
    strike_order: Vec<HeadAt>,
    sums: Summed,
    spared_breakers: Vec<CircuitAt>,
    in_conflict: Vec<CircuitAt>,
}

/// Sums heads up in falling order of strike leakage or, where that lifts a breaker over its rating that
/// another order would keep, in the order that keeps most limits.
fn in_best_order(
    network: &Network,
    setup: SetupAt,
    before: Option<&SetupUse>,
    lifted: Option<HeadAt>,
    falling: Vec<HeadAt>,
    heads: &Dense<HeadAt, Option<HeadUse>>,
    runs: &Dense<HeadAt, Minutes>,
) -> InOrder {
    let node = &network.setups[setup];
    let sum_up = |order: &[HeadAt]| {
        let mut sums = Sums::new(network, setup, before);
        for head in order {
            if let Some(used) = &heads[*head] {
                sums.add_head(*head, used);
            }
        }
        for (head, placed) in node.placed.iter() {
            if let Some(placed) = placed
                && !node.is_on[head]
                && lifted != Some(head)
            {
                sums.add_idle(head, placed.socket);
            }
        }
        sums.finish(heads, runs)
    };
    let sums = sum_up(&falling);
    let in_conflict: Vec<CircuitAt> = sums
        .circuits
        .iter()
        .filter(|(at, used)| is_in_conflict(network, setup, *at, used, heads))
        .map(|(at, _)| at)
        .collect();
    let in_falling = conflict::Sums {
        network,
        setup,
        heads,
        circuits: &sums.circuits,
        rcds: &sums.rcds,
        changed_circuits: &[],
        changed_rcds: &[],
    };
    let Some(strike_order) = conflict::reordered(&in_falling, &in_conflict, &falling, |_| true) else {
        return InOrder { strike_order: falling, sums, spared_breakers: Vec::new(), in_conflict };
    };
    let sums = sum_up(&strike_order);
    let is_kept = |at: &CircuitAt| !sums.circuits[*at].start_peak.is_over(network.circuits[*at].breaker_warm);
    let spared_breakers = in_conflict.iter().copied().filter(is_kept).collect();
    InOrder { strike_order, sums, spared_breakers, in_conflict }
}

/// Amps that a distribution box draws from its socket, on its busiest line, and the heads on it.
pub(super) fn feed<'a>(
    feeds: &[CircuitAt],
    circuit: impl Fn(CircuitAt) -> &'a CircuitUse,
) -> (Amps, Vec<HeadAt>) {
    let line = |line: usize| feeds.iter().map(|at| circuit(*at).line_amps[line]).sum::<Amps>();
    let heads = feeds.iter().flat_map(|at| circuit(*at).heads.iter().copied()).collect();
    (line(0).max(line(1)).max(line(2)), heads)
}

/// What a head does when it is struck.
pub(crate) fn struck(network: &Network, head: HeadAt, used: &HeadUse) -> Struck {
    let node = &network.heads[head];
    Struck {
        standing: node.leak.value.high,
        strike: node.strike.value.high,
        running: used.amps,
        start: used.start,
    }
}

/// RCDs that a head at a socket leaks through: a portable one there, then those upstream.
pub(crate) fn chain(network: &Network, socket: SocketAt) -> impl Iterator<Item = (RcdAt, Certainty)> + '_ {
    let portable = network.sockets[socket].portable;
    let behind_portable = portable.map_or(&[][..], |portable| &network.rcds[portable].upstream);
    let own = portable.into_iter().chain(behind_portable.iter().copied());
    let upstream = network
        .reach_of(socket)
        .rcds
        .iter()
        .filter(move |part| portable != Some(part.what) && !behind_portable.contains(&part.what))
        .map(|part| (part.what, if part.certain { Certainty::Certain } else { Certainty::Possible }));
    own.map(|rcd| (rcd, Certainty::Certain)).chain(upstream)
}

/// RCDs that a head at a socket leaks through for certain, nearest first.
pub(crate) fn certain_chain(network: &Network, socket: SocketAt) -> impl Iterator<Item = RcdAt> + '_ {
    chain(network, socket).filter(|(_, certainty)| *certainty == Certainty::Certain).map(|(rcd, _)| rcd)
}

/// The line or lines of an upstream circuit that a load draws from.
pub(crate) fn line_drawn(network: &Network, reach: &Reach, upstream: CircuitAt) -> Line {
    let there = network.circuits[upstream].line;
    match reach.candidates.as_slice() {
        [only] => {
            let own = network.circuits[*only].line;
            let shared = own.conductors().iter().all(|line| there.conductors().contains(line));
            if shared { own } else { there }
        }
        _ => there,
    }
}

/// Sums while they grow.
pub(super) struct Sums<'a> {
    network: &'a Network,
    pub(super) circuits: Dense<CircuitAt, CircuitUse>,
    pub(super) rcds: Dense<RcdAt, RcdUse>,
    pub(super) supplies: Dense<SupplyAt, SupplyUse>,
    neutrals: Dense<NeutralAt, LineLoad>,
}

/// The sums of a setup, done.
struct Summed {
    circuits: Dense<CircuitAt, CircuitUse>,
    rcds: Dense<RcdAt, RcdUse>,
    supplies: Dense<SupplyAt, SupplyUse>,
    neutrals: Dense<NeutralAt, LineLoad>,
}

impl<'a> Sums<'a> {
    fn new(network: &'a Network, setup: SetupAt, before: Option<&SetupUse>) -> Self {
        let circuits = network.circuits.indices().map(|_| empty_circuit()).collect();
        let room = |rcd| before.map_or_else(|| rcd_room(network, setup, rcd), |before| before.rcds[rcd].room);
        let rcds = network.rcds.indices().map(|rcd| empty_rcd(room(rcd))).collect();
        let supplies = network.supplies.iter().map(|(_, supply)| empty_supply(supply.wiring.value)).collect();
        let mut sums = Self { network, circuits, rcds, supplies, neutrals: empty_neutrals(network) };
        for (circuit, node) in network.circuits.iter() {
            let base_off = &network.setups[setup].base_off;
            let amps = node
                .base
                .iter()
                .enumerate()
                .filter(|(place, _)| !base_off.contains(&(circuit, *place)))
                .map(|(_, load)| load.amps)
                .sum();
            sums.add_base(circuit, amps);
        }
        sums
    }

    /// Adds the base loads of a circuit, there and upstream. Their power factor is taken as 1.
    fn add_base(&mut self, circuit: CircuitAt, amps: Amps) {
        if amps == Amps::ZERO {
            return;
        }
        let network = self.network;
        let reach = &network.reaches[network.circuits[circuit].reach];
        self.circuits[circuit].base += amps;
        for part in &reach.circuits {
            let line = line_drawn(network, reach, part.what);
            let used = &mut self.circuits[part.what];
            for conductor in line.conductors() {
                if part.certain {
                    used.line_base[*conductor] += amps;
                    used.line_amps[*conductor] += amps;
                }
                used.line_possible[*conductor] += amps;
            }
        }
        let base = |line| Draw { line, amps, power_factor: 1.0, shift: Shift::Lagging, spectrum: &[] };
        draw_through(network, reach, |neutral, line| {
            neutrals::add(network, neutral, &mut self.neutrals[neutral], &base(line));
        });
        for part in &reach.supplies {
            let (supply, line) = part.what;
            let node = &network.supplies[supply];
            let lines = u8::try_from(line.conductors().len()).unwrap_or(1);
            let power = Terminals { volts: node.volts_between(line), lines }.power(amps, 1.0);
            self.supplies[supply].add(node.wiring.value, &base(line), part.certain.then_some(power));
        }
    }

    /// Adds a head that burns.
    pub(super) fn add_head(&mut self, head: HeadAt, used: &HeadUse) {
        let Some(socket) = used.socket else { return };
        let network = self.network;
        let reach = network.reach_of(socket);
        for part in &reach.circuits {
            let line = line_drawn(network, reach, part.what);
            self.circuits[part.what].add_head(head, used.amps, line, part.certain);
        }
        draw_through(network, reach, |neutral, line| {
            let draw = head_draw(&network.heads[head], used, line);
            neutrals::add(network, neutral, &mut self.neutrals[neutral], &draw);
        });
        for (rcd, certainty) in chain(network, socket) {
            self.rcds[rcd].order.push((head, certainty));
        }
        if let Some(supply) = reach.supply() {
            self.supplies[supply].add_head(network, head, used);
        }
        for part in &reach.supplies {
            self.supplies[part.what.0].add_current(network, head, used, *part);
        }
    }

    /// Adds a head that is plugged in but off.
    fn add_idle(&mut self, head: HeadAt, socket: SocketAt) {
        let idle = self.network.heads[head].idle.value.high;
        if idle == MilliAmps::ZERO {
            return;
        }
        for (rcd, certainty) in chain(self.network, socket) {
            let used = &mut self.rcds[rcd];
            used.possible_idle += idle;
            if certainty == Certainty::Certain {
                used.idle += idle;
                if self.network.rcds[rcd].poles == Some(4) {
                    let (wiring, line) = line_of(self.network, socket);
                    used.idle_lines.add(wiring, line, idle);
                }
            }
        }
    }

    fn finish(mut self, heads: &Dense<HeadAt, Option<HeadUse>>, runs: &Dense<HeadAt, Minutes>) -> Summed {
        for (circuit, used) in self.circuits.iter_mut() {
            used.settle(self.network, circuit, heads, |head| runs[head]);
        }
        for (rcd, used) in self.rcds.iter_mut() {
            used.settle(self.network, rcd, heads);
        }
        for (neutral, node) in self.network.neutrals.iter() {
            let amps = self.neutrals[neutral].neutral();
            for circuit in &node.circuits {
                self.circuits[*circuit].neutral = Some(amps);
            }
        }
        let Self { circuits, rcds, supplies, neutrals, .. } = self;
        Summed { circuits, rcds, supplies, neutrals }
    }
}

/// The few RCDs that were tested and have most room left.
fn roomiest(network: &Network, rcds: &Dense<RcdAt, RcdUse>) -> Vec<RcdAt> {
    const FEW: usize = 8;
    let mut spare: Vec<(RcdAt, MilliAmps)> = rcds
        .iter()
        .filter(|(at, used)| used.room.tested && !used.room.absent && !network.rcds[*at].darkens.is_empty())
        .map(|(at, used)| (at, used.room.room.low - used.possible_peak))
        .collect();
    spare.sort_by(|a, b| b.1.total_cmp(a.1));
    spare.truncate(FEW);
    spare.into_iter().map(|(at, _)| at).collect()
}

/// How many numbers in use are defaults: a head's amps or leakage, a circuit's rating, an RCD that
/// was not tested, a socket that was not traced.
fn count_assumed(
    network: &Network,
    heads: &Dense<HeadAt, Option<HeadUse>>,
    circuits: &Dense<CircuitAt, CircuitUse>,
    rcds: &Dense<RcdAt, RcdUse>,
) -> usize {
    let in_heads = heads.iter().filter(|(head, used)| {
        let node = &network.heads[*head];
        used.is_some() && (node.amps_origin().is_assumed() || leakage_origin(network, *head).is_assumed())
    });
    let in_circuits = circuits
        .iter()
        .filter(|(at, used)| !used.heads.is_empty() && network.circuits[*at].breaker.origin.is_assumed());
    let in_rcds = rcds.iter().filter(|(_, used)| !used.order.is_empty() && !used.room.tested);
    let untraced = heads.iter().filter(|(_, used)| {
        used.as_ref()
            .and_then(|used| used.socket)
            .is_some_and(|socket| network.sockets[socket].circuit.is_none())
    });
    in_heads.count() + in_circuits.count() + in_rcds.count() + untraced.count()
}

/// Where a head's leakage comes from, the weakest of its parts.
pub(crate) fn leakage_origin(network: &Network, head: HeadAt) -> Origin {
    let node = &network.heads[head];
    node.leak.origin.max(node.strike.origin)
}
