//! Putting text on a buffer, whatever their sizes.

use std::fmt::Write as _;

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::Style;
use ratatui::text::{Line, Span};
use ratatui::widgets::Widget;

use crate::text::{clip, width};

/// One row of an area; `None` where it is outside.
#[must_use]
pub fn row(area: Rect, row: u16) -> Option<Rect> {
    (row < area.height && area.width > 0).then(|| Rect { y: area.y + row, height: 1, ..area })
}

/// Draws spans on one row of an area, cut at its end.
pub fn line(area: Rect, at: u16, spans: Vec<Span<'_>>, buffer: &mut Buffer) {
    if let Some(rect) = row(area.intersection(buffer.area), at) {
        Line::from(spans).render(rect, buffer);
    }
}

/// Draws text on one row of an area, cut with an ellipsis.
pub fn text(area: Rect, at: u16, words: &str, style: Style, buffer: &mut Buffer) {
    let words = clip(words, usize::from(area.width));
    line(area, at, vec![Span::styled(words, style)], buffer);
}

/// Draws spans that end at the right edge; returns how many cells they took.
pub fn right(area: Rect, at: u16, spans: Vec<Span<'_>>, buffer: &mut Buffer) -> u16 {
    let cells: usize = spans.iter().map(|span| width(&span.content)).sum();
    let cells = u16::try_from(cells).unwrap_or(u16::MAX).min(area.width);
    let from = Rect { x: area.x + (area.width - cells), width: cells, ..area };
    line(from, at, spans, buffer);
    cells
}

/// A horizontal line across an area's row.
pub fn rule(area: Rect, at: u16, style: Style, buffer: &mut Buffer) {
    text(area, at, &"─".repeat(usize::from(area.width)), style, buffer);
}

/// Takes rows off the top of an area; never more than it has.
#[must_use]
pub fn split_top(area: Rect, rows: u16) -> (Rect, Rect) {
    let rows = rows.min(area.height);
    (Rect { height: rows, ..area }, Rect { y: area.y + rows, height: area.height - rows, ..area })
}

/// Takes rows off the bottom of an area; never more than it has.
#[must_use]
pub fn split_bottom(area: Rect, rows: u16) -> (Rect, Rect) {
    let rows = rows.min(area.height);
    split_top(area, area.height - rows)
}

/// Takes columns off the left of an area; never more than it has.
#[must_use]
pub fn split_left(area: Rect, columns: u16) -> (Rect, Rect) {
    let columns = columns.min(area.width);
    (Rect { width: columns, ..area }, Rect { x: area.x + columns, width: area.width - columns, ..area })
}

/// Empties an area.
pub fn clear(area: Rect, style: Style, buffer: &mut Buffer) {
    let area = area.intersection(buffer.area);
    for y in area.top()..area.bottom() {
        for x in area.left()..area.right() {
            if let Some(cell) = buffer.cell_mut((x, y)) {
                cell.reset();
                cell.set_style(style);
            }
        }
    }
}

/// A buffer as text: its rows, then each row's runs of style, by column. What a snapshot keeps, since
/// symbols alone hide what colour and weight say.
#[must_use]
pub fn styled_text(buffer: &Buffer) -> String {
    let (mut symbols, mut styles) = (String::new(), String::new());
    for row in buffer.area.rows() {
        let cells: Vec<_> = row.columns().filter_map(|cell| buffer.cell((cell.x, cell.y))).collect();
        let text: String = cells.iter().map(|cell| cell.symbol()).collect();
        symbols.push_str(text.trim_end());
        symbols.push('\n');
        let mut from = 0;
        let mut runs = Vec::new();
        for run in cells.chunk_by(|a, b| a.style() == b.style()) {
            let words = style_words(run[0].style());
            if !words.is_empty() {
                runs.push(format!("{from}-{} {words}", from + run.len() - 1));
            }
            from += run.len();
        }
        if !runs.is_empty() {
            // Writing to a string cannot fail.
            let _ = writeln!(styles, "row {}: {}", row.y, runs.join(", "));
        }
    }
    symbols + &styles
}

fn style_words(style: Style) -> String {
    let mut words = Vec::new();
    if let Some(colour) = style.fg.filter(|colour| *colour != ratatui::style::Color::Reset) {
        words.push(format!("{colour}").to_lowercase());
    }
    if let Some(colour) = style.bg.filter(|colour| *colour != ratatui::style::Color::Reset) {
        words.push(format!("on {colour}").to_lowercase());
    }
    if !style.add_modifier.is_empty() {
        words.push(format!("{:?}", style.add_modifier).to_lowercase());
    }
    words.join(" ")
}

#[cfg(test)]
mod tests {
    use ratatui::style::{Color, Modifier};

    use super::*;

    #[test]
    fn text_is_cut_at_the_edge_and_outside_it_nothing_is_drawn() {
        let mut buffer = Buffer::empty(Rect::new(0, 0, 6, 2));
        text(Rect::new(2, 0, 40, 9), 0, "kitchen", Style::new(), &mut buffer);
        text(Rect::new(2, 0, 40, 9), 7, "kitchen", Style::new(), &mut buffer);
        right(Rect::new(0, 1, 6, 1), 0, vec![Span::raw("end")], &mut buffer);
        assert_eq!(styled_text(&buffer), "  kitc\n   end\n");
        let mut nothing = Buffer::empty(Rect::ZERO);
        rule(Rect::new(0, 0, 5, 5), 0, Style::new(), &mut nothing);
    }

    #[test]
    fn a_snapshot_tells_styles_as_runs() {
        let mut buffer = Buffer::empty(Rect::new(0, 0, 5, 1));
        let style = Style::new().fg(Color::Red).add_modifier(Modifier::BOLD);
        line(buffer.area, 0, vec![Span::raw("a "), Span::styled("bc", style)], &mut buffer);
        assert_eq!(styled_text(&buffer), "a bc\nrow 0: 2-3 red bold\n");
    }
}
