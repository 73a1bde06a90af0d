//! A head in hand: what would happen at every socket at once.
//!
//! The head is taken out once, in every setup that a drop would change; each socket then adds it
//! back to the few sums that it touches and runs the same checks as a whole assessment does.

mod prospect;
mod trial;
mod upstream;

use std::collections::HashMap;
use std::sync::Arc;

use crate::assess::{Assessment, Finding, Sums};
use crate::network::{
    At, CircuitAt, Dense, HeadAt, Link, Network, RcdAt, SetupAt, SocketAt, lead_needed, plan_order,
};
use crate::plan::Placement;
use crate::rule::scope::{Context, Dropped, check_drop, check_head, check_socket, once_each};
use crate::rule::setup::{Fed, fed, neighbour_findings, neighbours};
use crate::rule::{Found, HeadScope, Severity, SocketScope};
use crate::unit::{Amps, Metres, MilliAmps, Minutes};
use crate::workers::{OneByOne, Workers};

use super::order::{Runs, continuous_runs, runs_of_head};
use super::outlook::words;
use super::places::with_head;
use super::plug::settle_volts;
use super::stock::{Stock, pick_links};
use super::tally::{feed, setup_use_without};
use super::usage::{HeadUse, SocketUse};
pub use prospect::Prospect;
pub(crate) use trial::Trials;
use trial::Tried;
use upstream::Upstream;

/// How a drop on a socket would turn out, best first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Outlook {
    /// Nothing worse than a note.
    Fits,
    /// Something may go wrong.
    Risk,
    /// A light goes out, or does not start.
    Dark,
    /// Somebody can be hurt.
    Never,
}

/// What would happen if the head in hand were dropped on a socket.
#[derive(Clone, Debug, PartialEq)]
pub struct Consequence {
    /// The socket.
    pub socket: SocketAt,
    /// The worst of it.
    pub outlook: Outlook,
    /// A few words for the grid: `fits 8 A 6 mA left`, `no: plug`, `no: 2.3 A over`, `may trip 7 in 10`,
    /// `NEVER: active and neutral swapped`.
    pub words: String,
    /// What would be found there, worst first, those of the setup in view before others.
    pub findings: Vec<Finding>,
    /// The circuit, where it is traced, and the amps that would be left on it.
    pub circuit: Option<(CircuitAt, Amps)>,
    /// The tightest RCD of the chain, and the milliamps that would surely be left on it.
    pub rcd: Option<(RcdAt, MilliAmps)>,
    /// The worst chance that an RCD drops while the heads are struck, 0 to 1, where one may.
    pub odds: Option<f64>,
    /// Leads from the truck's stock that would be taken, wall first.
    pub links: Vec<Link>,
    /// Metres of lead that it takes, where both places are known.
    pub lead_needed: Option<Metres>,
}

impl Outlook {
    /// What the worst finding makes of it.
    const fn of(worst: Option<Severity>) -> Self {
        match worst {
            None | Some(Severity::Note) => Self::Fits,
            Some(Severity::Risk) => Self::Risk,
            Some(Severity::Dark) => Self::Dark,
            Some(Severity::Danger) => Self::Never,
        }
    }
}

/// The head on one socket, while it is looked at.
struct Tryout {
    socket: SocketAt,
    links: Vec<Link>,
    found: Found,
    circuit: Option<(CircuitAt, Amps)>,
    rcd: Option<(RcdAt, MilliAmps)>,
    odds: Option<f64>,
}

/// A head in hand.
#[derive(Clone, Debug)]
pub struct Hand {
    /// The head.
    pub head: HeadAt,
    /// The setup in view.
    pub setup: SetupAt,
    /// The setups that a drop changes, the one in view first.
    pub affected: Vec<SetupAt>,
    from: Option<(SocketAt, Vec<Link>)>,
    lifted: Sums,
    runs: Runs,
    order: Vec<SetupAt>,
    stock: Stock,
    neighbours: HashMap<SetupAt, Vec<(Fed, Metres)>>,
}

/// Which setups a drop changes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Extent {
    /// Every setup that has no socket of its own for the head.
    EverySetup,
    /// The setup in view only.
    ThisSetup,
}

impl Hand {
    /// Takes a head out of its socket.
    #[must_use]
    pub fn pick_up(network: &Network, assessment: &Assessment, setup: SetupAt, head: HeadAt) -> Self {
        Self::pick_up_for(network, assessment, setup, head, Extent::EverySetup)
    }

    /// Takes a head out of its socket, one setup a worker.
    #[must_use]
    pub fn pick_up_by(
        network: &Network,
        assessment: &Assessment,
        setup: SetupAt,
        head: HeadAt,
        workers: &impl Workers,
    ) -> Self {
        Self::lift(network, assessment, (setup, head), Extent::EverySetup, workers)
    }

    /// Takes a head out of its socket, in every setup that shares it or in this one only.
    #[must_use]
    pub fn pick_up_for(
        network: &Network,
        assessment: &Assessment,
        setup: SetupAt,
        head: HeadAt,
        extent: Extent,
    ) -> Self {
        Self::lift(network, assessment, (setup, head), extent, &OneByOne)
    }

    fn lift(
        network: &Network,
        assessment: &Assessment,
        (setup, head): (SetupAt, HeadAt),
        extent: Extent,
        workers: &impl Workers,
    ) -> Self {
        let runs = continuous_runs(network);
        let affected = affected(network, setup, head, extent);
        let without = |at: usize| match SetupAt::new(at) {
            at if affected.contains(&at) => {
                let before = Some(&*assessment.setups[at]);
                Arc::new(setup_use_without(network, at, &runs, before, Some(head)))
            }
            at => Arc::clone(&assessment.setups[at]),
        };
        let lifted = Dense::from(workers.each(assessment.setups.len(), without));
        let neighbours = affected.iter().map(|at| (*at, neighbours(network, &lifted[*at], head))).collect();
        let from =
            network.setups[setup].placed[head].as_ref().map(|placed| (placed.socket, placed.links.clone()));
        let stock = Stock::left(network, affected.iter().map(|at| &*lifted[*at]));
        let order = plan_order(&network.setups);
        Self { head, setup, affected, from, lifted, runs, order, stock, neighbours }
    }

    /// What would happen at one socket.
    #[must_use]
    pub fn at(&self, network: &Network, socket: SocketAt) -> Consequence {
        self.consequence(network, socket, self.links(network, socket), &mut Trials::of_all())
    }

    /// What the plan would say of the head after such a drop.
    #[must_use]
    pub fn placement(network: &Network, consequence: &Consequence) -> Placement {
        let lead = |link: &Link| match link {
            Link::Cable(cable) => network.cables[*cable].id.as_str().into(),
            Link::Block(block) => network.blocks[*block].id.as_str().into(),
        };
        Placement {
            socket: network.socket_id(consequence.socket).clone(),
            leads: consequence.links.iter().map(lead).collect(),
        }
    }

    /// Metres of lead that it takes to a socket.
    fn needed(&self, network: &Network, socket: SocketAt) -> Option<Metres> {
        let node = &network.heads[self.head];
        lead_needed(&network.sockets[socket].place, &node.place, network.plan.location.stair, node.tail)
    }

    /// The leads that would be taken to a socket: those that lie there, or the best of the truck.
    fn links(&self, network: &Network, socket: SocketAt) -> Vec<Link> {
        match &self.from {
            Some((from, links)) if *from == socket => links.clone(),
            _ => pick_links(network, &self.stock, socket, self.head, self.needed(network, socket)),
        }
    }

    /// What would happen at one socket with these leads; `trials` are those of this head's other sockets.
    pub(crate) fn consequence(
        &self,
        network: &Network,
        socket: SocketAt,
        links: Vec<Link>,
        trials: &mut Trials,
    ) -> Consequence {
        let Tryout { links, found, circuit, rcd, odds, .. } = self.try_on(network, socket, links, trials);
        let mut findings = found.into_findings();
        once_each(&mut findings);
        let in_view = |finding: &Finding| finding.setup != Some(self.setup);
        findings.sort_by_cached_key(|finding| {
            (std::cmp::Reverse(finding.severity), in_view(finding), finding.rule.place(), finding.setup)
        });
        let mut consequence = Consequence {
            socket,
            outlook: Outlook::of(findings.first().map(|finding| finding.severity)),
            words: String::new(),
            findings,
            circuit,
            rcd,
            odds,
            links,
            lead_needed: self.needed(network, socket),
        };
        consequence.words = words(network, &consequence);
        consequence
    }

    /// Tries the head on a socket in every setup that a drop changes. Where only the worst is asked for,
    /// nothing is worse than a danger.
    fn try_on(&self, network: &Network, socket: SocketAt, links: Vec<Link>, trials: &mut Trials) -> Tryout {
        let found = trials.nothing();
        let mut tryout = Tryout { socket, links, found, circuit: None, rcd: None, odds: None };
        let used = trials.used(network, self, socket, &tryout.links);
        for setup in &self.affected {
            self.add_back(network, *setup, &used, &mut tryout, trials);
            if tryout.found.is_settled() {
                break;
            }
        }
        tryout
    }

    /// How long the head would burn on the same circuit, were it on this socket.
    fn run(&self, network: &Network, setup: SetupAt, socket: SocketAt) -> Minutes {
        let reach = |at: SetupAt| {
            let own = || network.setups[at].placed[self.head].as_ref().map(|placed| placed.socket);
            let there = if self.affected.contains(&at) { Some(socket) } else { own() };
            there.map(|there| network.sockets[there].reach)
        };
        runs_of_head(network, &self.order, self.head, reach)
            .into_iter()
            .find(|(at, _)| *at == setup)
            .map_or(Minutes::ZERO, |(_, minutes)| minutes)
    }

    /// Adds the head back in one setup, to the sums that it touches, and runs their checks.
    fn add_back(
        &self,
        network: &Network,
        setup: SetupAt,
        used: &HeadUse,
        tryout: &mut Tryout,
        trials: &mut Trials,
    ) {
        let (head, lifted) = (self.head, &self.lifted[setup]);
        let tried = trials.of(network, setup, self, used);
        let heads = &mut tried.order.heads;
        heads[head] = Some(used.clone());
        let plugs = with_head(network, setup, &lifted.sockets[tryout.socket], head, heads);
        let sharing = share_leads(network, &plugs, heads);
        self.check_with(network, setup, tryout, &plugs, &sharing, tried);
        for other in sharing.into_iter().filter(|other| *other != head) {
            tried.order.heads[other].clone_from(&lifted.heads[other]);
        }
    }

    /// Runs the checks of the sums that the head touches; `order` has it and those that share its leads.
    fn check_with(
        &self,
        network: &Network,
        setup: SetupAt,
        tryout: &mut Tryout,
        plugs: &SocketUse,
        sharing: &[HeadAt],
        tried: &mut Tried,
    ) {
        let (socket, head) = (tryout.socket, self.head);
        let Tried { order, known } = tried;
        let heads = &order.heads;
        let Some(used) = &heads[head] else { return };
        let context = self.context(network, setup, used);
        let found = &mut tryout.found;
        check_head(&HeadScope { context, head, used }, found);
        check_sharing(context, sharing.iter().copied().filter(|other| *other != head), heads, found);
        check_socket(&SocketScope { context, socket, used: plugs }, found);
        if found.is_settled() {
            return;
        }
        let upstream = known.upstream(self, context, (socket, used), order, sharing);
        found.extend(&upstream.of_circuits);
        self.check_boxes(context, socket, &upstream, found);
        found.extend(&upstream.of_devices);
        if setup == self.setup {
            (tryout.circuit, tryout.rcd) = (upstream.circuit_left, upstream.rcd_left);
        }
        if let Some(odds) = upstream.odds {
            tryout.odds = Some(tryout.odds.map_or(odds, |most| most.max(odds)));
        }
        if let (Some(fed), Some(near)) = (fed(network, head, socket), self.neighbours.get(&setup)) {
            neighbour_findings(context, &fed, near, found);
        }
    }

    /// The outlet that a distribution box hangs on carries the head, too.
    fn check_boxes(&self, context: Context<'_>, socket: SocketAt, upstream: &Upstream, found: &mut Found) {
        let (network, lifted) = (context.network, &self.lifted[context.setup]);
        let reach = network.reach_of(socket);
        for part in reach.sockets.iter().filter(|part| part.certain && part.what != socket) {
            let mut boxed = lifted.sockets[part.what].clone();
            let now = |at: CircuitAt| {
                let changed = upstream.circuits.iter().find(|(circuit, _)| *circuit == at);
                changed.map_or(&lifted.circuits[at], |(_, used)| used)
            };
            let (amps, hanging) = feed(&network.sockets[part.what].feeds, now);
            (boxed.amps, boxed.feed, boxed.fed) = (boxed.amps - boxed.feed + amps, amps, hanging);
            check_socket(&SocketScope { context, socket: part.what, used: &boxed }, found);
        }
    }

    /// The setup that is looked at, with the head as it would be used.
    fn context<'a>(&'a self, network: &'a Network, setup: SetupAt, used: &HeadUse) -> Context<'a> {
        let dropped = Dropped {
            setups: &self.affected,
            supply: used.socket.and_then(|socket| network.reach_of(socket).supply()),
            kw: used.terminals.power(used.amps, network.heads[self.head].power_factor.value).into(),
        };
        Context { network, setup, setups: &self.lifted, dropped: Some(dropped) }
    }
}

/// Works out what arrives at the heads behind blocks at a socket, now that one more is on it: those heads.
fn share_leads(
    network: &Network,
    plugs: &SocketUse,
    heads: &mut Dense<HeadAt, Option<HeadUse>>,
) -> Vec<HeadAt> {
    let mut sharing = Vec::new();
    for plug in plugs.plugs.iter().filter(|plug| plug.block.is_some()) {
        settle_volts(network, plug, heads);
        sharing.extend(&plug.heads);
    }
    sharing
}

/// What one more head behind the blocks of a socket takes from the others there.
fn check_sharing(
    context: Context<'_>,
    others: impl Iterator<Item = HeadAt>,
    heads: &Dense<HeadAt, Option<HeadUse>>,
    found: &mut Found,
) {
    for head in others {
        if let Some(used) = &heads[head] {
            check_drop(&HeadScope { context, head, used }, found);
        }
    }
}

/// The setups that a drop changes, the one in view first: this one alone where it has a socket of
/// its own for the head, else every one that has none and in which the head is on.
fn affected(network: &Network, setup: SetupAt, head: HeadAt, extent: Extent) -> Vec<SetupAt> {
    let id = network.head_id(head);
    let has_own = |at: SetupAt| {
        let plan = network.plan.setups.get(network.setup_id(at).as_str());
        plan.is_some_and(|setup| setup.sockets.contains_key(id))
    };
    if extent == Extent::ThisSetup || has_own(setup) {
        return vec![setup];
    }
    let others = network
        .setups
        .indices()
        .filter(|at| *at != setup && network.setups[*at].is_on[head] && !has_own(*at));
    std::iter::once(setup).chain(others).collect()
}
