//! Fonts of the system, for letters that the built-in ones have not.

use std::cmp::Reverse;
use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use ampwalk_papers::{Document, Sheet, lacking_letters, letters_of_font};
use directories::BaseDirs;

/// Where systems keep their fonts.
const FOLDERS: [&str; 5] = [
    "/usr/share/fonts",
    "/usr/local/share/fonts",
    "/System/Library/Fonts",
    "/Library/Fonts",
    "C:\\Windows\\Fonts",
];
/// Where users keep theirs, in their home.
const OWN: [&str; 3] = [".local/share/fonts", ".fonts", "Library/Fonts"];
/// Folders within folders that are looked into.
const DEPTH: usize = 4;
/// No font is larger, in bytes.
const LARGEST: u64 = 64 << 20;
/// No more are put into a file.
const MOST: usize = 6;

/// Adds fonts of the system to a document until all letters of its sheets can be shown, as far as there are
/// any that show them. A system without them is no trouble: the sheet says which letters it lacks.
pub(super) fn fill_in(sheets: &[Sheet], document: &mut Document) {
    fill_in_from(&folders(), sheets, document);
}

fn fill_in_from(folders: &[PathBuf], sheets: &[Sheet], document: &mut Document) {
    let mut lacking = lacking_letters(sheets, document);
    if lacking.is_empty() {
        return;
    }
    for path in files(folders) {
        if lacking.is_empty() || document.fallback_fonts.len() >= MOST {
            break;
        }
        let Ok(bytes) = fs::read(&path) else { continue };
        let font: Arc<[u8]> = bytes.into();
        let found: BTreeSet<char> = letters_of_font(&font, &lacking);
        if !found.is_empty() {
            lacking.retain(|letter| !found.contains(letter));
            document.fallback_fonts.push(font);
        }
    }
}

fn folders() -> Vec<PathBuf> {
    let own = BaseDirs::new().map(|dirs| OWN.map(|folder| dirs.home_dir().join(folder)));
    FOLDERS.iter().map(PathBuf::from).chain(own.into_iter().flatten()).collect()
}

/// The font files of folders, those first that are meant for running text; always in the same order.
fn files(folders: &[PathBuf]) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for folder in folders {
        collect(folder, DEPTH, &mut found);
    }
    found.sort_by_cached_key(|path| (Reverse(fitness(path)), path.clone()));
    found
}

fn collect(folder: &Path, depth: usize, found: &mut Vec<PathBuf>) {
    let Ok(entries) = fs::read_dir(folder) else { return };
    for path in entries.flatten().map(|entry| entry.path()) {
        if path.is_dir() {
            if depth > 0 {
                collect(&path, depth - 1, found);
            }
            continue;
        }
        let ending = path.extension().map(|ending| ending.to_string_lossy().to_lowercase());
        let is_font = ending.is_some_and(|ending| ["ttf", "otf", "ttc"].contains(&ending.as_str()));
        if is_font && fs::metadata(&path).is_ok_and(|found| found.is_file() && found.len() <= LARGEST) {
            found.push(path);
        }
    }
}

/// How well a font suits a sheet, by its name: upright, of everyday weight, without serifs.
fn fitness(path: &Path) -> usize {
    let name = path.file_name().map(|name| name.to_string_lossy().to_lowercase()).unwrap_or_default();
    let has = |word: &str| usize::from(name.contains(word));
    4 * (1 - has("italic").max(has("oblique"))) + 2 * (1 - has("bold").max(has("light"))) + has("sans")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn upright_fonts_of_everyday_weight_come_first_and_no_other_files() {
        let folder = tempfile::tempdir().unwrap();
        let deep = folder.path().join("a/b");
        fs::create_dir_all(&deep).unwrap();
        for name in ["x-BoldItalic.ttf", "x-Sans.otf", "x-Serif.TTF", "x-Bold.ttc", "notes.txt"] {
            fs::write(deep.join(name), "no font").unwrap();
        }
        let found = files(&[folder.path().to_owned(), folder.path().join("not there")]);
        let names: Vec<_> = found.iter().map(|path| path.file_name().unwrap().to_str().unwrap()).collect();
        assert_eq!(names, ["x-Sans.otf", "x-Serif.TTF", "x-Bold.ttc", "x-BoldItalic.ttf"]);
    }

    #[test]
    fn files_that_are_no_fonts_are_passed_over() {
        let folder = tempfile::tempdir().unwrap();
        fs::write(folder.path().join("x.ttf"), "no font").unwrap();
        let mut document = Document { title: "\u{6771}".to_owned(), ..Document::default() };
        fill_in_from(&[folder.path().to_owned()], &[], &mut document);
        assert!(document.fallback_fonts.is_empty());
    }
}
