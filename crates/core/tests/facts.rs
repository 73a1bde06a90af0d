//! What the assessment says of the smallest plans that show each rule.
//!
//! Ramp-test facts are common practice, no source. Bands of RCDs: IEC 61008-1; of ground-fault
//! interrupters: UL 943; the continuous load: NEC 210.20(A); the 30 % share: BS 7671 531.3.2.

#![expect(clippy::unwrap_used, reason = "a helper that finds nothing fails the test")]

use std::sync::Arc;

use ampwalk_core::assess::{Assessment, Hand, Outlook, RcdUse, SetupUse, assess};
use ampwalk_core::file::parse;
use ampwalk_core::network::Network;

/// A house of one circuit, one socket, one head and one setup; each field is lines of its table.
struct House<'a> {
    region: &'a str,
    location: &'a str,
    supply: &'a str,
    rcd: &'a str,
    circuit: &'a str,
    socket: &'a str,
    head: &'a str,
    setup: &'a str,
    more: &'a str,
}

/// A corrected 1.2 kW discharge head: 1350/(230·0.98) = 5.9894 A, q 3.5 mA, x 10 mA.
const DISCHARGE: &str = "class = \"discharge-1k2\"\nsocket = \"G1\"";

impl Default for House<'_> {
    fn default() -> Self {
        Self {
            region: "au",
            location: "",
            supply: "kind = \"mains\"",
            rcd: "rated_ma = 30",
            circuit: "supply = \"house\"\nbreaker_a = 20\nrcd = \"RA\"",
            socket: "circuit = \"P1\"\ntest = \"ok\"\nramp = { held_ma = 25, tripped_ma = 30 }",
            head: DISCHARGE,
            setup: "minutes = 60\non = [\"A\"]",
            more: "",
        }
    }
}

/// A plan, assessed.
struct Found {
    network: Network,
    assessment: Assessment,
}

impl House<'_> {
    fn assess(&self) -> Found {
        found(&format!(
            "ampwalk = 1\n[location]\nregion = \"{}\"\nboard = \"found\"\n{}\n[supply.house]\n{}\n[rcd.RA]\n{}\n\
             [circuit.P1]\n{}\n[floor.ground]\nlevel = 0\n[room.in]\nfloor = \"ground\"\n\
             [room.out]\nfloor = \"ground\"\noutdoor = true\n[room.bath]\nfloor = \"ground\"\nwet = true\n\
             [socket.G1]\nroom = \"in\"\n{}\n[head.A]\n{}\n[setup.s]\n{}\n{}",
            self.region,
            self.location,
            self.supply,
            self.rcd,
            self.circuit,
            self.socket,
            self.head,
            self.setup,
            self.more
        ))
    }
}

fn found(text: &str) -> Found {
    let parsed = parse(text);
    let problems: Vec<_> = parsed.problems.iter().map(|problem| &problem.message).collect();
    assert!(problems.is_empty(), "{problems:?} in\n{text}");
    let network = Network::of(Arc::new(parsed.plan));
    let assessment = assess(&network);
    Found { network, assessment }
}

impl Found {
    /// All findings as `severity rule subject`, worst first.
    fn all(&self) -> Vec<String> {
        let line = |finding: &ampwalk_core::assess::Finding| {
            format!("{} {} {}", finding.severity, finding.rule.id, finding.subject.path(&self.network))
        };
        self.assessment.findings.iter().map(line).collect()
    }

    /// The findings of one rule.
    fn of(&self, rule: &str) -> Vec<String> {
        self.all().into_iter().filter(|line| line.split(' ').nth(1) == Some(rule)).collect()
    }

    #[track_caller]
    fn is(&self, rule: &str, wanted: &[&str]) {
        assert_eq!(self.of(rule), wanted, "all: {:#?}", self.all());
    }

    fn text(&self, rule: &str) -> &str {
        &self.assessment.findings.iter().find(|finding| finding.rule.id == rule).unwrap().text
    }

    fn setup(&self, id: &str) -> &SetupUse {
        &self.assessment.setups[self.network.setup(id).unwrap()]
    }

    fn rcd(&self, id: &str) -> &RcdUse {
        &self.setup("s").rcds[self.network.rcd(id).unwrap()]
    }

    /// Certain and possible amps of a circuit.
    fn amps(&self, id: &str) -> (f64, f64) {
        let used = &self.setup("s").circuits[self.network.circuit(id).unwrap()];
        (used.amps.0, used.possible.0)
    }

    fn limit(&self, setup: &str, id: &str) -> f64 {
        self.setup(setup).circuits[self.network.circuit(id).unwrap()].limit.0
    }

    #[track_caller]
    fn room(&self, id: &str, low: f64, high: f64) {
        let room = self.rcd(id).room.room;
        near(room.low.0, low);
        near(room.high.unwrap().0, high);
    }
}

#[track_caller]
fn near(got: f64, wanted: f64) {
    assert!((got - wanted).abs() < 0.005, "{got}, worked out as {wanted}");
}

#[track_caller]
fn near_both(got: (f64, f64), wanted: (f64, f64)) {
    near(got.0, wanted.0);
    near(got.1, wanted.1);
}

fn ramp(steps: &str) -> Found {
    let socket = format!("circuit = \"P1\"\ntest = \"ok\"\nramp = {{ {steps} }}");
    House { socket: &socket, ..House::default() }.assess()
}

// --- Ramp tests, one discharge head alone: common practice, no source ------------------------------

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

// --- What leaks ------------------------------------------------------------------------------------

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

// --- What the tester said --------------------------------------------------------------------------

fn tested(outcome: &str) -> Found {
    let socket =
        format!("circuit = \"P1\"\ntest = \"{outcome}\"\nramp = {{ held_ma = 25, tripped_ma = 30 }}");
    House { socket: &socket, ..House::default() }.assess()
}

#[test]
fn every_bad_outcome_is_danger() {
    for outcome in ["reversed", "no-earth", "no-neutral", "dead", "active-on-earth", "odd"] {
        assert_eq!(tested(outcome).all(), ["danger socket-unsafe socket.G1"], "{outcome}");
    }
    assert_eq!(tested("ok").all(), Vec::<String>::new());
}

#[test]
fn reversed_says_why_it_is_dangerous() {
    let found = tested("reversed");
    let text = found.text("socket-unsafe");
    for word in ["active and neutral are swapped", "live with its switch off", "rain", "screw-base"] {
        assert!(text.contains(word), "{word}: {text}");
    }
}

#[test]
fn reversed_on_an_outlet_that_is_not_polarised_is_a_note() {
    let eu = House {
        region: "eu",
        socket: "circuit = \"P1\"\ntest = \"reversed\"\nramp = { held_ma = 25, tripped_ma = 30 }",
        ..House::default()
    };
    assert_eq!(eu.assess().all(), ["note socket-unsafe socket.G1"]);
}

#[test]
fn an_outlet_without_earth_is_danger_for_a_class_one_head_and_a_risk_else() {
    let two_pin = |class: u8| {
        let head = format!("class = \"led-300\"\nsocket = \"G1\"\nearth_class = {class}");
        House {
            region: "eu",
            head: &head,
            socket: "circuit = \"P1\"\noutlet = \"eu-10-2\"\ntest = \"no-earth\"\nramp = { held_ma = 25, tripped_ma = 30 }",
            ..House::default()
        }
        .assess()
    };
    two_pin(1).is("socket-unsafe", &["danger socket-unsafe socket.G1"]);
    two_pin(2).is("socket-unsafe", &["risk socket-unsafe socket.G1"]);
}

#[test]
fn an_untested_socket_is_a_risk_and_danger_in_the_wet_outdoors_or_in_rain() {
    let untested = |location: &str, room: &str| {
        let head = format!("class = \"led-300\"\nroom = \"{room}\"\nsocket = \"G1\"");
        let socket = "circuit = \"P1\"\nramp = { held_ma = 25, tripped_ma = 30 }";
        House { location, socket, head: &head, ..House::default() }.assess().of("socket-untested")
    };
    assert_eq!(untested("", "in"), ["risk socket-untested socket.G1"]);
    assert_eq!(untested("", "bath"), ["danger socket-untested socket.G1"]);
    assert_eq!(untested("", "out"), ["danger socket-untested socket.G1"]);
    assert_eq!(untested("weather = \"rain\"", "in"), ["danger socket-untested socket.G1"]);
}

#[test]
fn a_banned_socket_and_a_shaver_outlet_are_danger() {
    let with = |socket: &str| House { socket, ..House::default() }.assess().of("socket-banned");
    assert_eq!(
        with("circuit = \"P1\"\ntest = \"ok\"\nban = \"not ours\""),
        ["danger socket-banned socket.G1"]
    );
    assert_eq!(
        with("circuit = \"P1\"\ntest = \"ok\"\noutlet = \"au-shaver\""),
        ["danger socket-banned socket.G1"]
    );
    assert_eq!(with("circuit = \"P1\"\ntest = \"ok\""), Vec::<String>::new());
}

// --- A small floating generator: common practice, no source -----------------------------------------

fn generator(supply: &str, location: &str, setup: &str) -> Found {
    House {
        supply,
        location,
        setup,
        circuit: "supply = \"house\"\nbreaker_a = 20",
        socket: "circuit = \"P1\"\nways = 2\ntest = \"no-earth\"",
        more: "[head.B]\nclass = \"led-300\"\nsocket = \"G1\"",
        ..House::default()
    }
    .assess()
}

const FLOATING: &str = "kind = \"generator\"\nkva = 6.5\nearth = \"floating\"";

#[test]
fn a_missing_earth_on_a_small_floating_generator_is_one_note() {
    let found = generator(FLOATING, "", "minutes = 60\non = [\"A\"]");
    assert_eq!(found.all(), ["note neutral-floating supply.house"]);
}

#[test]
fn a_floating_generator_is_danger_in_rain_and_with_two_class_one_heads() {
    let rain = generator(FLOATING, "weather = \"rain\"", "minutes = 60\non = [\"A\"]");
    rain.is("neutral-floating", &["danger neutral-floating supply.house"]);
    let two = generator(FLOATING, "", "minutes = 60\non = [\"A\", \"B\"]");
    two.is("neutral-floating", &["danger neutral-floating supply.house"]);
    two.is("socket-unsafe", &[]);
}

#[test]
fn a_bonded_or_a_large_generator_without_earth_is_danger() {
    for supply in [
        "kind = \"generator\"\nkva = 6.5\nearth = \"bonded\"",
        "kind = \"generator\"\nkva = 12\nearth = \"floating\"",
        "kind = \"mains\"",
    ] {
        let found = generator(supply, "", "minutes = 60\non = [\"A\"]");
        found.is("socket-unsafe", &["danger socket-unsafe socket.G1"]);
        found.is("neutral-floating", &[]);
        found.is("rcd-absent", &["danger rcd-absent socket.G1"]);
    }
}

#[test]
fn a_generator_indoors_is_danger() {
    let stands = |room: &str| {
        let supply = format!("{FLOATING}\nroom = \"{room}\"");
        generator(&supply, "", "minutes = 60\non = [\"A\"]").of("fumes")
    };
    assert_eq!(stands("in"), ["danger fumes supply.house"]);
    assert_eq!(stands("out"), Vec::<String>::new());
}

// --- Sockets that nobody traced --------------------------------------------------------------------

const TWO_CIRCUITS: &str =
    "[rcd.RB]\nrated_ma = 30\n[circuit.P2]\nsupply = \"house\"\nbreaker_a = 5\nrcd = \"RB\"";

fn untraced(more: &str) -> Found {
    let more = format!("{TWO_CIRCUITS}\n{more}");
    House {
        circuit: "supply = \"house\"\nbreaker_a = 5\nrcd = \"RA\"\nbase = [{ amps = 1 }]",
        socket: "test = \"ok\"",
        more: &more,
        ..House::default()
    }
    .assess()
}

#[test]
fn an_untraced_head_counts_as_possible_on_every_circuit_and_rcd() {
    let found = untraced("");
    near_both(found.amps("P1"), (1.0, 6.9894));
    near_both(found.amps("P2"), (0.0, 5.9894));
    found.is("breaker-may-over", &["risk breaker-may-over circuit.P1", "risk breaker-may-over circuit.P2"]);
    found.is("breaker-over", &[]);
    for rcd in ["RA", "RB"] {
        let used = found.rcd(rcd);
        near_both((used.standing.0, used.possible_standing.0), (0.0, 3.5));
        near_both((used.peak.0, used.possible_peak.0), (0.0, 13.5));
    }
    // there is an RCD whichever circuit it is on
    found.is("rcd-absent", &[]);
}

#[test]
fn an_untraced_socket_that_may_be_on_a_circuit_without_an_rcd_counts_as_bare() {
    untraced("[circuit.P3]\nsupply = \"house\"").is("rcd-absent", &["danger rcd-absent socket.G1"]);
}

#[test]
fn an_untraced_head_is_certain_on_an_rcd_that_all_its_circuits_share() {
    let found = House {
        socket: "test = \"ok\"",
        more: "[circuit.P2]\nsupply = \"house\"\nbreaker_a = 5\nrcd = \"RA\"",
        ..House::default()
    }
    .assess();
    near(found.rcd("RA").standing.0, 3.5);
    near_both(found.amps("P1"), (0.0, 5.9894));
}

#[test]
fn traces_narrow_the_circuits_down() {
    let live = untraced("[[trace]]\noff = \"P1\"\nlive = [\"G1\"]");
    near_both(live.amps("P1"), (1.0, 1.0));
    near_both(live.amps("P2"), (5.9894, 5.9894));
    live.is("breaker-over", &["dark breaker-over circuit.P2"]);
    let dead = untraced("[[trace]]\nramp_dropped = \"RA\"\ndead = [\"G1\"]");
    near_both(dead.amps("P1"), (6.9894, 6.9894));
    near_both(dead.amps("P2"), (0.0, 0.0));
    live.is("trace-conflict", &[]);
}

#[test]
fn traces_that_leave_no_circuit_clash_and_none_of_them_counts() {
    let found =
        untraced("[[trace]]\noff = \"P1\"\ndead = [\"G1\"]\n[[trace]]\noff = \"P2\"\ndead = [\"G1\"]");
    found.is("trace-conflict", &["risk trace-conflict socket.G1"]);
    near_both(found.amps("P2"), (0.0, 5.9894));
}

#[test]
fn a_trace_against_the_circuit_that_the_plan_gives_is_told() {
    let more = format!("{TWO_CIRCUITS}\n[[trace]]\noff = \"P2\"\ndead = [\"G1\"]");
    House { more: &more, ..House::default() }
        .assess()
        .is("trace-conflict", &["risk trace-conflict socket.G1"]);
}

#[test]
fn a_plug_in_rcd_that_a_ramp_dropped_says_nothing_of_circuits() {
    let found = House {
        socket: "test = \"ok\"\nportable_rcd = \"PR\"",
        more: "[rcd.PR]\nclass = \"portable\"\n[circuit.P2]\nsupply = \"house\"\nrcd = \"RA\"\n\
               [[trace]]\nramp_dropped = \"PR\"\ndead = [\"G1\"]\n[[trace]]\noff = \"P2\"\nlive = [\"G1\"]",
        ..House::default()
    }
    .assess();
    found.is("trace-conflict", &[]);
    near_both(found.amps("P1"), (5.9894, 5.9894));
}

#[test]
fn a_label_is_no_evidence_and_a_wrong_one_is_told() {
    let label = |label: &str, circuit: &str| {
        let socket = format!("{circuit}\nlabel = \"{label}\"\ntest = \"ok\"");
        House {
            socket: &socket,
            circuit: "supply = \"house\"\nrcd = \"RA\"\nname = \"Ground west\"",
            more: TWO_CIRCUITS,
            ..House::default()
        }
        .assess()
        .of("label-wrong")
    };
    assert_eq!(label("P2", "circuit = \"P1\""), ["risk label-wrong socket.G1"]);
    assert_eq!(label("p1", "circuit = \"P1\""), Vec::<String>::new());
    assert_eq!(label("ground west", "circuit = \"P1\""), Vec::<String>::new());
    assert_eq!(label("P2", ""), Vec::<String>::new());
}

// --- A circuit that a socket feeds -----------------------------------------------------------------

fn distribution_box(heads: &str, on: &str) -> Found {
    boxed(heads, on, "class = \"discharge-2k5\"\nsocket = \"d1\"", "test = \"ok\"")
}

fn distribution_box_on(outlet: &str, head: &str) -> Found {
    boxed("", "[\"A\"]", head, outlet)
}

fn boxed(heads: &str, on: &str, head: &str, outlet: &str) -> Found {
    let setup = format!("minutes = 60\non = {on}");
    let more = format!(
        "[socket.d1]\nroom = \"in\"\ncircuit = \"D1\"\noutlet = \"eu-16\"\ntest = \"ok\"\n\
         [socket.d2]\nroom = \"in\"\ncircuit = \"D2\"\noutlet = \"eu-16\"\ntest = \"ok\"\n\
         [circuit.D1]\nfrom = \"G1\"\nline = \"L2\"\nbreaker_a = 16\n\
         [circuit.D2]\nfrom = \"G1\"\nline = \"L2\"\nbreaker_a = 16\n\
         [[trace]]\noff = \"P1\"\ndead = [\"G1\", \"d1\", \"d2\"]\n{heads}"
    );
    House {
        region: "eu",
        supply: "kind = \"mains\"\nwiring = \"star\"",
        circuit: "supply = \"house\"\nline = \"L1-L2-L3\"\nbreaker_a = 32\nrcd = \"RA\"",
        socket: &format!(
            "circuit = \"P1\"\noutlet = \"cee-16-3\"\n{outlet}\nramp = {{ held_ma = 25, tripped_ma = 30 }}"
        ),
        head,
        setup: &setup,
        more: &more,
        ..House::default()
    }
    .assess()
}

#[test]
fn a_box_s_amps_are_on_the_circuit_that_feeds_it_line_by_line() {
    let found = distribution_box("", "[\"A\"]");
    // 2700/(230·0.98)
    near(found.amps("D1").0, 11.9787);
    near(found.amps("P1").0, 11.9787);
    let [l1, l2, l3] = found.setup("s").supplies.iter().next().unwrap().1.lines.map(|line| line.amps().0);
    near_both((l1, l3), (0.0, 0.0));
    near(l2, 11.9787);
    near(found.rcd("RA").standing.0, 4.0);
    found.is("outlet-over", &[]);
    found.is("rcd-absent", &[]);
    found.is("trace-conflict", &[]);
}

#[test]
fn a_box_that_draws_more_on_a_line_than_its_outlet_carries_is_danger() {
    let found = distribution_box("[head.B]\nclass = \"discharge-2k5\"\nsocket = \"d2\"", "[\"A\", \"B\"]");
    // 2·11.9787 = 23.9574 A of 16 on L2; the breaker of 32 does not see it
    near(found.amps("P1").0, 23.9574);
    found.is("outlet-over", &["danger outlet-over socket.G1"]);
    found.is("breaker-over", &[]);
}

#[test]
fn an_untested_outlet_under_a_box_is_told_with_the_heads_on_the_box() {
    let box_text = distribution_box_on("", "class = \"led-300\"\nroom = \"in\"\nsocket = \"d1\"");
    box_text.is("socket-untested", &["risk socket-untested socket.G1"]);
    assert_eq!(box_text.text("socket-untested"), "G1 was not tested, and A is on it");
    let outdoors = distribution_box_on("", "class = \"led-300\"\nroom = \"out\"\nsocket = \"d1\"");
    outdoors.is("socket-untested", &["danger socket-untested socket.G1"]);
}

#[test]
fn a_head_in_hand_over_a_box_shows_what_the_box_s_outlet_carries() {
    let found = distribution_box("[head.B]\nclass = \"discharge-2k5\"", "[\"A\", \"B\"]");
    let (head, socket) = (found.network.head("B").unwrap(), found.network.socket("d2").unwrap());
    let setup = found.network.setup("s").unwrap();
    let hand = Hand::pick_up(&found.network, &found.assessment, setup, head);
    let consequence = hand.at(&found.network, socket);
    assert_eq!(consequence.outlook, Outlook::Never);
    let rules: Vec<_> = consequence.findings.iter().map(|finding| finding.rule.id).collect();
    assert!(rules.contains(&"outlet-over"), "{rules:?}");
}

// --- Breakers --------------------------------------------------------------------------------------

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

// --- Outlets, plates, plugs ------------------------------------------------------------------------

fn heads(region: &str, socket: &str, heads: &[&str], more: &str) -> Found {
    let socket =
        format!("circuit = \"P1\"\ntest = \"ok\"\nramp = {{ held_ma = 25, tripped_ma = 30 }}\n{socket}");
    let names = ["A", "B", "C", "D"];
    let on: Vec<String> = names[..heads.len()].iter().map(|name| format!("\"{name}\"")).collect();
    let setup = format!("minutes = 60\non = [{}]", on.join(", "));
    let mut more = more.to_owned();
    for (name, head) in names.iter().zip(heads).skip(1) {
        more = format!("{more}\n[head.{name}]\nsocket = \"G1\"\n{head}");
    }
    let first = format!("socket = \"G1\"\n{}", heads[0]);
    let circuit = "supply = \"house\"\nbreaker_a = 63\nrcd = \"RA\"";
    House { region, circuit, socket: &socket, head: &first, setup: &setup, more: &more, ..House::default() }
        .assess()
}

#[test]
fn a_plate_has_a_total_of_its_own() {
    heads("au", "ways = 2", &["amps = 9.5", "amps = 9.5"], "").is("plate-over", &[]);
    heads("au", "ways = 2\nplate_a = 15", &["amps = 9.5", "amps = 9.5"], "")
        .is("plate-over", &["danger plate-over socket.G1"]);
    // BS 1363-2: 20 A for a twin
    heads("uk", "ways = 2", &["amps = 12", "amps = 12"], "")
        .is("plate-over", &["danger plate-over socket.G1"]);
}

#[test]
fn sockets_that_share_a_plate_share_its_total_and_one_finding() {
    let more = "[socket.G2]\nroom = \"in\"\ncircuit = \"P1\"\ntest = \"ok\"\nplate = \"K\"\nplate_a = 15";
    let found = heads(
        "au",
        "plate = \"K\"",
        &["amps = 9.5", "amps = 1"],
        &format!("{more}\n[head.Z]\namps = 9.5\nsocket = \"G2\""),
    );
    found.is("plate-over", &[]);
    let both = heads("au", "plate = \"K\"", &["amps = 9.5"], more);
    both.is("plate-over", &[]);
    let over = House {
        socket: "circuit = \"P1\"\ntest = \"ok\"\nplate = \"K\"",
        head: "amps = 9.5\nsocket = \"G1\"",
        setup: "minutes = 60\non = [\"A\", \"Z\"]",
        more: &format!("{more}\n[head.Z]\namps = 9.5\nsocket = \"G2\""),
        ..House::default()
    }
    .assess();
    over.is("plate-over", &["danger plate-over socket.G1"]);
}

#[test]
fn more_plugs_than_ways_are_dark_and_a_block_takes_one_way() {
    let three = ["amps = 1", "amps = 1", "amps = 1"];
    heads("au", "ways = 2", &three, "").is("socket-full", &["dark socket-full socket.G1"]);
    let on_block = ["amps = 1\nleads = [\"four\"]"; 3];
    let block = |ways: u8| format!("[block.four]\nplug = \"au-10\"\nways = {ways}\ncount = 2");
    heads("au", "ways = 1", &on_block, &block(4)).is("socket-full", &[]);
    // two ways: the third head takes a second block, and a second way of the socket
    heads("au", "ways = 1", &on_block, &block(2)).is("socket-full", &["dark socket-full socket.G1"]);
    heads("au", "ways = 2", &on_block, &block(2)).is("socket-full", &[]);
}

#[test]
fn a_block_carries_what_its_rating_its_fuse_and_its_outlet_carry_together() {
    let block = |keys: &str| format!("[block.four]\nplug = \"uk-13\"\nways = 4\n{keys}");
    let pair = |amps: &str| {
        [format!("amps = {amps}\nleads = [\"four\"]"), format!("amps = {amps}\nleads = [\"four\"]")]
    };
    let on = |amps: &str, keys: &str| {
        let pair = pair(amps);
        heads("uk", "", &[&pair[0], &pair[1]], &block(keys)).of("outlet-over")
    };
    assert_eq!(on("6", ""), Vec::<String>::new());
    // 14 A over the 13 A fuse that such plugs come with
    assert_eq!(on("7", ""), ["danger outlet-over socket.G1"]);
    assert_eq!(on("6", "rated_a = 10"), ["danger outlet-over socket.G1"]);
    assert_eq!(on("3", "fuse_a = 5"), ["danger outlet-over socket.G1"]);
}

#[test]
fn an_outlet_a_plug_and_a_plug_fuse_are_each_a_limit() {
    heads("au", "outlet = \"au-10\"", &["amps = 11"], "").is("outlet-over", &["danger outlet-over head.A"]);
    // the outlet bears 15, the head's own plug 10
    heads("au", "outlet = \"au-15\"", &["amps = 11"], "").is("outlet-over", &["danger outlet-over head.A"]);
    heads("au", "outlet = \"au-15\"", &["amps = 11\nplug = \"au-15\""], "").is("outlet-over", &[]);
    let fused = heads("uk", "", &["amps = 4\nfuse_a = 3"], "");
    fused.is("outlet-over", &["danger outlet-over head.A"]);
    assert!(fused.text("outlet-over").contains("fuse"), "{}", fused.text("outlet-over"));
    let lead = "[cable.c]\nlength_m = 10\nmm2 = 1.5\nplug = \"uk-13\"\nfuse_a = 3";
    heads("uk", "", &["amps = 4\nleads = [\"c\"]"], lead).is("outlet-over", &["danger outlet-over head.A"]);
}

#[test]
fn a_small_plug_goes_into_a_large_outlet_and_not_the_other_way_round() {
    // AS/NZS 3112: the 15 A plug has a wider earth pin
    heads("au", "outlet = \"au-15\"", &["amps = 5"], "").is("outlet-over", &[]);
    let wide = heads("au", "outlet = \"au-10\"", &["amps = 5\nplug = \"au-15\""], "");
    wide.is("outlet-over", &["danger outlet-over head.A"]);
    assert!(wide.text("outlet-over").contains("does not plug into"), "{}", wide.text("outlet-over"));
    let lead = "[cable.c]\nlength_m = 10\nmm2 = 1.5\nplug = \"au-10\"";
    heads("au", "outlet = \"au-15\"", &["amps = 5\nplug = \"au-15\"\nleads = [\"c\"]"], lead)
        .is("outlet-over", &["danger outlet-over head.A"]);
}

#[test]
fn a_head_on_the_wrong_volts_is_danger() {
    heads("au", "", &["amps = 5\nvolts = 120"], "").is("volts-wrong", &["danger volts-wrong head.A"]);
    heads("au", "", &["amps = 5\nvolts = 240"], "").is("volts-wrong", &[]);
    heads("us", "", &["amps = 5\nvolts = 240"], "").is("volts-wrong", &["danger volts-wrong head.A"]);
}

// --- Leads -----------------------------------------------------------------------------------------

const LEADS: &str = "[cable.c]\nlength_m = 10\nmm2 = 1.5\ncount = 2\n[cable.d]\nlength_m = 1\nmm2 = 1.5";

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

// --- Supplies --------------------------------------------------------------------------------------

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

// --- Heads side by side ----------------------------------------------------------------------------

fn side_by_side(supply: &str, second: &str, x: &str) -> Found {
    let more = format!(
        "[circuit.P2]\n{second}\nbreaker_a = 20\nrcd = \"RA\"\n\
         [socket.G2]\nroom = \"in\"\ncircuit = \"P2\"\ntest = \"ok\"\n\
         [supply.set]\nkind = \"generator\"\nkva = 20\nearth = \"bonded\"\n\
         [head.B]\nclass = \"led-300\"\nroom = \"in\"\nat = [{x}, 0]\nsocket = \"G2\""
    );
    House {
        supply,
        circuit: "supply = \"house\"\nline = \"L1\"\nbreaker_a = 20\nrcd = \"RA\"",
        head: "class = \"led-300\"\nroom = \"in\"\nat = [0, 0]\nsocket = \"G1\"",
        setup: "minutes = 60\non = [\"A\", \"B\"]",
        more: &more,
        ..House::default()
    }
    .assess()
}

#[test]
fn heads_that_can_be_touched_together_belong_on_one_line() {
    let star = "kind = \"mains\"\nwiring = \"star\"";
    let l2 = "supply = \"house\"\nline = \"L2\"";
    side_by_side(star, l2, "2").is("two-lines", &["risk two-lines head.B"]);
    side_by_side(star, l2, "2.1").is("two-lines", &[]);
    side_by_side(star, "supply = \"house\"\nline = \"L1\"", "1").is("two-lines", &[]);
}

#[test]
fn heads_that_can_be_touched_together_belong_on_one_supply() {
    let set = "supply = \"set\"";
    let found = side_by_side("kind = \"mains\"", set, "2");
    found.is("two-sources", &["danger two-sources head.B"]);
    found.is("two-lines", &[]);
    side_by_side("kind = \"mains\"", set, "2.1").is("two-sources", &[]);
}

#[test]
fn a_plug_or_a_joint_outdoors_in_rain_is_danger() {
    let wet = |location: &str, room: &str, leads: &str| {
        let head = format!("class = \"led-300\"\nroom = \"{room}\"\nsocket = \"G1\"\nleads = {leads}");
        House { location, head: &head, more: LEADS, ..House::default() }.assess().of("wet-joint")
    };
    let rain = "weather = \"rain\"";
    assert_eq!(wet(rain, "out", "[\"c\"]"), ["danger wet-joint head.A"]);
    assert_eq!(wet(rain, "out", "[]"), Vec::<String>::new());
    assert_eq!(wet(rain, "in", "[\"c\"]"), Vec::<String>::new());
    assert_eq!(wet("", "out", "[\"c\"]"), Vec::<String>::new());
    let own_weather = House {
        head: "class = \"led-300\"\nroom = \"out\"\nsocket = \"G1\"\nleads = [\"c\"]",
        setup: "minutes = 60\non = [\"A\"]\nweather = \"rain\"",
        more: LEADS,
        ..House::default()
    };
    own_weather.assess().is("wet-joint", &["danger wet-joint head.A"]);
}

// --- Amps ------------------------------------------------------------------------------------------

#[test]
fn running_amps_are_watts_over_volts_and_power_factor() {
    // Worked by hand from W and λ: P/(V·λ), to two decimals, at 230 V and at 120 V.
    for (class, at_230, at_120) in [
        ("tungsten-650", 2.83, 5.42),
        ("tungsten-1k", 4.35, 8.33),
        ("tungsten-2k", 8.70, 16.67),
        ("discharge-575", 2.88, 5.53),
        ("discharge-1k2", 5.99, 11.48),
        ("discharge-1k2-plain", 9.78, 18.75),
        ("discharge-1k2-magnetic", 6.76, 12.96),
        ("discharge-2k5", 11.98, 22.96),
        ("led-300", 1.51, 2.89),
        ("led-600", 2.84, 5.44),
        ("led-1k2", 5.63, 10.79),
        ("led-tube-kit", 0.97, 1.85),
        ("monitors", 1.83, 3.51),
        ("chargers", 2.75, 5.26),
        ("haze", 4.35, 8.33),
        ("kettle", 13.04, 12.5),
    ] {
        let head = format!("class = \"{class}\"\nsocket = \"G1\"");
        near(House { head: &head, ..House::default() }.assess().amps("P1").0, at_230);
        near(House { region: "us", head: &head, ..House::default() }.assess().amps("P1").0, at_120);
    }
}

#[test]
fn a_head_between_two_legs_draws_from_both() {
    let found = House {
        region: "us",
        supply: "kind = \"mains\"\nwiring = \"split\"",
        circuit: "supply = \"house\"\nline = \"L1-L2\"\nbreaker_a = 50",
        socket: "circuit = \"P1\"\noutlet = \"us-240-50\"\ntest = \"ok\"",
        head: "class = \"discharge-4k\"\nplug = \"us-240-50\"\nvolts = 240\nsocket = \"G1\"",
        ..House::default()
    }
    .assess();
    // 4300/(240·0.98), in each leg; 4300 W in all
    near(found.amps("P1").0, 18.28);
    let supply = found.setup("s").supplies.iter().next().unwrap().1;
    near_both((supply.lines[0].amps().0, supply.lines[1].amps().0), (18.28, 18.28));
    near(supply.kw.0, 4.3);
    found.is("volts-wrong", &[]);
    found.is("outlet-over", &[]);
}

#[test]
fn an_unknown_breaker_is_the_smallest_that_is_usual_in_the_region() {
    for (region, amps) in [("au", 16.0), ("uk", 20.0), ("us", 15.0), ("eu", 10.0)] {
        let found =
            House { region, circuit: "supply = \"house\"\nrcd = \"RA\"", ..House::default() }.assess();
        near(found.limit("s", "P1"), amps);
    }
}
