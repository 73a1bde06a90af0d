//! Every broken plan is told with its place, its kind and a remedy.
//!
//! Each file of `tests/plans/invalid` begins with `# expect: CODE LINE:COLUMN`, the first problem of
//! the plan, and may go on with `# says: WORDS`, which stand in its message or its remedy.

#![expect(clippy::unwrap_used, reason = "a helper that finds nothing fails the test")]
#![expect(clippy::disallowed_methods, reason = "the broken plans are files")]

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use ampwalk_core::file::{Gravity, Problem, parse, position};

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/plans/invalid")
}

fn broken_plans() -> Vec<(String, String)> {
    let mut plans: Vec<(String, String)> = fs::read_dir(folder())
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .map(|path| {
            (path.file_name().unwrap().to_string_lossy().into_owned(), fs::read_to_string(path).unwrap())
        })
        .collect();
    plans.sort();
    plans
}

fn expected<'t>(text: &'t str, what: &str) -> Option<&'t str> {
    text.lines().take(2).find_map(|line| line.strip_prefix(what))
}

fn told(text: &str, problem: &Problem) -> String {
    let (line, column) = position(text, problem.span.start);
    format!("{} {line}:{column}", problem.code)
}

#[test]
fn every_broken_plan_is_told_at_its_place_with_a_remedy() {
    let mut wrong = Vec::new();
    for (name, text) in broken_plans() {
        let problems = parse(&text).problems;
        let Some(first) = problems.first() else {
            wrong.push(format!("{name}: no problem found"));
            continue;
        };
        let expect = expected(&text, "# expect: ").unwrap_or_default();
        if told(&text, first) != expect {
            wrong.push(format!("{name}: expected {expect}, got {}: {}", told(&text, first), first.message));
        }
        if first.remedy.is_empty() || first.message.is_empty() || first.gravity == Gravity::Note {
            wrong.push(format!("{name}: {first:?}"));
        }
        let says = expected(&text, "# says: ").unwrap_or_default();
        if !first.message.contains(says) && !first.remedy.contains(says) {
            wrong.push(format!("{name}: does not say {says:?}: {} / {}", first.message, first.remedy));
        }
        for problem in &problems {
            let shown = format!("{} {}", problem.message, problem.remedy);
            if shown.chars().any(char::is_control) {
                wrong.push(format!("{name}: a control character in {shown:?}"));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn a_broken_plan_is_told_once() {
    let noisy: Vec<String> = broken_plans()
        .into_iter()
        .filter_map(|(name, text)| {
            let problems = parse(&text).problems;
            let codes: Vec<&str> = problems.iter().map(|problem| problem.code).collect();
            (codes.len() != 1).then(|| format!("{name}: {codes:?}"))
        })
        .collect();
    assert!(noisy.is_empty(), "{}", noisy.join("\n"));
}

#[test]
fn the_broken_plans_cover_every_diagnostic() {
    let plans = broken_plans();
    assert!(plans.len() >= 45, "{} plans", plans.len());
    let covered: BTreeSet<&str> =
        plans.iter().filter_map(|(_, text)| expected(text, "# expect: ")?.split(' ').next()).collect();
    // What takes a large file is tested where the file is made.
    let made_elsewhere = ["too-large", "too-many-entries", "more-problems", "amps-and-watts"];
    let missing: Vec<&&str> = ampwalk_core::file::CODES
        .iter()
        .filter(|code| !covered.contains(**code) && !made_elsewhere.contains(*code))
        .collect();
    assert!(missing.is_empty(), "no broken plan for {missing:?}");
    let unlisted: Vec<&&str> =
        covered.iter().filter(|code| !ampwalk_core::file::CODES.contains(*code)).collect();
    assert!(unlisted.is_empty(), "not in CODES: {unlisted:?}");
}
