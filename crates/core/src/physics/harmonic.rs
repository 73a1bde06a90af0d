//! Neutral and line currents with harmonics, conductor sizes, and what a lost neutral does.
//!
//! - Symmetrical components by order (Fortescue): on a star orders 1, 7, 13 are of positive, 5, 11 of
//!   negative and 3, 9, 15 of zero sequence; zero sequence adds in the neutral.
//! - IEEE 1459: *I₁ = I/√(1+Σh²)*, whole power factor = displacement factor × distortion factor.
//! - IEC 60364-5-52 Annex E, table E.52.1: sizes of conductors that carry third harmonics.
//! - Millman's theorem: volts at the floating point of loads without their neutral.

use crate::physics::phasor::{LineCurrents, Phasor, Shift, line_currents, line_harmonics, unit_voltage};
use crate::plan::{Line, Wiring};
use crate::unit::{Amps, KiloVoltAmps, Volts, Watts};

/// Harmonic orders, each with its percent of the fundamental.
pub type Orders<'a> = &'a [(u32, f64)];

/// How a harmonic's currents turn in three lines of a star.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sequence {
    /// As the fundamental: orders 1, 7, 13. Balanced lines leave nothing in the neutral.
    Positive,
    /// Against it: orders 5, 11, 17. Balanced lines leave nothing in the neutral.
    Negative,
    /// All at once: orders 3, 9, 15. They add in the neutral.
    Zero,
}

/// The sequence of a harmonic order on a star.
#[must_use]
pub const fn sequence(order: u32) -> Sequence {
    match order % 3 {
        0 => Sequence::Zero,
        1 => Sequence::Positive,
        _ => Sequence::Negative,
    }
}

/// Whole rms current over its fundamental, √(1+Σh²): 1 for a pure sine. One over it is the
/// distortion factor.
#[must_use]
pub fn rms_over_fundamental(spectrum: Orders<'_>) -> f64 {
    let squares: f64 = harmonics(spectrum).map(|(_, share)| share * share).sum();
    (1.0 + squares).sqrt()
}

/// Total harmonic distortion, a share of the fundamental: √Σh².
#[must_use]
pub fn distortion(spectrum: Orders<'_>) -> f64 {
    harmonics(spectrum).map(|(_, share)| share * share).sum::<f64>().sqrt()
}

/// Distortion over which a load counts as non-linear; corrected supplies stay under it (ours).
pub const NON_LINEAR_DISTORTION: f64 = 0.20;

/// The fundamental of a current of `amps` rms.
#[must_use]
pub fn fundamental(amps: Amps, spectrum: Orders<'_>) -> Amps {
    amps / rms_over_fundamental(spectrum)
}

/// cos φ of the fundamental of a load whose whole power factor is `power_factor`:
/// min(1, λ·√(1+Σh²)). A nameplate may claim more than its spectrum allows, hence the 1.
#[must_use]
pub fn displacement_factor(power_factor: f64, spectrum: Orders<'_>) -> f64 {
    (power_factor * rms_over_fundamental(spectrum)).clamp(0.0, 1.0)
}

/// The orders over the fundamental, as shares of it. What stands under order 1 is the fundamental
/// itself, told twice, and does not count.
fn harmonics(spectrum: Orders<'_>) -> impl Iterator<Item = (u32, f64)> + '_ {
    spectrum.iter().filter(|(order, _)| *order > 1).map(|(order, percent)| (*order, percent / 100.0))
}

/// One load on a supply.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Draw<'a> {
    /// The line or lines that it hangs on.
    pub line: Line,
    /// Whole rms current in each of them.
    pub amps: Amps,
    /// Whole power factor, 0 to 1.
    pub power_factor: f64,
    /// Whether its fundamental comes before or after its voltage.
    pub shift: Shift,
    /// Its harmonics; none for a sine.
    pub spectrum: Orders<'a>,
}

/// Currents in the lines and the neutral of a supply, order by order.
#[derive(Clone, Debug, PartialEq)]
pub struct LineLoad {
    wiring: Wiring,
    fundamental: LineCurrents,
    /// In rising order.
    harmonics: Vec<(u32, LineCurrents)>,
}

impl LineLoad {
    /// Nothing on it yet.
    #[must_use]
    pub const fn new(wiring: Wiring) -> Self {
        Self { wiring, fundamental: [Phasor { real: 0.0, imaginary: 0.0 }; 3], harmonics: Vec::new() }
    }

    /// Puts a load on it.
    pub fn add(&mut self, draw: &Draw<'_>) {
        let first = fundamental(draw.amps, draw.spectrum);
        let displacement = displacement_factor(draw.power_factor, draw.spectrum);
        let currents = line_currents(self.wiring, draw.line, first, displacement, draw.shift);
        add_to(&mut self.fundamental, &currents);
        for (order, share) in harmonics(draw.spectrum) {
            let currents = line_harmonics(self.wiring, draw.line, first * share, order);
            let place = match self.harmonics.binary_search_by_key(&order, |(order, _)| *order) {
                Ok(place) => place,
                Err(place) => {
                    self.harmonics.insert(place, (order, LineCurrents::default()));
                    place
                }
            };
            add_to(&mut self.harmonics[place].1, &currents);
        }
    }

    /// Currents of the fundamental.
    #[must_use]
    pub const fn fundamental(&self) -> &LineCurrents {
        &self.fundamental
    }

    /// Whole rms current of L1, L2, L3.
    #[must_use]
    pub fn lines(&self) -> [Amps; 3] {
        [0, 1, 2].map(|line| rms(self.orders().map(|(_, currents)| currents[line].amps())))
    }

    /// Whole rms current of the neutral: the phasor sum of each order, then the orders in quadrature.
    #[must_use]
    pub fn neutral(&self) -> Amps {
        rms(self.orders().map(|(_, currents)| sum(currents)))
    }

    /// Current of one order in the neutral.
    #[must_use]
    pub fn neutral_of_order(&self, order: u32) -> Amps {
        self.orders().find(|(of, _)| *of == order).map_or(Amps::ZERO, |(_, currents)| sum(currents))
    }

    /// The third harmonic of each line as a share of its whole rms current, as Annex E of
    /// IEC 60364-5-52 counts it; 0 where nothing flows.
    #[must_use]
    pub fn third_harmonic_shares(&self) -> [f64; 3] {
        let lines = self.lines();
        let third = self.harmonics.iter().find(|(order, _)| *order == 3);
        [0, 1, 2].map(|line| match third {
            Some((_, currents)) if lines[line].is_over(Amps::ZERO) => currents[line].amps() / lines[line],
            _ => 0.0,
        })
    }

    /// Apparent power of each line with distortion, *V·I* rms, on `volts` line to neutral.
    #[must_use]
    pub fn line_apparent_powers(&self, volts: Volts) -> [KiloVoltAmps; 3] {
        self.lines().map(|amps| apparent_power(volts, amps))
    }

    /// Apparent power of all lines, the arithmetic sum (IEEE 1459): what the windings must carry.
    #[must_use]
    pub fn apparent_power(&self, volts: Volts) -> KiloVoltAmps {
        self.line_apparent_powers(volts).into_iter().sum()
    }

    fn orders(&self) -> impl Iterator<Item = (u32, &LineCurrents)> {
        let rest = self.harmonics.iter().map(|(order, currents)| (*order, currents));
        std::iter::once((1, &self.fundamental)).chain(rest)
    }
}

/// Apparent power of one line, *V·I* rms.
#[must_use]
pub fn apparent_power(volts: Volts, amps: Amps) -> KiloVoltAmps {
    KiloVoltAmps(volts.0 * amps.0 / 1000.0)
}

fn add_to(total: &mut LineCurrents, more: &LineCurrents) {
    for (into, current) in total.iter_mut().zip(more) {
        *into += *current;
    }
}

fn sum(currents: &LineCurrents) -> Amps {
    currents.iter().fold(Phasor::default(), |total, current| total + *current).amps()
}

fn rms(parts: impl Iterator<Item = Amps>) -> Amps {
    Amps(parts.map(|amps| amps.0 * amps.0).sum::<f64>().sqrt())
}

/// Which conductor a cable with harmonics is sized by.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SizedBy {
    /// The line.
    Line,
    /// The neutral, which carries more.
    Neutral,
}

/// What IEC 60364-5-52 Annex E asks of a four- or five-core cable.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sizing {
    /// The conductor that rules.
    pub by: SizedBy,
    /// Reduction factor on the tabulated current of three loaded cores.
    pub factor: f64,
    /// Neutral current, 3·h₃·I.
    pub neutral: Amps,
    /// Tabulated current that the cable must have.
    pub tabulated: Amps,
}

/// Table E.52.1: third harmonic up to this share of the line's current, sized by, factor. Over the
/// last share the neutral rules and nothing is taken off.
const TABLE_E_52_1: [(f64, SizedBy, f64); 4] = [
    (0.15, SizedBy::Line, 1.0),
    (0.33, SizedBy::Line, 0.86),
    (0.45, SizedBy::Neutral, 0.86),
    (f64::INFINITY, SizedBy::Neutral, 1.0),
];
/// Room for rounding at the table's bounds, which belong to the row under them.
const ROUNDING: f64 = 1e-9;

/// The size that balanced lines of `line` amps need where the third harmonic is `third_harmonic_share`
/// of that current (IEC 60364-5-52 Annex E).
#[must_use]
pub fn conductor_sizing(line: Amps, third_harmonic_share: f64) -> Sizing {
    let neutral = line * (3.0 * third_harmonic_share);
    let row = TABLE_E_52_1.iter().find(|(up_to, _, _)| third_harmonic_share <= up_to + ROUNDING);
    let (by, factor) = row.map_or((SizedBy::Neutral, 1.0), |(_, by, factor)| (*by, *factor));
    let ruling = match by {
        SizedBy::Line => line,
        SizedBy::Neutral => neutral,
    };
    Sizing { by, factor, neutral, tabulated: ruling / factor }
}

/// Volts that resistive loads get once their neutral is broken.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LostNeutral {
    /// On the loads of L1, L2, L3; 0 for a line that the supply has not.
    pub lines: [Volts; 3],
    /// Of the floating point against the supply's neutral.
    pub floating_point: Volts,
}

/// What resistive loads of these watts on L1, L2, L3, each at `volts` line to neutral, get once their
/// common neutral is broken; `None` where there is no load. By Millman's theorem, so exact.
///
/// It is no overload, and no breaker sees it.
#[must_use]
pub fn lost_neutral(wiring: Wiring, volts: Volts, watts: [Watts; 3]) -> Option<LostNeutral> {
    let lines = match wiring {
        Wiring::One => 1,
        Wiring::Split => 2,
        Wiring::Star => 3,
    };
    let total: Watts = watts.iter().take(lines).copied().sum();
    if !total.is_over(Watts::ZERO) {
        return None;
    }
    // As shares of the volts: each conductance is P/V², so V falls out.
    let mut point = Phasor::default();
    for (line, watts) in watts.iter().take(lines).enumerate() {
        let (voltage, weight) = (unit_voltage(wiring, line), *watts / total);
        point += Phasor { real: voltage.real * weight, imaginary: voltage.imaginary * weight };
    }
    let on = |line: usize| {
        if line >= lines {
            return Volts::ZERO;
        }
        let voltage = unit_voltage(wiring, line);
        volts * (voltage.real - point.real).hypot(voltage.imaginary - point.imaginary)
    };
    Some(LostNeutral { lines: [on(0), on(1), on(2)], floating_point: volts * point.amps().0 })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::Spectrum;

    fn draw(line: Line, amps: f64, spectrum: Orders<'_>) -> Draw<'_> {
        Draw { line, amps: Amps(amps), power_factor: 1.0, shift: Shift::Lagging, spectrum }
    }

    fn load(wiring: Wiring, draws: &[Draw<'_>]) -> LineLoad {
        let mut load = LineLoad::new(wiring);
        for draw in draws {
            load.add(draw);
        }
        load
    }

    #[test]
    fn orders_have_the_sequence_of_the_textbooks() {
        // Symmetrical components: h = 3k+1 positive, 3k+2 negative, 3k zero.
        for order in [1, 7, 13, 19] {
            assert_eq!(sequence(order), Sequence::Positive, "{order}");
        }
        for order in [5, 11, 17] {
            assert_eq!(sequence(order), Sequence::Negative, "{order}");
        }
        for order in [3, 9, 15, 21] {
            assert_eq!(sequence(order), Sequence::Zero, "{order}");
        }
    }

    #[test]
    fn only_orders_of_zero_sequence_are_left_by_balanced_lines() {
        let spectrum: Vec<(u32, f64)> = (3..=25).step_by(2).map(|order| (order, 20.0)).collect();
        let star = load(Wiring::Star, &[draw(Line::All, 10.0, &spectrum)]);
        let first = fundamental(Amps(10.0), &spectrum);
        for (order, _) in &spectrum {
            let expected = if sequence(*order) == Sequence::Zero { 0.6 * first.0 } else { 0.0 };
            assert!((star.neutral_of_order(*order).0 - expected).abs() < 1e-9, "{order}");
        }
        assert!(star.neutral_of_order(1).0 < 1e-9);
        assert_eq!(star.neutral_of_order(27), Amps::ZERO);
    }

    #[test]
    fn the_named_spectra_leave_what_their_figures_give() {
        // By hand for 81/60.6/37/15.7 %: 3·√(.81²+.157²)/√(1+.81²+.606²+.37²+.157²) = 1.674560; for
        // 8/4/3 %: 0.24/√1.0089 = 0.23894.
        let ratio = |spectrum: &Spectrum| {
            let load = load(Wiring::Star, &[draw(Line::All, 1.0, spectrum.orders())]);
            load.neutral().0
        };
        assert!((ratio(&Spectrum::Capacitor) - 1.674_56).abs() < 1e-5, "{}", ratio(&Spectrum::Capacitor));
        assert!((ratio(&Spectrum::Corrected) - 0.238_94).abs() < 1e-5);
        assert!(ratio(&Spectrum::Linear) < 1e-12);
    }

    #[test]
    fn the_whole_power_factor_is_not_the_angle() {
        // By hand: a capacitor-input supply of λ 0.6 and √(1+Σh²) 1.478136 has cos φ 0.886881.
        let spectrum = Spectrum::Capacitor;
        assert!((displacement_factor(0.6, spectrum.orders()) - 0.886_881).abs() < 1e-6);
        // 0.98·1.0044 stays under 1; 1.0·1.0044 would not.
        assert!((displacement_factor(0.98, Spectrum::Corrected.orders()) - 0.984_351).abs() < 1e-6);
        assert!((displacement_factor(1.0, Spectrum::Corrected.orders()) - 1.0).abs() < 1e-12);
        assert!((displacement_factor(0.6, &[]) - 0.6).abs() < 1e-12);
    }

    #[test]
    fn order_one_in_a_spectrum_is_the_fundamental_and_counts_once() {
        assert!((rms_over_fundamental(&[(1, 100.0), (3, 75.0)]) - 1.25).abs() < 1e-12);
        assert!((distortion(&[(1, 100.0), (3, 60.0), (5, 80.0)]) - 1.0).abs() < 1e-12);
    }

    #[test]
    fn harmonics_leave_the_rms_of_a_line_as_it_is() {
        let capacitor = Spectrum::Capacitor;
        let star = load(Wiring::Star, &[draw(Line::L2, 10.0, capacitor.orders())]);
        assert!((star.lines()[1].0 - 10.0).abs() < 1e-9);
        // All that one line takes comes back in the neutral.
        assert!((star.neutral().0 - 10.0).abs() < 1e-9);
        // By hand: 0.81/1.478136 = 0.547988.
        assert!((star.third_harmonic_shares()[1] - 0.547_988).abs() < 1e-6);
        assert!(star.third_harmonic_shares()[0].abs() < 1e-12);
    }

    #[test]
    fn apparent_power_counts_the_distortion() {
        // By hand: 230 V · 10 A = 2.3 kVA a line, harmonics or not; three lines 6.9 kVA.
        let star = load(Wiring::Star, &[draw(Line::All, 10.0, Spectrum::Capacitor.orders())]);
        assert!((star.line_apparent_powers(Volts(230.0))[2].0 - 2.3).abs() < 1e-9);
        assert!((star.apparent_power(Volts(230.0)).0 - 6.9).abs() < 1e-9);
    }

    #[test]
    fn a_third_harmonic_on_two_legs_cancels_on_split_phase_and_adds_on_a_star() {
        let spectrum = [(3, 75.0)];
        let legs = [draw(Line::L1, 10.0, &spectrum), draw(Line::L2, 10.0, &spectrum)];
        assert!(load(Wiring::Split, &legs).neutral().0 < 1e-9);
        // By hand: fundamental 8 A and 8 A at 120° leave 8 A, the third 6 + 6 = 12 A: √(64+144).
        assert!((load(Wiring::Star, &legs).neutral().0 - 208.0_f64.sqrt()).abs() < 1e-9);
    }

    #[test]
    fn mixed_loads_add_order_by_order() {
        // By hand: 10 A of a sine on L1; 10 A with a third of 75 % on L2 (8 and 6 A): fundamental
        // |10 + 8∠−120°| = √84 = 9.16515 A, third 6 A, neutral √(84+36) = 10.95445 A.
        let spectrum = [(3, 75.0)];
        let star = load(Wiring::Star, &[draw(Line::L1, 10.0, &[]), draw(Line::L2, 10.0, &spectrum)]);
        assert!((star.neutral_of_order(1).0 - 84.0_f64.sqrt()).abs() < 1e-9);
        assert!((star.neutral_of_order(3).0 - 6.0).abs() < 1e-9);
        assert!((star.neutral().0 - 120.0_f64.sqrt()).abs() < 1e-9);
    }

    #[test]
    fn the_bounds_of_table_e_52_1_belong_to_the_row_under_them() {
        // IEC 60364-5-52 table E.52.1: 0–15, over 15–33, over 33–45, over 45 %.
        let of = |share| {
            let sizing = conductor_sizing(Amps(100.0), share);
            (sizing.by, sizing.factor)
        };
        assert_eq!(of(0.15), (SizedBy::Line, 1.0));
        assert_eq!(of(0.151), (SizedBy::Line, 0.86));
        assert_eq!(of(0.33), (SizedBy::Line, 0.86));
        assert_eq!(of(0.331), (SizedBy::Neutral, 0.86));
        assert_eq!(of(0.1 + 0.2 + 0.15), (SizedBy::Neutral, 0.86));
        assert_eq!(of(0.451), (SizedBy::Neutral, 1.0));
    }

    #[test]
    fn a_lost_neutral_starves_the_heavier_load_and_burns_the_lighter() {
        // By hand: 1500 W is 9.6 Ω, 500 W is 28.8 Ω; 240 V over 38.4 Ω leaves 60 and 180 V.
        let split =
            lost_neutral(Wiring::Split, Volts(120.0), [Watts(1500.0), Watts(500.0), Watts(9.0)]).unwrap();
        assert!((split.lines[0].0 - 60.0).abs() < 1e-9 && (split.lines[1].0 - 180.0).abs() < 1e-9);
        assert_eq!(split.lines[2], Volts::ZERO);
        assert!((split.floating_point.0 - 60.0).abs() < 1e-9);
        // One line alone: nothing flows, the point rides up to the line.
        let one = lost_neutral(Wiring::One, Volts(230.0), [Watts(1000.0), Watts(1.0), Watts(1.0)]).unwrap();
        assert!(one.lines[0].0 < 1e-9 && (one.floating_point.0 - 230.0).abs() < 1e-9);
        assert_eq!(lost_neutral(Wiring::Star, Volts(230.0), [Watts::ZERO; 3]), None);
    }
}
