//! The tree of supply as a list of branches, from the top.

use std::collections::HashMap;

use ampwalk_core::network::{At, CircuitAt, Network, RcdAt, SocketAt, SupplyAt};

/// What hangs at one place of the tree.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Branch {
    /// A heading over what has no place in the tree.
    Heading(&'static str),
    /// A supply.
    Supply(SupplyAt),
    /// One of several lines of a supply, counted from 0.
    Line(SupplyAt, usize),
    /// An RCD.
    Rcd(RcdAt),
    /// An RCD that is plugged into a socket.
    Plugged(RcdAt, SocketAt),
    /// A circuit.
    Circuit(CircuitAt),
    /// A socket that feeds a distribution box.
    Feed(SocketAt),
    /// A socket that nobody has traced.
    Untraced(SocketAt),
}

/// A branch, and how deep it hangs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Placed {
    /// The branch.
    pub branch: Branch,
    /// How many branches it hangs below.
    pub depth: usize,
}

/// Deeper than this nothing is nested: what hangs there is listed on its own.
const DEEPEST: usize = 24;

/// The tree of a plan, in the order in which it is drawn.
#[must_use]
pub fn tree(network: &Network) -> Vec<Placed> {
    let mut growing = Growing::new(network);
    for (supply, node) in network.supplies.iter() {
        growing.add(Branch::Supply(supply), 0);
        let lines = node.lines();
        if lines.len() > 1 {
            for line in lines {
                growing.add(Branch::Line(supply, line), 1);
            }
        }
        let own: Vec<CircuitAt> = growing.by_supply.remove(&supply).unwrap_or_default();
        growing.group(&own, 0, 1);
    }
    growing.add_the_rest();
    growing.placed
}

struct Growing<'a> {
    network: &'a Network,
    by_supply: HashMap<SupplyAt, Vec<CircuitAt>>,
    /// Sockets of each circuit that something of the tree sits in.
    sockets: HashMap<CircuitAt, Vec<SocketAt>>,
    has_circuit: Vec<bool>,
    has_rcd: Vec<bool>,
    placed: Vec<Placed>,
}

impl<'a> Growing<'a> {
    fn new(network: &'a Network) -> Self {
        let mut by_supply: HashMap<_, Vec<_>> = HashMap::new();
        for (at, circuit) in network.circuits.iter().filter(|(_, circuit)| circuit.from.is_none()) {
            if let Some(supply) = circuit.supply {
                by_supply.entry(supply).or_default().push(at);
            }
        }
        let mut sockets: HashMap<_, Vec<_>> = HashMap::new();
        for (at, socket) in network.sockets.iter() {
            let holds = socket.portable.is_some() || !socket.feeds.is_empty();
            if let (Some(circuit), true) = (socket.circuit, holds) {
                sockets.entry(circuit).or_default().push(at);
            }
        }
        Self {
            network,
            by_supply,
            sockets,
            has_circuit: vec![false; network.circuits.len()],
            has_rcd: vec![false; network.rcds.len()],
            placed: Vec::new(),
        }
    }

    fn add(&mut self, branch: Branch, depth: usize) {
        match branch {
            Branch::Rcd(at) | Branch::Plugged(at, _) => self.has_rcd[at.get()] = true,
            Branch::Circuit(at) => self.has_circuit[at.get()] = true,
            _ => {}
        }
        self.placed.push(Placed { branch, depth });
    }

    /// Adds circuits of one feeding point behind their RCDs. `level` RCDs of each chain are above
    /// already, the one nearest to the supply first.
    fn group(&mut self, circuits: &[CircuitAt], level: usize, depth: usize) {
        let mut groups: Vec<(Option<RcdAt>, Vec<CircuitAt>)> = Vec::new();
        let mut places: HashMap<RcdAt, usize> = HashMap::new();
        for circuit in circuits {
            let chain = &self.network.circuits[*circuit].rcds;
            let next = chain.iter().rev().nth(level).copied();
            let place = next.and_then(|rcd| places.get(&rcd).copied());
            match (place, next) {
                (Some(place), _) => groups[place].1.push(*circuit),
                (None, Some(rcd)) => {
                    places.insert(rcd, groups.len());
                    groups.push((next, vec![*circuit]));
                }
                (None, None) => groups.push((None, vec![*circuit])),
            }
        }
        for (rcd, circuits) in groups {
            match rcd {
                Some(rcd) if depth < DEEPEST => {
                    self.add(Branch::Rcd(rcd), depth);
                    self.group(&circuits, level + 1, depth + 1);
                }
                _ => circuits.iter().for_each(|circuit| self.circuit(*circuit, depth)),
            }
        }
    }

    /// Adds a circuit, what is plugged into its sockets, and the boxes that they feed.
    fn circuit(&mut self, circuit: CircuitAt, depth: usize) {
        if self.has_circuit[circuit.get()] {
            return;
        }
        self.add(Branch::Circuit(circuit), depth);
        if depth >= DEEPEST {
            return;
        }
        for socket in self.sockets.get(&circuit).cloned().unwrap_or_default() {
            if let Some(portable) = self.network.sockets[socket].portable {
                self.add(Branch::Plugged(portable, socket), depth + 1);
            }
            self.feed(socket, depth + 1);
        }
    }

    /// Adds a socket that feeds a distribution box, and the circuits of the box.
    fn feed(&mut self, socket: SocketAt, depth: usize) {
        let feeds = self.network.sockets[socket].feeds.clone();
        if feeds.iter().all(|circuit| self.has_circuit[circuit.get()]) {
            return;
        }
        self.add(Branch::Feed(socket), depth);
        self.group(&feeds, 0, depth + 1);
    }

    /// Adds what no supply leads to.
    fn add_the_rest(&mut self) {
        let network = self.network;
        let lost = |has: &[bool], at: usize| !has[at];
        let circuits: Vec<CircuitAt> =
            network.circuits.indices().filter(|at| lost(&self.has_circuit, at.get())).collect();
        if !circuits.is_empty() {
            self.add(Branch::Heading("how these are fed is not traced"), 0);
            for circuit in circuits {
                if let Some(socket) = network.circuits[circuit].from {
                    self.feed(socket, 0);
                }
                if !self.has_circuit[circuit.get()] {
                    self.group(&[circuit], 0, 0);
                }
            }
        }
        for (socket, node) in network.sockets.iter() {
            if let (Some(rcd), None) = (node.portable, node.circuit) {
                self.add(Branch::Plugged(rcd, socket), 0);
            }
        }
        let rcds: Vec<RcdAt> = network.rcds.indices().filter(|at| lost(&self.has_rcd, at.get())).collect();
        if !rcds.is_empty() {
            self.add(Branch::Heading("on no circuit"), 0);
            for rcd in rcds {
                self.add(Branch::Rcd(rcd), 0);
            }
        }
        let untraced: Vec<SocketAt> =
            network.sockets.iter().filter(|(_, socket)| socket.circuit.is_none()).map(|(at, _)| at).collect();
        if !untraced.is_empty() {
            self.add(Branch::Heading("not traced: counted wherever they may be"), 0);
            for socket in untraced {
                self.add(Branch::Untraced(socket), 0);
            }
        }
    }
}
