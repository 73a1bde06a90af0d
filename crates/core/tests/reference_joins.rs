//! Breakers and fuses between and beyond the conventional currents, held against values from outside of
//! the project: the join of the published points worked in Python, and points that no table prints.

#![expect(clippy::unwrap_used, reason = "a helper that finds nothing fails the test")]

use ampwalk_core::physics::Outcome;
use ampwalk_core::physics::breaker::{
    TripWindow, inrush_limit, magnetic_band, outcome, plug_fuse_window, trip_window, warm_rating,
};
use ampwalk_core::physics::residual::gfci_window;
use ampwalk_core::plan::Curve;
use ampwalk_core::unit::{Amps, Celsius, MilliAmps, Minutes, Seconds};

/// Curve, rating, amps, earliest and latest seconds.
const BETWEEN: [(Curve, f64, f64, f64, Option<f64>); 12] = [
    (Curve::B, 16.0, 20.0, 1304.060, None),
    (Curve::B, 16.0, 24.0, 208.270, Some(2815.268)),
    (Curve::B, 16.0, 32.0, 11.523_25, Some(349.447)),
    (Curve::B, 16.0, 44.0, 0.343_08, Some(52.493_28)),
    (Curve::C, 20.0, 25.0, 1304.060, None),
    (Curve::C, 20.0, 30.0, 208.270, Some(2815.268)),
    (Curve::C, 20.0, 40.0, 11.523_25, Some(349.447)),
    (Curve::C, 20.0, 75.0, 0.267_45, Some(27.121_73)),
    (Curve::C, 32.0, 40.0, 1304.060, None),
    (Curve::C, 32.0, 50.0, 138.119, Some(2093.818)),
    (Curve::C, 32.0, 64.0, 11.523_25, Some(349.447)),
    (Curve::C, 32.0, 120.0, 0.267_45, Some(27.121_73)),
];

#[track_caller]
fn near(ours: Option<Seconds>, theirs: f64) {
    let ours = ours.unwrap().0;
    assert!((ours - theirs).abs() <= 1e-4 * theirs, "{ours} is not {theirs}");
}

/// Computed outside of the project, from the points of IEC 60898-1 alone; the join itself is ours.
#[test]
fn between_their_points_b16_c20_and_c32_run_straight_on_log_log_paper() {
    for (curve, rated, amps, earliest, latest) in BETWEEN {
        let window = trip_window(curve, Amps(rated), Amps(amps));
        near(window.earliest, earliest);
        match latest {
            Some(latest) => near(window.latest, latest),
            None => assert_eq!(window.latest, None, "{curve:?}{rated} at {amps} A"),
        }
    }
}

/// IEC 60898-1 table 7: longest times at the lower magnetic bound, and two hours above 63 A, both from
/// memory.
#[test]
fn at_the_lower_magnetic_bound_and_above_63_a_the_times_are_those_of_the_standard() {
    for (curve, small, large) in [(Curve::B, 45.0, 90.0), (Curve::C, 15.0, 30.0), (Curve::D, 4.0, 8.0)] {
        let (lower, _) = magnetic_band(curve).unwrap();
        for (rated, seconds) in [(16.0, small), (32.0, small), (40.0, large), (63.0, large)] {
            near(trip_window(curve, Amps(rated), Amps(rated * lower)).latest, seconds);
        }
        for (rated, hours) in [(63.0, 1.0), (80.0, 2.0), (125.0, 2.0)] {
            near(trip_window(curve, Amps(rated), Amps(rated * 1.13)).earliest, 3600.0 * hours);
            near(trip_window(curve, Amps(rated), Amps(rated * 1.45)).latest, 3600.0 * hours);
        }
    }
}

/// BS 1362: gates of 13 A and 3 A, published (second-hand).
#[test]
fn plug_fuses_blow_inside_the_gates_of_bs_1362() {
    for (amps, earliest, latest) in [(30.0, 1.0, 400.0), (50.0, 0.1, 20.0), (100.0, 0.01, 0.2)] {
        let window = plug_fuse_window(Amps(13.0), Amps(amps));
        near(window.earliest, earliest);
        near(window.latest, latest);
    }
    for (amps, earliest, latest) in [(9.0, 0.02, 80.0), (20.0, 0.0, 0.1), (30.0, 0.0, 0.03)] {
        let window = plug_fuse_window(Amps(3.0), Amps(amps));
        near(window.earliest, earliest);
        near(window.latest, latest);
    }
    // 20.8 A, published: a 13 A fuse may carry it for half an hour, and must not for ever.
    let held = plug_fuse_window(Amps(13.0), Amps(20.8));
    assert_eq!(outcome(held, Minutes(29.0)), Outcome::Holds);
    assert_eq!(outcome(held, Minutes(600.0)), Outcome::MayTrip);
}

/// IEC 60269-1 and -2, class gG, from memory.
#[test]
fn board_fuses_hold_and_blow_at_their_conventional_currents() {
    for (rated, non_fusing, fusing) in
        [(6.0, 9.0, 11.4), (10.0, 15.0, 19.0), (16.0, 20.0, 25.6), (32.0, 40.0, 51.2), (63.0, 78.75, 100.8)]
    {
        let window = |amps: f64| trip_window(Curve::Gg, Amps(rated), Amps(amps));
        near(window(non_fusing).earliest, 3600.0);
        assert_eq!(window(fusing * 0.999_999).latest, None, "{rated}");
        near(window(fusing).latest, 3600.0);
    }
}

/// UL 943 class A: must not drop under 4 mA, must at 6 mA; published.
#[test]
fn an_interrupter_must_drop_from_6_ma_and_must_not_under_4() {
    assert_eq!(gfci_window(MilliAmps(3.99)), TripWindow::NEVER);
    for milliamps in [4.0, 5.0, 5.99] {
        let perhaps = TripWindow { earliest: Some(Seconds::ZERO), latest: None };
        assert_eq!(gfci_window(MilliAmps(milliamps)), perhaps, "{milliamps} mA");
    }
    for (milliamps, seconds) in [(6.0, 5.594), (20.0, 1.0), (264.0, 0.024_98), (500.0, 0.024_98)] {
        near(gfci_window(MilliAmps(milliamps)).latest, seconds);
    }
}

/// Half a percent a kelvin is a rule of thumb: within 0.04 of two makers' published tables.
#[test]
fn heat_takes_about_what_makers_print() {
    for (celsius, printed) in [(40.0, 0.967), (50.0, 0.933), (60.0, 0.883), (55.0, 0.90), (60.0, 0.85)] {
        let kept = warm_rating(Amps(1.0), Celsius(celsius)).0;
        assert!((kept - printed).abs() < 0.04, "{celsius} °C: {kept} against {printed}");
    }
}

/// From the lower magnetic bound a lasting pulse may open a breaker at once: IEC 60898-1, published.
#[test]
fn a_lasting_inrush_is_held_against_the_lower_magnetic_bound() {
    for (curve, rated, lower) in [(Curve::B, 16.0, 48.0), (Curve::C, 20.0, 100.0), (Curve::C, 32.0, 160.0)] {
        assert_eq!(inrush_limit(curve, Amps(rated), 10.0), Some(Amps(lower)));
    }
}
