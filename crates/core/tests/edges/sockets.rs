//! Edge cases of sockets and boards.

use ampwalk_core::file::parse;
use ampwalk_core::plan::HeldBy;
use ampwalk_core::trace::{Advice, Basis, LabelStand, WhyAgain, WhyNone, words};

use super::*;

/// One head of 5 A on G1.
const HEAD: &str =
    "[head.A]\namps = 5\nsocket = \"G1\"\n[setup.day]\nstart = \"22:30\"\nminutes = 60\non = [\"A\"]";

#[test]
fn e01_a_label_that_lies_loses_against_the_trace_and_makes_the_others_untrusted() {
    let told = found_house(
        "[socket.G1]\nroom = \"in\"\nlabel = \"P1\"\n[socket.G2]\nroom = \"in\"\nlabel = \"P3\"\n\
         [socket.G3]\nroom = \"in\"\nlabel = \"P2\"\ncircuit = \"P2\"\n\
         [[trace]]\noff = \"P2\"\ndead = [\"G1\"]",
    );
    // Nobody wrote `circuit = \"P2\"` at G1: the trace alone proves it.
    assert_eq!(told.on("G1"), ["P2"]);
    let labels = &told.report.labels;
    let wrong: Vec<_> = labels.wrong().collect();
    assert_eq!(
        (wrong[0].says.as_str(), &wrong[0].stand),
        ("P1", &LabelStand::Wrong(vec![told.circuit("P2")]))
    );
    assert_eq!((labels.right(), wrong.len(), labels.untested().count()), (1, 1, 1));
    assert!(labels.are_distrusted());
    says(
        &words::labels(labels),
        &["1 of 2 checked labels wrong", "do not trust the one that no test bore out"],
    );
    assert_eq!(told.of("label-wrong"), ["risk socket.G1"]);
    says(&told.text("label-wrong"), &["G1 says P1 on the wall, the trace says P2", "1 of 2"]);
}

#[test]
fn e02_an_untraced_outlet_counts_on_every_circuit_and_rcd_that_it_may_be_on() {
    let told = found_house(&format!("[socket.G1]\nroom = \"in\"\ntest = \"ok\"\n{HEAD}\nleak_ma = 2").replace(
        "\nleak_ma = 2",
        "\n[head.B]\namps = 16\nleak_ma = 2\nsocket = \"G2\"\n[socket.G2]\nroom = \"in\"\ntest = \"ok\"\ncircuit = \"P1\"\n\
         [setup.night]\nminutes = 60\non = [\"A\", \"B\"]",
    ));
    assert_eq!(told.known("G1").basis, Basis::Nothing);
    for circuit in ["P1", "P2", "P3"] {
        assert_eq!(told.amps(circuit), (0.0, 5.0), "{circuit}");
    }
    // With 16 A on P1 for certain, 21 A of 20 are possible: it is told as a risk, never as nothing.
    assert!(told.of("breaker-may-over").contains(&"risk circuit.P1".to_owned()));
    assert!(told.day().assumed > 0, "what rests on an untraced socket is assumed");
}

#[test]
fn e03_with_no_access_to_the_board_breakers_are_the_smallest_usual_and_nothing_is_switched_off() {
    // US 15 A; EU 10 A; UK a 32 A ring is seen as 20 A; AU 16 A.
    for (region, amps) in [("us", 15.0), ("eu", 10.0), ("uk", 20.0), ("au", 16.0)] {
        let locked = "board = \"locked\"\nboard_key = \"caretaker, 5 min\"";
        let text = house(region, locked, &format!("[socket.G1]\nroom = \"in\"\n{HEAD}"))
            .replace("breaker_a = 20\n", "");
        let told = told(&text);
        let breaker = told.network.circuits[told.circuit("P1")].breaker;
        assert_eq!((breaker.value.0, breaker.origin.is_assumed()), (amps, true), "{region}");
        let Advice::NoTest { why, sockets } = &told.report.advice else {
            panic!("a test with the board locked")
        };
        assert_eq!((why, sockets.len()), (&WhyNone::Locked, 1));
        let words = words::advice(&told.network, &told.report.advice);
        says(&words, &["locked", "caretaker, 5 min", "plug-in", "G1"]);
    }
    let hidden = told(&house("uk", "", "[socket.G1]\nroom = \"in\""));
    says(
        &words::advice(&hidden.network, &hidden.report.advice),
        &["before the consumer unit is found", "plug-in"],
    );
}

#[test]
fn e05_timed_held_and_switched_outlets_have_hours_and_are_tested_again_as_it_is_shot() {
    let text = house(
        "us",
        "board = \"found\"",
        &format!(
            "[socket.G1]\nroom = \"in\"\ntest = \"ok\"\ncircuit = \"T\"\n[socket.G2]\nroom = \"in\"\ncircuit = \"S\"\n\
             [socket.G3]\nroom = \"in\"\ntest = \"dead\"\n\
             [socket.G4a]\nroom = \"in\"\nplate = \"K\"\n[socket.G4b]\nroom = \"in\"\nplate = \"K\"\n\
             [circuit.T]\nsupply = \"house\"\nhours = [\"06:00\", \"22:00\"]\n\
             [circuit.S]\nsupply = \"house\"\nheld_by = \"movement sensor\"\n\
             [[trace]]\noff = \"P1\"\ndead = [\"G4a\"]\nlive = [\"G4b\"]\n\
             [[trace]]\noff = \"T\"\nlive = [\"G4a\"]\n[[trace]]\noff = \"S\"\nlive = [\"G4a\"]\n{HEAD}"
        ),
    );
    let told = told(&text);
    assert_eq!(
        told.of("hours-out"),
        ["dark circuit.T"],
        "dead at 22:30, though it was live as it was tested"
    );
    let of =
        |wanted: fn(&WhyAgain) -> bool| told.report.retests.iter().find(|again| wanted(&again.why)).unwrap();
    let dead = of(|why| *why == WhyAgain::Dead);
    assert_eq!(dead.sockets, [told.socket("G3")]);
    let timed = of(|why| matches!(why, WhyAgain::Hours(..)));
    assert!(timed.sockets.contains(&told.socket("G1")));
    says(
        &words::retest(&told.network, timed),
        &["T", "live from 06:00 to 22:00 only", "at 22:30, as it is shot"],
    );
    let held = of(|why| matches!(why, WhyAgain::HeldBy(_, HeldBy::MovementSensor)));
    says(&words::retest(&told.network, held), &["S", "movement sensor holds on"]);
    // Two outlets of one duplex on two circuits: the tab between them is cut.
    let split = &told.report.splits[0];
    assert_eq!(told.on("G4a"), ["P1"]);
    assert!(!told.on("G4b").contains(&"P1"));
    says(&words::split(&told.network, split), &["plate K is split", "G4a on P1"]);
}

#[test]
fn e05_a_socket_that_may_be_on_a_timer_is_not_taken_for_one_of_the_breaker_that_was_off() {
    let more = "[circuit.T]\nsupply = \"house\"\nhours = [\"06:00\", \"22:00\"]\n[socket.G1]\nroom = \"in\"\n\
                [socket.G2]\nroom = \"in\"\ntest = \"dead\"\n[[trace]]\noff = \"P1\"\ndead = [\"G1\", \"G2\"]";
    let told = found_house(more);
    assert_eq!(told.on("G1"), ["P1", "T"], "it may have gone off by itself");
    assert_eq!(told.on("G2"), ["P1", "P2", "P3", "T"], "it is dead whatever is off");
    // Dead with P1 off and with P2 off: the timer alone explains it, so it is told as a guess.
    let twice = found_house(&format!("{more}\n[[trace]]\noff = \"P2\"\ndead = [\"G1\"]"));
    assert_eq!((twice.on("G1"), twice.known("G1").basis), (vec!["T"], Basis::ByItself));
    let words = words::socket(&twice.network, &twice.report, twice.socket("G1"));
    says(&words, &["G1 is on T if that went off by itself", "test it again while T is live"]);
}

#[test]
fn e06_a_ring_that_nobody_is_sure_of_is_seen_as_a_radial_of_20_a_and_its_plates_carry_what_they_carry() {
    // A 32 A breaker that nobody read is taken for 20 A; the twin plate carries 20 A in all, each plug 13 A.
    let unread = "[circuit.R]\nsupply = \"house\"\nring = true\n[socket.G1]\nroom = \"in\"\ncircuit = \"R\"\ntest = \"ok\"\nways = 2\n";
    let heads = |first: u8, second: u8| {
        found_house(&format!(
            "{unread}[head.A]\namps = {first}\nsocket = \"G1\"\n[head.B]\namps = {second}\nsocket = \"G1\"\n\
             [setup.day]\nminutes = 60\non = [\"A\", \"B\"]"
        ))
    };
    let breaker = told_breaker(&heads(10, 9));
    assert_eq!(breaker, (20.0, true));
    assert_eq!(heads(10, 9).of("plate-over"), Vec::<String>::new());
    assert_eq!(heads(11, 10).of("plate-over"), ["danger socket.G1"]);
    assert_eq!(heads(14, 1).of("outlet-over"), ["danger head.A"]);
}

fn told_breaker(told: &Told) -> (f64, bool) {
    let breaker = told.network.circuits[told.circuit("R")].breaker;
    (breaker.value.0, breaker.origin.is_assumed())
}

#[test]
fn e07_shaver_medical_and_uninterruptible_outlets_are_never_used_whatever_the_tester_says() {
    for outlet in ["uk-shaver", "uk-13"] {
        let ban =
            if outlet == "uk-13" { "ban = \"server room, on the uninterruptible supply\"\n" } else { "" };
        let told = found_house(&format!(
            "[socket.G1]\nroom = \"in\"\noutlet = \"{outlet}\"\ncircuit = \"P1\"\ntest = \"ok\"\n{ban}{HEAD}"
        ));
        assert_eq!(told.of("socket-banned"), ["danger socket.G1"], "{outlet}");
    }
    // A circuit that feeds such machines stays on, whatever a test would teach.
    let kept = house("uk", "board = \"found\"", "[socket.G1]\nroom = \"in\"\n[socket.G2]\nroom = \"in\"")
        .replace("breaker_a = 20\nrcd = \"RA\"", "breaker_a = 20\nrcd = \"RA\"\nkeep_on = \"medical\"");
    let told = told(&kept);
    let Advice::Test(next) = &told.report.advice else { panic!("P3 may be switched off") };
    assert_eq!(next.dark.circuits, [told.circuit("P3")]);
}

#[test]
fn e08_an_adaptor_in_the_wall_is_banned_or_counted_with_its_fuse_and_a_lead_of_no_size_is_refused() {
    let block = "[socket.G1]\nroom = \"in\"\ncircuit = \"P1\"\ntest = \"ok\"\n\
                 [block.four]\nplug = \"uk-13\"\nways = 4\nfuse_a = 13\ncount = 1\n\
                 [head.A]\namps = 8\nsocket = \"G1\"\nleads = [\"four\"]\n[head.B]\namps = 6\nsocket = \"G1\"\nleads = [\"four\"]\n\
                 [setup.day]\nminutes = 60\non = [\"A\", \"B\"]";
    // 14 A through one fuse of 13 A, though the plate would carry them.
    assert_eq!(found_house(block).of("outlet-over"), ["danger socket.G1"]);
    let banned = found_house(
        &block.replace("test = \"ok\"", "test = \"ok\"\nban = \"the owner's extension is in it\""),
    );
    assert_eq!(banned.of("socket-banned"), ["danger socket.G1"]);
    let refused = parse(&house("uk", "", "[cable.owners]\nlength_m = 5"));
    assert!(
        refused.problems.iter().any(|problem| problem.message.contains("owners")),
        "{:?}",
        refused.problems
    );
}

#[test]
fn e12_what_a_tester_cannot_see_is_not_taken_for_known_and_a_claimed_rcd_that_never_drops_may_lack_its_earth()
{
    let told = found_house(&format!(
        "[socket.G1]\nroom = \"in\"\ncircuit = \"P1\"\ntest = \"ok\"\nramp = {{ held_ma = 30 }}\n{HEAD}"
    ));
    // `ok` says nothing of a poor or false earth: the ramp that dropped nothing is danger all the same.
    assert_eq!(told.of("rcd-absent"), ["danger socket.G1"]);
    says(&told.stories(), &["though RA is said to be before it", "it has no earth"]);
}

#[test]
fn e13_reversed_no_earth_no_neutral_and_dead_are_danger_and_a_dead_one_is_tested_once_more() {
    for outcome in ["reversed", "no-earth", "no-neutral", "dead", "active-on-earth", "odd"] {
        let told = found_house(&format!(
            "[socket.G1]\nroom = \"in\"\ncircuit = \"P1\"\ntest = \"{outcome}\"\n{HEAD}"
        ));
        assert_eq!(told.of("socket-unsafe"), ["danger socket.G1"], "{outcome}");
        assert_eq!(told.report.retests.len(), usize::from(outcome == "dead"), "{outcome}");
    }
}
