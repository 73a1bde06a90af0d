//! Names of files: of letters, digits and hyphens, whatever the plan calls its setups.

use std::collections::HashSet;

use ampwalk_papers::{Kind, Sheet};

/// The longest part of a name that a setup gives.
const LONGEST: usize = 40;

/// A name without its ending for each sheet, no two the same, also where capitals do not count.
pub(super) fn stems(sheets: &[Sheet]) -> Vec<String> {
    let mut taken = HashSet::new();
    let unlike = |sheet: &Sheet| {
        let stem = stem(sheet.kind.word(), sheet.setup.as_deref());
        let numbered = (2..).map(|number| format!("{stem}-{number}"));
        let mut all = std::iter::once(stem.clone()).chain(numbered);
        // There are more numbers than sheets.
        all.find(|name| taken.insert(name.to_lowercase())).unwrap_or(stem)
    };
    sheets.iter().map(unlike).collect()
}

/// What a file of several sheets is called; `only` are those that were asked for, all where it is empty. A file
/// of some of them does not take the place of that of all.
pub(super) fn together(only: &[Kind]) -> String {
    let words: Vec<&str> = only.iter().map(|kind| kind.word()).collect();
    if words.is_empty() { "papers".to_owned() } else { format!("papers-{}", words.join("-")) }
}

/// What a sheet is called in the folder: its word, and its setup. Nothing in it leads out of the folder, and
/// nothing has a meaning for a terminal or a shell.
pub(super) fn stem(word: &str, setup: Option<&str>) -> String {
    let Some(setup) = setup else { return word.to_owned() };
    let plain = |c: char| if c.is_ascii_alphanumeric() || c == '_' { c } else { '-' };
    let own: String = setup.chars().map(plain).take(LONGEST).collect();
    match own.trim_matches('-') {
        "" => format!("{word}-setup"),
        own => format!("{word}-{own}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_setup_gives_a_plain_name_whatever_it_is_called() {
        for (setup, name) in [
            ("day", "patch-day"),
            ("night_2", "patch-night_2"),
            ("../../etc/passwd", "patch-etc-passwd"),
            ("..", "patch-setup"),
            ("a\u{202e}b\u{7}c d;rm", "patch-a-b-c-d-rm"),
            ("\u{591c}", "patch-setup"),
            ("-rf", "patch-rf"),
        ] {
            assert_eq!(stem("patch", Some(setup)), name, "{setup:?}");
        }
        assert_eq!(stem("safety", None), "safety");
        assert!(stem("patch", Some(&"x".repeat(400))).len() <= 46);
    }
}
