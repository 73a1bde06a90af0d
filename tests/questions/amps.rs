//! Amps, outlets, breakers.

use super::{Checked, explained, house, near, one_circuit};

const US_15: &str = "breaker_a = 15\ncurve = \"ul\"";
const US_20: &str = "breaker_a = 20\ncurve = \"ul\"";

/// The outlet of the socket in `one_circuit`.
fn on_outlet(plan: &str, outlet: &str) -> String {
    plan.replace("[socket.G1]\n", &format!("[socket.G1]\noutlet = \"{outlet}\"\n"))
}

#[test]
fn a_us_15_a_circuit_carries_one_kilowatt_of_tungsten_all_day() {
    // 1000 / 120 = 8.33 A; all day 0.8 · 15 = 12 A (NEC 210.20(A)), so 3.67 A are left.
    let one = Checked::of(&one_circuit("us", US_15, &[("A", "class = \"tungsten-1k\"")], 360));
    near(one.day("circuits.P1.amps"), 8.33, 0.005);
    near(one.day("circuits.P1.limit_a"), 12.0, 1e-9);
    near(one.day("circuits.P1.free_a"), 3.67, 0.005);
    one.has("breaker-over", false);
    // Two are 16.67 A, 111 % of the rating.
    let heads = [("A", "class = \"tungsten-1k\""), ("B", "class = \"tungsten-1k\"")];
    for minutes in [60, 360] {
        let two = Checked::of(&one_circuit("us", US_15, &heads, minutes));
        near(two.day("circuits.P1.amps"), 16.67, 0.005);
        two.has("breaker-over", true);
    }
    // 1 kW and 650 W are 13.75 A: short only.
    let heads = [("A", "class = \"tungsten-1k\""), ("B", "class = \"tungsten-650\"")];
    let short = Checked::of(&one_circuit("us", US_15, &heads, 170));
    near(short.day("circuits.P1.amps"), 13.75, 0.005);
    short.has("breaker-over", false);
    let long = Checked::of(&one_circuit("us", US_15, &heads, 180));
    near(long.finding("breaker-over")["limit"].as_f64().unwrap(), 12.0, 1e-9);
}

#[test]
fn watts_over_a_round_number_of_volts_are_off_by_what_the_power_factor_hides() {
    // 2000 W: 16.67 A at 120 V (on paper, by 100, 20), 8.70 A at 230 V (by 200 10, by 250 8).
    let amps = |region: &str, class: &str| {
        let head = format!("class = \"{class}\"");
        Checked::of(&one_circuit(region, "breaker_a = 32", &[("A", &head)], 60)).day("heads.A.amps")
    };
    near(amps("us", "tungsten-2k"), 16.67, 0.005);
    near(amps("eu", "tungsten-2k"), 8.70, 0.005);
    // 1350 W of an uncorrected 1.2 kW head at λ 0.60 and 120 V: 18.75 A, where paper says 12.
    near(amps("us", "discharge-1k2-plain"), 18.75, 0.005);
}

#[test]
fn a_2_5_kw_head_goes_alone_on_a_uk_plug_and_a_4_kw_head_on_none() {
    // 2700 / (230 · 0.98) = 11.98 A: 1.02 A left in a 13 A plug; an LED of 1.51 A does not join it.
    let alone = Checked::of(&one_circuit(
        "uk",
        "breaker_a = 32\ncurve = \"B\"",
        &[("A", "class = \"discharge-2k5\"")],
        60,
    ));
    near(alone.day("heads.A.amps"), 11.98, 0.005);
    alone.has("outlet-over", false);
    let block = "leads = [\"four\"]";
    let both = one_circuit(
        "uk",
        "breaker_a = 32\ncurve = \"B\"",
        &[
            ("A", &format!("class = \"discharge-2k5\"\n{block}")),
            ("B", &format!("class = \"led-300\"\n{block}")),
        ],
        60,
    );
    let joined =
        Checked::of(&format!("{both}[block.four]\nplug = \"uk-13\"\nways = 4\nrated_a = 13\nfuse_a = 13\n"));
    let over = joined.finding("outlet-over");
    near(over["value"].as_f64().unwrap(), 13.49, 0.005);
    near(over["limit"].as_f64().unwrap(), 13.0, 1e-9);
    // 4300 / (230 · 0.98) = 19.08 A: no 13 A outlet at all.
    let large = Checked::of(&one_circuit(
        "uk",
        "breaker_a = 32\ncurve = \"B\"",
        &[("A", "class = \"discharge-4k\"")],
        60,
    ));
    near(large.finding("outlet-over")["value"].as_f64().unwrap(), 19.08, 0.005);
    // 2 kW on one plug is an everyday load: 8.70 A, nothing over.
    let small = Checked::of(&one_circuit(
        "uk",
        "breaker_a = 32\ncurve = \"B\"",
        &[("A", "watts = 2000\nload = \"resistive\"")],
        60,
    ));
    small.has("outlet-over", false);
    small.has("breaker-over", false);
}

#[test]
fn two_2_kw_heads_on_16_a_are_refused_although_the_breaker_may_hold() {
    // 17.39 A = 1.09 In, under 1.13 In = 18.08 A, which IEC 60898-1 lets stand for an hour.
    let heads = [("A", "class = \"tungsten-2k\""), ("B", "class = \"tungsten-2k\"")];
    let plan = one_circuit("eu", "breaker_a = 16\ncurve = \"B\"", &heads, 50);
    let told = Checked::of(&plan);
    near(told.day("circuits.P1.amps"), 17.39, 0.005);
    told.has("breaker-over", true);
    assert_eq!(told.day_value("circuits.P1.breaker"), "holds");
    near(told.day("circuits.P1.trip_window_s.0"), 3600.0, 1e-6);
    let why = explained(&plan, "P1.trip_window_s");
    assert!(why.contains("17.39 / 16 = 1.087 times the rating: not before 60 min, perhaps never"), "{why}");
}

#[test]
fn an_uncorrected_1_2_kw_head_takes_a_us_20_a_circuit_alone_and_for_short() {
    // 18.75 A: over a 15 A circuit, within a 20 A one, over 0.8 of it. Corrected 11.48 A: 12 A all day.
    let plain = [("A", "class = \"discharge-1k2-plain\"")];
    let on = |breaker: &str, minutes: u32, heads: &[(&str, &str)]| {
        Checked::of(&on_outlet(&one_circuit("us", breaker, heads, minutes), "us-20"))
    };
    on(US_15, 60, &plain).has("breaker-over", true);
    on(US_20, 60, &plain).has("breaker-over", false);
    on(US_20, 200, &plain).has("breaker-over", true);
    let corrected = on(US_15, 360, &[("A", "class = \"discharge-1k2\"")]);
    near(corrected.day("heads.A.amps"), 11.48, 0.005);
    corrected.has("breaker-over", false);
}

#[test]
fn a_breaker_after_minutes_to_hours_is_an_overload_of_more_than_1_13() {
    // IEC 60898-1: 1.13 · 20 = 22.6 A, 1.45 · 20 = 29 A. 26 A = 1.3 In: between 1 s and an hour.
    let plan = one_circuit("au", "breaker_a = 20\ncurve = \"C\"", &[("A", "amps = 26")], 60);
    let told = Checked::of(&plan);
    assert_eq!(told.day_value("circuits.P1.breaker"), "may-trip");
    let earliest = told.day("circuits.P1.trip_window_s.0");
    assert!((60.0..3600.0).contains(&earliest), "{earliest}");
    let why = explained(&plan, "P1.trip_window_s");
    assert!(why.contains("26 / 20 = 1.3 times the rating"), "{why}");
    assert!(why.contains("1.13 In = 22.6 A") && why.contains("1.45 In = 29 A"), "{why}");
}

#[test]
fn the_largest_start_goes_first() {
    // 6.8 → 10.8, 2.8 and 8.7 A on 20 A: the first one first peaks at 18.3, last at 11.5 + 10.8 = 22.3.
    let heads = [("L", "amps = 2.8"), ("T", "amps = 8.7"), ("D", "amps = 6.8\nstart_a = 10.8")];
    let plan = one_circuit("au", "breaker_a = 20\ncurve = \"C\"", &heads, 60);
    let best = Checked::of(&plan);
    near(best.day("circuits.P1.start_peak_a"), 18.3, 1e-9);
    assert_eq!(best.day_value("strike_order")[0], "D");
    best.has("start-over", false);
    let why = explained(&plan, "P1.start_peak_a");
    assert!(why.contains("as D is struck 10.8 A, then 6.8"), "{why}");
    let last = Checked::of(&format!("{plan}strike = [\"L\", \"T\", \"D\"]\n"));
    let over = last.finding("start-over");
    near(over["value"].as_f64().unwrap(), 22.3, 1e-9);
}

#[test]
fn a_650_w_lamp_is_too_much_for_a_600_w_dimmer_and_electronics_are_wrong_on_any() {
    // The dimmer's watts, not the breaker, are the limit (from memory: wall dimmers 250 to 600 W).
    let dimmed = |class: &str| {
        let head = format!("class = \"{class}\"");
        Checked::of(&one_circuit("eu", "breaker_a = 16\ndimmer_w = 600", &[("A", &head)], 60))
    };
    assert_eq!(dimmed("tungsten-650").finding("dimmed")["value"], 650.0);
    dimmed("tungsten-300").has("dimmed", false);
    dimmed("led-300").has("dimmed", true);
    dimmed("discharge-575").has("dimmed", true);
}

#[test]
fn two_us_kitchen_circuits_give_16_a_each_for_a_long_day_less_the_fridge() {
    // NEC 210.11/210.52 (from memory): two 20 A circuits; 0.8 · 20 = 16 A, 1920 W each, 3840 W in all.
    let circuit = |id: &str, base: &str| {
        format!("[circuit.{id}]\nsupply = \"house\"\nbreaker_a = 20\ncurve = \"ul\"\nrcd = \"GF\"\n{base}")
    };
    let socket = |id: &str, circuit: &str| {
        format!(
            "[socket.{id}]\nroom = \"hall\"\noutlet = \"us-20\"\ncircuit = \"{circuit}\"\ntest = \"ok\"\n"
        )
    };
    let plan = house(
        "us",
        &[
            "[rcd.GF]\nclass = \"gfci\"\n".to_owned(),
            circuit("K1", "base = [{ name = \"fridge\", amps = 5 }]\n"),
            circuit("K2", ""),
            socket("A1", "K1"),
            socket("B1", "K2"),
            "[head.A]\namps = 10\nleak_ma = 4.5\nsocket = \"A1\"\n".to_owned(),
            "[head.B]\namps = 10\nsocket = \"B1\"\n[setup.day]\nminutes = 360\non = [\"A\", \"B\"]\n"
                .to_owned(),
        ]
        .concat(),
    );
    let told = Checked::of(&plan);
    near(told.day("circuits.K1.limit_a") + told.day("circuits.K2.limit_a"), 3840.0 / 120.0, 1e-9);
    near(told.day("circuits.K1.free_a"), 1.0, 1e-9);
    // UL 943 class A: it holds under 4 mA, and may drop from there.
    near(told.day("rcds.GF.room_ma.0"), 4.0, 1e-9);
    near(told.finding("rcd-standing")["limit"].as_f64().unwrap(), 4.0, 1e-9);
}

#[test]
fn four_drivers_on_one_plug_open_a_b16_that_would_carry_five() {
    // 60 A peak of 0.2 ms, which a breaker bears four times as high: floor(4 · 3 · 16 / 60) = 3 behind B16,
    // floor(4 · 5 · 16 / 60) = 5 behind C16. Where it lasts, floor(48 / 60) = 0. Running, 16 / 2.84 A = 5.
    let at_once = |curve: &str, heads: usize, milliseconds: f64| {
        let keys = format!("class = \"led-600\"\ninrush_ms = {milliseconds}\nleads = [\"many\"]");
        let ids: Vec<String> = (0..heads).map(|at| format!("H{at}")).collect();
        let heads: Vec<(&str, &str)> = ids.iter().map(|id| (id.as_str(), keys.as_str())).collect();
        let breaker = format!("breaker_a = 16\ncurve = \"{curve}\"");
        let plan = one_circuit("eu", &breaker, &heads, 60) + "[block.many]\nways = 8\n";
        Checked::of(&plan)
    };
    at_once("B", 3, 0.2).has("breaker-inrush", false);
    let four = at_once("B", 4, 0.2);
    assert!(four.finding("breaker-inrush")["do"].as_str().unwrap().starts_with("3 at one go at most"));
    four.has("breaker-over", false);
    at_once("B", 1, 10.0).has("breaker-inrush", true);
    at_once("C", 5, 0.2).has("breaker-inrush", false);
    at_once("C", 6, 0.2).has("breaker-inrush", true);
}
