//! What can be lit again where: one head after the other, the most important first, each on the
//! nearest socket that fits. Nothing that is lit moves.

use std::cmp::Ordering;
use std::sync::Arc;

use crate::assess::{Assessment, Consequence, Extent, Finding, Hand, Outlook, assess, certain_chain};
use crate::network::{HeadAt, Link, Network, SetupAt, SocketAt};
use crate::plan::{ClockTime, Placement, Plan, Reset, TestOutcome};
use crate::rule::Severity;
use crate::rule::words::tester;
use crate::unit::{Leakage, MilliAmps, Minutes};

use super::cause::Pattern;
use super::device::{Behind, Lost, behind};
use super::part::Parts;
use super::{MOST_RESETS, Trip};

/// The worst odds at which a head goes on an RCD that others burn behind: after one trip nobody bets
/// what is lit on more than an even chance (ours).
const WORST_ODDS: f64 = 0.5;
/// An RCD over this rating protects no person (IEC 60364-4-41 411.3.3, from memory).
const FINE: MilliAmps = MilliAmps(30.0);
/// Minutes in a day.
const DAY: f64 = 1440.0;

/// Where the lead comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fetch {
    /// The head's own plug reaches, or its leads come with it.
    There,
    /// From the truck.
    FromTheTruck,
}

/// A head that can be lit at once.
#[derive(Clone, Debug, PartialEq)]
pub struct Relight {
    /// The head.
    pub head: HeadAt,
    /// Where it was.
    pub from: SocketAt,
    /// Where it goes.
    pub to: SocketAt,
    /// Leads and blocks, wall first.
    pub links: Vec<Link>,
    /// Whether those are there.
    pub fetch: Fetch,
    /// How it turns out there: fits, or a risk.
    pub outlook: Outlook,
    /// That in a few words.
    pub words: String,
    /// The worst chance that an RCD drops meanwhile, where one may.
    pub odds: Option<f64>,
}

impl Relight {
    /// What the plan says of the head then.
    #[must_use]
    pub fn placement(&self, network: &Network) -> Placement {
        placement(network, self.to, &self.links)
    }

    /// Whether it is another place than before.
    #[must_use]
    pub fn is_move(&self) -> bool {
        self.from != self.to
    }
}

/// A hot head that cannot strike yet.
#[derive(Clone, Debug, PartialEq)]
pub struct Later {
    /// The head.
    pub head: HeadAt,
    /// Minutes from the trip on.
    pub minutes: Minutes,
    /// Back at this time of day, where the trip's is known.
    pub at: Option<ClockTime>,
    /// Where it goes meanwhile; `None`: its own socket, once that is live.
    pub to: Option<Relight>,
}

/// A head without a place, and why.
#[derive(Clone, Debug, PartialEq)]
pub struct LeftDark {
    /// The head.
    pub head: HeadAt,
    /// The place that comes nearest, where there is any.
    pub socket: Option<SocketAt>,
    /// What is wrong there.
    pub finding: Option<Finding>,
    /// In a sentence.
    pub text: String,
}

#[derive(Default)]
pub(super) struct Relit {
    pub now: Vec<Relight>,
    pub later: Vec<Later>,
    pub left: Vec<LeftDark>,
}

pub(super) fn relight(
    network: &Network,
    assessment: &Assessment,
    trip: &Trip,
    parts: &Parts,
    suspects: &[HeadAt],
) -> Relit {
    let mut relit = Relit::default();
    let mut trial = Trial::new(network, assessment, trip, parts, suspects);
    let mut heads: Vec<HeadAt> = parts.dark.iter().copied().filter(|head| !suspects.contains(head)).collect();
    heads.sort_by_key(|head| (std::cmp::Reverse(network.heads[*head].importance), *head));
    let (hot, cold): (Vec<HeadAt>, Vec<HeadAt>) =
        heads.into_iter().partition(|head| wait(network, trip, *head) > Minutes::ZERO);
    for head in cold {
        match trial.place(head) {
            Ok(relight) => relit.now.push(relight),
            Err(left) => relit.left.push(*left),
        }
    }
    for head in hot {
        let minutes = wait(network, trip, head);
        let at = trip.clock(network).map(|clock| clock_time(clock + minutes.0));
        match trial.place(head) {
            Ok(relight) => {
                let to = relight.is_move().then_some(relight);
                relit.later.push(Later { head, minutes, at, to });
            }
            Err(_) if comes_back(trip) => relit.later.push(Later { head, minutes, at, to: None }),
            Err(left) => relit.left.push(*left),
        }
    }
    relit
}

/// Whether a reset may still bring the device back.
fn comes_back(trip: &Trip) -> bool {
    trip.reset == Reset::NotTried && trip.resets < MOST_RESETS && Pattern::of(&trip.lost).may_be_reset()
}

/// Minutes that a head stays dark: those of its class where it was lit.
fn wait(network: &Network, trip: &Trip, head: HeadAt) -> Minutes {
    if trip.not_struck.contains(&head) { Minutes::ZERO } else { network.heads[head].restrike.value }
}

/// Minutes after midnight, the started one whole.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "within a day")]
fn clock_time(minutes: f64) -> ClockTime {
    ClockTime { minutes: minutes.ceil().rem_euclid(DAY) as u32 }
}

fn placement(network: &Network, socket: SocketAt, links: &[Link]) -> Placement {
    let leads = super::lead_ids(network, links);
    Placement {
        socket: network.socket_id(socket).clone(),
        leads: leads.iter().map(|lead| lead.as_str().into()).collect(),
    }
}

/// The plan with what burns now, as heads come back one by one.
struct Trial<'a> {
    network: &'a Network,
    trip: &'a Trip,
    /// Only what burns is on; what burns strikes no more, and what comes back is struck after it.
    burning: Plan,
    /// The plan with all moves so far, as it will be written.
    written: Plan,
    /// What was found before any move.
    before: Vec<(&'static str, crate::assess::Subject)>,
    was_rcd: bool,
}

impl<'a> Trial<'a> {
    fn new(
        network: &'a Network,
        assessment: &Assessment,
        trip: &'a Trip,
        parts: &Parts,
        suspects: &[HeadAt],
    ) -> Self {
        let mut burning = (*network.plan).clone();
        let used = &assessment.setups[trip.setup];
        let id = |head: HeadAt| network.head_id(head).clone();
        for head in parts.lit.iter().chain(&parts.unsure) {
            if let Some(plan) = burning.heads.get_mut(network.head_id(*head)) {
                plan.strike = Some(Leakage::ZERO);
                plan.start = used.heads[*head].as_ref().map(|used| used.amps);
            }
        }
        if let Some(setup) = burning.setups.get_mut(network.setup_id(trip.setup)) {
            setup.on = parts.lit.iter().chain(&parts.unsure).map(|head| id(*head)).collect();
            setup.strike = setup.on.clone();
            for head in suspects {
                setup.sockets.insert(id(*head), None);
            }
        }
        let before = worst(assessment, trip.setup);
        let was_rcd = trip.lost.iter().any(|lost| matches!(lost, Lost::Rcd(_)));
        Self { network, trip, burning, written: (*network.plan).clone(), before, was_rcd }
    }

    /// Puts a head on the best socket that will do, and keeps it there.
    fn place(&mut self, head: HeadAt) -> Result<Relight, Box<LeftDark>> {
        let id = self.network.head_id(head).clone();
        let from = self.network.setups[self.trip.setup].placed[head].as_ref();
        let Some(from) = from.map(|placed| (placed.socket, placed.links.clone())) else {
            let text = "it was not plugged in".to_owned();
            return Err(Box::new(LeftDark { head, socket: None, finding: None, text }));
        };
        let mut with = self.burning.clone();
        if let Some(setup) = with.setups.get_mut(self.network.setup_id(self.trip.setup)) {
            setup.on.push(id.clone());
        }
        let network = Network::of(Arc::new(with));
        let assessment = assess(&network);
        let setup = self.trip.setup;
        let hand = Hand::pick_up_for(&network, &assessment, setup, head, Extent::ThisSetup);
        let mut ranked = hand.ranked(&network);
        ranked.sort_by(|a, b| {
            let is_elsewhere = |there: &Consequence| there.socket != from.0;
            is_elsewhere(a).cmp(&is_elsewhere(b)).then(a.outlook.cmp(&b.outlook)).then(by_odds(a, b))
        });
        ranked.retain(|there| self.is_live(there.socket));
        if self.network.plan.heads.get(&id).is_some_and(|plan| plan.pinned) {
            ranked.retain(|there| there.socket == from.0);
        }
        for there in &ranked {
            if self.bars(&network, &assessment, there).is_none() && self.take(head, &id, there, from.0) {
                return Ok(relit(head, &from, there));
            }
        }
        Err(Box::new(self.left(&network, &assessment, head, &ranked)))
    }

    /// Whether a socket has power now.
    fn is_live(&self, socket: SocketAt) -> bool {
        let is_dead = |lost: &Lost| behind(self.network, socket, *lost) != Behind::No;
        self.trip.reset == Reset::Held || !self.trip.lost.iter().any(is_dead)
    }

    /// Why a head may not go there.
    fn bars(&self, network: &Network, assessment: &Assessment, there: &Consequence) -> Option<String> {
        if there.outlook > Outlook::Risk {
            return Some(there.words.clone());
        }
        // In the dark only what a tester found right: not even what is a note by daylight.
        let test = network.sockets[there.socket].test;
        if test != TestOutcome::Ok {
            return Some(tester(network, test));
        }
        if there.odds.is_some_and(|odds| odds > WORST_ODDS) {
            return Some(there.words.clone());
        }
        let proves = |rcd| {
            let node = &network.rcds[rcd];
            let room = &assessment.setups[self.trip.setup].rcds[rcd].room;
            room.tested && !room.absent && !node.rated.value.is_over(FINE)
        };
        if self.was_rcd && !certain_chain(network, there.socket).any(proves) {
            return Some(format!("no tested {}", network.region.words.rcd));
        }
        None
    }

    /// Makes the move in both plans, where the written one finds nothing worse for it.
    fn take(&mut self, head: HeadAt, id: &crate::id::HeadId, there: &Consequence, from: SocketAt) -> bool {
        let key = self.network.setup_id(self.trip.setup).clone();
        let placed = placement(self.network, there.socket, &there.links);
        if there.socket != from {
            let mut written = self.written.clone();
            if let Some(setup) = written.setups.get_mut(&key) {
                setup.sockets.insert(id.clone(), Some(placed.clone()));
            }
            let network = Network::of(Arc::new(written.clone()));
            let found = worst(&assess(&network), self.trip.setup);
            if found.iter().any(|found| !self.before.contains(found)) {
                return false;
            }
            self.written = written;
        }
        let amps = self.network.heads[head].running_amps(self.network.terminals(there.socket));
        if let Some(plan) = self.burning.heads.get_mut(id) {
            plan.strike = Some(Leakage::ZERO);
            plan.start = Some(amps);
        }
        if let Some(setup) = self.burning.setups.get_mut(&key) {
            setup.on.push(id.clone());
            setup.strike.push(id.clone());
            if there.socket != from {
                setup.sockets.insert(id.clone(), Some(placed));
            }
        }
        true
    }

    fn left(
        &self,
        network: &Network,
        assessment: &Assessment,
        head: HeadAt,
        ranked: &[Consequence],
    ) -> LeftDark {
        let id = self.network.head_id(head);
        let Some(nearest) = ranked.first() else {
            let text = format!("{id} may not be moved, or no socket has power");
            return LeftDark { head, socket: None, finding: None, text };
        };
        let why = self.bars(network, assessment, nearest);
        let why = why.unwrap_or_else(|| "it would take the light or the lead from another head".to_owned());
        let socket = self.network.socket_id(nearest.socket);
        let finding = nearest.findings.first().cloned();
        LeftDark { head, socket: Some(nearest.socket), finding, text: format!("{id} on {socket}: {why}") }
    }
}

/// What is said of a head on its new place.
fn relit(head: HeadAt, from: &(SocketAt, Vec<Link>), there: &Consequence) -> Relight {
    let own = there.socket == from.0;
    let links = if own { from.1.clone() } else { there.links.clone() };
    let mut left = from.1.clone();
    let is_there = links.iter().all(|link| {
        let place = left.iter().position(|own| own == link);
        place.map(|place| left.swap_remove(place)).is_some()
    });
    Relight {
        head,
        from: from.0,
        to: there.socket,
        links,
        fetch: if is_there { Fetch::There } else { Fetch::FromTheTruck },
        outlook: there.outlook,
        words: there.words.clone(),
        odds: there.odds,
    }
}

fn by_odds(a: &Consequence, b: &Consequence) -> Ordering {
    a.odds.unwrap_or(0.0).total_cmp(&b.odds.unwrap_or(0.0))
}

/// What is dark or dangerous in a setup, by rule and subject.
fn worst(assessment: &Assessment, setup: SetupAt) -> Vec<(&'static str, crate::assess::Subject)> {
    assessment
        .findings_in(setup)
        .filter(|finding| finding.severity >= Severity::Dark)
        .map(|finding| (finding.rule.id, finding.subject))
        .collect()
}
