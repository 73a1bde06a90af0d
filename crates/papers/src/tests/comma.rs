//! Changed rows as comma-separated values.

use ampwalk_core::import::{Sheet as Entries, import};

use crate::{Sheet, patch_sheet, survey_sheet};

use super::{HALL, read};

/// As RFC 4180 has it: every row as long as the first, or the reader refuses.
fn rows(sheet: &Sheet) -> Vec<Vec<String>> {
    let text = sheet.to_csv();
    let mut reader =
        csv::ReaderBuilder::new().has_headers(false).flexible(false).from_reader(text.as_bytes());
    reader.records().map(|row| row.expect("a row").iter().map(str::to_owned).collect()).collect()
}

#[test]
fn where_a_row_is_changed_each_table_says_which_in_a_last_column() {
    let (network, assessment) = read(HALL);
    let mut sheet = patch_sheet(&network, &assessment, network.setup("day"));
    assert!(!sheet.to_csv().contains("changed"));
    let before = rows(&sheet);
    sheet.tables[0].rows[1].is_changed = true;
    let after = rows(&sheet);
    let of = |part: &str| {
        after
            .iter()
            .filter(|row| row[0] == part)
            .map(|row| row.last().map_or("", String::as_str))
            .collect::<Vec<_>>()
    };
    assert_eq!(of("part"), ["changed", "changed"]);
    assert_eq!(of("head"), ["", "yes", "", "", ""]);
    assert_eq!(of("socket"), ["", "", "", ""]);
    let without: Vec<Vec<String>> = after.iter().map(|row| row[..row.len() - 1].to_vec()).collect();
    assert_eq!(without, before);
}

#[test]
fn a_survey_with_changed_rows_is_taken_in_and_that_column_is_named_as_not_read() {
    for kind in Entries::ALL {
        let (network, _) = read(HALL);
        let mut sheet = survey_sheet(&network, HALL, kind);
        sheet.tables[0].rows[2].is_changed = true;
        let taken = import(HALL, &sheet.to_csv(), None).expect("it is taken");
        assert_eq!((taken.sheet, taken.added.len(), taken.changed.len()), (kind, 0, 0));
        assert_eq!(taken.unchanged, sheet.tables[0].rows.len());
        let aside = taken.aside.iter().find(|aside| aside.heading == "changed").expect("it is named");
        assert_eq!(aside.why, "no such column is known");
    }
}
