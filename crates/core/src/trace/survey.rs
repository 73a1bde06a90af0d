//! From a plan to the problem: its circuits, its sockets, and what its traces and ramp tests say.

use std::collections::HashMap;

use indexmap::IndexMap;

use crate::network::{
    At, CircuitAt, CircuitNode, Dense, Network, RcdAt, RcdNode, SocketAt, SupplyAt, SupplyNode,
    neutral_groups,
};
use crate::plan::{Plan, SupplyKind, TestOutcome};
use crate::trace::{Circuit, CircuitSet, Device, Evidence, Problem, Readings, Socket};

/// Where a piece of evidence stands in the plan.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Source {
    /// `[[trace]]`, counted from 0.
    Trace(usize),
    /// A ramp test of a socket, counted from 0.
    Ramp {
        /// The socket.
        socket: SocketAt,
        /// Its place in the socket's list.
        place: usize,
    },
}

/// The problem of a plan, and where each piece of its evidence stands.
#[derive(Clone, Debug, PartialEq)]
pub struct Survey {
    /// The problem.
    pub problem: Problem,
    /// One for each piece of evidence.
    pub sources: Vec<Source>,
}

/// Tables of a network that are resolved before anybody knows where sockets are.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Tables<'a> {
    pub plan: &'a Plan,
    pub circuits: &'a Dense<CircuitAt, CircuitNode>,
    pub rcds: &'a Dense<RcdAt, RcdNode>,
    pub supplies: &'a Dense<SupplyAt, SupplyNode>,
}

impl Survey {
    /// The problem of a plan.
    #[must_use]
    pub fn of(network: &Network) -> Self {
        let Network { plan, circuits, rcds, supplies, .. } = network;
        Self::of_tables(Tables { plan, circuits, rcds, supplies })
    }

    fn of_tables(tables: Tables<'_>) -> Self {
        let (evidence, sources) = evidence(tables).into_iter().unzip();
        let problem = Problem {
            circuits: circuits(tables),
            building: building(tables),
            sockets: sockets(tables),
            evidence,
        };
        Self { problem, sources }
    }
}

/// The circuits that sockets may be on, for the network.
#[derive(Debug)]
pub(crate) struct Candidates {
    /// Circuits that a socket in a wall can be on.
    building: CircuitSet,
    /// Sockets that nobody traced, and of which something was seen.
    narrowed: HashMap<SocketAt, CircuitSet>,
}

/// The circuits that a socket may be on.
#[derive(Debug)]
pub(crate) enum Candidate<'a> {
    /// Any of the building.
    Any(&'a CircuitSet),
    /// One of these.
    Of(&'a CircuitSet),
}

impl Candidates {
    pub(crate) fn of(tables: Tables<'_>) -> Self {
        let plan = tables.plan;
        let says_nothing = plan.traces.is_empty()
            && plan.sockets.values().flat_map(|socket| &socket.ramps).all(|ramp| ramp.dropped.is_none());
        if says_nothing {
            return Self { building: building(tables), narrowed: HashMap::new() };
        }
        let survey = Survey::of_tables(tables);
        let readings = Readings::of(&survey.problem);
        let untraced = survey.problem.sockets.iter().filter(|(_, socket)| socket.given.is_none());
        let narrowed = untraced
            .filter(|(at, _)| readings.has_any(*at))
            .map(|(at, _)| (at, readings.circuits(at)))
            .collect();
        Self { narrowed, building: survey.problem.building }
    }

    /// Circuits that a socket may be on of which the plan does not say it.
    pub(crate) fn untraced(&self, socket: SocketAt) -> Candidate<'_> {
        self.narrowed.get(&socket).map_or(Candidate::Any(&self.building), Candidate::Of)
    }
}

fn index<K: At, Id, V>(map: &IndexMap<Id, V>, id: &str) -> Option<K>
where
    Id: std::hash::Hash + Eq + std::borrow::Borrow<str>,
{
    map.get_index_of(id).map(K::new)
}

/// Circuits that a socket in a wall can be on: those of the mains where there are any, none that a distribution
/// box feeds.
fn building(tables: Tables<'_>) -> CircuitSet {
    let fixed = |mains_only: bool| {
        let is_in = |circuit: &CircuitNode| {
            circuit.from.is_none()
                && (!mains_only
                    || circuit.supply.is_some_and(|at| tables.supplies[at].kind == SupplyKind::Mains))
        };
        let circuits = tables.circuits.iter().filter(|(_, circuit)| is_in(circuit)).map(|(at, _)| at);
        CircuitSet::of(tables.circuits.len(), circuits)
    };
    let mains = fixed(true);
    if mains.is_empty() { fixed(false) } else { mains }
}

fn circuits(tables: Tables<'_>) -> Dense<CircuitAt, Circuit> {
    let mut circuits: Dense<CircuitAt, Circuit> = tables
        .circuits
        .iter()
        .map(|(at, node)| {
            let plan = tables.plan.circuits.get_index(at.get()).map(|(_, circuit)| circuit);
            Circuit {
                rcds: node.rcds.clone(),
                from: node.from,
                shares: Vec::new(),
                dies_alone: plan.is_some_and(|circuit| circuit.hours.is_some() || circuit.held_by.is_some()),
            }
        })
        .collect();
    for group in neutral_groups(tables.plan, tables.circuits.len()) {
        for circuit in &group {
            circuits[*circuit].shares.clone_from(&group);
        }
    }
    circuits
}

fn sockets(tables: Tables<'_>) -> Dense<SocketAt, Socket> {
    let own = |socket: &crate::plan::Socket| -> Vec<RcdAt> {
        let portable = socket.portable_rcd.as_ref().and_then(|id| index(&tables.plan.rcds, id.as_str()));
        portable.map_or_else(Vec::new, |portable: RcdAt| {
            std::iter::once(portable).chain(tables.rcds[portable].upstream.iter().copied()).collect()
        })
    };
    tables
        .plan
        .sockets
        .values()
        .map(|socket| Socket {
            given: socket.circuit.as_ref().and_then(|id| index(&tables.plan.circuits, id.as_str())),
            own: own(socket),
            reads_dead: matches!(socket.test, Some(TestOutcome::Dead | TestOutcome::NoNeutral)),
        })
        .collect()
}

/// What the traces say, then what the ramp tests do. A trace of a device that is not in the plan is left out.
fn evidence(tables: Tables<'_>) -> Vec<(Evidence, Source)> {
    let plan = tables.plan;
    let device = |id: &str| {
        let breaker = index(&plan.circuits, id).map(Device::Breaker);
        breaker.or_else(|| index(&plan.rcds, id).map(Device::Rcd))
    };
    let sockets = |ids: &[crate::id::SocketId]| -> Vec<SocketAt> {
        ids.iter().filter_map(|id| index(&plan.sockets, id.as_str())).collect()
    };
    let traces = plan.traces.iter().enumerate().filter_map(|(place, trace)| {
        let off = trace.devices().map(|id| device(id.as_str())).collect::<Option<Vec<Device>>>()?;
        let seen = Evidence::Off { off, dead: sockets(&trace.dead), live: sockets(&trace.live) };
        Some((seen, Source::Trace(place)))
    });
    let ramps = plan.sockets.values().enumerate().flat_map(|(socket, node)| {
        let socket = SocketAt::new(socket);
        node.ramps.iter().enumerate().filter_map(move |(place, ramp)| {
            let dropped = ramp.dropped.as_ref().filter(|_| ramp.tripped.is_some())?;
            let rcd = index(&plan.rcds, dropped.as_str())?;
            Some((Evidence::Dropped { at: socket, rcd }, Source::Ramp { socket, place }))
        })
    });
    traces.chain(ramps).collect()
}
