//! Heads put on by the program: the rest, all afresh, few moves; stopping it; and why not.

use std::time::Duration;

use super::*;
use crate::command::Context;
use crate::layer::Layer;
use crate::placing::{Fate, Progress};

impl Desk {
    /// A desk whose solver answers when it is told to.
    fn waiting(text: &str) -> Self {
        let mut desk = Self::of(text);
        desk.solver = Solver::WhenTold;
        desk
    }

    fn text(&self) -> String {
        self.model.document.text().to_owned()
    }

    fn saves(&self) -> usize {
        self.effects.iter().filter(|effect| matches!(effect, Effect::Save { .. })).count()
    }

    /// The solver tells how far it is.
    fn is_told(&mut self, placed: usize, proven: usize) {
        let number = self.question.as_ref().map_or(0, |question| question.number);
        let progress = Progress { placed, heads: 9, proven, elapsed: Duration::from_millis(3200) };
        self.event(Event::Placing { number, progress });
    }
}

/// The house with a head that no outlet carries: 4400 W on 230 V is 19.1 A, an Australian outlet
/// carries 10 or 15 A (AS/NZS 3112).
fn too_big() -> String {
    let head = "[head.X]\nwatts = 4400\nroom = \"living\"\n\n[head.A]";
    fixture::HOUSE.replace("[head.A]", head).replace("on = [\"A\", ", "on = [\"X\", \"A\", ")
}

/// The house without A, for which there is no place beside C: all find one.
fn without_a() -> String {
    fixture::HOUSE.replace("on = [\"A\", ", "on = [")
}

#[test]
fn one_key_puts_on_the_heads_that_are_left_and_moves_none() {
    let mut desk = Desk::house();
    let heads = ["C", "D", "E", "V", "Q"];
    let before: Vec<_> = heads.map(|head| desk.socket_of(head)).to_vec();
    desk.keys("a");
    // By hand: only G7 has an outlet for the 15 A plug of A.
    assert_eq!(desk.socket_of("A").as_deref(), Some("G7"));
    assert!(desk.socket_of("B").is_some(), "{}", desk.screen());
    assert_eq!(heads.map(|head| desk.socket_of(head)).to_vec(), before);
    desk.says("2 heads put on, none moved: A on G7 by b20 and B on ");
    desk.says("PROVEN: none is better with the others where they are");
    desk.says("certifies nothing: test before you plug in");
    assert!(desk.model.layers.is_empty());
    assert_eq!(desk.saves(), 1);
    desk.keys("u");
    assert_eq!(desk.text(), fixture::HOUSE, "one step takes all of it back");
    desk.keys("U");
    assert_eq!(desk.socket_of("A").as_deref(), Some("G7"));
    desk.keys("a");
    desk.says("Every head that is on is plugged in already; A puts all on afresh");
}

#[test]
fn what_stays_dark_is_told_with_needed_and_there_and_what_to_do() {
    let mut desk = Desk::of(&too_big());
    desk.keys("a");
    assert_eq!(desk.socket_of("A").as_deref(), Some("G7"));
    assert_eq!(desk.socket_of("X"), None);
    desk.shows("2 heads put on, none moved, 1 stays dark");
    desk.shows("STAYS DARK  1 head");
    desk.shows("needed 19.1 A, there 1");
    desk.shows("do: ");
    desk.shows("PUT ON  2 heads");
    desk.shows("Strike ");
    desk.keys("esc u");
    assert_eq!(desk.text(), too_big());
    // Where none finds a place nothing is changed.
    let mut alone = Desk::of(&too_big());
    alone.keys("a esc");
    let saves = alone.saves();
    alone.keys("a");
    alone.shows("0 heads put on, none moved, 1 stays dark");
    assert_eq!(alone.saves(), saves);
}

#[test]
fn all_afresh_is_shown_first_and_taken_as_one_step_or_left() {
    let before = without_a();
    let mut desk = Desk::of(&before);
    desk.keys("A");
    assert_eq!(desk.model.context(), Context::Moves);
    desk.shows("All afresh: ");
    desk.shows("now   DARK, RCD RA 15 of 9 mA");
    desk.shows("then  ");
    desk.shows("Nothing is changed yet: enter takes them, esc leaves all as it was");
    desk.shows("B    discharge-1k2 not placed → ");
    assert_eq!((desk.text().as_str(), desk.saves()), (before.as_str(), 0));
    desk.keys("esc");
    desk.says("All is as it was");
    assert_eq!((desk.text().as_str(), desk.saves()), (before.as_str(), 0));
    desk.keys("A down c enter");
    desk.says("one u takes all of it back");
    assert!(
        matches!(&desk.effects[..], [.., Effect::Copy(text), Effect::Save { .. }] if text.contains("B not placed → "))
    );
    let verdict = desk.model.document.assessment().verdict_in(desk.model.setup.unwrap());
    assert!(verdict < ampwalk_core::assess::Verdict::Dark, "{}", desk.screen());
    desk.keys("u");
    assert_eq!(desk.text(), before);
}

#[test]
fn few_moves_are_fewer_than_afresh_and_one_key_from_them() {
    let mut desk = Desk::house();
    let moves = |desk: &Desk| match desk.model.layers.last() {
        Some(Layer::Moves(moves)) => moves.placed.assignment.moves.len(),
        _ => panic!("{}", desk.screen()),
    };
    desk.keys("A");
    let afresh = moves(&desk);
    desk.shows("m few moves");
    desk.keys("m");
    desk.shows("Few moves: ");
    assert!(moves(&desk) <= afresh);
    assert_eq!(desk.model.layers.len(), 1, "one over the other would be a maze");
    // Without A, for which there is no place beside C, a plan that is solved is not moved again.
    let mut solved = Desk::of(&without_a());
    solved.keys("m enter m");
    solved.says("Nothing to move. PROVEN");
}

#[test]
fn a_pinned_head_stays_and_where_pins_break_a_limit_that_is_said() {
    let mut desk = Desk::house();
    desk.keys("/").types("C").keys("enter k A enter");
    assert_eq!(desk.socket_of("C").as_deref(), Some("G1"));
    // By its class C leaks 3.5 mA and 10 mA more while it strikes: pinned, it alone drops an RCD that
    // was measured to hold 5 mA and to drop at 8.
    let low = fixture::HOUSE.replace("held_ma = 10, tripped_ma = 15", "held_ma = 5, tripped_ma = 8");
    let mut broken = Desk::of(&low.replace("[head.C]\n", "[head.C]\npinned = true\n"));
    let text = broken.text();
    broken.keys("A");
    broken.says("pinned heads break a limit already");
    assert_eq!(broken.text(), text);
    // What is left goes on all the same.
    broken.keys("a");
    assert_eq!(broken.socket_of("A").as_deref(), Some("G7"));
    assert_eq!(broken.socket_of("C").as_deref(), Some("G1"));
}

#[test]
fn while_it_works_the_floor_stays_in_sight_and_escape_changes_nothing() {
    let mut desk = Desk::waiting(fixture::HOUSE);
    desk.keys("a");
    assert_eq!(desk.model.context(), Context::Placing);
    desk.shows("PUTTING ON the heads that are left");
    desk.shows("looking at every socket");
    desk.shows("G1 P1");
    desk.is_told(7, 1);
    desk.shows("7 of 9 heads placed so far, proven: none lights more, 3.2 s");
    desk.shows("esc stop");
    desk.keys("enter x D n u down");
    assert_eq!(desk.text(), fixture::HOUSE, "nothing else changes the plan meanwhile");
    desk.keys("esc");
    desk.says("Stopped: nothing was changed");
    assert!(desk.effects.contains(&Effect::StopPlacing(1)));
    desk.answer();
    assert_eq!(
        (desk.text().as_str(), desk.saves()),
        (fixture::HOUSE, 0),
        "an answer that comes late is dropped"
    );
    assert!(desk.model.layers.is_empty());
}

#[test]
fn the_best_so_far_can_be_taken() {
    let mut desk = Desk::waiting(fixture::HOUSE);
    desk.keys("a");
    desk.is_told(8, 0);
    desk.keys("enter");
    assert!(desk.effects.contains(&Effect::StopPlacing(1)));
    desk.shows("stopping, the best so far is taken");
    // The solver was stopped at its first question whether to go on.
    let request = desk.question.take().unwrap();
    desk.event(Event::Placed(Box::new(work_out(request, &mut |_| false))));
    desk.says("NOT PROVEN best, stopped early; it breaks no limit");
    assert!(desk.socket_of("A").is_some());
    desk.keys("u");
    assert_eq!(desk.text(), fixture::HOUSE);
}

#[test]
fn a_trip_meanwhile_stops_it() {
    for key in ["a", "A", "m"] {
        let mut desk = Desk::waiting(fixture::HOUSE);
        desk.keys(key).keys("!");
        assert_eq!(desk.model.context(), Context::Went);
        assert!(desk.effects.contains(&Effect::StopPlacing(1)));
        desk.answer();
        desk.keys("esc");
        assert!(desk.model.layers.is_empty(), "{}", desk.screen());
        assert_eq!(desk.text(), fixture::HOUSE);
    }
}

#[test]
fn an_answer_to_a_plan_that_has_changed_since_is_dropped_with_a_word() {
    let mut desk = Desk::waiting(fixture::HOUSE);
    desk.keys("a");
    let mut stale = desk.question.clone().unwrap();
    stale.text = fixture::HOUSE.replace("limit_a = 63", "limit_a = 40");
    desk.event(Event::Placed(Box::new(work_out(stale, &mut |_| true))));
    desk.says("The plan has changed since it was asked, so the answer was dropped: a asks anew");
    assert_eq!(desk.text(), fixture::HOUSE);
    // The same of moves that are open while a trip is logged.
    let mut open = Desk::house();
    open.keys("A ! 1 1 1");
    let logged = open.text();
    assert_ne!(logged, fixture::HOUSE);
    open.keys("esc");
    assert!(matches!(open.model.layers.last(), Some(Layer::Moves(moves)) if moves.fate == Fate::Offered));
    open.keys("enter");
    open.says("The plan has changed since: nothing was moved. A asks anew");
    assert_eq!(open.text(), logged);
}

#[test]
fn an_old_question_is_not_answered_for_a_new_one() {
    let mut desk = Desk::waiting(fixture::HOUSE);
    desk.keys("A");
    let first = desk.question.take().unwrap();
    desk.keys("esc a");
    desk.event(Event::Placed(Box::new(work_out(first, &mut |_| true))));
    assert_eq!(desk.model.context(), Context::Placing, "the second is still being worked out");
    desk.answer();
    assert!(desk.socket_of("A").is_some());
}

#[test]
fn where_there_is_nothing_to_put_on_it_says_the_next_step() {
    let mut desk = Desk::of("ampwalk = 1\n[location]\nregion = \"us\"\n");
    desk.keys("a");
    desk.says("No setup yet: :new setup adds one");
    let mut bare = Desk::of(
        "ampwalk = 1\n[location]\nregion = \"au\"\n[head.A]\nclass = \"led-600\"\n[setup.day]\nminutes = 60\non = [\"A\"]\n",
    );
    bare.keys("A");
    bare.says("No power point yet: 1 goes to Walk");
    let mut broken = Desk::of("ampwalk = 9\n[location]\n");
    broken.keys("a");
    broken.says("Only to be looked at");
}

#[test]
fn sockets_that_nobody_tested_are_left_out_and_that_is_said() {
    // C's own G1 is not tested: C would have to leave it.
    let untested = without_a().replacen("test = \"ok\"\nramp = { held_ma = 10", "ramp = { held_ma = 10", 1);
    let mut desk = Desk::of(&untested);
    desk.keys("A");
    desk.shows("1 power point not tested, so left out");
    let screen = desk.screen();
    assert!(!screen.contains("→ G1"), "{screen}");
}

#[test]
fn small_screens_keep_the_way_out_and_the_caution() {
    for size in [(40, 15), (50, 12), (80, 24)] {
        let mut desk = Desk::opened(&without_a(), size, Origin::File);
        desk.keys("A");
        let shown = desk.screen().split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(shown.contains("certifies nothing: test before you plug in."), "{size:?}\n{}", desk.screen());
        desk.shows("enter take  ");
        desk.shows("esc back");
        desk.shows("▸B ");
    }
}

#[test]
fn why_not_tells_of_the_head_and_the_socket_under_the_cursor() {
    let mut desk = Desk::house();
    // A is not placed, and the cursor is on it: only G7 has its plug.
    desk.keys("t");
    desk.shows("A is not placed");
    desk.shows("A goes on 1 of 10 power points, nearest first: G7");
    desk.shows("plug");
    desk.keys("c esc");
    assert!(matches!(desk.effects.last(), Some(Effect::Copy(text)) if text.contains("G1")));
    // With the cursor on a socket it is about that one.
    desk.keys("/").types("G5").keys("enter t");
    desk.shows("A on G5");
    desk.shows("plug");
    desk.shows("G5 as it is, without A");
    desk.keys("esc left left left left left left");
    // A placed head is asked about where it is.
    desk.keys("/").types("C").keys("enter t");
    desk.shows("C on G1, as it is");
    desk.shows("Needed 15 mA, there 9 mA");
    assert!(Desk::of("ampwalk = 1\n").keys("t").effects.contains(&Effect::Bell));
}

#[test]
fn why_not_says_that_no_socket_takes_a_head_and_which_comes_nearest() {
    let mut desk = Desk::opened(&too_big(), (100, 40), Origin::File);
    desk.keys("/").types("X").keys("enter t");
    desk.shows("X goes on none of 10 power points");
    desk.shows("Nearest to fitting is ");
    desk.shows("Needed 19.1 A, there ");
}
