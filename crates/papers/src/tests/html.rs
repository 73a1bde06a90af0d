//! The page as a browser's parser reads it.

mod contrast;
mod hostile;
mod page;
mod whole;

use ampwalk_core::import::Sheet as Entries;
use ampwalk_core::solve::Effort;
use ampwalk_core::solve::verdict::generator;

use self::page::Page;
use super::every::EXAMPLES;
use super::{HALL, QUAY, YARD, read};
use crate::{Document, Kind, Sheet, every_sheet, html, survey_sheet};

/// Every sheet of a plan, the heads to be filled in among them.
fn sheets(text: &str) -> Vec<Sheet> {
    let (network, assessment) = read(text);
    let answer = generator(&network, Effort::default(), &mut |_| true);
    let heads = survey_sheet(&network, text, Entries::Heads);
    every_sheet(&network, &assessment, Some(&answer), text).into_iter().chain([heads]).collect()
}

fn plans() -> impl Iterator<Item = &'static str> {
    [HALL, QUAY, YARD].into_iter().chain(EXAMPLES)
}

fn called(title: &str) -> Document {
    Document { title: title.to_owned(), ..Document::default() }
}

/// A sheet of our own with one of everything that a page has but a code.
fn small() -> Sheet {
    let (network, assessment) = read(HALL);
    let mut sheet = crate::label_sheet(&network, &assessment, None);
    sheet.kind = Kind::Cables;
    sheet.title = "A \"small\" sheet".to_owned();
    sheet.setup = Some("dusk".to_owned());
    sheet.fields.truncate(2);
    sheet.notes = vec!["A & B < C.".to_owned()];
    let mut table = super::table::part(crate::cable_sheet(&network, &assessment), "lead");
    table.columns.truncate(3);
    table.rows.truncate(2);
    for row in &mut table.rows {
        row.cells.truncate(3);
    }
    table.rows[1].is_changed = true;
    table.rows[1].cells[2] = crate::Cell::BLANK;
    sheet.tables = vec![table];
    sheet
}

#[test]
fn the_page_is_the_one_that_was_looked_at_and_kept() {
    let page = html(&[small()], &called("Set"));
    let body = page.split_once("<body>").expect("a body").1;
    assert_eq!(body, include_str!("html/small.html"), "new text:\n{body}");
}

#[test]
fn the_same_sheets_give_the_same_bytes() {
    let once = html(&sheets(HALL), &called("Weavers' Hall"));
    assert_eq!(once, html(&sheets(HALL), &called("Weavers' Hall")));
}

#[test]
fn the_page_has_a_language_a_title_one_main_heading_and_a_policy_that_loads_nothing() {
    let page = Page::of(&html(&sheets(HALL), &called("Weavers' Hall")));
    let one = |tag: &str| {
        let [one] =
            <[_; 1]>::try_from(page.tags(tag)).unwrap_or_else(|all: Vec<_>| panic!("{} {tag}", all.len()));
        one
    };
    assert_eq!(one("html").attribute("lang"), Some("en"));
    // Drawings have titles as well, each with an id.
    let titles: Vec<_> =
        page.tags("title").into_iter().filter(|title| title.attribute("id").is_none()).collect();
    assert_eq!((titles.len(), titles[0].text().as_str()), (1, "Weavers' Hall"));
    assert_eq!(one("h1").text(), "Weavers' Hall");
    assert_eq!((one("main").text().is_empty(), one("nav").attribute("aria-label")), (false, Some("Sheets")));
    let policy = page.tags("meta").into_iter().find(|meta| meta.attribute("http-equiv").is_some());
    let policy = policy.expect("a policy").attribute("content").map(str::to_owned);
    assert_eq!(policy.as_deref(), Some("default-src 'none'; style-src 'unsafe-inline'"));
}

#[test]
fn paper_is_that_of_the_document_or_else_of_the_first_sheet() {
    use ampwalk_core::library::Paper;
    let us = HALL.replace("\"au\"", "\"us\"");
    let plain = |text: &str| html(&sheets(text), &called("x"));
    assert!(plain(HALL).contains("@page{size:A4 portrait}@page across{size:A4 landscape}"));
    assert!(plain(&us).contains("@page{size:letter portrait}"));
    let asked = Document { title: "x".to_owned(), paper: Some(Paper::Letter), ..Document::default() };
    assert!(html(&sheets(HALL), &asked).contains("@page{size:letter portrait}"));
}

#[test]
fn a_set_without_a_sheet_is_a_page_all_the_same() {
    let page = Page::of(&html(&[], &called("")));
    assert_eq!((page.tags("section").len(), page.tags("main").len()), (0, 1));
    assert_eq!(page.tags("h1")[0].text(), "Sheets");
    assert!(page.errors.is_empty(), "{:?}", page.errors);
}
