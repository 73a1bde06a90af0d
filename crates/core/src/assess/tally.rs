//! The sums of one setup: what each socket, circuit, RCD and supply carries.

use crate::network::{
    At, BlockAt, CircuitAt, Dense, HeadAt, Link, Network, Origin, Part, RcdAt, Reach, SetupAt, SocketAt,
    SupplyAt, Terminals,
};
use crate::physics::phasor::{LineCurrents, Phasor, Shift, line_currents};
use crate::physics::residual::{Outcome, odds, outcome};
use crate::plan::Line;
use crate::strike::{Struck, peak_amps, peak_leakage};
use crate::unit::{Amps, KiloWatts, Metres, MilliAmps, Minutes, Watts};

use super::order::{Runs, strike_order};
use super::places::{head_use, heads_by_socket, socket_use};
use super::room::{RcdRoom, rcd_room};

/// Loads of this long and more are continuous (NEC article 100, from memory).
const CONTINUOUS: Minutes = Minutes(180.0);

/// What everything carries in one setup.
#[derive(Clone, Debug, PartialEq)]
pub struct SetupUse {
    /// Heads that are on; `None` for the others.
    pub heads: Dense<HeadAt, Option<HeadUse>>,
    /// Sockets.
    pub sockets: Dense<SocketAt, SocketUse>,
    /// Circuits.
    pub circuits: Dense<CircuitAt, CircuitUse>,
    /// RCDs.
    pub rcds: Dense<RcdAt, RcdUse>,
    /// Supplies.
    pub supplies: Dense<SupplyAt, SupplyUse>,
    /// The heads that are on and plugged in, in the order in which they are struck.
    pub strike_order: Vec<HeadAt>,
    /// RCDs that were tested and have most room left, roomiest first: where a head may be moved to.
    pub(crate) roomiest: Vec<RcdAt>,
    /// How many numbers in use are defaults, not measured and not from a nameplate.
    pub assumed: usize,
}

/// A head that is on.
#[derive(Clone, Debug, PartialEq)]
pub struct HeadUse {
    /// Where it is plugged in; `None`: not placed.
    pub socket: Option<SocketAt>,
    /// Leads and blocks, wall first.
    pub links: Vec<Link>,
    /// Volts and lines that it hangs between.
    pub terminals: Terminals,
    /// Running amps at nominal volts.
    pub amps: Amps,
    /// Amps in all while it runs up.
    pub start: Amps,
    /// Metres of lead.
    pub lead: Metres,
    /// Metres that it takes, where both places are known.
    pub lead_needed: Option<Metres>,
    /// Its number in the strike order, from 1.
    pub strike: Option<usize>,
}

/// What one socket carries.
#[derive(Clone, Debug, PartialEq)]
pub struct SocketUse {
    /// One a plug in the wall.
    pub plugs: Vec<PlugUse>,
    /// Amps of a distribution box on it, its busiest line.
    pub feed: Amps,
    /// Heads that hang on that box.
    pub fed: Vec<HeadAt>,
    /// Amps in all.
    pub amps: Amps,
}

/// One plug in the wall: a head, or a block with several.
#[derive(Clone, Debug, PartialEq)]
pub struct PlugUse {
    /// The heads on it.
    pub heads: Vec<HeadAt>,
    /// The block that begins it.
    pub block: Option<BlockAt>,
    /// Their running amps.
    pub amps: Amps,
}

/// What one circuit carries.
#[derive(Clone, Debug, PartialEq)]
pub struct CircuitUse {
    /// Running amps of its busiest line, base loads included, for certain.
    pub amps: Amps,
    /// The same with every untraced head that may be on it, and what others may draw.
    pub possible: Amps,
    /// What it may carry.
    pub limit: Amps,
    /// Whether `limit` is lowered for a load of three hours and more.
    pub continuous: bool,
    /// Largest amps while its heads are struck in order.
    pub start_peak: Amps,
    /// Amps of base loads, in `amps`.
    pub base: Amps,
    /// Heads on it for certain, those behind a distribution box included, in the order of striking.
    pub heads: Vec<HeadAt>,
    /// Heads that may be on it.
    pub possible_heads: Vec<HeadAt>,
    pub(super) draws: Vec<(HeadAt, Line)>,
    pub(super) line_base: [Amps; 3],
    pub(super) line_amps: [Amps; 3],
    pub(super) line_possible: [Amps; 3],
}

/// What one RCD sees.
#[derive(Clone, Debug, PartialEq)]
pub struct RcdUse {
    /// Room left on it, and what that rests on.
    pub room: RcdRoom,
    /// Leakage while all burn, for certain.
    pub standing: MilliAmps,
    /// Largest leakage while its heads are struck, for certain.
    pub peak: MilliAmps,
    /// `standing` with every untraced head that may be behind it, and what others may leak.
    pub possible_standing: MilliAmps,
    /// `peak` with the same.
    pub possible_peak: MilliAmps,
    /// What happens while they are struck.
    pub outcome: Outcome,
    /// Chance that it drops meanwhile, 0 to 1.
    pub odds: f64,
    /// Heads behind it for certain, in the order of striking.
    pub heads: Vec<HeadAt>,
    /// Heads that may be behind it.
    pub possible_heads: Vec<HeadAt>,
    /// Leakage of heads that are plugged in but off.
    pub idle: MilliAmps,
    pub(super) possible_idle: MilliAmps,
    pub(crate) order: Vec<(HeadAt, Certainty)>,
}

/// Whether something is so, or may be.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Certainty {
    Certain,
    Possible,
}

/// What one supply gives.
#[derive(Clone, Debug, PartialEq)]
pub struct SupplyUse {
    /// Current of each line, a phasor sum, for certain.
    pub lines: LineCurrents,
    /// Real power.
    pub kw: KiloWatts,
    /// Amps of untraced heads that each line may carry on top, arithmetic.
    pub possible: [Amps; 3],
    /// Heads on it for certain.
    pub heads: Vec<HeadAt>,
}

impl SupplyUse {
    /// Amps of its busiest line, for certain, and that line.
    #[must_use]
    pub fn busiest(&self) -> (usize, Amps) {
        let amps = self.lines.map(Phasor::amps);
        (0..3)
            .map(|line| (line, amps[line]))
            .fold((0, amps[0]), |best, next| if next.1.is_over(best.1) { next } else { best })
    }
}

/// Sums one setup up.
pub(super) fn setup_use(network: &Network, setup: SetupAt, runs: &Runs) -> SetupUse {
    setup_use_without(network, setup, runs, None)
}

/// Sums one setup up with one head taken out of its socket.
pub(super) fn setup_use_without(
    network: &Network,
    setup: SetupAt,
    runs: &Runs,
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
        .map(|head| node.is_on[head].then(|| head_use(network, head, place(head))))
        .collect();
    let strike_order = strike_order(network, setup, |head| {
        heads[head].as_ref().filter(|used| used.socket.is_some()).map(|used| struck(network, head, used))
    });
    for (number, head) in strike_order.iter().enumerate() {
        if let Some(used) = &mut heads[*head] {
            used.strike = Some(number + 1);
        }
    }
    let mut sums = Sums::new(network, setup);
    for head in &strike_order {
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
    let (circuits, rcds, supplies) = sums.finish(&heads, &runs[setup]);
    let sockets = sockets(network, setup, &heads, &circuits, lifted);
    let roomiest = roomiest(network, &rcds);
    let assumed = count_assumed(network, &heads, &circuits, &rcds);
    SetupUse { heads, sockets, circuits, rcds, supplies, strike_order, roomiest, assumed }
}

fn sockets(
    network: &Network,
    setup: SetupAt,
    heads: &Dense<HeadAt, Option<HeadUse>>,
    circuits: &Dense<CircuitAt, CircuitUse>,
    lifted: Option<HeadAt>,
) -> Dense<SocketAt, SocketUse> {
    let amps_of = |head: HeadAt| heads[head].as_ref().map_or(Amps::ZERO, |used| used.amps);
    heads_by_socket(network, setup)
        .into_iter()
        .enumerate()
        .map(|(socket, on)| {
            let with_links: Vec<(HeadAt, &[Link])> = on
                .iter()
                .filter(|head| lifted != Some(**head))
                .filter_map(|head| Some((*head, heads[*head].as_ref()?.links.as_slice())))
                .collect();
            let feed = feed(&network.sockets[SocketAt::new(socket)].feeds, |circuit| &circuits[circuit]);
            socket_use(network, &with_links, amps_of, feed)
        })
        .collect()
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
pub(super) fn chain(network: &Network, socket: SocketAt) -> impl Iterator<Item = (RcdAt, Certainty)> {
    let node = &network.sockets[socket];
    let reach = network.reach_of(socket);
    let own = node.portable.into_iter().flat_map(|portable| {
        std::iter::once(portable).chain(network.rcds[portable].upstream.iter().copied())
    });
    let own: Vec<RcdAt> = own.collect();
    let upstream = reach
        .rcds
        .iter()
        .filter(|part| !own.contains(&part.what))
        .map(|part| (part.what, if part.certain { Certainty::Certain } else { Certainty::Possible }))
        .collect::<Vec<_>>();
    own.into_iter().map(|rcd| (rcd, Certainty::Certain)).chain(upstream)
}

/// The line or lines of an upstream circuit that a load draws from.
pub(super) fn line_drawn(network: &Network, reach: &Reach, upstream: CircuitAt) -> Line {
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

/// Real power of a load of `amps` a line.
pub(super) fn watts(terminals: Terminals, amps: Amps, power_factor: f64) -> Watts {
    let span = if terminals.lines == 3 { 3.0_f64.sqrt() } else { 1.0 };
    Watts(terminals.volts.0 * span * amps.0 * power_factor)
}

/// Sums while they grow.
pub(super) struct Sums<'a> {
    network: &'a Network,
    pub(super) circuits: Dense<CircuitAt, CircuitUse>,
    pub(super) rcds: Dense<RcdAt, RcdUse>,
    pub(super) supplies: Dense<SupplyAt, SupplyUse>,
}

impl<'a> Sums<'a> {
    fn new(network: &'a Network, setup: SetupAt) -> Self {
        let circuits = network.circuits.indices().map(|_| empty_circuit()).collect();
        let rcds = network.rcds.indices().map(|rcd| empty_rcd(rcd_room(network, setup, rcd))).collect();
        let supplies = network.supplies.indices().map(|_| empty_supply()).collect();
        let mut sums = Self { network, circuits, rcds, supplies };
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
        for part in &reach.supplies {
            let (supply, line) = part.what;
            let node = &network.supplies[supply];
            let lines = u8::try_from(line.conductors().len()).unwrap_or(1);
            let power = watts(Terminals { volts: node.volts_between(line), lines }, amps, 1.0);
            let currents = line_currents(node.wiring.value, line, amps, 1.0, Shift::Lagging);
            self.supplies[supply].add(currents, part.certain.then_some(power), amps, line);
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
            }
        }
    }

    fn finish(
        mut self,
        heads: &Dense<HeadAt, Option<HeadUse>>,
        runs: &Dense<HeadAt, Minutes>,
    ) -> (Dense<CircuitAt, CircuitUse>, Dense<RcdAt, RcdUse>, Dense<SupplyAt, SupplyUse>) {
        for (circuit, used) in self.circuits.iter_mut() {
            used.settle(self.network, circuit, heads, runs);
        }
        for (rcd, used) in self.rcds.iter_mut() {
            used.settle(self.network, rcd, heads);
        }
        (self.circuits, self.rcds, self.supplies)
    }
}

impl SupplyUse {
    /// Adds the power of a head that is on this supply for certain.
    pub(super) fn add_head(&mut self, network: &Network, head: HeadAt, used: &HeadUse) {
        self.heads.push(head);
        self.kw += watts(used.terminals, used.amps, network.heads[head].power_factor.value).into();
    }

    /// Adds the current of a head to the lines that it is on, or may be on.
    pub(super) fn add_current(
        &mut self,
        network: &Network,
        head: HeadAt,
        used: &HeadUse,
        part: Part<(SupplyAt, Line)>,
    ) {
        let (supply, line) = part.what;
        let node = &network.heads[head];
        let shift = if node.leading { Shift::Leading } else { Shift::Lagging };
        let wiring = network.supplies[supply].wiring.value;
        let currents = line_currents(wiring, line, used.amps, node.power_factor.value, shift);
        self.add(currents, part.certain.then_some(Watts::ZERO), used.amps, line);
    }

    fn add(&mut self, currents: LineCurrents, certain: Option<Watts>, amps: Amps, line: Line) {
        match certain {
            Some(power) => {
                self.kw += power.into();
                for (sum, current) in self.lines.iter_mut().zip(currents) {
                    *sum += current;
                }
            }
            None => {
                for conductor in line.conductors() {
                    self.possible[*conductor] += amps;
                }
            }
        }
    }
}

impl CircuitUse {
    pub(super) fn add_head(&mut self, head: HeadAt, amps: Amps, line: Line, certain: bool) {
        for conductor in line.conductors() {
            if certain {
                self.line_amps[*conductor] += amps;
            }
            self.line_possible[*conductor] += amps;
        }
        if certain {
            self.heads.push(head);
            self.draws.push((head, line));
        } else {
            self.possible_heads.push(head);
        }
    }

    /// Works out what follows from the sums.
    pub(super) fn settle(
        &mut self,
        network: &Network,
        circuit: CircuitAt,
        heads: &Dense<HeadAt, Option<HeadUse>>,
        runs: &Dense<HeadAt, Minutes>,
    ) {
        let node = &network.circuits[circuit];
        let busiest = |lines: &[Amps; 3]| lines[0].max(lines[1]).max(lines[2]);
        let plan = network.plan.circuits.get_index(circuit.get()).map(|(_, circuit)| circuit);
        let reserve = plan.and_then(|circuit| circuit.reserve).unwrap_or(Amps::ZERO);
        self.amps = busiest(&self.line_amps);
        self.possible = busiest(&self.line_possible) + reserve;
        let factor = network.region.continuous_factor.filter(|_| {
            self.heads.iter().chain(&self.possible_heads).any(|head| runs[*head].reaches(CONTINUOUS))
        });
        self.continuous = factor.is_some();
        self.limit = node.breaker_warm * factor.unwrap_or(1.0);
        self.start_peak = (0..3)
            .map(|conductor| {
                let struck = self
                    .draws
                    .iter()
                    .filter(|(_, line)| line.conductors().contains(&conductor))
                    .filter_map(|(head, _)| Some(struck(network, *head, heads[*head].as_ref()?)));
                peak_amps(struck, self.line_base[conductor])
            })
            .fold(Amps::ZERO, Amps::max);
    }
}

impl RcdUse {
    /// Works out what follows from the order.
    pub(super) fn settle(&mut self, network: &Network, rcd: RcdAt, heads: &Dense<HeadAt, Option<HeadUse>>) {
        let struck = |head: HeadAt| heads[head].as_ref().map(|used| struck(network, head, used));
        let certain = || {
            self.order
                .iter()
                .filter(|(_, certainty)| *certainty == Certainty::Certain)
                .filter_map(|(head, _)| struck(*head))
        };
        let all = || self.order.iter().filter_map(|(head, _)| struck(*head));
        let reserve = network.rcds[rcd].reserve.unwrap_or(MilliAmps::ZERO);
        self.standing = certain().map(|head| head.standing).sum::<MilliAmps>() + self.idle;
        self.peak = peak_leakage(certain(), self.idle);
        self.possible_standing =
            all().map(|head| head.standing).sum::<MilliAmps>() + self.possible_idle + reserve;
        self.possible_peak = peak_leakage(all(), self.possible_idle + reserve);
        let pick = |wanted| {
            let chosen = self.order.iter().filter(move |(_, certainty)| *certainty == wanted);
            chosen.map(|(head, _)| *head).collect::<Vec<_>>()
        };
        (self.heads, self.possible_heads) = (pick(Certainty::Certain), pick(Certainty::Possible));
        let room = self.room.room;
        self.outcome = match (outcome(self.peak, room), outcome(self.possible_peak, room)) {
            (Outcome::Trips, _) => Outcome::Trips,
            (_, Outcome::Holds) => Outcome::Holds,
            _ => Outcome::MayTrip,
        };
        self.odds = odds(self.possible_peak, room);
    }
}

fn empty_circuit() -> CircuitUse {
    CircuitUse {
        amps: Amps::ZERO,
        possible: Amps::ZERO,
        limit: Amps::ZERO,
        continuous: false,
        start_peak: Amps::ZERO,
        base: Amps::ZERO,
        heads: Vec::new(),
        possible_heads: Vec::new(),
        draws: Vec::new(),
        line_base: [Amps::ZERO; 3],
        line_amps: [Amps::ZERO; 3],
        line_possible: [Amps::ZERO; 3],
    }
}

fn empty_rcd(room: RcdRoom) -> RcdUse {
    RcdUse {
        room,
        standing: MilliAmps::ZERO,
        peak: MilliAmps::ZERO,
        possible_standing: MilliAmps::ZERO,
        possible_peak: MilliAmps::ZERO,
        outcome: Outcome::Holds,
        odds: 0.0,
        heads: Vec::new(),
        possible_heads: Vec::new(),
        idle: MilliAmps::ZERO,
        possible_idle: MilliAmps::ZERO,
        order: Vec::new(),
    }
}

fn empty_supply() -> SupplyUse {
    SupplyUse {
        lines: LineCurrents::default(),
        kw: KiloWatts::ZERO,
        possible: [Amps::ZERO; 3],
        heads: Vec::new(),
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
