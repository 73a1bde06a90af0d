//! Placing again what a trip left dark: the same problem in one setup, with what burns fixed where it is and
//! moves weighing more than odds.
//!
//! A head that stays dark keeps its way and its leads, since it comes back there; one that moves takes its own
//! leads along, and what it needs besides comes from the truck.

use std::collections::HashMap;
use std::sync::Arc;

use crate::assess::{Assessment, Certainty, Finding, assess, chain};
use crate::network::{At, HeadAt, Link, Network, PlacedHead, RcdAt, SetupAt, SocketAt};
use crate::plan::Plan;
use crate::rule::Severity;
use crate::solve::{Answer, Choice, Device, Effort, Item, Leak, Level, Problem, Row};

use super::build::{Built, Ground, Offer, bear, build_on, emptied, is_hard, nano, ranks};
use super::leads::ways;
use super::outcome::{Breach, broken_parties, parties};
use super::spot::{Spot, placement, with_placements};
use super::{Objective, Wishes, settled};

/// What is tried: a trip darkens few heads, and light is waited for.
const EFFORT: Effort = Effort { rounds: 0, nodes: 500, prover: None };
/// Rounds for each head that is dark.
const ROUNDS_A_HEAD: usize = 40;

/// Light first, then as few heads moved as that takes, then the odds of going dark again.
const LEVELS: [Level; crate::solve::LEVELS] =
    [Level::Dark, Level::Generator, Level::Moves, Level::Odds, Level::Metres, Level::Unprotected];

/// Rounding of many parts is no worse chance.
const TOLERANCE: i64 = 20;

/// What burns, and what is to be placed.
pub(crate) struct Dark<'a> {
    /// The plan as it was before the trip.
    pub network: &'a Network,
    /// What that came to.
    pub assessment: &'a Assessment,
    /// The setup.
    pub setup: SetupAt,
    /// The plan with only what burns and `free` on: what burns strikes no more, `free` is struck after it.
    pub burning: Network,
    /// Heads that stay where they are, lit.
    pub lit: Vec<HeadAt>,
    /// Heads that stay off, and keep their way and leads.
    pub off: Vec<HeadAt>,
    /// Heads to place.
    pub free: Vec<HeadAt>,
    /// Whether a socket may be used.
    pub may_use: &'a dyn Fn(SocketAt) -> bool,
    /// The worst odds at which a head goes behind an RCD.
    pub worst_odds: f64,
}

/// Where they go.
pub(crate) struct Repatched {
    /// The place of each head of `free`; `None`: it stays dark.
    pub places: Vec<Option<PlacedHead>>,
    /// How sure that is.
    pub answer: Answer,
    /// What it comes to.
    pub objective: Objective,
    /// What no placement can beat.
    pub bound: Objective,
    /// How full the fullest circuit is, percent.
    pub tightest_percent: f64,
}

/// Sockets that may be used after a trip: a head's own as it was, another one by the truck's leads or its own.
struct AfterTrip<'a> {
    dark: &'a Dark<'a>,
}

impl Offer for AfterTrip<'_> {
    fn ways(&self, spot: &Spot, socket: SocketAt) -> Vec<Vec<Link>> {
        let network = &self.dark.burning;
        if !(self.dark.may_use)(socket) {
            return Vec::new();
        }
        if let Some(now) = spot.now.as_ref().filter(|now| now.socket == socket) {
            return vec![now.links.clone()];
        }
        let is_pinned = |id: &str| network.plan.heads.get(id).is_some_and(|head| head.pinned);
        if is_pinned(network.head_id(spot.head).as_str()) {
            Vec::new()
        } else {
            ways(network, socket, spot.head)
        }
    }

    fn bars(&self, spot: &Spot, socket: SocketAt, found: &[Finding]) -> bool {
        // Back to its own socket it may go as it was, risks and all.
        let is_own = spot.now.as_ref().is_some_and(|now| now.socket == socket);
        let bars = |finding: &Finding| if is_own { is_worst(finding) } else { is_hard(finding) };
        found.iter().any(bars)
    }
}

fn is_worst(finding: &Finding) -> bool {
    finding.severity >= Severity::Dark && finding.rule.id != "head-unplaced"
}

/// Places them.
pub(crate) fn repatch(dark: &Dark<'_>) -> Repatched {
    let network = &dark.burning;
    let spots: Vec<Spot> = dark
        .lit
        .iter()
        .map(|head| spot(dark, *head, Stay::Lit))
        .chain(dark.free.iter().map(|head| spot(dark, *head, Stay::Free)))
        .collect();
    let empty = emptied(network, &spots, |_| true);
    let mut before = emptied(network, &spots, |spot| !spot.is_fixed).assessment.findings;
    // A risk that was there before the trip may be there again, and a head is still plugged in where it was.
    let was_there =
        |finding: &&Finding| finding.severity < Severity::Dark || finding.rule.id == "socket-full";
    let risks = dark.assessment.findings_in(dark.setup).filter(was_there);
    before.extend(risks.cloned());
    let ground = Ground { empty: &empty, kept: dark.assessment, before };
    let mut built = build_on(network, spots, ground, &AfterTrip { dark }, Wishes::default());
    built.problem.levels = Some(LEVELS);
    cap_the_odds(dark, &mut built.problem);
    strike_anew(dark, &empty.assessment, &mut built);
    let stay = built.problem.items.iter_mut().filter(|item| item.is_fixed);
    // What burns runs no lead more.
    stay.flat_map(|item| &mut item.choices).for_each(|choice| choice.metres = 0);
    bear(&mut built.problem, &mut built.places);
    prune(&mut built.problem, &mut built.places);
    let judge = |built: &Built, chosen: &[Option<usize>]| {
        let mut broken = broken_parties(network, built, chosen);
        broken.extend(worse_as_written(dark, built, chosen));
        broken
    };
    let effort = Effort { rounds: ROUNDS_A_HEAD * dark.free.len(), ..EFFORT };
    let settled = settled(built, &judge, effort, &mut |_, _| true);
    let score = settled.score();
    let free = dark.lit.len()..dark.lit.len() + dark.free.len();
    let place = |at: usize| settled.chosen[at].map(|choice| settled.built.places[at][choice].clone());
    Repatched {
        places: free.map(place).collect(),
        answer: settled.answer,
        objective: Objective::of(&score),
        bound: Objective::of(&settled.bound),
        tightest_percent: settled.tightest_percent(),
    }
}

/// Whether a head stays.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Stay {
    Lit,
    Free,
}

fn spot(dark: &Dark<'_>, head: HeadAt, stay: Stay) -> Spot {
    Spot {
        head,
        own: Some(dark.setup),
        on: vec![dark.setup],
        off: Vec::new(),
        now: dark.network.setups[dark.setup].placed[head].clone(),
        is_fixed: stay == Stay::Lit,
        is_held_back: false,
        keeps: stay == Stay::Free,
    }
}

/// Bars what would drop an RCD more likely than the worst odds: a second device for each, which drops there.
fn cap_the_odds(dark: &Dark<'_>, problem: &mut Problem) {
    let first = problem.devices.len();
    #[expect(clippy::cast_precision_loss, clippy::cast_possible_truncation, reason = "far under 2^53")]
    let capped = |device: &Device| {
        let high = device.high.map(|high| {
            let span = (high - device.low).max(0) as f64;
            device.low + (span * dark.worst_odds).floor() as i64 + TOLERANCE
        });
        Device { low: high.map_or(device.low, |high| high - 1), high, ..*device }
    };
    let more: Vec<Device> = problem.devices.iter().map(capped).collect();
    problem.devices.extend(more);
    for choice in problem.items.iter_mut().flat_map(|item| &mut item.choices) {
        let again = choice.leaks.iter().map(|leak| Leak { device: leak.device + first, ..*leak });
        choice.leaks.extend(again.collect::<Vec<_>>());
    }
}

/// What is written is struck anew another day, and no RCD may drop then that would not have before: one more
/// device each, through which everything strikes that is in the setup, what stays off included.
fn strike_anew(dark: &Dark<'_>, empty: &Assessment, built: &mut Built) {
    let network = dark.network;
    let used = &dark.assessment.setups[dark.setup];
    let first = built.problem.devices.len();
    for (rcd, idle) in empty.setups[dark.setup].rcds.iter() {
        let drops_already = dark.assessment.findings_in(dark.setup).any(|finding| {
            finding.rule.id == "rcd-trips" && finding.subject == crate::assess::Subject::Rcd(rcd)
        });
        let room = &used.rcds[rcd].room;
        let high = room.room.high.filter(|_| !room.absent && !drops_already).map(|high| nano(high.0));
        // It surely holds up to the end of its window; that it may drop there is no matter of this day.
        let low = high.map_or(i64::MAX, |high| (high - 1).max(nano(room.room.low.0) + TOLERANCE));
        built.problem.devices.push(Device { before: nano(idle.idle.0), low, high });
    }
    let ranks = ranks(network);
    let leaks = |head: HeadAt, socket: SocketAt| -> Vec<Leak> {
        let node = &network.heads[head];
        let surely = chain(network, socket).filter(|(_, certainty)| *certainty == Certainty::Certain);
        let of = |rcd: RcdAt| Leak {
            device: first + rcd.get(),
            standing: nano(node.leak.value.low.0),
            strike: nano(node.strike.value.low.0),
            rank: ranks[dark.setup.get()][head.get()],
        };
        surely.map(|(rcd, _)| of(rcd)).collect()
    };
    for (at, item) in built.problem.items.iter_mut().enumerate() {
        let head = built.spots[at].head;
        for (choice, place) in item.choices.iter_mut().zip(&built.places[at]) {
            choice.leaks.extend(leaks(head, place.socket));
        }
    }
    for head in &dark.off {
        if let Some(placed) = &network.setups[dark.setup].placed[*head] {
            let choice = Choice { leaks: leaks(*head, placed.socket), ..Choice::default() };
            built.problem.items.push(Item { importance: 0, is_fixed: true, choices: vec![choice] });
            built.places.push(vec![placed.clone()]);
        }
    }
}

/// Leaves out what no better placement needs: of several ways to the same sums, all but the one with least lead,
/// where a row that can never bind is no sum.
fn prune(problem: &mut Problem, places: &mut [Vec<PlacedHead>]) {
    let mut most = vec![0; problem.rows.len()];
    for item in &problem.items {
        let mut of_item: HashMap<usize, i64> = HashMap::new();
        for load in item.choices.iter().flat_map(|choice| &choice.loads) {
            let amount = of_item.entry(load.row).or_default();
            *amount = load.amount.max(*amount);
        }
        for (row, amount) in of_item {
            most[row] += amount;
        }
    }
    let limit = |row: &Row| row.lowered.map_or(row.limit, |lowered| lowered.min(row.limit));
    let can_bind: Vec<bool> = problem.rows.iter().zip(&most).map(|(row, most)| *most > limit(row)).collect();
    for (item, places) in problem.items.iter_mut().zip(places).filter(|(item, _)| !item.is_fixed) {
        for choice in &mut item.choices {
            choice.loads.retain(|load| can_bind[load.row] || problem.rows[load.row].is_headroom);
            choice.lowers.retain(|row| can_bind[*row]);
        }
        let mut kept: Vec<(Choice, PlacedHead)> = Vec::new();
        let is_alike =
            |a: &Choice, b: &Choice| Choice { metres: 0, ..a.clone() } == Choice { metres: 0, ..b.clone() };
        for (choice, place) in item.choices.drain(..).zip(places.drain(..)) {
            match kept.iter_mut().find(|(other, _)| is_alike(other, &choice)) {
                Some((other, _)) if other.metres <= choice.metres => {}
                Some(known) => *known = (choice, place),
                None => kept.push((choice, place)),
            }
        }
        (item.choices, *places) = kept.into_iter().unzip();
    }
}

/// The plan with only the moves in it, as it is written.
pub(crate) fn written(dark: &Dark<'_>, places: &[Option<PlacedHead>]) -> Plan {
    let spots: Vec<Spot> = dark.free.iter().map(|head| spot(dark, *head, Stay::Free)).collect();
    let moved = spots.iter().zip(places).filter_map(|(spot, place)| {
        let place = place.as_ref()?;
        let is_moved = spot.now.as_ref().is_none_or(|now| now.socket != place.socket);
        is_moved.then(|| (spot, Some(placement(dark.network, place))))
    });
    with_placements(dark.network, moved)
}

/// Who takes part in what the written plan finds dark or dangerous, and the plan before did not.
fn worse_as_written(dark: &Dark<'_>, built: &Built, chosen: &[Option<usize>]) -> Vec<Breach> {
    let first = dark.lit.len();
    let place = |at: usize| chosen[first + at].map(|choice| built.places[first + at][choice].clone());
    let places: Vec<Option<PlacedHead>> = (0..dark.free.len()).map(place).collect();
    let is_moved = |at: &usize| {
        let now = built.spots[*at].now.as_ref().map(|now| now.socket);
        places[*at - first].as_ref().is_some_and(|place| Some(place.socket) != now)
    };
    let moved: Vec<usize> = (first..first + dark.free.len()).filter(is_moved).collect();
    if moved.is_empty() {
        return Vec::new();
    }
    let after = Network::of(Arc::new(written(dark, &places)));
    let assessment = assess(&after);
    let key = |finding: &Finding| (finding.rule.id, finding.subject);
    let before: Vec<_> =
        dark.assessment.findings_in(dark.setup).filter(|finding| is_worst(finding)).map(key).collect();
    let new = assessment
        .findings_in(dark.setup)
        .filter(|finding| is_worst(finding) && !before.contains(&key(finding)));
    let who = |finding: &Finding| {
        let mut spots = parties(&after, built, chosen, &assessment, finding);
        spots.retain(|at| moved.contains(at));
        Breach { rule: finding.rule.id, spots: if spots.is_empty() { moved.clone() } else { spots } }
    };
    new.map(who).collect()
}
