//! What each head, socket, circuit, RCD and supply carries in one setup, and what follows from sums.

use crate::library::Region;
use crate::network::{
    At, CircuitAt, Dense, HeadAt, HeadNode, Link, Network, NeutralAt, Part, RcdAt, SocketAt, SupplyAt,
    Terminals,
};
use crate::physics::breaker::{TripWindow, trip_window};
use crate::physics::cable::{Drawing, arriving_volts};
use crate::physics::filament::{filament_amps, filament_colour, filament_light};
use crate::physics::harmonic::{Draw, LineLoad};
use crate::physics::inrush::Inrush;
use crate::physics::phasor::{LineCurrents, Phasor, Shift, line_currents};
use crate::physics::residual::{LineLeakage, Outcome, StruckLeakage, odds, odds_of_order, outcome};
use crate::plan::{Line, Load, Wiring};
use crate::strike::{Struck, peak_amps, peak_leakage};
use crate::unit::{Amps, Kelvin, KiloWatts, Leakage, Metres, MilliAmps, Minutes, Ohms, Volts, Watts};

use super::inrush::{CircuitInrush, circuit_inrush};
use super::plug::PlugUse;
use super::room::RcdRoom;
use super::tally::struck;

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
    /// Loads that meet in each shared neutral, for certain.
    pub neutrals: Dense<NeutralAt, LineLoad>,
    /// The heads that are on and plugged in, in the order in which they are struck.
    pub strike_order: Vec<HeadAt>,
    /// Breakers for which that order departs from falling strike leakage, and which it keeps.
    pub spared_breakers: Vec<CircuitAt>,
    /// Breakers that falling strike leakage does not keep and another order would.
    pub(super) in_conflict: Vec<CircuitAt>,
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
    /// Its inrush, where known.
    pub inrush: Option<Inrush>,
    /// Metres of lead.
    pub lead: Metres,
    /// Metres that it takes, where both places are known.
    pub lead_needed: Option<Metres>,
    /// Resistance of one conductor of its leads, those that it shares included; `None` where one is of a
    /// size below the smallest known.
    pub conductor: Option<Ohms>,
    /// Volts that arrive at it, with the drop of all that shares its leads; `None` where it is not placed,
    /// where its leads cannot bring what is asked of them, or where their resistance is not known.
    pub arriving: Option<Volts>,
    /// Its running amps with the mains at the region's lowest and its leads between; `None` where it is not
    /// placed, or where they cannot bring what is asked of them. A lead of unknown resistance counts as none.
    pub at_lowest: Option<Amps>,
    /// What it shares leads or a block with; `None`: nothing.
    pub shared: Option<Shared>,
    /// Its number in the strike order, from 1.
    pub strike: Option<usize>,
}

/// Leads, or a block, that a head does not have for itself.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Shared {
    /// How many heads share the plug in the wall with it.
    pub with: usize,
}

/// What one socket carries.
#[derive(Clone, Debug, PartialEq)]
pub struct SocketUse {
    /// One a plug in the wall, on or off.
    pub plugs: Vec<PlugUse>,
    /// Heads that are plugged in but off, in the order of the plan.
    pub dark: Vec<HeadAt>,
    /// Amps of a distribution box on it, its busiest line.
    pub feed: Amps,
    /// Heads that hang on that box.
    pub fed: Vec<HeadAt>,
    /// Amps in all.
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
    /// Inrush of its heads against its breaker's magnetic band; `None` where its curve has no published
    /// band, or nobody knows the inrush of any of them.
    pub inrush: Option<CircuitInrush>,
    /// What its neutral carries where it shares it with other circuits, theirs included, for certain.
    pub neutral: Option<Amps>,
    /// When its breaker opens at `amps`, from cold.
    pub window: TripWindow,
    /// Whether the breaker stays up through the setup, after what came before it without a break.
    pub breaker: Outcome,
    /// Amps of base loads, in `amps`.
    pub base: Amps,
    /// Heads on it for certain, those behind a distribution box included, in the order of striking.
    pub heads: Vec<HeadAt>,
    /// Heads that may be on it.
    pub possible_heads: Vec<HeadAt>,
    pub(crate) draws: Vec<(HeadAt, Line)>,
    pub(crate) line_base: [Amps; 3],
    pub(super) line_amps: [Amps; 3],
    pub(crate) line_possible: [Amps; 3],
}

/// What one RCD sees.
#[derive(Clone, Debug, PartialEq)]
pub struct RcdUse {
    /// Room left on it, and what that rests on.
    pub room: RcdRoom,
    /// Leakage while all burn, for certain.
    pub standing: MilliAmps,
    /// On a 4-pole device: `standing` as a vector sum over the lines, at the fundamental. Third harmonics
    /// of leakage add instead of cancelling, so `standing` decides; `None` on any other device.
    pub vector_standing: Option<MilliAmps>,
    /// Largest leakage while its heads are struck, for certain.
    pub peak: MilliAmps,
    /// `standing` with every untraced head that may be behind it, and what others may leak.
    pub possible_standing: MilliAmps,
    /// `peak` with the same.
    pub possible_peak: MilliAmps,
    /// What happens while they are struck.
    pub outcome: Outcome,
    /// Chance that it drops at any step meanwhile, 0 to 1.
    pub odds: f64,
    /// Heads behind it for certain, in the order of striking.
    pub heads: Vec<HeadAt>,
    /// Heads that may be behind it.
    pub possible_heads: Vec<HeadAt>,
    /// Leakage of heads that are plugged in but off.
    pub idle: MilliAmps,
    pub(super) possible_idle: MilliAmps,
    /// `idle` by lines, on a 4-pole device.
    pub(super) idle_lines: LineLeakage,
    pub(crate) order: Vec<(HeadAt, Certainty)>,
}

/// Whether something is so, or may be.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(crate) enum Certainty {
    Certain,
    Possible,
}

/// What one supply gives.
#[derive(Clone, Debug, PartialEq)]
pub struct SupplyUse {
    /// Current of each line, a phasor sum from real power and whole power factor, for certain.
    pub lines: LineCurrents,
    /// The same order by order, for the neutral and the apparent power.
    pub orders: LineLoad,
    /// Real power.
    pub kw: KiloWatts,
    /// Amps of untraced heads that each line may carry on top, arithmetic.
    pub possible: [Amps; 3],
    /// Heads on it for certain.
    pub heads: Vec<HeadAt>,
}

impl SocketUse {
    /// Whether anything that burns hangs on it.
    #[must_use]
    pub fn is_used(&self) -> bool {
        !self.fed.is_empty() || self.plugs.iter().any(|plug| !plug.heads.is_empty())
    }
}

impl SetupUse {
    /// Tells every piece of lead and every block in use once, each with the first head on it.
    pub(crate) fn each_piece(&self, mut tell: impl FnMut(Link, HeadAt)) {
        for (_, socket) in self.sockets.iter() {
            socket.plugs.iter().for_each(|plug| plug.each_piece(&self.heads, &mut tell));
        }
    }
}

impl HeadUse {
    /// Share of its volts that is lost on its leads, percent.
    #[must_use]
    pub fn drop_percent(&self) -> Option<f64> {
        self.arriving.map(|volts| 100.0 * (1.0 - volts / self.terminals.volts))
    }

    /// Its running amps at the volts that arrive; `None` where those are not known.
    #[must_use]
    pub fn amps_arriving(&self, node: &HeadNode) -> Option<Amps> {
        self.arriving.map(|volts| self.amps_on(node, volts))
    }

    pub(super) fn amps_on(&self, node: &HeadNode, volts: Volts) -> Amps {
        let nominal = self.terminals.volts;
        match node.load {
            Load::Steady => self.amps / (volts / nominal),
            Load::Filament => self.amps * filament_amps(volts, nominal),
            Load::Resistive => self.amps * (volts / nominal),
        }
    }

    /// Light of a filament at the volts that arrive, percent of its light at its rated ones; `None` for
    /// what is no filament, and where the volts are not known.
    #[must_use]
    pub fn light_percent(&self, node: &HeadNode) -> Option<f64> {
        let (volts, rated) = self.filament_volts(node)?;
        Some(100.0 * filament_light(volts, rated))
    }

    /// Colour temperature of a filament at the volts that arrive; its rated one is assumed
    /// ([`RATED_COLOUR`](crate::physics::filament::RATED_COLOUR)). `None` as for the light.
    #[must_use]
    pub fn colour(&self, node: &HeadNode) -> Option<Kelvin> {
        let (volts, rated) = self.filament_volts(node)?;
        Some(filament_colour(volts, rated))
    }

    fn filament_volts(&self, node: &HeadNode) -> Option<(Volts, Volts)> {
        let rated = node.volts.unwrap_or(self.terminals.volts);
        (node.load == Load::Filament).then_some((self.arriving?, rated))
    }

    /// How it draws, line to neutral where it is on three lines; its amps are those at nominal volts.
    pub(super) fn drawing(&self, node: &HeadNode) -> Drawing {
        Drawing {
            rated: self.terminals.volts / self.terminals.span(),
            amps: self.amps,
            power_factor: node.power_factor.value,
            load: node.load,
        }
    }
}

/// What a head draws from a line or lines.
pub(super) fn head_draw<'a>(node: &'a HeadNode, used: &HeadUse, line: Line) -> Draw<'a> {
    Draw {
        line,
        amps: used.amps,
        power_factor: node.power_factor.value,
        shift: if node.leading { Shift::Leading } else { Shift::Lagging },
        spectrum: node.spectrum.orders(),
    }
}

/// Volts that arrive at a head that has its leads for itself, from `source` volts at the socket. `None`
/// where they cannot bring what it asks for, or where their resistance is not known.
pub(super) fn arriving(node: &HeadNode, source: Volts, used: &HeadUse) -> Option<Volts> {
    over(node, source, used, used.conductor?)
}

/// Running amps of a head that has its leads for itself, with the mains at the region's lowest.
pub(super) fn at_lowest(node: &HeadNode, region: &Region, used: &HeadUse) -> Option<Amps> {
    let source = used.terminals.volts * region.lowest_volts;
    let volts = over(node, source, used, used.conductor.unwrap_or(Ohms::ZERO))?;
    Some(used.amps_on(node, volts))
}

/// There and back on one line or two, one way on three.
fn over(node: &HeadNode, source: Volts, used: &HeadUse, conductor: Ohms) -> Option<Volts> {
    let (ways, span) = (used.terminals.ways(), used.terminals.span());
    Some(arriving_volts(source / span, conductor * ways, used.drawing(node))? * span)
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

    /// Adds the power of a head that is on this supply for certain.
    pub(super) fn add_head(&mut self, network: &Network, head: HeadAt, used: &HeadUse) {
        self.heads.push(head);
        self.kw += used.terminals.power(used.amps, network.heads[head].power_factor.value).into();
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
        let draw = head_draw(&network.heads[head], used, line);
        let wiring = network.supplies[supply].wiring.value;
        self.add(wiring, &draw, part.certain.then_some(Watts::ZERO));
    }

    /// Adds currents to the lines, with `certain` power; where it is not certain, amps that may be on
    /// them.
    pub(super) fn add(&mut self, wiring: Wiring, draw: &Draw<'_>, certain: Option<Watts>) {
        let Some(power) = certain else {
            for conductor in draw.line.conductors() {
                self.possible[*conductor] += draw.amps;
            }
            return;
        };
        self.kw += power.into();
        self.orders.add(draw);
        let currents = line_currents(wiring, draw.line, draw.amps, draw.power_factor, draw.shift);
        for (sum, current) in self.lines.iter_mut().zip(currents) {
            *sum += current;
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
        run: impl Fn(HeadAt) -> Minutes,
    ) {
        let node = &network.circuits[circuit];
        let busiest = |lines: &[Amps; 3]| lines[0].max(lines[1]).max(lines[2]);
        let plan = network.plan.circuits.get_index(circuit.get()).map(|(_, circuit)| circuit);
        let reserve = plan.and_then(|circuit| circuit.reserve).unwrap_or(Amps::ZERO);
        self.amps = busiest(&self.line_amps);
        self.possible = busiest(&self.line_possible) + reserve;
        let factor = network.region.continuous_factor.filter(|_| {
            self.heads.iter().chain(&self.possible_heads).any(|head| run(*head).reaches(CONTINUOUS))
        });
        self.continuous = factor.is_some();
        self.limit = node.breaker_warm * factor.unwrap_or(1.0);
        self.window = trip_window(node.curve.value, node.breaker_warm, self.amps);
        self.start_peak = self.start_peak_of(network, heads);
        self.inrush = circuit_inrush(network, circuit, &self.draws, heads);
    }

    /// Largest amps of any of its lines while its heads are struck in order.
    pub(super) fn start_peak_of(&self, network: &Network, heads: &Dense<HeadAt, Option<HeadUse>>) -> Amps {
        (0..3).map(|conductor| self.start_peak_on(network, heads, conductor)).fold(Amps::ZERO, Amps::max)
    }

    /// Largest amps of one of its lines, 0 to 2, while its heads are struck in order.
    pub(crate) fn start_peak_on(
        &self,
        network: &Network,
        heads: &Dense<HeadAt, Option<HeadUse>>,
        conductor: usize,
    ) -> Amps {
        let on_line = self.draws.iter().filter(|(_, line)| line.conductors().contains(&conductor));
        let struck = on_line.filter_map(|(head, _)| Some(struck(network, *head, heads[*head].as_ref()?)));
        peak_amps(struck, self.line_base[conductor])
    }
}

/// The lines that a socket is on, where they are certain, and how its supply is wired.
pub(super) fn line_of(network: &Network, socket: SocketAt) -> (Wiring, Option<Line>) {
    match network.reach_of(socket).supplies.as_slice() {
        [part] if part.certain => (network.supplies[part.what.0].wiring.value, Some(part.what.1)),
        _ => (Wiring::Star, None),
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
        let others = self.others(network, rcd);
        self.standing = certain().map(|head| head.standing).sum::<MilliAmps>() + self.idle;
        self.vector_standing = (network.rcds[rcd].poles == Some(4)).then(|| {
            let mut sum = self.idle_lines;
            for (head, certainty) in &self.order {
                let socket = heads[*head].as_ref().and_then(|used| used.socket);
                if let Some(socket) = socket.filter(|_| *certainty == Certainty::Certain) {
                    let (wiring, line) = line_of(network, socket);
                    sum.add(wiring, line, network.heads[*head].leak.value.high);
                }
            }
            sum.sum()
        });
        self.peak = peak_leakage(certain(), self.idle);
        self.possible_standing = all().map(|head| head.standing).sum::<MilliAmps>() + others;
        self.possible_peak = peak_leakage(all(), others);
        let pick = |wanted| {
            let chosen = self.order.iter().filter(move |(_, certainty)| *certainty == wanted);
            chosen.map(|(head, _)| *head).collect::<Vec<_>>()
        };
        (self.heads, self.possible_heads) = (pick(Certainty::Certain), pick(Certainty::Possible));
        let room = self.room.room;
        self.outcome =
            match (outcome(self.least_peak(network, heads), room), outcome(self.possible_peak, room)) {
                (Outcome::Trips, _) => Outcome::Trips,
                (_, Outcome::Holds) => Outcome::Holds,
                _ => Outcome::MayTrip,
            };
        self.odds = self.odds_of_dropping(network, rcd);
    }

    /// What leaks anyway, at most: heads that are plugged in but off, and others.
    pub(super) fn others(&self, network: &Network, rcd: RcdAt) -> MilliAmps {
        self.possible_idle + network.rcds[rcd].reserve.unwrap_or(MilliAmps::ZERO)
    }

    /// The peak of the heads that are behind it for certain, with every leakage at its least.
    fn least_peak(&self, network: &Network, heads: &Dense<HeadAt, Option<HeadUse>>) -> MilliAmps {
        let certain = self.order.iter().filter(|(_, certainty)| *certainty == Certainty::Certain);
        let struck = certain.filter_map(|(head, _)| {
            let node = &network.heads[*head];
            let most = struck(network, *head, heads[*head].as_ref()?);
            Some(Struck { standing: node.leak.value.low, strike: node.strike.value.low, ..most })
        });
        peak_leakage(struck, self.idle)
    }

    /// Chance that it drops at any step while its heads are struck.
    fn odds_of_dropping(&self, network: &Network, rcd: RcdAt) -> f64 {
        let room = self.room.room;
        let leakage = |(head, _): &(HeadAt, Certainty)| {
            let node = &network.heads[*head];
            StruckLeakage { standing: node.leak.value, strike: node.strike.value }
        };
        let is_range = |leakage: Leakage| leakage.low != leakage.high;
        let has_range = |head: StruckLeakage| is_range(head.standing) || is_range(head.strike);
        if self.outcome != Outcome::MayTrip || !self.order.iter().any(|head| has_range(leakage(head))) {
            return odds(self.possible_peak, room);
        }
        let order: Vec<StruckLeakage> = self.order.iter().map(leakage).collect();
        odds_of_order(&order, self.others(network, rcd), room)
    }
}

pub(super) fn empty_circuit() -> CircuitUse {
    CircuitUse {
        amps: Amps::ZERO,
        possible: Amps::ZERO,
        limit: Amps::ZERO,
        continuous: false,
        start_peak: Amps::ZERO,
        inrush: None,
        neutral: None,
        window: TripWindow::NEVER,
        breaker: Outcome::Holds,
        base: Amps::ZERO,
        heads: Vec::new(),
        possible_heads: Vec::new(),
        draws: Vec::new(),
        line_base: [Amps::ZERO; 3],
        line_amps: [Amps::ZERO; 3],
        line_possible: [Amps::ZERO; 3],
    }
}

pub(super) fn empty_rcd(room: RcdRoom) -> RcdUse {
    RcdUse {
        room,
        standing: MilliAmps::ZERO,
        vector_standing: None,
        peak: MilliAmps::ZERO,
        possible_standing: MilliAmps::ZERO,
        possible_peak: MilliAmps::ZERO,
        outcome: Outcome::Holds,
        odds: 0.0,
        heads: Vec::new(),
        possible_heads: Vec::new(),
        idle: MilliAmps::ZERO,
        possible_idle: MilliAmps::ZERO,
        idle_lines: LineLeakage::default(),
        order: Vec::new(),
    }
}

pub(super) fn empty_supply(wiring: Wiring) -> SupplyUse {
    SupplyUse {
        lines: LineCurrents::default(),
        orders: LineLoad::new(wiring),
        kw: KiloWatts::ZERO,
        possible: [Amps::ZERO; 3],
        heads: Vec::new(),
    }
}
