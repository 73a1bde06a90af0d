//! How a number came about.

use ampwalk_core::explain::Explanation;
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::text::Line;

use crate::scene::Scene;
use crate::theme::{Role, Theme};
use crate::view::phrase::paragraph;
use crate::widget::list::{self, Places, Stop};
use crate::widget::table::{Cell, Column, fit_columns, row, titles};
use crate::widget::text::{Align, visible};

const COLUMNS: [Column; 3] = [
    Column { title: "what", align: Align::Left, least: 16, most: 40, rank: 0 },
    Column { title: "value", align: Align::Right, least: 10, most: 24, rank: 0 },
    Column { title: "where it came from", align: Align::Left, least: 14, most: 60, rank: 0 },
];
/// Under this many columns a term takes two lines.
const ONE_LINE: usize = 56;

/// How many rows there are to go through where not all of it fits.
#[must_use]
pub fn rows(_: &Scene<'_>, explanation: &Explanation) -> usize {
    1 + explanation.terms.len() + 1
}

/// Draws it. `scene.row` is the row that is kept visible.
pub fn draw(scene: &Scene<'_>, explanation: &Explanation, area: Rect, buffer: &mut Buffer) -> Places {
    let theme = scene.theme;
    let columns = usize::from(area.width).saturating_sub(list::GUTTER);
    let mut top = paragraph(&explanation.title, 0, columns, Role::Heading, theme);
    top.extend(paragraph(&explanation.worked, 0, columns, Role::Text, theme));
    if !explanation.caution.is_empty() {
        top.extend(paragraph(&format!("MIND: {}", explanation.caution), 0, columns, Role::Risk, theme));
    }
    let body = list::draw_ends(top, Vec::new(), theme, area, buffer);
    let cells: Vec<Vec<Cell>> = explanation
        .terms
        .iter()
        .map(|term| {
            let origin = if term.origin.contains("assumed") { Role::Risk } else { Role::Quiet };
            vec![
                (visible(&term.what), Role::Text),
                (visible(&term.value), Role::Text),
                (visible(&term.origin), origin),
            ]
        })
        .collect();
    let widths = fit_columns(&COLUMNS, cells.iter(), columns);
    let last = cells.len() + 1;
    let stops = vec![Stop::Row; last + 1];
    let lines = |at: usize, _, columns: usize| {
        if at == 0 {
            let mut lines = paragraph(&explanation.formula, 0, columns, Role::Quiet, theme);
            if columns >= ONE_LINE && !cells.is_empty() {
                lines.push(titles(&COLUMNS, &widths, theme));
            }
            return lines;
        }
        if at == last {
            return paragraph(&format!("source: {}", explanation.source), 0, columns, Role::Quiet, theme);
        }
        term(&cells[at - 1], &widths, columns, theme)
    };
    list::draw(&stops, scene.row.min(last), lines, theme, body, buffer)
}

fn term(cells: &[Cell], widths: &[usize], columns: usize, theme: Theme) -> Vec<Line<'static>> {
    if columns >= ONE_LINE {
        return vec![row(&COLUMNS, widths, cells, theme)];
    }
    let mut lines = paragraph(&format!("{} {}", cells[0].0, cells[1].0), 0, columns, Role::Text, theme);
    lines.extend(paragraph(&cells[2].0, 2, columns, cells[2].1, theme));
    lines
}

#[cfg(test)]
mod tests {
    use ampwalk_core::explain::Term;

    use super::*;
    use crate::view::sample::{House, survives_every_size};

    fn explanation() -> Explanation {
        let term = |what: &str, value: &str, origin: &str| Term {
            what: what.to_owned(),
            value: value.to_owned(),
            origin: origin.to_owned(),
        };
        Explanation {
            title: "RA while striking: 13.5 mA".to_owned(),
            formula: "peak = largest of (standing of those lit + strike)".to_owned(),
            worked: "3.5 + 10 = 13.5 mA".to_owned(),
            terms: vec![
                term("C standing", "3.5 mA", "class, assumed"),
                term("C striking", "10 mA", "class, assumed"),
                term("room on RA", "10 to 15 mA", "measured"),
            ],
            source: "common practice, no source".to_owned(),
            caution: "takes the reading as it is".to_owned(),
        }
    }

    fn draw_it(scene: &Scene<'_>, area: Rect, buffer: &mut Buffer) -> list::Places {
        draw(scene, &explanation(), area, buffer)
    }

    #[test]
    fn the_number_its_caution_its_terms_and_their_origins_are_told() {
        let lines = House::usual().drawn(draw_it, 80, 20, 0);
        assert_eq!(lines[0], " RA while striking: 13.5 mA");
        assert_eq!(lines[1], " 3.5 + 10 = 13.5 mA");
        assert_eq!(lines[2], " MIND: takes the reading as it is");
        assert_eq!(
            lines[5].split_whitespace().collect::<Vec<_>>().join(" "),
            "C standing 3.5 mA class, assumed"
        );
        assert!(lines.iter().any(|line| line.contains("source: common practice")), "{lines:?}");
    }

    #[test]
    fn forty_columns_are_enough() {
        let text = House::usual().drawn(draw_it, 40, 20, 0).join("\n");
        assert!(text.contains("C striking 10 mA\n   class, assumed"), "{text}");
    }

    #[test]
    fn it_survives_every_size() {
        survives_every_size(draw_it);
    }
}
