//! Leakage and the devices that drop for it.

use super::{Checked, explained, house, near, one_circuit};

/// One circuit behind one RCD with these keys and this ramp test, and heads that leak so many
/// milliamps and strike without more.
fn behind(rcd: &str, ramp: &str, leaks: &[f64]) -> String {
    let heads: Vec<String> = leaks
        .iter()
        .enumerate()
        .map(|(at, leak)| {
            format!("[head.H{at}]\namps = 1\nleak_ma = {leak}\nstrike_ma = 0\nsocket = \"G1\"\n")
        })
        .collect();
    let on: Vec<String> = (0..leaks.len()).map(|at| format!("\"H{at}\"")).collect();
    house(
        "uk",
        &format!(
            "[rcd.RA]\n{rcd}\n[circuit.P1]\nsupply = \"house\"\nbreaker_a = 32\ncurve = \"B\"\nrcd = \"RA\"\n\
             [socket.G1]\nroom = \"hall\"\ncircuit = \"P1\"\ntest = \"ok\"\nways = 8\n{ramp}\n{}\
             [setup.day]\nminutes = 60\non = [{}]\n",
            heads.concat(),
            on.join(", ")
        ),
    )
}

#[test]
fn an_uncorrected_head_always_drops_an_interrupter_and_one_fits_where_20_held() {
    // A measured example: 1.15 mA idle + 15.32 mA on strike = 16.47 mA.
    let gfci = behind("class = \"gfci\"", "", &[16.47]);
    Checked::of(&gfci).has("rcd-trips", true);
    // UL 943: (20 / 16.47)^1.43 = 1.32 s.
    let why = explained(&gfci, "rcd.RA.peak_ma");
    assert!(why.contains("time allowed 1.32 s UL 943"), "{why}");
    let held_20 = "ramp = { held_ma = 20, tripped_ma = 25 }";
    let one = Checked::of(&behind("rated_ma = 30", held_20, &[16.47]));
    assert_eq!(one.day_value("rcds.RA.outcome"), "holds");
    near(one.day("rcds.RA.room_ma.0") - one.day("rcds.RA.standing_ma"), 3.53, 1e-9);
    let two = Checked::of(&behind("rated_ma = 30", held_20, &[16.47, 16.47]));
    near(two.finding("rcd-trips")["value"].as_f64().unwrap(), 32.94, 1e-9);
    let held_15 = "ramp = { held_ma = 15, tripped_ma = 20 }";
    Checked::of(&behind("rated_ma = 30", held_15, &[16.47])).has("rcd-standing", true);
}

#[test]
fn a_fridge_that_is_off_gives_back_what_it_leaks() {
    // Fridge on: held 10, dropped at 15. Off: held 20, dropped at 25. 10 mA left with it, 20 without.
    let plan = house(
        "uk",
        "[rcd.RA]\nrated_ma = 30\n\
         [circuit.P1]\nsupply = \"house\"\nbreaker_a = 32\nrcd = \"RA\"\n\
         base = [{ name = \"fridge\", amps = 0.65, owner_can_switch_off = true }]\n\
         [socket.G1]\nroom = \"hall\"\ncircuit = \"P1\"\ntest = \"ok\"\n\
         ramp = [{ held_ma = 10, tripped_ma = 15 }, { held_ma = 20, tripped_ma = 25, off = [\"P1.fridge\"] }]\n\
         [head.A]\namps = 1\nleak_ma = 12\nsocket = \"G1\"\n\
         [setup.day]\nminutes = 60\non = [\"A\"]\n\
         [setup.off]\nminutes = 60\non = [\"A\"]\nbase_off = [\"P1.fridge\"]\n",
    );
    let told = Checked::of(&plan);
    near(told.day("rcds.RA.room_ma.0"), 10.0, 1e-9);
    near(told.0["setups"]["off"]["rcds"]["RA"]["room_ma"][0].as_f64().unwrap(), 20.0, 1e-9);
    let standing = told.finding("rcd-standing");
    assert_eq!(standing["setup"], "day");
}

#[test]
fn two_heads_of_3_5_ma_are_within_30_percent_of_30_ma_and_three_are_not() {
    // BS 7671 531.3.2: 0.30 · 30 = 9 mA. 2 · 3.5 = 7, 3 · 3.5 = 10.5.
    let held_20 = "ramp = { held_ma = 20, tripped_ma = 25 }";
    Checked::of(&behind("rated_ma = 30", held_20, &[3.5, 3.5])).has("rcd-share", false);
    let three = Checked::of(&behind("rated_ma = 30", held_20, &[3.5, 3.5, 3.5]));
    let share = three.finding("rcd-share");
    near(share["value"].as_f64().unwrap(), 10.5, 1e-9);
    near(share["limit"].as_f64().unwrap(), 9.0, 1e-9);
}

#[test]
fn one_discharge_head_alone_starts_as_the_ramp_test_says() {
    // Common practice, no source: dropped at 10 will not start, held 10 takes several goes, held 15 starts.
    let with = |ramp: &str| {
        let plan = one_circuit("au", "breaker_a = 20", &[("B", "class = \"discharge-1k2\"")], 60);
        Checked::of(&plan.replace("{ held_ma = 25, tripped_ma = 30 }", ramp))
            .day_value("rcds.RA.outcome")
            .clone()
    };
    assert_eq!(with("{ held_ma = 0, tripped_ma = 10 }"), "trips");
    assert_eq!(with("{ held_ma = 10, tripped_ma = 15 }"), "may-trip");
    assert_eq!(with("{ held_ma = 15, tripped_ma = 20 }"), "holds");
}
