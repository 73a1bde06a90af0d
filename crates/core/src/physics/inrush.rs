//! What a switch-on does to the magnetic trip of a breaker, told as the lasting amps that it is as
//! much as.
//!
//! IEC 60898-1 fixes the trip with a lasting sine, in rms amps: at the lower magnetic bound a breaker
//! holds for 0.1 s at least. An inrush does not last, and two kinds of it are weighed in two ways:
//!
//! - a capacitor's is one pulse. Its peak counts, divided by the pulse factor of its length: a pulse of
//!   0.2 ms may be four times as high as a lasting current (typical; [`pulse_factor`]).
//! - a filament's is a sine that falls off over some half-waves while the filament heats. Its peak says
//!   little; what counts is its rms over the 0.1 s that the breaker has to hold. The share of that in
//!   the first crest is from a model: heat taken in from the mains at a crest through the loop, given
//!   off as the fifth power of the temperature, resistivity after Jones and Langmuir. The heat that a
//!   filament stores is an assumption of that model, so these figures are typical, not certain. They
//!   agree with what the trade sees: a B breaker just large enough for its lamp is at risk from 5 kW
//!   up, a C or D breaker is not.
//!
//! Weights are used so that both kinds add, which they do at worst when switched at one instant.

use std::f64::consts::SQRT_2;
use std::ops::Add;

use crate::physics::breaker::pulse_factor;
use crate::unit::Amps;

/// The inrush of one head or of several that are switched on together.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Inrush {
    /// Peak amps.
    pub peak: Amps,
    /// Lasting rms amps that it is as much as to a magnetic trip.
    pub counts: Amps,
}

impl Inrush {
    /// An inrush of `peak` amps and this weight ([`pulse_weight`], [`filament_weight`]).
    #[must_use]
    pub fn of(peak: Amps, weight: f64) -> Self {
        Self { peak, counts: peak * weight }
    }

    /// A current of `amps` rms that lasts: what a head counts as whose inrush is not known.
    #[must_use]
    pub fn lasting(amps: Amps) -> Self {
        Self { peak: amps * SQRT_2, counts: amps }
    }
}

impl Add for Inrush {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self { peak: self.peak + other.peak, counts: self.counts + other.counts }
    }
}

/// Lasting amps for each peak amp of a capacitor's pulse of `milliseconds`.
#[must_use]
pub fn pulse_weight(milliseconds: f64) -> f64 {
    1.0 / pulse_factor(milliseconds)
}

/// For filaments by the milliseconds until a half-wave is under five times the running amps: rms over
/// the first 0.1 s, as a share of the rms of a sine as high as the first crest. From the model above,
/// for 650 W, 1 kW, 1 kW at 120 V, 2 kW, 2 kW at 120 V, 5, 10 and 20 kW.
const FILAMENT_SHARES: [(f64, f64); 8] = [
    (0.14, 0.138),
    (0.35, 0.157),
    (1.0, 0.192),
    (1.34, 0.215),
    (5.6, 0.257),
    (8.6, 0.288),
    (12.4, 0.360),
    (21.0, 0.419),
];

/// Lasting amps for each peak amp of a filament that is under five times its running amps after
/// `milliseconds`: between the model's points even on log-log paper, level outside of them.
#[must_use]
pub fn filament_weight(milliseconds: f64) -> f64 {
    let [first, .., last] = FILAMENT_SHARES;
    let at = milliseconds.clamp(first.0, last.0);
    let share = FILAMENT_SHARES.windows(2).find(|pair| at <= pair[1].0).map_or(last.1, |pair| {
        let along = (at / pair[0].0).ln() / (pair[1].0 / pair[0].0).ln();
        pair[0].1 * (pair[1].1 / pair[0].1).powf(along)
    });
    share / SQRT_2
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::physics::breaker::{inrush_limit, magnetic_band};
    use crate::plan::Curve;

    #[test]
    fn inrush_of_both_kinds_adds_and_a_lasting_current_counts_whole() {
        // By hand: a 60 A pulse of 0.2 ms counts as 15 A; 10 A that last have a peak of 10·√2 = 14.142 A.
        let (pulse, lasting) = (Inrush::of(Amps(60.0), pulse_weight(0.2)), Inrush::lasting(Amps(10.0)));
        assert!((lasting.peak.0 - 14.142_136).abs() < 1e-6 && (lasting.counts.0 - 10.0).abs() < 1e-12);
        let both = pulse + lasting;
        assert!((both.peak.0 - 74.142_136).abs() < 1e-6, "{both:?}");
        assert!((both.counts.0 - 25.0).abs() < 1e-9, "{both:?}");
    }

    /// Squared amps times seconds of the first 0.1 s that the filament model gives, switched on at a
    /// crest: amps running, milliseconds to five times them, times the nominal peak, A²s.
    const MODEL: [(f64, f64, f64, f64); 6] = [
        (4.35, 0.4, 15.09, 11.0),
        (8.70, 1.4, 13.21, 62.0),
        (21.74, 8.7, 12.43, 611.0),
        (43.48, 12.5, 11.74, 3403.0),
        (8.33, 1.1, 13.48, 48.0),
        (16.67, 5.7, 11.82, 259.0),
    ];

    #[test]
    fn a_filament_counts_as_its_rms_over_the_tenth_of_a_second_that_a_breaker_holds() {
        for (running, milliseconds, times, square_seconds) in MODEL {
            let rms = (square_seconds / 0.1_f64).sqrt();
            let inrush = Inrush::of(Amps(running * times * SQRT_2), filament_weight(milliseconds));
            assert!((inrush.counts.0 / rms - 1.0).abs() < 0.03, "{running} A: {inrush:?}, model {rms}");
        }
    }

    #[test]
    fn a_b_breaker_of_the_lamp_s_own_amps_is_at_risk_from_five_kilowatts_up_and_no_c_or_d() {
        for (running, milliseconds, times, _) in MODEL {
            let inrush = Inrush::of(Amps(running * times * SQRT_2), filament_weight(milliseconds));
            let reaches = |curve| inrush.counts.0 > magnetic_band(curve).unwrap().0 * running;
            assert!(!reaches(Curve::C) && !reaches(Curve::D), "{running} A");
            if milliseconds > 6.0 {
                assert!(reaches(Curve::B), "{running} A");
            }
            if running < 9.0 {
                assert!(!reaches(Curve::B), "{running} A");
            }
        }
    }

    #[test]
    fn a_pulse_reaches_the_band_just_where_its_peak_reaches_the_limit() {
        for milliseconds in [0.1, 0.2, 1.0, 5.0, 10.0, 40.0] {
            let limit = inrush_limit(Curve::B, Amps(16.0), milliseconds).unwrap();
            let counts = Inrush::of(limit, pulse_weight(milliseconds)).counts;
            assert!((counts.0 - 48.0).abs() < 1e-9, "{milliseconds}");
        }
    }

    #[test]
    fn a_longer_filament_inrush_never_counts_less() {
        let weights: Vec<f64> = (1..400).map(|tenth| filament_weight(f64::from(tenth) / 10.0)).collect();
        assert!(weights.windows(2).all(|pair| pair[0] <= pair[1]));
        assert!(weights[0] > 0.0 && weights[398] < 1.0 / SQRT_2);
    }
}
