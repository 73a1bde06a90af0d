//! Letters that the built-in fonts have not, and what a font of the system could do about them.

use std::collections::BTreeSet;
use std::sync::Arc;

use crate::document::Document;
use crate::page::{Face, Fonts, printable};
use crate::sheet::{Sheet, Value};

/// The letters of `sheets` and of the title that neither the built-in fonts nor those of `document` have.
#[must_use]
pub fn lacking_letters(sheets: &[Sheet], document: &Document) -> BTreeSet<char> {
    let fonts = Fonts::new(&document.fallback_fonts);
    let mut lacking = BTreeSet::new();
    let mut look = |text: &str| {
        let lacks = |letter: &char| fonts.glyph(Face::Plain, *letter).is_lacking;
        lacking.extend(printable(text).chars().filter(lacks));
    };
    look(&document.title);
    for sheet in sheets {
        texts(sheet, &mut look);
    }
    lacking
}

/// Which of `letters` a font has that may be put into a file; none where `bytes` are no such font.
#[must_use]
pub fn letters_of_font(bytes: &Arc<[u8]>, letters: &BTreeSet<char>) -> BTreeSet<char> {
    let handed = [Arc::clone(bytes)];
    let fonts = Fonts::new(&handed);
    letters.iter().copied().filter(|letter| !fonts.glyph(Face::Plain, *letter).is_lacking).collect()
}

/// Every text on a sheet.
fn texts(sheet: &Sheet, look: &mut impl FnMut(&str)) {
    look(&sheet.title);
    for field in &sheet.fields {
        look(&field.name);
        look(field.value.as_deref().unwrap_or_default());
    }
    for table in &sheet.tables {
        look(&table.title);
        table.columns.iter().for_each(|column| look(&column.heading));
        for cell in table.rows.iter().flat_map(|row| &row.cells) {
            if let Value::Text(text) = &cell.value {
                look(text);
            }
        }
    }
    sheet.notes.iter().for_each(|note| look(note));
    for drawing in &sheet.drawings {
        look(&drawing.title);
        drawing.rooms.iter().for_each(|room| look(&room.name));
        drawing.marks.iter().for_each(|mark| look(&mark.name));
        drawing.not_drawn.iter().for_each(|name| look(name));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::patch_sheet;
    use crate::tests::{HALL, read};

    fn lacking(name: &str) -> Vec<char> {
        let (network, assessment) = read(&HALL.replace("Weavers' Hall", name));
        let sheets = [patch_sheet(&network, &assessment, network.setup("day"))];
        lacking_letters(&sheets, &Document::default()).into_iter().collect()
    }

    #[test]
    fn latin_greek_and_cyrillic_are_built_in_and_what_is_not_is_named() {
        assert_eq!(
            lacking(
                "Z\u{fc}rich \u{141}\u{f3}d\u{17a} \u{391}\u{3b8}\u{3ae}\u{3bd}\u{3b1} \u{41c}\u{43e}\u{441}\u{43a}\u{432}\u{430}"
            ),
            []
        );
        assert_eq!(lacking("\u{6771}\u{4eac} Hall"), ['\u{4eac}', '\u{6771}']);
    }

    #[test]
    fn a_font_says_which_letters_it_has_and_no_font_has_none() {
        let letters: BTreeSet<char> = ['A', '\u{6771}'].into();
        let sans: Arc<[u8]> = dejavu::sans::regular().into();
        assert_eq!(letters_of_font(&sans, &letters).into_iter().collect::<Vec<_>>(), ['A']);
        let none: Arc<[u8]> = b"no font"[..].into();
        // The built-in ones have A all the same.
        assert!(!letters_of_font(&none, &letters).contains(&'\u{6771}'));
    }
}
