//! Leakage of filters, and how that of several lines adds.

use std::f64::consts::TAU;

use crate::physics::phasor::{Phasor, unit_voltage};
use crate::plan::{Line, Wiring};
use crate::unit::{Amps, Hertz, MilliAmps, NanoFarads, Volts};

/// What a filter's capacitor from line to protective conductor leaks: 2π·f·C·V.
#[must_use]
pub fn capacitor_leakage(volts: Volts, frequency: Hertz, capacitance: NanoFarads) -> MilliAmps {
    // Nanofarads times volts a second are nanoamperes.
    MilliAmps(TAU * frequency.0 * capacitance.0 * volts.0 * 1e-6)
}

/// What a device over all lines sees of filter leakage on L1, L2, L3, at the fundamental: each stands a
/// quarter turn ahead of its line, so equal ones cancel. Third harmonics of it would add instead and
/// are not in it; the arithmetic sum is the bound.
#[must_use]
pub fn vector_sum(wiring: Wiring, lines: [MilliAmps; 3]) -> MilliAmps {
    let mut sum = Phasor::default();
    for (line, leakage) in lines.into_iter().enumerate() {
        let voltage = unit_voltage(wiring, line);
        sum += Phasor { real: voltage.real * leakage.0, imaginary: voltage.imaginary * leakage.0 };
    }
    MilliAmps(sum.real.hypot(sum.imaginary))
}

/// Leakage that a device over all lines sees, while it is added up line by line.
///
/// At the fundamental only: third harmonics, and all others of an order that three divides, are in
/// phase on the three lines and add, and what drivers leak at kilohertz is in no figure of 50 or 60 Hz.
/// So this is what may be seen at best; the arithmetic sum decides.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct LineLeakage {
    directed: Phasor,
    undirected: MilliAmps,
}

impl LineLeakage {
    /// Adds what a head on these lines leaks by itself, `None` where its lines are not known.
    ///
    /// One line: with the line's voltage. Two lines of a star: alike from both, so with the sum of
    /// their voltages, which is as large as one. Between two legs, and on three lines, a filter's
    /// capacitors cancel in the head itself; what is left comes from the odd one of them, nobody knows
    /// which, and is added to the size, as is what comes from unknown lines.
    pub fn add(&mut self, wiring: Wiring, line: Option<Line>, leakage: MilliAmps) {
        let conductors = line.map_or(&[][..], Line::conductors);
        match (wiring, conductors) {
            (_, [line]) => self.directed += unit_voltage(wiring, *line).scaled(Amps(leakage.0)),
            (Wiring::Star, [one, other]) => {
                let between = unit_voltage(wiring, *one) + unit_voltage(wiring, *other);
                self.directed += between.scaled(Amps(leakage.0));
            }
            _ => self.undirected += leakage,
        }
    }

    /// What the device sees, at most.
    #[must_use]
    pub fn sum(self) -> MilliAmps {
        MilliAmps(self.directed.amps().0) + self.undirected
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_filter_leaks_by_its_capacitance() {
        // 2π·50·4.7e-9·230 = 0.3396 mA.
        assert!((capacitor_leakage(Volts(230.0), Hertz(50.0), NanoFarads(4.7)).0 - 0.339_61).abs() < 1e-5);
    }

    #[test]
    fn heads_on_one_line_on_two_and_on_three_are_added_in_their_places() {
        let sum = |wiring, heads: &[(Option<Line>, f64)]| {
            let mut sum = LineLeakage::default();
            for (line, leakage) in heads {
                sum.add(wiring, *line, MilliAmps(*leakage));
            }
            sum.sum().0
        };
        let near = |got: f64, wanted: f64| assert!((got - wanted).abs() < 1e-12, "{got}, not {wanted}");
        let [l1, l2, l3] = [Line::L1, Line::L2, Line::L3].map(Some);
        near(sum(Wiring::Star, &[(l1, 7.0), (l2, 3.5), (l3, 3.5)]), 3.5);
        // By hand: from L1 and L2 alike is against L3, so it cancels with as much on L3.
        near(sum(Wiring::Star, &[(Some(Line::L1L2), 3.5)]), 3.5);
        near(sum(Wiring::Star, &[(Some(Line::L1L2), 3.5), (l3, 3.5)]), 0.0);
        // On three lines, between two legs and on unknown ones: added to the size.
        near(sum(Wiring::Star, &[(Some(Line::All), 3.0), (l1, 2.0)]), 5.0);
        near(sum(Wiring::Split, &[(Some(Line::L1L2), 3.0), (l1, 2.0), (l2, 2.0)]), 3.0);
        near(sum(Wiring::Star, &[(None, 3.0), (l1, 2.0)]), 5.0);
    }

    #[test]
    fn equal_leakages_cancel_over_a_star_and_over_two_legs() {
        let of = |wiring, lines: [f64; 3]| vector_sum(wiring, lines.map(MilliAmps)).0;
        assert!(of(Wiring::Star, [3.5; 3]) < 1e-12);
        assert!((of(Wiring::Star, [10.0, 5.0, 0.0]) - 75.0_f64.sqrt()).abs() < 1e-12);
        assert!((of(Wiring::Split, [5.0, 3.0, 0.0]) - 2.0).abs() < 1e-12);
        assert!((of(Wiring::One, [5.0, 0.0, 0.0]) - 5.0).abs() < 1e-12);
    }
}
