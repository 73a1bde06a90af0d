//! What each piece of evidence leaves a socket, and the set of circuits that all of it together leaves.

use crate::network::{CircuitAt, Dense, SocketAt};
use crate::trace::cover::fewest;
use crate::trace::{CircuitSet, Device, Evidence, Problem};

/// What was read at a socket, or at one behind it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Reading {
    /// Dead: it is on a circuit that may have gone.
    Dead,
    /// Live: it is on none that had to go.
    Live,
    /// A ramp test there dropped an RCD: it is behind that.
    Dropped,
    /// Live with its own plug-in RCD off: on no circuit at all.
    Never,
}

/// One piece of evidence about one socket.
#[derive(Clone, Copy, Debug)]
struct Row {
    evidence: usize,
    reading: Reading,
}

/// What a piece of evidence does to circuits.
#[derive(Clone, Debug)]
struct Effect {
    /// Dark for certain; for a ramp test: those behind what dropped.
    hit: CircuitSet,
    /// Dark perhaps: with the neutral that they share.
    with_shared: CircuitSet,
    /// Dead there says nothing against these.
    may_die: CircuitSet,
    /// A device was off of which nobody knows what is behind it, so that a dead socket says nothing.
    is_blind: bool,
}

/// The evidence of a problem, sorted by sockets.
#[derive(Clone, Debug)]
pub struct Readings<'a> {
    problem: &'a Problem,
    effects: Vec<Effect>,
    rows: Dense<SocketAt, Vec<Row>>,
    /// Circuits that agree with all rows; `None` where there is no row.
    agreeing: Dense<SocketAt, Option<CircuitSet>>,
}

/// Evidence that leaves a socket no circuit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Clash {
    /// The socket.
    pub socket: SocketAt,
    /// The fewest pieces of evidence that clash, by their place in the problem.
    pub evidence: Vec<usize>,
    /// Whether the circuit that the plan gives it is one of what clashes.
    pub with_given: bool,
}

impl<'a> Readings<'a> {
    /// Sorts the evidence of a problem by sockets.
    #[must_use]
    pub fn of(problem: &'a Problem) -> Self {
        let dying_alone = problem.dying_alone();
        let effect = |evidence: &Evidence| {
            let dropped;
            let off = match evidence {
                Evidence::Off { off, .. } => off.as_slice(),
                Evidence::Dropped { rcd, .. } => {
                    dropped = [Device::Rcd(*rcd)];
                    &dropped
                }
            };
            let hit = problem.hit(off);
            let with_shared = problem.with_shared(&hit);
            let may_die = with_shared.or(&dying_alone);
            Effect { hit, with_shared, may_die, is_blind: off.iter().any(|device| problem.is_blind(*device)) }
        };
        let mut readings = Self {
            problem,
            effects: problem.evidence.iter().map(effect).collect(),
            rows: Dense::filled(problem.sockets.len(), Vec::new()),
            agreeing: Dense::filled(problem.sockets.len(), None),
        };
        for (place, evidence) in problem.evidence.iter().enumerate() {
            match evidence {
                Evidence::Off { dead, live, .. } => {
                    for socket in dead {
                        readings.read(place, *socket, Reading::Dead, 0);
                    }
                    for socket in live {
                        readings.read(place, *socket, Reading::Live, 0);
                    }
                }
                Evidence::Dropped { at, .. } => readings.read(place, *at, Reading::Dropped, 0),
            }
        }
        for socket in problem.sockets.indices().filter(|socket| !readings.rows[*socket].is_empty()) {
            readings.agreeing[socket] = Some(readings.narrowed(socket, problem.building.clone()));
        }
        readings
    }

    /// Takes a reading down where it says something: at the socket, or at the one that feeds the distribution box
    /// which the socket is on. `depth` ends a loop of feeds.
    fn read(&mut self, evidence: usize, socket: SocketAt, reading: Reading, depth: usize) {
        let problem = self.problem;
        let Some(node) = problem.sockets.get(socket) else { return };
        let own_is_off = node.own.iter().any(|rcd| match &problem.evidence[evidence] {
            Evidence::Off { off, .. } => off.contains(&Device::Rcd(*rcd)),
            Evidence::Dropped { rcd: dropped, .. } => dropped == rcd,
        });
        let reading = match (reading, own_is_off) {
            (Reading::Dead, _) if node.reads_dead => return,
            (Reading::Dead | Reading::Dropped, _) if self.effects[evidence].is_blind => return,
            (Reading::Dead | Reading::Dropped, true) => return,
            (Reading::Live, true) => Reading::Never,
            (reading, _) => reading,
        };
        if let Some(circuit) = node.given
            && let Some(feed) = problem.circuits.get(circuit).and_then(|circuit| circuit.from)
            && reading != Reading::Never
        {
            let effect = &self.effects[evidence];
            let (is_hit, may_die) = (effect.hit.contains(circuit), effect.may_die.contains(circuit));
            match reading {
                Reading::Dead if may_die => return,
                Reading::Dropped if is_hit => return,
                Reading::Live if is_hit => {}
                _ if depth > problem.circuits.len() => return,
                _ => return self.read(evidence, feed, reading, depth + 1),
            }
        }
        self.rows[socket].push(Row { evidence, reading });
    }

    /// Circuits of `among` that a row leaves.
    fn leaves(&self, row: Row, among: &CircuitSet) -> CircuitSet {
        let mut left = among.clone();
        self.narrow(row, &mut left);
        left
    }

    fn narrow(&self, row: Row, left: &mut CircuitSet) {
        let effect = &self.effects[row.evidence];
        match row.reading {
            Reading::Dead => left.keep(&effect.may_die),
            Reading::Live => left.take_out(&effect.hit),
            Reading::Dropped => left.keep(&effect.hit),
            Reading::Never => left.take_out(&left.clone()),
        }
    }

    fn narrowed(&self, socket: SocketAt, mut among: CircuitSet) -> CircuitSet {
        for row in &self.rows[socket] {
            self.narrow(*row, &mut among);
        }
        among
    }

    /// Whether anything was seen of a socket, or of one behind it.
    #[must_use]
    pub fn has_any(&self, socket: SocketAt) -> bool {
        !self.rows[socket].is_empty()
    }

    /// Circuits that agree with all the evidence, whatever the plan gives; none where it clashes.
    #[must_use]
    pub fn agreeing(&self, socket: SocketAt) -> &CircuitSet {
        self.agreeing[socket].as_ref().unwrap_or(&self.problem.building)
    }

    /// Circuits that a socket may be on: the one that the plan gives, else those that agree with all the
    /// evidence. Where it clashes none of it counts, and any circuit of the building is possible.
    #[must_use]
    pub fn circuits(&self, socket: SocketAt) -> CircuitSet {
        if let Some(given) = self.problem.sockets[socket].given {
            return self.problem.set([given]);
        }
        let left = self.agreeing(socket);
        if left.is_empty() { self.problem.building.clone() } else { left.clone() }
    }

    /// The fewest pieces of evidence, by their place in the problem, that leave a socket its set of circuits. For
    /// one whose circuit the plan gives: those that prove this circuit without the plan, none where they do not.
    #[must_use]
    pub fn proof(&self, socket: SocketAt) -> Vec<usize> {
        let left = self.agreeing(socket);
        let given = self.problem.sockets[socket].given;
        if left.is_empty() || given.is_some_and(|given| left.only() != Some(given)) {
            return Vec::new();
        }
        let building = &self.problem.building;
        let rows = &self.rows[socket];
        let excluded: Vec<CircuitSet> =
            rows.iter().map(|row| building.without(&self.leaves(*row, building))).collect();
        let chosen = fewest(&building.without(left), &excluded).unwrap_or_default();
        self.places(socket, &chosen)
    }

    fn places(&self, socket: SocketAt, rows: &[usize]) -> Vec<usize> {
        let mut places: Vec<usize> = rows.iter().map(|row| self.rows[socket][*row].evidence).collect();
        places.sort_unstable();
        places.dedup();
        places
    }

    /// Whether the evidence leaves a socket no circuit, or not the one that the plan gives it.
    #[must_use]
    pub fn clashes(&self, socket: SocketAt) -> bool {
        let rows = &self.rows[socket];
        match self.problem.sockets[socket].given {
            _ if rows.is_empty() => false,
            Some(given) => self.narrowed(socket, self.problem.set([given])).is_empty(),
            None => !self.problem.building.is_empty() && self.agreeing(socket).is_empty(),
        }
    }

    /// The fewest pieces of evidence that leave a socket no circuit; `None` where one is left.
    #[must_use]
    pub fn clash(&self, socket: SocketAt) -> Option<Clash> {
        if !self.clashes(socket) {
            return None;
        }
        let given = self.problem.sockets[socket].given.map(|given| self.problem.set([given]));
        let all = given
            .as_ref()
            .map_or_else(|| self.problem.building.clone(), |given| self.problem.building.or(given));
        let rows = &self.rows[socket];
        let mut excluded: Vec<CircuitSet> =
            rows.iter().map(|row| all.without(&self.leaves(*row, &all))).collect();
        excluded.extend(given.map(|given| all.without(&given)));
        let chosen = fewest(&all, &excluded)?;
        let (of_rows, of_plan): (Vec<usize>, Vec<usize>) =
            chosen.into_iter().partition(|place| *place < rows.len());
        Some(Clash { socket, evidence: self.places(socket, &of_rows), with_given: !of_plan.is_empty() })
    }

    /// Whether a socket is left one circuit that goes off by itself, and was dead though that circuit was on: it may
    /// have been off by then, or somebody wrote down the wrong thing.
    #[must_use]
    pub fn rests_on_chance(&self, socket: SocketAt) -> bool {
        let Some(circuit) = self.agreeing(socket).only() else { return false };
        let is_unexplained = |row: &Row| {
            row.reading == Reading::Dead && !self.effects[row.evidence].with_shared.contains(circuit)
        };
        self.rows[socket].iter().any(is_unexplained)
    }

    /// Every socket whose evidence clashes.
    pub fn clashing(&self) -> impl Iterator<Item = SocketAt> {
        self.rows.indices().filter(|socket| self.clashes(*socket))
    }

    /// Circuits that a neutral nobody knows of would leave a socket whose evidence clashes, each with the
    /// circuits that it would have to share that neutral with, any of which will do.
    pub(super) fn rescued(&self, socket: SocketAt) -> Vec<(CircuitAt, CircuitSet)> {
        let tried = match self.problem.sockets[socket].given {
            Some(given) => self.problem.set([given]),
            None => self.problem.building.clone(),
        };
        tried.iter().filter_map(|circuit| Some((circuit, self.rescuers(socket, circuit)?))).collect()
    }

    fn rescuers(&self, socket: SocketAt, circuit: CircuitAt) -> Option<CircuitSet> {
        let alone = self.problem.set([circuit]);
        let mut rescuers: Option<CircuitSet> = None;
        for row in &self.rows[socket] {
            if !self.leaves(*row, &alone).is_empty() {
                continue;
            }
            if row.reading != Reading::Dead {
                return None;
            }
            let gone = &self.effects[row.evidence].with_shared;
            match &mut rescuers {
                Some(rescuers) => rescuers.keep(gone),
                None => rescuers = Some(gone.clone()),
            }
        }
        rescuers.filter(|rescuers| !rescuers.is_empty())
    }

    /// Parts of a set that were off in a test of a socket and can still not be told from the rest: to switch the
    /// same off once more teaches nothing.
    pub(super) fn tried(&self, socket: SocketAt, left: &CircuitSet) -> Vec<CircuitSet> {
        let mut tried: Vec<CircuitSet> = Vec::new();
        for row in self.rows[socket].iter().filter(|row| row.reading != Reading::Never) {
            let part = left.and(&self.effects[row.evidence].hit);
            if !part.is_empty() && part != *left && !tried.contains(&part) {
                tried.push(part);
            }
        }
        tried
    }
}
