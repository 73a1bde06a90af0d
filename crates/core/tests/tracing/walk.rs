//! A crew that walks a house and switches off what the engine proposes, until nothing more is to be learned.

use ampwalk_core::network::{At, CircuitAt, SocketAt};
use ampwalk_core::trace::next::{Effort, Mode, Options, Switch, Test};
use ampwalk_core::trace::{Circuit, CircuitSet, Device, Evidence, Problem, Readings, Socket};

/// What a walk came to.
#[derive(Clone, Copy, Debug, Default)]
pub struct Walk {
    /// What was expected before the first test.
    pub expected: Effort,
    /// What it took.
    pub took: Effort,
    /// Sockets that are not certain at the end, or wrong.
    pub unknown: usize,
}

/// A house of one board, every breaker of which may be switched off, and the circuits that its sockets are on.
#[derive(Debug)]
pub struct Building {
    circuits: usize,
    truth: Vec<usize>,
}

/// Numbers that are the same every time (a linear congruential generator, constants of Knuth's MMIX).
fn draw(state: &mut u64, sides: usize) -> usize {
    *state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
    usize::try_from(*state >> 33).unwrap_or_default() % sides
}

impl Building {
    /// The house of this number: each socket on any circuit as likely.
    pub fn random(number: u64, circuits: usize, sockets: usize) -> Self {
        let mut state = number.wrapping_mul(0x9e37_79b9_7f4a_7c15) ^ 0x5851_f42d;
        for _ in 0..4 {
            draw(&mut state, 2);
        }
        Self { circuits, truth: (0..sockets).map(|_| draw(&mut state, circuits)).collect() }
    }

    fn problem(&self) -> Problem {
        Problem {
            circuits: vec![Circuit::default(); self.circuits].into(),
            building: CircuitSet::of(self.circuits, (0..self.circuits).map(CircuitAt::new)),
            sockets: vec![Socket::default(); self.truth.len()].into(),
            evidence: Vec::new(),
        }
    }

    /// Walks it by one kind of test.
    pub fn walk(&self, mode: Mode) -> Walk {
        let mut problem = self.problem();
        let mut walk = Walk::default();
        while let Some((test, waiting)) = next(&problem, mode) {
            if walk.took.rounds == 0.0 {
                walk.expected = test.effort;
            }
            let is_off = |on: usize| test.dark.contains(CircuitAt::new(on));
            let (mut dead, mut live) = (Vec::new(), Vec::new());
            for socket in &waiting {
                if is_off(self.truth[socket.get()]) { dead.push(*socket) } else { live.push(*socket) }
            }
            walk.took.rounds += 1.0;
            walk.took.flips += f64::from(u32::try_from(test.off.len()).unwrap());
            walk.took.visits += f64::from(u32::try_from(waiting.len()).unwrap());
            problem.evidence.push(Evidence::Off { off: test.off, dead, live });
            assert!(walk.took.rounds < 1000.0, "a test that teaches nothing is proposed again and again");
        }
        let readings = Readings::of(&problem);
        let known = |(place, on): (usize, &usize)| {
            readings.circuits(SocketAt::new(place)).only() == Some(CircuitAt::new(*on))
        };
        walk.unknown = self.truth.iter().enumerate().filter(|at| !known(*at)).count();
        walk
    }
}

fn next(problem: &Problem, mode: Mode) -> Option<(Test, Vec<SocketAt>)> {
    let readings = Readings::of(problem);
    let breaker = |circuit| {
        let device = Device::Breaker(circuit);
        Switch { device, off: problem.hit(&[device]), to_ask: 0 }
    };
    let options = Options::of(problem, &readings, problem.building.iter().map(breaker).collect());
    let test = match mode {
        Mode::Single => options.single(),
        Mode::Halving => options.halving(),
    };
    let waiting = problem.sockets.indices().filter(|at| readings.circuits(*at).len() > 1);
    Some((test?, waiting.collect()))
}

/// The mean of many walks.
pub fn mean(walks: &[Walk], part: impl Fn(&Walk) -> f64) -> f64 {
    walks.iter().map(part).sum::<f64>() / f64::from(u32::try_from(walks.len()).unwrap())
}
