//! The problem of a plan.

mod rows;

use std::sync::Arc;

use crate::assess::{Assessment, Finding, Hand, assess, chain, head_use, order_of_striking, struck};
use crate::assess::{Extent, RcdUse, Trials};
use crate::network::{At, HeadAt, Link, Network, PlacedHead, SetupAt, SocketAt, distance};
use crate::plan::{SupplyKind, TestOutcome};
use crate::rule::setup::TOUCH;
use crate::rule::{DROP_HIGH, Severity};
use crate::solve::state::broken_by_fixed;
use crate::solve::{Choice, Device, Item, Leak, Problem};

use super::leads::{centimetres, ways};
use super::spot::{Spot, spots, with_placements};
use super::{Sources, Start, Untested, Wishes};
use rows::Rows;

/// Parts of an ampere or milliampere that sums are made of.
const NANO: f64 = 1e9;

/// A quantity in whole parts.
#[expect(clippy::cast_possible_truncation, reason = "amps and milliamps, far under 2^63 / 1e9")]
pub(super) fn nano(value: f64) -> i64 {
    (value * NANO).round() as i64
}

/// A problem, and what its numbers stand for.
#[derive(Clone)]
pub(super) struct Built {
    pub problem: Problem,
    pub spots: Vec<Spot>,
    /// Where each choice of each spot is.
    pub places: Vec<Vec<PlacedHead>>,
    /// Whether a head stays where it is for want of a way to tell, so that nothing is proven.
    pub holds_back: bool,
    /// Rows that hold back more than the law may, each with a limit over which the law does for certain.
    pub strict: Vec<(usize, i64)>,
    /// The rule that each row keeps.
    pub rules: Vec<&'static str>,
    /// The rule that each set of choices breaks which may not stand together.
    pub learned: Vec<&'static str>,
    /// What is found with only those heads in place that stay.
    pub before: Vec<Finding>,
}

impl Built {
    /// The problem with rows that are stricter than the law loosened; `None` where none of them can bind.
    pub fn looser(&self) -> Option<Problem> {
        let most = |row: usize| -> i64 {
            let of_choice = |choice: &Choice| {
                choice.loads.iter().find(|load| load.row == row).map_or(0, |load| load.amount)
            };
            let of_item = |item: &Item| item.choices.iter().map(of_choice).max().unwrap_or(0);
            self.problem.items.iter().map(of_item).sum()
        };
        let can_bind = |(row, looser): &(usize, i64)| {
            let limit = self.problem.rows[*row].limit;
            most(*row) > limit && *looser > limit
        };
        let binding: Vec<(usize, i64)> = self.strict.iter().copied().filter(can_bind).collect();
        if binding.is_empty() {
            return None;
        }
        let mut problem = self.problem.clone();
        for (row, looser) in binding {
            problem.rows[row].limit = looser;
            problem.rows[row].family = None;
        }
        Some(problem)
    }
}

/// The plan with every spot lifted, or all but those that stay.
pub(super) struct Emptied {
    pub network: Network,
    pub assessment: Assessment,
}

pub(super) fn emptied(network: &Network, spots: &[Spot], lifts: impl Fn(&Spot) -> bool) -> Emptied {
    let lifted = spots.iter().filter(|spot| lifts(spot)).map(|spot| (spot, None));
    let network = Network::of(Arc::new(with_placements(network, lifted)));
    let assessment = assess(&network);
    Emptied { network, assessment }
}

/// Where a head may go.
pub(super) trait Offer {
    /// Ways to hang a head on a socket; none where it may not be used.
    fn ways(&self, spot: &Spot, socket: SocketAt) -> Vec<Vec<Link>>;

    /// Whether what is found of the head there keeps it away.
    fn bars(&self, spot: &Spot, socket: SocketAt, found: &[Finding]) -> bool;
}

/// Every socket that may be used at all, by the truck's leads, and what hangs there now.
struct Everywhere<'a> {
    network: &'a Network,
    wishes: Wishes,
}

impl Offer for Everywhere<'_> {
    fn ways(&self, spot: &Spot, socket: SocketAt) -> Vec<Vec<Link>> {
        if !may_be_used(self.network, socket, self.wishes) {
            return Vec::new();
        }
        let mut all = ways(self.network, socket, spot.head);
        let now =
            spot.now.as_ref().filter(|now| now.socket == socket && self.wishes.start == Start::AsPlanned);
        if let Some(now) = now
            && !all.contains(&now.links)
        {
            all.insert(0, now.links.clone());
        }
        all
    }

    fn bars(&self, _: &Spot, _: SocketAt, found: &[Finding]) -> bool {
        found.iter().any(is_hard)
    }
}

/// What a problem's sums start from.
pub(super) struct Ground<'a> {
    /// With every spot lifted.
    pub empty: &'a Emptied,
    /// With all in place that keeps its way and its leads.
    pub kept: &'a Assessment,
    /// What is found with only those heads in place that stay.
    pub before: Vec<Finding>,
}

/// Builds it.
pub(super) fn build(network: &Network, wishes: Wishes) -> Built {
    let spots = spots(network, wishes.start);
    let empty = emptied(network, &spots, |_| true);
    let kept = emptied(network, &spots, |spot| !spot.is_fixed);
    let before = kept.assessment.findings.clone();
    let ground = Ground { empty: &empty, kept: &kept.assessment, before };
    let mut built = build_on(network, spots, ground, &Everywhere { network, wishes }, wishes);
    if wishes.start == Start::Staying {
        bear(&mut built.problem, &mut built.places);
    }
    built
}

/// Builds the problem of these spots.
pub(super) fn build_on(
    network: &Network,
    spots: Vec<Spot>,
    ground: Ground<'_>,
    offer: &dyn Offer,
    wishes: Wishes,
) -> Built {
    let mut builder = Builder {
        network,
        empty: ground.empty,
        offer,
        wishes,
        rows: Rows::new(&ground.empty.network, &ground.empty.assessment, ground.kept),
        devices: devices(ground.empty),
        ranks: ranks(network),
        generators: network
            .supplies
            .iter()
            .filter(|(_, supply)| supply.kind == SupplyKind::Generator && wishes.sources == Sources::All)
            .map(|(at, _)| at.get())
            .collect(),
    };
    let mut problem = Problem::default();
    let mut places = Vec::new();
    for spot in &spots {
        let (item, own) = builder.item(spot);
        problem.items.push(item);
        places.push(own);
    }
    problem.generators = vec![1; builder.generators.len()];
    problem.devices = builder.devices;
    problem.neighbours = neighbours(network, &spots);
    let strict = builder.rows.strict();
    let (rows, rules) = builder.rows.finish();
    problem.rows = rows;
    let holds_back = spots.iter().any(|spot| spot.is_held_back);
    Built { problem, spots, places, holds_back, strict, rules, learned: Vec::new(), before: ground.before }
}

/// Bears what the heads that stay break already: it counts as kept, and nothing is added to it.
pub(super) fn bear(problem: &mut Problem, places: &mut [Vec<PlacedHead>]) {
    let broken = broken_by_fixed(problem);
    for (row, used) in broken.rows {
        let row = &mut problem.rows[row];
        (row.limit, row.lowered) = (used, None);
    }
    for device in &broken.devices {
        problem.devices[*device].high = None;
    }
    let adds = |choice: &Choice| {
        let leaks = |leak: &Leak| leak.standing + leak.strike > 0 && broken.devices.contains(&leak.device);
        choice.leaks.iter().any(leaks)
    };
    for (item, places) in problem.items.iter_mut().zip(places).filter(|(item, _)| !item.is_fixed) {
        let kept: Vec<bool> = item.choices.iter().map(|choice| !adds(choice)).collect();
        let mut stays = kept.iter();
        places.retain(|_| stays.next() == Some(&true));
        let mut stays = kept.iter();
        item.choices.retain(|_| stays.next() == Some(&true));
    }
    let stay = |at: usize| problem.items[at].is_fixed;
    problem.neighbours.retain(|(a, b)| !(stay(*a) && stay(*b)));
}

/// Every RCD in every setup, in the order of setups.
fn devices(empty: &Emptied) -> Vec<Device> {
    let device = |used: &RcdUse| {
        let room = used.room.room;
        let high = room.high.filter(|_| !used.room.absent);
        Device {
            before: nano(used.possible_standing.0),
            low: nano(room.low.0) + 10,
            high: high.map(|high| nano(high.0)),
        }
    };
    let of_setup = |setup: SetupAt| empty.assessment.setups[setup].rcds.iter().map(|(_, used)| device(used));
    empty.network.setups.indices().flat_map(of_setup).collect()
}

/// Each head's place in the order of striking, a setup each: the crew's own first, then by falling strike.
pub(super) fn ranks(network: &Network) -> Vec<Vec<i64>> {
    let of_setup = |setup: SetupAt| {
        let order = order_of_striking(network, setup, |head| {
            let used = head_use(network, head, None);
            Some(struck(network, head, &used))
        });
        let mut ranks = vec![i64::MAX; network.heads.len()];
        for (place, head) in order.iter().enumerate() {
            ranks[head.get()] = i64::try_from(place).unwrap_or(i64::MAX);
        }
        if network.setups[setup].strike.is_empty() {
            for (head, node) in network.heads.iter() {
                ranks[head.get()] = -nano(node.strike.value.high.0);
            }
        }
        ranks
    };
    network.setups.indices().map(of_setup).collect()
}

/// Spots that can be touched together, both lit.
fn neighbours(network: &Network, spots: &[Spot]) -> Vec<(usize, usize)> {
    let mut pairs = Vec::new();
    if network.supplies.len() < 2 {
        return pairs;
    }
    for (a, one) in spots.iter().enumerate() {
        for (b, other) in spots.iter().enumerate().skip(a + 1) {
            let both_on = one.head != other.head && one.on.iter().any(|at| other.on.contains(at));
            let metres = distance(&network.heads[one.head].place, &network.heads[other.head].place);
            if both_on && metres.is_some_and(|metres| !metres.is_over(TOUCH)) {
                pairs.push((a, b));
            }
        }
    }
    pairs
}

struct Builder<'a> {
    network: &'a Network,
    empty: &'a Emptied,
    offer: &'a dyn Offer,
    wishes: Wishes,
    rows: Rows<'a>,
    devices: Vec<Device>,
    ranks: Vec<Vec<i64>>,
    generators: Vec<usize>,
}

impl Builder<'_> {
    fn item(&mut self, spot: &Spot) -> (Item, Vec<PlacedHead>) {
        let importance = i64::from(self.network.heads[spot.head].importance);
        if let Some(now) = spot.now.as_ref().filter(|_| spot.is_fixed) {
            let choice = self.choice(spot, now, 0, 0);
            return (Item { importance, is_fixed: true, choices: vec![choice] }, vec![now.clone()]);
        }
        let Some(first) = spot.on.first() else { return (Item::default(), Vec::new()) };
        let extent = if spot.own.is_some() { Extent::ThisSetup } else { Extent::EverySetup };
        let hand = Hand::pick_up_for(&self.empty.network, &self.empty.assessment, *first, spot.head, extent);
        let mut trials = Trials::of_all();
        let mut places = Vec::new();
        let mut choices = Vec::new();
        for socket in self.network.sockets.indices() {
            for links in self.offer.ways(spot, socket) {
                let spot_there = PlacedHead { socket, links };
                let links = spot_there.links.clone();
                let found = hand.consequence(&self.empty.network, socket, links, &mut trials).findings;
                if self.offer.bars(spot, socket, &found) {
                    continue;
                }
                let is_bare = |finding: &Finding| matches!(finding.rule.id, "rcd-absent" | "rcd-coarse");
                let unprotected = i64::from(found.iter().any(is_bare));
                let is_moved = spot.now.as_ref() != Some(&spot_there);
                let moved = i64::from(is_moved && self.wishes.start == Start::AsPlanned);
                choices.push(self.choice(spot, &spot_there, moved, unprotected));
                places.push(spot_there);
            }
        }
        (Item { importance, is_fixed: false, choices }, places)
    }

    fn choice(&mut self, spot: &Spot, placed: &PlacedHead, moved: i64, unprotected: i64) -> Choice {
        let network = self.network;
        let (socket, head) = (placed.socket, spot.head);
        let used = head_use(network, head, Some((socket, &placed.links)));
        let mut choice = Choice {
            moved,
            unprotected,
            metres: centimetres(network, socket, head, &placed.links),
            ..Choice::default()
        };
        self.rows.load(&mut choice, spot, placed, &used);
        let node = &network.heads[head];
        for setup in &spot.on {
            for (rcd, _) in chain(network, socket) {
                let device = setup.get() * network.rcds.len() + rcd.get();
                choice.leaks.push(Leak {
                    device,
                    standing: nano(node.leak.value.high.0),
                    strike: nano(node.strike.value.high.0),
                    rank: self.ranks[setup.get()][head.get()],
                });
            }
        }
        for setup in &spot.off {
            for (rcd, _) in chain(network, socket) {
                let device = setup.get() * network.rcds.len() + rcd.get();
                let standing = nano(node.idle.value.high.0);
                choice.leaks.push(Leak { device, standing, strike: 0, rank: i64::MIN });
            }
        }
        let reach = network.reach_of(socket);
        for part in &reach.supplies {
            let generator = self.generators.iter().position(|at| *at == part.what.0.get());
            choice.generators.extend(generator.filter(|at| !choice.generators.contains(at)));
        }
        if let [only] = reach.supplies.as_slice() {
            choice.source = Some(only.what.0.get());
        }
        choice
    }
}

/// Whether a socket may be used at all: fed by what may be used, and tested and well, or the one exception,
/// or untested ones let in.
pub(super) fn may_be_used(network: &Network, socket: SocketAt, wishes: Wishes) -> bool {
    is_fed_by(network, socket, wishes.sources)
        && match network.sockets[socket].test {
            TestOutcome::Ok => true,
            TestOutcome::Untested => wishes.untested == Untested::LetIn,
            TestOutcome::NoEarth => {
                network.reach_of(socket).supply().is_some_and(|at| network.supplies[at].small_floating)
            }
            _ => false,
        }
}

/// Whether one of these sources feeds a socket, or may; where it is not known what does, the mains do.
pub(super) fn is_fed_by(network: &Network, socket: SocketAt, sources: Sources) -> bool {
    let supplies = &network.reach_of(socket).supplies;
    supplies.is_empty() || supplies.iter().any(|part| sources.has(network.supplies[part.what.0].kind))
}

/// Whether a finding is one that no placement may leave behind.
pub(super) fn is_hard(finding: &Finding) -> bool {
    let is_dark = finding.severity >= Severity::Dark && finding.rule.id != "head-unplaced";
    let over_limit = matches!(finding.rule.id, DROP_HIGH | "breaker-may-over" | "chain-long");
    is_dark || over_limit && finding.severity == Severity::Risk
}

/// A head that a finding names, where it names one.
pub(super) fn named(finding: &Finding) -> Option<HeadAt> {
    match finding.subject {
        crate::assess::Subject::Head(head) => Some(head),
        _ => None,
    }
}
