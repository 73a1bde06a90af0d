//! Everything that a sheet says is on the page, in its order, and every anchor leads somewhere.

use std::collections::BTreeSet;

use ampwalk_core::file::inert;

use super::{Page, called, plans, sheets};
use crate::{Sheet, Value, html};

/// What a sheet says, piece by piece, as `to_text` says it, without folding and ruling.
fn said(sheet: &Sheet) -> Vec<String> {
    let mut said = vec![inert(&sheet.title)];
    said.extend(sheet.setup.as_deref().map(inert));
    for field in &sheet.fields {
        said.push(inert(&field.name));
        said.push(field.value.as_deref().map_or_else(|| "to be filled in".to_owned(), inert));
    }
    for table in &sheet.tables {
        said.push(inert(&table.title));
        for row in &table.rows {
            if row.is_changed {
                said.push("changed".to_owned());
            }
            for cell in &row.cells {
                let text = match &cell.value {
                    Value::Empty => "-".to_owned(),
                    Value::Blank => "to be filled in".to_owned(),
                    Value::Text(text) => inert(text),
                    Value::Number(number) => number.told(sheet.style),
                };
                said.push(format!(
                    "{text}{}",
                    cell.basis.map(|basis| basis.sign().to_string()).unwrap_or_default()
                ));
            }
        }
    }
    said.extend(sheet.notes.iter().map(|note| inert(note)));
    for drawing in &sheet.drawings {
        said.push(inert(&drawing.title));
        said.extend(drawing.rooms.iter().map(|room| inert(&room.name)));
        said.extend(drawing.marks.iter().map(|mark| inert(&mark.name)));
        said.push(drawing.scale.1.clone());
        said.extend(drawing.not_drawn.iter().map(|name| inert(name)));
    }
    said.extend(sheet.codes.iter().cloned());
    said
}

#[test]
fn every_cell_of_every_sheet_is_on_the_page_in_its_order() {
    let mut codes = 0;
    for plan in plans() {
        let sheets = sheets(plan);
        let page = Page::of(&html(&sheets, &called("Set")));
        assert!(page.errors.is_empty(), "{:?}", page.errors);
        for (place, sheet) in sheets.iter().enumerate() {
            let text = page.text_of(&format!("s{}", place + 1));
            let mut rest = text.as_str();
            for piece in said(sheet) {
                let at =
                    rest.find(&piece).unwrap_or_else(|| panic!("{}: no {piece:?} in {rest}", sheet.title));
                rest = &rest[at + piece.len()..];
            }
            codes += sheet.codes.len();
        }
    }
    assert!(codes > 0, "none of the plans has a code");
}

#[test]
fn a_table_has_a_cell_a_column_each_with_its_heading_as_a_label() {
    let sheets = sheets(super::HALL);
    let page = Page::of(&html(&sheets, &called("Set")));
    let tables: Vec<_> = sheets
        .iter()
        .filter(|sheet| sheet.kind != crate::Kind::Labels)
        .flat_map(|sheet| &sheet.tables)
        .collect();
    let shown = page.tags("table");
    assert_eq!(shown.len(), tables.len());
    let headings: usize = tables.iter().map(|table| table.columns.len()).sum();
    let rows: usize = tables.iter().map(|table| table.rows.len()).sum();
    let scope =
        |word: &str| page.tags("th").into_iter().filter(|th| th.attribute("scope") == Some(word)).count();
    assert_eq!((scope("col"), scope("row")), (headings, rows));
    assert_eq!(page.tags("caption").len(), tables.len());
    let cells: usize = tables.iter().map(|table| table.columns.len() * table.rows.len()).sum();
    let labelled = page.elements.iter().filter(|element| element.attribute("data-label").is_some()).count();
    assert_eq!(labelled, cells);
    let watts = page.tags("td").into_iter().find(|td| td.attribute("data-label") == Some("power W"));
    // The first of the head sheet: 460 W, as the plan says.
    assert_eq!(watts.expect("the power of H10").text(), "460p");
}

#[test]
fn every_id_is_there_once_and_every_anchor_and_reference_has_its_target() {
    for plan in plans() {
        let sheets = sheets(plan);
        let page = Page::of(&html(&sheets, &called("Set")));
        let all: Vec<&str> = page.elements.iter().filter_map(|element| element.attribute("id")).collect();
        let ids: BTreeSet<&str> = all.iter().copied().collect();
        assert_eq!(ids.len(), all.len(), "an id is there twice");
        let anchors: Vec<&str> = page.tags("a").into_iter().filter_map(|a| a.attribute("href")).collect();
        assert_eq!(anchors.len(), sheets.len());
        for anchor in anchors {
            assert!(anchor.strip_prefix('#').is_some_and(|id| ids.contains(id)), "{anchor}");
        }
        let references = page.elements.iter().filter_map(|element| element.attribute("aria-labelledby"));
        for id in references.flat_map(str::split_whitespace) {
            assert!(ids.contains(id), "{id}");
        }
    }
}

#[test]
fn a_changed_row_says_so_in_words() {
    let mut sheets = sheets(super::HALL);
    assert!(!html(&sheets, &called("Set")).contains("class=\"changed\""));
    for sheet in &mut sheets {
        sheet.tables[0].rows.iter_mut().take(1).for_each(|row| row.is_changed = true);
    }
    let changed = sheets.iter().filter(|sheet| !sheet.tables[0].rows.is_empty()).count();
    let page = Page::of(&html(&sheets, &called("Set")));
    let words = page.tags("strong").into_iter().filter(|strong| strong.text() == "changed").count();
    assert_eq!(words, changed);
}

#[test]
fn what_every_number_rests_on_is_a_sign_with_a_word() {
    let page = Page::of(&html(&sheets(super::HALL), &called("Set")));
    let signs: BTreeSet<(String, String)> = page
        .tags("abbr")
        .into_iter()
        .map(|abbr| (abbr.text(), abbr.attribute("title").expect("a word").to_owned()))
        .collect();
    let expected = [("=", "measured"), ("?", "assumed"), ("p", "plan")];
    assert_eq!(signs, expected.map(|(sign, word)| (sign.to_owned(), word.to_owned())).into_iter().collect());
}

/// The modules that an SVG path paints: strokes one wide, `M` to a place and `m` on from there, then `h`.
fn painted(path: &str, width: usize) -> Vec<bool> {
    let mut modules = vec![false; width * width];
    let (mut x, mut y) = (0, 0);
    for stroke in path.split_inclusive(['M', 'm']).collect::<Vec<_>>().windows(2) {
        let body = stroke[1].trim_end_matches(['M', 'm']);
        let (to, length) = body.split_once('h').expect("a stroke");
        let (across, down) = to.split_once(' ').expect("a place");
        let across: usize = across.parse().expect("a number");
        if stroke[0].ends_with('M') {
            // Four modules of white are around the code.
            (x, y) = (
                across - 4,
                down.strip_suffix(".5").expect("the middle").parse::<usize>().expect("a row") - 4,
            );
        } else {
            x += across;
        }
        let length: usize = length.parse().expect("a length");
        modules[y * width + x..][..length].fill(true);
        x += length;
    }
    modules
}

#[test]
fn a_code_is_painted_module_by_module_and_its_text_stands_below() {
    let sheets = sheets(super::HALL);
    let page = Page::of(&html(&sheets, &called("Set")));
    let texts: Vec<&String> = sheets.iter().flat_map(|sheet| &sheet.codes).collect();
    let codes: Vec<_> =
        page.tags("path").into_iter().filter(|path| path.attribute("stroke") == Some("#000")).collect();
    assert_eq!((codes.len(), texts.len()), (2, 2), "a code for each of two setups");
    for (code, text) in codes.iter().zip(&texts) {
        let expected = crate::codes::modules(text).expect("it fits");
        assert_eq!(painted(code.attribute("d").expect("a path"), expected.width), expected.is_black);
    }
    let below: Vec<String> = page.tags("pre").into_iter().map(super::page::Element::text).collect();
    assert!(below.iter().eq(texts), "{below:?}");
}
