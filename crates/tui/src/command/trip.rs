//! Commands after a trip: the question what went, and the lines of the answer.

use ampwalk_core::assess::Subject;
use ampwalk_core::diagnose::{Lost, MOST_RESETS, Step, infer};
use ampwalk_core::edit::{Address, Edit, Log, Override, Value};
use ampwalk_core::id::HeadId;
use ampwalk_core::network::{HeadAt, SetupAt};
use ampwalk_core::plan::{Reset, word_of};

use super::entries::change;
use super::program::open;
use crate::effect::Effect;
use crate::guide::Step as Guided;
use crate::layer::{Layer, Page};
use crate::model::{Model, Screen};
use crate::trip::{Answer, Line, Question, Recovery, Stage, likeliest_step};
use crate::view;

/// Asks what went.
pub(super) fn ask(model: &mut Model, effects: &mut Vec<Effect>) {
    let Some(setup) = model.setup else {
        model.refuse("There is no setup yet, so nothing that can trip");
        effects.push(Effect::Bell);
        return;
    };
    super::placing::drop_question(model, effects);
    model.guide.done(Guided::Trip);
    let struck = struck_now(model, setup);
    let default = struck
        .last()
        .copied()
        .or_else(|| under_the_cursor(model))
        .or_else(|| likeliest_step(model.document.network(), model.document.assessment(), setup));
    open(model, Layer::Went(Question::new(setup, default, struck)));
    effects.push(Effect::AskTime);
}

/// The heads that were ticked as struck in a setup, in that order.
fn struck_now(model: &Model, setup: SetupAt) -> Vec<HeadAt> {
    let network = model.document.network();
    let own = network.setup_id(setup);
    let struck = model.struck.iter().filter(|(at, _)| at == own);
    struck.filter_map(|(_, head)| network.head(head.as_str())).collect()
}

/// The step under the cursor of Shoot.
fn under_the_cursor(model: &Model) -> Option<HeadAt> {
    if model.screen != Screen::Shoot {
        return None;
    }
    match view::shoot::subject(&model.scene(), model.rows[Screen::Shoot as usize]) {
        Some(Subject::Head(head)) => Some(head),
        _ => None,
    }
}

/// What the host says of the time: it belongs to the question that is open.
pub(crate) fn time(model: &mut Model, moment: String) {
    for layer in model.layers.iter_mut().rev() {
        if let Layer::Went(question) = layer
            && question.moment.is_none()
        {
            question.moment = Some(moment);
            return;
        }
    }
}

/// Takes the answer of the digit that was pressed.
pub(super) fn digit(model: &mut Model, effects: &mut Vec<Effect>) {
    let digit = model.pressed.and_then(|key| key.to_digit(10)).unwrap_or(0);
    let Some(row) = usize::try_from(digit).ok().and_then(|digit| digit.checked_sub(1)) else { return };
    take(model, row, effects);
}

/// Takes the answer under the cursor.
pub(super) fn answer(model: &mut Model, effects: &mut Vec<Effect>) {
    let Some(Layer::Went(question)) = model.layers.last() else { return };
    let row = question.row;
    take(model, row, effects);
}

/// Goes to the question which heads are dark.
pub(super) fn name_dark(model: &mut Model, _: &mut Vec<Effect>) {
    if let Some(Layer::Went(question)) = model.layers.last_mut() {
        (question.stage, question.row) = (Stage::Dark, 0);
        question.dark.clear();
    }
}

fn take(model: &mut Model, row: usize, effects: &mut Vec<Effect>) {
    let (network, assessment) = (model.document.network(), model.document.assessment());
    let Some(Layer::Went(question)) = model.layers.last() else { return };
    let Some(answer) = question.answers(network, assessment).get(row).cloned() else {
        model.refuse(format!("There is no answer {}", row + 1));
        effects.push(Effect::Bell);
        return;
    };
    let mut next = question.clone();
    next.row = 0;
    match answer {
        Answer::Lost(lost) => (next.lost, next.stage) = (lost, Stage::Last),
        Answer::NameDark => (next.dark, next.stage) = (Vec::new(), Stage::Dark),
        Answer::Dark(head) => {
            let before = next.dark.len();
            next.dark.retain(|dark| *dark != head);
            if next.dark.len() == before {
                next.dark.push(head);
            }
            // The line that all are named comes and goes above the heads.
            next.row = row + usize::from(before == 1 && next.dark.len() == 2);
            next.row -= usize::from(before == 2 && next.dark.len() == 1 && next.row > 0);
        }
        Answer::AllNamed => match infer(network, next.setup, &next.dark).as_slice() {
            [] => {
                model.refuse("No device of the plan darkens all of these: say what went");
                effects.push(Effect::Bell);
                return;
            }
            [only] => (next.lost, next.stage) = (vec![only.lost], Stage::Last),
            _ => next.stage = Stage::Which,
        },
        Answer::Last(last) => (next.last, next.stage) = (last, Stage::Since),
        Answer::Since(after) => {
            model.layers.pop();
            let mut trip = next.trip(model.document.network());
            trip.after = after;
            recover(model, trip, next.moment, effects);
            return;
        }
    }
    if let Some(Layer::Went(question)) = model.layers.last_mut() {
        *question = next;
    }
}

/// Goes back by one question; whether there was one.
pub(super) fn back(question: &mut Question) -> bool {
    let before = match question.stage {
        Stage::What => return false,
        Stage::Dark => Stage::What,
        Stage::Last if question.dark.is_empty() => Stage::What,
        Stage::Which | Stage::Last => Stage::Dark,
        Stage::Since => Stage::Last,
    };
    (question.stage, question.row) = (before, 0);
    true
}

/// Shows what a trip comes to, and logs it.
fn recover(
    model: &mut Model,
    trip: ampwalk_core::diagnose::Trip,
    moment: Option<String>,
    effects: &mut Vec<Effect>,
) {
    let mut recovery = Recovery::new(model.document.network(), model.document.assessment(), trip, moment);
    log(model, &mut recovery, Reset::NotTried, effects);
    open(model, Layer::Recovery(Box::new(recovery)));
}

/// Writes the trip into the plan's log: its own line at first and for the first reset, another one for
/// a further reset.
fn log(model: &mut Model, recovery: &mut Recovery, reset: Reset, effects: &mut Vec<Effect>) {
    let network = model.document.network();
    let device = device(recovery).map(|lost| lost.id(network));
    let word = word_of(&Reset::WORDS, &reset);
    let own = recovery.logged.filter(|at| {
        let line = network.plan.trips.get(*at);
        line.is_some_and(|line| line.device == device && line.reset == Some(Reset::NotTried))
    });
    let told = match reset {
        Reset::NotTried => "Logged",
        Reset::Held => "Logged: it held",
        Reset::DidNotHold => "Logged: it did not hold",
    };
    let edit = match own {
        Some(at) => Edit::SetKey {
            of: Address::Nth(Log::Trip, at),
            key: "reset".to_owned(),
            value: Some(Value::text(word)),
        },
        None => Edit::AddEntry { of: Address::Nth(Log::Trip, 0), keys: keys(model, recovery, word) },
    };
    let at = own.unwrap_or(network.plan.trips.len());
    if change(model, &edit, told, effects) {
        recovery.logged = Some(at);
    }
}

/// The device of the log's line: with a breaker and its RCD the breaker, which says where.
fn device(recovery: &Recovery) -> Option<Lost> {
    recovery.trip.lost.iter().copied().max_by_key(|lost| matches!(lost, Lost::Circuit(_)))
}

fn keys(model: &Model, recovery: &Recovery, reset: &str) -> Vec<(String, Value)> {
    let network = model.document.network();
    let trip = &recovery.trip;
    let told = [
        ("at", recovery.moment.as_deref().map(Value::text)),
        ("device", device(recovery).map(|lost| Value::text(lost.id(network).as_str()))),
        ("setup", Some(Value::text(network.setup_id(trip.setup).as_str()))),
        ("last_struck", trip.last_struck.map(|head| Value::text(network.head_id(head).as_str()))),
        ("after_min", trip.after.map(|after| Value::Number(after.0))),
        ("reset", Some(Value::text(reset))),
    ];
    told.into_iter().filter_map(|(key, value)| Some((key.to_owned(), value?))).collect()
}

fn recovery(model: &Model) -> Option<&Recovery> {
    match model.layers.last() {
        Some(Layer::Recovery(recovery)) => Some(recovery),
        _ => None,
    }
}

fn recovery_mut(model: &mut Model) -> Option<&mut Recovery> {
    match model.layers.last_mut() {
        Some(Layer::Recovery(recovery)) => Some(recovery),
        _ => None,
    }
}

/// Ticks the chosen line and goes on to the next; a line that moves a head moves it in the plan.
pub(super) fn tick(model: &mut Model, effects: &mut Vec<Effect>) {
    let network = model.document.network();
    let Some(open) = recovery(model) else { return };
    let Some(line) = open.lines().get(open.row).copied() else {
        model.refuse("There is no line to tick here");
        effects.push(Effect::Bell);
        return;
    };
    let done = open.is_done(network, line);
    let id = network.head_id(line.head()).clone();
    let edit = open.move_of(line).filter(|_| !done).map(|relight| Edit::PlugForSetup {
        setup: network.setup_id(open.trip.setup).clone(),
        head: id.clone(),
        placement: Override::Plugged(relight.placement(network)),
    });
    if done && open.move_of(line).is_some() {
        model.say(format!("{id} is there already; u takes it back"));
        return;
    }
    let moved = match &edit {
        Some(edit) => change(model, edit, &format!("{id} is moved"), effects),
        None => true,
    };
    if !moved {
        return;
    }
    let plain = edit.is_none();
    let Some(open) = recovery_mut(model) else { return };
    if plain && done {
        open.ticked.retain(|ticked| *ticked != line);
        return;
    }
    if plain {
        open.ticked.push(line);
    }
    let last = open.lines().len().saturating_sub(1);
    open.row = (open.row + 1).min(last);
    if plain {
        let what = match line {
            Line::Unplug(_) => "off",
            Line::Now(_) => "lit again",
            Line::Later(_) => "minded",
        };
        model.say(format!("{id} {what}"));
    }
}

/// Resets that may still be tried of the trip that is being mended; none where nobody may try any.
pub(super) fn resets_left(model: &Model) -> u32 {
    let may = recovery(model).filter(|open| open.told.advice.step == Step::Reset);
    may.map_or(0, |open| MOST_RESETS.saturating_sub(open.trip.resets))
}

pub(super) fn held(model: &mut Model, effects: &mut Vec<Effect>) {
    after_reset(model, Reset::Held, effects);
}

pub(super) fn did_not_hold(model: &mut Model, effects: &mut Vec<Effect>) {
    after_reset(model, Reset::DidNotHold, effects);
}

fn after_reset(model: &mut Model, reset: Reset, effects: &mut Vec<Effect>) {
    let Some(open) = recovery(model) else { return };
    if open.told.advice.step != Step::Reset {
        model.refuse(match open.told.advice.step {
            Step::NoReset => "No reset here: a licensed electrician finds the fault first".to_owned(),
            Step::Held => "It held already. If it goes again, ! asks anew".to_owned(),
            _ => format!("{MOST_RESETS} resets are the most: a licensed electrician"),
        });
        effects.push(Effect::Bell);
        return;
    }
    let mut next = open.clone();
    log(model, &mut next, reset, effects);
    next.branch(model.document.network(), model.document.assessment(), reset);
    if let Some(open) = recovery_mut(model) {
        *open = next;
    }
}

/// Shows why the chosen line is there.
pub(super) fn why(model: &mut Model) -> bool {
    let network = model.document.network();
    let Some(open) = recovery(model) else { return false };
    let Some(line) = open.lines().get(open.row).copied() else { return false };
    let title = format!("Why {}", network.head_id(line.head()));
    let paragraphs = view::trip::reasons(network, open, line);
    super::program::open(model, Layer::WhyNot(Page { title, paragraphs, scroll: 0 }));
    true
}

/// Ticks the step under the cursor as struck and goes on to the next one, or takes its tick off.
pub(super) fn strike(model: &mut Model, effects: &mut Vec<Effect>) {
    let scene = model.scene();
    let Some(Subject::Head(head)) = view::shoot::subject(&scene, scene.row) else {
        model.refuse("There is no step under the cursor");
        effects.push(Effect::Bell);
        return;
    };
    let (Some(setup), network) = (model.setup, model.document.network()) else { return };
    let id: HeadId = network.head_id(head).clone();
    if network.setups[setup].placed[head].is_none() {
        model.refuse(format!("{id} is not plugged in, so nobody strikes it"));
        effects.push(Effect::Bell);
        return;
    }
    let entry = (network.setup_id(setup).clone(), id.clone());
    if model.struck.contains(&entry) {
        model.struck.retain(|own| *own != entry);
        model.say(format!("{id} is not struck after all"));
        return;
    }
    model.struck.push(entry);
    let last = view::last_row(model);
    let rows = &mut model.rows[Screen::Shoot as usize];
    *rows = (*rows + 1).min(last);
    model.say(format!("{id} is struck; ! if something went"));
}
