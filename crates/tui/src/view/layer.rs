//! What lies over a screen, in a box of its own.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::text::Span;

use super::{Hits, Target, ask, compare, entries, explanation, findings, moves, problems, sheet};
use crate::command::layers::palette_hint;
use crate::layer::{Layer, Page, Prompt};
use crate::matches::{self, Found};
use crate::model::Model;
use crate::paint;
use crate::plot::heads_at;
use crate::scene::Scene;
use crate::text::{pad, width, wrap};
use crate::theme::Role;
use crate::words;

/// Draws one layer over the body.
pub(super) fn draw(model: &Model, layer: &Layer, body: Rect, buffer: &mut Buffer, hits: &mut Hits) {
    if body.is_empty() {
        return;
    }
    match layer {
        Layer::Findings(list) => {
            let setup = model.setup.map(|setup| words::setup_name(model.document.network(), setup));
            let title = format!("Findings of {}, worst first", setup.unwrap_or_default());
            let inner = frame(model, &title, body, buffer, hits);
            hits.add_rows(findings::draw(&scene(model, list.row), inner, buffer));
        }
        Layer::Problems(list) => {
            let inner = frame(model, "Problems of the file", body, buffer, hits);
            let (text, found) = (model.document.text(), model.document.problems());
            hits.add_rows(problems::draw(&scene(model, list.row), text, found, inner, buffer));
        }
        Layer::Explanation { title, explained, row } => {
            let inner = frame(model, title, body, buffer, hits);
            explanation::draw(&scene(model, *row), explained, inner, buffer);
        }
        Layer::Entries(list) => {
            let inner = frame(model, "The whole plan", body, buffer, hits);
            hits.add_rows(entries::draw_all(&model.document, list.row, model.theme, inner, buffer));
        }
        Layer::Form { of, row } => {
            let title = format!("Keys of {of}");
            let inner = frame(model, &crate::text::capital(&title), body, buffer, hits);
            hits.add_rows(entries::draw_form(&model.document, of, *row, model.theme, inner, buffer));
        }
        Layer::Went(question) => super::trip::draw_question(model, question, body, buffer, hits),
        Layer::Recovery(recovery) => super::trip::draw_recovery(model, recovery, body, buffer, hits),
        Layer::Moves(shown) => moves::draw(model, shown, body, buffer, hits),
        // It is drawn over what lies below.
        Layer::Placing(_) => {}
        Layer::Ask(ask) => ask::draw(model, ask, body, buffer, hits),
        Layer::WhyNot(page) | Layer::Producer(page) | Layer::Traced(page) => {
            draw_page(model, page, &[], body, buffer, hits);
        }
        Layer::Compare(shown) => compare::draw(model, shown, body, buffer, hits),
        Layer::Sheet(shown) => sheet::draw(model, shown, body, buffer, hits),
        Layer::Help(page) => draw_page(model, page, &[palette_hint(model)], body, buffer, hits),
        Layer::Palette(prompt) => draw_palette(model, prompt, body, buffer, hits),
        Layer::Find(prompt) => draw_find(model, prompt, body, buffer, hits),
    }
}

fn scene(model: &Model, row: usize) -> Scene<'_> {
    Scene { row, ..model.scene() }
}

/// Empties the body, draws a title, and returns what is left.
pub(super) fn frame(model: &Model, title: &str, body: Rect, buffer: &mut Buffer, hits: &mut Hits) -> Rect {
    hits.cover(body);
    paint::clear(body, model.theme.style(Role::Text), buffer);
    let (top, rest) = paint::split_top(body, u16::from(body.height > 2));
    paint::text(top, 0, &format!(" {title}"), model.theme.style(Role::Heading), buffer);
    rest
}

/// Which entries of these heights are shown in an area, and where, so that the chosen one is.
fn visible(heights: &[u16], chosen: usize, area: Rect) -> Vec<(usize, Rect)> {
    let mut first = chosen.min(heights.len().saturating_sub(1));
    let mut used = heights.get(first).copied().unwrap_or(0);
    while let Some(before) = first.checked_sub(1) {
        if used.saturating_add(heights[before]) > area.height {
            break;
        }
        used += heights[before];
        first = before;
    }
    let mut y = area.y;
    let mut shown = Vec::new();
    for (place, height) in heights.iter().enumerate().skip(first) {
        let left = area.bottom().saturating_sub(y);
        if left == 0 {
            break;
        }
        let height = (*height).min(left);
        shown.push((place, Rect { y, height, ..area }));
        y += height;
    }
    shown
}

fn page_lines(page: &Page, last: &[String], cells: usize) -> Vec<String> {
    let all = page.paragraphs.iter().chain(last);
    // An empty paragraph is a blank line.
    let lines = |paragraph: &String| {
        if paragraph.is_empty() { vec![String::new()] } else { wrap_hanging(paragraph, cells) }
    };
    all.flat_map(lines).collect()
}

/// Wraps a paragraph; where it begins with a key and a gap, what follows stays behind the gap.
pub(super) fn wrap_hanging(paragraph: &str, cells: usize) -> Vec<String> {
    let Some(at) = paragraph.find("  ") else { return wrap(paragraph, cells) };
    let (key, rest) = paragraph.split_at(at);
    let indent = at + (rest.len() - rest.trim_start().len());
    let lines = wrap(rest, cells.saturating_sub(indent).max(8));
    lines
        .into_iter()
        .enumerate()
        .map(|(at, line)| format!("{}{line}", pad(if at == 0 { key } else { "" }, indent)))
        .collect()
}

/// How far down a page can be scrolled.
pub(super) fn last_scroll(page: &Page, body: Rect) -> usize {
    let lines = page_lines(page, &[], usize::from(body.width).saturating_sub(4)).len();
    (lines + 3).saturating_sub(usize::from(body.height))
}

fn draw_page(model: &Model, page: &Page, last: &[String], body: Rect, buffer: &mut Buffer, hits: &mut Hits) {
    let inner = frame(model, &page.title, body, buffer, hits);
    let lines = page_lines(page, last, usize::from(inner.width).saturating_sub(4));
    for (at, line) in lines.iter().skip(page.scroll).take(usize::from(inner.height)).enumerate() {
        let at = u16::try_from(at).unwrap_or(u16::MAX);
        paint::text(inner, at, &format!("  {line}"), model.theme.style(Role::Text), buffer);
    }
    let below = lines.len().saturating_sub(page.scroll + usize::from(inner.height));
    if below > 0 {
        let words = format!("{below} more lines below ");
        let quiet = model.theme.style(Role::Note);
        paint::right(inner, inner.height.saturating_sub(1), vec![Span::styled(words, quiet)], buffer);
    }
}

pub(super) fn draw_prompt(
    model: &Model,
    prompt: &Prompt,
    sign: &str,
    area: Rect,
    buffer: &mut Buffer,
) -> Rect {
    let (line, rest) = paint::split_top(area, 1);
    // What was pasted may be anything; a mark for each letter, so that the cursor stays where it is.
    let value = crate::widget::text::visible(prompt.input.value());
    let at = prompt.input.cursor();
    let before: String = value.chars().take(at).collect();
    let under: String = value.chars().nth(at).map_or_else(|| " ".to_owned(), |c| c.to_string());
    let after: String = value.chars().skip(at + 1).collect();
    // The end that is being typed stays in sight.
    let room = usize::from(area.width).saturating_sub(width(sign) + 4);
    let skip = width(&before).saturating_sub(room);
    let before: String = before.chars().skip(skip).collect();
    let spans = vec![
        Span::styled(format!(" {sign} "), model.theme.style(Role::Key)),
        Span::raw(before),
        Span::styled(under, model.theme.style(Role::Cursor)),
        Span::raw(after),
    ];
    paint::line(line, 0, spans, buffer);
    rest
}

fn draw_palette(model: &Model, prompt: &Prompt, body: Rect, buffer: &mut Buffer, hits: &mut Hits) {
    let inner = frame(model, "Commands: type a few letters", body, buffer, hits);
    let list = draw_prompt(model, prompt, ":", inner, buffer);
    let below = model.context_below();
    let rows: Vec<String> = matches::commands(prompt.input.value(), below)
        .into_iter()
        .map(|command| {
            let keys = model.keymap.keys_of(command).join(" ");
            let here = command.when.contains(&below);
            let end = if here { command.doc.to_owned() } else { "not here".to_owned() };
            format!("{} {} {end}", pad(command.title, 24), pad(&keys, 8))
        })
        .map(|row| crate::text::clip(&row, usize::from(list.width).saturating_sub(3)))
        .collect();
    draw_choices(model, rows.len(), &|row| rows[row].clone(), prompt, list, buffer, hits);
}

/// The choices that there is room for; `words` has them by row.
pub(super) fn draw_choices(
    model: &Model,
    rows: usize,
    words: &dyn Fn(usize) -> String,
    prompt: &Prompt,
    list: Rect,
    buffer: &mut Buffer,
    hits: &mut Hits,
) {
    if rows == 0 {
        paint::text(list, 0, "  nothing is called so", model.theme.style(Role::Quiet), buffer);
        return;
    }
    let heights = vec![1; rows];
    for (place, rect) in visible(&heights, prompt.row, list) {
        hits.add(rect, Target::Row(place));
        let (mark, role) = if place == prompt.row { ("▸", Role::Cursor) } else { (" ", Role::Text) };
        paint::text(rect, 0, &format!("{mark} {}", words(place)), model.theme.style(role), buffer);
    }
}

fn draw_find(model: &Model, prompt: &Prompt, body: Rect, buffer: &mut Buffer, hits: &mut Hits) {
    let network = model.document.network();
    let title = format!("Find a head or a {}", network.region.words.socket);
    let inner = frame(model, &title, body, buffer, hits);
    let list = draw_prompt(model, prompt, "/", inner, buffer);
    let found = matches::places(network, model.setup, prompt.input.value());
    let words = |row: usize| {
        let found = found[row];
        let state = model.setup.map_or_else(String::new, |setup| match found {
            Found::Head(head) => match &network.setups[setup].placed[head] {
                Some(placed) => format!("on {}", network.socket_id(placed.socket)),
                None => "not placed".to_owned(),
            },
            Found::Socket(socket) => {
                let ids: Vec<_> =
                    heads_at(network, setup, socket).map(|head| network.head_id(head).to_string()).collect();
                if ids.is_empty() { "free".to_owned() } else { ids.join(" ") }
            }
        });
        format!("{} {state}", pad(&matches::place_words(network, found), 34))
    };
    draw_choices(model, found.len(), &words, prompt, list, buffer, hits);
}
