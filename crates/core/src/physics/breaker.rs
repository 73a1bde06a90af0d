//! When a breaker or a fuse opens: the window between the earliest and the latest that its standard
//! allows, from cold.
//!
//! The points are the standards'; the straight lines between them on log-log paper are ours. Before
//! the first point of a bound its time stands still; after the last one the earliest falls to 0, for
//! nothing is published that would hold it, and the latest stays, for more current never opens later.

use std::cmp::Ordering;

use crate::physics::Outcome;
use crate::plan::Curve;
use crate::unit::{Amps, Celsius, Minutes, Seconds};

mod points;

use points::plug_fuse_points;
pub use points::{Points, points};

/// Temperature up to which a thermal breaker carries its rating (IEC 60898-1).
const REFERENCE_AMBIENT: Celsius = Celsius(30.0);
/// Share of its rating that a thermal breaker loses for a kelvin above that (from memory; two makers'
/// published tables lie on both sides of it).
const LOSS_PER_KELVIN: f64 = 0.005;
/// A pulse of this many milliseconds and longer counts whole against the magnetic trip (typical).
const WHOLE_PULSE_MS: f64 = 10.0;
/// A pulse of this many milliseconds and shorter may be [`SHORT_PULSE_FACTOR`] times as high (typical).
const SHORT_PULSE_MS: f64 = 0.2;
/// How much higher the shortest pulse may be (typical).
const SHORT_PULSE_FACTOR: f64 = 4.0;
/// Room for rounding where a load stands just on a published point, or a share just at the whole.
const ROUNDING: f64 = 1e-9;

/// When a device opens at a steady load, from cold.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TripWindow {
    /// Not before this; `None`: it never opens.
    pub earliest: Option<Seconds>,
    /// By this; `None`: no standard makes it open.
    pub latest: Option<Seconds>,
}

impl TripWindow {
    /// It carries the load for ever.
    pub const NEVER: Self = Self { earliest: None, latest: None };
}

/// When a breaker or board fuse of `rated` amps opens at `amps`.
#[must_use]
pub fn trip_window(curve: Curve, rated: Amps, amps: Amps) -> TripWindow {
    window(&points(curve, rated), times(rated, amps))
}

/// When a BS 1362 plug fuse of `rated` amps opens at `amps`. 3 A and 13 A have published gates at
/// higher amps; of other ratings only the conventional currents are known, so the window stays wide.
#[must_use]
pub fn plug_fuse_window(rated: Amps, amps: Amps) -> TripWindow {
    window(&plug_fuse_points(rated), times(rated, amps))
}

/// Whether a device with this window stays up for a setup of `minutes`, from cold: it holds if the
/// earliest is later than the setup, and trips if the latest is within it.
#[must_use]
pub fn outcome(window: TripWindow, minutes: Minutes) -> Outcome {
    Heat::COLD.after(window, minutes).outcome()
}

/// The rating that a thermal breaker keeps at an ambient temperature: half a percent less for each
/// kelvin above 30 °C, never under nothing.
#[must_use]
pub fn warm_rating(rated: Amps, ambient: Celsius) -> Amps {
    let kelvin = (ambient - REFERENCE_AMBIENT).0.max(0.0);
    rated * (1.0 - LOSS_PER_KELVIN * kelvin).max(0.0)
}

/// The magnetic band of a curve, in times the rating: it may open at once from the first, and must
/// from the second (IEC 60898-1). `None` where no standard fixes one.
#[must_use]
pub const fn magnetic_band(curve: Curve) -> Option<(f64, f64)> {
    match curve {
        Curve::B => Some((3.0, 5.0)),
        Curve::C => Some((5.0, 10.0)),
        Curve::D => Some((10.0, 20.0)),
        Curve::Ul | Curve::Gg | Curve::Rewirable => None,
    }
}

/// How much higher than a lasting current an inrush may be before it reaches the magnetic trip: 1
/// from 10 ms up, 4 from 0.2 ms down (typical), and even on log-log paper between (ours).
#[must_use]
pub fn pulse_factor(milliseconds: f64) -> f64 {
    let pulse = milliseconds.clamp(SHORT_PULSE_MS, WHOLE_PULSE_MS);
    SHORT_PULSE_FACTOR.powf((WHOLE_PULSE_MS / pulse).ln() / (WHOLE_PULSE_MS / SHORT_PULSE_MS).ln())
}

/// Peak amps of an inrush of `milliseconds` from which a breaker may open at once: the lower magnetic
/// bound times the pulse factor. `None` where the curve has no published band.
///
/// The bound is in rms amps and is taken as it is for the peak: on the careful side by up to √2.
#[must_use]
pub fn inrush_limit(curve: Curve, rated: Amps, milliseconds: f64) -> Option<Amps> {
    let (lower, _) = magnetic_band(curve)?;
    Some(rated * (lower * pulse_factor(milliseconds)))
}

/// How far consecutive setups have brought a device towards opening, in shares of its two bounds.
///
/// The rule is ours, for the standards publish cold curves only: a setup takes of each bound the share
/// that its minutes are of that bound's time at its amps, and the shares add. The device may have
/// opened when the shares of the earliest reach 1, and has when those of the latest do. At one
/// constant load this is the plain rule: minutes add up. A setup at whose amps a bound never comes
/// takes nothing of it. Cooling is never counted on the careful side: the shares of the earliest stay
/// through it. Those of the latest start again from nothing, since only an overload without a break
/// makes the device open for certain.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Heat {
    /// Share used of the earliest, 0 to 1.
    earliest: f64,
    /// Share used of the latest, 0 to 1.
    latest: f64,
}

impl Heat {
    /// Nothing used.
    pub const COLD: Self = Self { earliest: 0.0, latest: 0.0 };

    /// After `minutes` more at the load that `window` is for.
    #[must_use]
    pub fn after(self, window: TripWindow, minutes: Minutes) -> Self {
        let earliest = window.earliest.map_or(0.0, |bound| share(minutes, bound));
        Self {
            earliest: (self.earliest + earliest).min(1.0),
            latest: window.latest.map_or(0.0, |bound| (self.latest + share(minutes, bound)).min(1.0)),
        }
    }

    /// Whether the device is still up.
    #[must_use]
    pub fn outcome(self) -> Outcome {
        if self.latest >= 1.0 - ROUNDING {
            Outcome::Trips
        } else if self.earliest >= 1.0 - ROUNDING {
            Outcome::MayTrip
        } else {
            Outcome::Holds
        }
    }

    /// What is left of the window that a device would have from cold.
    #[must_use]
    pub fn left_of(self, window: TripWindow) -> TripWindow {
        TripWindow {
            earliest: window.earliest.map(|bound| bound * (1.0 - self.earliest)),
            latest: window.latest.map(|bound| bound * (1.0 - self.latest)),
        }
    }
}

/// Share of a bound that some minutes are, 0 to 1.
fn share(minutes: Minutes, bound: Seconds) -> f64 {
    let lasted = Seconds::from(minutes).max(Seconds::ZERO);
    if lasted.reaches(bound) { 1.0 } else { lasted / bound }
}

/// Times the rating; beyond any bound where there is a load and no rating.
fn times(rated: Amps, amps: Amps) -> f64 {
    amps.max(Amps::ZERO) / rated.max(Amps(f64::MIN_POSITIVE))
}

fn window(points: &Points, times: f64) -> TripWindow {
    if compare(times, 1.0).is_le() {
        return TripWindow::NEVER;
    }
    let past_last = |bound: &[(f64, f64)]| bound.last().is_none_or(|last| compare(times, last.0).is_gt());
    let at_once = points.at_once_from.is_some_and(|from| compare(times, from).is_ge());
    let is_free = at_once || past_last(&points.earliest);
    let earliest = if is_free { 0.0 } else { joined(&points.earliest, times) };
    let reached = points.latest.first().is_some_and(|first| compare(times, first.0).is_ge());
    TripWindow {
        earliest: Some(Seconds(earliest)),
        latest: reached.then(|| Seconds(joined(&points.latest, times))),
    }
}

/// A bound at `times` the rating: its points joined by straight lines on log-log paper, and level
/// before the first and after the last. 0 where there are none.
fn joined(bound: &[(f64, f64)], times: f64) -> f64 {
    let after = bound.iter().position(|point| compare(times, point.0).is_le());
    match after {
        Some(0) => bound[0].1,
        Some(next) => {
            let ((from, start), (to, end)) = (bound[next - 1], bound[next]);
            let along = (times / from).ln() / (to / from).ln();
            start * (end / start).powf(along)
        }
        None => bound.last().map_or(0.0, |last| last.1),
    }
}

/// Compares loads in times the rating, rounding apart.
fn compare(times: f64, point: f64) -> Ordering {
    if (times - point).abs() <= ROUNDING * point { Ordering::Equal } else { times.total_cmp(&point) }
}

#[cfg(test)]
mod tests;
