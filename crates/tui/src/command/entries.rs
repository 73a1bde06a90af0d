//! Commands that change the plan entry by entry: lists, forms, names.

use ampwalk_core::edit::{Address, Edit, Table};
use ampwalk_core::shorthand::{Status, Subject, read, write};
use tui_input::Input;

use super::program::{open, save, verdict, verdict_now};
use crate::ask::{Ask, Next, Question, candidates};
use crate::effect::Effect;
use crate::form::{Field, address, entries, id_of};
use crate::layer::{Layer, List, Prompt};
use crate::line::{Choice, choices, with_word};
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
    let (question, typed) = (ask.question.clone(), ask.prompt.input.value().to_owned());
    if ask.prompt.row > 0 && matches!(question, Question::Line { .. }) {
        complete(model);
        return;
    }
    let plan = &model.document.network().plan;
    let chosen =
        ask.prompt.row.checked_sub(1).and_then(|at| candidates(plan, &question, &typed).into_iter().nth(at));
    let typed = chosen.map_or(typed, |candidate| candidate.value);
    let before = verdict(model);
    let echo = echo(model, &question, typed.trim());
    let done = question.edit(model.document.network(), model.setup, &typed);
    if let Err(why) = done.and_then(|edit| model.document.edit(&edit)) {
        if let Some(Layer::Ask(ask)) = model.layers.last_mut() {
            ask.wrong = Some(why);
        }
        effects.push(Effect::Bell);
        return;
    }
    model.layers.pop();
    model.plot.held = None;
    follow_rename(model, &question, typed.trim());
    model.settle();
    let told = format!("{echo}; {}", verdict_now(model, &before));
    if let Question::Line { subject, next } = question {
        go_to_entry(model, subject, &typed);
        if next == Next::Another {
            open_line(model, subject, String::new(), Next::Another);
        }
    }
    model.say(told);
    save(model, effects);
}

/// What an answer does, in words.
fn echo(model: &Model, question: &Question, typed: &str) -> String {
    match question {
        Question::Key { of, key } if typed.is_empty() => format!("{key} of {of} is taken out"),
        Question::Key { of, key } => format!("{key} of {of} is {typed}"),
        Question::Line { subject, .. } => {
            read(&model.document.network().plan, *subject, typed).echo().trim_end_matches('.').to_owned()
        }
        Question::BaseLoad { circuit, setup } => {
            let plan = &model.document.network().plan;
            let was_off = candidates(plan, question, "")
                .into_iter()
                .any(|candidate| candidate.value == typed && candidate.note.starts_with("OFF"));
            let state = if was_off { "on again" } else { "off, its owner's doing: on again at the end" };
            format!("{typed} of {circuit} is {state}, in {setup}")
        }
        Question::Name { of } => format!("{of} is {typed} now"),
    }
}

/// Puts the cursor on what a line was about, where the screen shows such things.
fn go_to_entry(model: &mut Model, subject: Subject, typed: &str) {
    let network = model.document.network();
    let line = read(&network.plan, subject, typed);
    let Status::Existing(id) = line.status else { return };
    match (subject, model.screen) {
        (Subject::Entry(Table::Socket) | Subject::Ramp, _) => {
            if let Some(socket) = network.socket(&id) {
                model.rows[Screen::Walk as usize] = ampwalk_core::network::At::get(socket);
                model.go_to_socket(socket);
            }
        }
        (Subject::Entry(Table::Head), _) => model.plot.head = network.head(&id).or(model.plot.head),
        _ => {}
    }
}

/// Takes the chosen word into the line that is typed, or the first one; what could be added first is
/// asked for over it.
pub(super) fn complete(model: &mut Model) {
    let Some(Layer::Ask(Ask { question: Question::Line { subject, .. }, prompt, .. })) = model.layers.last()
    else {
        return;
    };
    let (text, cursor) = (prompt.input.value().to_owned(), prompt.input.cursor());
    let found = choices(&model.document.network().plan, *subject, &text, cursor);
    match found.into_iter().nth(prompt.row.saturating_sub(1)) {
        Some(Choice::Word { span, word }) => {
            let line = with_word(&text, &span, &word);
            let cursor = text.get(..span.start).map_or(0, |before| before.chars().count())
                + word.chars().count()
                + usize::from(span.end >= text.len());
            if let Some(Layer::Ask(ask)) = model.layers.last_mut() {
                ask.wrong = None;
                ask.prompt = Prompt { input: Input::new(line).with_cursor(cursor), row: 0 };
            }
        }
        Some(Choice::First(offer)) => {
            if let Some(Layer::Ask(ask)) = model.layers.last_mut() {
                ask.prompt.row = 0;
            }
            let line = format!("{} ", offer.line);
            open_line(model, offer.subject, line, Next::Back);
        }
        None => {}
    }
}

/// Asks for an entry in one line.
pub(super) fn open_line(model: &mut Model, subject: Subject, line: String, next: Next) {
    let prompt = Prompt { input: line.into(), row: 0 };
    open(model, Layer::Ask(Ask { question: Question::Line { subject, next }, prompt, wrong: None }));
}

/// Asks which base load of the circuit under the cursor is off in this setup.
pub(super) fn base_loads(model: &mut Model, effects: &mut Vec<Effect>) {
    let of = under_cursor(model);
    let circuit = of.as_ref().and_then(id_of).filter(|(table, _)| *table == Table::Circuit);
    let (Some((_, circuit)), Some(setup)) = (circuit, model.setup) else {
        model.refuse("Base loads are asked for on a circuit, in a setup");
        effects.push(Effect::Bell);
        return;
    };
    let setup = model.document.network().setup_id(setup).to_string();
    let question = Question::BaseLoad { circuit: circuit.to_owned(), setup };
    if candidates(&model.document.network().plan, &question, "").is_empty() {
        model.refuse(format!("{circuit} has no base load by name: e adds one, such as fridge* 0.65A"));
        effects.push(Effect::Bell);
        return;
    }
    if refuse_read_only(model, effects) {
        return;
    }
    open(model, Layer::Ask(Ask { question, prompt: Prompt { row: 1, ..Prompt::default() }, wrong: None }));
}

/// A line for a new one of what the cursor is among.
pub(super) fn new_here(model: &mut Model, effects: &mut Vec<Effect>) {
    let table = match model.layers.last() {
        Some(Layer::Entries(_)) => under_cursor(model).and_then(|of| id_of(&of).map(|(table, _)| table)),
        Some(_) => None,
        None => Some(match model.screen {
            Screen::Walk => Table::Socket,
            Screen::Board => Table::Circuit,
            Screen::Plot if model.plot.focus == Focus::Sockets => Table::Socket,
            Screen::Plot | Screen::Papers => Table::Head,
            Screen::Shoot => Table::Setup,
        }),
    };
    match table {
        Some(table) => new_entry(model, Subject::Entry(table), effects),
        None => nothing_here(model, effects),
    }
}

/// A line for a new entry of a kind.
pub(super) fn new_entry(model: &mut Model, subject: Subject, effects: &mut Vec<Effect>) {
    if !refuse_read_only(model, effects) {
        open_line(model, subject, String::new(), Next::Another);
    }
}

/// A line for a ramp test at the socket under the cursor.
pub(super) fn ramp_here(model: &mut Model, effects: &mut Vec<Effect>) {
    let here = under_cursor(model).and_then(|of| match id_of(&of) {
        Some((Table::Socket, id)) => Some(format!("{id} ")),
        _ => None,
    });
    if !refuse_read_only(model, effects) {
        open_line(model, Subject::Ramp, here.unwrap_or_default(), Next::Back);
    }
}

/// What the cursor is on as a line, to be typed over.
pub(super) fn edit_line(model: &mut Model, effects: &mut Vec<Effect>) {
    let of = under_cursor(model);
    let Some((table, id)) = of.as_ref().and_then(id_of) else {
        nothing_here(model, effects);
        return;
    };
    if refuse_read_only(model, effects) {
        return;
    }
    let subject = Subject::Entry(table);
    let line = write(&model.document.network().plan, subject, id);
    open_line(model, subject, format!("{line} "), Next::Back);
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
