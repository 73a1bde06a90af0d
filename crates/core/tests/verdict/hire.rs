//! What to hire, by hand.

use ampwalk_core::plan::{Fuel, Wiring};
use ampwalk_core::solve::verdict::Hire;

use super::answer;

/// What to hire for heads where there is no house.
fn hired(region: &str, heads: &[&str], setups: &str) -> Hire {
    let heads: String = heads
        .iter()
        .enumerate()
        .map(|(at, keys)| format!("[head.H{at}]\n{keys}\nroom = \"wood\"\n"))
        .collect();
    let text = format!(
        "ampwalk = 1\n[location]\nregion = \"{region}\"\n[floor.g]\nlevel = 0\n\
         [room.wood]\nfloor = \"g\"\noutdoor = true\n{heads}{setups}"
    );
    answer(&text).hire.unwrap()
}

const NIGHT: &str = "[setup.night]\nminutes = 240\non = [\"H0\"]\n";
const BOTH: &str = "[setup.night]\nminutes = 240\non = [\"H0\", \"H1\"]\n";

#[track_caller]
fn near(value: f64, expected: f64) {
    assert!((value - expected).abs() < 1e-6, "{value} is not {expected}");
}

#[test]
fn a_4_kw_discharge_head_asks_for_5_5_kva_and_gets_6_5() {
    // 4.3 / 0.98 = 4.388 kVA, / 0.8 = 5.485. Petrol: 0.6 l/kWh · 4.3 kW · 4 h = 10.32 l.
    let hire = hired("eu", &["class = \"discharge-4k\""], NIGHT);
    near(hire.computed_kva.0, 4.3 / 0.98 / 0.8);
    assert_eq!((hire.kva.map(|kva| kva.0), hire.wiring, hire.fuel), (Some(6.5), Wiring::One, Fuel::Petrol));
    near(hire.hours, 4.0);
    near(hire.litres.unwrap().0, 10.32);
    // One step of 67 % of it.
    assert!(hire.notes.iter().any(|note| note.contains("one step of 4.4 kVA")), "{:?}", hire.notes);
}

#[test]
fn eighty_percent_sizes_the_hire() {
    // 3.6 / 0.8 = 4.5 kVA exactly; a watt more takes the next size.
    assert_eq!(hired("eu", &["watts = 3600"], NIGHT).kva.map(|kva| kva.0), Some(4.5));
    assert_eq!(hired("eu", &["watts = 3601"], NIGHT).kva.map(|kva| kva.0), Some(6.5));
}

#[test]
fn a_start_may_fill_it_and_not_pass_it() {
    // 10 A run, 18 A start on 230 V: 4.14 kVA while it starts, 2.3 / 0.8 = 2.875 while it runs.
    let hire = hired("eu", &["amps = 10\nstart_a = 18"], NIGHT);
    near(hire.computed_kva.0, 4.14);
}

#[test]
fn heads_that_bend_the_current_ask_for_one_and_a_half_times_the_alternator() {
    // All of it non-linear: 1.5 · 2 = 3 kVA is more than 2 / 0.8 = 2.5 (typical, from memory).
    let hire = hired("eu", &["watts = 1000\npf = 0.5\nspectrum = \"capacitor\""], NIGHT);
    near(hire.computed_kva.0, 3.0);
    near(hired("eu", &["watts = 1000\npf = 0.5"], NIGHT).computed_kva.0, 2.5);
}

#[test]
fn the_largest_setup_sizes_it_and_hours_and_fuel_add_up() {
    // One after the other: 3 kVA and 2 kVA, not 5. 0.6 · (3 · 1 + max(2, 4.5 / 2) · 2) = 0.6 · 7.5 = 4.5 l.
    let setups = "[setup.a]\nminutes = 60\non = [\"H0\"]\n[setup.b]\nminutes = 120\non = [\"H1\"]\n";
    let hire = hired("eu", &["watts = 3000", "watts = 2000"], setups);
    near(hire.computed_kva.0, 3.75);
    near(hire.hours, 3.0);
    near(hire.litres.unwrap().0, 4.5);
}

#[test]
fn over_10_kva_there_are_three_lines_and_the_busiest_one_counts() {
    // 6.45 / 0.98 = 6.582 kVA each: one line would be 16.5 kVA. On three, two lines carry one each:
    // 3 · 6.582 / 0.8 = 24.68 kVA, more than 12.9 kW / 0.8 / 0.8 = 20.2. A set of 30 kVA, diesel.
    let hire = hired("eu", &["class = \"discharge-6k\"", "class = \"discharge-6k\""], BOTH);
    assert_eq!((hire.wiring, hire.fuel), (Wiring::Star, Fuel::Diesel));
    near(hire.computed_kva.0, 3.0 * 6.45 / 0.98 / 0.8);
    assert_eq!(hire.kva.map(|kva| kva.0), Some(30.0));
    // Two legs in the United States: 240 V heads load both.
    let us = hired("us", &["class = \"discharge-4k\"\nvolts = 240\nplug = \"us-240-30\""], NIGHT);
    assert_eq!(us.wiring, Wiring::Split);
    near(us.computed_kva.0, 4.3 / 0.98 / 0.8);
}

#[test]
fn what_no_usual_set_carries_is_said() {
    let hire = hired("eu", &["watts = 300000\nplug = \"cee-125-3\""], NIGHT);
    assert_eq!((hire.kva, hire.litres), (None, None));
    // 300 kW of three lines at a power factor of 0.8 and 80 %: 468.75 kVA.
    near(hire.computed_kva.0, 468.75);
}
