//! Leads and reels.

use super::{Checked, near, one_circuit};

fn with_lead(lead: &str, head: &str) -> String {
    let head = format!("{head}\nleads = [\"long\"]");
    let plan = one_circuit("eu", "breaker_a = 16\ncurve = \"C\"", &[("A", &head)], 60);
    format!("{plan}[cable.long]\nplug = \"eu-16\"\n{lead}\n")
}

#[test]
fn two_kilowatts_over_50_m_want_2_5_square_millimetres() {
    // 8.70 A · 50 m · 32 mV/A/m = 13.9 V, 6.0 %; 19 mV/A/m: 8.26 V, 3.6 % (BS 7671 table 4F3B, within its
    // rounding and what a filament draws less, 0.3 points).
    let thin = Checked::of(&with_lead("length_m = 50\nmm2 = 1.5", "class = \"tungsten-2k\""));
    near(thin.day("heads.A.drop_percent"), 6.0, 0.3);
    thin.has("drop-high", true);
    let thick = Checked::of(&with_lead("length_m = 50\nmm2 = 2.5", "class = \"tungsten-2k\""));
    near(thick.day("heads.A.drop_percent"), 3.6, 0.3);
    thick.has("drop-high", false);
}

#[test]
fn two_kilowatts_melt_a_reel_that_is_wound_up() {
    // A label: 500 W wound, 2300 W unwound, at 230 V 2.17 and 10 A; 2 kW are 8.70 A.
    let reel = "length_m = 25\nmm2 = 1.5\nrated_a = 10\nreel_rated_a = 2.17";
    let wound = Checked::of(&with_lead(&format!("{reel}\non_reel = true"), "class = \"tungsten-2k\""));
    let hot = wound.finding("cable-hot");
    near(hot["value"].as_f64().unwrap(), 8.70, 0.005);
    near(hot["limit"].as_f64().unwrap(), 2.17, 1e-9);
    assert_eq!(hot["severity"], "danger");
    Checked::of(&with_lead(reel, "class = \"tungsten-2k\"")).has("cable-hot", false);
}
