//! A sheet on its pages: title, fields, tables, notes.

use std::collections::BTreeSet;

use crate::document::Document;
use crate::sheet::{Kind, Sheet};

use super::flow::{Flow, Look};
use super::fonts::{Face, Fonts, printable};
use super::paper::{CARD, COMPACT, MARGIN, SHEET, Type, size};
use super::{Layout, code, fields, floor, stickers, table};

/// How many of the letters that it cannot show a sheet names.
const NAMED: usize = 40;

/// White between notes, in points.
const NOTE_GAP: f32 = 2.0;
/// Steps on a page of a strike card at most.
const STEPS: usize = 20;
/// What a page says that nothing is on.
const LEFT_BLANK: &str =
    "Left blank, so that the card that follows has its back on its own leaf when both sides are printed.";

/// A last page that is filled to less than this is spared where smaller type does it.
const NEARLY_EMPTY: f32 = 0.3;

/// Lays out `sheet` on new pages; in smaller type where that spares a page with a line or two on it, which
/// would be lost from the others.
pub(crate) fn lay_out(layout: &mut Layout, sheet: &Sheet, document: &Document, fonts: &Fonts<'_>) {
    if sheet.kind == Kind::Strike {
        set(layout, sheet, document, fonts, CARD);
        return;
    }
    let before = layout.lengths();
    set(layout, sheet, document, fonts, SHEET);
    let pages = layout.pages.len() - before.0;
    if pages < 2 || layout.pages.last().is_none_or(|page| page.filled() >= NEARLY_EMPTY) {
        return;
    }
    let roomy = layout.split_off(before);
    set(layout, sheet, document, fonts, COMPACT);
    if layout.pages.len() - before.0 >= pages {
        layout.split_off(before);
        layout.append(roomy);
    }
}

/// Lays out `sheet` on new pages in such sizes of type.
fn set(layout: &mut Layout, sheet: &Sheet, document: &Document, fonts: &Fonts<'_>, sizes: Type) {
    let is_card = sheet.kind == Kind::Strike;
    let upright = size(document.paper.unwrap_or(sheet.style.paper));
    let paper = if is_across(sheet, fonts, sizes, upright.0) { (upright.1, upright.0) } else { upright };
    let name = name(sheet);
    let is_on_a_back = is_card && layout.pages.len() % 2 == 1;
    layout.sheets.push((name.clone(), layout.pages.len() + usize::from(is_on_a_back)));
    let mut flow = Flow::new(layout, fonts, sizes, paper);
    if is_on_a_back {
        flow.paragraph(LEFT_BLANK, Look::new(Face::Plain, sizes.small));
        flow.turn();
    }
    flow.heading(1, &name, sizes.title, 0.0);
    flow.gap(sizes.body / 2.0);
    fields::lay_out(&mut flow, &sheet.fields);
    for (place, table) in sheet.tables.iter().enumerate() {
        match table.part {
            "label" | "tag" => stickers::lay_out(&mut flow, table, sheet.style),
            "strike" => table::lay_out(&mut flow, table, sheet.style, STEPS),
            _ => {
                // All but the steps is on the card's back.
                if is_card && place == 1 {
                    caution(&mut flow, sheet);
                    flow.turn();
                }
                table::lay_out(&mut flow, table, sheet.style, usize::MAX);
            }
        }
    }
    notes(&mut flow, sheet);
    code::lay_out(&mut flow, &sheet.codes);
    for drawing in &sheet.drawings {
        floor::lay_out(&mut flow, drawing);
    }
    lacking(&mut flow, document);
}

/// Title and setup.
fn name(sheet: &Sheet) -> String {
    let title = printable(&sheet.title);
    match &sheet.setup {
        Some(setup) => format!("{title}: {}", printable(setup)),
        None => title,
    }
}

/// Whether its pages lie on their side: the sheets that are wide always, others where a table needs it.
fn is_across(sheet: &Sheet, fonts: &Fonts<'_>, sizes: Type, width: f32) -> bool {
    match sheet.kind {
        Kind::Patch | Kind::Load => true,
        Kind::Labels => false,
        _ => {
            let has_room = |table| table::has_room(table, sheet.style, fonts, sizes, width - 2.0 * MARGIN);
            !sheet.tables.iter().all(has_room)
        }
    }
}

/// What numbers rest on and the caution, which is the last note, on the front of a card where there is room.
fn caution(flow: &mut Flow<'_, '_>, sheet: &Sheet) {
    let look = Look::new(Face::Plain, flow.sizes.small);
    let notes: Vec<String> = sheet.legend("A line").into_iter().chain(sheet.notes.last().cloned()).collect();
    let high = |note: &String| look.height(flow.folded(note, look, flow.width()).len()) + NOTE_GAP;
    if notes.iter().map(high).sum::<f32>() + look.size > flow.left() {
        return;
    }
    flow.gap(look.size);
    for note in &notes {
        flow.paragraph(note, look);
        flow.gap(NOTE_GAP);
    }
}

/// The legend and the notes.
fn notes(flow: &mut Flow<'_, '_>, sheet: &Sheet) {
    let look = Look::new(Face::Plain, flow.sizes.small);
    flow.gap(look.size);
    let mut notes = sheet.legend("A line");
    notes.extend(sheet.notes.iter().cloned());
    for note in &notes {
        flow.paragraph(note, look);
        flow.gap(NOTE_GAP);
    }
}

/// Which letters are not shown.
fn lacking(flow: &mut Flow<'_, '_>, document: &Document) {
    let lacking = flow.lacking(&document.title);
    if !lacking.is_empty() {
        flow.paragraph(&lacking_letters(&lacking), Look::new(Face::Bold, flow.sizes.small));
    }
}

fn lacking_letters(letters: &BTreeSet<char>) -> String {
    let named: Vec<String> = letters.iter().take(NAMED).map(|c| format!("U+{:04X}", *c as u32)).collect();
    let more = match letters.len().saturating_sub(NAMED) {
        0 => String::new(),
        more => format!(" and {more} more"),
    };
    format!("Letters that this sheet cannot show: {}{more}.", named.join(" "))
}
