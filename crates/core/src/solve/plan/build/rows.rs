//! The sums of a plan with a limit, each made when the first choice loads it.

use std::collections::HashMap;

use crate::assess::{Assessment, HeadUse, SetupUse, chain, continuous_runs, line_drawn};
use crate::network::{
    At, CableAt, CircuitAt, CircuitNode, Dense, HeadAt, Link, Network, PlacedHead, PlateAt, RcdAt, SetupAt,
    SocketAt, SupplyAt,
};
use crate::plan::EarthClass;
use crate::solve::{Choice, Load, Row};
use crate::unit::{Amps, Minutes};

use super::super::spot::Spot;
use super::nano;

/// Loads of this long and more are continuous (NEC article 100, from memory).
const CONTINUOUS: Minutes = Minutes(180.0);
/// Rounding of many parts is no overload.
const TOLERANCE: i64 = 20;

/// What a row sums up.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
enum Sum {
    Circuit(CircuitAt, SetupAt, usize),
    Standing(RcdAt, SetupAt),
    Ways(SocketAt, SetupAt),
    Plate(PlateAt, SetupAt),
    Feed(SocketAt, SetupAt, usize),
    Line(SupplyAt, SetupAt, usize),
    Apparent(SupplyAt, SetupAt),
    Real(SupplyAt, SetupAt),
    ClassOne(SupplyAt, SetupAt),
    Lead(CableAt, SetupAt),
}

impl Sum {
    /// The rule that is broken over the limit.
    const fn rule(self) -> &'static str {
        match self {
            Self::Circuit(..) => "breaker-over",
            Self::Standing(..) => "rcd-standing",
            Self::Ways(..) => "socket-full",
            Self::Plate(..) => "plate-over",
            Self::Feed(..) => "outlet-over",
            Self::Line(..) => "main-over",
            Self::Apparent(..) => "generator-over",
            Self::Real(..) => "contract-over",
            Self::ClassOne(..) => "neutral-floating",
            Self::Lead(..) => "cable-short",
        }
    }
}

pub(super) struct Rows<'a> {
    network: &'a Network,
    empty: &'a Assessment,
    kept: &'a Assessment,
    /// With every head lifted, as if each never changed its circuit: the longest runs that can be.
    runs: Dense<SetupAt, Dense<HeadAt, Minutes>>,
    taken: Vec<Vec<usize>>,
    known: HashMap<Sum, Option<usize>>,
    strict: Vec<(usize, i64)>,
    made: Vec<Row>,
    rules: Vec<&'static str>,
}

impl<'a> Rows<'a> {
    pub fn new(network: &'a Network, empty: &'a Assessment, kept: &'a Assessment) -> Self {
        let taken = kept.setups.iter().map(|(_, used)| leads_taken(network, used)).collect();
        Self {
            network,
            empty,
            kept,
            runs: continuous_runs(network),
            taken,
            known: HashMap::new(),
            strict: Vec::new(),
            made: Vec::new(),
            rules: Vec::new(),
        }
    }

    /// The rows, and of each the rule that is broken over its limit.
    pub fn finish(self) -> (Vec<Row>, Vec<&'static str>) {
        (self.made, self.rules)
    }

    /// Rows that hold back more than the law may: arithmetic where the law sums phasors, a contract without the
    /// time for which it may be passed. Each with a limit over which the law holds back for certain.
    pub fn strict(&self) -> Vec<(usize, i64)> {
        self.strict.clone()
    }

    /// The row of a sum; `None` where nothing limits it.
    fn row(&mut self, sum: Sum) -> Option<usize> {
        if let Some(known) = self.known.get(&sum) {
            return *known;
        }
        let row = self.limit(sum).map(|row| {
            self.made.push(row);
            self.rules.push(sum.rule());
            self.made.len() - 1
        });
        if let Some(row) = row {
            let looser = self.looser(sum, self.made[row].limit);
            self.strict.extend(looser.map(|limit| (row, limit)));
        }
        self.known.insert(sum, row);
        row
    }

    /// What the arithmetic sum of a row can be at most within the law; `None` where that is the row's limit.
    fn looser(&self, sum: Sum, limit: i64) -> Option<i64> {
        match sum {
            Sum::Line(at, setup, _) | Sum::Apparent(at, setup) => {
                Some(self.over_power_factor(at, setup, limit))
            }
            Sum::Real(at, setup) => {
                let contract = self.network.supplies[at].contract?;
                let minutes = self.network.setups[setup].minutes;
                let grace = self.network.region.contract_grace.iter();
                let bears = grace.filter(|step| step.minutes_a_day.is_none_or(|most| !minutes.is_over(most)));
                let times = bears.map(|step| step.times).fold(1.0, f64::max);
                let most = nano((contract * times - self.empty.setups[setup].supplies[at].kw).0) + TOLERANCE;
                (most > limit).then_some(most)
            }
            _ => None,
        }
    }

    /// A sum of phasors is never less than its part in phase with the voltage, and every head brings at least
    /// the least power factor of its amps to that. Loads between two lines are in phase with neither.
    fn over_power_factor(&self, at: SupplyAt, setup: SetupAt, limit: i64) -> i64 {
        const ANY: i64 = i64::MAX / 4;
        let network = self.network;
        let is_on_it = |circuit: &CircuitNode| circuit.supply.is_none_or(|own| own == at);
        let has_pairs =
            network.circuits.iter().any(|(_, own)| is_on_it(own) && own.line.conductors().len() == 2);
        if has_pairs || limit < 0 {
            return if has_pairs { ANY } else { limit };
        }
        let on = network.heads.indices().filter(|head| network.setups[setup].is_on[*head]);
        let least = on.map(|head| network.heads[head].power_factor.value).fold(1.0, f64::min);
        #[expect(clippy::cast_precision_loss, clippy::cast_possible_truncation, reason = "far under 2^53")]
        let most = (limit as f64 / least.max(0.01)).ceil() as i64;
        most
    }

    fn add(&mut self, choice: &mut Choice, sum: Sum, amount: i64) -> Option<usize> {
        if amount <= 0 {
            return None;
        }
        let row = self.row(sum)?;
        match choice.loads.iter_mut().find(|load| load.row == row) {
            Some(load) => load.amount += amount,
            None => choice.loads.push(Load { row, amount }),
        }
        Some(row)
    }

    /// What is left of a limit with nothing that can move in place.
    fn limit(&self, sum: Sum) -> Option<Row> {
        match sum {
            Sum::Circuit(at, setup, line) => Some(self.circuit(at, setup, line)),
            Sum::Standing(at, setup) => self.standing(at, setup),
            Sum::Ways(at, setup) => Some(self.ways(at, setup)),
            Sum::Plate(at, setup) => self.plate(at, setup),
            Sum::Feed(at, setup, line) => self.feed(at, setup, line),
            Sum::Line(at, setup, line) => {
                let used = &self.empty.setups[setup].supplies[at];
                let now = used.lines[line].amps() + used.possible[line];
                Some(plain((self.network.supplies[at].limit?.value - now).0))
            }
            Sum::Apparent(at, setup) => {
                let used = &self.empty.setups[setup].supplies[at];
                let now = used.orders.apparent_power(self.network.supplies[at].volts.value);
                Some(plain((self.network.set_rating(at)?.kva? - now).0))
            }
            Sum::Real(at, setup) => self.real(at, setup),
            Sum::ClassOne(at, _) => {
                let is_small = self.network.supplies[at].small_floating;
                is_small.then_some(Row { limit: 1, ..Row::default() })
            }
            Sum::Lead(at, setup) => {
                let left =
                    i64::from(self.network.cables[at].count?) - count(self.taken[setup.get()][at.get()]);
                Some(Row { limit: left, ..Row::default() })
            }
        }
    }

    fn standing(&self, at: RcdAt, setup: SetupAt) -> Option<Row> {
        let used = &self.empty.setups[setup].rcds[at];
        let left = (used.room.room.low - used.possible_standing).0;
        let family = Some(self.network.setups.len() + setup.get());
        (!used.room.absent).then(|| Row { family, ..plain(left) })
    }

    fn ways(&self, at: SocketAt, setup: SetupAt) -> Row {
        let node = &self.network.sockets[at];
        let used = &self.kept.setups[setup].sockets[at];
        let box_plug = usize::from(!node.feeds.is_empty());
        let left = i64::from(node.ways.value) - count(used.plugs.len() + box_plug);
        Row { limit: left, family: Some(2 * self.network.setups.len() + setup.get()), ..Row::default() }
    }

    fn plate(&self, at: PlateAt, setup: SetupAt) -> Option<Row> {
        let used = &self.empty.setups[setup].sockets;
        let node = &self.network.plates[at];
        let now: Amps = node.sockets.iter().map(|socket| used[*socket].amps).sum();
        Some(plain((node.limit?.value - now).0))
    }

    fn feed(&self, at: SocketAt, setup: SetupAt, line: usize) -> Option<Row> {
        let outlet = self.network.sockets[at].outlet.value?;
        let used = &self.empty.setups[setup].circuits;
        let feeds = self.network.sockets[at].feeds.iter();
        let now: Amps = feeds.map(|circuit| used[*circuit].line_possible[line]).sum();
        Some(plain((outlet.amps - now).0))
    }

    fn real(&self, at: SupplyAt, setup: SetupAt) -> Option<Row> {
        let network = self.network;
        let grace = network.region.contract_grace.iter().filter(|step| step.minutes_a_day.is_none());
        let times = grace.map(|step| step.times).fold(1.0, f64::max);
        let contract = network.supplies[at].contract.map(|contract| contract * times);
        let rated = network.set_rating(at).and_then(|rating| rating.kw);
        let limit = contract.into_iter().chain(rated).reduce(crate::unit::KiloWatts::min)?;
        Some(plain((limit - self.empty.setups[setup].supplies[at].kw).0))
    }

    fn circuit(&self, at: CircuitAt, setup: SetupAt, line: usize) -> Row {
        let network = self.network;
        let node = &network.circuits[at];
        let plan = network.plan.circuits.get_index(at.get()).map(|(_, circuit)| circuit);
        let reserve = plan.and_then(|circuit| circuit.reserve).unwrap_or(Amps::ZERO);
        let now = self.empty.setups[setup].circuits[at].line_possible[line] + reserve;
        let limit = |factor: f64| nano((node.breaker_warm * factor - now).0) + TOLERANCE;
        Row {
            limit: limit(1.0),
            lowered: network.region.continuous_factor.map(limit),
            family: Some(setup.get()),
            is_headroom: true,
        }
    }

    /// Adds what a head loads at a place.
    pub fn load(&mut self, choice: &mut Choice, spot: &Spot, placed: &PlacedHead, used: &HeadUse) {
        let (network, socket, head) = (self.network, placed.socket, spot.head);
        let node = &network.heads[head];
        let reach = network.reach_of(socket);
        for setup in spot.on.iter().chain(&spot.off).copied().filter(|_| !spot.is_fixed) {
            if !(spot.keeps && spot.now.as_ref().is_some_and(|now| now.socket == socket)) {
                self.add(choice, Sum::Ways(socket, setup), 1);
            }
        }
        for setup in &spot.off {
            for (rcd, _) in chain(network, socket) {
                self.add(choice, Sum::Standing(rcd, *setup), nano(node.idle.value.high.0));
            }
        }
        for setup in spot.on.iter().copied() {
            let is_long = self.runs[setup][head].reaches(CONTINUOUS);
            for part in &reach.circuits {
                for line in line_drawn(network, reach, part.what).conductors() {
                    let row = self.add(choice, Sum::Circuit(part.what, setup, *line), nano(used.amps.0));
                    choice.lowers.extend(row.filter(|_| is_long));
                    for part in reach.sockets.iter().filter(|socket| feeds(network, socket.what, part.what)) {
                        self.add(choice, Sum::Feed(part.what, setup, *line), nano(used.amps.0));
                    }
                }
            }
            for (rcd, _) in chain(network, socket) {
                self.add(choice, Sum::Standing(rcd, setup), nano(node.leak.value.high.0));
            }
            self.add(choice, Sum::Plate(network.sockets[socket].plate, setup), nano(used.amps.0));
            for part in &reach.supplies {
                let (supply, line) = part.what;
                for conductor in line.conductors() {
                    self.add(choice, Sum::Line(supply, setup, *conductor), nano(used.amps.0));
                }
            }
            if let Some(supply) = reach.supply() {
                let power = used.terminals.power(used.amps, node.power_factor.value);
                self.add(
                    choice,
                    Sum::Apparent(supply, setup),
                    nano(used.terminals.apparent_power(used.amps).0),
                );
                self.add(choice, Sum::Real(supply, setup), nano(crate::unit::KiloWatts::from(power).0));
                if node.earth_class.value == EarthClass::I {
                    self.add(choice, Sum::ClassOne(supply, setup), 1);
                }
            }
        }
        self.leads(choice, spot, placed);
    }

    /// Leads from the truck, in every setup in which they are in use.
    fn leads(&mut self, choice: &mut Choice, spot: &Spot, placed: &PlacedHead) {
        if spot.is_fixed {
            return;
        }
        let mut along: Vec<Link> =
            spot.now.iter().filter(|_| spot.keeps).flat_map(|now| now.links.clone()).collect();
        for link in &placed.links {
            if let Some(own) = along.iter().position(|own| own == link) {
                along.swap_remove(own);
                continue;
            }
            if let Link::Cable(cable) = link {
                for setup in &spot.on {
                    self.add(choice, Sum::Lead(*cable, *setup), 1);
                }
            }
        }
    }
}

/// A limit, with what rounding takes.
fn plain(limit: f64) -> Row {
    Row { limit: nano(limit) + TOLERANCE, ..Row::default() }
}

fn feeds(network: &Network, socket: SocketAt, circuit: CircuitAt) -> bool {
    network.circuits[circuit].from == Some(socket)
}

fn count(number: usize) -> i64 {
    i64::try_from(number).unwrap_or(i64::MAX)
}

/// Pieces of each type of lead in use.
fn leads_taken(network: &Network, used: &SetupUse) -> Vec<usize> {
    let mut taken = vec![0; network.cables.len()];
    used.each_piece(|link, _| {
        if let Link::Cable(cable) = link {
            taken[cable.get()] += 1;
        }
    });
    taken
}
