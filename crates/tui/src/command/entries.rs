//! Commands that change the plan entry by entry: lists, forms, names.

use ampwalk_core::edit::{Address, Edit};

use super::program::{open, save, verdict, verdict_now};
use crate::ask::{Ask, Question, candidates};
use crate::effect::Effect;
use crate::form::{Field, address, entries, id_of};
use crate::layer::{Layer, List, Prompt};
use crate::model::{Model, Screen};
use crate::plot::Focus;
use crate::view;

/// Lists every entry of the plan.
pub(super) fn list(model: &mut Model, _: &mut Vec<Effect>) {
    let all = entries(&model.document.network().plan);
    let here = under_cursor(model).and_then(|of| all.iter().position(|entry| *entry == of));
    open(model, Layer::Entries(List { row: here.unwrap_or(0) }));
}

/// Opens the keys of what the cursor is on.
pub(super) fn form(model: &mut Model, effects: &mut Vec<Effect>) {
    match under_cursor(model) {
        Some(of) => open_form(model, of),
        None => nothing_here(model, effects),
    }
}

pub(super) fn open_form(model: &mut Model, of: Address) {
    open(model, Layer::Form { of, row: 0 });
}

/// Asks for a new name of what the cursor is on.
pub(super) fn rename(model: &mut Model, effects: &mut Vec<Effect>) {
    let of = under_cursor(model);
    let Some((of, id)) = of.as_ref().and_then(|of| Some((of, id_of(of)?.1))) else {
        nothing_here(model, effects);
        return;
    };
    if refuse_read_only(model, effects) {
        return;
    }
    let prompt = Prompt { input: id.to_owned().into(), row: 0 };
    open(model, Layer::Ask(Ask { question: Question::Name { of: of.clone() }, prompt, wrong: None }));
}

/// Takes out what the cursor is on, with every mention of it. It can be taken back.
pub(super) fn remove(model: &mut Model, effects: &mut Vec<Effect>) {
    let Some(of) = under_cursor(model).filter(|of| *of != Address::Location) else {
        nothing_here(model, effects);
        return;
    };
    let gone = change(model, &Edit::RemoveEntry { of: of.clone() }, &format!("{of} is taken out"), effects);
    if gone && matches!(model.layers.last(), Some(Layer::Form { .. })) {
        model.layers.pop();
    }
    settle_rows(model);
}

/// Asks for the value of the chosen key.
pub(super) fn ask_value(model: &mut Model, effects: &mut Vec<Effect>) {
    let Some((of, field)) = chosen_field(model) else { return };
    if refuse_read_only(model, effects) {
        return;
    }
    let input = field.value.clone().unwrap_or_default();
    let question = Question::Key { of, key: field.key };
    open(model, Layer::Ask(Ask { question, prompt: Prompt { input: input.into(), row: 0 }, wrong: None }));
}

/// Takes the chosen key out.
pub(super) fn clear(model: &mut Model, effects: &mut Vec<Effect>) {
    let Some((of, field)) = chosen_field(model) else { return };
    if field.value.is_none() {
        model.refuse(format!("The plan says nothing of {} already", field.key));
        effects.push(Effect::Bell);
        return;
    }
    let told = format!("{} of {of} is taken out", field.key);
    let edit = Edit::SetKey { of, key: field.key.to_owned(), value: None };
    change(model, &edit, &told, effects);
}

/// Takes the answer to the question that is open: the line, or the candidate that is chosen.
pub(super) fn answer(model: &mut Model, effects: &mut Vec<Effect>) {
    let Some(Layer::Ask(ask)) = model.layers.last() else { return };
    let line = ask.prompt.input.value().to_owned();
    let chosen =
        ask.prompt.row.checked_sub(1).and_then(|at| {
            candidates(&model.document.network().plan, &ask.question, &line).into_iter().nth(at)
        });
    let line = chosen.map_or(line, |candidate| candidate.value);
    let question = ask.question.clone();
    let before = verdict(model);
    let done = question.edit(&line).and_then(|edit| model.document.edit(&edit));
    if let Err(why) = done {
        if let Some(Layer::Ask(ask)) = model.layers.last_mut() {
            ask.wrong = Some(why);
        }
        effects.push(Effect::Bell);
        return;
    }
    model.layers.pop();
    follow_rename(model, &question, line.trim());
    model.settle();
    let told = match &question {
        Question::Key { of, key } if line.trim().is_empty() => format!("{key} of {of} is taken out"),
        Question::Key { of, key } => format!("{key} of {of} is {}", line.trim()),
        Question::Name { of } => format!("{of} is {} now", line.trim()),
    };
    let told = format!("{told}; {}", verdict_now(model, &before));
    model.say(told);
    save(model, effects);
}

/// A form that is open below stays open on the entry by its new name.
fn follow_rename(model: &mut Model, question: &Question, name: &str) {
    let Question::Name { of } = question else { return };
    let Some((table, _)) = id_of(of) else { return };
    for layer in &mut model.layers {
        if let Layer::Form { of: open, .. } = layer
            && open == of
        {
            *open = Address::of(table, name);
        }
    }
}

fn chosen_field(model: &Model) -> Option<(Address, Field)> {
    let Some(Layer::Form { of, row }) = model.layers.last() else { return None };
    let field = model.document.fields(of).into_iter().nth(*row)?;
    Some((of.clone(), field))
}

/// What the cursor is on, as an entry of the plan.
pub(super) fn under_cursor(model: &Model) -> Option<Address> {
    let network = model.document.network();
    match model.layers.last() {
        Some(Layer::Entries(list)) => entries(&network.plan).into_iter().nth(list.row),
        Some(Layer::Form { of, .. }) => Some(of.clone()),
        Some(_) => None,
        None if model.screen == Screen::Plot => {
            let socket = model.plot.socket.filter(|_| model.plot.focus == Focus::Sockets);
            let subject = socket
                .map(ampwalk_core::assess::Subject::Socket)
                .or(model.plot.head.map(ampwalk_core::assess::Subject::Head))?;
            address(network, subject)
        }
        None => view::subject(model).and_then(|subject| address(network, subject)),
    }
}

/// Changes the plan and says so; whether it worked.
pub(super) fn change(model: &mut Model, edit: &Edit, told: &str, effects: &mut Vec<Effect>) -> bool {
    let before = verdict(model);
    if let Err(why) = model.document.edit(edit) {
        model.refuse(why);
        effects.push(Effect::Bell);
        return false;
    }
    model.plot.held = None;
    model.settle();
    let told = format!("{told}; {}", verdict_now(model, &before));
    model.say(told);
    save(model, effects);
    true
}

/// Keeps the cursors on rows that there are.
fn settle_rows(model: &mut Model) {
    super::moves::by_rows(model, 0);
}

fn nothing_here(model: &mut Model, effects: &mut Vec<Effect>) {
    model.refuse("There is nothing of the plan under the cursor: i lists all of it");
    effects.push(Effect::Bell);
}

fn refuse_read_only(model: &mut Model, effects: &mut Vec<Effect>) -> bool {
    let Some(why) = model.document.read_only() else { return false };
    model.refuse(format!("Only to be looked at: {why}"));
    effects.push(Effect::Bell);
    true
}
