//! Commands that move the cursor.

use ampwalk_core::network::SocketAt;
use ratatui::layout::Rect;

use super::plot::choose_socket;
use crate::effect::Effect;
use crate::layer::Layer;
use crate::model::{Model, Screen};
use crate::plot::Focus;
use crate::view;

/// Rows that a page key goes.
const PAGE: isize = 10;
/// More rows than there ever are.
const ALL: isize = 1_000_000;

/// A way on the screen.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Way {
    Up,
    Down,
    Left,
    Right,
}

pub(super) fn up(model: &mut Model, _: &mut Vec<Effect>) {
    go(model, -1, Way::Up);
}

pub(super) fn down(model: &mut Model, _: &mut Vec<Effect>) {
    go(model, 1, Way::Down);
}

pub(super) fn page_up(model: &mut Model, _: &mut Vec<Effect>) {
    by_rows(model, -PAGE);
}

pub(super) fn page_down(model: &mut Model, _: &mut Vec<Effect>) {
    by_rows(model, PAGE);
}

pub(super) fn first(model: &mut Model, _: &mut Vec<Effect>) {
    by_rows(model, -ALL);
}

pub(super) fn last(model: &mut Model, _: &mut Vec<Effect>) {
    by_rows(model, ALL);
}

fn go(model: &mut Model, by: isize, way: Way) {
    let among_sockets = model.plot.held.is_some() || model.plot.focus == Focus::Sockets;
    if model.layers.is_empty() && model.screen == Screen::Plot && among_sockets {
        go_among_sockets(model, way);
    } else {
        by_rows(model, by);
    }
}

/// Moves the row of what has the keys.
pub(crate) fn by_rows(model: &mut Model, by: isize) {
    let last = view::last_row(model);
    let moved = |row: usize| row.min(last).saturating_add_signed(by).min(last);
    match model.layers.last_mut() {
        Some(Layer::Findings(rows) | Layer::Problems(rows) | Layer::Entries(rows)) => {
            rows.row = moved(rows.row);
        }
        Some(Layer::Went(question)) => question.row = moved(question.row),
        Some(Layer::Recovery(recovery)) => recovery.row = moved(recovery.row),
        Some(Layer::Ask(ask)) => ask.prompt.row = moved(ask.prompt.row),
        Some(Layer::WhyNot(page) | Layer::Producer(page) | Layer::Traced(page) | Layer::Help(page)) => {
            page.scroll = moved(page.scroll);
        }
        Some(Layer::Sheet(shown)) => shown.scroll = moved(shown.scroll),
        Some(Layer::Palette(prompt) | Layer::Find(prompt)) => prompt.row = moved(prompt.row),
        Some(Layer::Explanation { row, .. } | Layer::Form { row, .. }) => *row = moved(*row),
        Some(Layer::Compare(compare)) => compare.row = moved(compare.row),
        Some(Layer::Moves(shown)) => shown.row = moved(shown.row),
        Some(Layer::Placing(_)) => {}
        None if model.screen == Screen::Plot => by_places(model, by),
        None => model.rows[model.screen as usize] = moved(model.row()),
    }
}

/// Moves among the heads, or among the sockets in the order of Tab.
fn by_places(model: &mut Model, by: isize) {
    if model.plot.held.is_some() || model.plot.focus == Focus::Sockets {
        along_sockets(model, by, Ends::Stop);
        return;
    }
    let heads = model.heads();
    let Some(last) = heads.len().checked_sub(1) else { return };
    let place = heads.iter().position(|head| Some(*head) == model.plot.head).unwrap_or(0);
    model.plot.head = heads.get(place.saturating_add_signed(by).min(last)).copied();
}

/// What happens at the ends of a row of sockets.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Ends {
    Stop,
    Round,
}

pub(super) fn next_socket(model: &mut Model, _: &mut Vec<Effect>) {
    along_sockets(model, 1, Ends::Round);
}

pub(super) fn previous_socket(model: &mut Model, _: &mut Vec<Effect>) {
    along_sockets(model, -1, Ends::Round);
}

fn along_sockets(model: &mut Model, by: isize, ends: Ends) {
    let (order, now): (Vec<SocketAt>, Option<SocketAt>) = match &model.plot.held {
        Some(held) => (held.ranked().iter().map(|there| there.socket).collect(), held.target()),
        None => (model.pages.iter().flat_map(crate::floors::Page::sockets).collect(), model.plot.socket),
    };
    let Some(last) = order.len().checked_sub(1) else {
        model.refuse("There is no socket yet");
        return;
    };
    let entering = model.plot.held.is_none() && model.plot.focus == Focus::Heads;
    let place = order.iter().position(|socket| Some(*socket) == now).unwrap_or(0);
    let next = match ends {
        _ if entering => place,
        Ends::Stop => place.saturating_add_signed(by).min(last),
        Ends::Round => {
            let count = isize::try_from(order.len()).unwrap_or(isize::MAX);
            let moved = isize::try_from(place).unwrap_or(0) + by;
            usize::try_from(moved.rem_euclid(count)).unwrap_or(0)
        }
    };
    choose_socket(model, order[next]);
}

pub(super) fn left(model: &mut Model, _: &mut Vec<Effect>) {
    if model.plot.held.is_some() || model.plot.focus == Focus::Sockets {
        go_among_sockets(model, Way::Left);
    }
}

pub(super) fn right(model: &mut Model, _: &mut Vec<Effect>) {
    if model.plot.held.is_some() || model.plot.focus == Focus::Sockets {
        go_among_sockets(model, Way::Right);
        return;
    }
    let shown = |socket: &SocketAt| crate::floors::is_socket_on(&model.pages, model.page, *socket);
    let socket = model.plot.socket.filter(shown);
    let socket = socket.or_else(|| model.pages.get(model.page)?.sockets().next());
    if let Some(socket) = socket {
        choose_socket(model, socket);
    }
}

/// Goes to the nearest socket on that side; left of the leftmost are the heads.
fn go_among_sockets(model: &mut Model, way: Way) {
    let places = view::socket_places(model);
    let now = match &model.plot.held {
        Some(held) => held.target(),
        None => model.plot.socket,
    };
    let from = places.iter().find(|(socket, _)| Some(*socket) == now).map(|(_, rect)| *rect);
    let Some(from) = from else {
        if let Some((socket, _)) = places.first() {
            choose_socket(model, *socket);
        }
        return;
    };
    let next = places
        .iter()
        .filter(|(socket, _)| Some(*socket) != now)
        .filter_map(|(socket, rect)| Some((distance(from, *rect, way)?, *socket)))
        .min_by_key(|(distance, _)| *distance);
    match next {
        Some((_, socket)) => choose_socket(model, socket),
        None if way == Way::Left && model.plot.held.is_none() => model.plot.focus = Focus::Heads,
        None if matches!(way, Way::Up | Way::Down) => {
            along_sockets(model, if way == Way::Up { -1 } else { 1 }, Ends::Stop);
        }
        None => {}
    }
}

/// How far one place is from another on a side; `None` where it is not on that side. Rows count for
/// more than columns, since a cell is about twice as high as wide.
fn distance(from: Rect, to: Rect, way: Way) -> Option<u32> {
    let (dx, dy) = (i32::from(to.x) - i32::from(from.x), i32::from(to.y) - i32::from(from.y));
    let (ahead, aside) = match way {
        Way::Up => (-dy * 2, dx.abs()),
        Way::Down => (dy * 2, dx.abs()),
        Way::Left => (-dx, dy.abs() * 4),
        Way::Right => (dx, dy.abs() * 4),
    };
    (ahead > 0).then_some((ahead + aside * 2).unsigned_abs())
}

pub(super) fn floor_down(model: &mut Model, _: &mut Vec<Effect>) {
    turn_page(model, -1);
}

pub(super) fn floor_up(model: &mut Model, _: &mut Vec<Effect>) {
    turn_page(model, 1);
}

fn turn_page(model: &mut Model, by: isize) {
    let Some(last) = model.pages.len().checked_sub(1) else { return };
    let Some(page) = model.page.checked_add_signed(by).filter(|page| *page <= last) else {
        let end = if by < 0 { "lowest" } else { "highest" };
        model.refuse(format!("This is the {end} floor with sockets"));
        return;
    };
    show_page(model, page);
}

/// Shows the page of a floor, and puts the cursor on its best socket for the head in hand.
pub(crate) fn show_page(model: &mut Model, page: usize) {
    model.page = page.min(model.pages.len().saturating_sub(1));
    let Some(shown) = model.pages.get(model.page) else { return };
    let on_page: Vec<SocketAt> = shown.sockets().collect();
    let focus = model.plot.focus;
    let best = match &model.plot.held {
        Some(held) => held.ranked().iter().map(|there| there.socket).find(|socket| on_page.contains(socket)),
        None => on_page.first().copied(),
    };
    if let Some(socket) = best {
        choose_socket(model, socket);
        model.plot.focus = focus;
    }
}
