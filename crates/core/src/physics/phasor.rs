//! Line currents as phasors at the fundamental (IEC 60050-131: complex rms).
//!
//! A load of *P* watts and whole power factor λ draws *S = P/λ*; its current lags the voltage by
//! arccos λ, or leads it.

use std::ops::{Add, AddAssign};

use crate::plan::{Line, Wiring};
use crate::unit::Amps;

/// A complex current, rms.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Phasor {
    /// In phase with L1's voltage.
    pub real: f64,
    /// A quarter turn ahead of it.
    pub imaginary: f64,
}

impl Phasor {
    /// A phasor by its size and its angle in degrees ahead of L1's voltage.
    #[must_use]
    pub fn polar(amps: Amps, degrees: f64) -> Self {
        let radians = degrees.to_radians();
        Self { real: amps.0 * radians.cos(), imaginary: amps.0 * radians.sin() }
    }

    /// Its size.
    #[must_use]
    pub fn amps(self) -> Amps {
        Amps(self.real.hypot(self.imaginary))
    }

    fn reversed(self) -> Self {
        Self { real: -self.real, imaginary: -self.imaginary }
    }
}

impl Add for Phasor {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self { real: self.real + other.real, imaginary: self.imaginary + other.imaginary }
    }
}

impl AddAssign for Phasor {
    fn add_assign(&mut self, other: Self) {
        *self = *self + other;
    }
}

/// Current in each of L1, L2, L3.
pub type LineCurrents = [Phasor; 3];

/// Whether a load's current comes before or after its voltage.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Shift {
    /// After: coils.
    #[default]
    Lagging,
    /// Before: capacitors.
    Leading,
}

/// What a load of `amps` a line and power factor `power_factor` (0 to 1) draws from each line.
#[must_use]
pub fn line_currents(
    wiring: Wiring,
    line: Line,
    amps: Amps,
    power_factor: f64,
    shift: Shift,
) -> LineCurrents {
    let behind = power_factor.clamp(0.0, 1.0).acos().to_degrees();
    let turn = if shift == Shift::Leading { behind } else { -behind };
    let mut currents = LineCurrents::default();
    match line.conductors() {
        [from, to] => {
            let current = Phasor::polar(amps, between(wiring, *from, *to) + turn);
            currents[*from] = current;
            currents[*to] = current.reversed();
        }
        conductors => {
            for conductor in conductors {
                currents[*conductor] = Phasor::polar(amps, line_angle(wiring, *conductor) + turn);
            }
        }
    }
    currents
}

/// Angle of a line's voltage to neutral, degrees.
fn line_angle(wiring: Wiring, conductor: usize) -> f64 {
    match (wiring, conductor) {
        (Wiring::One, _) | (_, 0) => 0.0,
        (Wiring::Split, _) => 180.0,
        (Wiring::Star, 1) => -120.0,
        (Wiring::Star, _) => 120.0,
    }
}

/// Angle of the voltage from one line to another, degrees.
fn between(wiring: Wiring, from: usize, to: usize) -> f64 {
    let unit = |conductor| Phasor::polar(Amps(1.0), line_angle(wiring, conductor));
    let difference = unit(from) + unit(to).reversed();
    difference.imaginary.atan2(difference.real).to_degrees()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn load(wiring: Wiring, line: Line, watts: f64, volts: f64, pf: f64, shift: Shift) -> LineCurrents {
        line_currents(wiring, line, Amps(watts / volts / pf), pf, shift)
    }

    fn neutral(loads: &[LineCurrents]) -> f64 {
        loads.iter().flatten().fold(Phasor::default(), |sum, current| sum + *current).amps().0
    }

    #[test]
    fn unbalanced_loads_of_mixed_power_factor_leave_the_published_neutral() {
        // Phasor neutral computed with OpenDSS, an explicit four-wire model, to four decimals.
        let star = |line, watts, pf, shift| load(Wiring::Star, line, watts, 230.0, pf, shift);
        let a = [
            star(Line::L1, 4000.0, 1.0, Shift::Lagging),
            star(Line::L2, 2500.0, 0.6, Shift::Lagging),
            star(Line::L3, 1000.0, 1.0, Shift::Lagging),
        ];
        assert!((neutral(&a) - 3.1968).abs() < 1e-4, "{}", neutral(&a));
        let b = [
            star(Line::L1, 5000.0, 1.0, Shift::Lagging),
            star(Line::L2, 5000.0, 0.6, Shift::Lagging),
            star(Line::L3, 5000.0, 0.9, Shift::Leading),
        ];
        assert!((neutral(&b) - 35.4428).abs() < 1e-4, "{}", neutral(&b));
    }

    #[test]
    fn split_phase_and_two_legs_of_a_star_leave_the_published_neutral() {
        // Closed form: 15/10 A on opposite legs 5 A; 20/10 A on two legs of 208Y/120 17.321 A.
        let draw = |wiring, line, amps| line_currents(wiring, line, Amps(amps), 1.0, Shift::Lagging);
        let split = [draw(Wiring::Split, Line::L1, 15.0), draw(Wiring::Split, Line::L2, 10.0)];
        assert!((neutral(&split) - 5.0).abs() < 1e-9);
        let legs = [draw(Wiring::Star, Line::L1, 20.0), draw(Wiring::Star, Line::L2, 10.0)];
        assert!((neutral(&legs) - 17.3205).abs() < 1e-4);
    }

    #[test]
    fn a_load_between_two_lines_leaves_nothing_in_the_neutral_and_adds_at_its_angle() {
        let between = line_currents(Wiring::Star, Line::L1L2, Amps(10.0), 1.0, Shift::Lagging);
        assert!(neutral(&[between]) < 1e-9);
        // Closed form: V12 is 30 degrees ahead of V1, so 10 A on L1 and 10 A on L1-L2 add to
        // 2·10·cos 15° = 19.319 A in L1.
        let alone = line_currents(Wiring::Star, Line::L1, Amps(10.0), 1.0, Shift::Lagging);
        assert!(((between[0] + alone[0]).amps().0 - 19.3185).abs() < 1e-4);
    }
}
