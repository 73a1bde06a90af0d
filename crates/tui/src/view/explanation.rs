//! How a number came about.

use ampwalk_core::explain::{Explanation, Term};
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
    Column { title: "value", align: Align::Right, least: 10, most: 32, rank: 0 },
    Column { title: "where it came from", align: Align::Left, least: 14, most: 60, rank: 0 },
];
/// Under this many columns a term takes two lines.
const ONE_LINE: usize = 56;

/// One thing that is told.
#[derive(Clone, Copy)]
enum Item {
    /// A blank before a further number.
    Gap,
    /// The name of a number, with its working and what to mind.
    Number(usize),
    /// A formula, and the names of the columns under it.
    Formula(usize),
    /// A value that was put in.
    Term(usize, usize),
    /// Where the formula comes from.
    Source(usize),
}

/// What there is to go through, number by number.
fn items(explained: &[Explanation]) -> Vec<Item> {
    let mut items = Vec::new();
    for (at, told) in explained.iter().enumerate() {
        if at > 0 {
            items.push(Item::Gap);
        }
        items.push(Item::Number(at));
        items.push(Item::Formula(at));
        items.extend((0..told.terms.len()).map(|term| Item::Term(at, term)));
        items.push(Item::Source(at));
    }
    items
}

/// How many rows there are to go through where not all of it fits.
#[must_use]
pub fn rows(_: &Scene<'_>, explained: &[Explanation]) -> usize {
    items(explained).iter().filter(|item| stop(**item) == Stop::Row).count()
}

const fn stop(item: Item) -> Stop {
    match item {
        Item::Gap => Stop::Between,
        Item::Number(_) | Item::Formula(_) | Item::Term(..) | Item::Source(_) => Stop::Row,
    }
}

/// Draws it. `scene.row` is the row that is kept visible.
pub fn draw(scene: &Scene<'_>, explained: &[Explanation], area: Rect, buffer: &mut Buffer) -> Places {
    let theme = scene.theme;
    let columns = usize::from(area.width).saturating_sub(list::GUTTER);
    let cells: Vec<Vec<Vec<Cell>>> =
        explained.iter().map(|told| told.terms.iter().map(term_cells).collect()).collect();
    let widths = fit_columns(&COLUMNS, cells.iter().flatten(), columns);
    let items = items(explained);
    let lines = |at: usize, _, columns: usize| match items[at] {
        Item::Gap => vec![Line::default()],
        Item::Number(at) => number(&explained[at], columns, theme),
        Item::Formula(at) => {
            let mut lines = paragraph(&explained[at].formula, 0, columns, Role::Quiet, theme);
            if columns >= ONE_LINE && !cells[at].is_empty() {
                lines.push(titles(&COLUMNS, &widths, theme));
            }
            lines
        }
        Item::Term(at, place) => term(&cells[at][place], &widths, columns, theme),
        Item::Source(at) => {
            paragraph(&format!("source: {}", explained[at].source), 0, columns, Role::Quiet, theme)
        }
    };
    let stops: Vec<Stop> = items.iter().map(|item| stop(*item)).collect();
    list::draw(&stops, scene.row, lines, theme, area, buffer)
}

/// A number's name, its working and what to mind.
fn number(told: &Explanation, columns: usize, theme: Theme) -> Vec<Line<'static>> {
    let mut lines = paragraph(&told.title, 0, columns, Role::Heading, theme);
    lines.extend(paragraph(&told.worked, 0, columns, Role::Text, theme));
    if !told.caution.is_empty() {
        lines.extend(paragraph(&format!("MIND: {}", told.caution), 0, columns, Role::Risk, theme));
    }
    lines
}

fn term_cells(term: &Term) -> Vec<Cell> {
    let origin = if term.is_assumed() { Role::Risk } else { Role::Quiet };
    vec![
        (visible(&term.what), Role::Text),
        (visible(&term.value), Role::Text),
        (visible(&term.origin), origin),
    ]
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
    use super::*;
    use crate::view::sample::{House, survives_every_size};

    fn explained() -> Vec<Explanation> {
        let room = Explanation {
            title: "Room left on RA: 10 to 15 mA".to_owned(),
            worked: "10 to 15 mA".to_owned(),
            source: "IEC 61008-1".to_owned(),
            ..Explanation::default()
        };
        vec![peak(), room]
    }

    fn peak() -> Explanation {
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
            ..Explanation::default()
        }
    }

    fn draw_it(scene: &Scene<'_>, area: Rect, buffer: &mut Buffer) -> list::Places {
        draw(scene, &explained(), area, buffer)
    }

    #[test]
    fn the_number_its_caution_its_terms_and_their_origins_are_told() {
        let lines = House::usual().drawn(draw_it, 80, 20, 0);
        assert_eq!(lines[0], "▸RA while striking: 13.5 mA");
        assert_eq!(lines[1], " 3.5 + 10 = 13.5 mA");
        assert_eq!(lines[2], " MIND: takes the reading as it is");
        assert_eq!(
            lines[5].split_whitespace().collect::<Vec<_>>().join(" "),
            "C standing 3.5 mA class, assumed"
        );
        assert!(lines.iter().any(|line| line.contains("source: common practice")), "{lines:?}");
        assert!(lines.iter().any(|line| line == " Room left on RA: 10 to 15 mA"), "{lines:?}");
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
