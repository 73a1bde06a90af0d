//! Line currents as phasors at the fundamental (IEC 60050-131: complex rms).
//!
//! A load of *P* watts and whole power factor λ draws *S = P/λ*; its current lags the voltage by
//! arccos λ, or leads it.

//!
//! A harmonic of order *h* turns *h* times as fast, so its angle is *h* times that of the line's
//! voltage ([`line_harmonics`]). Its angle against the voltage is taken as 0 for every load: nobody
//! publishes the phases of a head's harmonics, and *h* times the fundamental's displacement, which
//! would hold only for one wave shape moved in time, would let the third harmonics of a lagging and
//! of a plain load cancel. Without it those of order 3, 9, 15 add arithmetically, the most that they
//! can; the other orders cancel between lines as those of equal loads do.

use std::ops::{Add, AddAssign};

use crate::plan::{Line, Wiring};
use crate::unit::Amps;

/// A complex current or voltage, rms.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Phasor {
    /// In phase with L1's voltage.
    pub real: f64,
    /// A quarter turn ahead of it.
    pub imaginary: f64,
}

impl Phasor {
    /// Its size.
    #[must_use]
    pub fn amps(self) -> Amps {
        Amps(self.real.hypot(self.imaginary))
    }

    /// Turned by the angle of a phasor of size 1.
    pub(super) fn turned(self, by: Self) -> Self {
        Self {
            real: self.real * by.real - self.imaginary * by.imaginary,
            imaginary: self.real * by.imaginary + self.imaginary * by.real,
        }
    }

    pub(super) fn scaled(self, amps: Amps) -> Self {
        Self { real: self.real * amps.0, imaginary: self.imaginary * amps.0 }
    }

    /// Its angle taken `times` over; of size 1 where it is of size 1.
    fn turned_over(self, times: u32) -> Self {
        let (mut result, mut square, mut left) = (Self { real: 1.0, imaginary: 0.0 }, self, times);
        while left > 0 {
            if left % 2 == 1 {
                result = result.turned(square);
            }
            square = square.turned(square);
            left /= 2;
        }
        result
    }

    pub(super) fn reversed(self) -> Self {
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
    let in_phase = power_factor.clamp(0.0, 1.0);
    let quarter_turn = (1.0 - in_phase * in_phase).sqrt();
    let sign = if shift == Shift::Leading { 1.0 } else { -1.0 };
    let against_voltage = Phasor { real: in_phase, imaginary: sign * quarter_turn };
    let mut currents = LineCurrents::default();
    match line.conductors() {
        [from, to] => {
            let current = between(wiring, *from, *to).turned(against_voltage).scaled(amps);
            currents[*from] = current;
            currents[*to] = current.reversed();
        }
        conductors => {
            for conductor in conductors {
                currents[*conductor] = unit_voltage(wiring, *conductor).turned(against_voltage).scaled(amps);
            }
        }
    }
    currents
}

/// What a load of `amps` of harmonic order `order` draws from each line, at the angle of `order`
/// times its voltage's.
#[must_use]
pub fn line_harmonics(wiring: Wiring, line: Line, amps: Amps, order: u32) -> LineCurrents {
    let mut currents = LineCurrents::default();
    match line.conductors() {
        [from, to] => {
            let current = between(wiring, *from, *to).turned_over(order).scaled(amps);
            currents[*from] = current;
            currents[*to] = current.reversed();
        }
        conductors => {
            for conductor in conductors {
                currents[*conductor] = unit_voltage_of_order(wiring, *conductor, order).scaled(amps);
            }
        }
    }
    currents
}

/// A line's voltage to neutral with its angle taken `order` times: exact, as two legs come round
/// after two turns and a star after three.
fn unit_voltage_of_order(wiring: Wiring, conductor: usize, order: u32) -> Phasor {
    match (wiring, conductor, order % 2, order % 3) {
        (Wiring::Split, 1.., 0, _) | (Wiring::Star, 1.., _, 0) => unit_voltage(wiring, 0),
        (Wiring::Star, 1, _, 2) => unit_voltage(wiring, 2),
        (Wiring::Star, 2.., _, 2) => unit_voltage(wiring, 1),
        _ => unit_voltage(wiring, conductor),
    }
}

/// A line's voltage to neutral, of size 1: at 0 and 180 degrees on two legs, at 0, −120 and 120
/// degrees on a star.
pub(crate) const fn unit_voltage(wiring: Wiring, conductor: usize) -> Phasor {
    /// sin 120°
    const SIN_120: f64 = 0.866_025_403_784_438_6;
    let (real, imaginary) = match (wiring, conductor) {
        (Wiring::One, _) | (_, 0) => (1.0, 0.0),
        (Wiring::Split, _) => (-1.0, 0.0),
        (Wiring::Star, 1) => (-0.5, -SIN_120),
        (Wiring::Star, _) => (-0.5, SIN_120),
    };
    Phasor { real, imaginary }
}

/// The voltage from one line to another, of size 1.
fn between(wiring: Wiring, from: usize, to: usize) -> Phasor {
    let difference = unit_voltage(wiring, from) + unit_voltage(wiring, to).reversed();
    let size = difference.amps();
    if size == Amps::ZERO { unit_voltage(wiring, from) } else { difference.scaled(Amps(1.0 / size.0)) }
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
    fn harmonics_turn_as_often_as_their_order_says() {
        // IEC 60364-5-52 Annex E: the third harmonics of three lines add. By hand: the fifth stand at
        // -5·120° = 120°, the seventh at -7·120° = -120°, as the fundamental.
        let of = |wiring, line, order| line_harmonics(wiring, line, Amps(2.0), order);
        let third = of(Wiring::Star, Line::All, 3);
        assert!((neutral(&[third]) - 6.0).abs() < 1e-12);
        assert!(neutral(&[of(Wiring::Star, Line::All, 5)]) < 1e-12);
        let fundamental = of(Wiring::Star, Line::All, 1);
        assert_eq!(of(Wiring::Star, Line::All, 7), fundamental);
        assert_eq!(of(Wiring::Star, Line::All, 5)[1], fundamental[2]);
        assert_eq!(of(Wiring::Star, Line::All, 5)[2], fundamental[1]);
        // Two legs at 180 degrees: odd orders cancel, even ones add.
        let legs = |order| [of(Wiring::Split, Line::L1, order), of(Wiring::Split, Line::L2, order)];
        assert!(neutral(&legs(3)) < 1e-12);
        assert!((neutral(&legs(2)) - 4.0).abs() < 1e-12);
    }

    #[test]
    fn harmonics_between_two_lines_turn_from_the_voltage_between_them() {
        // By hand: V12 stands at 30°, so its third harmonic at 90°, and what goes out comes back.
        let currents = line_harmonics(Wiring::Star, Line::L1L2, Amps(2.0), 3);
        assert!(
            currents[0].real.abs() < 1e-12 && (currents[0].imaginary - 2.0).abs() < 1e-12,
            "{currents:?}"
        );
        assert!(neutral(&[currents]) < 1e-12);
        // At 60° for the second, at 150° for the fifth: the law holds for even and odd orders.
        let second = line_harmonics(Wiring::Star, Line::L1L2, Amps(1.0), 2)[0];
        assert!((second.real - 0.5).abs() < 1e-12 && (second.imaginary - 0.75_f64.sqrt()).abs() < 1e-12);
        let fifth = line_harmonics(Wiring::Star, Line::L1L2, Amps(1.0), 5)[0];
        assert!((fifth.real + 0.75_f64.sqrt()).abs() < 1e-12 && (fifth.imaginary - 0.5).abs() < 1e-12);
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
