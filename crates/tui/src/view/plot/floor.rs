//! The floor that is shown, and a line for each of the others.

use std::collections::BTreeSet;

use ampwalk_core::assess::{Consequence, Outlook, Prospect, Subject, Verdict};
use ampwalk_core::network::{CircuitAt, HeadAt, SetupAt};
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::text::Span;

use super::arrange::{Arrangement, Manner, RoomPlace, arrange};
use super::cell;
use crate::floors::Page;
use crate::model::Model;
use crate::paint;
use crate::plot::Held;
use crate::text::{clip, count, width};
use crate::theme::Role;
use crate::view::{Hits, Target};
use crate::words;

pub(super) fn draw(model: &Model, title: Rect, area: Rect, buffer: &mut Buffer, hits: &mut Hits) {
    let network = model.document.network();
    let Some(page) = model.pages.get(model.page) else {
        let words = format!(" No {} yet. Next: 1 for Walk, and n there.", network.region.words.socket);
        paint::text(area, 1, &words, model.theme.style(Role::Quiet), buffer);
        return;
    };
    let cursor = match &model.plot.held {
        Some(held) => held.target(),
        None => model.plot.socket,
    };
    let shown = arrange(network, page, area, cursor);
    draw_title(model, page, &shown, title, buffer);
    if shown.manner == Manner::List {
        for room in &shown.rooms {
            paint::text(room.area, 0, &room.name, model.theme.style(Role::Quiet), buffer);
        }
    } else {
        draw_walls(model, &shown.rooms, area, buffer);
    }
    let roles = cell::Roles::of(model);
    for (socket, place) in &shown.sockets {
        cell::draw(model, &roles, *socket, *place, buffer);
        hits.add(*place, Target::Socket(*socket));
    }
}

fn draw_title(model: &Model, page: &Page, shown: &Arrangement, title: Rect, buffer: &mut Buffer) {
    let heading = model.theme.style(Role::Heading);
    let mut spans = vec![Span::styled(format!(" {}", page.name), heading)];
    if model.pages.len() > 1 {
        spans.push(Span::styled(
            format!("  {}/{}", model.page + 1, model.pages.len()),
            model.theme.style(Role::Quiet),
        ));
    }
    let hidden = shown.before + shown.after;
    if hidden > 0 {
        let words = format!("  {hidden} more by tab");
        spans.push(Span::styled(words, model.theme.style(Role::Risk)));
    }
    let used: usize = spans.iter().map(|span| width(&span.content)).sum();
    paint::line(title, 0, spans, buffer);
    let room = usize::from(title.width).saturating_sub(used + 2);
    let (long, short, role) = match &model.plot.held {
        Some(held) => {
            let (long, short) = counts(held).unwrap_or_else(|| ("counting ".to_owned(), String::new()));
            (long, short, Role::Note)
        }
        None if model.pages.len() > 1 => ("[ ] other floors ".to_owned(), "[ ] ".to_owned(), Role::Quiet),
        None => return,
    };
    let words = if width(&long) <= room { long } else { short };
    if width(&words) <= room {
        paint::right(title, 0, vec![Span::styled(words, model.theme.style(role))], buffer);
    }
}

/// How many sockets turn out so and so, long and short; `None` while some are not rated.
fn counts(held: &Held) -> Option<(String, String)> {
    let (fits, risk) = (held.count(Outlook::Fits)?, held.count(Outlook::Risk)?);
    let no = held.count(Outlook::Dark)? + held.count(Outlook::Never)?;
    Some((format!("fits {fits}   with risk {risk}   no {no} "), format!("fits {fits} ")))
}

/// Ways out of a cell of wall, as bits.
const UP: u8 = 1;
const DOWN: u8 = 2;
const LEFT: u8 = 4;
const RIGHT: u8 = 8;

/// Draws walls so that neighbours share theirs, then the rooms' names on their upper walls.
fn draw_walls(model: &Model, rooms: &[RoomPlace], area: Rect, buffer: &mut Buffer) {
    let columns = usize::from(area.width);
    let mut ways = vec![0u8; columns * usize::from(area.height)];
    let mut add = |x: u16, y: u16, way: u8| {
        let at = usize::from(y - area.y) * columns + usize::from(x - area.x);
        if let Some(cell) = ways.get_mut(at) {
            *cell |= way;
        }
    };
    for room in rooms {
        let walls = room.area;
        let (right, bottom) = (walls.right() - 1, walls.bottom() - 1);
        for x in walls.x..=right {
            for y in [walls.y, bottom] {
                add(x, y, if x > walls.x { LEFT } else { 0 } | if x < right { RIGHT } else { 0 });
            }
        }
        for y in walls.y..=bottom {
            for x in [walls.x, right] {
                add(x, y, if y > walls.y { UP } else { 0 } | if y < bottom { DOWN } else { 0 });
            }
        }
    }
    let style = model.theme.style(Role::Frame);
    let area = area.intersection(buffer.area);
    for (at, ways) in ways.iter().enumerate().filter(|(_, ways)| **ways != 0) {
        let (Ok(x), Ok(y)) = (u16::try_from(at % columns), u16::try_from(at / columns)) else { continue };
        if let Some(cell) = buffer.cell_mut((area.x + x, area.y + y)) {
            cell.set_symbol(wall(*ways)).set_style(style);
        }
    }
    for room in rooms {
        let name = clip(&room.name, usize::from(room.area.width).saturating_sub(4));
        if !name.is_empty() {
            let place = Rect { x: room.area.x + 1, width: room.area.width - 2, height: 1, ..room.area };
            paint::line(
                place,
                0,
                vec![Span::styled(format!(" {name} "), model.theme.style(Role::Quiet))],
                buffer,
            );
        }
    }
}

fn wall(ways: u8) -> &'static str {
    const SIGNS: [&str; 16] =
        [" ", "│", "│", "│", "─", "╯", "╮", "┤", "─", "╰", "╭", "├", "─", "┴", "┬", "┼"];
    SIGNS[usize::from(ways & 15)]
}

/// A line for each floor that is not shown: its state, or what would happen on its sockets.
pub(super) fn draw_others(model: &Model, area: Rect, buffer: &mut Buffer, hits: &mut Hits) {
    let Some(setup) = model.setup else { return };
    let others: Vec<usize> = (0..model.pages.len()).filter(|page| *page != model.page).collect();
    for (row, page) in others.iter().take(usize::from(area.height)).enumerate() {
        let row = u16::try_from(row).unwrap_or(u16::MAX);
        let more = others.len() - usize::from(area.height).min(others.len());
        let is_last = row + 1 == area.height;
        let spans = match &model.plot.held {
            Some(held) => hand_line(model, held, &model.pages[*page], usize::from(area.width)),
            None => rest_line(model, setup, &model.pages[*page], if is_last { more } else { 0 }),
        };
        paint::line(area, row, spans, buffer);
        if let Some(place) = paint::row(area, row) {
            hits.add(place, Target::Page(*page));
        }
    }
}

fn rest_line(model: &Model, setup: SetupAt, page: &Page, more: usize) -> Vec<Span<'static>> {
    let (network, assessment) = (model.document.network(), model.document.assessment());
    let placed = network.setups[setup].placed.iter();
    let heads: BTreeSet<HeadAt> = placed
        .filter(|(head, _)| network.setups[setup].is_on[*head])
        .filter_map(|(head, placed)| Some((head, placed.as_ref()?.socket)))
        .filter(|(_, socket)| network.sockets[*socket].place.floor == page.floor)
        .map(|(head, _)| head)
        .collect();
    let circuits: BTreeSet<CircuitAt> =
        page.sockets().filter_map(|socket| network.sockets[socket].circuit).collect();
    let verdict = Verdict::of(assessment.findings_in(setup).filter(|finding| match finding.subject {
        Subject::Socket(socket) => network.sockets[socket].place.floor == page.floor,
        Subject::Head(head) => heads.contains(&head),
        Subject::Circuit(circuit) => circuits.contains(&circuit),
        Subject::Rcd(rcd) => assessment.setups[setup].rcds[rcd].heads.iter().any(|head| heads.contains(head)),
        _ => false,
    }));
    let mut spans = vec![Span::raw(format!(" {}  ", page.name))];
    if !heads.is_empty() {
        let style = model.theme.style(words::verdict_role(verdict));
        spans.push(Span::styled(format!("{}  ", words::verdict(verdict)), style));
    }
    let words = format!("{} on {}", count(heads.len(), "head"), count(page.sockets().count(), "socket"));
    spans.push(Span::styled(words, model.theme.style(Role::Quiet)));
    if more > 0 {
        spans.push(Span::styled(
            format!("  and {}", count(more, "more floor")),
            model.theme.style(Role::Quiet),
        ));
    }
    spans
}

/// What would happen on the sockets of another floor, best first; those that do not fit on the line
/// are counted.
fn hand_line(model: &Model, held: &Held, page: &Page, cells: usize) -> Vec<Span<'static>> {
    let network = model.document.network();
    let name = format!(" {}", page.name);
    let mut room = cells.saturating_sub(width(&name) + 6);
    let mut spans = vec![Span::raw(name)];
    let on_page = |there: &&Prospect| network.sockets[there.socket].place.floor == page.floor;
    let all = page.sockets().count();
    let there: Vec<&Consequence> =
        held.ranked().iter().filter(on_page).map_while(|there| held.at(there.socket)).collect();
    let mut shown = 0;
    for same in there.chunk_by(|a, b| a.words == b.words) {
        let ids: Vec<String> = same.iter().map(|there| network.socket_id(there.socket).to_string()).collect();
        let words = format!("  {} {}", ids.join(" "), cell::outlook_words(same[0]));
        let short = clip(&words, room);
        if width(&short) < width(&words).min(14) {
            break;
        }
        shown += same.len();
        room -= width(&short);
        spans.push(Span::styled(short, model.theme.style(cell::words_role(same[0]))));
    }
    if shown < all {
        spans.push(Span::styled(format!("  +{} ]", all - shown), model.theme.style(Role::Note)));
    }
    spans
}
