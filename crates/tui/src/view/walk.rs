//! The Walk: every socket with what the testers and the traces said of it, trouble first.

mod advice;
mod sockets;

use ampwalk_core::assess::Subject;
use ampwalk_core::explain::Topic;
use ampwalk_core::network::{At, SocketAt};
use ampwalk_core::trace::{Basis, words as traced};
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::text::Line;

use crate::scene::Scene;
use crate::theme::Role;
use crate::view::phrase::{counted, joined, paragraph, place, span};
use crate::widget::list::{self, Focus, Places, Stop};
use crate::widget::table::{Cell, Column, fit_columns, row, titles};
use crate::widget::text::{Align, fit, width};
use sockets::{Trouble, survey};

const COLUMNS: [Column; 7] = [
    Column { title: "", align: Align::Left, least: 4, most: 8, rank: 0 },
    Column { title: "trouble first", align: Align::Left, least: 34, most: 60, rank: 0 },
    Column { title: "circuit", align: Align::Left, least: 5, most: 24, rank: 1 },
    Column { title: "ramp, mA", align: Align::Left, least: 19, most: 24, rank: 3 },
    Column { title: "label", align: Align::Left, least: 9, most: 16, rank: 4 },
    Column { title: "outlet", align: Align::Left, least: 9, most: 14, rank: 5 },
    Column { title: "plate", align: Align::Left, least: 3, most: 10, rank: 6 },
];

/// Under this many columns the state is cut shorter, to keep the circuit beside it.
const NARROW: usize = 60;

/// How many rows the cursor can be on.
#[must_use]
pub fn rows(scene: &Scene<'_>) -> usize {
    scene.network.sockets.len()
}

/// The number behind a row that can be explained: the room on the RCD of its socket.
#[must_use]
pub fn topic(scene: &Scene<'_>, row: usize) -> Option<Topic> {
    let socket = socket_at(scene, row)?;
    let node = &scene.network.sockets[socket];
    let rcd = node.portable.or_else(|| scene.network.reach_of(socket).certain_rcds().next())?;
    Some(Topic::RcdRoom(rcd))
}

/// What a row is about.
#[must_use]
pub fn subject(scene: &Scene<'_>, row: usize) -> Option<Subject> {
    socket_at(scene, row).map(Subject::Socket)
}

fn socket_at(scene: &Scene<'_>, row: usize) -> Option<SocketAt> {
    survey(scene.network).into_iter().map(|(socket, _)| socket).nth(row)
}

/// A line of the list.
#[derive(Clone, Copy, Debug)]
enum Entry {
    Room(SocketAt),
    Socket(SocketAt, Trouble),
}

/// Draws it.
pub fn draw(scene: &Scene<'_>, area: Rect, buffer: &mut Buffer) -> Places {
    let theme = scene.theme;
    let columns = usize::from(area.width).saturating_sub(list::GUTTER);
    let survey = survey(scene.network);
    if survey.is_empty() {
        let text = format!(
            "No {} yet. Next: :new floor and :new room, such as ground 0 and living ground; then n here for each one that you pass: G1 living 2x10 ok r15/20 P1.",
            scene.network.region.words.socket
        );
        list::draw_ends(paragraph(&text, 0, columns, Role::Text, theme), Vec::new(), theme, area, buffer);
        return Places::new();
    }
    let cells: Vec<Vec<Cell>> =
        survey.iter().map(|(socket, trouble)| sockets::cells(scene.network, *socket, *trouble)).collect();
    let mut table = COLUMNS;
    if columns < NARROW {
        table[1].least = 22;
    }
    let widths = fit_columns(&table, cells.iter(), columns);
    let mut top = paragraph(&counts(scene, &survey), 0, columns, Role::Text, theme);
    if let Some((next, role)) = advice::next_test(scene) {
        top.extend(paragraph(&next, 0, columns, role, theme));
    }
    top.push(titles(&COLUMNS, &widths, theme));
    let foot = paragraph(&advice::blind_spots(scene.network), 0, columns, Role::Quiet, theme);
    let body = list::draw_ends(top, foot, theme, area, buffer);

    let entries = with_rooms(scene, &survey);
    let stops: Vec<Stop> = entries
        .iter()
        .map(|entry| if matches!(entry, Entry::Room(_)) { Stop::Between } else { Stop::Row })
        .collect();
    let lines = |at: usize, focus: Focus, columns: usize| match entries[at] {
        Entry::Room(socket) => vec![room_line(scene, socket, columns)],
        Entry::Socket(socket, trouble) => {
            let cells = sockets::cells(scene.network, socket, trouble);
            let mut lines = vec![row(&COLUMNS, &widths, &cells, theme)];
            if focus == Focus::Here {
                for (text, role) in more(scene, socket, &cells, &widths) {
                    lines.extend(paragraph(&text, 4, columns, role, theme));
                }
            }
            lines
        }
    };
    list::draw(&stops, scene.row, lines, theme, body, buffer)
}

fn with_rooms(scene: &Scene<'_>, survey: &[(SocketAt, Trouble)]) -> Vec<Entry> {
    let mut entries = Vec::with_capacity(survey.len() * 2);
    let mut last = None;
    for (socket, trouble) in survey {
        let room = scene.network.sockets[*socket].place.room;
        if last != Some(room) {
            entries.push(Entry::Room(*socket));
            last = Some(room);
        }
        entries.push(Entry::Socket(*socket, *trouble));
    }
    entries
}

fn room_line(scene: &Scene<'_>, socket: SocketAt, columns: usize) -> Line<'static> {
    let words = place(scene.network, &scene.network.sockets[socket].place);
    let words = if words.is_empty() { "no room".to_owned() } else { words };
    fit(Line::from(span(words, Role::Heading, scene.theme)), columns)
}

/// What the row under the cursor tells besides its columns.
fn more(scene: &Scene<'_>, socket: SocketAt, cells: &[Cell], widths: &[usize]) -> Vec<(String, Role)> {
    let network = scene.network;
    let unseen =
        COLUMNS.iter().zip(cells).zip(widths).filter(|((_, (text, _)), shown)| width(text) > **shown);
    let unseen = joined(unseen.map(|((column, (text, _)), shown)| match shown {
        0 => format!("{} {text}", column.title),
        _ => text.clone(),
    }));
    let mut told = Vec::new();
    if !unseen.is_empty() {
        told.push((unseen, Role::Text));
    }
    let known = &scene.report().sockets[socket];
    if known.basis != Basis::Given || !known.proof.is_empty() {
        told.push((traced::socket(network, scene.report(), socket), Role::Text));
    }
    told.extend(sockets::remarks(network, socket));
    told.push(advice::before_a_ramp_test(network, socket));
    told
}

/// `11 power points: 10 tested, 1 not tested …`
fn counts(scene: &Scene<'_>, survey: &[(SocketAt, Trouble)]) -> String {
    let network = scene.network;
    let count = sockets::Counts::of(network, survey);
    let socket = &network.region.words.socket;
    let all = counted(survey.len(), socket, &format!("{socket}s"));
    let labels = match (count.labels_wrong, count.labels_checked) {
        (_, 0) => "no label checked against a trace".to_owned(),
        (wrong, checked) => format!("{wrong} of {} wrong", counted(checked, "label", "labels")),
    };
    format!(
        "{all}: {} tested, {} not · {} unsafe · {} untraced · {labels}",
        count.tested, count.untested, count.unsafe_ones, count.untraced
    )
}

/// The index of a socket in the plan, for sorting.
fn place_in_plan(socket: SocketAt) -> usize {
    socket.get()
}

#[cfg(test)]
mod tests;
