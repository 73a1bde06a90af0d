//! Edge cases of RCDs and of what leaks.

use ampwalk_core::diagnose::{Kind, Likelihood, Trip, devices_of, diagnose};
use ampwalk_core::network::{At, SetupAt};
use ampwalk_core::plan::Reset;
use ampwalk_core::trace::room::FirstStepCause;
use ampwalk_core::trace::{ClampStand, Device, GoesDark, Readings, clamp_readings, words};

use super::*;

/// A corrected discharge head of 1.2 kW: 3.5 mA, and 10 more while it strikes.
const DISCHARGE: &str = "class = \"discharge-1k2\"";

fn one_head(socket: &str, head: &str) -> String {
    format!(
        "[socket.G1]\nroom = \"in\"\ncircuit = \"P1\"\ntest = \"ok\"\n{socket}\n[head.A]\n{head}\nsocket = \"G1\"\n\
         [setup.day]\nminutes = 60\non = [\"A\"]"
    )
}

#[test]
fn e04_an_rcd_over_two_floors_is_one_budget_and_what_goes_dark_with_it_is_told_over_both() {
    let told = found_house(&format!(
        "[socket.G1]\nroom = \"in\"\ncircuit = \"P1\"\ntest = \"ok\"\nramp = {{ held_ma = 15, tripped_ma = 20 }}\n\
         [socket.U1]\nroom = \"up\"\ncircuit = \"P2\"\ntest = \"ok\"\n[socket.U2]\nroom = \"up\"\n\
         [head.A]\n{DISCHARGE}\nsocket = \"G1\"\n[head.B]\n{DISCHARGE}\nsocket = \"U1\"\n\
         [setup.day]\nminutes = 60\non = [\"A\", \"B\"]"
    ));
    // One discharge head burning, the other striking: 3.5 + 3.5 + 10 mA, over the floors.
    near(told.rcd("RA").peak.0, 17.0);
    assert_eq!(told.of("rcd-may-trip"), ["risk rcd.RA"]);
    says(&told.text("rcd-may-trip"), &["dark then: P1 and P2"]);
    assert_eq!(told.day().strike_order.len(), 2, "one order over the whole RCD");
    let problem = &told.report.survey.problem;
    let off = problem.hit(&[Device::Rcd(told.network.rcd("RA").unwrap())]);
    let dark = GoesDark::with(&told.network, problem, &Readings::of(problem), &off);
    assert_eq!(dark.circuits, [told.circuit("P1"), told.circuit("P2")]);
    assert_eq!(dark.sockets, [told.socket("G1"), told.socket("U1")]);
    assert_eq!(dark.sockets_perhaps, [told.socket("U2")]);
    says(
        &words::goes_dark(&told.network, &dark),
        &["P1 and P2", "G1 and U1", "1 socket perhaps", "heads A and B"],
    );
}

#[test]
fn e09_heads_count_on_every_rcd_of_a_cascade_and_a_plug_in_one_in_front_has_a_budget_of_its_own() {
    let text = house("uk", "board = \"found\"", &one_head("portable_rcd = \"PR\"", DISCHARGE))
        .replace("[rcd.RA]\nrated_ma = 30\n", "[rcd.R0]\nrated_ma = 30\n[rcd.RA]\nrated_ma = 30\nbehind = \"R0\"\n[rcd.PR]\nclass = \"portable\"\nrated_ma = 10\n");
    let told = told(&text);
    for rcd in ["PR", "RA", "R0"] {
        near(told.rcd(rcd).standing.0, 3.5);
        near(told.rcd(rcd).peak.0, 13.5);
    }
    // The 10 mA unit in the socket drops; it saves the house's from faults, not from what leaks by design.
    assert_eq!(told.of("rcd-trips"), ["dark rcd.PR"]);
    // Equal ones in a chain: either may go, and both are told.
    let equal =
        house("uk", "board = \"found\"", &one_head("ramp = { held_ma = 10, tripped_ma = 15 }", DISCHARGE))
            .replace(
                "[rcd.RA]\nrated_ma = 30\n",
                "[rcd.R0]\nrated_ma = 30\n[rcd.RA]\nrated_ma = 30\nbehind = \"R0\"\n",
            );
    let told = super::told(&equal);
    assert!(told.of("rcd-may-trip").contains(&"risk rcd.RA".to_owned()));
    let behind = told.report.sockets[told.socket("G1")].rcds.len();
    assert_eq!(behind, 2);
}

#[test]
fn e10_a_ramp_with_the_fridge_and_one_without_tell_what_it_leaks_and_what_its_absence_gains() {
    let ramps = "ramp = [{ held_ma = 10, tripped_ma = 15 }, { held_ma = 20, tripped_ma = 25, off = [\"P1.fridge\"] }]";
    let text = house("uk", "board = \"found\"", &one_head(ramps, DISCHARGE)).replace(
        "[circuit.P1]\nsupply = \"house\"",
        "[circuit.P1]\nbase = [{ name = \"fridge\", amps = 0.7 }]\nsupply = \"house\"",
    );
    let told = told(&text);
    let leaks = told.base_load();
    // Over 20 - 15 and under 25 - 10 mA, 10 between the steps that held (interval arithmetic); through filters up
    // to the root of 25^2 - 10^2 = 22.9.
    assert_eq!((leaks.leaks.0.0, leaks.leaks.1.unwrap().0, leaks.gain.0), (5.0, 15.0, 10.0));
    near(leaks.at_most.unwrap().0, 525_f64.sqrt());
    assert_eq!((leaks.held_with.0, leaks.held_without.0), (10.0, 20.0), "left 10 with it, 20 without");
    says(&told.stories(), &["fridge on P1 leaks 5 to 15 mA", "10 gained", "ask its owner", "restore list"]);
    told.room("RA", 10.0, Some(15.0));
    let off = super::told(&text.replace("on = [\"A\"]", "on = [\"A\"]\nbase_off = [\"P1.fridge\"]"));
    off.room("RA", 20.0, Some(25.0));
}

#[test]
fn e10_loads_are_told_in_the_order_of_what_their_absence_gains() {
    let ramps = "ramp = [{ held_ma = 10, tripped_ma = 15 }, { held_ma = 15, tripped_ma = 20, off = [\"P1.heater\"] }, \
                 { held_ma = 20, tripped_ma = 25, off = [\"P1.fridge\"] }]";
    let text = house("uk", "board = \"found\"", &one_head(ramps, DISCHARGE)).replace(
        "[circuit.P1]\nsupply = \"house\"",
        "[circuit.P1]\nbase = [{ name = \"heater\", amps = 9 }, { name = \"fridge\", amps = 0.7 }]\nsupply = \"house\"",
    );
    let told = told(&text);
    let stories = told.stories();
    assert!(stories.find("fridge on P1") < stories.find("heater on P1"), "{stories}");
    says(&stories, &["10 gained", "5 gained"]);
}

#[test]
fn e11_an_rcd_that_drops_as_another_circuit_s_head_is_struck_is_a_neutral_and_no_reset_cures_it() {
    let text = house(
        "uk",
        "board = \"found\"",
        "[socket.G1]\nroom = \"in\"\ncircuit = \"P3\"\ntest = \"ok\"\n[head.A]\namps = 3\nsocket = \"G1\"\n\
         [setup.day]\nminutes = 60\non = [\"A\"]\n\
         [[trip]]\ndevice = \"RA\"\nsetup = \"day\"\nlast_struck = \"A\"\nreset = \"did-not-hold\"",
    );
    let told = told(&text);
    let stray = &told.report.stray_trips[0];
    assert_eq!((stray.on.as_slice(), stray.with.len()), ([told.circuit("P3")].as_slice(), 2));
    let words = words::stray_trip(&told.network, stray);
    says(
        &words,
        &[
            "RA dropped as A was struck",
            "on P3 and not behind it",
            "neutral",
            "heads off do not cure it",
            "no more resets",
            "electrician",
        ],
    );
    // With all of it unplugged and no reset that holds, the house is the likely cause.
    let mut trip = Trip::of(&told.network, SetupAt::new(0), vec![devices_of(&told.network, "RA").unwrap()]);
    trip.reset = Reset::DidNotHold;
    let causes = diagnose(&told.network, &told.assessment, &trip).causes;
    assert!(causes.iter().any(|cause| cause.kind == Kind::House && cause.likelihood == Likelihood::Likely));
    // Where traces clash as they would with such a neutral, it is told as a guess.
    let clash = found_house(
        "[socket.G1]\nroom = \"in\"\n[[trace]]\noff = \"RA\"\ndead = [\"G1\"]\n[[trace]]\noff = \"P3\"\ndead = [\"G1\"]",
    );
    assert_eq!(clash.of("trace-conflict"), ["risk socket.G1"]);
    assert_eq!(clash.report.clashes[0].evidence, [0, 1]);
    let guess = &clash.report.shared_neutrals[0];
    says(&words::shared_neutral(&clash.network, guess), &["neutral", "P3", "G1", "slip of the pen"]);
    assert_eq!(clash.on("G1"), ["P1", "P2", "P3"], "until it is known it counts everywhere");
}

#[test]
fn e14_a_ramp_that_drops_nothing_asks_for_a_plug_in_rcd_which_is_not_unlimited() {
    let told = found_house(&one_head("ramp = { held_ma = 35 }", DISCHARGE));
    assert_eq!(told.of("rcd-absent"), ["danger socket.G1"]);
    says(&told.text("rcd-absent"), &["plug-in"]);
    says(&told.stories(), &["dropped nothing", "a plug-in one of 30 mA", "it is faulty", "the tester is"]);
    // Our own one, tested through: 20 mA hold. One such head peaks at 13.5 mA, three at 20.5.
    let ramps = "portable_rcd = \"PR\"\nramp = [{ held_ma = 35 }, { held_ma = 20, tripped_ma = 25, dropped = \"PR\" }]";
    let portable = "[rcd.PR]\nclass = \"portable\"\nrated_ma = 30\n";
    let alone =
        super::told(&house("uk", "board = \"found\"", &format!("{portable}{}", one_head(ramps, DISCHARGE))));
    assert_eq!((alone.of("rcd-absent").len(), alone.of("rcd-may-trip").len()), (0, 0));
    near(alone.rcd("PR").peak.0, 13.5);
    let others = format!("[head.B]\n{DISCHARGE}\nsocket = \"G1\"\n[head.C]\n{DISCHARGE}\nsocket = \"G1\"\n");
    let three = one_head(&format!("ways = 3\n{ramps}"), DISCHARGE)
        .replace("on = [\"A\"]", "on = [\"A\", \"B\", \"C\"]");
    let three = super::told(&house("uk", "board = \"found\"", &format!("{portable}{others}{three}")));
    near(three.rcd("PR").peak.0, 20.5);
    assert_eq!(three.of("rcd-may-trip"), ["risk rcd.PR"]);
}

#[test]
fn e15_a_first_step_that_trips_leaves_nothing_and_is_told_as_three_stories() {
    let step = "ramp = { held_ma = 0, tripped_ma = 10 }";
    let unread = house("uk", "board = \"found\"", &one_head(step, DISCHARGE))
        .replace("[rcd.RA]\nrated_ma = 30", "[rcd.RA]");
    let told = told(&unread);
    told.room("RA", 0.0, Some(10.0));
    let Some(Story::FirstStep { causes, .. }) = told.report.stories.first() else { panic!("no story") };
    assert_eq!(causes, &[FirstStepCause::Leaking, FirstStepCause::TenMilliamp, FirstStepCause::GroundFault]);
    says(
        &told.stories(),
        &["0 mA is left, not 10", "leaks already", "10 mA: read its rating", "ground-fault", "3.1 to 4.2 mA"],
    );
    // Its rating read: then something leaks.
    let Some(Story::FirstStep { causes, .. }) =
        found_house(&one_head(step, DISCHARGE)).report.stories.first().cloned()
    else {
        panic!("no story")
    };
    assert!(!causes.contains(&FirstStepCause::TenMilliamp));
    // Known for a ground-fault interrupter, the step measures nothing: 4 to 6 mA by UL 943.
    let gfci = house("us", "board = \"found\"", &one_head(step, "class = \"led-300\""))
        .replace("[rcd.RA]\nrated_ma = 30", "[rcd.RA]\nclass = \"gfci\"");
    let gfci = super::told(&gfci);
    gfci.room("RA", 4.0, Some(6.0));
    says(&gfci.stories(), &["4 to 6 mA by its standard", "a ramp measures nothing of it"]);
}

#[test]
fn e34_a_clamp_that_says_more_than_the_sum_names_the_heads_to_doubt_those_that_rest_on_a_default_first() {
    let with = |clamp: &str| {
        let text = house(
            "uk",
            "board = \"found\"",
            "[socket.G1]\nroom = \"in\"\ncircuit = \"P1\"\ntest = \"ok\"\nways = 3\n[head.A]\namps = 5\nsocket = \"G1\"\n\
             [head.B]\nclass = \"tungsten-1k\"\nsocket = \"G1\"\n[head.C]\nclass = \"led-600\"\nsocket = \"G1\"\n\
             [setup.day]\nminutes = 60\non = [\"A\", \"B\", \"C\"]",
        );
        let measured = format!("[circuit.P1]\nmeasured = {{ amps = {clamp}, setup = \"day\" }}");
        let told = told(&text.replace("[circuit.P1]", &measured));
        let readings = clamp_readings(&told.network, &told.assessment);
        let ids =
            readings[0].doubt.iter().map(|head| told.network.head_id(*head).to_string()).collect::<Vec<_>>();
        (readings[0].stand, ids, words::clamp(&told.network, &readings[0]))
    };
    // 5 + 1000/230 + 620/(230 x 0.95) = 12.19 A; B and C by their class, B the larger.
    let (stand, doubt, words) = with("14.2");
    assert_eq!((stand, doubt), (ClampStand::More, vec!["B".to_owned(), "C".to_owned()]));
    says(&words, &["P1 in day", "14.2 A", "12.2 A", "doubt B and C"]);
    assert_eq!(with("12.5").0, ClampStand::Agrees);
    let (stand, _, words) = with("9");
    assert_eq!(stand, ClampStand::Less);
    says(&words, &["not the most that may flow"]);
}

#[test]
fn e16_an_rcd_of_100_or_300_ma_protects_no_person_and_a_plug_in_one_is_asked_for() {
    for rated in [100, 300] {
        let text = house("uk", "board = \"found\"", &one_head("", DISCHARGE))
            .replace("[rcd.RA]\nrated_ma = 30", &format!("[rcd.RA]\nrated_ma = {rated}"));
        let told = told(&text);
        assert_eq!(told.of("rcd-coarse"), ["danger socket.G1"], "{rated}");
        says(&told.text("rcd-coarse"), &["protects no person", "plug-in 30 mA"]);
    }
}
