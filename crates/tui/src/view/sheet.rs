//! One sheet, as it is printed.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::text::Span;

use super::Hits;
use super::layer::frame;
use crate::model::Model;
use crate::paint;
use crate::sheets::Shown;
use crate::text::capital;
use crate::theme::Role;

/// How far down a sheet can be scrolled.
pub(super) fn last_scroll(shown: &Shown, body: Rect) -> usize {
    (shown.lines.len() + 2).saturating_sub(usize::from(body.height))
}

/// Draws it over the screen.
pub(super) fn draw(model: &Model, shown: &Shown, body: Rect, buffer: &mut Buffer, hits: &mut Hits) {
    let setup = shown.sheet.setup.as_ref().map(|setup| format!(" of {setup}")).unwrap_or_default();
    let title = capital(&format!("{}{setup}", shown.sheet.kind.word()));
    let inner = frame(model, &title, body, buffer, hits);
    // The last row tells how much there is below, where there is any.
    let all = usize::from(inner.height);
    let is_more = shown.lines.len() > shown.scroll + all;
    let height = if is_more { all.saturating_sub(1) } else { all };
    for (at, line) in shown.lines.iter().skip(shown.scroll).take(height).enumerate() {
        let at = u16::try_from(at).unwrap_or(u16::MAX);
        paint::text(inner, at, &format!(" {line}"), model.theme.style(Role::Text), buffer);
    }
    let below = shown.lines.len().saturating_sub(shown.scroll + height);
    if below > 0 {
        let words = format!("{below} more lines below ");
        let note = model.theme.style(Role::Note);
        paint::right(inner, inner.height.saturating_sub(1), vec![Span::styled(words, note)], buffer);
    }
}
