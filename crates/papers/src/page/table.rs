//! A table on pages: its title, its headings on every page, no row over two pages.

use crate::sheet::{Style, Table};

use super::cells::{Shown, cells, heading};
use super::columns::{Content, Plan, fits, padding, plan};
use super::flow::{Flow, Lean, Look};
use super::fold::Folded;
use super::fonts::{Fonts, printable};
use super::paper::{MARGIN, Type};
use super::{BlockKind, Form, Ink, Part, Rect};

/// White above and below the text of a row, in points.
const AIR: f32 = 2.0;
/// The least height of a row that has something to be written into, in parts of the size of type.
const WRITTEN: f32 = 1.9;
/// How thick rules are, in points.
const RULE: f32 = 0.5;
const HEAVY: f32 = 0.9;

/// A table on the page, band by band.
struct Grid<'t> {
    plan: &'t Plan,
    band: &'t [(usize, f32)],
    leans: &'t [Lean],
    block: usize,
    /// How many rows are on a page at most, and how many are on this one.
    most: usize,
    on_page: usize,
}

/// A row's cells in the columns of a band, folded; `None`: a line to be written on.
type Lines = Vec<Option<Vec<Folded>>>;

/// Whether a table's columns have room beside each other on pages of a width.
pub(crate) fn has_room(table: &Table, style: Style, fonts: &Fonts<'_>, sizes: Type, width: f32) -> bool {
    let (headings, rows) = content(table, style);
    fits(&Content { headings: &headings, rows: &rows }, fonts, sizes, width)
}

fn content(table: &Table, style: Style) -> (Vec<String>, Vec<Vec<Shown>>) {
    let headings = table.columns.iter().map(heading).collect();
    (headings, table.rows.iter().map(|row| cells(table, row, style)).collect())
}

/// A table where the flow is, so many rows on a page at most; a table without rows says so.
pub(crate) fn lay_out(flow: &mut Flow<'_, '_>, table: &Table, style: Style, most: usize) {
    let sizes = flow.sizes;
    flow.gap(sizes.body);
    if table.rows.is_empty() || table.columns.is_empty() {
        let look = Look::new(super::Face::Plain, sizes.body);
        flow.heading(2, &table.title, sizes.heading, look.height(1));
        flow.paragraph("none", look);
        return;
    }
    let (headings, rows) = content(table, style);
    let plan = plan(&Content { headings: &headings, rows: &rows }, flow.fonts, sizes, flow.width());
    let leans: Vec<Lean> = table.columns.iter().map(|column| lean(column.is_of_numbers())).collect();
    let bands = plan.bands.len();
    for (place, band) in plan.bands.iter().enumerate() {
        let title = match bands {
            1 => printable(&table.title),
            _ => format!("{} (columns, part {} of {bands})", printable(&table.title), place + 1),
        };
        if place > 0 {
            flow.gap(sizes.body);
        }
        let mut grid = Grid { plan: &plan, band, leans: &leans, block: 0, most, on_page: 0 };
        grid.lay_out(flow, &title, &headings, &rows);
    }
}

fn lean(is_right: bool) -> Lean {
    if is_right { Lean::Right } else { Lean::Left }
}

impl Grid<'_> {
    /// Title, headings and rows.
    fn lay_out(&mut self, flow: &mut Flow<'_, '_>, title: &str, headings: &[String], rows: &[Vec<Shown>]) {
        let head = self.heads(flow, headings);
        let rows: Vec<Lines> = rows.iter().map(|row| self.lines(flow, row)).collect();
        let first = rows.first().map_or(0.0, |row| self.height(row));
        flow.heading(2, title, flow.sizes.heading, self.height(&head) + first + AIR);
        flow.y += AIR;
        self.block = flow.block(BlockKind::Table);
        self.head(flow, &head, true);
        for (place, row) in rows.iter().enumerate() {
            self.row(flow, &head, row, place + 1);
        }
    }

    fn look(&self, column: usize, is_bold: bool) -> Look {
        let face = if is_bold { self.plan.face.bold() } else { self.plan.face };
        Look::new(face, self.plan.size).leaning(self.leans.get(column).copied().unwrap_or(Lean::Left))
    }

    /// The headings, folded.
    fn heads(&self, flow: &Flow<'_, '_>, headings: &[String]) -> Lines {
        let fold = |(column, width): &(usize, f32)| {
            let text = headings.get(*column).map_or("", String::as_str);
            Some(flow.folded(text, self.look(*column, true), width - 2.0 * padding(self.plan.size)))
        };
        self.band.iter().map(fold).collect()
    }

    fn lines(&self, flow: &Flow<'_, '_>, row: &[Shown]) -> Lines {
        let fold = |(column, width): &(usize, f32)| match row.get(*column) {
            Some(Shown::Text(text)) => Some(flow.folded(
                text,
                self.look(*column, *column == 0),
                width - 2.0 * padding(self.plan.size),
            )),
            _ => None,
        };
        self.band.iter().map(fold).collect()
    }

    fn height(&self, row: &Lines) -> f32 {
        let look = self.look(0, false);
        let lines = row.iter().flatten().map(Vec::len).max().unwrap_or_default().max(1);
        let has_blank = row.iter().any(Option::is_none);
        let height = look.height(lines) + 2.0 * AIR;
        if has_blank { height.max(WRITTEN * self.plan.size) } else { height }
    }

    fn width(&self) -> f32 {
        self.band.iter().map(|(_, width)| width).sum()
    }

    /// The headings where the flow is: told once, and again only for the eye.
    fn head(&self, flow: &mut Flow<'_, '_>, head: &Lines, is_first: bool) {
        flow.rule(MARGIN, flow.y, self.width(), HEAVY, Ink::Black);
        self.cells(flow, head, |column| if is_first { self.cell(0, column) } else { Part::Ornament });
        flow.rule(MARGIN, flow.y, self.width(), HEAVY, Ink::Black);
    }

    fn cell(&self, row: usize, column: usize) -> Part {
        Part::Cell { block: self.block, row, column }
    }

    /// A row, on the next page where there is no room for it; in parts where it is higher than any page.
    fn row(&mut self, flow: &mut Flow<'_, '_>, head: &Lines, row: &Lines, place: usize) {
        let room = flow.height() - self.height(head);
        let most = self.look(0, false).lines_in(room - 2.0 * AIR);
        let longest = row.iter().flatten().map(Vec::len).max().unwrap_or_default();
        for begin in (0..longest.max(1)).step_by(most.max(1)) {
            let part = |lines: &Option<Vec<Folded>>| {
                let lines = lines.as_ref()?;
                Some(lines.iter().skip(begin).take(most).cloned().collect())
            };
            let part: Lines = if longest > most { row.iter().map(part).collect() } else { row.clone() };
            let is_full = self.on_page >= self.most;
            if is_full {
                flow.turn();
            }
            if is_full || flow.make_room(self.height(&part)) {
                self.head(flow, head, false);
                self.on_page = 0;
            }
            self.on_page += 1;
            self.cells(flow, &part, |column| self.cell(place, column));
            flow.rule(MARGIN, flow.y, self.width(), RULE, Ink::Grey);
        }
    }

    /// Cells beside each other.
    fn cells(&self, flow: &mut Flow<'_, '_>, row: &Lines, part: impl Fn(usize) -> Part) {
        let height = self.height(row);
        let is_head = matches!(part(0), Part::Ornament | Part::Cell { row: 0, .. });
        let mut x = MARGIN;
        for (beside, ((column, width), lines)) in self.band.iter().zip(row).enumerate() {
            let inner = Rect {
                x: x + padding(self.plan.size),
                y: flow.y + AIR,
                width: width - 2.0 * padding(self.plan.size),
                height: height - 2.0 * AIR,
            };
            if let Some(lines) = lines {
                let look = self.look(*column, is_head || *column == 0);
                flow.set(lines, look, inner, part(beside));
            } else {
                let part = match part(beside) {
                    Part::Cell { block, row, column } => Part::Blank { block, row, column },
                    other => other,
                };
                let y = flow.y + height - AIR - 1.0;
                let form = Form::Line { from: (inner.x, y), to: (inner.right(), y), thick: RULE };
                flow.draw(form, Ink::Black, part);
            }
            x += width;
        }
        flow.y += height;
    }
}
