//! What stands around every screen: the verdict and what binds, the screens, the keys, the message.

use ampwalk_core::network::{At, SetupAt};
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::text::Span;

use super::{Hits, Target};
use crate::command::{by_id, key_bar};
use crate::model::{Model, Origin, Saved, Screen, Tone};
use crate::paint::{self, clear, split_bottom, split_top};
use crate::plot::not_placed;
use crate::text::{clip, width, wrap};
use crate::theme::Role;
use crate::words;

/// Columns under which the screens' keys and the counts stand close together, so that none is left out.
const ALL_SCREENS: u16 = 48;
/// Rows from which the line between head and body has its place.
const ROOMY: u16 = 12;

/// The rows of a screen.
struct Rows {
    head: Rect,
    body: Rect,
    foot: Rect,
}

/// The verdict first, then the body, then the keys, then the screens' names, then the rest: what a
/// terminal is too small for is left out in the reverse of this order.
fn rows(area: Rect) -> Rows {
    let (head, foot) = match area.height {
        0 | 1 => (area.height, 0),
        2..=4 => (1, 0),
        5..=7 => (1, 1),
        height if height < ROOMY => (2, 1),
        _ => (3, 2),
    };
    let (head, rest) = split_top(area, head);
    let (body, foot) = split_bottom(rest, foot);
    Rows { head, body, foot }
}

/// What is left for the screen.
pub(super) fn body(area: Rect) -> Rect {
    rows(area).body
}

/// Draws the frame; what is left is the body.
pub(super) fn draw(model: &Model, area: Rect, buffer: &mut Buffer, hits: &mut Hits) -> Rect {
    let rows = rows(area);
    draw_verdict(model, rows.head, buffer);
    if rows.head.height > 1 {
        draw_screens(model, rows.head, buffer, hits);
    }
    if rows.head.height > 2 {
        paint::rule(rows.head, 2, model.theme.style(Role::Frame), buffer);
        draw_left_out(model, area, rows.head, buffer);
    }
    if rows.foot.height > 0 {
        draw_keys(model, rows.foot, rows.foot.height - 1, buffer, hits);
    }
    rows.body
}

/// Location, setup and its hours on the left; verdict and what binds on the right, which is never cut
/// for the left.
fn draw_verdict(model: &Model, head: Rect, buffer: &mut Buffer) {
    let (network, assessment) = (model.document.network(), model.document.assessment());
    let (verdict, binding) = match model.setup {
        Some(setup) => (assessment.verdict_in(setup), words::binding(network, assessment, setup)),
        None => (assessment.verdict, "no setup yet".to_owned()),
    };
    let word = words::verdict(verdict);
    let room = usize::from(head.width).saturating_sub(width(word) + 3);
    let spans = vec![
        Span::styled(word, model.theme.style(words::verdict_role(verdict))),
        Span::raw("  "),
        Span::raw(clip(&binding, room)),
        Span::raw(" "),
    ];
    let taken = paint::right(head, 0, spans, buffer);
    let left = Rect { width: head.width.saturating_sub(taken + 1), ..head };
    let style = model.theme.style(Role::Heading);
    paint::text(left, 0, &format!(" {}", place_words(model, usize::from(left.width))), style, buffer);
}

/// Location, setup, hours and which one of how many; where not all of it fits, the location goes first,
/// then the hours, then the end of the setup's name.
fn place_words(model: &Model, cells: usize) -> String {
    let network = model.document.network();
    let location = network.plan.location.name.clone().unwrap_or_else(|| model.file_name.clone());
    let Some(setup) = model.setup else { return location };
    let name = words::setup_name(network, setup);
    let (hours, number) = hours_words(model, setup);
    let long = format!("{name} {hours} {number}");
    let room = cells.saturating_sub(width(&long) + 4);
    if room >= 6 {
        return format!("{}   {long}", clip(&location, room));
    }
    let end = if width(&hours) + width(&number) + 12 <= cells { format!("{hours} {number}") } else { number };
    format!("{} {end}", clip(&name, cells.saturating_sub(width(&end) + 2)))
}

/// When a setup burns, and which one of how many it is.
fn hours_words(model: &Model, setup: SetupAt) -> (String, String) {
    let network = model.document.network();
    let node = &network.setups[setup];
    let hours = match node.start {
        Some(start) => {
            let end = f64::from(start.minutes) + node.minutes.0;
            format!("{start}-{}", clock(end))
        }
        None => format!("{} h", ampwalk_core::rule::words::number(node.minutes.0 / 60.0)),
    };
    (hours, format!("{}/{}", setup.get() + 1, network.setups.len()))
}

/// Minutes after midnight as a time of day.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a setup ends after it starts, within days"
)]
fn clock(minutes: f64) -> String {
    ampwalk_core::plan::ClockTime { minutes: minutes.max(0.0) as u32 }.to_string()
}

fn draw_screens(model: &Model, head: Rect, buffer: &mut Buffer, hits: &mut Hits) {
    let quiet = model.theme.style(Role::Quiet);
    let (counts, gap) =
        if head.width < ALL_SCREENS { (counts(model, " ", ""), 1) } else { (counts(model, "   ", " "), 2) };
    let taken = paint::right(head, 1, counts, buffer);
    let left = Rect { width: head.width.saturating_sub(taken), ..head };
    let full: usize = Screen::ALL.iter().map(|(_, name)| name.len() + 4).sum();
    let mut x = left.x + 1;
    for (screen, name) in Screen::ALL {
        let id = command_of(screen);
        let key = by_id(id).and_then(|command| model.keymap.keys_of(command).into_iter().next());
        let key = key.unwrap_or_default();
        let shown = screen == model.screen;
        let label = match (shown, full <= usize::from(left.width)) {
            (true, _) => format!("{key} {}", name.to_uppercase()),
            (false, true) => format!("{key} {name}"),
            (false, false) => key,
        };
        let cells = u16::try_from(width(&label)).unwrap_or(u16::MAX);
        let Some(room) = left.right().checked_sub(x).filter(|room| *room >= cells) else { return };
        let style = if shown { model.theme.style(Role::Heading) } else { quiet };
        let place = Rect { x, y: head.y + 1, width: cells.min(room), height: 1 };
        paint::text(place, 0, &label, style, buffer);
        hits.add(place, Target::Screen(id));
        x += cells + gap;
    }
}

/// The command that shows a screen.
fn command_of(screen: Screen) -> &'static str {
    match screen {
        Screen::Walk => "walk",
        Screen::Board => "board",
        Screen::Plot => "plot",
        Screen::Shoot => "shoot",
        Screen::Papers => "papers",
    }
}

/// Heads not placed, and numbers that are assumed.
fn counts(model: &Model, between: &str, end: &str) -> Vec<Span<'static>> {
    let network = model.document.network();
    let Some(setup) = model.setup else { return Vec::new() };
    let unplaced = not_placed(network, setup).count();
    let assumed = model.document.assessment().setups[setup].assumed;
    let role = if unplaced > 0 { Role::Dark } else { Role::Quiet };
    let placed = if unplaced > 0 { format!("{unplaced} not placed") } else { "all placed".to_owned() };
    vec![
        Span::styled(placed, model.theme.style(role)),
        Span::styled(format!("{between}{assumed} assumed{end}"), model.theme.style(Role::Quiet)),
    ]
}

/// What the screen is too small for, in words on the line under the head.
fn draw_left_out(model: &Model, area: Rect, head: Rect, buffer: &mut Buffer) {
    let mut left_out = Vec::new();
    if model.screen == Screen::Plot {
        left_out.extend(super::plot::left_out(model, rows(area).body));
    }
    if !left_out.is_empty() && (area.width < 80 || area.height < 24) {
        let words = format!(" too small for: {} ", left_out.join(", "));
        let spans = vec![Span::styled(clip(&words, usize::from(head.width)), model.theme.style(Role::Quiet))];
        paint::right(head, 2, spans, buffer);
    }
}

fn saved_words(model: &Model, columns: u16) -> (String, Role) {
    if model.document.read_only().is_some() {
        return ("read only".to_owned(), Role::Risk);
    }
    let where_to = match model.origin {
        Origin::Demo if columns >= 60 => "demo copy, ",
        Origin::Demo | Origin::File => "",
    };
    match &model.saved {
        Saved::Saved => (format!("{where_to}saved"), Role::Quiet),
        Saved::Saving(_) => (format!("{where_to}saving"), Role::Note),
        Saved::Failed(_) => ("NOT SAVED".to_owned(), Role::Danger),
    }
}

fn draw_keys(model: &Model, foot: Rect, at: u16, buffer: &mut Buffer, hits: &mut Hits) {
    let (saved, role) = saved_words(model, foot.width);
    let spans = vec![Span::styled(format!("{saved} "), model.theme.style(role))];
    let taken = paint::right(foot, at, spans, buffer);
    let left = Rect { width: foot.width.saturating_sub(taken + 2), ..foot };
    let mut x = left.x + 1;
    for shown in key_bar(model, usize::from(left.width.saturating_sub(1)), 2) {
        let cells = u16::try_from(width(&shown.key) + 1 + width(shown.word)).unwrap_or(u16::MAX);
        let place = Rect { x, y: foot.y + at, width: cells.min(left.right().saturating_sub(x)), height: 1 };
        let spans = vec![
            Span::styled(shown.key, model.theme.style(Role::Key)),
            Span::styled(format!(" {}", shown.word), model.theme.style(Role::Quiet)),
        ];
        paint::line(place, 0, spans, buffer);
        hits.add(place, Target::Command(shown.command.id));
        x += cells + 2;
    }
}

/// The message, or the next line of the guide; a long message goes up over the body.
pub(super) fn draw_message(model: &Model, area: Rect, buffer: &mut Buffer) {
    let foot = rows(area).foot;
    if area.height < 2 {
        return;
    }
    let keys = u16::from(foot.height > 0);
    let (lines, style) = if model.message.text.is_empty() {
        let guide = model.guide.lines().next().filter(|_| foot.height > 1 && model.layers.is_empty());
        let Some(line) = guide else { return };
        let left = model.guide.lines().count();
        // What the guide says is done on the Plot.
        let place = if model.screen == Screen::Plot { "" } else { "3 Plot: " };
        (vec![format!("▸ {place}{line}  ({left} to try; g hides this)")], model.theme.style(Role::Note))
    } else {
        let role = match model.message.tone {
            Tone::Done => Role::Text,
            Tone::Refused => Role::Risk,
        };
        let room = usize::from(area.width).saturating_sub(2);
        (wrap(&model.message.text, room), model.theme.style(role))
    };
    let most = area.height.saturating_sub(keys + 1).min(4);
    let count = u16::try_from(lines.len()).unwrap_or(u16::MAX).min(most);
    let (above, _) = split_bottom(area, keys);
    let (_, place) = split_bottom(above, count);
    clear(place, model.theme.style(Role::Text), buffer);
    for (at, line) in lines.iter().take(usize::from(count)).enumerate() {
        paint::text(place, u16::try_from(at).unwrap_or(u16::MAX), &format!(" {line}"), style, buffer);
    }
}
