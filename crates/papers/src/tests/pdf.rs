//! What a PDF says, read back from its bytes by a reader that is not ours.

mod tagged;

use lopdf::Document as File;

use crate::document::Document;
use crate::sheet::{Sheet, Style, Table, Value};
use crate::{Cell, Kind, PdfError, pdf};

use super::every::{EXAMPLES, named, sheets};
use super::page::{of_two_hundred_heads, papers};
use super::{HALL, QUAY, YARD};

fn made(sheets: &[Sheet], document: &Document) -> Vec<u8> {
    pdf(sheets, document).unwrap_or_else(|error| panic!("{error}"))
}

fn read(bytes: &[u8]) -> File {
    File::load_mem(bytes).expect("a PDF")
}

/// The letters of each page in their order, without the blanks between them: where lines are broken is the
/// layout's business.
fn pages(file: &File) -> Vec<String> {
    let pages = file.get_pages();
    pages.keys().map(|page| squeezed(&file.extract_text(&[*page]).expect("text"))).collect()
}

fn squeezed(text: &str) -> String {
    text.chars().filter(|letter| !letter.is_whitespace()).collect()
}

/// What a cell says on paper, by the rules of the text sheet.
fn told(cell: &Cell, style: Style) -> String {
    let text = match &cell.value {
        Value::Blank => return String::new(),
        Value::Empty => "-".to_owned(),
        Value::Text(text) => text.clone(),
        Value::Number(number) => number.told(style),
    };
    squeezed(&format!("{text}{}", cell.basis.map(|basis| basis.sign().to_string()).unwrap_or_default()))
}

/// Rows of a table as they follow each other; stickers have the heading before all but the first two cells.
fn rows(table: &Table, style: Style) -> Vec<String> {
    let is_sticker = ["label", "tag"].contains(&table.part);
    let row = |row: &crate::Row| {
        let cells = row.cells.iter().zip(&table.columns).enumerate().map(|(place, (cell, column))| {
            let heading = squeezed(&format!("{}{}:", column.heading, column.unit));
            match (is_sticker, place) {
                (true, 1) if table.part == "tag" => format!("\u{2192}{}", told(cell, style)),
                (true, 2..) => heading + &told(cell, style),
                _ => told(cell, style),
            }
        });
        let star = if row.is_changed { "*" } else { "" };
        star.to_owned() + &cells.collect::<String>()
    };
    table.rows.iter().map(row).collect()
}

/// Goes on behind `text`.
#[track_caller]
fn found<'a>(rest: &'a str, text: &str, sheet: &str) -> &'a str {
    let at = rest
        .find(text)
        .unwrap_or_else(|| panic!("{sheet}: no {text:?} in {}", &rest.chars().take(300).collect::<String>()));
    &rest[at + text.len()..]
}

#[test]
fn every_row_of_every_sheet_is_read_back_in_order() {
    for plan in EXAMPLES.into_iter().chain([HALL, QUAY, YARD]) {
        let sheets = sheets(plan);
        let all = pages(&read(&made(&sheets, &papers()[0]))).concat();
        let mut rest = all.as_str();
        for sheet in &sheets {
            rest = found(rest, &squeezed(&sheet.title), &sheet.title);
            for field in &sheet.fields {
                let both = squeezed(&format!("{}{}", field.name, field.value.as_deref().unwrap_or_default()));
                rest = found(rest, &both, &sheet.title);
            }
            for table in &sheet.tables {
                rest = found(rest, &squeezed(&table.title), &sheet.title);
                for row in rows(table, sheet.style) {
                    rest = found(rest, &row, &sheet.title);
                }
            }
            for note in &sheet.notes {
                rest = found(rest, &squeezed(note), &sheet.title);
            }
        }
    }
}

#[test]
fn the_same_sheets_give_the_same_bytes_and_other_sheets_others() {
    let (hall, quay) = (sheets(HALL), sheets(QUAY));
    let [a4, letter] = papers();
    assert_eq!(made(&hall, &a4), made(&hall, &a4));
    assert_ne!(made(&hall, &a4), made(&hall, &letter));
    assert_ne!(made(&hall, &a4), made(&quay, &a4));
}

#[test]
fn paper_is_the_one_asked_for_else_the_one_of_the_region() {
    let sheets = sheets(EXAMPLES[1]);
    let box_of = |document: &Document| {
        let file = read(&made(&sheets[..1], document));
        let page = file.get_pages()[&1];
        let media = file.get_dictionary(page).and_then(|page| page.get(b"MediaBox")).expect("a box");
        let sides = media.as_array().expect("four numbers").iter().skip(2);
        sides.map(|side| side.as_float().expect("a number").round()).collect::<Vec<f32>>()
    };
    // The patch sheet lies on its side. ISO 216: 210 by 297 mm; ANSI: 8.5 by 11 inches; 72 points an inch.
    let [a4, letter] = papers();
    assert_eq!(box_of(&a4), [842.0, 595.0]);
    assert_eq!(box_of(&letter), [792.0, 612.0]);
    assert_eq!(box_of(&Document::default()), [842.0, 595.0], "Australia prints on A4");
}

#[test]
fn every_page_says_which_it_is_of_how_many_and_repeats_the_headings() {
    let sheets = of_two_hundred_heads();
    let patch = sheets.iter().find(|sheet| sheet.kind == Kind::Patch).expect("a patch sheet");
    let pages = pages(&read(&made(std::slice::from_ref(patch), &papers()[1])));
    for (place, page) in pages.iter().enumerate() {
        assert!(page.ends_with(&format!("page{}of{}", place + 1, pages.len())), "{page}");
    }
    for table in &patch.tables {
        let head: String = table
            .columns
            .iter()
            .map(|column| squeezed(&format!("{}{}", column.heading, column.unit)))
            .collect();
        let rows = rows(table, patch.style);
        let with_rows = pages.iter().filter(|page| rows.iter().any(|row| page.contains(row.as_str())));
        let with_rows: Vec<&String> = with_rows.collect();
        assert!(with_rows.len() > 3, "{} pages", with_rows.len());
        let with_head = pages.iter().filter(|page| page.matches(&head).count() == 1);
        assert_eq!(with_head.count(), with_rows.len(), "{}", table.title);
        assert!(with_rows.iter().all(|page| page.contains(&head)), "{}", table.title);
    }
}

#[test]
fn names_that_would_act_are_shown_and_do_nothing() {
    let name = "a) Tj ET /JavaScript (x)\u{202e}\u{1b}[2J\n<</S/URI/URI(http://x)>> endobj";
    let bytes = made(&named(name), &Document { title: name.to_owned(), ..Document::default() });
    let file = read(&bytes);
    let all = pages(&file).concat();
    assert!(all.contains("\\u{202e}\\u{1b}[2J\\u{a}<</S/URI/URI(http://x)>>endobj"), "{all}");
    assert!(!all.contains(['\u{202e}', '\u{1b}']));
    for object in file.objects.values() {
        let Ok(dictionary) = object.as_dict() else { continue };
        for key in ["JS", "JavaScript", "URI", "AA", "OpenAction", "Launch"] {
            assert!(!dictionary.has(key.as_bytes()), "{dictionary:?}");
        }
        let action = dictionary.get(b"S").and_then(|name| name.as_name()).unwrap_or_default();
        assert!(![&b"JavaScript"[..], b"URI", b"Launch"].contains(&action), "{dictionary:?}");
    }
}

#[test]
fn letters_that_no_font_has_are_told_by_their_numbers() {
    let all = pages(&read(&made(&named("\u{4e2d}\u{5b57}x"), &papers()[0]))).concat();
    assert!(all.contains("Lettersthatthissheetcannotshow:U+4E2DU+5B57."), "{all}");
    let plain = pages(&read(&made(&named("Landing, \u{411}\u{3b1}\u{e9}"), &papers()[0]))).concat();
    assert!(!plain.contains("cannotshow"), "Latin, Greek and Cyrillic are built in");
    let title = Document { title: "\u{4e2d}".to_owned(), ..Document::default() };
    assert!(pages(&read(&made(&named("x"), &title))).concat().contains("cannotshow:U+4E2D."));
}

#[test]
fn a_font_that_the_host_hands_in_shows_what_the_built_in_ones_have_not() {
    // "Functional symbol I-beam": in DejaVu Sans Mono, in none of the faces that are built in.
    let document = |fonts: &[&[u8]]| Document {
        title: "Hall".to_owned(),
        fallback_fonts: fonts.iter().map(|font| (*font).into()).collect(),
        ..Document::default()
    };
    let sheets = named("\u{2336}x");
    let without = pages(&read(&made(&sheets, &document(&[])))).concat();
    assert!(without.contains("cannotshow:U+2336."));
    let fonts = [&b"no font at all"[..], dejavu::sans_mono::regular()];
    let with = pages(&read(&made(&sheets, &document(&fonts)))).concat();
    assert!(with.contains("\u{2336}x") && !with.contains("cannotshow"), "{with}");
}

#[test]
fn without_sheets_there_is_an_error_that_says_so() {
    let error = pdf(&[], &Document::default()).expect_err("nothing to print");
    assert!(matches!(error, PdfError::NoSheets), "{error:?}");
    assert!(error.to_string().contains("no sheets"));
}
