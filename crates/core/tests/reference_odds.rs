//! Leakage and odds of residual-current devices held against values from outside of the project.
//!
//! Tables: `tests/reference`, each with its source. Tolerances: exact odds 1e-5, Monte Carlo 0.003,
//! closed forms 1e-4 of the value or half of the last printed digit.

#![expect(clippy::unwrap_used, reason = "a helper that finds nothing fails the test")]
#![expect(clippy::panic, reason = "a helper that finds nothing fails the test")]
#![expect(clippy::disallowed_methods, reason = "the golden tables are files")]

#[path = "golden/table.rs"]
mod table;

use ampwalk_core::physics::residual::{
    Room, capacitor_leakage, expected_goes, odds_of_ranges, standard_band, vector_sum,
};
use ampwalk_core::plan::{RcdClass, Wiring};
use ampwalk_core::unit::{Hertz, Leakage, MilliAmps, NanoFarads, Volts};
use proptest::prelude::*;

use table::{Golden, Row};

/// Closed forms: 1e-4 of the value.
fn closed(value: f64) -> f64 {
    1e-4 * value.abs()
}

fn near(ours: f64, theirs: f64, tolerance: f64) {
    assert!((ours - theirs).abs() <= tolerance, "{ours} is not {theirs} within {tolerance}");
}

fn range(low: f64, high: f64) -> Leakage {
    Leakage { low: MilliAmps(low), high: MilliAmps(high) }
}

fn room(low: f64, high: f64) -> Room {
    Room { low: MilliAmps(low), high: Some(MilliAmps(high)) }
}

fn odds_of_row(row: &Row<'_>) -> f64 {
    let heads = row.text("n").parse().unwrap();
    let leakages = vec![range(row.number("leak_lo_mA"), row.number("leak_hi_mA")); heads];
    odds_of_ranges(&leakages, room(row.number("thr_lo"), row.number("thr_hi")))
}

#[test]
fn ten_heads_trip_a_device_of_thirty_milliamperes_with_odds_of_0_274165() {
    // Exact rational Irwin–Hall; Monte Carlo of 400 000 agrees. The bands are those of IEC 61008-1 and
    // UL 943, the uniform threshold is an assumption. Sure: computed.
    let of = |class, rated: f64, heads: usize| {
        let (low, high) = standard_band(class, MilliAmps(rated));
        odds_of_ranges(&vec![range(0.3, 3.5); heads], Room { low, high: Some(high) })
    };
    for (heads, odds) in [(6, 0.003_349), (8, 0.076_802), (10, 0.274_165), (12, 0.519_641), (16, 0.914_179)] {
        near(of(RcdClass::Rcd, 30.0, heads), odds, 1e-6);
    }
    for (heads, odds) in [(1, 0.0), (2, 0.211_589), (4, 0.907_255)] {
        near(of(RcdClass::Gfci, 6.0, heads), odds, 1e-6);
    }
    // By symmetry: exactly one half.
    near(odds_of_ranges(&[range(0.5, 1.0); 10], room(5.0, 10.0)), 0.5, 1e-12);
    // Odds 0.274165 take 1/(1 − 0.274165) = 1.37773 goes.
    near(expected_goes(of(RcdClass::Rcd, 30.0, 10)).unwrap(), 1.377_73, 1e-5);
}

#[test]
fn odds_are_those_of_exact_fractions() {
    // Sure: computed in fractions of whole numbers.
    let mut golden = Golden::read("r04_rcd_leakage_probability");
    // No more than half of the sixth decimal, which is less than 1e-5.
    golden.hold(|_| 0.0, |_, row| vec![("P_exact", odds_of_row(row))]);
    golden.checked(144);
}

#[test]
fn odds_are_those_of_many_throws() {
    // Monte Carlo of 400 000. Sure: computed.
    let mut golden = Golden::read("r04_rcd_leakage_probability");
    golden.hold(|_| 0.003, |_, row| vec![("P_montecarlo_400k", odds_of_row(row))]);
    golden.checked(144);
}

#[test]
fn leakages_of_three_lines_add_as_phasors_at_the_fundamental() {
    // Sure: computed.
    let mut golden = Golden::read("r04b_three_phase_leakage_vector");
    golden.hold(closed, |_, row| {
        let lines = ["L1_mA", "L2_mA", "L3_mA"].map(|column| MilliAmps(row.number(column)));
        vec![("residual_mA_fundamental_vector", vector_sum(Wiring::Star, lines).0)]
    });
    golden.checked(5);
}

#[test]
fn filters_leak_by_volts_frequency_and_capacitance() {
    // Sure: 2π·f·C·V.
    let mut golden = Golden::read("r04c_ycap_leakage");
    golden.hold(closed, |_, row| {
        let capacitance = NanoFarads(row.number("C_nF_line_to_PE"));
        let leakage = capacitor_leakage(Volts(row.number("V")), Hertz(row.number("f_Hz")), capacitance);
        vec![("leak_mA", leakage.0)]
    });
    golden.checked(42);
}

/// Throws of a seeded dice, each from 0 to 1 (the mixing steps of `SplitMix64`, public domain).
fn dice(seed: u64) -> impl FnMut() -> f64 {
    let mut state = seed;
    move || {
        state = state.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut mixed = state;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        mixed ^= mixed >> 31;
        f64::from(u32::try_from(mixed >> 32).unwrap()) / 4_294_967_296.0
    }
}

fn throws(leakages: &[Leakage], low: f64, high: f64, seed: u64) -> f64 {
    const THROWS: u32 = 100_000;
    let mut throw = dice(seed);
    let mut trips = 0;
    for _ in 0..THROWS {
        let sum: f64 = leakages.iter().map(|one| one.low.0 + (one.high - one.low).0 * throw()).sum();
        trips += u32::from(sum >= low + (high - low) * throw());
    }
    f64::from(trips) / f64::from(THROWS)
}

/// A few leakages, some of them points.
fn leakages(most: usize) -> impl Strategy<Value = Vec<Leakage>> {
    let one = (0.0..8.0_f64, prop_oneof![Just(0.0), 0.001..6.0_f64])
        .prop_map(|(low, width)| range(low, low + width));
    prop::collection::vec(one, 1..=most)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]
    #[test]
    fn odds_equal_those_of_a_hundred_thousand_throws(
        leakages in leakages(6), low in 0.5..25.0_f64, width in 0.5..15.0_f64, seed in any::<u64>(),
    ) {
        // A hundred thousand throws are off by 0.0016 at most on average: 0.01 is six times that.
        let high = low + width;
        let (ours, thrown) = (odds_of_ranges(&leakages, room(low, high)), throws(&leakages, low, high, seed));
        prop_assert!((ours - thrown).abs() < 0.01, "{} {}", ours, thrown);
    }
}

proptest! {
    #[test]
    fn odds_lie_from_none_to_certain_and_rise_with_each_leakage(
        leakages in leakages(64), low in 0.0..300.0_f64, width in 0.0..100.0_f64,
        which in any::<prop::sample::Index>(), lift in 0.0..5.0_f64, widen in 0.0..5.0_f64,
    ) {
        let room = room(low, low + width);
        let before = odds_of_ranges(&leakages, room);
        prop_assert!((0.0..=1.0).contains(&before));
        let mut more = leakages.clone();
        let one = which.get(&leakages);
        more[which.index(leakages.len())] =
            range(one.low.0 + lift, one.high.0 + lift + widen);
        // Two unlike ranges under a narrow room are good to 1e-5, all others to 1e-9.
        prop_assert!(odds_of_ranges(&more, room) >= before - 1e-5, "{} {}", before, odds_of_ranges(&more, room));
        prop_assert!(expected_goes(before).is_none_or(|goes| goes >= 1.0));
    }

    #[test]
    fn odds_about_the_mean_are_one_half(leakages in leakages(64), half in 0.01..50.0_f64) {
        let mean: f64 = leakages.iter().map(|one| f64::midpoint(one.low.0, one.high.0)).sum();
        let odds = odds_of_ranges(&leakages, room(mean - half, mean + half));
        prop_assert!((odds - 0.5).abs() < 1e-9, "{}", odds);
    }

    #[test]
    fn odds_of_a_room_and_of_its_mirror_make_one(
        leakages in leakages(12), off in -20.0..20.0_f64, half in 0.5..20.0_f64,
    ) {
        // The sum is as likely above its mean as below it.
        let mean: f64 = leakages.iter().map(|one| f64::midpoint(one.low.0, one.high.0)).sum();
        let at = |middle: f64| odds_of_ranges(&leakages, room(middle - half, middle + half));
        prop_assert!((at(mean + off) + at(mean - off) - 1.0).abs() < 1e-7);
    }

    #[test]
    fn a_vector_sum_is_never_over_the_arithmetic_one(
        lines in prop::array::uniform3(0.0..50.0_f64),
        wiring in prop::sample::select(Wiring::WORDS.map(|(_, wiring)| wiring).to_vec()),
    ) {
        let sum = vector_sum(wiring, lines.map(MilliAmps)).0;
        prop_assert!(sum.is_finite() && sum <= lines.iter().sum::<f64>() + 1e-9);
    }
}
