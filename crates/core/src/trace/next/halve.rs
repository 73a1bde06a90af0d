//! The set of breakers to switch off at once.

use crate::network::CircuitAt;
use crate::trace::CircuitSet;

use super::{Options, Worth};

/// Breakers of which every set is tried: 1,024 sets.
const ALL_SETS: usize = 10;
/// Breakers of which every pair is tried to be swapped.
const ALL_SWAPS: usize = 40;
/// Times that all are gone through.
const MOST_PASSES: usize = 6;

/// The set of breakers that is expected to leave least; of those that leave as little, one with fewest to ask,
/// then with fewest devices.
pub(super) fn best(options: &Options<'_>) -> CircuitSet {
    let breakers: Vec<CircuitAt> = options.breakers().iter().collect();
    if breakers.len() <= ALL_SETS { of_all_sets(options, &breakers) } else { climb(options, &breakers) }
}

/// Tries every set, from one to the next by one breaker.
fn of_all_sets(options: &Options<'_>, breakers: &[CircuitAt]) -> CircuitSet {
    let mut off = options.problem.set([]);
    let mut best = (off.clone(), Worth { bits: options.bits(), trouble: (0, 0) });
    for number in 1_u32..1 << breakers.len() {
        // The reflected binary code: its bit that changes is the lowest that is set in the number.
        flip(&mut off, breakers[number.trailing_zeros() as usize]);
        let trouble = (options.asked(&off), options.devices(&off).len());
        let worth = Worth { bits: options.bits_left(&off), trouble };
        if worth.is_better(best.1) {
            best = (off.clone(), worth);
        }
    }
    best.0
}

fn flip(off: &mut CircuitSet, breaker: CircuitAt) {
    if off.contains(breaker) {
        off.remove(breaker);
    } else {
        off.insert(breaker);
    }
}

/// Switches breakers over one by one, then in pairs, as long as less is left. Where what may be is apart, each
/// socket's circuits the same as another's or none of them, that halves each part, and no set leaves less.
fn climb(options: &Options<'_>, breakers: &[CircuitAt]) -> CircuitSet {
    let mut climb = Climb::new(options);
    for _ in 0..MOST_PASSES {
        let mut changed = false;
        for breaker in breakers {
            changed |= climb.try_all(&[*breaker]);
        }
        if !changed && breakers.len() <= ALL_SWAPS {
            for (place, one) in breakers.iter().enumerate() {
                for other in &breakers[place + 1..] {
                    if climb.off.contains(*one) != climb.off.contains(*other) {
                        changed |= climb.try_all(&[*one, *other]);
                    }
                }
            }
        }
        if !changed {
            break;
        }
    }
    climb.off
}

struct Climb<'a> {
    options: &'a Options<'a>,
    off: CircuitSet,
    /// Bits that are left of each kind of socket.
    bits: Vec<f64>,
}

impl<'a> Climb<'a> {
    fn new(options: &'a Options<'a>) -> Self {
        let off = options.problem.set([]);
        let may_die = options.may_die(&off);
        let bits = options.unknown.iter().map(|unknown| Options::bits_of(unknown, &off, &may_die)).collect();
        Self { options, off, bits }
    }

    /// Switches breakers over if less is left then, or as little with fewer off.
    fn try_all(&mut self, breakers: &[CircuitAt]) -> bool {
        let mut off = self.off.clone();
        let mut touched = self.options.problem.set([]);
        for breaker in breakers {
            flip(&mut off, *breaker);
            touched.insert(*breaker);
        }
        let touched = self.options.problem.with_shared(&touched);
        let may_die = self.options.may_die(&off);
        let (mut now, mut next) = (0.0, 0.0);
        let mut changes = Vec::new();
        for (place, unknown) in self.options.unknown.iter().enumerate() {
            if unknown.left.meets(&touched) {
                let bits = Options::bits_of(unknown, &off, &may_die);
                now += self.bits[place];
                next += bits;
                changes.push((place, bits));
            }
        }
        let worth =
            |bits: f64, off: &CircuitSet| Worth { bits, trouble: (self.options.asked(off), off.len()) };
        if !worth(next, &off).is_better(worth(now, &self.off)) {
            return false;
        }
        self.off = off;
        for (place, bits) in changes {
            self.bits[place] = bits;
        }
        true
    }
}
