//! The patch sheet against what was worked by hand.

use crate::{Basis, Sheet, patch_sheet};

use super::table::{cell, is, part, says};
use super::{HALL, read};

fn sheet(setup: &str) -> Sheet {
    let (network, assessment) = read(HALL);
    patch_sheet(&network, &assessment, network.setup(setup))
}

#[test]
fn the_patch_is_the_one_that_was_looked_at_and_kept() {
    let text = sheet("day").to_text(80);
    assert_eq!(text, include_str!("patch-80.txt"), "new text:\n{text}");
}

#[test]
fn a_head_has_its_figures_and_its_way_to_the_board() {
    // H1: 1350 W / (230 V × 0.98) = 5.99 A. H2: 2.5 A by a clamp, 230 V × 2.5 A × 0.95 = 546.25 W.
    let heads = part(sheet("day"), "head");
    is(cell(&heads, "H1", "power", "W"), 1350.0, Basis::Assumed);
    is(cell(&heads, "H1", "running", "A"), 5.99, Basis::Assumed);
    is(cell(&heads, "H1", "leak", "mA"), 3.5, Basis::Assumed);
    is(cell(&heads, "H1", "lead", "m"), 10.0, Basis::Plan);
    is(cell(&heads, "H2", "power", "W"), 546.25, Basis::Plan);
    is(cell(&heads, "H2", "running", "A"), 2.5, Basis::Measured);
    is(cell(&heads, "H2", "leak", "mA"), 1.0, Basis::Measured);
    says(cell(&heads, "H1", "room", ""), "Great hall");
    says(cell(&heads, "H1", "circuit", ""), "P1");
    says(cell(&heads, "H1", "circuit is called", ""), "stage left");
    says(cell(&heads, "H1", "RCD", ""), "RA");
    says(cell(&heads, "H1", "burns in", ""), "day night");
    says(cell(&heads, "H2", "burns in", ""), "day");
    says(cell(&heads, "H11", "strike no.", ""), "off");
    says(cell(&heads, "H3", "power point", ""), "NOT PLACED");
}

#[test]
fn a_fallback_is_behind_another_rcd_and_tested_and_legal() {
    // G2 is behind RA as well, G4 is reversed, G5 has no RCD, G6 is banned, G10 is not tested: G3 is left.
    // From (0, 8) to (2, 1): 2 + 7 m and 2 m for the ends are 11 m; of c10 and c20, c20 reaches.
    let heads = part(sheet("day"), "head");
    says(cell(&heads, "H1", "if dark", ""), "G3");
    let crate::Value::Text(there) = &cell(&heads, "H1", "there", "").value else { panic!("words") };
    assert!(there.ends_with(", over c20"), "{there}");
    // H11 hangs on G3, behind RB. Nobody says where it stands, so nothing is nearer; heads that are off stay
    // plugged in, so G2 is full, and G1 has the last of three ways left.
    let night = part(sheet("night"), "head");
    says(cell(&night, "H11", "if dark", ""), "G1");
}

#[test]
fn where_there_is_no_other_rcd_there_is_no_fallback() {
    let without = HALL.replace("rcd = \"RB\"", "rcd = \"RA\"");
    let (network, assessment) = read(&without);
    let heads = part(patch_sheet(&network, &assessment, network.setup("day")), "head");
    says(cell(&heads, "H1", "if dark", ""), "none found");
}

#[test]
fn both_tables_have_the_same_cells_and_each_is_in_its_own_order() {
    let sheet = sheet("day");
    let heads = part(sheet.clone(), "head");
    let sockets = part(sheet, "socket");
    let first = |table: &crate::Table| -> Vec<String> {
        let name = |row: &crate::Row| match &row.cells[0].value {
            crate::Value::Text(text) => text.clone(),
            other => panic!("{other:?}"),
        };
        table.rows.iter().map(name).collect()
    };
    assert_eq!(first(&heads), ["H1", "H2", "H3", "H10", "H11"]);
    assert_eq!(first(&sockets), ["G1", "G1", "G2", "G3"]);
    says(cell(&sockets, "G2", "head", ""), "H10");
    says(cell(&sockets, "G2", "if dark", ""), "G3");
    is(cell(&sockets, "G2", "running", "A"), 2.0, Basis::Plan);
}
