//! What is wrong, worst first, and what to do about it.

use ampwalk_core::assess::Finding;
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::text::Span;

use crate::model::Model;
use crate::paint;
use crate::text::{capital, count, pad, wrap};
use crate::theme::Role;
use crate::words;

/// Cells of the severity's word and the gap after it.
const WORD: usize = 8;

pub(super) fn draw(model: &Model, area: Rect, buffer: &mut Buffer) {
    draw_findings(model, area, buffer);
}

/// The findings as a pane of a wide screen.
pub(super) fn draw_pane(model: &Model, area: Rect, buffer: &mut Buffer) {
    if area.is_empty() {
        return;
    }
    let frame = model.theme.style(Role::Frame);
    for row in 0..area.height {
        paint::text(area, row, "│", frame, buffer);
    }
    let inner = paint::split_left(area, 2).1;
    let (title, list) = paint::split_top(inner, 1);
    paint::text(title, 0, "findings, worst first", model.theme.style(Role::Quiet), buffer);
    draw_findings(model, list, buffer);
}

fn draw_findings(model: &Model, area: Rect, buffer: &mut Buffer) {
    let (Some(setup), false) = (model.setup, area.is_empty()) else { return };
    let findings: Vec<&Finding> = model.document.assessment().findings_in(setup).collect();
    if findings.is_empty() {
        let words = " Nothing found in this setup by the numbers of this plan.";
        paint::text(area, 0, words, model.theme.style(Role::Good), buffer);
        return;
    }
    let room = usize::from(area.width).saturating_sub(WORD + 1);
    let mut row = 0;
    for (place, finding) in findings.iter().enumerate() {
        let left = area.height - row;
        let text = format!("{}. {}.", finding.text, capital(&finding.remedy));
        let text = words::told(model.document.network(), &text);
        let lines = wrap(&text, room);
        let needed = u16::try_from(lines.len()).unwrap_or(u16::MAX);
        if place > 0 && needed > left {
            return;
        }
        let shown = usize::from(needed.min(left));
        draw_one(model, finding, &lines, shown, Rect { y: area.y + row, height: left, ..area }, buffer);
        row += u16::try_from(shown).unwrap_or(left);
        if row >= area.height {
            return;
        }
    }
}

fn draw_one(
    model: &Model,
    finding: &Finding,
    lines: &[String],
    shown: usize,
    area: Rect,
    buffer: &mut Buffer,
) {
    let severity = finding.severity;
    let style = model.theme.style(words::severity_role(severity));
    for (at, line) in lines.iter().take(shown).enumerate() {
        let word = words::verdict(severity.into());
        let cut = if at + 1 == shown && shown < lines.len() { " …" } else { "" };
        let spans = if at == 0 {
            let gap = WORD.saturating_sub(word.len());
            vec![
                Span::raw(" "),
                Span::styled(word, style),
                Span::raw(" ".repeat(gap)),
                Span::raw(format!("{line}{cut}")),
            ]
        } else {
            vec![Span::raw(pad("", WORD + 1)), Span::raw(format!("{line}{cut}"))]
        };
        paint::line(area, u16::try_from(at).unwrap_or(u16::MAX), spans, buffer);
    }
}

/// How many findings there are, and what lists them: on the line above the reason.
pub(super) fn draw_count(model: &Model, rule: Rect, buffer: &mut Buffer) {
    let Some(setup) = model.setup else { return };
    let found = model.document.assessment().findings_in(setup).count();
    let key = crate::command::by_id("findings").and_then(|own| model.keymap.keys_of(own).into_iter().next());
    let words = format!(" {}, {} lists them ", count(found, "finding"), key.unwrap_or_default());
    if found > 0 {
        paint::right(rule, 0, vec![Span::styled(words, model.theme.style(Role::Quiet))], buffer);
    }
}
