//! Columns that fit: the least important go first where there is no room, and the reader is told.

use ratatui::text::{Line, Span};

use crate::theme::{Role, Theme};
use crate::widget::text::{Align, pad, width};

/// Blanks between two columns.
const GAP: usize = 2;

/// A column of a table.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Column {
    /// Its heading.
    pub title: &'static str,
    /// Where its text stands.
    pub align: Align,
    /// How far it is cut before another column is left out for it.
    pub least: usize,
    /// The widest that it grows.
    pub most: usize,
    /// How readily it is left out: those with the highest number go first, 0 always stays.
    pub rank: u8,
}

/// One cell: its text and what it is there for.
pub type Cell = (String, Role);

/// The width of each column in `columns`; 0 where it is left out.
#[must_use]
pub fn fit_columns(
    columns: &[Column],
    cells: impl Iterator<Item = impl AsRef<[Cell]>>,
    room: usize,
) -> Vec<usize> {
    let mut widths: Vec<usize> = columns.iter().map(|column| width(column.title).min(column.most)).collect();
    for line in cells {
        for ((cell, column), have) in line.as_ref().iter().zip(columns).zip(&mut widths) {
            *have = (*have).max(width(&cell.0).min(column.most));
        }
    }
    let kept = |at: usize, width: usize| columns[at].least.min(width);
    while total(&widths) > room {
        let spare: usize = widths.iter().enumerate().map(|(at, width)| width - kept(at, *width)).sum();
        if total(&widths) <= room + spare {
            break;
        }
        let droppable = |at: &usize| widths[*at] > 0 && columns[*at].rank > 0;
        let Some(gone) = (0..columns.len()).filter(droppable).max_by_key(|at| columns[*at].rank) else {
            break;
        };
        widths[gone] = 0;
    }
    shrink(&mut widths, room, |at| columns[at].least);
    shrink(&mut widths, room, |_| 1);
    widths
}

/// Cuts the widest column again and again until all fit, none to less than `least`.
fn shrink(widths: &mut [usize], room: usize, least: impl Fn(usize) -> usize) {
    while total(widths) > room {
        let can = |at: &usize| widths[*at] > least(*at);
        let Some(widest) = (0..widths.len()).filter(can).max_by_key(|at| widths[*at]) else { return };
        widths[widest] -= 1;
    }
}

fn total(widths: &[usize]) -> usize {
    let shown = widths.iter().filter(|width| **width > 0).count();
    widths.iter().sum::<usize>() + GAP * shown.saturating_sub(1)
}

/// The line of headings.
#[must_use]
pub fn titles(columns: &[Column], widths: &[usize], theme: Theme) -> Line<'static> {
    let cells: Vec<Cell> = columns.iter().map(|column| (column.title.to_owned(), Role::Quiet)).collect();
    row(columns, widths, &cells, theme)
}

/// One row.
#[must_use]
pub fn row(columns: &[Column], widths: &[usize], cells: &[Cell], theme: Theme) -> Line<'static> {
    let mut spans = Vec::new();
    for ((column, width), (text, role)) in columns.iter().zip(widths).zip(cells) {
        if *width == 0 {
            continue;
        }
        if !spans.is_empty() {
            spans.push(Span::raw(" ".repeat(GAP)));
        }
        // A blank in an underlined style would draw a line through the table.
        let padded = pad(text, *width, column.align);
        let start = padded.len() - padded.trim_start().len();
        let end = padded.trim_end().len().max(start);
        spans.push(Span::raw(padded[..start].to_owned()));
        spans.push(Span::styled(padded[start..end].to_owned(), theme.style(*role)));
        spans.push(Span::raw(padded[end..].to_owned()));
    }
    Line::from(spans)
}

#[cfg(test)]
mod tests {
    use super::*;

    const COLUMNS: [Column; 3] = [
        Column { title: "id", align: Align::Left, least: 2, most: 6, rank: 0 },
        Column { title: "amps", align: Align::Right, least: 3, most: 6, rank: 1 },
        Column { title: "label", align: Align::Left, least: 6, most: 10, rank: 2 },
    ];

    fn cells() -> Vec<Cell> {
        [("G3", Role::Text), ("9.3", Role::Text), ("P1 wrong", Role::Risk)]
            .map(|(text, role)| (text.to_owned(), role))
            .to_vec()
    }

    fn left_out(columns: &[Column], widths: &[usize]) -> Vec<&'static str> {
        columns.iter().zip(widths).filter(|(_, width)| **width == 0).map(|(column, _)| column.title).collect()
    }

    fn drawn(room: usize) -> (String, Vec<&'static str>) {
        let widths = fit_columns(&COLUMNS, [cells()].iter(), room);
        let line = row(&COLUMNS, &widths, &cells(), Theme::Monochrome).to_string();
        (line.trim_end().to_owned(), left_out(&COLUMNS, &widths))
    }

    #[test]
    fn columns_are_as_wide_as_what_stands_in_them() {
        assert_eq!(drawn(40), ("G3   9.3  P1 wrong".to_owned(), vec![]));
    }

    #[test]
    fn a_column_is_cut_a_little_before_another_is_left_out() {
        assert_eq!(drawn(16), ("G3   9.3  P1 wr…".to_owned(), vec![]));
    }

    #[test]
    fn the_least_important_column_goes_first_and_is_named() {
        assert_eq!(drawn(10), ("G3   9.3".to_owned(), vec!["label"]));
        assert_eq!(drawn(3), ("G3".to_owned(), vec!["amps", "label"]));
        assert_eq!(drawn(1), ("…".to_owned(), vec!["amps", "label"]));
    }
}
