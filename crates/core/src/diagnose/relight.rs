//! What can be lit again where: as much light as there can be, with as few moves as that takes. Nothing that
//! is lit moves.

use std::cmp::Ordering;
use std::sync::Arc;

use crate::assess::{Assessment, Consequence, Extent, Finding, Hand, Outlook, Trials, assess, certain_chain};
use crate::id::HeadId;
use crate::network::{HeadAt, Link, Network, PlacedHead, SocketAt};
use crate::order::Order as _;
use crate::plan::{ClockTime, Placement, Plan, Reset, TestOutcome};
use crate::rule::words::tester;
use crate::solve::Answer;
use crate::solve::plan::Objective;
use crate::solve::plan::repatch::{Dark, repatch};
use crate::unit::{Amps, Leakage, MilliAmps, Minutes};

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

/// How sure it is that the least was asked of the crew.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Proof {
    /// `Optimal`: no other way lights more of importance, nor as much with fewer moves, less odds, less lead.
    pub answer: Answer,
    /// What it comes to, of the heads that are no suspects; a hot head that waits for its own socket counts as
    /// dark.
    pub objective: Objective,
    /// What no other way can beat.
    pub bound: Objective,
    /// How full the fullest circuit is then, percent.
    pub tightest_percent: f64,
}

impl Proof {
    /// Whether no other way lights more of importance.
    #[must_use]
    pub const fn is_most_light(&self) -> bool {
        self.bound.dark_importance == self.objective.dark_importance
    }

    /// Whether no other way lights as much with fewer moves.
    #[must_use]
    pub const fn is_fewest_moves(&self) -> bool {
        self.is_most_light()
            && self.bound.on_generator == self.objective.on_generator
            && self.bound.moves == self.objective.moves
    }
}

pub(super) struct Relit {
    pub now: Vec<Relight>,
    pub later: Vec<Later>,
    pub left: Vec<LeftDark>,
    pub proof: Proof,
}

pub(super) fn relight(
    network: &Network,
    assessment: &Assessment,
    trip: &Trip,
    parts: &Parts,
    suspects: &[HeadAt],
) -> Relit {
    let free = in_order(network, trip, parts, suspects);
    let scene = Scene { network, assessment, trip, parts };
    let may_use = |socket: SocketAt| scene.refuses(socket).is_none();
    let dark = Dark {
        network,
        assessment,
        setup: trip.setup,
        burning: Network::of(Arc::new(scene.burning(suspects, &free))),
        lit: parts.lit.iter().chain(&parts.unsure).copied().collect(),
        off: suspects.to_vec(),
        free,
        may_use: &may_use,
        worst_odds: WORST_ODDS,
    };
    let found = repatch(&dark);
    let (now, moved) = scene.lit_one_by_one(suspects, &dark.free, &found.places);
    let proof = Proof {
        answer: found.answer,
        objective: found.objective,
        bound: found.bound,
        tightest_percent: found.tightest_percent,
    };
    let mut relit = Relit { now, later: Vec::new(), left: Vec::new(), proof };
    let (mut waiting, now) =
        relit.now.into_iter().partition::<Vec<_>, _>(|lit| wait(network, trip, lit.head) > Minutes::ZERO);
    relit.now = now;
    let at = |minutes: Minutes| trip.clock(network).map(|clock| clock_time(clock + minutes.0));
    let mut nowhere = Vec::new();
    for (head, place) in dark.free.iter().zip(&found.places) {
        let minutes = wait(network, trip, *head);
        if place.is_some() {
            if let Some(which) = waiting.iter().position(|lit| lit.head == *head) {
                let relight = waiting.remove(which);
                let to = relight.is_move().then_some(relight);
                relit.later.push(Later { head: *head, minutes, at: at(minutes), to });
            }
        } else if minutes > Minutes::ZERO && comes_back(trip) {
            relit.later.push(Later { head: *head, minutes, at: at(minutes), to: None });
        } else {
            nowhere.push(*head);
        }
    }
    relit.left = scene.left(&moved, &nowhere);
    relit
}

/// The heads that went dark and are no suspects, in the order in which they are struck: those that are cold
/// first, of these falling by what they leak while striking, then the most important.
fn in_order(network: &Network, trip: &Trip, parts: &Parts, suspects: &[HeadAt]) -> Vec<HeadAt> {
    let mut heads: Vec<HeadAt> = parts.dark.iter().copied().filter(|head| !suspects.contains(head)).collect();
    let is_hot = |head: HeadAt| wait(network, trip, head) > Minutes::ZERO;
    let strike = |head: HeadAt| network.heads[head].strike.value.high;
    let importance = |head: HeadAt| std::cmp::Reverse(network.heads[head].importance);
    heads.order_by(|a, b| {
        is_hot(*a)
            .cmp(&is_hot(*b))
            .then(strike(*b).total_cmp(strike(*a)))
            .then(importance(*a).cmp(&importance(*b)))
            .then(a.cmp(b))
    });
    heads
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

/// A trip, and what it is looked at in.
struct Scene<'a> {
    network: &'a Network,
    assessment: &'a Assessment,
    trip: &'a Trip,
    parts: &'a Parts,
}

impl Scene<'_> {
    /// The plan with only what burns and `more` on: what burns strikes no more, `more` comes after it, in its
    /// order.
    fn burning(&self, suspects: &[HeadAt], more: &[HeadAt]) -> Plan {
        let mut plan = (*self.network.plan).clone();
        let id = |head: &HeadAt| self.network.head_id(*head).clone();
        let lit = || self.parts.lit.iter().chain(&self.parts.unsure);
        for head in lit() {
            let used = self.assessment.setups[self.trip.setup].heads[*head].as_ref();
            strikes_no_more(&mut plan, &id(head), used.map(|used| used.amps));
        }
        if let Some(setup) = plan.setups.get_mut(self.network.setup_id(self.trip.setup)) {
            setup.on = lit().chain(more).map(id).collect();
            setup.strike = setup.on.clone();
            for head in suspects {
                setup.sockets.insert(id(head), None);
            }
        }
        plan
    }

    /// Heads come back on their places one by one: what is said of each as it does, and the plan with all of
    /// them burning.
    fn lit_one_by_one(
        &self,
        suspects: &[HeadAt],
        heads: &[HeadAt],
        places: &[Option<PlacedHead>],
    ) -> (Vec<Relight>, Plan) {
        let mut burning = self.burning(suspects, &[]);
        let key = self.network.setup_id(self.trip.setup).clone();
        let mut lit = Vec::new();
        for (head, place) in heads.iter().zip(places) {
            let (Some(place), Some(from)) = (place, self.place_before(*head)) else { continue };
            let id = self.network.head_id(*head).clone();
            if let Some(setup) = burning.setups.get_mut(&key) {
                setup.on.push(id.clone());
            }
            let network = Network::of(Arc::new(burning.clone()));
            let there = self.in_hand(&network, &assess(&network), *head).consequence(
                &network,
                place.socket,
                place.links.clone(),
                &mut Trials::of_all(),
            );
            if let Some(setup) = burning.setups.get_mut(&key) {
                setup.strike.push(id.clone());
                setup.sockets.insert(id.clone(), Some(placement(self.network, place.socket, &place.links)));
            }
            let amps = self.network.heads[*head].running_amps(self.network.terminals(place.socket));
            strikes_no_more(&mut burning, &id, Some(amps));
            lit.push(relit(*head, from, &there));
        }
        (lit, burning)
    }

    fn place_before(&self, head: HeadAt) -> Option<&PlacedHead> {
        self.network.setups[self.trip.setup].placed[head].as_ref()
    }

    fn in_hand(&self, network: &Network, assessment: &Assessment, head: HeadAt) -> Hand {
        Hand::pick_up_for(network, assessment, self.trip.setup, head, Extent::ThisSetup)
    }

    /// Why a socket is not for a head now; `None` where it is.
    fn refuses(&self, socket: SocketAt) -> Option<String> {
        let is_dead = |lost: &Lost| behind(self.network, socket, *lost) != Behind::No;
        if self.trip.reset != Reset::Held && self.trip.lost.iter().any(is_dead) {
            return Some("dead".to_owned());
        }
        // In the dark only what a tester found right: not even what is a note by daylight.
        let test = self.network.sockets[socket].test;
        if test != TestOutcome::Ok {
            return Some(tester(self.network, test));
        }
        let was_rcd = self.trip.lost.iter().any(|lost| matches!(lost, Lost::Rcd(_)));
        let proves = |rcd| {
            let node = &self.network.rcds[rcd];
            let room = &self.assessment.setups[self.trip.setup].rcds[rcd].room;
            room.tested && !room.absent && !node.rated.value.is_over(FINE)
        };
        if was_rcd && !certain_chain(self.network, socket).any(proves) {
            return Some(format!("no tested {}", self.network.region.words.rcd));
        }
        None
    }

    /// Why each of these heads has no place, with all others burning.
    fn left(&self, burning: &Plan, heads: &[HeadAt]) -> Vec<LeftDark> {
        if heads.is_empty() {
            return Vec::new();
        }
        let mut with = burning.clone();
        if let Some(setup) = with.setups.get_mut(self.network.setup_id(self.trip.setup)) {
            setup.on.extend(heads.iter().map(|head| self.network.head_id(*head).clone()));
            for head in heads {
                setup.sockets.insert(self.network.head_id(*head).clone(), None);
            }
        }
        let network = Network::of(Arc::new(with));
        let assessment = assess(&network);
        heads.iter().map(|head| self.left_dark(&network, &assessment, *head)).collect()
    }

    fn left_dark(&self, network: &Network, assessment: &Assessment, head: HeadAt) -> LeftDark {
        let id = self.network.head_id(head);
        let mut ranked = self.in_hand(network, assessment, head).ranked(network);
        let is_dead = |socket: SocketAt| self.refuses(socket).is_some_and(|why| why == "dead");
        ranked.retain(|there| !is_dead(there.socket));
        if self.network.plan.heads.get(id).is_some_and(|plan| plan.pinned) {
            let own = self.place_before(head).map(|placed| placed.socket);
            ranked.retain(|there| Some(there.socket) == own);
        }
        ranked.order_by(|a, b| a.outlook.cmp(&b.outlook).then(by_odds(a, b)));
        let Some(nearest) = ranked.first() else {
            let text = format!("{id} may not be moved, or no socket has power");
            return LeftDark { head, socket: None, finding: None, text };
        };
        let why = if nearest.outlook > Outlook::Risk {
            nearest.words.clone()
        } else if let Some(why) = self.refuses(nearest.socket) {
            why
        } else if nearest.odds.is_some_and(|odds| odds > WORST_ODDS) {
            nearest.words.clone()
        } else {
            "it would take the light or the lead from another head".to_owned()
        };
        let socket = self.network.socket_id(nearest.socket);
        let finding = nearest.findings.first().cloned();
        LeftDark { head, socket: Some(nearest.socket), finding, text: format!("{id} on {socket}: {why}") }
    }
}

/// A head that burns leaks and draws no more than it does now.
fn strikes_no_more(plan: &mut Plan, id: &HeadId, amps: Option<Amps>) {
    if let Some(head) = plan.heads.get_mut(id) {
        head.strike = Some(Leakage::ZERO);
        head.start = amps;
    }
}

/// What is said of a head on its new place.
fn relit(head: HeadAt, from: &PlacedHead, there: &Consequence) -> Relight {
    let mut left = from.links.clone();
    let is_there = there.links.iter().all(|link| {
        let place = left.iter().position(|own| own == link);
        place.map(|place| left.swap_remove(place)).is_some()
    });
    Relight {
        head,
        from: from.socket,
        to: there.socket,
        links: there.links.clone(),
        fetch: if is_there { Fetch::There } else { Fetch::FromTheTruck },
        outlook: there.outlook,
        words: there.words.clone(),
        odds: there.odds,
    }
}

fn by_odds(a: &Consequence, b: &Consequence) -> Ordering {
    a.odds.unwrap_or(0.0).total_cmp(&b.odds.unwrap_or(0.0))
}
