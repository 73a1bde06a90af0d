//! The sheets that the crew hands over: what each would hold for this plan.

mod sheets;

use ampwalk_core::explain::Topic;
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::text::{Line, Span};

use crate::scene::Scene;
use crate::theme::Role;
use crate::view::phrase::{counted, paragraph, span};
use crate::widget::list::{self, Focus, Places, Stop};
use crate::widget::text::{Align, pad, visible};
use sheets::{SHEETS, Sheet};

/// From this many columns on, what a sheet holds stands beside its name.
const ONE_LINE: usize = 70;
/// What is said of a sheet that this version makes.
const WRITTEN: &str = "shown here; this version does not write it out yet";
/// Columns of a name.
const NAME: usize = 22;

/// Lines of the list and of the row's own that stand beside a preview.
const AROUND_PREVIEW: usize = 10;
/// The fewest lines of a preview that tell something.
const LEAST_PREVIEW: usize = 3;

/// How many rows the cursor can be on.
#[must_use]
pub fn rows(_: &Scene<'_>) -> usize {
    SHEETS.len()
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
    let height = usize::from(body.height).saturating_sub(AROUND_PREVIEW).max(LEAST_PREVIEW);
    let lines = |at: usize, focus: Focus, columns: usize| {
        let mut lines = sheet_lines(scene, at, &SHEETS[at], focus, columns);
        if let (Focus::Here, Some(text)) = (focus, SHEETS[at].text) {
            lines.extend(preview(&text(scene, columns), height, scene));
        }
        lines
    };
    list::draw(&stops, scene.row, lines, theme, body, buffer)
}

/// The first lines of a sheet below its head, and how many more there are.
fn preview(text: &str, height: usize, scene: &Scene<'_>) -> Vec<Line<'static>> {
    let theme = scene.theme;
    let text = text.split_once("\n\n").map_or(text, |(_, below)| below);
    let all = text.lines().count();
    let shown = if all > height { height.saturating_sub(1) } else { all };
    let mut lines: Vec<Line<'static>> =
        text.lines().take(shown).map(|line| Line::from(span(visible(line), Role::Text, theme))).collect();
    if all > shown {
        let more = counted(all - shown, "more line", "more lines");
        lines.push(Line::from(span(format!("{more} on the sheet"), Role::Quiet, theme)));
    }
    lines
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
        if sheet.text.is_none() {
            lines.extend(paragraph(sheet.columns, indent, columns, Role::Quiet, theme));
        }
        let (state, role) = match sheet.text {
            Some(_) => (WRITTEN, Role::Good),
            None => ("not made by this version", Role::Quiet),
        };
        lines.extend(paragraph(state, indent, columns, role, theme));
    } else if sheet.text.is_some() && columns >= ONE_LINE {
        lines.extend(paragraph(WRITTEN, indent, columns, Role::Good, theme));
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
    fn only_the_load_sheet_is_said_to_be_written() {
        let house = House::usual();
        let text = house.drawn(draw, 80, 20, 2).join("\n");
        assert_eq!(text.matches(WRITTEN).count(), 1, "{text}");
        assert!(!text.contains("not made"), "{text}");
        assert!(house.drawn(draw, 80, 20, 0).join("\n").contains("not made by this version"));
    }

    #[test]
    fn the_load_sheet_is_shown_under_the_cursor() {
        let house = House::usual();
        let lines = house.drawn(draw, 80, 60, 2);
        let sheet = sheets::load_text(&house.scene(2), 79);
        let table: Vec<&str> = sheet.lines().skip_while(|line| !line.is_empty()).skip(1).take(6).collect();
        for row in &table {
            assert!(lines.iter().any(|line| line.trim() == row.trim()), "{row} in {lines:#?}");
        }
        let low = house.drawn(draw, 80, 20, 2).join("\n");
        assert!(low.contains(table[0]) && low.contains("more lines on the sheet"), "{low}");
        assert!(low.contains("8 notes and hand-back"), "{low}");
    }

    #[test]
    fn it_survives_every_size() {
        survives_every_size(draw);
    }
}
