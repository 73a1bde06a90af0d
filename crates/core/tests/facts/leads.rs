//! Leads.

use super::*;

#[test]
fn a_lead_that_does_not_reach_or_that_the_truck_does_not_have_is_dark() {
    let at = |x: &str, leads: &str| {
        let head = format!("amps = 1\nroom = \"in\"\nat = [{x}, 3]\nleads = {leads}");
        heads("au", "at = [0, 0]", &[&head], LEADS).of("cable-short")
    };
    // 5 + 3 + 2 = 10, 5.1 + 3 + 2 = 10.1
    assert_eq!(at("5", "[\"c\"]"), Vec::<String>::new());
    assert_eq!(at("5.1", "[\"c\"]"), ["dark cable-short head.A"]);
    assert_eq!(at("5", "[]"), ["dark cable-short head.A"]);
    let third = ["amps = 1\nleads = [\"c\"]"; 3];
    heads("au", "ways = 3", &third, LEADS).is("cable-short", &["dark cable-short cable.c"]);
    heads("au", "ways = 3", &third[..2], LEADS).is("cable-short", &[]);
}

#[test]
fn more_than_two_leads_joined_is_a_risk() {
    heads("au", "", &["amps = 1\nleads = [\"d\", \"d\"]"], LEADS).is("chain-long", &[]);
    heads("au", "", &["amps = 1\nleads = [\"d\", \"d\", \"d\"]"], LEADS)
        .is("chain-long", &["risk chain-long head.A"]);
}
