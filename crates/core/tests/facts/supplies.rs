//! Supplies.

use super::*;

#[test]
fn a_main_switch_and_a_generator_s_breaker_are_limits_of_a_line() {
    let limit = |supply: &str| House { supply, ..House::default() }.assess();
    limit("kind = \"mains\"\nlimit_a = 6").is("main-over", &[]);
    limit("kind = \"mains\"\nlimit_a = 5.9").is("main-over", &["dark main-over supply.house"]);
    // 1000·1.3/230 = 5.65 A
    let generator = limit("kind = \"generator\"\nkva = 1.3\nearth = \"bonded\"");
    generator.is("line-over", &["dark line-over supply.house"]);
    generator.is("main-over", &[]);
}

#[test]
fn an_italian_contract_bears_a_third_more_for_three_hours_a_day() {
    // public press and grid pages, for the contract of 3 kW
    let contract = |region: &str, watts: u16, minutes: u16| {
        let head = format!(
            "watts = {watts}\nplug = \"{}\"\nsocket = \"G1\"",
            if region == "it" { "it-16" } else { "au-20" }
        );
        let setup = format!("minutes = {minutes}\non = [\"A\"]");
        House {
            region,
            supply: "kind = \"mains\"\ncontract_kw = 3",
            head: &head,
            setup: &setup,
            ..House::default()
        }
        .assess()
        .of("contract-over")
    };
    let over = ["dark contract-over supply.house"];
    assert_eq!(contract("it", 3300, 10_000), Vec::<String>::new());
    assert_eq!(contract("it", 3900, 180), Vec::<String>::new());
    assert_eq!(contract("it", 3900, 181), over);
    assert_eq!(contract("it", 4000, 1), over);
    // elsewhere no grace is known
    assert_eq!(contract("au", 3000, 600), Vec::<String>::new());
    assert_eq!(contract("au", 3100, 1), over);
}

#[test]
fn the_minutes_over_a_contract_add_up_over_the_setups_of_a_day() {
    // The same pages: 1.33 times for 180 min a day, 1.1 times for ever, more is cut within 2 min or so.
    let day = |first: u32, watts: u32, second: u32| {
        let found = House {
            region: "it",
            supply: "kind = \"mains\"\ncontract_kw = 3",
            head: "watts = 3900\nplug = \"it-16\"\nsocket = \"G1\"",
            setup: &format!("minutes = {first}\non = [\"A\"]"),
            more: &format!(
                "[head.B]\nwatts = {watts}\nplug = \"it-16\"\nsocket = \"G1\"\n[setup.t]\nminutes = {second}\non = [\"B\"]"
            ),
            ..House::default()
        }
        .assess();
        let over = found.assessment.findings.iter().filter(|finding| finding.rule.id == "contract-over");
        over.map(|finding| (found.network.setup_id(finding.setup.unwrap()).to_string(), finding.text.clone()))
            .collect::<Vec<_>>()
    };
    assert_eq!(day(90, 3900, 90), []);
    let added = day(90, 3900, 91);
    assert!(
        matches!(added.as_slice(), [(setup, text)] if setup == "t" && text.contains("180 min a day, not 181")),
        "{added:?}"
    );
    // A tenth more, and what stays under the contract, take nothing of the day's minutes.
    assert_eq!(day(180, 3300, 1000), []);
    assert_eq!(day(180, 1000, 1000), []);
    let cut = day(10, 4000, 1);
    assert!(
        matches!(cut.as_slice(), [(setup, text)] if setup == "t" && text.contains("cut within about 2 minutes")),
        "{cut:?}"
    );
}

#[test]
fn a_timed_circuit_must_be_live_for_the_whole_setup() {
    let hours = |setup: &str| {
        let circuit = "supply = \"house\"\nrcd = \"RA\"\nhours = [\"06:00\", \"22:00\"]";
        let setup = format!("{setup}\non = [\"A\"]");
        House { circuit, setup: &setup, ..House::default() }.assess().of("hours-out")
    };
    assert_eq!(hours("start = \"20:00\"\nminutes = 120"), Vec::<String>::new());
    assert_eq!(hours("start = \"20:00\"\nminutes = 121"), ["dark hours-out circuit.P1"]);
    assert_eq!(hours("start = \"22:30\"\nminutes = 30"), ["dark hours-out circuit.P1"]);
    assert_eq!(hours("minutes = 30"), ["risk hours-out circuit.P1"]);
    let card =
        House { circuit: "supply = \"house\"\nrcd = \"RA\"\nheld_by = \"key card\"", ..House::default() };
    card.assess().is("hours-out", &["risk hours-out circuit.P1"]);
}

#[test]
fn a_dimmer_takes_filaments_up_to_its_rating_and_nothing_else() {
    let dimmer = |class: &str| {
        let head = format!("class = \"{class}\"\nsocket = \"G1\"");
        let circuit = "supply = \"house\"\nrcd = \"RA\"\ndimmer_w = 600";
        House { circuit, head: &head, ..House::default() }.assess().of("dimmed")
    };
    assert_eq!(dimmer("tungsten-300"), Vec::<String>::new());
    assert_eq!(dimmer("tungsten-650"), ["dark dimmed circuit.P1"]);
    assert_eq!(dimmer("led-300"), ["dark dimmed head.A"]);
}

#[test]
fn a_head_that_is_on_and_has_no_socket_is_dark() {
    let found = House { head: "class = \"led-300\"", ..House::default() }.assess();
    assert_eq!(found.all(), ["dark head-unplaced head.A"]);
    let unplugged = House { setup: "minutes = 60\non = [\"A\"]\nsockets = { A = {} }", ..House::default() };
    assert_eq!(unplugged.assess().all(), ["dark head-unplaced head.A"]);
}
