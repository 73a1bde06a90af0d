//! A question, the line that answers it, and the answers that there are.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

use super::Hits;
use super::layer::{draw_choices, draw_prompt, frame};
use crate::ask::{Ask, candidates};
use crate::model::Model;
use crate::paint;
use crate::text::{clip, pad, wrap};
use crate::theme::Role;

/// Columns of an answer, before what it is.
const VALUE: usize = 20;

/// How many rows the cursor can be on: the line, then the answers that there are.
#[must_use]
pub fn rows(model: &Model, ask: &Ask) -> usize {
    1 + candidates(&model.document.network().plan, &ask.question, ask.prompt.input.value()).len()
}

pub(super) fn draw(model: &Model, ask: &Ask, body: Rect, buffer: &mut Buffer, hits: &mut Hits) {
    let inner = frame(model, &ask.question.title(), body, buffer, hits);
    let rest = draw_prompt(model, &ask.prompt, ">", inner, buffer);
    let columns = usize::from(rest.width).saturating_sub(4);
    let (words, role) = match &ask.wrong {
        Some(why) => (format!("No: {why}"), Role::Risk),
        None => (ask.question.hint(), Role::Quiet),
    };
    let lines = wrap(&words, columns);
    let height = u16::try_from(lines.len()).unwrap_or(u16::MAX).min(rest.height);
    for (at, line) in lines.iter().enumerate() {
        let at = u16::try_from(at).unwrap_or(u16::MAX);
        paint::text(rest, at, &format!("   {line}"), model.theme.style(role), buffer);
    }
    let (_, below) = paint::split_top(rest, height);
    let found = candidates(&model.document.network().plan, &ask.question, ask.prompt.input.value());
    if found.is_empty() {
        return;
    }
    let line = ask.prompt.input.value();
    let own = if line.is_empty() { "(nothing)".to_owned() } else { line.to_owned() };
    let rows: Vec<String> = std::iter::once(format!("{} as typed", pad(&own, VALUE)))
        .chain(found.iter().map(|candidate| format!("{} {}", pad(&candidate.value, VALUE), candidate.note)))
        .map(|row| clip(&row, columns))
        .collect();
    draw_choices(model, &rows, &ask.prompt, below, buffer, hits);
}
