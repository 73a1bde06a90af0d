//! What is wrong with the plan file, and where.

use ampwalk_core::file::{Gravity, Problem};
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::text::{Line, Span};

use crate::scene::Scene;
use crate::theme::Role;
use crate::view::phrase::{counted, paragraph, span};
use crate::widget::list::{self, Focus, Stop};
use crate::widget::text::{truncate, visible};

/// Of the line that a problem is on, no more bytes are looked at.
const LONGEST_LINE: usize = 400;

/// How many rows the cursor can be on.
#[must_use]
pub fn rows(problems: &[Problem]) -> usize {
    problems.len()
}

/// Draws them. `text` is the file that they are problems of.
pub fn draw(
    scene: &Scene<'_>,
    text: &str,
    problems: &[Problem],
    area: Rect,
    buffer: &mut Buffer,
) -> list::Places {
    let theme = scene.theme;
    let columns = usize::from(area.width).saturating_sub(list::GUTTER);
    if problems.is_empty() {
        let words = "Nothing is wrong with the file.";
        list::draw_ends(paragraph(words, 0, columns, Role::Text, theme), Vec::new(), theme, area, buffer);
        return list::Places::new();
    }
    let errors = problems.iter().filter(|problem| problem.gravity == Gravity::Error).count();
    let words = format!(
        "{}, {}. What could be read is shown; saving keeps the rest as it is.",
        counted(errors, "error", "errors"),
        counted(problems.len() - errors, "note", "notes")
    );
    let top = paragraph(&words, 0, columns, Role::Heading, theme);
    let body = list::draw_ends(top, Vec::new(), theme, area, buffer);
    let mut offsets: Vec<usize> = problems.iter().map(|problem| problem.span.start).collect();
    offsets.extend(problems.iter().filter_map(|problem| Some(problem.also.as_ref()?.0.start)));
    let places = Places::of(text, offsets);
    let stops = vec![Stop::Row; problems.len()];
    let lines =
        |at: usize, focus, columns: usize| problem_lines(scene, text, &problems[at], &places, focus, columns);
    list::draw(&stops, scene.row, lines, theme, body, buffer)
}

fn problem_lines(
    scene: &Scene<'_>,
    text: &str,
    problem: &Problem,
    places: &Places,
    focus: Focus,
    columns: usize,
) -> Vec<Line<'static>> {
    let theme = scene.theme;
    let (word, role) = match problem.gravity {
        Gravity::Error => ("ERROR", Role::Dark),
        Gravity::LaterVersion => ("LATER VERSION", Role::Risk),
        Gravity::Note => ("NOTE", Role::Note),
    };
    let (line, column) = places.position(problem.span.start);
    let mut lines = vec![Line::from(vec![
        span(word, role, theme),
        Span::raw(" "),
        span(format!("line {line}, column {column}"), Role::Heading, theme),
    ])];
    lines.extend(paragraph(&problem.message, 2, columns, Role::Text, theme));
    lines.extend(paragraph(&problem.remedy, 2, columns, Role::Chosen, theme));
    if focus == Focus::Here {
        let source = truncate(&visible(source_line(text, problem.span.start)), columns.saturating_sub(4));
        lines.push(Line::from(vec![Span::raw("  │ "), span(source, Role::Quiet, theme)]));
        if let Some((also, what)) = &problem.also {
            let (line, column) = places.position(also.start);
            let words = format!("line {line}, column {column}: {what}");
            lines.extend(paragraph(&words, 2, columns, Role::Quiet, theme));
        }
    }
    lines
}

/// The start of the line that an offset is on.
fn source_line(text: &str, offset: usize) -> &str {
    let offset = boundary(text, offset);
    let start = text[..offset].rfind('\n').map_or(0, |at| at + 1);
    let end = text[start..].find('\n').map_or(text.len(), |at| start + at);
    let end = boundary(text, end.min(start + LONGEST_LINE)).max(start);
    text[start..end].trim_end_matches('\r').trim_start_matches('\u{feff}')
}

/// The last character boundary at an offset or before it.
fn boundary(text: &str, offset: usize) -> usize {
    let mut at = offset.min(text.len());
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    at
}

/// Lines and columns of many offsets, found in one pass over the text.
struct Places(Vec<(usize, (usize, usize))>);

impl Places {
    fn of(text: &str, mut offsets: Vec<usize>) -> Self {
        offsets.sort_unstable();
        offsets.dedup();
        let mut found = Vec::with_capacity(offsets.len());
        let (mut line, mut column, mut at) = (1, 1, 0);
        for offset in offsets {
            let end = boundary(text, offset).max(at);
            for c in text[at..end].chars() {
                match c {
                    '\n' => (line, column) = (line + 1, 1),
                    '\u{feff}' if column == 1 => {}
                    _ => column += 1,
                }
            }
            at = end;
            found.push((offset, (line, column)));
        }
        Self(found)
    }

    fn position(&self, offset: usize) -> (usize, usize) {
        self.0.binary_search_by_key(&offset, |(at, _)| *at).map_or((1, 1), |at| self.0[at].1)
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::view::sample::{House, survives_every_size};

    const WRONG: &str =
        "ampwalk = 1\n[location]\nregion = \"au\"\nnume = \"x\"\n[socket.G1]\nroom = \"nowhere\"\n";

    fn draw_it(scene: &Scene<'_>, area: Rect, buffer: &mut Buffer) -> list::Places {
        draw(scene, WRONG, &ampwalk_core::file::parse(WRONG).problems, area, buffer)
    }

    #[test]
    fn each_problem_has_its_place_its_words_and_a_remedy() {
        let problems = ampwalk_core::file::parse(WRONG).problems;
        assert_eq!(rows(&problems), 2, "{problems:?}");
        let lines = House::usual().drawn(draw_it, 80, 20, 1);
        let text = lines.join("\n");
        assert!(lines[1].starts_with(" ERROR line 4, column 1"), "{text}");
        assert!(text.contains("▸ERROR line 6, column"), "{text}");
        assert!(text.contains("│ room = \"nowhere\""), "{text}");
        assert!(text.contains(&problems[0].remedy[..20]), "{text}");
    }

    #[test]
    fn it_survives_every_size() {
        survives_every_size(draw_it);
    }

    proptest! {
        #[test]
        fn places_are_those_of_the_reader(text in "[a\u{feff}é\r\n]{0,30}", offsets in prop::collection::vec(0..40_usize, 0..6)) {
            let places = Places::of(&text, offsets.clone());
            for offset in offsets {
                // The reader takes a byte-order mark for no character only where a line starts with it.
                prop_assert_eq!(places.position(offset), ampwalk_core::file::position(&text, offset));
            }
        }
    }
}
