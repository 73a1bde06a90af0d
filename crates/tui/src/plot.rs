//! Where the user is on the Plot screen, and the head in hand.

use std::cmp::Reverse;

use ampwalk_core::assess::{
    Assessment, Consequence, Finding, Hand, Outlook, Prospect, Subject, Verdict, assess_setup_again,
};
use ampwalk_core::file::Entry;
use ampwalk_core::network::{At, Dense, HeadAt, Network, Resolved, SetupAt, SocketAt};
use ampwalk_core::order::Order as _;
use ampwalk_core::plan::{Head, Placement};
use ampwalk_core::rule::Severity;

use crate::cores::Cores;
use crate::floors::Page;

/// Which side of the Plot screen the arrows move in.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Focus {
    /// The heads, on the left.
    #[default]
    Heads,
    /// The sockets, on the right.
    Sockets,
}

/// Where the user is on the Plot screen.
#[derive(Clone, Debug, Default)]
pub struct Plot {
    /// Which side the arrows move in.
    pub focus: Focus,
    /// The head under the cursor.
    pub head: Option<HeadAt>,
    /// The socket under the cursor.
    pub socket: Option<SocketAt>,
    /// The head in hand.
    pub held: Option<Held>,
}

/// Sockets of another floor that its line has words for, at most: the best.
const BEST_OF_A_FLOOR: usize = 12;

/// Sockets that are rated before a head that was picked up is drawn, the nearest; the others of a large
/// building are rated after that.
const AT_ONCE: usize = 320;

/// A head in hand. How sockets would turn out is worked out once, when it is picked up or soon after; what
/// would happen there in words, only where somebody looks.
#[derive(Clone, Debug)]
pub struct Held {
    /// The head.
    pub head: HeadAt,
    /// Where it was plugged in.
    pub from: Option<SocketAt>,
    /// The setups that a drop changes, the one in view first.
    pub affected: Vec<SetupAt>,
    /// The plan with the head on the chosen socket.
    pub trial: Option<Trial>,
    /// How the sockets would turn out that are rated, legal first, nearest first.
    ranked: Vec<Prospect>,
    /// The others, nearest last.
    unrated: Vec<SocketAt>,
    target: Option<SocketAt>,
    /// Whether somebody chose `target`; else it is the best of those that are rated.
    is_chosen: bool,
    hand: Hand,
    known: Vec<Option<Consequence>>,
}

/// The plan as it would be after a drop. Made when a socket is chosen, never while drawing.
#[derive(Clone, Debug)]
pub struct Trial {
    /// The plan, resolved.
    pub network: Network,
    /// The setup in view, assessed.
    pub assessment: Assessment,
}

impl Held {
    /// Picks a head up.
    #[must_use]
    pub fn pick_up(network: &Network, assessment: &Assessment, setup: SetupAt, head: HeadAt) -> Self {
        let hand = Hand::pick_up_by(network, assessment, setup, head, &Cores);
        let mut unrated = hand.nearest_first(network);
        unrated.reverse();
        let mut carried = Self {
            head,
            from: network.setups[setup].placed[head].as_ref().map(|placed| placed.socket),
            affected: hand.affected.clone(),
            trial: None,
            ranked: Vec::with_capacity(unrated.len()),
            unrated,
            target: None,
            is_chosen: false,
            hand,
            known: vec![None; network.sockets.len()],
        };
        carried.rate(network, AT_ONCE);
        carried.look_at(network, carried.target.into_iter().collect());
        carried
    }

    /// The best socket that is rated: a legal one elsewhere, where there is any.
    fn best(&self) -> Option<SocketAt> {
        let is_one = |there: &&Prospect| Some(there.socket) != self.from && is_legal(there.outlook);
        self.ranked.iter().find(is_one).or(self.ranked.first()).map(|there| there.socket)
    }

    /// Whether there are sockets that are not rated yet.
    #[must_use]
    pub const fn is_unfinished(&self) -> bool {
        !self.unrated.is_empty()
    }

    /// Rates so many more sockets, the nearest first.
    fn rate(&mut self, network: &Network, count: usize) {
        let mut next = self.unrated.split_off(self.unrated.len().saturating_sub(count));
        next.reverse();
        self.ranked.extend(self.hand.prospects(network, &next, &Cores));
        self.ranked.sort_by(Prospect::best_first);
        if !self.is_chosen {
            self.target = self.best();
        }
    }

    /// Rates the sockets that are left. Where nobody chose one yet, the best of all is chosen.
    pub fn finish(&mut self, network: &Network, before: &Assessment, setup: SetupAt) {
        if self.is_unfinished() {
            let target = self.target;
            self.rate(network, usize::MAX);
            if self.target != target {
                self.try_out(network, before, setup);
            }
        }
    }

    /// How the sockets would turn out that are rated, legal first, nearest first.
    #[must_use]
    pub fn ranked(&self) -> &[Prospect] {
        &self.ranked
    }

    /// The chosen socket; `None` where there is no socket at all.
    #[must_use]
    pub const fn target(&self) -> Option<SocketAt> {
        self.target
    }

    /// What would happen at the chosen socket; `None` where there is no socket at all.
    #[must_use]
    pub fn chosen(&self) -> Option<&Consequence> {
        self.at(self.target()?)
    }

    /// What would happen at a socket that somebody looks at.
    #[must_use]
    pub fn at(&self, socket: SocketAt) -> Option<&Consequence> {
        self.known.get(socket.get())?.as_ref()
    }

    /// What would happen at every socket, legal first, nearest first.
    #[must_use]
    pub fn everywhere(&self, network: &Network) -> Vec<Consequence> {
        self.hand.ranked(network)
    }

    /// Works out what would happen at some sockets, in words.
    pub fn look_at(&mut self, network: &Network, mut sockets: Vec<SocketAt>) {
        sockets.retain(|socket| self.at(*socket).is_none());
        if sockets.is_empty() {
            return;
        }
        for consequence in self.hand.at_each(network, &sockets, &Cores) {
            let place = consequence.socket.get();
            self.known[place] = Some(consequence);
        }
    }

    /// Works out what would happen at the sockets in sight: those that are shown, and the best ones of the
    /// pages that have a line, once all are rated.
    pub fn look_around<'a>(
        &mut self,
        network: &Network,
        mut sockets: Vec<SocketAt>,
        lines: impl Iterator<Item = &'a Page>,
    ) {
        for page in lines.filter(|_| !self.is_unfinished()) {
            let of_page = |there: &&Prospect| network.sockets[there.socket].place.floor == page.floor;
            let best = self.ranked.iter().filter(of_page).take(BEST_OF_A_FLOOR);
            sockets.extend(best.map(|there| there.socket));
        }
        self.look_at(network, sockets);
    }

    /// Chooses a socket.
    pub const fn choose(&mut self, socket: SocketAt) {
        self.target = Some(socket);
        self.is_chosen = true;
    }

    /// How many sockets turn out so; `None` while some are not rated.
    #[must_use]
    pub fn count(&self, outlook: Outlook) -> Option<usize> {
        let is_so = |there: &&Prospect| there.outlook == outlook;
        (!self.is_unfinished()).then(|| self.ranked.iter().filter(is_so).count())
    }

    /// Where the head would be plugged in, with the leads that would be taken.
    #[must_use]
    pub fn placement(&self, network: &Network) -> Option<Placement> {
        self.chosen().map(|chosen| Hand::placement(network, chosen))
    }

    /// Works out the plan with the head on the chosen socket.
    pub fn try_out(&mut self, network: &Network, before: &Assessment, setup: SetupAt) {
        self.look_at(network, self.target().into_iter().collect());
        let dropped = self.placement(network).and_then(|placement| self.dropped(network, setup, placement));
        self.trial = dropped.map(|entry| {
            let mut network = network.clone();
            let assessment = match network.put(entry) {
                Resolved::AsBefore => before.clone(),
                Resolved::Plugs | Resolved::Parts(_) | Resolved::Anew => {
                    assess_setup_again(&network, before, setup, &Cores)
                }
            };
            Trial { network, assessment }
        });
    }

    /// What a drop changes: the head, or the setup where that has a socket of its own for it.
    fn dropped(&self, network: &Network, setup: SetupAt, placement: Placement) -> Option<Entry> {
        let id = network.head_id(self.head);
        let (setup_id, own) = network.plan.setups.get_index(setup.get())?;
        if own.sockets.contains_key(id) {
            let mut own = own.clone();
            own.sockets.insert(id.clone(), Some(placement));
            return Some(Entry::Setup(setup_id.clone(), Box::new(own)));
        }
        let head = network.plan.heads.get(id)?.clone();
        Some(Entry::Head(id.clone(), Box::new(Head { placement: Some(placement), ..head })))
    }
}

/// Whether a head may go there without a light going out.
#[must_use]
pub const fn is_legal(outlook: Outlook) -> bool {
    matches!(outlook, Outlook::Fits | Outlook::Risk)
}

/// How each head stands in a setup: the worst finding that it has a part in, if that is more than a
/// note.
#[must_use]
pub fn troubles<'a>(
    network: &Network,
    assessment: &'a Assessment,
    setup: SetupAt,
) -> Dense<HeadAt, Option<&'a Finding>> {
    let used = &assessment.setups[setup];
    let mut troubles = Dense::filled(network.heads.len(), None);
    let mut take = |head: HeadAt, finding: &'a Finding| {
        troubles[head].get_or_insert(finding);
    };
    // Worst first, so that the first one to reach a head is its worst.
    for finding in assessment.findings_in(setup).filter(|finding| finding.severity >= Severity::Risk) {
        match finding.subject {
            Subject::Head(head) => take(head, finding),
            Subject::Socket(socket) => {
                let plugs = used.sockets[socket].plugs.iter();
                plugs.flat_map(|plug| &plug.heads).for_each(|head| take(*head, finding));
            }
            Subject::Circuit(circuit) => {
                used.circuits[circuit].heads.iter().for_each(|head| take(*head, finding));
            }
            Subject::Rcd(rcd) => used.rcds[rcd].heads.iter().for_each(|head| take(*head, finding)),
            Subject::Location | Subject::Supply(_) | Subject::Cable(_) | Subject::Block(_) => {}
        }
    }
    troubles
}

/// The heads of a setup: those not placed first, then those in trouble, then the others; each in the
/// order of the plan.
#[must_use]
pub fn head_order(network: &Network, assessment: &Assessment, setup: SetupAt) -> Vec<HeadAt> {
    let node = &network.setups[setup];
    let troubles = troubles(network, assessment, setup);
    let mut heads: Vec<HeadAt> = network.heads.indices().filter(|head| node.is_on[*head]).collect();
    heads.order_by_key(|head| {
        let verdict = troubles[*head].map_or(Verdict::Clear, |finding| finding.severity.into());
        (node.placed[*head].is_some(), Reverse(verdict), *head)
    });
    heads
}

/// The heads of a setup that are on and not placed.
pub fn not_placed(network: &Network, setup: SetupAt) -> impl Iterator<Item = HeadAt> {
    let node = &network.setups[setup];
    node.on.iter().copied().filter(|head| node.placed[*head].is_none())
}

/// The heads that are on without a socket in any setup, in the order of the plan.
#[must_use]
pub fn left(network: &Network) -> Vec<HeadAt> {
    let is_left = |head: &HeadAt| {
        network.setups.iter().any(|(_, setup)| setup.is_on[*head] && setup.placed[*head].is_none())
    };
    network.heads.indices().filter(is_left).collect()
}

/// The heads that are on and plugged in at a socket, in the order of the plan.
pub fn heads_at(network: &Network, setup: SetupAt, socket: SocketAt) -> impl Iterator<Item = HeadAt> {
    let node = &network.setups[setup];
    node.placed.iter().filter_map(move |(head, placed)| {
        (node.is_on[head] && placed.as_ref().is_some_and(|placed| placed.socket == socket)).then_some(head)
    })
}
