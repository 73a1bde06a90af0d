//! Works out what lies upstream of circuits and sockets, each set of circuits once.

use indexmap::IndexMap;

use crate::network::place::index_of;
use crate::network::{
    At, CircuitAt, CircuitNode, Dense, Part, RcdAt, RcdNode, Reach, ReachAt, SocketAt, SupplyAt, SupplyNode,
};
use crate::plan::{Line, Plan};
use crate::trace::{Candidate, Candidates, Tables};

/// The reaches found so far.
pub(super) struct Reaches<'a> {
    plan: &'a Plan,
    circuits: &'a Dense<CircuitAt, CircuitNode>,
    rcds: &'a Dense<RcdAt, RcdNode>,
    traced: Candidates,
    /// Of a socket that may be on any circuit of the building: most of those that nobody traced.
    anywhere: Option<ReachAt>,
    by_circuit: Dense<CircuitAt, Option<Reach>>,
    by_candidates: IndexMap<Vec<CircuitAt>, ReachAt>,
    all: Dense<ReachAt, Reach>,
}

pub(super) struct FinishedReaches {
    pub(super) by_circuit: Dense<CircuitAt, ReachAt>,
    pub(super) all: Dense<ReachAt, Reach>,
}

impl<'a> Reaches<'a> {
    pub(super) fn new(
        plan: &'a Plan,
        circuits: &'a Dense<CircuitAt, CircuitNode>,
        rcds: &'a Dense<RcdAt, RcdNode>,
        supplies: &'a Dense<SupplyAt, SupplyNode>,
    ) -> Self {
        Self {
            plan,
            circuits,
            rcds,
            traced: Candidates::of(Tables { plan, circuits, rcds, supplies }),
            anywhere: None,
            by_circuit: Dense::filled(circuits.len(), None),
            by_candidates: IndexMap::new(),
            all: Dense::default(),
        }
    }

    pub(super) fn of_socket(&mut self, socket: SocketAt) -> ReachAt {
        if let Some(given) = self.given(socket) {
            return self.of_circuits(vec![given]);
        }
        let (candidates, is_anywhere) = match self.traced.untraced(socket) {
            Candidate::Any(building) => match self.anywhere {
                Some(at) => return at,
                None => (building.iter().collect(), true),
            },
            Candidate::Of(circuits) => (circuits.iter().collect(), false),
        };
        let at = self.of_circuits(candidates);
        if is_anywhere {
            self.anywhere = Some(at);
        }
        at
    }

    fn of_circuits(&mut self, candidates: Vec<CircuitAt>) -> ReachAt {
        if let Some(at) = self.by_candidates.get(&candidates) {
            return *at;
        }
        let paths: Vec<Reach> = candidates.iter().map(|circuit| self.of_circuit(*circuit, 0)).collect();
        let mut reach = Reach::of_any(&paths.iter().collect::<Vec<_>>());
        reach.candidates.clone_from(&candidates);
        let at = self.all.push(reach);
        self.by_candidates.insert(candidates, at);
        at
    }

    /// The circuits that a socket may be on: the traced one, else those that the evidence leaves.
    fn candidates(&self, socket: SocketAt) -> Vec<CircuitAt> {
        match (self.given(socket), self.traced.untraced(socket)) {
            (Some(given), _) => vec![given],
            (None, Candidate::Any(circuits) | Candidate::Of(circuits)) => circuits.iter().collect(),
        }
    }

    /// The circuit that the plan gives a socket.
    fn given(&self, socket: SocketAt) -> Option<CircuitAt> {
        let (_, socket) = self.plan.sockets.get_index(socket.get())?;
        index_of(&self.plan.circuits, socket.circuit.as_ref()?.as_str())
    }

    /// What lies upstream of a circuit, itself included. `depth` ends a loop of feeds, which the
    /// reader reports.
    fn of_circuit(&mut self, at: CircuitAt, depth: usize) -> Reach {
        if let Some(reach) = &self.by_circuit[at] {
            return reach.clone();
        }
        let circuit = &self.circuits[at];
        let mut reach = Reach {
            candidates: vec![at],
            circuits: vec![Part { what: at, certain: true }],
            rcds: circuit.rcds.iter().map(|rcd| Part { what: *rcd, certain: true }).collect(),
            supplies: circuit
                .supply
                .map(|supply| Part { what: (supply, circuit.line), certain: true })
                .into_iter()
                .collect(),
            sockets: Vec::new(),
        };
        if let Some(socket) = circuit.from
            && depth <= self.circuits.len()
        {
            reach.sockets.push(Part { what: socket, certain: true });
            self.add_portable(socket, &mut reach);
            let paths: Vec<Reach> =
                self.candidates(socket).iter().map(|circuit| self.of_circuit(*circuit, depth + 1)).collect();
            let mut upstream = Reach::of_any(&paths.iter().collect::<Vec<_>>());
            for part in &mut upstream.supplies {
                part.what.1 = line_of_feed(self.plan, at, part.what.1);
            }
            reach.extend(&upstream);
        }
        if depth <= self.circuits.len() {
            self.by_circuit[at] = Some(reach.clone());
        }
        reach
    }

    fn add_portable(&self, socket: SocketAt, reach: &mut Reach) {
        let portable =
            self.plan.sockets.get_index(socket.get()).and_then(|(_, socket)| socket.portable_rcd.as_ref());
        let Some(portable) = portable.and_then(|id| index_of::<RcdAt, _, _>(&self.plan.rcds, id.as_str()))
        else {
            return;
        };
        reach.rcds.push(Part { what: portable, certain: true });
        for upstream in &self.rcds[portable].upstream {
            reach.rcds.push(Part { what: *upstream, certain: true });
        }
    }

    pub(super) fn finish(mut self) -> FinishedReaches {
        let by_circuit = self.circuits.indices().map(|at| self.of_circuits(vec![at])).collect();
        FinishedReaches { by_circuit, all: self.all }
    }
}

/// The line that a circuit of a distribution box draws from: its own where the plan says it and the
/// feed has it, else the feed's.
fn line_of_feed(plan: &Plan, circuit: CircuitAt, feed: Line) -> Line {
    let own = plan.circuits.get_index(circuit.get()).and_then(|(_, circuit)| circuit.line);
    match own {
        Some(own) if own.conductors().iter().all(|line| feed.conductors().contains(line)) => own,
        _ => feed,
    }
}
