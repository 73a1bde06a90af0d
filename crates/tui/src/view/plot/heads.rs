//! The heads of the setup: those not placed first, then those in trouble.

use ampwalk_core::assess::Finding;
use ampwalk_core::network::{HeadAt, Network, SetupAt};
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::Style;
use ratatui::text::Span;

use crate::model::Model;
use crate::paint;
use crate::plot::{Focus, troubles};
use crate::text::{clip, pad, width};
use crate::theme::Role;
use crate::view::{Hits, Target};
use crate::words;

/// A head, and how many rows it takes.
struct Entry {
    head: HeadAt,
    rows: u16,
}

pub(super) fn draw(model: &Model, area: Rect, buffer: &mut Buffer, hits: &mut Hits) {
    let (Some(setup), false) = (model.setup, area.is_empty()) else { return };
    let heads = model.heads();
    let quiet = model.theme.style(Role::Quiet);
    if heads.is_empty() {
        for (row, line) in [" no head is on in this", " setup: n adds one", ""].iter().enumerate() {
            paint::text(area, u16::try_from(row).unwrap_or(0) + 1, line, quiet, buffer);
        }
        return;
    }
    let (title, list) = paint::split_top(area, u16::from(area.height > 3));
    paint::text(title, 0, " heads that are on", quiet, buffer);
    let troubles = troubles(model.document.network(), model.document.assessment(), setup);
    let rows = |head: HeadAt| 1 + u16::from(has_second_line(model, setup, head, troubles[head]));
    let all: Vec<Entry> = heads.iter().map(|head| Entry { head: *head, rows: rows(*head) }).collect();
    let (from, until) = window(model, &all, list.height);
    let (mut row, cells) = (0, usize::from(list.width));
    for Entry { head, rows } in &all[from..until] {
        let place = Rect { y: list.y + row, height: (*rows).min(list.height - row), ..list };
        hits.add(place, Target::Head(*head));
        paint::line(place, 0, first_line(model, setup, *head, cells), buffer);
        if *rows > 1 {
            let second = second_line(model, setup, *head, troubles[*head], cells);
            paint::line(place, 1, second.unwrap_or_default(), buffer);
        }
        row += rows;
    }
    let hidden = all.len() - (until - from);
    if hidden > 0 {
        let place = if from > 0 { "above and below" } else { "below" };
        let place = if until == all.len() { "above" } else { place };
        let bottom = list.height - 1;
        let words = pad(&format!(" {hidden} more {place}"), usize::from(list.width));
        paint::text(list, bottom, &words, quiet, buffer);
    }
}

/// The heads that are shown: as many as fit around the one under the cursor, a row being kept for
/// saying how many are not.
fn window(model: &Model, all: &[Entry], height: u16) -> (usize, usize) {
    let fits = |from: usize, room: u16| {
        let mut left = room;
        all[from..]
            .iter()
            .take_while(|entry| {
                let fit = entry.rows <= left;
                left = left.saturating_sub(entry.rows);
                fit
            })
            .count()
    };
    if fits(0, height) == all.len() {
        return (0, all.len());
    }
    let room = height.saturating_sub(1);
    let cursor = all.iter().position(|entry| Some(entry.head) == model.plot.head).unwrap_or(0);
    let mut from = 0;
    while from < cursor && from + fits(from, room) <= cursor {
        from += 1;
    }
    let shown = fits(from, room).max(usize::from(height > 1));
    (from, (from + shown).min(all.len()))
}

fn first_line(model: &Model, setup: SetupAt, head: HeadAt, cells: usize) -> Vec<Span<'static>> {
    let network = model.document.network();
    let in_hand = model.plot.held.as_ref().is_some_and(|held| held.head == head);
    let at_cursor = model.plot.head == Some(head) && model.plot.focus == Focus::Heads;
    let style = |role: Role| model.theme.style(role);
    let base: Style = match (in_hand, at_cursor) {
        (true, _) => style(Role::Chosen),
        (false, true) => style(Role::Cursor),
        _ => style(Role::Text),
    };
    let placed = network.setups[setup].placed[head].as_ref();
    let socket = match placed {
        _ if in_hand => "hand".to_owned(),
        Some(placed) => network.socket_id(placed.socket).to_string(),
        None => "—".to_owned(),
    };
    let mark = if in_hand {
        "◆"
    } else if at_cursor {
        "▸"
    } else {
        " "
    };
    let pinned = network.plan.heads.get(network.head_id(head)).is_some_and(|head| head.pinned);
    let name = format!(
        "{} {}{}",
        network.head_id(head),
        words::head_name(network, head),
        if pinned { " pinned" } else { "" }
    );
    let room = cells.saturating_sub(width(&socket) + 3);
    vec![Span::styled(format!("{mark}{} {socket} ", pad(&name, room)), base)]
}

/// Whether there is more to say of a head than where it is.
fn has_second_line(model: &Model, setup: SetupAt, head: HeadAt, trouble: Option<&Finding>) -> bool {
    let used = model.document.assessment().setups[setup].heads[head].as_ref();
    used.is_some_and(|used| used.socket.is_none() || trouble.is_some() || model.plot.head == Some(head))
}

/// Amps, and what is the matter: only for heads in trouble, and for the one under the cursor.
fn second_line(
    model: &Model,
    setup: SetupAt,
    head: HeadAt,
    trouble: Option<&Finding>,
    cells: usize,
) -> Option<Vec<Span<'static>>> {
    let (network, assessment) = (model.document.network(), model.document.assessment());
    let used = assessment.setups[setup].heads[head].as_ref()?;
    let amps = format!("   {}  ", words::amps(used.amps));
    let room = cells.saturating_sub(width(&amps));
    let quiet = model.theme.style(Role::Quiet);
    let (words, role) = match trouble {
        _ if used.socket.is_none() => ("NOT PLACED".to_owned(), Role::Dark),
        Some(finding) => (trouble_words(network, finding), words::severity_role(finding.severity)),
        _ if model.plot.head == Some(head) => (leak_words(network, head), Role::Quiet),
        _ => return None,
    };
    Some(vec![Span::styled(amps, quiet), Span::styled(clip(&words, room), model.theme.style(role))])
}

fn leak_words(network: &Network, head: HeadAt) -> String {
    let node = &network.heads[head];
    words::milliamps(node.leak.value.high + node.strike.value.high)
}

/// What is the matter with a head, in a few words.
fn trouble_words(network: &Network, finding: &Finding) -> String {
    let id = finding.subject.id(network);
    match finding.rule.id {
        "rcd-trips" | "rcd-standing" => format!("{id} DROPS"),
        "rcd-may-trip" => format!("{id} may drop"),
        "breaker-over" => format!("{id} OVER"),
        "breaker-may-over" => format!("{id} may be over"),
        "breaker-tight" => format!("{id} is tight"),
        "socket-unsafe" => format!("{id} UNSAFE"),
        "cable-short" => format!("{} too short", network.region.words.lead),
        "rcd-absent" => format!("no {}", network.region.words.rcd),
        "rcd-untested" => format!("{} not tested", network.region.words.rcd),
        "socket-untested" => format!("{id} untested"),
        "rcd-share" => format!("{id} over 30 %"),
        "drop-high" => "volts drop".to_owned(),
        "amps-low-volts" => "over on low volts".to_owned(),
        rule => rule.replace('-', " "),
    }
}
