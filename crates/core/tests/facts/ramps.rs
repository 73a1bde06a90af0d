//! Ramp tests, one discharge head alone: common practice, no source.

use super::*;

#[test]
fn a_first_step_that_trips_lets_no_discharge_head_start() {
    let found = ramp("held_ma = 0, tripped_ma = 10");
    found.is("rcd-trips", &["dark rcd-trips rcd.RA"]);
    // 3.5 mA burning is more than the 0 that surely holds
    found.is("rcd-standing", &["dark rcd-standing rcd.RA"]);
}

#[test]
fn ten_held_and_fifteen_tripped_may_take_several_goes() {
    let found = ramp("held_ma = 10, tripped_ma = 15");
    found.is("rcd-may-trip", &["risk rcd-may-trip rcd.RA"]);
    found.is("rcd-trips", &[]);
    // (13.5 - 10)/(15 - 10)
    near(found.rcd("RA").odds, 0.7);
    assert!(found.text("rcd-may-trip").contains("7 in 10"), "{}", found.text("rcd-may-trip"));
}

#[test]
fn fifteen_held_starts_it() {
    let found = ramp("held_ma = 15, tripped_ma = 20");
    assert_eq!(found.all(), Vec::<String>::new());
    near(found.rcd("RA").peak.0, 13.5);
}

#[test]
fn a_ramp_to_the_end_that_drops_nothing_proves_no_rcd() {
    ramp("held_ma = 35").is("rcd-absent", &["danger rcd-absent socket.G1"]);
    let elsewhere = |region: &str, held: u8| {
        let socket = format!("circuit = \"P1\"\ntest = \"ok\"\nramp = {{ held_ma = {held} }}");
        House { region, socket: &socket, rcd: "", ..House::default() }.assess()
    };
    elsewhere("nz", 35).is("rcd-absent", &["danger rcd-absent socket.G1"]);
    elsewhere("eu", 30).is("rcd-absent", &["danger rcd-absent socket.G1"]);
    elsewhere("us", 10).is("rcd-absent", &["risk rcd-absent socket.G1"]);
}

#[test]
fn a_ramp_that_stopped_early_proves_only_what_held() {
    let found = ramp("held_ma = 20");
    found.is("rcd-absent", &[]);
    // a sound 30 mA device drops at its rating at the latest (IEC 61008-1)
    found.room("RA", 20.0, 30.0);
    ramp("held_ma = 30").is("rcd-absent", &[]);
}

#[test]
fn several_ramps_of_one_rcd_narrow_its_room() {
    let found = House {
        socket: "circuit = \"P1\"\ntest = \"ok\"\nramp = [{ held_ma = 10, tripped_ma = 20 }, { held_ma = 15, tripped_ma = 25 }]",
        ..House::default()
    }
    .assess();
    found.room("RA", 15.0, 20.0);
    found.is("ramp-conflict", &[]);
}

#[test]
fn ramps_that_share_no_window_are_told_and_the_lower_one_is_used() {
    let found = House {
        socket: "circuit = \"P1\"\ntest = \"ok\"\nramp = [{ held_ma = 20, tripped_ma = 25 }, { held_ma = 10, tripped_ma = 15 }]",
        ..House::default()
    }
    .assess();
    found.is("ramp-conflict", &["risk ramp-conflict rcd.RA"]);
    found.room("RA", 10.0, 15.0);
}

#[test]
fn a_ramp_over_known_leakage_leaves_less_than_it_reads() {
    let found = House {
        circuit: "supply = \"house\"\nrcd = \"RA\"\nbase = [{ name = \"fridge\", amps = 0.65, leak_ma = 8 }]",
        socket: "circuit = \"P1\"\ntest = \"ok\"\nramp = { held_ma = 20, tripped_ma = 25 }",
        ..House::default()
    }
    .assess();
    // √(20² + 8²) - 8 = 13.541, √(25² + 8²) - 8 = 18.249
    found.room("RA", 13.541, 18.249);
    // a head that was on at the test counts then, not now: √(20² + 3.5²) = 20.304
    let lit = House {
        socket: "circuit = \"P1\"\ntest = \"ok\"\nramp = { held_ma = 20, tripped_ma = 25, heads_on = [\"A\"] }",
        ..House::default()
    }
    .assess();
    lit.room("RA", 20.304, 25.244);
}

const FRIDGE: &str = "supply = \"house\"\nrcd = \"RA\"\nbase = [{ name = \"fridge\", amps = 0.65 }]";

#[test]
fn a_base_load_of_unknown_leakage_that_is_off_now_leaves_the_lower_end_and_the_rating() {
    let read = |ramp: &str, setup: &str| {
        let socket = format!("circuit = \"P1\"\ntest = \"ok\"\nramp = {ramp}");
        House { circuit: FRIDGE, socket: &socket, setup, ..House::default() }.assess()
    };
    let fridge_off = "minutes = 60\non = [\"A\"]\nbase_off = [\"P1.fridge\"]";
    let with_it = "{ held_ma = 10, tripped_ma = 15 }";
    read(with_it, "minutes = 60\non = [\"A\"]").room("RA", 10.0, 15.0);
    let off_now = read(with_it, fridge_off);
    off_now.room("RA", 10.0, 30.0);
    off_now.is("rcd-may-trip", &["risk rcd-may-trip rcd.RA"]);
    near(off_now.amps("P1").0, 5.9894);
    // read with it off, on now: all that is sure is that no more than the reading is left
    let without_it = "{ held_ma = 20, tripped_ma = 25, off = [\"P1.fridge\"] }";
    read(without_it, fridge_off).room("RA", 20.0, 25.0);
    read(without_it, "minutes = 60\non = [\"A\"]").room("RA", 0.0, 25.0);
    // both: each in its own state
    let both = format!("[{with_it}, {without_it}]");
    read(&both, fridge_off).room("RA", 20.0, 25.0);
    let on = read(&both, "minutes = 60\non = [\"A\"]");
    on.room("RA", 10.0, 15.0);
    on.is("ramp-conflict", &[]);
}

#[test]
fn an_untested_rcd_is_always_a_risk_and_takes_the_standard_s_band() {
    let indoors = House { socket: "circuit = \"P1\"\ntest = \"ok\"", ..House::default() }.assess();
    // IEC 61008-1: 0.5 to 1.0 of the rating
    indoors.room("RA", 15.0, 30.0);
    indoors.is("rcd-untested", &["risk rcd-untested rcd.RA"]);
    let outdoors = House {
        socket: "circuit = \"P1\"\ntest = \"ok\"",
        head: "class = \"discharge-1k2\"\nroom = \"out\"\nsocket = \"G1\"",
        ..House::default()
    }
    .assess();
    outdoors.is("rcd-untested", &["danger rcd-untested rcd.RA"]);
}

#[test]
fn a_ground_fault_interrupter_has_the_band_of_ul_943_whatever_a_ramp_reads() {
    let gfci = |socket: &str, head: &str| {
        House { region: "us", rcd: "class = \"gfci\"", socket, head, ..House::default() }.assess()
    };
    let led = "class = \"led-300\"\nleak_ma = 5\nsocket = \"G1\"";
    let untested = gfci("circuit = \"P1\"\ntest = \"ok\"", led);
    untested.room("RA", 4.0, 6.0);
    // (5 - 4)/(6 - 4)
    near(untested.rcd("RA").odds, 0.5);
    let read = gfci("circuit = \"P1\"\ntest = \"ok\"\nramp = { held_ma = 0, tripped_ma = 10 }", led);
    read.room("RA", 4.0, 6.0);
    // 5 mA is more than 30 % of any such rating, and the rule is not for them
    read.is("rcd-share", &[]);
    read.is("rcd-standing", &["dark rcd-standing rcd.RA"]);
    gfci("circuit = \"P1\"\ntest = \"ok\"", DISCHARGE).is("rcd-trips", &["dark rcd-trips rcd.RA"]);
}
