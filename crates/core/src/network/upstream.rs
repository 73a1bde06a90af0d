//! Works out what lies upstream of circuits and sockets, each set of circuits once.

use indexmap::IndexMap;

use crate::network::place::index_of;
use crate::network::{
    At, CircuitAt, CircuitNode, Dense, Part, RcdAt, RcdNode, Reach, ReachAt, SocketAt, SupplyAt, SupplyNode,
};
use crate::plan::{Line, Plan, SupplyKind, Trace};

/// The reaches found so far.
pub(super) struct Reaches<'a> {
    plan: &'a Plan,
    circuits: &'a Dense<CircuitAt, CircuitNode>,
    rcds: &'a Dense<RcdAt, RcdNode>,
    supplies: &'a Dense<SupplyAt, SupplyNode>,
    evidence: Vec<Evidence>,
    by_circuit: Dense<CircuitAt, Option<Reach>>,
    by_candidates: IndexMap<Vec<CircuitAt>, ReachAt>,
    all: Dense<ReachAt, Reach>,
}

/// What one trace says.
struct Evidence {
    behind: Vec<CircuitAt>,
    dead: Vec<SocketAt>,
    live: Vec<SocketAt>,
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
            supplies,
            evidence: plan.traces.iter().filter_map(|trace| evidence(plan, circuits, trace)).collect(),
            by_circuit: Dense::filled(circuits.len(), None),
            by_candidates: IndexMap::new(),
            all: Dense::default(),
        }
    }

    pub(super) fn of_socket(&mut self, socket: SocketAt) -> ReachAt {
        self.of_circuits(self.candidates(socket))
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

    /// The circuits that a socket may be on: the traced one, else every one of the building that
    /// the traces leave. Traces that leave none clash; then none of them counts.
    fn candidates(&self, socket: SocketAt) -> Vec<CircuitAt> {
        let Some((_, plan_socket)) = self.plan.sockets.get_index(socket.get()) else {
            return Vec::new();
        };
        if let Some(circuit) =
            plan_socket.circuit.as_ref().and_then(|id| index_of(&self.plan.circuits, id.as_str()))
        {
            return vec![circuit];
        }
        let building = self.building();
        let left: Vec<_> = building
            .iter()
            .copied()
            .filter(|circuit| {
                self.evidence.iter().all(|trace| {
                    let behind = trace.behind.contains(circuit);
                    !(trace.dead.contains(&socket) && !behind || trace.live.contains(&socket) && behind)
                })
            })
            .collect();
        if left.is_empty() { building } else { left }
    }

    /// Circuits that a socket in a wall can be on: those of the mains where there are any, none
    /// that a distribution box feeds.
    fn building(&self) -> Vec<CircuitAt> {
        let fixed = |mains_only: bool| -> Vec<CircuitAt> {
            self.circuits
                .iter()
                .filter(|(_, circuit)| circuit.from.is_none())
                .filter(|(_, circuit)| {
                    !mains_only
                        || circuit.supply.is_some_and(|at| self.supplies[at].kind == SupplyKind::Mains)
                })
                .map(|(at, _)| at)
                .collect()
        };
        let mains = fixed(true);
        if mains.is_empty() { fixed(false) } else { mains }
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

/// What a trace says of circuits: nothing where its device stands before none of them, as a plug-in RCD.
fn evidence(plan: &Plan, circuits: &Dense<CircuitAt, CircuitNode>, trace: &Trace) -> Option<Evidence> {
    let device = trace.device.as_str();
    let behind = match (
        index_of::<CircuitAt, _, _>(&plan.circuits, device),
        index_of::<RcdAt, _, _>(&plan.rcds, device),
    ) {
        (Some(circuit), _) => vec![circuit],
        (None, Some(rcd)) => {
            circuits.iter().filter(|(_, circuit)| circuit.rcds.contains(&rcd)).map(|(at, _)| at).collect()
        }
        (None, None) => Vec::new(),
    };
    if behind.is_empty() {
        return None;
    }
    let find = |ids: &[crate::id::SocketId]| {
        ids.iter().filter_map(|id| index_of(&plan.sockets, id.as_str())).collect()
    };
    Some(Evidence { behind, dead: find(&trace.dead), live: find(&trace.live) })
}
