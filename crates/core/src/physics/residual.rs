//! When a residual-current device drops: bands of the standards, room after a ramp test, odds.

mod leakage;
mod odds;
mod sequence;

pub use leakage::{LineLeakage, capacitor_leakage, vector_sum};
pub use odds::{expected_goes, odds_of_ranges};
pub use sequence::{StruckLeakage, odds_of_order};

pub use crate::physics::Outcome;
use crate::physics::breaker::TripWindow;
use crate::plan::RcdClass;
use crate::unit::{MilliAmps, Seconds};

/// A device must not drop up to half of its rating and must drop at all of it (IEC 61008-1,
/// alternating current).
const NO_TRIP_SHARE: f64 = 0.5;
/// A class A ground-fault interrupter must not drop under 4 mA and must drop at 6 mA (UL 943).
const GFCI_BAND: (MilliAmps, MilliAmps) = (MilliAmps(4.0), MilliAmps(6.0));

/// UL 943's longest time runs down to here, as the shock through 500 ohms.
const GFCI_FASTEST: MilliAmps = MilliAmps(264.0);

/// How much more may leak before an RCD drops: it surely holds up to `low`, and surely drops at
/// `high` and over; `None` where no RCD ever dropped.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Room {
    /// It holds up to here.
    pub low: MilliAmps,
    /// It drops from here on.
    pub high: Option<MilliAmps>,
}

/// The band in which a sound device of a class and rating drops.
#[must_use]
pub fn standard_band(class: RcdClass, rated: MilliAmps) -> (MilliAmps, MilliAmps) {
    match class {
        RcdClass::Rcd | RcdClass::Portable => (rated * NO_TRIP_SHARE, rated),
        RcdClass::Gfci => GFCI_BAND,
    }
}

/// The longest that a class A ground-fault interrupter may take at a residual current: (20 mA / I)^1.43
/// seconds (UL 943), and from 264 mA up what it is there.
///
/// The formula's own value also under 6 mA, where the device need not drop: see [`gfci_window`].
/// Nothing flowing gives 0 s: ask only where something flows.
#[must_use]
pub fn gfci_longest(residual: MilliAmps) -> Seconds {
    if residual <= MilliAmps::ZERO {
        return Seconds::ZERO;
    }
    Seconds((20.0 / residual.min(GFCI_FASTEST).0).powf(1.43))
}

/// When a class A ground-fault interrupter drops at a residual current (UL 943): under 4 mA never,
/// up to 6 mA perhaps, from there on within [`gfci_longest`].
#[must_use]
pub fn gfci_window(residual: MilliAmps) -> TripWindow {
    let (low, high) = GFCI_BAND;
    if !residual.reaches(low) {
        return TripWindow::NEVER;
    }
    let latest = residual.reaches(high).then(|| gfci_longest(residual));
    TripWindow { earliest: Some(Seconds::ZERO), latest }
}

/// Room left now after a reading that was made while `base_then` leaked, with `base_now` leaking.
///
/// The tester injects a resistive current; what filters leak is capacitive, a quarter turn ahead, so
/// the device saw √(reading² + then²). What leaks later is capacitive again and adds to `base_now`.
#[must_use]
pub fn room_after_reading(reading: MilliAmps, base_then: MilliAmps, base_now: MilliAmps) -> MilliAmps {
    (MilliAmps(reading.0.hypot(base_then.0)) - base_now).max(MilliAmps::ZERO)
}

/// What a peak of leakage does to a device with this room.
#[must_use]
pub fn outcome(peak: MilliAmps, room: Room) -> Outcome {
    if room.high.is_some_and(|high| peak.reaches(high) && !room.low.reaches(peak)) {
        return Outcome::Trips;
    }
    if peak.is_over(room.low) && room.high.is_some() { Outcome::MayTrip } else { Outcome::Holds }
}

/// Chance that a peak drops a device whose threshold is anywhere in its room, each value as likely
/// as the next. An assumption: real devices cluster.
#[must_use]
pub fn odds(peak: MilliAmps, room: Room) -> f64 {
    let Some(high) = room.high else { return 0.0 };
    match outcome(peak, room) {
        Outcome::Holds => 0.0,
        Outcome::Trips => 1.0,
        Outcome::MayTrip => ((peak - room.low) / (high - room.low)).clamp(0.0, 1.0),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const fn room(low: f64, high: f64) -> Room {
        Room { low: MilliAmps(low), high: Some(MilliAmps(high)) }
    }

    #[test]
    fn the_bands_are_those_of_the_standards() {
        // IEC 61008-1: half of the rating to all of it; UL 943 class A: 4 to 6 mA.
        assert_eq!(standard_band(RcdClass::Rcd, MilliAmps(30.0)), (MilliAmps(15.0), MilliAmps(30.0)));
        assert_eq!(standard_band(RcdClass::Portable, MilliAmps(10.0)), (MilliAmps(5.0), MilliAmps(10.0)));
        assert_eq!(standard_band(RcdClass::Gfci, MilliAmps(6.0)), (MilliAmps(4.0), MilliAmps(6.0)));
    }

    #[test]
    fn an_interrupter_drops_only_inside_its_band_and_within_the_time_of_the_standard() {
        // UL 943 class A: must not trip under 4 mA, must trip at 6 mA.
        assert_eq!(gfci_window(MilliAmps(3.9)), TripWindow::NEVER);
        assert_eq!(gfci_window(MilliAmps(4.0)).latest, None);
        assert_eq!(gfci_window(MilliAmps(5.9)).earliest, Some(Seconds::ZERO));
        // By hand: (20 / 6)^1.43 = 5.594 s; (20 / 264)^1.43 = 0.02498 s, and no less above.
        let longest = gfci_window(MilliAmps(6.0)).latest;
        assert!(longest.is_some_and(|seconds| (seconds.0 - 5.593_92).abs() < 1e-4), "{longest:?}");
        assert_eq!(gfci_longest(MilliAmps(1000.0)), gfci_longest(MilliAmps(264.0)));
        assert_eq!(gfci_longest(MilliAmps::ZERO), Seconds::ZERO);
    }

    #[test]
    fn a_reading_over_known_base_leakage_leaves_less_than_it_says() {
        // By hand: √(20² + 8²) − 8 = 13.54 mA, not 20.
        let left = room_after_reading(MilliAmps(20.0), MilliAmps(8.0), MilliAmps(8.0));
        assert!((left.0 - 13.540_659).abs() < 1e-6, "{left:?}");
        assert_eq!(room_after_reading(MilliAmps(20.0), MilliAmps(0.0), MilliAmps(0.0)), MilliAmps(20.0));
    }

    #[test]
    fn odds_rise_evenly_over_the_room() {
        // By hand: (13.5 − 10) / (15 − 10) = 0.7.
        assert!((odds(MilliAmps(13.5), room(10.0, 15.0)) - 0.7).abs() < 1e-12);
        assert_eq!(outcome(MilliAmps(13.5), room(10.0, 15.0)), Outcome::MayTrip);
        assert_eq!(outcome(MilliAmps(10.0), room(10.0, 15.0)), Outcome::Holds);
        assert_eq!(outcome(MilliAmps(15.0), room(10.0, 15.0)), Outcome::Trips);
        assert_eq!(outcome(MilliAmps(99.0), Room { low: MilliAmps(35.0), high: None }), Outcome::Holds);
        assert!(odds(MilliAmps(99.0), Room { low: MilliAmps(35.0), high: None }).abs() < 1e-12);
    }
}
