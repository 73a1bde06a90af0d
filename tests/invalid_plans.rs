//! Every broken plan is refused with its place and a remedy.
//!
//! A file says in its first line what is wrong with it: `# expect: CODE LINE:COLUMN`.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use crate::support::{argument, run, run_with};

fn broken_plans() -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/plans/invalid");
    let mut files: Vec<PathBuf> = fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    files.retain(|file| file.extension().is_some_and(|ending| ending == "toml"));
    files.sort();
    files
}

/// The code and the place that a broken plan names.
fn expected(file: &Path) -> (String, String) {
    let text = String::from_utf8_lossy(&fs::read(file).unwrap()).into_owned();
    let line = text.lines().find_map(|line| line.trim_start_matches('\u{feff}').strip_prefix("# expect: "));
    let (code, place) = line.and_then(|line| line.split_once(' ')).unwrap();
    (code.to_owned(), place.trim().to_owned())
}

#[test]
fn every_broken_plan_is_refused_with_its_place_and_a_remedy() {
    let files = broken_plans();
    assert!(files.len() >= 40, "{} broken plans", files.len());
    let mut codes = BTreeSet::new();
    for file in &files {
        let (code, place) = expected(file);
        let path = argument(file);
        let ran = run(&["check", path]);
        let err = ran.refused();
        let problem = err
            .split("\n\n")
            .find(|problem| {
                problem.contains(&format!("error[{code}]"))
                    && problem.contains(&format!("--> {path}:{place}\n"))
            })
            .unwrap_or_else(|| panic!("{path} wants {code} at {place}: {err}"));
        let remedy = problem.lines().find_map(|line| line.trim_start().strip_prefix("= help: "));
        assert!(remedy.is_some_and(|remedy| remedy.len() > 3), "{path}: no remedy: {problem}");
        let bare = err.chars().find(|c| c.is_control() && *c != '\n');
        assert_eq!(bare, None, "{path}: a control character reaches the terminal");
        codes.insert(code);
    }
    assert!(codes.len() >= 35, "{} diagnostics: {codes:?}", codes.len());
}

#[test]
fn a_broken_plan_on_standard_input_is_refused_alike() {
    let file = &broken_plans()[0];
    let (_, place) = expected(file);
    let ran = run_with(&["check", "-", "--json"], fs::read(file).unwrap());
    let err = ran.refused();
    assert!(err.contains(&format!("--> standard input:{place}\n")), "{err}");
}

#[test]
fn all_problems_come_at_once_and_both_ends_are_shown() {
    let plan = "ampwalk = 1\n[location]\nregion = \"oz\"\n[supply.house]\nkind = \"mains\"\n\
                [circuit.P1]\nsupply = \"hous\"\nbreker_a = 20\n[circuit.P1]\nsupply = \"house\"\n";
    let ran = run_with(&["check", "-"], plan);
    let err = ran.refused();
    for place in ["3:10", "7:10", "8:1", "9:10"] {
        assert!(err.contains(&format!("standard input:{place}\n")), "{place}: {err}");
    }
    assert!(err.contains("::: standard input:6:10"), "the first [circuit.P1] is the other end: {err}");
    assert!(
        err.contains("did you mean") || err.contains("Did you mean") || err.contains("`breaker_a`"),
        "{err}"
    );
    assert!(err.ends_with("ampwalk: standard input has 4 problems\n"), "{err}");
}
