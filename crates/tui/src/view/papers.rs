//! The sheets that the crew hands over: what each would hold for this plan.

mod sheets;

use ampwalk_core::explain::Topic;
use ampwalk_papers::Kind;
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::text::{Line, Span};

use crate::scene::Scene;
use crate::theme::Role;
use crate::view::phrase::{paragraph, span};
use crate::widget::list::{self, Focus, Places, Stop};
use crate::widget::text::{Align, pad};
use sheets::{SHEETS, Sheet};

/// From this many columns on, what a sheet holds stands beside its name.
const ONE_LINE: usize = 70;
/// Columns of a name.
const NAME: usize = 22;

/// How many rows the cursor can be on.
#[must_use]
pub fn rows(_: &Scene<'_>) -> usize {
    SHEETS.len()
}

/// The sheet of a row.
#[must_use]
pub fn kind(row: usize) -> Kind {
    SHEETS.get(row).map_or(Kind::Survey, |sheet| sheet.kind)
}

/// The numbers on a row's sheet that can be explained.
#[must_use]
pub fn topics(scene: &Scene<'_>, row: usize) -> Vec<Topic> {
    SHEETS.get(row).map_or_else(Vec::new, |sheet| (sheet.topics)(scene))
}

/// Draws it.
pub fn draw(scene: &Scene<'_>, area: Rect, buffer: &mut Buffer) -> Places {
    let theme = scene.theme;
    let columns = usize::from(area.width).saturating_sub(list::GUTTER);
    let top =
        paragraph("Eight sheets, and what each would hold for this plan", 0, columns, Role::Heading, theme);
    let foot = paragraph(
        "A sheet plans and certifies nothing: local codes and a licensed electrician decide.",
        0,
        columns,
        Role::Quiet,
        theme,
    );
    let body = list::draw_ends(top, foot, theme, area, buffer);
    let stops = vec![Stop::Row; SHEETS.len()];
    let lines = |at: usize, focus: Focus, columns: usize| sheet_lines(scene, at, &SHEETS[at], focus, columns);
    list::draw(&stops, scene.row, lines, theme, body, buffer)
}

fn sheet_lines(
    scene: &Scene<'_>,
    number: usize,
    sheet: &Sheet,
    focus: Focus,
    columns: usize,
) -> Vec<Line<'static>> {
    let theme = scene.theme;
    let holds = (sheet.holds)(scene);
    let name = format!("{} {}", number + 1, sheet.name);
    let mut lines = if columns >= ONE_LINE {
        let mut told = paragraph(&holds, 0, columns - NAME - 2, Role::Text, theme).into_iter();
        let mut first = vec![span(pad(&name, NAME, Align::Left), Role::Heading, theme), Span::raw("  ")];
        first.extend(told.next().map(|line| line.spans).unwrap_or_default());
        let mut lines = vec![Line::from(first)];
        lines.extend(told.map(|line| {
            let mut spans = vec![Span::raw(" ".repeat(NAME + 2))];
            spans.extend(line.spans);
            Line::from(spans)
        }));
        lines
    } else {
        let mut lines = vec![Line::from(span(name, Role::Heading, theme))];
        lines.extend(paragraph(&holds, 2, columns, Role::Text, theme));
        lines
    };
    let indent = if columns >= ONE_LINE { NAME + 2 } else { 2 };
    if focus == Focus::Here {
        lines.extend(paragraph(sheet.columns, indent, columns, Role::Quiet, theme));
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::view::sample::{House, survives_every_size};

    #[test]
    fn all_eight_sheets_are_listed_with_what_they_would_hold() {
        let lines = House::usual().drawn(draw, 80, 20, 0);
        let text = lines.join("\n");
        for sheet in SHEETS {
            assert!(text.contains(sheet.name), "{} in {text}", sheet.name);
        }
        assert!(text.contains("12 power points, 11 tested"), "{text}");
        assert!(text.contains("5 circuits, 2 RCDs, 1 supply"), "{text}");
    }

    #[test]
    fn it_survives_every_size() {
        survives_every_size(draw);
    }
}
