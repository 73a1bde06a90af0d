//! Random houses for tracing, with what a crew would see in them; and what each reading allows, worked out apart
//! from the engine: a circuit at a time, from the words of the rules alone.

use ampwalk_core::network::{At, CircuitAt, RcdAt, SocketAt};
use ampwalk_core::trace::{Circuit, CircuitSet, Device, Evidence, Problem, Socket};

/// Numbers of a seed, over and over.
pub struct Dice<'a> {
    seed: std::iter::Cycle<std::slice::Iter<'a, u16>>,
    turn: u16,
}

impl<'a> Dice<'a> {
    pub fn of(seed: &'a [u16]) -> Self {
        Self { seed: seed.iter().cycle(), turn: 0 }
    }

    /// One of 0 to `sides` - 1.
    pub fn roll(&mut self, sides: usize) -> usize {
        self.turn = self.turn.wrapping_mul(31).wrapping_add(17);
        let number = self.seed.next().copied().unwrap_or(0) ^ self.turn;
        usize::from(number.rotate_left(u32::from(self.turn % 7))) % sides.max(1)
    }

    pub fn one_in(&mut self, sides: usize) -> bool {
        self.roll(sides) == 0
    }
}

pub fn circuit(place: usize) -> CircuitAt {
    CircuitAt::new(place)
}

pub fn socket(place: usize) -> SocketAt {
    SocketAt::new(place)
}

pub fn rcd(place: usize) -> RcdAt {
    RcdAt::new(place)
}

/// A house, and the truth of it.
#[derive(Debug)]
pub struct House {
    pub problem: Problem,
    /// The circuit that each socket is really on.
    pub truth: Vec<usize>,
    /// Circuits that share a neutral which nobody knows of.
    pub hidden: Option<(usize, usize)>,
}

/// What a random house may have.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// Readings are what the house gives.
    True,
    /// So, and two circuits share a neutral that nobody knows of.
    HiddenNeutral,
    /// Some readings are slips of the pen.
    Slips,
}

impl House {
    /// A house of some circuits and sockets, RCDs before some circuits and one RCD perhaps behind another, neutrals
    /// that are shared, circuits that a timer holds, plug-in RCDs, and tests.
    pub fn random(seed: &[u16], circuits: usize, sockets: usize, tests: usize, kind: Kind) -> Self {
        let dice = &mut Dice::of(seed);
        let rcds = 1 + dice.roll(3);
        let behind = dice.one_in(2).then_some((0, 1 % rcds));
        let chain = |nearest: usize| match behind {
            Some((one, other)) if one == nearest && one != other => vec![rcd(one), rcd(other)],
            _ => vec![rcd(nearest)],
        };
        let shared = dice.one_in(3).then(|| (dice.roll(circuits), dice.roll(circuits)));
        let shared = shared.filter(|(one, other)| one != other);
        let all: Vec<Circuit> = (0..circuits)
            .map(|place| Circuit {
                rcds: if dice.one_in(4) { Vec::new() } else { chain(dice.roll(rcds)) },
                from: None,
                shares: match shared {
                    Some((one, other)) if place == one || place == other => {
                        vec![circuit(one.min(other)), circuit(one.max(other))]
                    }
                    _ => Vec::new(),
                },
                dies_alone: dice.one_in(8),
            })
            .collect();
        let truth: Vec<usize> = (0..sockets).map(|_| dice.roll(circuits)).collect();
        let portable = rcd(rcds);
        let nodes: Vec<Socket> = truth
            .iter()
            .map(|on| Socket {
                given: dice.one_in(5).then(|| {
                    circuit(if kind == Kind::Slips && dice.one_in(3) { dice.roll(circuits) } else { *on })
                }),
                own: if dice.one_in(9) { vec![portable] } else { Vec::new() },
                reads_dead: dice.one_in(12),
            })
            .collect();
        let hidden = (kind == Kind::HiddenNeutral && circuits > 1).then(|| {
            let one = dice.roll(circuits);
            (one, (one + 1 + dice.roll(circuits - 1)) % circuits)
        });
        let mut house = Self {
            problem: Problem {
                building: CircuitSet::of(circuits, (0..circuits).map(circuit)),
                circuits: all.into(),
                sockets: nodes.into(),
                evidence: Vec::new(),
            },
            truth,
            hidden,
        };
        for _ in 0..tests {
            let evidence = house.test(dice, rcds, kind);
            house.problem.evidence.push(evidence);
        }
        house
    }

    /// One test of the real house.
    fn test(&self, dice: &mut Dice<'_>, rcds: usize, kind: Kind) -> Evidence {
        let circuits = self.problem.circuits.len();
        let slip = |dice: &mut Dice<'_>| kind == Kind::Slips && dice.one_in(9);
        if dice.one_in(5) {
            let at = dice.roll(self.truth.len());
            let chain = &self.problem.circuits[circuit(self.truth[at])].rcds;
            let dropped =
                if slip(dice) { rcd(dice.roll(rcds)) } else { *chain.first().unwrap_or(&rcd(rcds + 7)) };
            return Evidence::Dropped { at: socket(at), rcd: dropped };
        }
        let off: Vec<Device> = (0..=dice.roll(3))
            .map(|_| match dice.roll(4) {
                0 => Device::Rcd(rcd(dice.roll(rcds + 1))),
                _ => Device::Breaker(circuit(dice.roll(circuits))),
            })
            .collect();
        let (mut dead, mut live) = (Vec::new(), Vec::new());
        for (place, on) in self.truth.iter().enumerate() {
            if dice.one_in(3) {
                continue;
            }
            let node = &self.problem.sockets[socket(place)];
            let at = |circuit: usize| reads(&self.problem, node, &off, circuit, self.hidden);
            let is_dead = match at(*on) {
                (true, true) => dice.one_in(2),
                (is_dead, _) => is_dead,
            };
            let is_dead = is_dead != slip(dice);
            if is_dead { dead.push(socket(place)) } else { live.push(socket(place)) }
        }
        Evidence::Off { off, dead, live }
    }
}

/// Whether a socket on a circuit may read dead, and whether it may read live, with these devices off.
pub fn reads(
    problem: &Problem,
    socket: &Socket,
    off: &[Device],
    on: usize,
    hidden: Option<(usize, usize)>,
) -> (bool, bool) {
    if socket.reads_dead {
        return (true, false);
    }
    let goes = |place: usize| {
        off.iter().any(|device| match device {
            Device::Breaker(breaker) => *breaker == circuit(place),
            Device::Rcd(rcd) => problem.circuits[circuit(place)].rcds.contains(rcd),
        })
    };
    let own = socket.own.iter().any(|rcd| off.contains(&Device::Rcd(*rcd)));
    if goes(on) || own {
        return (true, false);
    }
    let with_it = |place: usize| goes(place) && share(problem, hidden, on, place);
    (problem.circuits[circuit(on)].dies_alone || (0..problem.circuits.len()).any(with_it), true)
}

/// Whether two circuits share a neutral, through others if need be.
pub fn share(problem: &Problem, hidden: Option<(usize, usize)>, one: usize, other: usize) -> bool {
    let known = |one: usize, other: usize| {
        one == other || problem.circuits[circuit(one)].shares.contains(&circuit(other))
    };
    known(one, other)
        || hidden.is_some_and(|(a, b)| known(one, a) && known(b, other) || known(one, b) && known(a, other))
}

/// Whether a piece of evidence agrees with a socket being on a circuit.
pub fn agrees(
    problem: &Problem,
    evidence: &Evidence,
    at: usize,
    on: usize,
    hidden: Option<(usize, usize)>,
) -> bool {
    let node = &problem.sockets[socket(at)];
    let is_known = |device: &Device| match device {
        Device::Breaker(_) => true,
        Device::Rcd(rcd) => {
            problem.circuits.iter().any(|(_, circuit)| circuit.rcds.contains(rcd))
                || problem.sockets.iter().any(|(_, socket)| socket.own.contains(rcd))
        }
    };
    match evidence {
        Evidence::Off { off, dead, live } => {
            let (may_be_dead, may_be_live) = reads(problem, node, off, on, hidden);
            // What is behind a device that nobody knows may be dead.
            let may_be_dead = may_be_dead || !off.iter().all(is_known);
            // A socket that reads dead is live where the crew says so: the tester was wrong, or it came on.
            let live_says = if node.reads_dead {
                reads(problem, &Socket { reads_dead: false, ..node.clone() }, off, on, hidden).1
            } else {
                may_be_live
            };
            (!dead.contains(&socket(at)) || may_be_dead) && (!live.contains(&socket(at)) || live_says)
        }
        Evidence::Dropped { at: tested, rcd } => {
            *tested != socket(at)
                || node.own.contains(rcd)
                || !is_known(&Device::Rcd(*rcd))
                || problem.circuits[circuit(on)].rcds.contains(rcd)
        }
    }
}
