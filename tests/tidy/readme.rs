//! README's tables are made from the program's own, and DEVELOPERS.md names only what is there.

use std::fmt::Write as _;

use ampwalk_core::rule::RULES;
use ampwalk_core::shorthand::{Subject, forms};
use ampwalk_tui::command::readme_table;
use ampwalk_tui::theme::Theme;

use crossterm::event::KeyCode;

use crate::screens::{AFTER_A_TRIP, demo};

use super::{all_rust_files, read, root};

/// Set, the test that finds a table stale writes it anew instead of failing.
const UPDATE: &str = "UPDATE_README";

/// Compares what stands between `<!-- NAME: begin -->` and `<!-- NAME: end -->` with `fresh`.
pub(super) fn is_fresh(name: &str, fresh: &str) {
    let readme = read("README.md");
    let (begin, end) = (format!("<!-- {name}: begin -->\n"), format!("<!-- {name}: end -->"));
    let from = readme.find(&begin).unwrap_or_else(|| panic!("README has {begin}")) + begin.len();
    let until = readme.find(&end).unwrap_or_else(|| panic!("README has {end}"));
    if readme[from..until] == *fresh {
        return;
    }
    if std::env::var_os(UPDATE).is_some() {
        let new = format!("{}{fresh}{}", &readme[..from], &readme[until..]);
        std::fs::write(root().join("README.md"), new).expect("README can be written");
        return;
    }
    panic!(
        "README's {name} are stale; make them anew with {UPDATE}=1 cargo test -- --test-threads=1. Fresh:\n{fresh}"
    );
}

#[test]
fn the_table_of_rules_is_the_one_that_the_program_checks_by() {
    let mut table =
        String::from("| rule | severity | fires when | what to do | source |\n|---|---|---|---|---|\n");
    for rule in RULES {
        let cells =
            [rule.severity, rule.fires, rule.remedy, rule.source].map(|cell| cell.replace('|', "\\|"));
        let _ = writeln!(table, "| `{}` | {} |", rule.id, cells.join(" | "));
    }
    is_fresh("rules", &table);
}

#[test]
fn the_table_of_keys_is_the_one_that_the_screens_obey() {
    is_fresh("keys", &readme_table());
}

#[test]
fn the_table_of_lines_is_the_grammar_that_they_are_read_by() {
    let mut table = String::from("| line of | part | what it says |\n|---|---|---|\n");
    for subject in Subject::ALL {
        for form in forms(subject) {
            let cells = [form.written, form.says].map(|cell| cell.replace('|', "\\|"));
            let _ = writeln!(table, "| {} | `{}` | {} |", subject.noun(), cells[0], cells[1]);
        }
    }
    is_fresh("lines", &table);
}

/// What is on the demo's screen after these keys, as it stands in the README.
fn picture(keys: &[KeyCode]) -> String {
    let buffer = demo((80, 24), Theme::Monochrome, keys);
    let rows = buffer.area.rows().map(|row| {
        let symbols: String = row.columns().map(|cell| buffer[(cell.x, cell.y)].symbol()).collect();
        format!("{}\n", symbols.trim_end())
    });
    format!("```text\n{}```\n", rows.collect::<String>())
}

#[test]
fn the_pictures_are_the_screens_of_the_demo() {
    is_fresh("picture", &picture(&[]));
    is_fresh("picture in hand", &picture(&[KeyCode::Enter]));
    is_fresh("picture after a trip", &picture(&[&[KeyCode::Char('4')], &AFTER_A_TRIP[..]].concat()));
}

#[test]
fn the_developers_guide_names_only_tests_and_files_that_exist() {
    let guide = read("DEVELOPERS.md");
    let sources: String = all_rust_files().into_iter().map(|(_, text)| text).collect();
    for word in guide.split('`').skip(1).step_by(2) {
        let is_test = word.contains('_')
            && word.chars().all(|c| c.is_ascii_lowercase() || c == '_' || c.is_ascii_digit());
        if is_test && word.matches('_').count() >= 3 {
            // A test is a function, or a line of a list that a macro makes functions of.
            let is_there =
                sources.contains(&format!("fn {word}(")) || sources.contains(&format!("\n    {word}: "));
            assert!(is_there, "DEVELOPERS.md names {word}, and there is none");
        }
        let is_path = word.contains('/') && !word.contains([' ', '…', '<', '*', ':']);
        if is_path {
            assert!(root().join(word).exists(), "DEVELOPERS.md names {word}, and there is none");
        }
    }
}
