//! A question, the line that answers it, and the answers that there are.

use ampwalk_core::shorthand::{forms, read};
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

use super::Hits;
use super::layer::{draw_choices, draw_prompt, frame, wrap_hanging};
use crate::ask::{Ask, Question, candidates};
use crate::line::{Choice, caution, choices};
use crate::model::Model;
use crate::paint;
use crate::text::{clip, pad};
use crate::theme::Role;
use crate::widget::text::visible;

/// Columns of an answer, before what it is.
const VALUE: usize = 20;
/// Columns of a form of the grammar, before what it says.
const FORM: usize = 24;
/// Lines that are kept for the answers.
const LEAST_ANSWERS: u16 = 5;

/// How many rows the cursor can be on: the line, then the answers that there are.
#[must_use]
pub fn rows(model: &Model, ask: &Ask) -> usize {
    1 + answers(model, ask).len()
}

/// The answers that there are, as rows.
fn answers(model: &Model, ask: &Ask) -> Vec<String> {
    let plan = &model.document.network().plan;
    let typed = ask.prompt.input.value();
    if let Question::Line { subject, .. } = &ask.question {
        let found = choices(plan, *subject, typed, ask.prompt.input.cursor());
        return found.iter().map(Choice::words).collect();
    }
    let found = candidates(plan, &ask.question, typed);
    found.iter().map(|candidate| format!("{} {}", pad(&candidate.value, VALUE), candidate.note)).collect()
}

/// What is said under the line, each with its role.
fn said(model: &Model, ask: &Ask) -> Vec<(String, Role)> {
    let mut said = Vec::new();
    if let Some(why) = &ask.wrong {
        said.push((format!("No: {why}"), Role::Risk));
    }
    let Question::Line { subject, .. } = &ask.question else {
        if said.is_empty() {
            said.push((ask.question.hint(), Role::Quiet));
        }
        return said;
    };
    let network = model.document.network();
    let typed = ask.prompt.input.value();
    let line = read(&network.plan, *subject, typed);
    if typed.trim().is_empty() {
        let forms = forms(*subject).iter().filter(|form| !form.written.is_empty());
        said.extend(forms.map(|form| (format!("{}  {}", pad(form.written, FORM), form.says), Role::Quiet)));
    } else {
        let role = if line.is_whole() { Role::Good } else { Role::Text };
        said.push((line.echo(), role));
    }
    let caution = caution(network, &line);
    if !caution.is_empty() {
        said.insert(0, (format!("MIND: {caution}"), Role::Risk));
    }
    said
}

pub(super) fn draw(model: &Model, ask: &Ask, body: Rect, buffer: &mut Buffer, hits: &mut Hits) {
    let inner = frame(model, &ask.question.title(), body, buffer, hits);
    let rest = draw_prompt(model, &ask.prompt, ">", inner, buffer);
    let columns = usize::from(rest.width).saturating_sub(4);
    let answers = answers(model, ask);
    let kept = if answers.is_empty() { 0 } else { LEAST_ANSWERS.min(rest.height / 2) };
    let mut used: u16 = 0;
    'said: for (words, role) in said(model, ask) {
        for line in wrap_hanging(&words, columns) {
            if used >= rest.height - kept {
                break 'said;
            }
            paint::text(rest, used, &format!("   {line}"), model.theme.style(role), buffer);
            used += 1;
        }
    }
    if answers.is_empty() {
        return;
    }
    let (_, below) = paint::split_top(rest, used);
    let typed = ask.prompt.input.value();
    let own = if typed.is_empty() { "(nothing)".to_owned() } else { visible(typed) };
    let rows: Vec<String> = std::iter::once(format!("{} as typed", pad(&own, VALUE)))
        .chain(answers)
        .map(|row| clip(&row, columns))
        .collect();
    draw_choices(model, rows.len(), &|row| rows[row].clone(), &ask.prompt, below, buffer, hits);
}
