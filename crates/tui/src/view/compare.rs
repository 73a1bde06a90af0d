//! Two texts of one plan: what was not saved, as it would change the file; or what two changed, side by side.

use ampwalk_core::file::merge::Side;
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::text::{Line, Span};
use similar::{ChangeTag, TextDiff};

use super::Hits;
use super::layer::frame;
use super::phrase::{paragraph, span};
use crate::model::Model;
use crate::outside::{About, Compare, Part};
use crate::text::count;
use crate::theme::{Role, Theme};
use crate::widget::list::{self, Focus, Stop};
use crate::widget::text::{Align, pad, truncate, visible};

/// Lines of a part that are shown where the cursor is not.
const ELSEWHERE: usize = 6;
/// Columns between the sides.
const GAP: usize = 3;

/// Draws it over the screen.
pub(super) fn draw(model: &Model, compare: &Compare, body: Rect, buffer: &mut Buffer, hits: &mut Hits) {
    let theme = model.theme;
    let inner = frame(model, &title(compare), body, buffer, hits);
    let columns = usize::from(inner.width).saturating_sub(list::GUTTER);
    let top = paragraph(told(compare.about), 0, columns, Role::Text, theme);
    let area = list::draw_ends(top, Vec::new(), theme, inner, buffer);
    let stops = vec![Stop::Row; compare.parts.len()];
    let lines = |at: usize, focus: Focus, columns: usize| {
        let part = &compare.parts[at];
        let mut lines = match compare.about {
            About::Unsaved => as_change(part, columns, theme),
            About::Clash(_) | About::UnsavedClash => side_by_side(part, columns, theme),
        };
        let left = lines.len().saturating_sub(ELSEWHERE);
        if focus == Focus::Elsewhere && left > 1 {
            lines.truncate(ELSEWHERE);
            lines.push(Line::from(span(format!("  {} more", count(left, "line")), Role::Quiet, theme)));
        }
        lines
    };
    hits.add_rows(list::draw(&stops, compare.row, lines, theme, area, buffer));
}

fn title(compare: &Compare) -> String {
    let parts = count(compare.parts.len(), "part");
    match compare.about {
        About::Unsaved => format!("Not saved when the program ended: {parts} of the plan"),
        About::UnsavedClash => format!("Not saved, and changed in the file since: {parts}"),
        About::Clash(_) => format!("Changed here and by another program: {parts}"),
    }
}

const fn told(about: About) -> &'static str {
    match about {
        About::Unsaved => {
            "It was kept in the journal. What it puts into the plan has a +, what it takes out a -."
        }
        About::UnsavedClash => "Left what was not saved, right what the file says. Choose for each part.",
        About::Clash(_) => "Left what you have, right what the file says. Choose for each part.",
    }
}

/// `+` what comes in, `-` what goes.
fn as_change(part: &Part, columns: usize, theme: Theme) -> Vec<Line<'static>> {
    let mut lines = vec![Line::from(span(visible(&part.name), Role::Heading, theme))];
    lines.extend(changed_lines(part).into_iter().map(|(sign, line)| {
        let role = if sign == '+' { Role::Text } else { Role::Quiet };
        let words = format!("  {sign} {}", visible(&line));
        Line::from(span(truncate(&words, columns), role, theme))
    }));
    lines
}

/// The lines of a part that come and go.
fn changed_lines(part: &Part) -> Vec<(char, String)> {
    let [theirs, mine] = [&part.theirs, &part.mine].map(|text| text.as_deref().unwrap_or_default());
    let diff = TextDiff::from_lines(theirs, mine);
    let changed = diff.iter_all_changes().filter_map(|change| {
        let sign = match change.tag() {
            ChangeTag::Insert => '+',
            ChangeTag::Delete => '-',
            ChangeTag::Equal => return None,
        };
        let line = change.value().trim_end().to_owned();
        (!line.is_empty()).then_some((sign, line))
    });
    changed.collect()
}

/// Two columns, each headed by whose it is and whether it is taken.
fn side_by_side(part: &Part, columns: usize, theme: Theme) -> Vec<Line<'static>> {
    let half = columns.saturating_sub(GAP) / 2;
    let is_mine = part.side == Side::Mine;
    let cell =
        |words: &str, role: Role| span(pad(&truncate(&visible(words), half), half, Align::Left), role, theme);
    let gap = || Span::raw(" ".repeat(GAP));
    let head = |whose: &str, is_taken: bool| {
        let role = if is_taken { Role::Heading } else { Role::Quiet };
        cell(&format!("{whose}: {}", if is_taken { "TAKEN" } else { "left out" }), role)
    };
    let mut lines = vec![
        Line::from(span(visible(&part.name), Role::Heading, theme)),
        Line::from(vec![head("yours", is_mine), gap(), head("the file's", !is_mine)]),
    ];
    let [mine, theirs] = [&part.mine, &part.theirs].map(|text| said(text.as_deref()));
    let role = |is_taken| if is_taken { Role::Text } else { Role::Quiet };
    for at in 0..mine.len().max(theirs.len()) {
        let [left, right] = [&mine, &theirs].map(|side| side.get(at).map_or("", String::as_str));
        lines.push(Line::from(vec![cell(left, role(is_mine)), gap(), cell(right, role(!is_mine))]));
    }
    lines
}

fn said(text: Option<&str>) -> Vec<String> {
    text.map_or_else(|| vec!["(taken out)".to_owned()], |text| text.lines().map(str::to_owned).collect())
}

/// All of it as text, for the clipboard.
pub(crate) fn as_text(compare: &Compare) -> String {
    let mut lines = vec![title(compare)];
    for part in &compare.parts {
        lines.push(part.name.clone());
        lines.extend(changed_lines(part).into_iter().map(|(sign, line)| format!("{sign} {line}")));
    }
    lines.join("\n")
}
