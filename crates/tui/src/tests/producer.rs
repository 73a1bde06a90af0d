//! The producer's question, from the key to the answer.

use super::*;
use crate::layer::Layer;
use crate::model::Screen;

/// The house on a contract that its heads pass: 12.0 A of A and 6 A of C alone are 4.1 kW at 230 V and a
/// power factor of 1, and 1 kW is cut from 1.1 kW on.
fn on_a_small_contract() -> String {
    fixture::HOUSE.replace("limit_a = 63\n", "limit_a = 63\ncontract_kw = 1\n")
}

fn page(desk: &Desk) -> String {
    let Some(Layer::Producer(page)) = desk.model.layers.last() else { panic!("{}", desk.screen()) };
    format!("{}\n{}", page.title, page.paragraphs.join("\n"))
}

#[test]
fn one_key_from_any_screen_asks_and_the_answer_moves_nothing() {
    for screen in ["1", "2", "3", "4", "5"] {
        let mut desk =
            Desk::opened(include_str!("../../../../examples/mill-house.toml"), (80, 24), Origin::File);
        let before = desk.model.document.text().to_owned();
        desk.keys(screen).keys("G");
        desk.shows("NO generator");
        desk.shows("The house carries every head of every setup");
        desk.shows("it certifies nothing");
        assert_eq!(desk.model.document.text(), before);
        desk.keys("esc");
        assert!(desk.model.layers.is_empty());
        assert!(Screen::ALL.iter().any(|(own, _)| *own == desk.model.screen));
    }
}

#[test]
fn where_the_house_is_too_small_it_says_why_and_what_to_hire() {
    let mut desk = Desk::of(&on_a_small_contract());
    desk.keys("G");
    let told = page(&desk);
    assert!(!told.starts_with("NO generator\n"), "{told}");
    for words in ["why   ", "hire ", " kVA", "certifies nothing"] {
        assert!(told.contains(words), "no {words:?} in {told}");
    }
    desk.keys("c");
    assert!(desk.effects.iter().any(|effect| matches!(effect, Effect::Copy(text) if *text == told)));
}

#[test]
fn it_can_be_stopped_and_an_answer_to_another_plan_is_dropped() {
    let mut desk = Desk::of(fixture::HOUSE);
    desk.solver = Solver::WhenTold;
    desk.keys("G");
    desk.shows("WORKING OUT whether the house carries all heads without a generator");
    desk.keys("esc");
    desk.answer();
    assert!(desk.model.layers.is_empty());
    // Stopped for what is known so far, it says so.
    desk.keys("G enter");
    assert!(desk.effects.contains(&Effect::StopPlacing(2)));
    let request = desk.question.take().unwrap();
    let late = Request { text: on_a_small_contract(), ..request.clone() };
    desk.event(answer(request, &mut |_| false));
    let told = page(&desk);
    assert!(told.contains("certifies nothing"), "{told}");
    desk.keys("esc");
    desk.event(answer(late, &mut |_| false));
    assert!(desk.model.layers.is_empty());
}
