//! Events in, effects out: the only place where the model changes.

mod mouse;

use crossterm::event::{KeyCode, KeyEvent, KeyEventKind, KeyModifiers};
use tui_input::{Input, InputRequest};

use crate::ask::Question;
use crate::command::{moves, plot};
use crate::effect::Effect;
use crate::event::{Event, Ground};
use crate::keymap::Chord;
use crate::layer::{Layer, Prompt};
use crate::model::{Message, Model, Saved};
use crate::outside;
use crate::settings::Bell;
use crate::theme::Theme;
use crate::view;

/// Takes an event in, and says what the host is to do about it.
pub fn update(model: &mut Model, event: Event) -> Vec<Effect> {
    let mut effects = on_event(model, event);
    effects.extend(outside::settle(model));
    if model.plot.held.is_some() {
        let (sockets, lines) = view::sockets_in_sight(model);
        let others = model.pages.iter().enumerate().filter(|(at, _)| *at != model.page).map(|(_, page)| page);
        if let Some(held) = &mut model.plot.held {
            held.look_around(model.document.network(), sockets, others.take(lines));
        }
    }
    if model.bell == Bell::Off {
        effects.retain(|effect| *effect != Effect::Bell);
    }
    effects
}

fn on_event(model: &mut Model, event: Event) -> Vec<Effect> {
    // Whoever does something with a head in hand does it as if all sockets had been rated at once.
    if matches!(event, Event::Key(_) | Event::Mouse(_) | Event::Paste(_) | Event::Spare) {
        finish_what_was_put_off(model);
    }
    match event {
        Event::Key(key) if key.kind == KeyEventKind::Release => Vec::new(),
        Event::Key(key) => on_key(model, key),
        Event::Mouse(mouse) => mouse::on_mouse(model, mouse),
        Event::Resize { width, height } => {
            on_resize(model, (width, height));
            Vec::new()
        }
        Event::Paste(text) => {
            if let Some(prompt) = prompt(model) {
                let mut line = prompt.input.value().to_owned();
                line.extend(text.chars().filter(|c| !c.is_control()));
                *prompt = Prompt { input: Input::new(line), row: 0 };
            }
            Vec::new()
        }
        Event::Saved(outcome) => {
            on_saved(model, outcome);
            Vec::new()
        }
        Event::Superseded => {
            on_superseded(model);
            Vec::new()
        }
        Event::Changed { number, before, theirs } => {
            outside::changed(model, number, before, theirs);
            Vec::new()
        }
        Event::Found(found) => {
            outside::offer(model, found);
            Vec::new()
        }
        Event::Free => {
            model.document.hold(None);
            model.say("Whoever else had the plan open has left: it is yours to edit");
            Vec::new()
        }
        Event::Time(moment) => {
            crate::command::trip::time(model, moment);
            Vec::new()
        }
        Event::Placing { number, progress } => {
            crate::command::placing::progress(model, number, progress);
            Vec::new()
        }
        Event::Placed(placed) => crate::command::placing::placed(model, *placed),
        Event::Answered(answered) => crate::command::placing::answered(model, &answered),
        Event::Made(made) => crate::command::papers::made(model, *made),
        Event::HandedOut { request, outcome } => crate::command::papers::handed_out(model, &request, outcome),
        Event::Ground(ground) => {
            on_ground(model, ground);
            Vec::new()
        }
        Event::Spare => Vec::new(),
        Event::Told(words) => {
            model.say(words);
            Vec::new()
        }
    }
}

fn finish_what_was_put_off(model: &mut Model) {
    let is_put_off = model.has_put_off();
    if let (Some(held), Some(setup)) = (&mut model.plot.held, model.setup)
        && is_put_off
    {
        held.finish(model.document.network(), model.document.assessment(), setup);
        plot::show_target(model);
    }
}

/// What lies over the screen may be longer or shorter now: it is kept where there is something of it.
fn on_resize(model: &mut Model, size: (u16, u16)) {
    model.size = size;
    for layer in &mut model.layers {
        if let Layer::Sheet(shown) = layer {
            shown.fit(size.0);
        }
    }
    if !model.layers.is_empty() {
        moves::by_rows(model, 0);
    }
}

/// A theme that nobody chose follows the terminal.
fn on_ground(model: &mut Model, ground: Ground) {
    if !model.theme_is_chosen && matches!(model.theme, Theme::Dark | Theme::Light) {
        model.theme = match ground {
            Ground::Dark => Theme::Dark,
            Ground::Light => Theme::Light,
        };
    }
}

fn on_key(model: &mut Model, key: KeyEvent) -> Vec<Effect> {
    model.pointer.clicked = None;
    // What the last key did has been read by the time that the next one is pressed.
    model.message = Message::default();
    model.pressed = if let KeyCode::Char(letter) = key.code { Some(letter) } else { None };
    let command = model.keymap.command(model.context(), Chord::of(key));
    if let Some(command) = command.filter(|command| !is_part_of_the_line(model, command.id, key)) {
        return command.run(model);
    }
    let Some(request) = typed(key) else { return Vec::new() };
    if let Some(prompt) = prompt(model) {
        prompt.input.handle(request);
        prompt.row = 0;
    }
    Vec::new()
}

/// Whether a key that works everywhere is a letter of the line that is being typed: `!7` says how
/// important a head is. At the start of an empty line, and where no such letter is asked for, it is the
/// command.
fn is_part_of_the_line(model: &Model, command: &str, key: KeyEvent) -> bool {
    let is_letter = matches!(key.code, KeyCode::Char(_)) && !key.modifiers.contains(KeyModifiers::CONTROL);
    let Some(Layer::Ask(ask)) = model.layers.last() else { return false };
    let takes_it = !matches!(ask.question, Question::Name { .. }) && !ask.prompt.input.value().is_empty();
    command == "trip" && is_letter && takes_it
}

/// What a key does to a line that is being typed.
fn typed(key: KeyEvent) -> Option<InputRequest> {
    let with = key.modifiers.intersects(KeyModifiers::CONTROL | KeyModifiers::ALT);
    Some(match key.code {
        KeyCode::Char('u') if key.modifiers == KeyModifiers::CONTROL => InputRequest::DeleteLine,
        KeyCode::Char('w') if key.modifiers == KeyModifiers::CONTROL => InputRequest::DeletePrevWord,
        KeyCode::Char(c) if !with => InputRequest::InsertChar(c),
        KeyCode::Backspace if with => InputRequest::DeletePrevWord,
        KeyCode::Backspace => InputRequest::DeletePrevChar,
        KeyCode::Delete => InputRequest::DeleteNextChar,
        KeyCode::Left if with => InputRequest::GoToPrevWord,
        KeyCode::Right if with => InputRequest::GoToNextWord,
        KeyCode::Left => InputRequest::GoToPrevChar,
        KeyCode::Right => InputRequest::GoToNextChar,
        KeyCode::Home => InputRequest::GoToStart,
        KeyCode::End => InputRequest::GoToEnd,
        _ => return None,
    })
}

/// The line that is being typed, and which of its matches is chosen.
fn prompt(model: &mut Model) -> Option<&mut Prompt> {
    match model.layers.last_mut() {
        Some(Layer::Palette(prompt) | Layer::Find(prompt)) => Some(prompt),
        Some(Layer::Ask(ask)) => {
            ask.wrong = None;
            Some(&mut ask.prompt)
        }
        _ => None,
    }
}

/// One of the saves that are under way has ended. Only when the last one has, is the disk up to date.
fn on_saved(model: &mut Model, outcome: Result<(), String>) {
    match outcome {
        Ok(()) => {
            let left = if let Saved::Saving(count) = model.saved { count.saturating_sub(1) } else { 0 };
            if left == 0 {
                model.document.saved();
                model.saved = Saved::Saved;
            } else {
                model.saved = Saved::Saving(left);
            }
        }
        Err(why) => {
            model.refuse(format!("Not saved: {why}"));
            model.saved = Saved::Failed(why);
        }
    }
}

/// A save came too late. What another program wrote is taken over first, and then all of it is saved.
fn on_superseded(model: &mut Model) {
    let is_asked = model.outside.is_some() || outside::is_open(model);
    model.saved = match model.saved {
        Saved::Saving(count @ 2..) => Saved::Saving(count - 1),
        _ if is_asked => Saved::Failed("another program wrote the file".to_owned()),
        // What they wrote is told in a moment, and then it is saved.
        _ => Saved::Saving(0),
    };
}
