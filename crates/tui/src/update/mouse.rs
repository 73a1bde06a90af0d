//! The mouse: everything that has a place can be clicked, and a head dragged onto a socket.

use crossterm::event::{MouseButton, MouseEvent, MouseEventKind};

use crate::command::{self, moves, plot};
use crate::effect::Effect;
use crate::layer::Layer;
use crate::model::{Click, Model, Pointer, Screen};
use crate::plot::{Focus, Held};
use crate::view::{self, Target};

/// Rows that a notch of the wheel goes.
const NOTCH: isize = 1;

pub(super) fn on_mouse(model: &mut Model, mouse: MouseEvent) -> Vec<Effect> {
    match mouse.kind {
        MouseEventKind::ScrollUp => wheel(model, -NOTCH),
        MouseEventKind::ScrollDown => wheel(model, NOTCH),
        MouseEventKind::Down(MouseButton::Left) => press(model, mouse.column, mouse.row),
        MouseEventKind::Drag(MouseButton::Left) => drag(model, mouse.column, mouse.row),
        MouseEventKind::Up(MouseButton::Left) => release(model, mouse.column, mouse.row),
        _ => Vec::new(),
    }
}

fn wheel(model: &mut Model, by: isize) -> Vec<Effect> {
    model.pointer.clicked = None;
    moves::by_rows(model, by);
    Vec::new()
}

fn press(model: &mut Model, column: u16, row: u16) -> Vec<Effect> {
    let before = model.pointer.clicked.take();
    let target = view::target_at(model, column, row);
    let click = if target.is_some() && before == target { Click::Second } else { Click::First };
    model.pointer = Pointer { pressed: target, clicked: None, click };
    let Some(target) = target else { return Vec::new() };
    match target {
        Target::Screen(id) | Target::Command(id) => run(id, model),
        Target::Page(page) => {
            moves::show_page(model, page);
            Vec::new()
        }
        Target::Row(row) => choose_row(model, row),
        Target::Head(head) => {
            model.plot.held = None;
            model.plot.focus = Focus::Heads;
            model.plot.head = Some(head);
            Vec::new()
        }
        Target::Socket(socket) => {
            let already = model.plot.held.as_ref().and_then(Held::target);
            if already == Some(socket) {
                return run("drop", model);
            }
            plot::choose_socket(model, socket);
            Vec::new()
        }
    }
}

/// A row is chosen by the first click; the second takes it, or opens what the plan says of it.
fn choose_row(model: &mut Model, row: usize) -> Vec<Effect> {
    let screen = model.screen as usize;
    let (place, taken) = match model.layers.last_mut() {
        Some(Layer::Findings(list) | Layer::Problems(list) | Layer::Entries(list)) => {
            (&mut list.row, "accept")
        }
        Some(Layer::Form { row, .. }) => (row, "accept"),
        Some(Layer::Went(question)) => (&mut question.row, "answer"),
        Some(Layer::Recovery(recovery)) => (&mut recovery.row, "tick"),
        Some(Layer::Ask(ask)) => (&mut ask.prompt.row, "accept"),
        // A second click on a row must not take all of the moves.
        Some(Layer::Moves(moves)) => {
            moves.row = row;
            return Vec::new();
        }
        // Nor all that two texts differ in.
        Some(Layer::Compare(compare)) => {
            compare.row = row;
            return Vec::new();
        }
        Some(Layer::Palette(prompt) | Layer::Find(prompt)) => (&mut prompt.row, "accept"),
        Some(_) => return Vec::new(),
        None if model.screen == Screen::Papers => (&mut model.rows[screen], "why"),
        None => (&mut model.rows[screen], "form"),
    };
    if *place == row {
        return run(taken, model);
    }
    *place = row;
    Vec::new()
}

/// Runs a command, where it works.
fn run(id: &str, model: &mut Model) -> Vec<Effect> {
    let here = model.context();
    let command = command::by_id(id).filter(|command| command.when.contains(&here));
    command.map_or_else(Vec::new, |command| command.run(model))
}

/// A head that is pressed and pulled comes in hand, and follows the pointer from socket to socket.
fn drag(model: &mut Model, column: u16, row: u16) -> Vec<Effect> {
    let mut effects = Vec::new();
    let is_head = matches!(model.pointer.pressed, Some(Target::Head(_)));
    if !is_head || !model.layers.is_empty() || model.screen != Screen::Plot {
        return effects;
    }
    // A hand is never quite still: as long as the pointer is on the head, it is a click.
    if model.pointer.click != Click::Drag && view::target_at(model, column, row) == model.pointer.pressed {
        return effects;
    }
    model.pointer.click = Click::Drag;
    if model.plot.held.is_none() {
        let Some(head) = model.plot.head else { return effects };
        let page = model.page;
        plot::pick_up_head(model, head, &mut effects);
        moves::show_page(model, page);
    }
    let over = view::target_at(model, column, row);
    let chosen = model.plot.held.as_ref().and_then(Held::target);
    match over {
        Some(Target::Socket(socket)) if chosen != Some(socket) => plot::choose_socket(model, socket),
        Some(Target::Page(page)) => moves::show_page(model, page),
        _ => {}
    }
    effects
}

fn release(model: &mut Model, column: u16, row: u16) -> Vec<Effect> {
    let pointer = std::mem::take(&mut model.pointer);
    match pointer.click {
        Click::Drag => let_go(model, column, row),
        Click::First => {
            model.pointer.clicked = pointer.pressed;
            Vec::new()
        }
        Click::Second => match pointer.pressed {
            Some(Target::Head(_) | Target::Socket(_)) if model.layers.is_empty() => run("form", model),
            _ => Vec::new(),
        },
    }
}

/// A head that was dragged is let go: over a socket it stays there, elsewhere it goes back.
fn let_go(model: &mut Model, column: u16, row: u16) -> Vec<Effect> {
    let Some(held) = &model.plot.held else { return Vec::new() };
    let chosen = held.target();
    match view::target_at(model, column, row) {
        Some(Target::Socket(socket)) if chosen == Some(socket) => run("drop", model),
        _ => run("put-back", model),
    }
}
