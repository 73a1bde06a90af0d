//! One sheet of the page.

use ampwalk_core::file::inert;
use maud::{Markup, html};

use super::{code, floor, name, stickers, table};
use crate::sheet::{Basis, Field, Kind, Sheet};

/// Tables with more columns are printed across the paper.
const UPRIGHT_COLUMNS: usize = 10;

pub(super) fn section(sheet: &Sheet, place: usize) -> Markup {
    let id = format!("s{place}");
    let is_wide = sheet.tables.iter().any(|table| table.columns.len() > UPRIGHT_COLUMNS);
    let class = format!("sheet {}{}", sheet.kind.word(), if is_wide { " across" } else { "" });
    html! {
        section id=(id) class=(class) aria-labelledby={ (id) "-name" } {
            h2 id={ (id) "-name" } { (name(sheet)) }
            "\n"
            (fields(&sheet.fields))
            @for (at, one) in sheet.tables.iter().enumerate() {
                @let of = format!("{id}-t{}", at + 1);
                @if sheet.kind == Kind::Labels {
                    (stickers::stickers(one, sheet.style, &of))
                } @else {
                    (table::table(one, sheet.style, &of))
                }
            }
            (notes(sheet))
            @for (at, drawing) in sheet.drawings.iter().enumerate() {
                (floor::floor(drawing, &format!("{id}-d{}", at + 1)))
            }
            (code::codes(&sheet.codes, &id))
        }
        "\n"
    }
}

fn fields(fields: &[Field]) -> Markup {
    html! {
        @if !fields.is_empty() {
            dl.fields {
                @for field in fields {
                    div {
                        dt { (inert(&field.name)) }
                        dd {
                            @match &field.value {
                                Some(value) => (inert(value)),
                                None => (table::blank()),
                            }
                        }
                    }
                    "\n"
                }
            }
            "\n"
        }
    }
}

/// What the signs mean, and what the reader must know.
fn notes(sheet: &Sheet) -> Markup {
    html! {
        p.legend {
            "Behind a number: "
            @for basis in Basis::ALL {
                b { (basis.sign()) } " " (basis.word()) ", "
            }
            "by the weakest that went into it. A box with a line is filled in by hand."
            @if sheet.has_changes() {
                " " b { "changed" } " before a row: it says something else than the issue before."
            }
        }
        "\n"
        @for note in &sheet.notes { p.note { (inert(note)) } "\n" }
    }
}
