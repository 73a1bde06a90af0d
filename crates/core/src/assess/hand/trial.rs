//! What is worked out once while a head is tried on one socket after the other.

use std::collections::HashMap;

use super::Hand;
use super::upstream::Known;
use crate::assess::order::strike_order;
use crate::assess::places::head_use;
use crate::assess::tally::struck;
use crate::assess::usage::HeadUse;
use crate::network::{Dense, HeadAt, Link, Network, SetupAt, SocketAt, Terminals};
use crate::rule::Found;
use crate::unit::Minutes;

/// What is known of trials, for each setup and each kind of terminals.
pub(crate) struct Trials {
    /// By setup and terminals: a few.
    of: Vec<(SetupAt, Terminals, Tried)>,
    /// The head's use by terminals and leads: it differs by the socket and what lies between alone.
    used: HashMap<(u64, u8, Vec<Link>), HeadUse>,
    nothing: Found,
}

/// What is known of trials in one setup at one kind of terminals.
pub(super) struct Tried {
    pub order: Order,
    pub known: Known,
}

/// The strike order with the head in it.
pub(super) struct Order {
    /// Falling strike leakage, after what the crew insists on.
    pub falling: Vec<HeadAt>,
    /// Each head's place in that order.
    pub ranks: Dense<HeadAt, usize>,
    /// Heads that are on; the caller puts in the one in hand.
    pub heads: Dense<HeadAt, Option<HeadUse>>,
    /// How long heads burn on the same circuit; the caller puts in the one in hand.
    pub runs: Dense<HeadAt, Minutes>,
}

impl Trials {
    /// Of which every finding is told.
    pub(crate) fn of_all() -> Self {
        Self { of: Vec::new(), used: HashMap::new(), nothing: Found::Told(Vec::new()) }
    }

    /// Of which only the worst is asked for.
    pub(super) fn of_worst() -> Self {
        Self { of: Vec::new(), used: HashMap::new(), nothing: Found::Worst(None) }
    }

    /// What is found before anything was looked at.
    pub(super) const fn nothing(&self) -> Found {
        self.nothing.empty()
    }

    /// The head's use on a socket.
    pub(super) fn used(
        &mut self,
        network: &Network,
        hand: &Hand,
        socket: SocketAt,
        links: &[Link],
    ) -> HeadUse {
        let Terminals { volts, lines } = network.terminals(socket);
        let like = self
            .used
            .entry((volts.0.to_bits(), lines, links.to_vec()))
            .or_insert_with(|| head_use(network, hand.head, Some((socket, links))));
        HeadUse { socket: Some(socket), lead_needed: hand.needed(network, socket), ..like.clone() }
    }

    pub(super) fn of(
        &mut self,
        network: &Network,
        setup: SetupAt,
        hand: &Hand,
        used: &HeadUse,
    ) -> &mut Tried {
        let is_this =
            |(own, terminals, _): &(SetupAt, Terminals, Tried)| *own == setup && *terminals == used.terminals;
        let place = self.of.iter().position(is_this).unwrap_or_else(|| {
            let order = Order::new(network, setup, hand, used);
            let known = Known::of(self.nothing.empty());
            self.of.push((setup, used.terminals, Tried { order, known }));
            self.of.len() - 1
        });
        &mut self.of[place].2
    }
}

impl Order {
    fn new(network: &Network, setup: SetupAt, hand: &Hand, used: &HeadUse) -> Self {
        let mut heads = hand.lifted[setup].heads.clone();
        heads[hand.head] = Some(used.clone());
        let falling = strike_order(network, setup, |head| {
            let used = heads[head].as_ref().filter(|used| used.socket.is_some())?;
            Some(struck(network, head, used))
        });
        let mut ranks = Dense::filled(network.heads.len(), usize::MAX);
        for (rank, head) in falling.iter().enumerate() {
            ranks[*head] = rank;
        }
        Self { falling, ranks, heads, runs: hand.runs[setup].clone() }
    }
}
