//! The next best test: which devices to switch off, so that least is unknown afterwards.
//!
//! Unknown is measured in bits: a socket that may be on any of *n* circuits, each as likely, counts log₂ *n*. A
//! test's worth is what it is expected to leave: with *k* of the *n* circuits dark, the socket is dead with
//! probability *k/n*, and then on a circuit that dead allows; else on one of those that stayed live. That a circuit
//! goes off by itself, or with a neutral that it shares, is not counted on, though a dead socket may be on it.

mod effort;
mod halve;

pub use effort::{Effort, MINUTES_A_FLIP, MINUTES_A_ROUND, MINUTES_A_VISIT};

use std::collections::HashMap;

use crate::network::CircuitAt;
use crate::trace::{CircuitSet, Device, Problem, Readings};

/// Bits that rounding makes.
pub(super) const TOLERANCE: f64 = 1e-9;

/// Sockets of which the same is known.
#[derive(Clone, Debug, PartialEq)]
pub struct Unknown {
    /// Circuits that they may be on: two at least.
    pub left: CircuitSet,
    /// Parts of these that were off before, without telling them from the rest.
    pub tried: Vec<CircuitSet>,
    /// How many sockets.
    pub sockets: usize,
}

/// A device that may be switched off.
#[derive(Clone, Debug, PartialEq)]
pub struct Switch {
    /// The device.
    pub device: Device,
    /// Circuits behind it.
    pub off: CircuitSet,
    /// How many loads of the house are on them whose owner is to be asked first.
    pub to_ask: usize,
}

/// What is unknown, and what may be switched off to learn more.
#[derive(Clone, Debug)]
pub struct Options<'a> {
    problem: &'a Problem,
    dying_alone: CircuitSet,
    /// Loads whose owner is to be asked first, by circuits whose breaker may be switched off.
    to_ask: HashMap<CircuitAt, usize>,
    /// Sockets, by what is known of them.
    pub unknown: Vec<Unknown>,
    /// Devices that may be switched off.
    pub switches: Vec<Switch>,
}

/// How a test is made.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Mode {
    /// One device at a time.
    Single,
    /// Several breakers at once, half of what is possible each time, a lamp in every socket that is not known:
    /// which rounds a socket is dead in tells its circuit.
    Halving,
}

/// A test.
#[derive(Clone, Debug, PartialEq)]
pub struct Test {
    /// How it is made.
    pub mode: Mode,
    /// What to switch off.
    pub off: Vec<Device>,
    /// Circuits that it darkens.
    pub dark: CircuitSet,
    /// Bits that are unknown now.
    pub bits_before: f64,
    /// Bits that it is expected to leave.
    pub bits_left: f64,
    /// Sockets that are expected to be left without a certain circuit.
    pub sockets_left: f64,
    /// What it takes, this test and those after it, until all is known that can be.
    pub effort: Effort,
}

/// What a test does to what is known of a socket.
#[derive(Clone, Copy, Debug)]
struct Split {
    /// Probability that it is dead.
    dead: f64,
    /// Circuits that are left if it is.
    left_dead: usize,
    /// Circuits that are left if it is not.
    left_live: usize,
}

impl Split {
    fn expected(self, worth: impl Fn(usize) -> f64) -> f64 {
        let part = |chance: f64, left: usize| if chance > 0.0 { chance * worth(left) } else { 0.0 };
        part(self.dead, self.left_dead) + part(1.0 - self.dead, self.left_live)
    }
}

/// Bits of a socket that may be on any of so many circuits.
fn bits(left: usize) -> f64 {
    count(left.max(1)).log2()
}

/// A count as a number to reckon with.
fn count(number: usize) -> f64 {
    f64::from(u32::try_from(number).unwrap_or(u32::MAX))
}

impl<'a> Options<'a> {
    /// What is unknown of the sockets of a problem, with `switches` that may be switched off. Sockets that read
    /// dead whatever is off, and those whose evidence clashes, are not waited for.
    #[must_use]
    pub fn of(problem: &'a Problem, readings: &Readings<'_>, switches: Vec<Switch>) -> Self {
        let mut unknown: Vec<Unknown> = Vec::new();
        for (at, socket) in problem.sockets.iter() {
            if socket.given.is_some() || socket.reads_dead || readings.clashes(at) {
                continue;
            }
            let left = readings.circuits(at);
            if left.len() < 2 {
                continue;
            }
            let tried = readings.tried(at, &left);
            match unknown.iter_mut().find(|same| same.left == left && same.tried == tried) {
                Some(same) => same.sockets += 1,
                None => unknown.push(Unknown { left, tried, sockets: 1 }),
            }
        }
        let breakers = switches.iter().filter_map(|switch| match switch.device {
            Device::Breaker(circuit) => Some((circuit, switch.to_ask)),
            Device::Rcd(_) => None,
        });
        let to_ask = breakers.collect();
        Self { problem, dying_alone: problem.dying_alone(), to_ask, unknown, switches }
    }

    /// How many sockets are not certain.
    #[must_use]
    pub fn uncertain(&self) -> usize {
        self.unknown.iter().map(|unknown| unknown.sockets).sum()
    }

    /// Bits that are unknown now.
    #[must_use]
    pub fn bits(&self) -> f64 {
        self.unknown.iter().map(|unknown| count(unknown.sockets) * bits(unknown.left.len())).sum()
    }

    /// Bits that switching these circuits off is expected to leave.
    #[must_use]
    pub fn bits_left(&self, off: &CircuitSet) -> f64 {
        let may_die = self.may_die(off);
        self.unknown.iter().map(|unknown| Self::bits_of(unknown, off, &may_die)).sum()
    }

    /// Sockets that switching these circuits off is expected to leave without a certain circuit.
    #[must_use]
    pub fn sockets_left(&self, off: &CircuitSet) -> f64 {
        let may_die = self.may_die(off);
        let is_unsure = |left: usize| if left > 1 { 1.0 } else { 0.0 };
        self.unknown
            .iter()
            .map(|unknown| count(unknown.sockets) * split(unknown, off, &may_die).expected(is_unsure))
            .sum()
    }

    fn bits_of(unknown: &Unknown, off: &CircuitSet, may_die: &CircuitSet) -> f64 {
        count(unknown.sockets) * split(unknown, off, may_die).expected(bits)
    }

    fn may_die(&self, off: &CircuitSet) -> CircuitSet {
        let mut may_die = self.problem.with_shared(off);
        may_die.add(&self.dying_alone);
        may_die
    }

    /// Circuits whose own breaker may be switched off and that a socket which is not certain may be on.
    #[must_use]
    pub fn breakers(&self) -> CircuitSet {
        let mut wanted = self.problem.set([]);
        self.unknown.iter().for_each(|unknown| wanted.add(&unknown.left));
        let may_go = self.switches.iter().filter_map(|switch| match switch.device {
            Device::Breaker(circuit) => Some(circuit),
            Device::Rcd(_) => None,
        });
        self.problem.set(may_go.filter(|circuit| wanted.contains(*circuit)))
    }

    /// The one device that is expected to leave least; of those that leave as little, the one with fewest to ask, then that
    /// darkens fewest circuits. `None` where none teaches anything.
    #[must_use]
    pub fn single(&self) -> Option<Test> {
        let worth = |switch: &Switch| Worth {
            bits: self.bits_left(&switch.off),
            trouble: (switch.to_ask, switch.off.len()),
        };
        let mut best: Option<(&Switch, Worth)> = None;
        for switch in &self.switches {
            let next = worth(switch);
            if best.is_none_or(|(_, now)| next.is_better(now)) {
                best = Some((switch, next));
            }
        }
        let (switch, _) = best?;
        self.test(Mode::Single, vec![switch.device], switch.off.clone())
    }

    /// The set of breakers that is expected to leave least, exactly where there are ten of them at most; of those
    /// that leave as little, the one with fewest to ask, then with fewest devices. An RCD stands for breakers where it darkens no others. `None`
    /// where none teaches anything.
    #[must_use]
    pub fn halving(&self) -> Option<Test> {
        let off = halve::best(self);
        self.test(Mode::Halving, self.devices(&off), off)
    }

    /// How many are to be asked before these circuits are switched off.
    fn asked(&self, off: &CircuitSet) -> usize {
        off.iter().filter_map(|circuit| self.to_ask.get(&circuit)).sum()
    }

    /// The devices that darken these circuits and no others: RCDs where they do, breakers for the rest.
    fn devices(&self, off: &CircuitSet) -> Vec<Device> {
        let mut left = off.clone();
        let mut devices = Vec::new();
        for switch in &self.switches {
            let is_rcd = matches!(switch.device, Device::Rcd(_));
            if is_rcd && switch.off.len() > 1 && switch.off.is_within(&left) {
                left.take_out(&switch.off);
                devices.push(switch.device);
            }
        }
        devices.extend(left.iter().map(Device::Breaker));
        devices
    }

    /// The test of the kind that takes fewer minutes to the end, then the best of the other kind.
    #[must_use]
    pub fn best(&self) -> Option<(Test, Option<Test>)> {
        match (self.single(), self.halving()) {
            (Some(single), Some(halving)) if single.effort.minutes() <= halving.effort.minutes() => {
                Some((single, Some(halving)))
            }
            (single, Some(halving)) => Some((halving, single)),
            (single, None) => Some((single?, None)),
        }
    }

    fn test(&self, mode: Mode, off: Vec<Device>, dark: CircuitSet) -> Option<Test> {
        let (bits_before, bits_left) = (self.bits(), self.bits_left(&dark));
        let effort = match mode {
            Mode::Single => Effort::one_at_a_time(self),
            Mode::Halving => Effort::by_halves(self),
        };
        let sockets_left = self.sockets_left(&dark);
        (bits_left < bits_before - TOLERANCE).then_some(Test {
            mode,
            off,
            dark,
            bits_before,
            bits_left,
            sockets_left,
            effort,
        })
    }
}

/// What a choice is worth.
#[derive(Clone, Copy, Debug)]
struct Worth {
    /// What it is expected to leave.
    bits: f64,
    /// Loads whose owner is to be asked first, then what is switched or goes dark.
    trouble: (usize, usize),
}

impl Worth {
    /// Whether it leaves fewer bits than another, or as few with less trouble.
    fn is_better(self, other: Self) -> bool {
        self.bits < other.bits - TOLERANCE
            || (self.bits < other.bits + TOLERANCE && self.trouble < other.trouble)
    }
}

fn split(unknown: &Unknown, off: &CircuitSet, may_die: &CircuitSet) -> Split {
    let left = unknown.left.len();
    let dark = unknown.left.shared(off);
    let is_known = !unknown.tried.is_empty() && unknown.tried.contains(&unknown.left.and(off));
    if dark == 0 || is_known {
        return Split { dead: 0.0, left_dead: left, left_live: left };
    }
    Split { dead: count(dark) / count(left), left_dead: unknown.left.shared(may_die), left_live: left - dark }
}
