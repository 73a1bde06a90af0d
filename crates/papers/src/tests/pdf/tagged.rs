//! What a screen reader is told.

use lopdf::{Dictionary, Document as File, Object};

use super::super::every::{EXAMPLES, named, sheets};
use super::super::page::papers;
use super::super::{HALL, QUAY};
use super::{made, read};
use crate::document::Document;
use crate::drawing::{Drawing, Mark, MarkKind};

/// An element of the structure, and those in it.
struct Element {
    role: String,
    told: Dictionary,
    within: Vec<Element>,
    /// How many pieces of pages belong to it.
    pieces: usize,
}

impl Element {
    fn of(file: &File, object: &Object) -> Option<Self> {
        let told = file.dereference(object).ok()?.1.as_dict().ok()?.clone();
        let role = String::from_utf8_lossy(told.get(b"S").ok()?.as_name().ok()?).into_owned();
        let kids = told.get(b"K").ok().map(|kids| match kids {
            Object::Array(kids) => kids.clone(),
            other => vec![other.clone()],
        });
        let kids = kids.unwrap_or_default();
        let within: Vec<Element> = kids.iter().filter_map(|kid| Self::of(file, kid)).collect();
        let pieces = kids.len() - within.len();
        Some(Self { role, told, within, pieces })
    }

    fn all<'a>(&'a self, role: &str, into: &mut Vec<&'a Element>) {
        if self.role == role {
            into.push(self);
        }
        for element in &self.within {
            element.all(role, into);
        }
    }

    fn count(&self, role: &str) -> usize {
        let mut all = Vec::new();
        self.all(role, &mut all);
        all.len()
    }
}

fn catalog(file: &File) -> &Dictionary {
    file.catalog().expect("a catalog")
}

fn structure(file: &File) -> Element {
    let root = catalog(file).get(b"StructTreeRoot").expect("a structure");
    let root = file.dereference(root).expect("a root").1.as_dict().expect("a dictionary");
    let kids = root.get(b"K").expect("kids");
    let first = kids.as_array().map_or(kids, |kids| &kids[0]);
    Element::of(file, first).expect("a document")
}

#[test]
fn a_document_says_its_title_and_its_language_and_that_it_is_tagged() {
    let file = read(&made(&sheets(HALL), &papers()[0]));
    let catalog = catalog(&file);
    assert_eq!(catalog.get(b"Lang").and_then(Object::as_str).expect("a language"), b"en");
    let marked = catalog.get_deref(b"MarkInfo", &file).and_then(Object::as_dict).expect("marks");
    assert!(marked.get(b"Marked").and_then(Object::as_bool).expect("a yes"));
    let shown =
        catalog.get_deref(b"ViewerPreferences", &file).and_then(Object::as_dict).expect("a preference");
    assert!(shown.get(b"DisplayDocTitle").and_then(Object::as_bool).expect("a yes"));
    let bytes = made(&sheets(HALL), &papers()[0]);
    let text = String::from_utf8_lossy(&bytes);
    assert!(text.contains("pdfuaid:part") && text.contains("Mill House, second day"));
    assert!(!text.contains("CreationDate"), "no date");
}

#[test]
fn every_sheet_has_one_heading_its_parts_have_theirs_and_tables_have_a_cell_a_column() {
    for plan in [HALL, QUAY, EXAMPLES[2]] {
        let sheets = sheets(plan);
        let structure = structure(&read(&made(&sheets, &papers()[0])));
        assert_eq!(structure.count("H1"), sheets.len());
        let is_table =
            |table: &&crate::Table| !table.rows.is_empty() && !["label", "tag"].contains(&table.part);
        let of_sheets: Vec<&crate::Table> =
            sheets.iter().flat_map(|sheet| &sheet.tables).filter(is_table).collect();
        let mut tables = Vec::new();
        structure.all("Table", &mut tables);
        assert_eq!(tables.len(), of_sheets.len());
        for (table, of_sheet) in tables.iter().zip(of_sheets) {
            let mut rows = Vec::new();
            table.all("TR", &mut rows);
            assert_eq!(rows.len(), of_sheet.rows.len() + 1, "{}", of_sheet.title);
            for (place, row) in rows.iter().enumerate() {
                assert_eq!(row.within.len(), of_sheet.columns.len(), "{}", of_sheet.title);
                let heads = row.within.iter().filter(|cell| cell.role == "TH").count();
                assert_eq!(heads, if place == 0 { row.within.len() } else { 1 });
                assert!(row.within.iter().all(|cell| cell.pieces > 0), "no cell is without a word");
            }
        }
    }
}

#[test]
fn drawings_and_codes_are_told_in_words() {
    let mut sheet = named("G1").swap_remove(0);
    sheet.drawings = vec![Drawing {
        title: "Attic".to_owned(),
        size: (4.0, 3.0),
        marks: vec![Mark { name: "G1".to_owned(), kind: MarkKind::Used, at: (1.0, 1.0) }],
        scale: (1.0, "1 m".to_owned()),
        ..Drawing::default()
    }];
    sheet.codes = vec!["G1 H1\nG2 H2".to_owned()];
    let structure = structure(&read(&made(&[sheet], &Document::default())));
    let mut figures = Vec::new();
    structure.all("Figure", &mut figures);
    let told: Vec<String> = figures
        .iter()
        .map(|figure| {
            let words = figure.told.get(b"Alt").and_then(Object::as_str).expect("words");
            String::from_utf8_lossy(words).into_owned()
        })
        .collect();
    assert_eq!(told.len(), 2, "{told:?}");
    for figure in &figures {
        let has_place = |told: &Dictionary| told.get(b"BBox").is_ok();
        let attributes = figure.told.get(b"A").expect("attributes");
        let own = attributes.as_array().map_or(std::slice::from_ref(attributes), Vec::as_slice);
        assert!(own.iter().any(|one| one.as_dict().is_ok_and(has_place)), "{attributes:?}");
    }
    assert!(told[0].contains("1 of 1") && told[0].contains("G1 H1; G2 H2"), "{told:?}");
    assert!(told[1].contains("Attic") && told[1].contains("1 sockets, 0 heads"), "{told:?}");
}
