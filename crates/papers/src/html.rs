//! Sheets as one HTML file, for a telephone's screen and for a printer: no script, nothing from outside.
//!
//! On a narrow screen each row becomes a card, so that in the dark all about one head stands together, one
//! `heading value` a line, and no hand must push a table aside; what says nothing is left out there. On
//! wide screens and on paper it is a table.

mod code;
mod floor;
mod section;
mod stickers;
mod table;

use ampwalk_core::file::inert;
use ampwalk_core::library::Paper;
use maud::{DOCTYPE, Markup, PreEscaped, html};

use crate::document::Document;
use crate::sheet::Sheet;

/// What the page may load: its own style, nothing else.
const POLICY: &str = "default-src 'none'; style-src 'unsafe-inline'";
/// How it looks; no text of a plan comes into it.
const STYLE: &str = include_str!("html/style.css");

/// `sheets` as one file in HTML5, as UTF-8. What a plan says is made inert and escaped. The same sheets give
/// the same bytes.
#[must_use]
pub fn html(sheets: &[Sheet], document: &Document) -> String {
    let title = inert(&document.title);
    let paper = document.paper.or_else(|| sheets.first().map(|sheet| sheet.style.paper));
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta http-equiv="Content-Security-Policy" content=(POLICY);
                meta name="color-scheme" content="light dark";
                title { (title) }
                style { (PreEscaped(STYLE)) (PreEscaped(pages(paper.unwrap_or(Paper::A4)))) }
            }
            "\n"
            body {
                (top(sheets, &title))
                main {
                    @for (place, sheet) in sheets.iter().enumerate() { (section::section(sheet, place + 1)) }
                }
                "\n"
            }
        }
        "\n"
    };
    page.into_string()
}

/// Title, and the list of sheets.
fn top(sheets: &[Sheet], title: &str) -> Markup {
    html! {
        header { h1 { (title) } }
        "\n"
        nav aria-label="Sheets" {
            ol {
                @for (place, sheet) in sheets.iter().enumerate() {
                    li { a href={ "#s" (place + 1) } { (name(sheet)) } }
                }
            }
        }
        "\n"
    }
}

/// Title and setup of a sheet.
fn name(sheet: &Sheet) -> String {
    let setup = sheet.setup.as_ref().map(|setup| format!(", {}", inert(setup)));
    format!("{}{}", inert(&sheet.title), setup.unwrap_or_default())
}

/// The size of upright pages, and of those across, which wide tables are printed on.
fn pages(paper: Paper) -> String {
    let size = match paper {
        Paper::A4 => "A4",
        Paper::Letter => "letter",
    };
    format!("@page{{size:{size} portrait}}@page across{{size:{size} landscape}}\n")
}
