//! What walls and boards say, against what tests proved.

use std::collections::HashMap;

use indexmap::IndexMap;

use crate::id::CircuitId;
use crate::network::{At, CircuitAt, Network, SocketAt};
use crate::plan::Circuit;
use crate::trace::{CircuitSet, Readings};

/// A label on the wall or on the board: no evidence.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Label {
    /// The socket that it is about.
    pub socket: SocketAt,
    /// What it says.
    pub says: String,
    /// The circuit of that id or name; `None`: no circuit of the plan is called so.
    pub names: Option<CircuitAt>,
    /// Whether a test bore it out.
    pub stand: LabelStand,
}

/// How a label stands against tests.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum LabelStand {
    /// It names the circuit that a test proved.
    Right,
    /// Tests prove this circuit, or leave these, and it names none of them.
    Wrong(Vec<CircuitAt>),
    /// No test tells.
    Untested,
}

/// Every label of a plan.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Labels {
    /// In the order of the plan's sockets.
    pub all: Vec<Label>,
}

impl Labels {
    /// Compares the labels of a plan with what its tests prove.
    #[must_use]
    pub fn of(network: &Network, readings: &Readings<'_>) -> Self {
        let plan = &network.plan;
        if plan.sockets.values().all(|socket| socket.label.is_none()) {
            return Self::default();
        }
        let names = Names::of(&plan.circuits);
        let label = |(at, socket): (usize, &crate::plan::Socket)| {
            let says = socket.label.as_deref().map(str::trim).filter(|says| !says.is_empty())?;
            let socket = SocketAt::new(at);
            let meant = names.meant(says);
            let stand = match known(network, readings, socket) {
                Some(left) if meant.iter().any(|circuit| left.contains(*circuit)) => {
                    if left.only().is_some() { LabelStand::Right } else { LabelStand::Untested }
                }
                // A name that no circuit has may be another name of any that is left.
                Some(left) if !meant.is_empty() || left.only().is_some() => {
                    LabelStand::Wrong(left.iter().collect())
                }
                _ => LabelStand::Untested,
            };
            Some(Label { socket, says: says.to_owned(), names: meant.first().copied(), stand })
        };
        Self { all: plan.sockets.values().enumerate().filter_map(label).collect() }
    }

    /// How many are right.
    #[must_use]
    pub fn right(&self) -> usize {
        self.all.iter().filter(|label| label.stand == LabelStand::Right).count()
    }

    /// Those that are wrong.
    pub fn wrong(&self) -> impl Iterator<Item = &Label> {
        self.all.iter().filter(|label| matches!(label.stand, LabelStand::Wrong(_)))
    }

    /// Those that no test bore out or refuted.
    pub fn untested(&self) -> impl Iterator<Item = &Label> {
        self.all.iter().filter(|label| label.stand == LabelStand::Untested)
    }

    /// One label was wrong, so that none is to be trusted that no test bore out (common practice, no source).
    #[must_use]
    pub fn are_distrusted(&self) -> bool {
        self.wrong().next().is_some()
    }
}

/// Circuits by what a label may call them: their ids and names, whatever the case of the letters.
struct Names(HashMap<String, Vec<CircuitAt>>);

impl Names {
    fn of(circuits: &IndexMap<CircuitId, Circuit>) -> Self {
        let mut names: HashMap<String, Vec<CircuitAt>> = HashMap::new();
        let ids = circuits.keys().map(|id| Some(id.as_str()));
        let own = circuits.values().map(|circuit| circuit.name.as_deref());
        for (place, name) in ids.enumerate().chain(own.enumerate()) {
            if let Some(name) = name {
                names.entry(name.to_ascii_lowercase()).or_default().push(CircuitAt::new(place));
            }
        }
        Self(names)
    }

    /// The circuits that a label may mean, the one of that id first.
    fn meant(&self, says: &str) -> &[CircuitAt] {
        self.0.get(&says.to_ascii_lowercase()).map_or(&[], Vec::as_slice)
    }
}

/// The circuits that the plan or its evidence leaves a socket; `None` where nobody tested it, or where the
/// evidence clashes or rests on chance.
fn known(network: &Network, readings: &Readings<'_>, socket: SocketAt) -> Option<CircuitSet> {
    if network.sockets[socket].circuit.is_some() {
        return Some(readings.circuits(socket));
    }
    let is_sound = !readings.clashes(socket) && !readings.rests_on_chance(socket);
    (readings.has_any(socket) && is_sound).then(|| readings.circuits(socket))
}
