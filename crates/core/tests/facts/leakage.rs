//! What leaks.

use super::*;

#[test]
fn a_head_that_is_plugged_in_and_dark_leaks_its_idle_milliamps() {
    let with = |class: &str| {
        let more = format!("[head.B]\nclass = \"{class}\"\nsocket = \"G1\"");
        House { more: &more, ..House::default() }.assess()
    };
    // a discharge ballast 1.2, an LED head as when lit 1.5, a filament nothing
    near(with("discharge-1k2").rcd("RA").standing.0, 4.7);
    near(with("led-600").rcd("RA").standing.0, 5.0);
    near(with("tungsten-1k").rcd("RA").standing.0, 3.5);
    // 1.5 + 3.5 + 10
    near(with("led-600").rcd("RA").peak.0, 15.0);
}

#[test]
fn heads_are_struck_in_falling_strike_leakage_unless_the_crew_says_otherwise() {
    let two = |setup: &str| {
        House {
            setup,
            more: "[head.B]\nclass = \"led-600\"\nsocket = \"G1\"",
            socket: "circuit = \"P1\"\nways = 2\ntest = \"ok\"\nramp = { held_ma = 14, tripped_ma = 16 }",
            ..House::default()
        }
        .assess()
    };
    // A first: 13.5, then 3.5 + 1.5
    let best = two("minutes = 60\non = [\"B\", \"A\"]");
    near(best.rcd("RA").peak.0, 13.5);
    assert_eq!(best.all(), Vec::<String>::new());
    // B first: 1.5 + 3.5 + 10
    let insisted = two("minutes = 60\non = [\"B\", \"A\"]\nstrike = [\"B\"]");
    near(insisted.rcd("RA").peak.0, 15.0);
    insisted.is("rcd-may-trip", &["risk rcd-may-trip rcd.RA"]);
}

#[test]
fn more_than_30_percent_of_the_rating_is_a_risk_and_30_percent_is_not() {
    let leak = |leak: &str| {
        let head = format!("watts = 100\nleak_ma = {leak}\nsocket = \"G1\"");
        House { head: &head, ..House::default() }.assess()
    };
    leak("9.0").is("rcd-share", &[]);
    leak("9.1").is("rcd-share", &["risk rcd-share rcd.RA"]);
}

#[test]
fn what_burns_over_the_held_end_is_dark_though_it_may_start() {
    let head = "watts = 100\nleak_ma = 12\nsocket = \"G1\"";
    let socket = "circuit = \"P1\"\ntest = \"ok\"\nramp = { held_ma = 10, tripped_ma = 15 }";
    let found = House { socket, head, ..House::default() }.assess();
    found.is("rcd-standing", &["dark rcd-standing rcd.RA"]);
    found.is("rcd-may-trip", &["risk rcd-may-trip rcd.RA"]);
}

#[test]
fn a_coarse_rcd_protects_nobody_unless_a_fine_one_is_in_the_chain() {
    let coarse =
        House { rcd: "rated_ma = 100", socket: "circuit = \"P1\"\ntest = \"ok\"", ..House::default() };
    coarse.assess().is("rcd-coarse", &["danger rcd-coarse socket.G1"]);
    let nested =
        House { more: "[rcd.R0]\nrated_ma = 100", rcd: "rated_ma = 30\nbehind = \"R0\"", ..House::default() };
    nested.assess().is("rcd-coarse", &[]);
    let us = House { region: "us", rcd: "class = \"rcd\"\nrated_ma = 100", ..coarse };
    us.assess().is("rcd-coarse", &["risk rcd-coarse socket.G1"]);
}

#[test]
fn type_ac_does_not_suit_electronic_heads() {
    let kind = |head: &str| House { rcd: "rated_ma = 30\nkind = \"AC\"", head, ..House::default() }.assess();
    kind(DISCHARGE).is("rcd-type", &["risk rcd-type rcd.RA"]);
    kind("class = \"tungsten-1k\"\nsocket = \"G1\"").is("rcd-type", &[]);
    House { rcd: "kind = \"A\"", ..House::default() }.assess().is("rcd-type", &[]);
}

#[test]
fn electronic_heads_on_three_lines_want_type_b() {
    // BS 7671 531.3.3: smooth direct current blinds all but type B.
    let kind = |kind: &str, spectrum: &str| {
        let head = format!("watts = 9000\nspectrum = {spectrum}\nplug = \"cee-16-3\"\nsocket = \"G1\"");
        House {
            region: "eu",
            supply: "kind = \"mains\"\nwiring = \"star\"",
            circuit: "supply = \"house\"\nline = \"L1-L2-L3\"\nbreaker_a = 16\nrcd = \"RA\"",
            rcd: &format!("kind = \"{kind}\""),
            socket: "circuit = \"P1\"\noutlet = \"cee-16-3\"\ntest = \"ok\"",
            head: &head,
            ..House::default()
        }
        .assess()
    };
    for fires in ["AC", "A", "F"] {
        let found = kind(fires, "\"corrected\"");
        found.is("rcd-type", &["risk rcd-type rcd.RA"]);
        assert_eq!(
            found.text("rcd-type"),
            format!(
                "RA is type {fires}: A is electronic on three phases and may leak smooth direct current, which blinds it"
            )
        );
    }
    kind("B", "\"corrected\"").is("rcd-type", &[]);
    kind("A", "\"linear\"").is("rcd-type", &[]);
    kind("A", "[[5, 20], [7, 14]]").is("rcd-type", &["risk rcd-type rcd.RA"]);
}

#[test]
fn type_ac_is_told_where_it_may_not_be_fitted() {
    let text = |region: &str| {
        let found = House { region, rcd: "rated_ma = 30\nkind = \"AC\"", ..House::default() }.assess();
        found.text("rcd-type").to_owned()
    };
    let plain = "RA is type AC: it may not see a fault in an electronic head: A";
    assert_eq!(text("uk"), plain);
    assert_eq!(
        text("au"),
        format!("{plain}; Australia has let none be newly fitted since 2023 (from memory)")
    );
    assert_eq!(text("eu"), format!("{plain}; some countries, such as Germany, allow none"));
}

#[test]
fn of_two_rcds_in_a_chain_both_are_named_where_both_may_drop() {
    let nested = |more: &str| {
        House {
            rcd: "rated_ma = 30\nbehind = \"R0\"",
            more,
            socket: "circuit = \"P1\"\ntest = \"ok\"\nramp = { held_ma = 10, tripped_ma = 15 }",
            ..House::default()
        }
        .assess()
    };
    // 13.5 mA: 0.7 of 10 to 15, and 0.233 of 10, which R0 held, too, to 25.
    let both = nested(
        "[rcd.R0]\nrated_ma = 30\n[socket.G2]\nroom = \"in\"\ncircuit = \"P1\"\n\
         ramp = { held_ma = 10, tripped_ma = 25, dropped = \"R0\" }",
    );
    both.is("rcd-may-trip", &["risk rcd-may-trip rcd.RA", "risk rcd-may-trip rcd.R0"]);
    let texts: Vec<&str> = both
        .assessment
        .findings
        .iter()
        .filter(|finding| finding.rule.id == "rcd-may-trip")
        .map(|finding| finding.text.as_str())
        .collect();
    assert!(texts[0].ends_with("dark then: P1; R0 upstream of it may drop with it or first"), "{texts:?}");
    assert!(texts[1].ends_with("dark then: P1; RA behind it may drop with it or first"), "{texts:?}");
    let steps = ampwalk_core::assess::steps(&both.network, both.setup("s"));
    let may: Vec<String> = ampwalk_core::assess::may_drop(both.setup("s"), &steps[0])
        .into_iter()
        .map(|at| both.network.rcd_id(at).to_string())
        .collect();
    assert_eq!(may, ["RA", "R0"]);
    // A coarse one upstream surely holds, and is not named.
    let one = nested("[rcd.R0]\nrated_ma = 100");
    assert!(!one.text("rcd-may-trip").contains("R0"), "{}", one.text("rcd-may-trip"));
}

#[test]
fn a_four_pole_rcd_sees_less_than_the_sum_where_its_lines_cancel() {
    let vector = |poles: &str, circuits: [&str; 2], extra: &str| {
        let more = format!(
            "[circuit.P2]\nsupply = \"house\"\nline = \"{}\"\nrcd = \"RA\"\n[circuit.P3]\nsupply = \"house\"\n\
             line = \"{}\"\nrcd = \"RA\"\n[socket.G2]\nroom = \"in\"\ncircuit = \"P2\"\n[socket.G3]\nroom = \"in\"\n\
             circuit = \"P3\"\n[head.B]\nwatts = 100\nleak_ma = 3.5\nsocket = \"G2\"\n[head.C]\nwatts = 100\n\
             leak_ma = 3.5\nidle_ma = 1.0\nsocket = \"G3\"\n{extra}",
            circuits[0], circuits[1]
        );
        let found = House {
            region: "eu",
            supply: "kind = \"mains\"\nwiring = \"star\"",
            circuit: "supply = \"house\"\nline = \"L1\"\nrcd = \"RA\"",
            rcd: &format!("rated_ma = 30\n{poles}"),
            setup: "minutes = 60\non = [\"A\", \"B\", \"C\"]",
            more: &more,
            ..House::default()
        }
        .assess();
        near(found.rcd("RA").standing.0, 10.5);
        found.rcd("RA").vector_standing.map(|vector| vector.0)
    };
    // 3.5 mA on each of three lines: nothing; on L1, L1 and L2: |2·1∠0° + 1∠-120°| = √3 times; two poles: unknown.
    near(vector("poles = 4", ["L2", "L3"], "").unwrap(), 0.0);
    near(vector("poles = 4", ["L1", "L2"], "").unwrap(), 3.5 * 3.0_f64.sqrt());
    // Between L2 and L3, twice: against L1, 3.5 − 7.
    near(vector("poles = 4", ["L2-L3", "L2-L3"], "").unwrap(), 3.5);
    assert_eq!(vector("poles = 2", ["L2", "L3"], ""), None);
    assert_eq!(vector("", ["L2", "L3"], ""), None);
}

#[test]
fn nested_rcds_both_see_the_leakage_and_the_one_that_dropped_gets_both_ends() {
    let found = House {
        rcd: "rated_ma = 30\nbehind = \"R0\"",
        more: "[rcd.R0]\nrated_ma = 100",
        socket: "circuit = \"P1\"\ntest = \"ok\"\nramp = { held_ma = 20, tripped_ma = 25 }",
        ..House::default()
    }
    .assess();
    near(found.rcd("RA").standing.0, 3.5);
    near(found.rcd("R0").standing.0, 3.5);
    found.room("RA", 20.0, 25.0);
    // it was not the one tested: what it held, 20, takes nothing from its band, 50 to 100
    found.room("R0", 50.0, 100.0);
}

#[test]
fn a_portable_rcd_has_its_own_room_counts_upstream_too_and_stands_for_a_missing_one() {
    let portable = "[rcd.PR]\nclass = \"portable\"\nrated_ma = 30";
    let behind_one = House {
        socket: "circuit = \"P1\"\ntest = \"ok\"\nportable_rcd = \"PR\"\nramp = { held_ma = 20, tripped_ma = 25 }",
        more: portable,
        ..House::default()
    }
    .assess();
    near(behind_one.rcd("PR").standing.0, 3.5);
    near(behind_one.rcd("RA").standing.0, 3.5);
    behind_one.room("PR", 20.0, 25.0);
    behind_one.room("RA", 20.0, 30.0);
    let bare = "supply = \"house\"\nbreaker_a = 20";
    let absent = House { circuit: bare, socket: "circuit = \"P1\"\ntest = \"ok\"", ..House::default() };
    absent.assess().is("rcd-absent", &["danger rcd-absent socket.G1"]);
    let stands_in =
        House { socket: "circuit = \"P1\"\ntest = \"ok\"\nportable_rcd = \"PR\"", more: portable, ..absent }
            .assess();
    stands_in.is("rcd-absent", &[]);
    stands_in.is("rcd-untested", &["risk rcd-untested rcd.PR"]);
}

#[test]
fn no_rcd_is_danger_by_region_and_anywhere_in_the_wet() {
    let bare = |region: &str, room: &str| {
        let head = format!("class = \"led-300\"\nroom = \"{room}\"\nsocket = \"G1\"");
        House {
            region,
            circuit: "supply = \"house\"",
            rcd: "",
            socket: "circuit = \"P1\"\ntest = \"ok\"",
            head: &head,
            ..House::default()
        }
        .assess()
    };
    for region in ["au", "nz", "uk", "ie", "eu", "it", "jp"] {
        bare(region, "in").is("rcd-absent", &["danger rcd-absent socket.G1"]);
    }
    for region in ["us", "ca"] {
        bare(region, "in").is("rcd-absent", &["risk rcd-absent socket.G1"]);
        bare(region, "out").is("rcd-absent", &["danger rcd-absent socket.G1"]);
        bare(region, "bath").is("rcd-absent", &["danger rcd-absent socket.G1"]);
    }
}
