//! How a head in hand would turn out on many sockets, the best first.

use std::cmp::Ordering;

use super::trial::Trials;
use super::{Consequence, Hand, Outlook};
use crate::network::{At, Network, SocketAt};
use crate::unit::Metres;
use crate::workers::{OneByOne, Workers};

/// How a drop would turn out, before anybody looks closer.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Prospect {
    /// The socket.
    pub socket: SocketAt,
    /// The worst of it.
    pub outlook: Outlook,
    /// Metres of lead that it takes, where both places are known.
    pub lead_needed: Option<Metres>,
}

impl Prospect {
    /// The best first: those that fit, then the nearest.
    #[must_use]
    pub fn best_first(a: &Self, b: &Self) -> Ordering {
        let metres = |prospect: &Self| prospect.lead_needed.map_or(f64::MAX, |metres| metres.0);
        a.outlook.cmp(&b.outlook).then(metres(a).total_cmp(&metres(b)))
    }
}

impl Consequence {
    /// The same without what was found.
    #[must_use]
    pub const fn prospect(&self) -> Prospect {
        Prospect { socket: self.socket, outlook: self.outlook, lead_needed: self.lead_needed }
    }
}

impl Hand {
    /// Every socket, the one that takes least lead first; those whose place nobody knows come last.
    #[must_use]
    pub fn nearest_first(&self, network: &Network) -> Vec<SocketAt> {
        let metres = |socket| self.needed(network, socket).map_or(f64::MAX, |metres| metres.0);
        let mut all: Vec<(f64, SocketAt)> =
            network.sockets.indices().map(|socket| (metres(socket), socket)).collect();
        all.sort_by(|a, b| a.0.total_cmp(&b.0));
        all.into_iter().map(|(_, socket)| socket).collect()
    }

    /// How some sockets would turn out, in their order.
    #[must_use]
    pub fn prospects(
        &self,
        network: &Network,
        sockets: &[SocketAt],
        workers: &impl Workers,
    ) -> Vec<Prospect> {
        let of = |socket, trials: &mut Trials| self.prospect(network, socket, trials);
        shared_out(network, sockets, workers, Trials::of_worst, of)
    }

    fn prospect(&self, network: &Network, socket: SocketAt, trials: &mut Trials) -> Prospect {
        let tryout = self.try_on(network, socket, self.links(network, socket), trials);
        let (outlook, lead_needed) = (Outlook::of(tryout.found.worst()), self.needed(network, socket));
        Prospect { socket, outlook, lead_needed }
    }

    /// What would happen at every socket: those that fit first, then the nearest.
    #[must_use]
    pub fn ranked(&self, network: &Network) -> Vec<Consequence> {
        let sockets: Vec<SocketAt> = network.sockets.indices().collect();
        let mut all = self.at_each(network, &sockets, &OneByOne);
        all.sort_by(|a, b| Prospect::best_first(&a.prospect(), &b.prospect()));
        all
    }

    /// What would happen at some sockets, in their order.
    #[must_use]
    pub fn at_each(
        &self,
        network: &Network,
        sockets: &[SocketAt],
        workers: &impl Workers,
    ) -> Vec<Consequence> {
        let of = |socket, trials: &mut Trials| {
            self.consequence(network, socket, self.links(network, socket), trials)
        };
        shared_out(network, sockets, workers, Trials::of_all, of)
    }
}

/// Tries sockets, in their order. Those with the same things upstream go to one worker, who works them out
/// once.
fn shared_out<T: Send>(
    network: &Network,
    sockets: &[SocketAt],
    workers: &impl Workers,
    trials: impl Fn() -> Trials + Sync,
    of: impl Fn(SocketAt, &mut Trials) -> T + Sync,
) -> Vec<T> {
    let hands = workers.hands();
    let part = |hand: usize| {
        let mut trials = trials();
        let is_own = |socket: &SocketAt| network.sockets[*socket].reach.get() % hands == hand;
        let own = sockets.iter().copied().enumerate().filter(|(_, socket)| is_own(socket));
        own.map(|(place, socket)| (place, of(socket, &mut trials))).collect::<Vec<_>>()
    };
    let mut all: Vec<(usize, T)> = workers.each(hands, part).into_iter().flatten().collect();
    all.sort_unstable_by_key(|(place, _)| *place);
    all.into_iter().map(|(_, tried)| tried).collect()
}
