//! Where things stand on pages, computed box by box.

mod drawn;
mod random;

use ampwalk_core::library::Paper;
use unicode_segmentation::UnicodeSegmentation;

use crate::document::Document;
use crate::page::{Face, Fonts, Item, Layout, Page, Part, Rect, TextBox, lay_out};
use crate::{Kind, Sheet, cable_sheet, label_sheet, load_sheet, patch_sheet, safety_sheet, strike_card};

use super::every::{EXAMPLES, named, sheets};
use super::{HALL, QUAY, YARD, read};

/// The generator of large plans that the benches measure with.
#[path = "../../../core/benches/assess/plan.rs"]
mod plan;

/// Less than a printer can show: what adding up numbers leaves.
const NOISE: f32 = 0.05;
/// The least margin, 10 mm in points.
const MARGIN: f32 = 10.0 * 72.0 / 25.4;
/// How far letters of the built-in faces reach above and below their line, in parts of their size (`hhea` of
/// `DejaVuSans.ttf`).
const REACH: (f32, f32) = (0.928, 0.236);

/// Sheets of one setup with 200 heads.
pub(super) fn of_two_hundred_heads() -> Vec<Sheet> {
    let size = plan::Size { heads: 200, circuits: 80, sockets: 270, ..plan::SIZES[0] };
    let (network, assessment) = read(&plan::plan(size));
    let setup = assessment.setups.indices().next();
    let of_setup = [patch_sheet, load_sheet, strike_card, label_sheet];
    let mut sheets: Vec<Sheet> = of_setup.iter().map(|sheet| sheet(&network, &assessment, setup)).collect();
    sheets.push(cable_sheet(&network, &assessment));
    sheets.push(safety_sheet(&network, &assessment));
    sheets
}

/// Each paper in turn.
pub(super) fn papers() -> [Document; 2] {
    [Paper::A4, Paper::Letter].map(|paper| Document {
        title: "Mill House, second day".to_owned(),
        paper: Some(paper),
        ..Document::default()
    })
}

pub(super) fn laid_out(sheets: &[Sheet], document: &Document) -> Layout {
    lay_out(sheets, document, &Fonts::new(&document.fallback_fonts))
}

fn texts(page: &Page) -> Vec<&TextBox> {
    page.items.iter().filter_map(|item| if let Item::Text(text) = item { Some(text) } else { None }).collect()
}

/// What a box says.
pub(super) fn said(text: &TextBox) -> String {
    text.lines.iter().flat_map(|line| &line.runs).map(|run| run.text.as_str()).collect()
}

/// Every text within its box, every box within the margins and apart from every other.
#[track_caller]
pub(super) fn is_in_its_place(layout: &Layout) {
    for (number, page) in layout.pages.iter().enumerate() {
        let texts = texts(page);
        for (place, text) in texts.iter().enumerate() {
            let told = || format!("page {}: {:?} {:?}", number + 1, said(text), text.rect);
            fits_its_box(text, &told);
            let Rect { x, y, .. } = text.rect;
            assert!(x >= MARGIN && y >= MARGIN, "{} reaches into the margin", told());
            assert!(text.rect.right() <= page.width - MARGIN + NOISE, "{} reaches too far right", told());
            assert!(text.rect.bottom() <= page.height - MARGIN + NOISE, "{} reaches too far down", told());
            for other in &texts[place + 1..] {
                let within = Rect {
                    x: x + NOISE,
                    y: y + NOISE,
                    width: text.rect.width - 2.0 * NOISE,
                    height: text.rect.height - 2.0 * NOISE,
                };
                let is_apart = !within.covers(&other.rect);
                assert!(is_apart, "{} covers {:?} {:?}", told(), said(other), other.rect);
            }
        }
    }
}

fn fits_its_box(text: &TextBox, told: &dyn Fn() -> String) {
    for line in &text.lines {
        let advances = line.runs.iter().flat_map(|run| run.text.chars().zip(&run.glyphs));
        let mut advances: Vec<(char, f32)> = advances.map(|(c, (_, advance))| (c, *advance)).collect();
        // The blank that a line was broken at is not seen.
        if advances.last().is_some_and(|(letter, _)| *letter == ' ') {
            advances.pop();
        }
        let width: f32 = advances.iter().map(|(_, advance)| advance * line.size).sum();
        assert!((width - line.width).abs() < NOISE, "{}: {width} is not {}", told(), line.width);
        assert!(line.x >= text.rect.x - NOISE, "{} begins too far left", told());
        assert!(line.x + width <= text.rect.right() + NOISE, "{} is too wide", told());
        let (above, below) = (line.baseline - REACH.0 * line.size, line.baseline + REACH.1 * line.size);
        assert!(above >= text.rect.y - NOISE, "{} is too high up", told());
        assert!(below <= text.rect.bottom() + NOISE, "{} is too far down", told());
    }
}

/// Everyday type has 8 points, tables 7 at least, cards 12.
#[track_caller]
fn is_readable(layout: &Layout, sheets: &[Sheet]) {
    for page in &layout.pages {
        let kind = sheets[page.sheet].kind;
        for text in texts(page) {
            let least = match (kind, text.part) {
                (_, Part::Footer) => 8.0,
                (Kind::Strike, _) => 12.0,
                (_, Part::Cell { .. } | Part::Ornament) => 7.0,
                _ if !sheets[page.sheet].drawings.is_empty() => 7.0,
                _ => 8.0,
            };
            let size = text.lines.iter().map(|line| line.size).fold(f32::INFINITY, f32::min);
            assert!(size >= least, "{:?} of {kind:?} has {size} points", said(text));
        }
    }
}

#[test]
fn every_text_of_every_plan_stands_in_its_cell_on_both_papers() {
    for plan in EXAMPLES.into_iter().chain([HALL, QUAY, YARD]) {
        let sheets = sheets(plan);
        for document in papers() {
            let layout = laid_out(&sheets, &document);
            is_in_its_place(&layout);
            is_readable(&layout, &sheets);
        }
    }
}

#[test]
fn two_hundred_heads_stand_in_their_cells_and_every_page_has_the_headings() {
    let sheets = of_two_hundred_heads();
    for document in papers() {
        let layout = laid_out(&sheets, &document);
        is_in_its_place(&layout);
        is_readable(&layout, &sheets);
        every_page_of_a_table_has_its_headings(&layout);
    }
}

/// On every page, before the first row of a table on it, stand the headings.
fn every_page_of_a_table_has_its_headings(layout: &Layout) {
    let mut tables = 0;
    for block in 0..layout.blocks.len() {
        let head: Vec<String> = layout
            .pages
            .iter()
            .flat_map(texts)
            .filter_map(|text| match text.part {
                Part::Cell { block: own, row: 0, .. } if own == block => Some(said(text)),
                _ => None,
            })
            .collect();
        for page in &layout.pages {
            let texts = texts(page);
            let is_row = |text: &&TextBox| matches!(text.part, Part::Cell { block: own, row, .. } if own == block && row > 0);
            let Some(first) = texts.iter().position(is_row) else { continue };
            tables += 1;
            let above: Vec<String> = texts[first - head.len()..first].iter().map(|text| said(text)).collect();
            assert_eq!(above, head);
        }
    }
    assert!(tables > 20, "{tables} pages with tables");
}

#[test]
fn names_of_any_length_and_script_stand_in_their_cells() {
    let long = "x".repeat(300);
    let words = "Bedroom window left ".repeat(15);
    let many_marks = format!("e{}", "\u{301}".repeat(200));
    let names = [
        long.as_str(),
        words.trim(),
        many_marks.as_str(),
        "\u{64ae}\u{5f71}\u{6240}\u{306e}\u{7167}\u{660e}",
        "\u{5d4}\u{5d0}\u{5d5}\u{5dc}\u{5dd} \u{5d4}\u{5d2}\u{5d3}\u{5d5}\u{5dc}",
        "\u{411}\u{43e}\u{43b}\u{44c}\u{448}\u{430}\u{44f} \u{3ba}\u{3cc}\u{3ba}\u{3ba}\u{3b9}\u{3bd}\u{3bf}",
        "\u{1f4a1}\u{fe0f}\u{1f1e6}\u{1f1fa}",
        "\u{fffe}\u{10ffff}\u{e000}\u{0}\u{feff}",
    ];
    for name in names {
        let sheets = named(name);
        for document in papers() {
            let document = Document { title: name.to_owned(), ..document };
            is_in_its_place(&laid_out(&sheets, &document));
        }
    }
}

#[test]
fn no_label_is_over_two_pages_and_each_has_its_name_large() {
    let long = named(&"Landing ".repeat(60));
    for sheets in EXAMPLES.into_iter().chain([HALL]).map(sheets).chain([of_two_hundred_heads(), long]) {
        let labels: Vec<Sheet> = sheets.into_iter().filter(|sheet| sheet.kind == Kind::Labels).collect();
        let layout = laid_out(&labels, &papers()[0]);
        let mut of_block = vec![Vec::new(); layout.blocks.len()];
        for (number, page) in layout.pages.iter().enumerate() {
            for text in texts(page) {
                if let Part::Of(block) = text.part {
                    of_block[block].push((number, text));
                }
            }
        }
        for sheet in &labels {
            for row in sheet.tables.iter().flat_map(|table| &table.rows) {
                let crate::Value::Text(name) = &row.cells[0].value else { panic!("{row:?}") };
                let whole: String = name.split_whitespace().collect::<Vec<_>>().join(" ");
                let is_of = |parts: &&Vec<(usize, &TextBox)>| {
                    parts.first().is_some_and(|(_, text)| said(text) == whole)
                };
                let label = of_block.iter().find(is_of).unwrap_or_else(|| panic!("no label of {name}"));
                assert!(label.iter().all(|(page, _)| *page == label[0].0), "{name} is over two pages");
                let size = label[0].1.lines[0].size;
                assert!(size >= 24.0 || name.graphemes(true).count() > 20, "{name}: {size}");
            }
        }
    }
}

#[test]
fn a_label_that_is_longer_than_a_page_is_cut_off_with_a_sign() {
    let mut labels = named("G1").into_iter().find(|sheet| sheet.kind == Kind::Labels).expect("labels");
    labels.tables[0].rows[0].cells[1] = crate::Cell::text("NO: ".to_owned() + &"wet floor ".repeat(2000));
    let layout = laid_out(&[labels], &papers()[0]);
    is_in_its_place(&layout);
    let cut: Vec<String> =
        layout.pages.iter().flat_map(texts).map(said).filter(|text| text.starts_with("NO:")).collect();
    assert!(cut.len() == 1 && cut[0].ends_with('\u{2026}'), "{cut:?}");
}

#[test]
fn a_card_has_twenty_steps_a_page_at_most_and_its_back_on_the_next_page() {
    for sheets in [sheets(HALL), of_two_hundred_heads(), sheets(EXAMPLES[1])] {
        let layout = laid_out(&sheets, &papers()[0]);
        for (at, sheet) in sheets.iter().enumerate().filter(|(_, sheet)| sheet.kind == Kind::Strike) {
            let front = layout.sheets[at].1;
            assert_eq!(front % 2, 0, "the front of a leaf");
            let pages = layout.pages.iter().enumerate().filter(|(_, page)| page.sheet == at);
            let pages: Vec<(usize, &Page)> = pages.filter(|(number, _)| *number >= front).collect();
            let steps = sheet.tables[0].rows.len();
            let mut seen = 0;
            for (number, page) in &pages {
                let texts = texts(page);
                let here = texts.iter().filter(|text| is_step(text, seen + 1, steps)).count();
                assert!(here <= 20, "page {number} has {here} steps");
                seen += here;
                let has_back = texts.iter().any(|text| said(text) == sheet.tables[1].title);
                let last_of_front = front + steps.div_ceil(20).max(1) - 1;
                assert!(*number > last_of_front || !has_back, "the back is no front");
            }
            assert_eq!(seen, steps);
        }
    }
}

/// Whether a text is the number of a step, in the first column of the first table.
fn is_step(text: &TextBox, from: usize, steps: usize) -> bool {
    let is_first = matches!(text.part, Part::Cell { column: 0, row, .. } if row > 0);
    is_first && said(text).parse::<usize>().is_ok_and(|step| step >= from && step <= steps)
}

#[test]
fn a_line_too_many_is_no_page_of_its_own() {
    // In everyday type this load sheet has its caution alone on a second page.
    let load = sheets(EXAMPLES[0]).into_iter().find(|sheet| sheet.kind == Kind::Load).expect("a load sheet");
    let layout = laid_out(std::slice::from_ref(&load), &papers()[1]);
    assert_eq!(layout.pages.len(), 1);
    is_in_its_place(&layout);
    let all: Vec<String> = layout.pages.iter().flat_map(texts).map(said).collect();
    assert!(all.iter().any(|text| text.starts_with("This sheet plans; it certifies nothing")));
}

#[test]
fn a_row_that_is_higher_than_a_page_goes_on_and_loses_no_letter() {
    let mut sheet = named("G1").swap_remove(0);
    let long = "abcdefghij ".repeat(2500);
    sheet.tables[0].rows[0].cells[1] = crate::Cell::text(long.clone());
    let layout = laid_out(&[sheet], &papers()[1]);
    is_in_its_place(&layout);
    let kept: String = layout
        .pages
        .iter()
        .flat_map(texts)
        .filter(|text| matches!(text.part, Part::Cell { row: 1, column: 1, .. }))
        .map(said)
        .collect();
    assert!(kept.contains(long.trim()), "{} of {}", kept.len(), long.len());
}

#[test]
fn tables_of_many_columns_go_on_below_with_the_first_column_again() {
    let mut sheet = named("G1").swap_remove(0);
    let table = &mut sheet.tables[0];
    table.columns = (0..60).map(|place| crate::Column::words(format!("heading{place}"))).collect();
    let row = (0..60).map(|place| crate::Cell::text(format!("cell{place}"))).collect();
    table.rows = vec![crate::Row { cells: row, is_changed: true }];
    sheet.tables.truncate(1);
    let layout = laid_out(&[sheet], &papers()[0]);
    is_in_its_place(&layout);
    let all: Vec<String> = layout.pages.iter().flat_map(texts).map(said).collect();
    for place in 1..60 {
        assert_eq!(all.iter().filter(|text| **text == format!("cell{place}")).count(), 1, "{place}");
    }
    let bands = all.iter().filter(|text| *text == "* cell0").count();
    assert!(bands > 1, "{bands}");
    assert!(all.iter().any(|text| text.starts_with("* before a row")));
}

#[test]
fn a_letter_is_as_wide_as_its_font_says() {
    // Widths of DejaVu Sans 2.37, 2048 units a letter: `hmtx` of "A" 1401, "i" 569, "W" 2025.
    let fonts = Fonts::new(&[]);
    for (letter, units) in [("A", 1401.0), ("i", 569.0), ("W", 2025.0)] {
        assert!((fonts.width(letter, Face::Plain) * 2048.0 - units).abs() < 0.01, "{letter}");
    }
}
