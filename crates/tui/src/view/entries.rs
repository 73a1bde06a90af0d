//! Every entry of the plan, table by table, and the keys of one.

use ampwalk_core::edit::{Address, Table};
use ampwalk_core::plan::Plan;
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::text::{Line, Span};

use crate::document::Document;
use crate::form::{Field, entries, id_of};
use crate::text::plural;
use crate::theme::{Role, Theme};
use crate::view::phrase::{paragraph, span};
use crate::widget::list::{self, Focus, Places, Stop};
use crate::widget::text::{Align, pad, truncate, visible};

/// Columns of an id or a key.
const NAME: usize = 18;
/// Of an entry's values, no more are shown in a line.
const SHOWN: usize = 6;

/// One line of the list.
enum Item {
    Heading(String),
    Entry(Address),
}

fn items(plan: &Plan) -> Vec<Item> {
    let mut items = Vec::new();
    let mut table: Option<Table> = None;
    for of in entries(plan) {
        let own = id_of(&of).map(|(table, _)| table);
        if own.is_some() && own != table {
            items.push(Item::Heading(own.map_or_else(String::new, |table| plural(table.noun()))));
        }
        table = own;
        items.push(Item::Entry(of));
    }
    items
}

/// Draws the list of entries, the cursor on the `row`th.
pub fn draw_all(document: &Document, row: usize, theme: Theme, area: Rect, buffer: &mut Buffer) -> Places {
    let items = items(&document.network().plan);
    let stops: Vec<Stop> = items
        .iter()
        .map(|item| match item {
            Item::Heading(_) => Stop::Between,
            Item::Entry(_) => Stop::Row,
        })
        .collect();
    let lines = |at: usize, _: Focus, columns: usize| match &items[at] {
        Item::Heading(words) => vec![Line::from(span(words.clone(), Role::Heading, theme))],
        Item::Entry(of) => {
            let name = id_of(of).map_or_else(|| of.to_string(), |(_, id)| id.to_owned());
            let said = summary(document, of);
            let room = columns.saturating_sub(NAME + 3);
            vec![Line::from(vec![
                Span::raw("  "),
                span(pad(&visible(&name), NAME, Align::Left), Role::Text, theme),
                Span::raw(" "),
                span(truncate(&visible(&said), room), Role::Quiet, theme),
            ])]
        }
    };
    list::draw(&stops, row, lines, theme, area, buffer)
}

/// The first few keys of an entry, in a line.
fn summary(document: &Document, of: &Address) -> String {
    let said = document.fields(of).into_iter().filter_map(|field| Some((field.key, field.value?)));
    said.take(SHOWN).map(|(key, value)| format!("{key} {value}")).collect::<Vec<_>>().join("  ")
}

/// Draws the keys of an entry, the cursor on the `row`th.
pub fn draw_form(
    document: &Document,
    of: &Address,
    row: usize,
    theme: Theme,
    area: Rect,
    buffer: &mut Buffer,
) -> Places {
    let fields = document.fields(of);
    if fields.is_empty() {
        let columns = usize::from(area.width).saturating_sub(list::GUTTER);
        let words = format!("{of} is not in the plan any more. esc goes back.");
        list::draw_ends(paragraph(&words, 0, columns, Role::Text, theme), Vec::new(), theme, area, buffer);
        return Places::new();
    }
    let stops = vec![Stop::Row; fields.len()];
    let lines = |at: usize, focus: Focus, columns: usize| field_lines(&fields[at], focus, columns, theme);
    list::draw(&stops, row, lines, theme, area, buffer)
}

fn field_lines(field: &Field, focus: Focus, columns: usize, theme: Theme) -> Vec<Line<'static>> {
    let (value, role) = match (&field.value, field.required) {
        (Some(value), _) => (visible(value), Role::Text),
        (None, true) => ("needed".to_owned(), Role::Risk),
        (None, false) => ("·".to_owned(), Role::Quiet),
    };
    let room = columns.saturating_sub(NAME + 1);
    let key_role = if field.value.is_some() { Role::Heading } else { Role::Quiet };
    let mut lines = vec![Line::from(vec![
        span(pad(field.key, NAME, Align::Left), key_role, theme),
        Span::raw(" "),
        span(if focus == Focus::Here { value.clone() } else { truncate(&value, room) }, role, theme),
    ])];
    if focus == Focus::Here {
        if crate::text::width(&value) > room {
            lines[0] = Line::from(span(field.key, key_role, theme));
            lines.extend(paragraph(&value, 2, columns, role, theme));
        }
        lines.extend(paragraph(field.doc, 2, columns, Role::Quiet, theme));
    }
    lines
}
