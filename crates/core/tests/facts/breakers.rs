//! Breakers.

use super::*;

fn drawing(region: &str, amps: f64, breaker: u8) -> Found {
    let head = format!("amps = {amps}\nsocket = \"G1\"");
    let circuit = format!("supply = \"house\"\nbreaker_a = {breaker}\nrcd = \"RA\"");
    House { region, head: &head, circuit: &circuit, ..House::default() }.assess()
}

#[test]
fn a_breaker_is_over_past_its_rating_and_tight_past_four_fifths() {
    drawing("au", 8.0, 10).is("breaker-tight", &[]);
    drawing("au", 8.1, 10).is("breaker-tight", &["risk breaker-tight circuit.P1"]);
    drawing("au", 10.0, 10).is("breaker-over", &[]);
    let over = drawing("au", 10.1, 10);
    over.is("breaker-over", &["dark breaker-over circuit.P1"]);
    over.is("breaker-tight", &[]);
}

#[test]
fn a_warm_board_lowers_the_limit() {
    // 20·(1 - 0.005·(40 - 30))
    near(House { location: "ambient_c = 40", ..House::default() }.assess().limit("s", "P1"), 19.0);
    near(House { location: "ambient_c = 20", ..House::default() }.assess().limit("s", "P1"), 20.0);
}

fn two_setups(region: &str, first: &str, second: &str) -> Found {
    let head = "amps = 10\nsocket = \"G1\"";
    let setup = format!("{first}\non = [\"A\"]");
    let more = format!(
        "[circuit.P2]\nsupply = \"house\"\nbreaker_a = 20\n[socket.G2]\nroom = \"in\"\ncircuit = \"P2\"\n[setup.t]\n{second}\non = [\"A\"]"
    );
    House { region, head, setup: &setup, more: &more, ..House::default() }.assess()
}

#[test]
fn a_load_of_three_hours_lowers_the_limit_to_four_fifths_in_us_and_ca_only() {
    // NEC 210.20(A): the breaker at 125 % of a load of three hours and more
    for (region, limit) in
        [("us", 16.0), ("ca", 16.0), ("au", 20.0), ("uk", 20.0), ("eu", 20.0), ("it", 20.0)]
    {
        let found = two_setups(region, "minutes = 180", "minutes = 10\nsockets = { A = {} }");
        near(found.limit("s", "P1"), limit);
    }
    near(two_setups("us", "minutes = 179", "minutes = 10\nsockets = { A = {} }").limit("s", "P1"), 20.0);
}

#[test]
fn the_three_hours_run_over_setups_that_follow_each_other_on_the_same_circuit() {
    let limits = |first: &str, second: &str| {
        let found = two_setups("us", first, second);
        (found.limit("s", "P1"), found.limit("t", "P1"))
    };
    let morning = "start = \"08:00\"\nminutes = 90";
    near_both(limits(morning, "start = \"09:30\"\nminutes = 90"), (16.0, 16.0));
    near_both(limits("minutes = 90", "minutes = 90"), (16.0, 16.0));
    near_both(limits(morning, "start = \"10:00\"\nminutes = 90"), (20.0, 20.0));
    let elsewhere = "start = \"09:30\"\nminutes = 90\nsockets = { A = { socket = \"G2\" } }";
    near_both(limits(morning, elsewhere), (20.0, 20.0));
    // over midnight
    near_both(limits("start = \"22:30\"\nminutes = 90", "start = \"00:00\"\nminutes = 90"), (16.0, 16.0));
}

#[test]
fn a_start_current_over_the_rating_is_a_risk() {
    let on = |breaker: u8| {
        let circuit = format!("supply = \"house\"\nbreaker_a = {breaker}\nrcd = \"RA\"");
        let head = "class = \"discharge-1k2-magnetic\"\nsocket = \"G1\"";
        House { circuit: &circuit, head, ..House::default() }.assess().of("start-over")
    };
    // 1400/(230·0.9) = 6.7633 A running, 1.6 times that while it runs up: 10.8213
    assert_eq!(on(10), ["risk start-over circuit.P1"]);
    assert_eq!(on(11), Vec::<String>::new());
    assert_eq!(on(6), Vec::<String>::new());
}

#[test]
fn others_on_a_circuit_are_a_note_until_somebody_says_how_much() {
    let others = |keys: &str, rcd: &str| {
        let circuit = format!("supply = \"house\"\nbreaker_a = 10\nrcd = \"RA\"\n{keys}");
        let rcd = format!("rated_ma = 30\n{rcd}");
        House { circuit: &circuit, rcd: &rcd, ..House::default() }.assess()
    };
    let unknown = others("others = true", "");
    unknown.is("reserve-unknown", &["note reserve-unknown rcd.RA", "note reserve-unknown circuit.P1"]);
    others("others = true\nreserve_a = 3", "reserve_ma = 2").is("reserve-unknown", &[]);
    // 5.9894 + 3 fits 10, + 5 does not
    others("reserve_a = 3", "").is("breaker-may-over", &[]);
    others("reserve_a = 5", "").is("breaker-may-over", &["risk breaker-may-over circuit.P1"]);
    near(others("", "reserve_ma = 2").rcd("RA").possible_peak.0, 15.5);
}

#[test]
fn a_base_load_that_its_owner_switched_off_draws_and_leaks_nothing() {
    let base = |setup: &str| {
        House {
            circuit: "supply = \"house\"\nrcd = \"RA\"\nbase = [{ name = \"boiler\", amps = 5, leak_ma = 2 }]",
            socket: "circuit = \"P1\"\ntest = \"ok\"",
            setup,
            ..House::default()
        }
        .assess()
    };
    let on = base("minutes = 60\non = [\"A\"]");
    near(on.amps("P1").0, 10.9894);
    on.room("RA", 13.0, 28.0);
    let off = base("minutes = 60\non = [\"A\"]\nbase_off = [\"P1.boiler\"]");
    near(off.amps("P1").0, 5.9894);
    off.room("RA", 15.0, 30.0);
}
