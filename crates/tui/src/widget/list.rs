//! A list that scrolls: rows that the cursor can be on, and lines between them that it skips.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::Style;
use ratatui::text::{Line, Span};

use crate::theme::{Role, Theme};
use crate::widget::text::{fit, line_width};

/// Columns at the left for the cursor's mark.
pub const GUTTER: usize = 1;

/// The mark beside the row that the cursor is on.
const MARK: &str = "▸";

/// Whether the cursor can be on an item.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stop {
    /// It can.
    Row,
    /// It skips it: a heading.
    Between,
}

/// Whether an item is the one under the cursor.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Focus {
    /// It is: to be shown in full.
    Here,
    /// It is not.
    Elsewhere,
}

/// Where rows stand: the number of each, counted from 0, and one line of it.
pub type Places = Vec<(usize, Rect)>;

/// Draws the items around the cursor, which is on the `row`th that it can be on, or on the last if
/// there are fewer. `lines` gives an item's lines for a width; only those of visible items are asked
/// for. Where not all fit, the last line says how many rows are above and below. Returns where the
/// rows stand, for the mouse.
pub fn draw(
    stops: &[Stop],
    row: usize,
    lines: impl Fn(usize, Focus, usize) -> Vec<Line<'static>>,
    theme: Theme,
    area: Rect,
    buffer: &mut Buffer,
) -> Places {
    let area = area.intersection(buffer.area);
    let mut places = Places::new();
    if area.is_empty() || stops.is_empty() {
        return places;
    }
    let columns = usize::from(area.width).saturating_sub(GUTTER);
    let cursor = cursor_item(stops, row);
    let item = |at: usize| {
        let focus = if cursor == Some(at) { Focus::Here } else { Focus::Elsewhere };
        lines(at, focus, columns)
    };
    let height = usize::from(area.height);
    let mut window = Window::around(cursor.unwrap_or(0), stops.len(), height, &item);
    let hidden = window.first > 0 || window.end < stops.len() || window.count() > height;
    let counted = hidden && height > 1;
    if counted {
        window = Window::around(cursor.unwrap_or(0), stops.len(), height - 1, &item);
    }
    let shown = if counted { height - 1 } else { height };
    let drawn = window.items.into_iter().flatten().take(shown);
    for (place, (at, line, first)) in drawn.enumerate() {
        let y = area.y + u16::try_from(place).unwrap_or(u16::MAX);
        draw_line(line, area, y, theme, buffer);
        if stops[at] == Stop::Row {
            places.push((count_rows(&stops[..at]), Rect { y, height: 1, ..area }));
        }
        if cursor == Some(at) && first {
            draw_cursor(area, y, theme, buffer);
        }
    }
    if counted {
        let above = count_rows(&stops[..window.first]);
        let below = count_rows(&stops[window.end..]);
        draw_line(more(above, below, theme), area, area.bottom() - 1, theme, buffer);
    }
    places
}

/// The item that the cursor is on.
fn cursor_item(stops: &[Stop], row: usize) -> Option<usize> {
    let mut rows = stops.iter().enumerate().filter(|(_, stop)| **stop == Stop::Row).map(|(at, _)| at);
    let last = rows.clone().next_back();
    rows.nth(row).or(last)
}

fn count_rows(stops: &[Stop]) -> usize {
    stops.iter().filter(|stop| **stop == Stop::Row).count()
}

/// `3 above · 12 below`
fn more(above: usize, below: usize, theme: Theme) -> Line<'static> {
    let parts = [(above, "above"), (below, "below")];
    let words: Vec<String> = parts
        .iter()
        .filter(|(count, _)| *count > 0)
        .map(|(count, word)| format!("{count} more {word}"))
        .collect();
    Line::from(Span::styled(words.join(" · "), theme.style(Role::Quiet)))
}

/// A line of an item: the item, the line, whether it is the item's first.
type Placed = (usize, Line<'static>, bool);

/// The items that are drawn.
struct Window {
    first: usize,
    end: usize,
    items: std::collections::VecDeque<Vec<Placed>>,
}

impl Window {
    fn count(&self) -> usize {
        self.items.iter().map(Vec::len).sum()
    }

    /// The items around one that fit a height: about half of it above, the rest below.
    fn around(
        cursor: usize,
        count: usize,
        height: usize,
        lines: &impl Fn(usize) -> Vec<Line<'static>>,
    ) -> Self {
        let placed = |at: usize| -> Vec<Placed> {
            lines(at).into_iter().enumerate().map(|(place, line)| (at, line, place == 0)).collect()
        };
        let mut window =
            Self { first: cursor, end: cursor + 1, items: std::iter::once(placed(cursor)).collect() };
        let own = window.count();
        window.grow_up(own + height.saturating_sub(own) / 2, &placed);
        while window.end < count && window.count() < height {
            let mut next = placed(window.end);
            let room = height - window.count();
            if next.len() > room {
                // Its beginning is worth more than blanks; it still counts as below.
                next.truncate(room);
                window.items.push_back(next);
                break;
            }
            window.items.push_back(next);
            window.end += 1;
        }
        window.grow_up(height, &placed);
        window
    }

    fn grow_up(&mut self, height: usize, placed: &impl Fn(usize) -> Vec<Placed>) {
        while self.first > 0 {
            let next = placed(self.first - 1);
            if self.count() + next.len() > height {
                return;
            }
            self.items.push_front(next);
            self.first -= 1;
        }
    }
}

fn draw_line(line: Line<'static>, area: Rect, y: u16, theme: Theme, buffer: &mut Buffer) {
    let gutter = u16::try_from(GUTTER).unwrap_or(1);
    let columns = area.width.saturating_sub(gutter);
    if columns == 0 {
        return;
    }
    let line = fit(line, usize::from(columns));
    debug_assert!(line_width(&line) <= usize::from(columns), "fitted");
    let text = theme.style(Role::Text);
    buffer.set_line(area.x + gutter, y, &line.style(text), columns);
}

/// Marks the row that the cursor is on, by a sign and by its style.
fn draw_cursor(area: Rect, y: u16, theme: Theme, buffer: &mut Buffer) {
    let style = Style::reset().patch(theme.style(Role::Cursor));
    buffer.set_style(Rect { y, height: 1, ..area }, style);
    buffer.set_stringn(area.x, y, MARK, usize::from(area.width), style);
}

/// Draws fixed lines at the top and at the foot of an area and gives what is left between them. The
/// foot goes first where the area is low, then the top but for its first line.
pub fn draw_ends(
    top: Vec<Line<'static>>,
    foot: Vec<Line<'static>>,
    theme: Theme,
    area: Rect,
    buffer: &mut Buffer,
) -> Rect {
    const LEAST_BETWEEN: usize = 4;
    let area = area.intersection(buffer.area);
    if area.is_empty() {
        return area;
    }
    let height = usize::from(area.height);
    let foot = if top.len() + foot.len() + LEAST_BETWEEN <= height { foot } else { Vec::new() };
    let top_lines = top.len().min(height.saturating_sub(LEAST_BETWEEN).max(1));
    let foot_lines = foot.len();
    for (place, line) in top.into_iter().take(top_lines).enumerate() {
        draw_line(line, area, area.y + u16::try_from(place).unwrap_or(u16::MAX), theme, buffer);
    }
    let foot_at = height - foot_lines;
    for (place, line) in foot.into_iter().enumerate() {
        draw_line(line, area, area.y + u16::try_from(foot_at + place).unwrap_or(u16::MAX), theme, buffer);
    }
    let between = |lines: usize| u16::try_from(lines).unwrap_or(u16::MAX);
    Rect { y: area.y + between(top_lines), height: between(height - top_lines - foot_lines), ..area }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn drawn(count: usize, row: usize, width: u16, height: u16) -> Vec<String> {
        let stops: Vec<Stop> =
            (0..count).map(|at| if at % 4 == 0 { Stop::Between } else { Stop::Row }).collect();
        let area = Rect::new(0, 0, width, height);
        let mut buffer = Buffer::empty(area);
        let lines = |at: usize, focus, _| {
            let mut lines = vec![Line::from(format!("item {at}"))];
            if focus == Focus::Here {
                lines.push(Line::from("  more of it"));
            }
            lines
        };
        draw(&stops, row, lines, Theme::Monochrome, area, &mut buffer);
        crate::view::sample::lines(&buffer)
    }

    #[test]
    fn the_cursor_is_always_visible_and_what_is_not_is_counted() {
        for row in 0..30 {
            for height in 1..12 {
                let lines = drawn(40, row, 20, height);
                assert!(lines.iter().any(|line| line.starts_with('▸')), "{row} {height} {lines:?}");
            }
        }
        let lines = drawn(40, 14, 30, 7);
        assert_eq!(lines[6], " 12 more above · 14 more below");
        assert!(lines.contains(&"▸item 19".to_owned()), "{lines:?}");
    }

    #[test]
    fn a_list_that_fits_stands_from_its_top() {
        let lines = drawn(4, 2, 20, 6);
        assert_eq!(lines, [" item 0", " item 1", " item 2", "▸item 3", "   more of it", ""]);
    }

    #[test]
    fn a_cursor_past_the_end_is_on_the_last_row() {
        assert!(drawn(4, 99, 20, 6).contains(&"▸item 3".to_owned()));
    }
}
