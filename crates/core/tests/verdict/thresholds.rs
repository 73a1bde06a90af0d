//! Plans that differ in one number: the answer flips where the arithmetic says.

use ampwalk_core::solve::verdict::Need;

use super::{answer, house, is_no, is_not_so, one_socket, setup};

/// Heads by watts at power factor 1 and without leakage, each unclassed.
fn head(id: &str, keys: &str) -> String {
    format!("[head.{id}]\n{keys}\nroom = \"hall\"\n")
}

#[test]
fn an_outlet_of_16_a_takes_16_a_and_no_more() {
    // CEE 7/3: 16 A. The breaker of 20 A would take both.
    let plan = |amps: f64| {
        let rest =
            [one_socket("breaker_a = 20", ""), head("A", &format!("amps = {amps}")), setup(60, &["A"])];
        house("eu", &rest.concat())
    };
    is_no(&plan(16.0));
    is_not_so(&plan(16.1), "outlet-over", 16.1, 16.0);
}

#[test]
fn a_breaker_of_16_a_with_4_a_on_it_takes_12_a() {
    // 4 + 12 = 16, 4 + 12.1 = 16.1.
    let plan = |amps: f64| {
        let circuit = "breaker_a = 16\nbase = [{ name = \"till\", amps = 4 }]";
        let rest = [one_socket(circuit, ""), head("A", &format!("amps = {amps}")), setup(60, &["A"])];
        house("eu", &rest.concat())
    };
    is_no(&plan(12.0));
    is_not_so(&plan(12.1), "breaker-over", 16.1, 16.0);
}

#[test]
fn thirteen_amps_burn_on_a_us_15_a_breaker_for_179_minutes_and_not_for_180() {
    // NEC 210.20(A): 0.8 · 15 = 12 A from three hours on.
    let plan = |minutes: u32| {
        let rest = [one_socket("breaker_a = 15", ""), head("A", "amps = 13"), setup(minutes, &["A"])];
        house("us", &rest.concat())
            .replace("class = \"rcd\"", "class = \"gfci\"")
            .replace("rated_ma = 30\n", "")
    };
    is_no(&plan(179));
    is_not_so(&plan(180), "breaker-over", 13.0, 12.0);
}

/// A head that leaks and strikes so much, on an RCD that held 10 mA and dropped at 15.
fn leaking(leak: f64, strike: f64) -> String {
    let rest = [
        one_socket("breaker_a = 16", "")
            .replace("held_ma = 25, tripped_ma = 30", "held_ma = 10, tripped_ma = 15"),
        head("A", &format!("amps = 1\nleak_ma = {leak}\nstrike_ma = {strike}")),
        setup(60, &["A"]),
    ];
    house("eu", &rest.concat())
}

#[test]
fn what_leaks_all_the_time_stays_under_the_step_that_held() {
    is_no(&leaking(10.0, 0.0));
    is_not_so(&leaking(10.1, 0.0), "rcd-standing", 10.1, 10.0);
}

#[test]
fn a_strike_may_pass_the_step_that_held_and_not_reach_the_one_that_tripped() {
    // 3.5 + 11.4 = 14.9 mA may drop it: a risk, and a generator is no answer to a risk. At 15 it drops.
    let may = is_no(&leaking(3.5, 11.4));
    // (14.9 - 10) / (15 - 10) = 0.98.
    assert!((may.house.objective.odds - 0.98).abs() < 1e-6, "{}", may.house.objective.odds);
    assert!(may.summary.contains("risk"), "{}", may.summary);
    is_not_so(&leaking(3.5, 11.5), "rcd-trips", 15.0, 15.0);
}

/// An Italian meter of 3 kW with one head of so many watts on it, for so long.
fn metered(watts: f64, minutes: u32) -> String {
    let rest = [
        one_socket("breaker_a = 25", "outlet = \"cee-32\""),
        head("A", &format!("watts = {watts}\nplug = \"cee-32\"")),
        setup(minutes, &["A"]),
    ];
    house("it", &rest.concat()).replace("kind = \"mains\"\n", "kind = \"mains\"\ncontract_kw = 3\n")
}

#[test]
fn a_contract_of_3_kw_bears_a_tenth_more_for_as_long_as_anybody_wants() {
    // 1.1 · 3 = 3.3 kW (public press and grid pages).
    is_no(&metered(3300.0, 600));
    is_not_so(&metered(3310.0, 600), "contract-over", 3.31, 3.0);
}

#[test]
fn a_contract_of_3_kw_bears_a_third_more_for_180_minutes() {
    is_no(&metered(3900.0, 180));
    let not = is_not_so(&metered(3900.0, 181), "contract-over", 3.9, 3.0);
    // One minute less is a way out.
    let way = not.ways_out.iter().find(|way| way.unit == "min").unwrap();
    assert!((way.gains.unwrap() - 1.0).abs() < 1e-9 && way.action.contains("180 min"), "{}", way.action);
}

#[test]
fn over_a_third_more_the_contract_is_cut_at_once() {
    // 1.33 · 3 = 3.99 kW.
    is_no(&metered(3990.0, 60));
    is_not_so(&metered(4000.0, 60), "contract-over", 4.0, 3.0);
}

/// Two circuits of one line, with a head on each, and so much on the main switch.
fn mains(limit: f64, a: &str, b: &str) -> String {
    let circuit =
        |id: &str| one_socket("breaker_a = 16", "").replace("G1", id).replace("P1", &format!("P{id}"));
    let second = circuit("G2").replace("[rcd.RA]\nrated_ma = 30\nclass = \"rcd\"\n", "");
    let rest = [circuit("G1"), second, head("A", a), head("B", b), setup(60, &["A", "B"])];
    house("eu", &rest.concat())
        .replace("kind = \"mains\"\n", &format!("kind = \"mains\"\nlimit_a = {limit}\n"))
}

#[test]
fn a_main_switch_of_20_a_takes_10_and_10_and_not_a_tenth_more() {
    is_no(&mains(20.0, "amps = 10", "amps = 10"));
    is_not_so(&mains(20.0, "amps = 10", "amps = 10.1"), "main-over", 20.1, 20.0);
}

#[test]
fn a_line_carries_phasors_and_not_plain_sums() {
    // 10 A in phase and 10 A at a power factor of 0.6, that is 6 in phase and 8 across: √(16² + 8²) = 17.889.
    let plan = |limit| mains(limit, "amps = 10", "amps = 10\npf = 0.6");
    is_no(&plan(17.9));
    let sum = 16_f64.hypot(8.0);
    is_not_so(&plan(17.8), "main-over", sum, 17.8);
}

/// A head of 10 A at the end of a lead of 2.5 mm² and this length.
fn at_the_end(length: f64, metres_away: f64) -> String {
    let rest = [
        one_socket("breaker_a = 16", ""),
        format!("[cable.a]\nlength_m = {length}\nmm2 = 2.5\ncount = 1\n"),
        head("A", &format!("amps = 10\nload = \"resistive\"\nat = [{metres_away}, 0]")),
        setup(60, &["A"]),
    ];
    house("eu", &rest.concat())
}

#[test]
fn a_lead_may_lose_4_percent() {
    // IEC 60228: 7.98 Ω/km at 20 °C, · 1.1965 = 9.548 at 70 °C. There and back, 50 m: 0.9548 Ω against 23 Ω:
    // 0.9548 / 23.9548 = 3.986 %. 50.4 m: 0.96245 / 23.96245 = 4.0165 %.
    is_no(&at_the_end(50.0, 20.0));
    let ohms = 2.0 * 50.4 * 7.98 * 1.1965 / 1000.0;
    let lost: f64 = 100.0 * ohms / (23.0 + ohms);
    assert!((lost - 4.0165).abs() < 1e-3);
    let not = answer(&at_the_end(50.4, 20.0));
    assert_ne!(not.need, Need::No);
    let why = not.reason.unwrap();
    assert_eq!(why.limit, "drop-high", "{}", why.text);
    assert!(
        (why.needed.unwrap() - lost).abs() < 0.01 && (why.there.unwrap() - 4.0).abs() < 1e-9,
        "{}",
        why.text
    );
}

#[test]
fn a_lead_of_10_m_reaches_8_m_and_its_two_ends() {
    // |Δx| + 2 m for the ends.
    is_no(&at_the_end(10.0, 8.0));
    let not = is_not_so(&at_the_end(10.0, 8.1), "cable-short", 10.1, 10.0);
    // A lead of 15 m is a way out.
    assert!(
        not.ways_out.iter().any(|way| way.unit == "m" && way.action.contains("15 m")),
        "{:?}",
        not.ways_out
    );
}

#[test]
fn two_ways_take_two_plugs() {
    let plan = |on: &[&str]| {
        let heads: String = ["A", "B", "C"].iter().map(|id| head(id, "amps = 1")).collect();
        house("eu", &[one_socket("breaker_a = 16", "ways = 2"), heads, setup(60, on)].concat())
    };
    is_no(&plan(&["A", "B"]));
    is_not_so(&plan(&["A", "B", "C"]), "socket-full", 3.0, 2.0);
}

#[test]
fn a_timed_circuit_does_until_it_is_switched_off() {
    let plan = |minutes: u32| {
        let circuit = "breaker_a = 16\nhours = [\"06:00\", \"22:00\"]";
        let rest = [one_socket(circuit, ""), head("A", "amps = 1"), setup(minutes, &["A"])];
        house("eu", &rest.concat()).replace("[setup.day]\n", "[setup.day]\nstart = \"20:00\"\n")
    };
    is_no(&plan(120));
    let not = answer(&plan(121));
    assert_ne!(not.need, Need::No);
    assert_eq!(not.reason.unwrap().limit, "hours-out");
}
