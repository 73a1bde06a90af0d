//! After a trip, by keys: the question, the three blocks, the reset, the log.

use ampwalk_core::plan::Reset;

use super::*;
use crate::layer::Layer;
use crate::trip::{Recovery, Stage};

const MILL: &str = include_str!("../../../../examples/mill-house.toml");

/// The demo house, with B of `day` behind RA.
fn mill() -> Desk {
    Desk::of(MILL)
}

fn recovery(desk: &Desk) -> &Recovery {
    desk.model
        .layers
        .iter()
        .find_map(|layer| if let Layer::Recovery(recovery) = layer { Some(&**recovery) } else { None })
        .unwrap_or_else(|| panic!("no recovery in\n{}", desk.screen()))
}

fn answered(desk: &mut Desk) {
    desk.event(Event::Time("2026-03-02T14:05:31".to_owned()));
}

#[test]
fn one_key_from_every_screen_and_layer_asks_what_went() {
    for script in [
        "1", "2", "3", "4", "5", "enter", "f", "i", "i enter", "p", "?", ":", "/", "w", "right", "R",
        "enter t",
    ] {
        let mut desk = mill();
        desk.keys(script).keys("!");
        assert!(
            matches!(desk.model.layers.last(), Some(Layer::Went(_))) || desk.screen().contains("What went?"),
            "after {script:?}\n{}",
            desk.screen()
        );
        assert_eq!(desk.effects.last(), Some(&Effect::AskTime), "{script}");
    }
}

#[test]
fn in_a_line_that_is_begun_the_key_is_a_letter_and_the_other_key_asks() {
    let mut desk = mill();
    desk.keys("E enter !");
    let Some(Layer::Ask(ask)) = desk.model.layers.last() else { panic!("{}", desk.screen()) };
    assert!(ask.prompt.input.value().ends_with('!'), "{}", ask.prompt.input.value());
    desk.keys("ctrl-t");
    desk.shows("What went?");
    desk.keys("esc esc esc");
    assert!(desk.model.layers.is_empty());
}

#[test]
fn from_the_question_to_the_last_ticked_line_in_nine_keys() {
    let mut desk = mill();
    let script = "! 1 enter 1 enter enter enter enter r";
    desk.keys("!");
    answered(&mut desk);
    desk.keys(script.strip_prefix("! ").unwrap());
    assert_eq!(script.split(' ').count(), 9, "! what last since, four lines, and the reset");
    let open = recovery(&desk);
    assert_eq!(open.trip.reset, Reset::Held);
    // D went to another socket in the plan, B stayed where it is in the plan.
    assert_ne!(desk.socket_of("D").as_deref(), Some("G1"));
    assert_ne!(desk.socket_of("V").as_deref(), Some("G2"));
    assert_eq!(desk.socket_of("B").as_deref(), Some("G2"));
    // E is left, and the reset brings it back where it was.
    assert_eq!(open.lines().len(), 2);
    desk.shows("where it was");
    desk.keys("enter enter");
    let open = recovery(&desk);
    let network = desk.model.document.network();
    assert!(open.lines().iter().all(|line| open.is_done(network, *line)), "{}", desk.screen());
}

#[test]
fn the_three_blocks_say_what_the_spark_does() {
    let mut desk = mill();
    desk.keys("!");
    desk.shows("What went?");
    desk.shows("1  RCD RA");
    answered(&mut desk);
    desk.keys("1");
    desk.shows("What was struck last?");
    desk.shows("1  B");
    desk.keys("enter");
    desk.shows("How long after switch-on?");
    desk.keys("enter");
    desk.shows("14:05  RA went, B struck last");
    desk.shows("1  UNPLUG FIRST");
    desk.shows("B  at G2    struck as it went");
    desk.shows("2  RELIGHT NOW");
    desk.shows("V  to G6    a10 comes along");
    desk.shows("D  to G5    fetch a20");
    desk.shows("E  at G1    no place now, 0.3 mA");
    desk.shows("A and Q stay lit");
    desk.shows("3  LATER");
    desk.shows("then reset RA once:");
    desk.shows("r it held    n it did not");
    desk.shows("resets so far 0, never more than 2");
    desk.shows("All 4 heads on RA off before");
    desk.shows("likely    B leaks while striking");
}

#[test]
fn the_log_writes_itself_with_the_time_and_what_the_reset_did() {
    let mut desk = mill();
    desk.keys("!");
    answered(&mut desk);
    desk.keys("1 enter 2");
    let text = desk.model.document.text();
    let line = &text[text.find("[[trip]]").unwrap()..];
    for key in [
        "at = \"2026-03-02T14:05:31\"",
        "device = \"RA\"",
        "setup = \"day\"",
        "last_struck = \"B\"",
        "after_min = 0.5",
        "reset = \"not-tried\"",
    ] {
        assert!(line.contains(key), "{key} in {line}");
    }
    assert!(desk.effects.iter().any(|effect| matches!(effect, Effect::Save { .. })));
    desk.keys("n");
    assert!(desk.model.document.text().contains("reset = \"did-not-hold\""));
    desk.shows("the house's own");
    desk.keys("n");
    assert_eq!(desk.model.document.network().plan.trips.len(), 2, "a line for each reset");
    desk.keys("esc 4");
    desk.model.size = (100, 60);
    desk.shows("RA went · B struck last · after 0.5 min · reset did not hold");
    assert!(desk.model.document.problems().is_empty());
}

#[test]
fn nobody_is_offered_a_third_reset() {
    let mut desk = mill();
    desk.keys("! 1 enter enter n");
    desk.shows("resets so far 1");
    desk.shows("one last time");
    desk.keys("n");
    desk.shows("NO MORE RESETS of RA");
    desk.shows("tell the owner: a licensed");
    assert!(!desk.screen().contains("r it held    n it did not"), "{}", desk.screen());
    let before = desk.model.document.text().to_owned();
    desk.keys("r");
    desk.says("2 resets are the most");
    assert_eq!(desk.effects.last(), Some(&Effect::Bell));
    assert_eq!(desk.model.document.text(), before);
    // Asked anew, the log is remembered.
    desk.keys("esc ! 1 enter enter");
    desk.shows("NO MORE RESETS of RA");
}

#[test]
fn a_breaker_and_its_rcd_offer_no_reset() {
    let mut desk = mill();
    desk.keys("!");
    let Some(Layer::Went(question)) = desk.model.layers.last() else { panic!() };
    let answers = question.answers(desk.model.document.network(), desk.model.document.assessment());
    let both = answers
        .iter()
        .position(|answer| matches!(answer, crate::trip::Answer::Lost(lost) if lost.len() == 2))
        .unwrap();
    for _ in 0..both {
        desk.keys("down");
    }
    desk.shows("both: breaker and RCD");
    desk.keys("enter enter enter");
    desk.shows("NO RESET of");
    desk.shows("nothing fits elsewhere");
    desk.keys("r");
    desk.says("No reset here");
}

#[test]
fn a_ticked_move_is_taken_back_by_undo_and_its_tick_goes() {
    let mut desk = mill();
    desk.keys("! 1 enter enter");
    let before = desk.socket_of("V");
    desk.keys("enter enter enter");
    let moved = desk.socket_of("V");
    assert_ne!(moved, before);
    let line = |desk: &Desk| {
        let screen = desk.screen();
        screen.lines().find(|line| line.contains("V  to")).unwrap().to_owned()
    };
    assert!(line(&desk).contains("DONE"));
    desk.keys("u");
    assert_eq!(desk.socket_of("V"), before);
    assert!(!line(&desk).contains("DONE"), "{}", desk.screen());
    desk.keys("U");
    assert!(line(&desk).contains("DONE"));
    // The other setups keep their own socket.
    desk.keys("esc s");
    assert_eq!(desk.socket_of("V").as_deref(), Some("G2"));
}

#[test]
fn dark_heads_tell_the_device() {
    let mut desk = mill();
    desk.keys("! d");
    desk.shows("Which heads are dark?");
    let row = |desk: &Desk, id: &str| {
        let Some(Layer::Went(question)) = desk.model.layers.last() else { panic!() };
        let (network, assessment) = (desk.model.document.network(), desk.model.document.assessment());
        let at = network.head(id).unwrap();
        question
            .answers(network, assessment)
            .iter()
            .position(|answer| *answer == crate::trip::Answer::Dark(at))
            .unwrap()
            + 1
    };
    for id in ["A", "Q"] {
        let digit = row(&desk, id).to_string();
        desk.keys(&digit);
    }
    desk.shows("are dark: go on");
    desk.keys("1");
    let Some(Layer::Went(question)) = desk.model.layers.last() else { panic!() };
    // A on AC and Q on P3 meet at RB; the supply would darken more.
    assert_eq!(question.stage, Stage::Last);
    let network = desk.model.document.network();
    assert_eq!(question.lost[0].id(network).as_str(), "RB");
    desk.keys("esc");
    desk.shows("Which heads are dark?");
}

#[test]
fn why_tells_the_causes_of_a_line_and_comes_back_to_it() {
    let mut desk = mill();
    desk.keys("! 1 enter enter w");
    desk.shows("Why B");
    desk.shows("stays off until a reset held without it");
    desk.keys("esc down down w");
    desk.shows("Why V");
    desk.keys("esc esc");
    assert!(desk.model.layers.is_empty());
}

#[test]
fn on_shoot_enter_ticks_the_step_and_the_last_one_is_the_answer_first() {
    let mut desk = mill();
    desk.model.size = (80, 60);
    desk.keys("4 home enter");
    desk.says("is struck");
    desk.shows("STRUCK");
    let first = desk.model.struck[0].1.clone();
    desk.keys("enter !");
    let Some(Layer::Went(question)) = desk.model.layers.last() else { panic!() };
    let network = desk.model.document.network();
    assert_eq!(question.default, network.head(desk.model.struck[1].1.as_str()));
    desk.keys("esc home enter");
    desk.says(&format!("{first} is not struck after all"));
    assert_eq!(desk.model.struck.len(), 1);
    assert!(desk.effects.iter().all(|effect| !matches!(effect, Effect::Save { .. })), "not in the plan");
}

#[test]
fn a_step_that_may_drop_an_rcd_says_so_before_and_what_goes_dark() {
    let mut desk = mill();
    desk.model.size = (100, 60);
    desk.keys("4 home");
    for _ in 0..desk.model.heads().len() {
        if desk.screen().contains("before you strike it: RA") {
            break;
        }
        desk.keys("down");
    }
    desk.shows("before you strike it: RA");
    desk.shows("dark then: P1, P2 and P4");
}

#[test]
fn heads_that_were_not_struck_yet_are_cold() {
    let mut desk = mill();
    // B alone was struck; A hangs on RB and is cold.
    desk.keys("4");
    let order = &desk.model.document.assessment().setups[desk.model.setup.unwrap()].strike_order;
    let place = order.iter().position(|head| Some(*head) == desk.model.document.network().head("Q")).unwrap();
    for _ in 0..place {
        desk.keys("down");
    }
    desk.keys("enter !");
    let Some(Layer::Went(question)) = desk.model.layers.last() else { panic!() };
    let trip = question.trip(desk.model.document.network());
    assert!(trip.not_struck.contains(&desk.model.document.network().head("A").unwrap()));
}

#[test]
fn questions_and_blocks_are_drawn_at_every_size_and_leave_with_esc() {
    for size in [(1, 1), (12, 4), (40, 24), (40, 12), (80, 24), (79, 30), (160, 50)] {
        for script in
            ["!", "! d", "! 1", "! 1 enter", "! 1 enter enter", "! 1 enter enter n", "! 1 enter enter r"]
        {
            let mut desk = Desk::opened(MILL, size, Origin::Demo);
            desk.keys(script);
            assert!(desk.screen().lines().count() == usize::from(size.1), "{size:?} {script}");
            desk.keys("esc esc esc esc");
            assert!(desk.model.layers.is_empty(), "{script}");
        }
    }
    let mut empty = Desk::of("ampwalk = 1\n[location]\nregion = \"us\"\n");
    empty.keys("!");
    empty.says("There is no setup yet");
}

#[test]
fn a_click_takes_an_answer_and_a_second_click_a_line() {
    let mut desk = mill();
    desk.keys("!");
    let row = |desk: &Desk, words: &str| {
        let screen = desk.screen();
        u16::try_from(screen.lines().position(|line| line.contains(words)).unwrap()).unwrap()
    };
    let press = MouseEventKind::Down(crossterm::event::MouseButton::Left);
    let at = row(&desk, "1  RCD RA");
    desk.mouse(press, 6, at);
    desk.shows("What was struck last?");
}
