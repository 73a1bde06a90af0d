//! Leads through a whole assessment: volts that arrive, heating, earth-fault loops.

use std::sync::Arc;

use ampwalk_core::assess::assess;
use ampwalk_core::file::parse;
use ampwalk_core::network::Network;

/// What is found of a head at the end of a lead, by rule: severity, value, text.
struct Found {
    rule: &'static str,
    severity: String,
    value: Option<f64>,
    text: String,
}

/// One head on one lead; also the volts that arrive and the percent lost.
fn lead(
    region: &str,
    circuit: &str,
    socket: &str,
    cable: &str,
    head: &str,
) -> (Vec<Found>, Option<(f64, f64)>) {
    let text = format!(
        "ampwalk = 1\n[location]\nregion = \"{region}\"\nboard = \"found\"\n[supply.S]\nkind = \"mains\"\nvolts = 230\n\
         [rcd.R]\nrated_ma = 30\n[circuit.C]\nsupply = \"S\"\n{circuit}\n[floor.g]\nlevel = 0\n\
         [room.r]\nfloor = \"g\"\n[socket.P]\nroom = \"r\"\noutlet = \"cee-32\"\ncircuit = \"C\"\ntest = \"ok\"\n{socket}\n\
         [cable.k]\nplug = \"cee-32\"\n{cable}\n\
         [head.H]\nplug = \"cee-32\"\nsocket = \"P\"\nleads = [\"k\"]\n{head}\n\
         [setup.day]\nminutes = 60\non = [\"H\"]\n"
    );
    let parsed = parse(&text);
    assert!(parsed.problems.is_empty(), "{:?}\n{text}", parsed.problems);
    let network = Network::of(Arc::new(parsed.plan));
    let assessment = assess(&network);
    let arriving = network.setup("day").zip(network.head("H")).and_then(|(setup, head)| {
        let used = assessment.setups[setup].heads[head].as_ref()?;
        Some((used.arriving?.0, used.drop_percent()?))
    });
    let of_leads = ["drop-high", "cable-hot", "loop-high", "amps-low-volts", "afci"];
    let found = assessment
        .findings
        .iter()
        .filter(|finding| of_leads.contains(&finding.rule.id))
        .map(|finding| Found {
            rule: finding.rule.id,
            severity: finding.severity.to_string(),
            value: finding.crossing.map(|crossing| crossing.value),
            text: finding.text.clone(),
        })
        .collect();
    (found, arriving)
}

const C32: &str = "breaker_a = 32\ncurve = \"C\"\nrcd = \"R\"";

#[track_caller]
fn near(ours: f64, theirs: f64, by: f64) {
    assert!((ours - theirs).abs() < by, "{ours} is not {theirs}");
}

#[test]
fn a_long_thin_lead_loses_what_three_network_solvers_say() {
    // 3 kW at the end of 50 m of 1.5 mm²: scipy, OpenDSS and pandapower give 206.929 V, 10.031 % less.
    let cable = "length_m = 50\nmm2 = 1.5\nrated_a = 16";
    let (found, arriving) = lead("uk", C32, "", cable, "watts = 3000");
    assert_eq!((found.len(), found[0].rule, found[0].severity.as_str()), (1, "drop-high", "risk"));
    near(arriving.map_or(0.0, |volts| volts.0), 206.929, 1e-2);
    near(found[0].value.unwrap_or(0.0), 10.031, 1e-2);
    // A filament draws less as the volts fall: 210.244 V, and (210.244/230)^3.4 = 0.737 of its light.
    let (found, arriving) = lead("uk", C32, "", cable, "watts = 3000\nload = \"filament\"");
    near(arriving.map_or(0.0, |volts| volts.0), 210.244, 1e-2);
    assert!(found[0].text.contains("74 % of its light"), "{}", found[0].text);
}

#[test]
fn four_percent_is_borne_and_a_lead_that_brings_nothing_is_told() {
    // 2 kW at the end of 50 m of 2.5 mm², 0.95478 Ω; by the quadratic 221.374 V, 3.751 % less.
    let (found, arriving) = lead("uk", C32, "", "length_m = 50\nmm2 = 2.5", "watts = 2000");
    assert!(found.is_empty());
    near(arriving.map_or(0.0, |volts| volts.1), 3.751, 1e-3);
    // 200 m of 1.5 mm², 6.365 Ω: 230²/(4·6.365) = 2078 W at most.
    let (found, arriving) = lead("uk", C32, "", "length_m = 200\nmm2 = 1.5\nrated_a = 32", "watts = 3000");
    assert_eq!((found[0].rule, arriving), ("drop-high", None));
    assert!(found[0].text.contains("more than its leads can bring"), "{}", found[0].text);
}

#[test]
fn a_lead_over_its_rating_is_danger_and_wound_up_it_carries_a_third() {
    // BS 7671 table 4F3A, from memory: 1 mm² carries 10 A.
    let (found, _) = lead("uk", C32, "", "length_m = 5\nmm2 = 1", "amps = 13");
    assert_eq!(
        (found[0].rule, found[0].severity.as_str(), found[0].value),
        ("cable-hot", "danger", Some(13.0))
    );
    let reel = "length_m = 5\nmm2 = 2.5\nrated_a = 16\non_reel = true";
    assert!(lead("uk", C32, "", reel, "amps = 5.3").0.is_empty());
    let (found, _) = lead("uk", C32, "", reel, "amps = 5.4");
    assert!(found[0].text.contains("wound on its reel"), "{}", found[0].text);
    let printed = format!("{reel}\nreel_rated_a = 6");
    assert!(lead("uk", C32, "", &printed, "amps = 5.4").0.is_empty());
}

#[test]
fn a_loop_over_the_table_is_a_risk_behind_an_rcd_and_danger_without() {
    // Worked: 0.8 Ω outside, 0.4669 Ω of wiring and 50 m of 1.5 mm², 1.5913 Ω: 2.858 Ω; C16 allows
    // 1.3656 Ω (BS 7671 table 41.3).
    let cable = "length_m = 50\nmm2 = 1.5\nrated_a = 16";
    let c16 = "breaker_a = 16\ncurve = \"C\"";
    let at_socket = "loop_ohm = 1.2669";
    let (found, _) = lead("uk", &format!("{c16}\nrcd = \"R\""), at_socket, cable, "amps = 1");
    assert_eq!((found[0].rule, found[0].severity.as_str()), ("loop-high", "risk"));
    near(found[0].value.unwrap_or(0.0), 2.8582, 1e-3);
    let (found, _) = lead("uk", c16, at_socket, cable, "amps = 1");
    assert_eq!((found[0].rule, found[0].severity.as_str()), ("loop-high", "danger"));
    // On a short lead, 0.35 + 0.4669 + 0.1591 = 0.976 Ω, it is not over.
    let short = "length_m = 5\nmm2 = 1.5\nrated_a = 16";
    assert!(lead("uk", c16, "loop_ohm = 0.8169", short, "amps = 1").0.is_empty());
}

#[test]
fn a_steady_head_draws_more_at_the_lowest_mains_and_a_filament_less() {
    // 3600 W on 230 V: 15.652 A of 16; at 0.94 of that (ESQCR 2002) 16.651 A, the short lead apart.
    let c16 = "breaker_a = 16\ncurve = \"C\"\nrcd = \"R\"";
    let short = "length_m = 1\nmm2 = 10";
    let (found, _) = lead("uk", c16, "", short, "watts = 3600");
    assert_eq!((found[0].rule, found[0].severity.as_str()), ("amps-low-volts", "risk"));
    near(found[0].value.unwrap_or(0.0), 16.651, 0.01);
    assert!(lead("uk", c16, "", short, "watts = 3600\nload = \"filament\"").0.is_empty());
    assert!(lead("uk", c16, "", short, "watts = 3400").0.is_empty());
}

#[test]
fn an_arc_fault_breaker_may_drop_for_uncorrected_drivers() {
    let circuit = "breaker_a = 20\ncurve = \"C\"\nrcd = \"R\"\nafci = true";
    let short = "length_m = 1\nmm2 = 10";
    let (found, _) = lead("uk", circuit, "", short, "amps = 2\nspectrum = \"capacitor\"");
    assert_eq!((found[0].rule, found[0].severity.as_str()), ("afci", "risk"));
    assert!(lead("uk", circuit, "", short, "amps = 2\nspectrum = \"corrected\"").0.is_empty());
}

#[test]
fn where_no_circuit_is_known_all_heads_may_be_on_one_small_breaker() {
    // 12 + 8 A, and 16 A is the smallest usual breaker in Australia (typical, from memory).
    let plan = |amps: &str| {
        let text = format!(
            "ampwalk = 1\n[location]\nregion = \"au\"\n[floor.g]\nlevel = 0\n[room.r]\nfloor = \"g\"\n\
             [socket.P]\nroom = \"r\"\noutlet = \"au-15\"\nways = 2\ntest = \"ok\"\n\
             [head.A]\namps = 12\nplug = \"au-15\"\nsocket = \"P\"\n[head.B]\namps = {amps}\nplug = \"au-15\"\nsocket = \"P\"\n\
             [setup.day]\nminutes = 60\non = [\"A\", \"B\"]\n"
        );
        let assessment = assess(&Network::of(Arc::new(parse(&text).plan)));
        let found = assessment.findings.iter().find(|finding| finding.rule.id == "breaker-may-over");
        found.map(|finding| (finding.severity.to_string(), finding.crossing.map(|crossing| crossing.value)))
    };
    assert_eq!(plan("8"), Some(("risk".to_owned(), Some(20.0))));
    assert_eq!(plan("3"), None);
}
