//! Breakers, fuses and ground-fault interrupters held against values from outside of the project.
//!
//! Tables: `tests/reference`, each with its source. The times at those amps are the standards': IEC
//! 60898-1 table 7 (hours above 63 A from memory), UL 489 (above 30 A at 200 percent from memory),
//! BS 1362, UL 943.

#![expect(clippy::unwrap_used, reason = "a helper that finds nothing fails the test")]
#![expect(clippy::panic, reason = "a helper that finds nothing fails the test")]
#![expect(clippy::disallowed_methods, reason = "the golden tables are files")]

#[path = "golden/table.rs"]
mod table;

use ampwalk_core::physics::breaker::{magnetic_band, plug_fuse_window, trip_window};
use ampwalk_core::physics::residual::gfci_longest;
use ampwalk_core::plan::Curve;
use ampwalk_core::unit::{Amps, MilliAmps};

use table::Golden;

const HOUR: f64 = 3600.0;
/// Closed forms: 1e-4 of the value.
const CLOSED: fn(f64) -> f64 = |value| 1e-4 * value.abs();

fn curve(word: &str) -> Curve {
    Curve::WORDS.iter().find(|(known, _)| *known == word).unwrap().1
}

#[track_caller]
fn near(ours: f64, theirs: f64) {
    assert!((ours - theirs).abs() <= 1e-6 * theirs.abs().max(1.0), "{ours} is not {theirs}");
}

/// Earliest and latest in seconds; infinite where there is none.
fn window(curve: Curve, rated: f64, amps: f64) -> (f64, f64) {
    let window = trip_window(curve, Amps(rated), Amps(amps));
    let seconds = |bound: Option<ampwalk_core::unit::Seconds>| bound.map_or(f64::INFINITY, |bound| bound.0);
    (seconds(window.earliest), seconds(window.latest))
}

#[test]
fn a_miniature_breaker_opens_in_the_times_of_its_standard_at_the_amps_of_the_table() {
    let mut golden = Golden::read("r05a_iec60898_amps");
    golden.hold(CLOSED, |_, row| {
        let (curve, rated) = (curve(row.text("curve")), row.number("In_A"));
        let hours = if rated > 63.0 { 2.0 * HOUR } else { HOUR };
        let at = |column| window(curve, rated, row.number(column));
        // It holds for the conventional time at 1.13, and has opened by then at 1.45.
        let held = at("I1_nontrip_1.13In_1h");
        near(held.0, hours);
        assert!(held.1.is_infinite());
        near(at("I2_trip_1.45In_lt1h").1, hours);
        // 2.55 times: the table prints the band as "1..60".
        let (earliest, latest) = row.text("I3_trip_time_s").split_once("..").unwrap();
        let opened = at("I3_2.55In");
        near(opened.0, earliest.parse().unwrap());
        near(opened.1, latest.parse().unwrap());
        // From the lower magnetic bound on it may open at once, from the upper one it has.
        assert!(at("inst_no_trip_0.1s_at_A").0.abs() < 1e-9);
        near(at("inst_trip_lt0.1s_at_A").1, 0.1);
        let (lower, upper) = magnetic_band(curve).unwrap();
        vec![
            ("I1_nontrip_1.13In_1h", 1.13 * rated),
            ("I2_trip_1.45In_lt1h", 1.45 * rated),
            ("I3_2.55In", 2.55 * rated),
            ("inst_no_trip_0.1s_at_A", lower * rated),
            ("inst_trip_lt0.1s_at_A", upper * rated),
        ]
    });
    golden.checked(150);
}

#[test]
fn b16_c20_and_c32_open_at_the_amps_that_handbooks_print() {
    // IEC 60898-1: 1.13, 1.45, 2.55 times the rating and the band, in amps; computed.
    for (curve, rated, [holds, opens, fast, lower, upper]) in [
        (Curve::B, 16.0, [18.08, 23.2, 40.8, 48.0, 80.0]),
        (Curve::C, 20.0, [22.6, 29.0, 51.0, 100.0, 200.0]),
        (Curve::C, 32.0, [36.16, 46.4, 81.6, 160.0, 320.0]),
    ] {
        assert_eq!(window(curve, rated, holds), (HOUR, f64::INFINITY));
        near(window(curve, rated, opens).1, HOUR);
        near(window(curve, rated, fast).0, 1.0);
        near(window(curve, rated, fast).1, 60.0);
        assert!(window(curve, rated, lower).0.abs() < 1e-9);
        near(window(curve, rated, upper).1, 0.1);
        // Between the points the window lies between theirs.
        let between = window(curve, rated, f64::midpoint(opens, fast));
        assert!(between.0 > 1.0 && between.0 < HOUR && between.1 > 60.0 && between.1 < HOUR, "{between:?}");
    }
}

#[test]
fn a_moulded_case_breaker_carries_its_rating_and_opens_in_the_times_of_ul_489() {
    let mut golden = Golden::read("r05b_ul489_amps");
    golden.hold(CLOSED, |_, row| {
        let rated = row.number("In_A");
        let minutes = |column: &str| -> f64 {
            row.text(column).trim_end_matches(" min").parse::<f64>().unwrap() * 60.0
        };
        let at = |column| window(Curve::Ul, rated, row.number(column));
        assert_eq!(at("100pct_hold_40C_open_air"), (f64::INFINITY, f64::INFINITY));
        near(at("135pct_A").1, minutes("135pct_max_time"));
        near(at("200pct_A").1, minutes("200pct_max_time"));
        vec![("135pct_A", 1.35 * rated), ("200pct_A", 2.0 * rated), ("NEC_80pct_continuous_A", 0.8 * rated)]
    });
    golden.checked(24);
}

#[test]
fn a_plug_fuse_carries_1_6_times_its_rating_for_half_an_hour() {
    let mut golden = Golden::read("r05c_bs1362_amps");
    golden.hold(CLOSED, |_, row| {
        let rated = row.number("In_A");
        let holds = plug_fuse_window(Amps(rated), Amps(row.number("1.6In")));
        near(holds.earliest.unwrap().0, HOUR / 2.0);
        let opens = plug_fuse_window(Amps(rated), Amps(row.number("1.9In")));
        near(opens.latest.unwrap().0, HOUR / 2.0);
        vec![("1.6In", 1.6 * rated), ("1.9In", 1.9 * rated)]
    });
    golden.checked(8);
}

#[test]
fn a_ground_fault_interrupter_opens_within_the_time_of_ul_943() {
    let mut golden = Golden::read("r05d_ul943_time");
    golden.hold(CLOSED, |_, row| vec![("Tmax_s=(20/I)^1.43", gfci_longest(MilliAmps(row.number("I_mA"))).0)]);
    golden.checked(12);
}

#[test]
fn four_fifths_of_a_rating_are_the_watts_of_the_table() {
    // NEC 210.20(A); the assessment's own factor is `continuous_factor` of the region.
    let factor = ampwalk_core::library::RegionCode::Us.region().continuous_factor.unwrap();
    let mut golden = Golden::read("r05e_nec_continuous_watts");
    golden.hold(CLOSED, |_, row| {
        let (volts, rated) = (row.number("V"), row.number("In"));
        vec![("Imax_3h_A", factor * rated), ("Wmax_pf1_3h", factor * rated * volts)]
    });
    golden.checked(14);
}
