//! Commands of the program as a whole: screens, setups, undo, leaving.

use ampwalk_core::network::{At, SetupAt};

use crate::effect::Effect;
use crate::guide::Step;
use crate::layer::Layer;
use crate::model::{Model, Saved, Screen};
use crate::plot::Held;
use crate::words;

/// Hands the text out to be saved, after an edit.
pub(super) fn save(model: &mut Model, effects: &mut Vec<Effect>) {
    crate::outside::ask_again(model);
    effects.extend(hand_out_to_save(model));
}

/// Hands the text out to be saved.
pub(crate) fn hand_out_to_save(model: &mut Model) -> Vec<Effect> {
    let under_way = if let Saved::Saving(count) = model.saved { count } else { 0 };
    model.saved = Saved::Saving(under_way + 1);
    vec![Effect::Save { text: model.document.text().to_owned(), seen: model.seen }]
}

/// The verdict now, and from what it came where that was another.
pub(super) fn verdict_now(model: &Model, before: &str) -> String {
    let now = words::verdict_line(model.document.network(), model.document.assessment(), model.setup);
    if now == before { format!("still {now}") } else { format!("now {now}") }
}

/// The verdict as one line.
pub(super) fn verdict(model: &Model) -> String {
    words::verdict_line(model.document.network(), model.document.assessment(), model.setup)
}

pub(super) fn undo(model: &mut Model, effects: &mut Vec<Effect>) {
    model.plot.held = None;
    let before = verdict(model);
    let Some(what) = model.document.undo() else {
        model.refuse("Nothing to take back: this is how the plan was opened");
        return;
    };
    model.guide.done(Step::Undo);
    model.settle();
    model.say(format!("Taken back: {what}; {}", verdict_now(model, &before)));
    save(model, effects);
}

pub(super) fn redo(model: &mut Model, effects: &mut Vec<Effect>) {
    model.plot.held = None;
    let before = verdict(model);
    let Some(what) = model.document.redo() else {
        model.refuse("Nothing to make again");
        return;
    };
    model.settle();
    model.say(format!("Made again: {what}; {}", verdict_now(model, &before)));
    save(model, effects);
}

pub(super) fn next_setup(model: &mut Model, _: &mut Vec<Effect>) {
    turn_setup(model, 1);
}

pub(super) fn previous_setup(model: &mut Model, _: &mut Vec<Effect>) {
    turn_setup(model, -1);
}

fn turn_setup(model: &mut Model, by: isize) {
    let count = model.document.network().setups.len();
    let (Some(setup), true) = (model.setup, count > 1) else {
        model.refuse(if count == 0 { "The plan has no setup yet" } else { "The plan has one setup only" });
        return;
    };
    let count_signed = isize::try_from(count).unwrap_or(isize::MAX);
    let place = isize::try_from(setup.get()).unwrap_or(0);
    let next = SetupAt::new(usize::try_from((place + by).rem_euclid(count_signed)).unwrap_or(0));
    model.setup = Some(next);
    let held = model.plot.held.take().map(|held| held.head);
    model.settle();
    let network = model.document.network();
    let name = words::setup_name(network, next);
    let mut told = format!("{name}: {}", verdict(model));
    if let Some(head) = held {
        let id = network.head_id(head).clone();
        if network.setups[next].is_on[head] {
            let mut again = Held::pick_up(network, model.document.assessment(), next, head);
            again.try_out(network, model.document.assessment(), next);
            model.plot.head = Some(head);
            model.plot.held = Some(again);
            super::plot::show_target(model);
        } else {
            told = format!("{id} is not on in {name}: put back. {told}");
        }
    }
    model.say(told);
}

/// Shows a screen. A head in hand is put back when its screen is left.
pub(super) fn show(model: &mut Model, screen: Screen) {
    if screen != Screen::Plot
        && let Some(held) = model.plot.held.take()
    {
        let id = model.document.network().head_id(held.head).clone();
        model.say(format!("{id} put back"));
    }
    model.screen = screen;
}

pub(super) fn hide_guide(model: &mut Model, _: &mut Vec<Effect>) {
    model.guide.dismiss();
}

pub(super) fn back(model: &mut Model, _: &mut Vec<Effect>) {
    if model.plot.focus == crate::plot::Focus::Sockets && model.screen == Screen::Plot {
        model.plot.focus = crate::plot::Focus::Heads;
        return;
    }
    let key = super::by_id("quit").and_then(|quit| model.keymap.keys_of(quit).into_iter().next());
    model.say(format!("Nothing is open here; {} leaves", key.unwrap_or_else(|| ":".to_owned())));
}

pub(super) fn quit(_: &mut Model, effects: &mut Vec<Effect>) {
    effects.push(Effect::Quit);
}

pub(super) fn suspend(_: &mut Model, effects: &mut Vec<Effect>) {
    effects.push(Effect::Suspend);
}

/// Opens a layer on top of what is there.
pub(super) fn open(model: &mut Model, layer: Layer) {
    model.layers.push(layer);
}
