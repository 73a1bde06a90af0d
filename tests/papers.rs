//! `ampwalk papers`: sheets in a folder, whole or not at all, with a letter for each revision.

use std::fs;
use std::path::Path;

use serde_json::Value;

use crate::support::{EXAMPLES, argument, example, folder, program, run, run_with};

/// Names and bytes of all files in a folder.
fn files(folder: &Path) -> Vec<(String, Vec<u8>)> {
    let mut all: Vec<(String, Vec<u8>)> = fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap())
        .map(|entry| (entry.file_name().into_string().unwrap(), fs::read(entry.path()).unwrap()))
        .collect();
    all.sort();
    all
}

fn names(folder: &Path) -> Vec<String> {
    let entries = fs::read_dir(folder).unwrap();
    let mut names: Vec<String> =
        entries.map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect();
    names.sort();
    names
}

/// Hands sheets of a plan out and says what the program tells other programs.
fn hand_out(plan: &str, to: &Path, more: &[&str]) -> Value {
    let mut arguments = vec!["papers", "-", "--to", argument(to), "--json"];
    arguments.extend(more);
    let ran = run_with(&arguments, plan);
    assert_eq!(ran.status, Some(0), "{ran:?}");
    ran.json()
}

fn text(name: &str) -> String {
    fs::read_to_string(example(name)).unwrap()
}

/// What is told of one sheet.
fn sheet<'a>(told: &'a Value, word: &str, setup: &str) -> &'a Value {
    let all = told["sheets"].as_array().unwrap();
    let is_it = |one: &&Value| one["sheet"] == word && (one["setup"] == setup || setup.is_empty());
    all.iter().find(is_it).unwrap_or_else(|| panic!("no {word} {setup} in {told}"))
}

#[test]
fn every_example_has_all_eight_sheets_in_every_format() {
    let folder = folder();
    for name in EXAMPLES {
        let to = folder.path().join(name);
        let ran = run(&["papers", argument(&example(name)), "--to", argument(&to)]);
        assert_eq!(ran.status, Some(0), "{ran:?}");
        let there = names(&to);
        for word in ["survey", "patch", "load", "strike", "generator", "cables", "labels", "safety"] {
            for ending in ["csv", "pdf"] {
                let is_it = |file: &&String| file.starts_with(word) && file.ends_with(ending);
                assert!(there.iter().any(|file| is_it(&file)), "{word} {ending} of {name}: {there:?}");
            }
        }
        assert!(there.contains(&"papers.html".to_owned()) && there.contains(&"papers.json".to_owned()));
        assert!(ran.out.contains("first issue") && ran.out.contains("licensed electrician"), "{}", ran.out);
    }
}

/// All that stands on the sheets of an example, as their CSV files have it.
#[test]
fn the_sheets_of_examples_are_those_that_were_read_and_kept() {
    let home = folder();
    for name in ["mill-house", "first-walk"] {
        let to = folder();
        let ran = program(home.path())
            .args(["papers", argument(&example(name)), "--to", argument(to.path()), "--format", "csv"])
            .env("SOURCE_DATE_EPOCH", "1772460300")
            .output()
            .unwrap();
        assert_eq!(ran.status.code(), Some(0), "{ran:?}");
        let sheets = files(to.path()).into_iter().filter(|(name, _)| name != "papers.json");
        let told: Vec<String> = sheets
            .map(|(name, bytes)| {
                let text = String::from_utf8(bytes).unwrap().replace("\r\n", "\n");
                let lines: Vec<&str> = text.lines().map(|line| line.trim_end_matches(',')).collect();
                format!("== {name}\n{}\n", lines.join("\n"))
            })
            .collect();
        insta::assert_snapshot!(format!("sheets_of_{name}"), told.join("\n"));
    }
}

#[test]
fn what_has_not_changed_is_not_written_again_and_what_has_gets_the_next_letter() {
    let folder = folder();
    let plan = text("mill-house");
    let first = hand_out(&plan, folder.path(), &[]);
    assert!(first["sheets"].as_array().unwrap().iter().all(|one| one["revision"] == "A"), "{first}");
    let before = files(folder.path());
    let again = hand_out(&plan, folder.path(), &[]);
    assert_eq!(again["new_files"], 0);
    assert_eq!(files(folder.path()), before);
    // A sheet that somebody took away comes back as it was.
    fs::remove_file(folder.path().join("cables.pdf")).unwrap();
    assert_eq!(hand_out(&plan, folder.path(), &[])["new_files"], 1);
    assert_eq!(files(folder.path()), before);
    let moved = plan.replacen("socket = \"G1\"", "socket = \"G2\"", 1);
    assert_ne!(moved, plan);
    let second = hand_out(&moved, folder.path(), &[]);
    let patch = sheet(&second, "patch", "");
    assert_eq!((&patch["revision"], &patch["since"]), (&Value::from("B"), &Value::from("A")), "{patch}");
    assert!(!patch["changed"].as_array().unwrap().is_empty(), "{patch}");
    assert_eq!(sheet(&second, "safety", "")["revision"], "A");
    let kept = files(folder.path());
    assert_eq!(hand_out(&moved, folder.path(), &[])["new_files"], 0);
    assert_eq!(files(folder.path()), kept, "marks and letters stay as they were handed out");
}

#[test]
fn one_sheet_in_one_format_leaves_the_others_alone() {
    let folder = folder();
    let told = hand_out(&text("mill-house"), folder.path(), &["--only", "cables,safety", "--format", "csv"]);
    assert_eq!(names(folder.path()), ["cables.csv", "papers.json", "safety.csv"]);
    assert_eq!(told["sheets"].as_array().unwrap().len(), 2);
    let before = fs::read(folder.path().join("cables.csv")).unwrap();
    hand_out(&text("mill-house"), folder.path(), &["--only", "patch", "--format", "csv"]);
    assert_eq!(fs::read(folder.path().join("cables.csv")).unwrap(), before);
    let record: Value =
        serde_json::from_slice(&fs::read(folder.path().join("papers.json")).unwrap()).unwrap();
    let words: Vec<&str> =
        record["sheets"].as_array().unwrap().iter().map(|one| one["sheet"].as_str().unwrap()).collect();
    assert!(words.contains(&"cables") && words.contains(&"patch"), "{words:?}");
}

#[test]
fn the_same_moment_and_the_same_plan_give_the_same_bytes_in_any_folder() {
    let (one, other, home) = (folder(), folder(), folder());
    for to in [&one, &other] {
        let ran = program(home.path())
            .args(["papers", argument(&example("office-night")), "--to", argument(to.path())])
            .env("SOURCE_DATE_EPOCH", "1772460300")
            .output()
            .unwrap();
        assert_eq!(ran.status.code(), Some(0), "{ran:?}");
    }
    assert_eq!(files(one.path()), files(other.path()));
    let survey = fs::read_to_string(one.path().join("survey.csv")).unwrap();
    // Worked out by `date -u -d @1772460300`.
    assert!(survey.contains("\"A, 2026-03-02 14:05 UTC\""), "{survey}");
}

#[test]
fn a_sheet_that_was_filled_in_is_not_written_over() {
    let folder = folder();
    let plan = text("mill-house");
    hand_out(&plan, folder.path(), &[]);
    let survey = folder.path().join("survey.csv");
    fs::write(&survey, "id,test\nG1,reversed\n").unwrap();
    let before = files(folder.path());
    let changed = plan.replacen("socket = \"G1\"", "socket = \"G2\"", 1);
    for plan in [plan, changed] {
        let ran = run_with(&["papers", "-", "--to", argument(folder.path())], &plan);
        let told = ran.refused();
        assert!(told.contains("survey.csv is not as this program wrote it"), "{told}");
        assert_eq!(files(folder.path()), before);
    }
}

#[test]
fn a_record_that_cannot_be_gone_on_from_is_told_and_kept() {
    let folder = folder();
    for (record, why) in [
        ("{ half", "is no record of sheets"),
        ("{\"ampwalk\":99,\"sheets\":[],\"files\":[]}", "is of a later version"),
    ] {
        fs::write(folder.path().join("papers.json"), record).unwrap();
        let ran = run_with(&["papers", "-", "--to", argument(folder.path())], text("mill-house"));
        let told = ran.refused();
        assert!(told.contains(why) && told.contains("Move it away"), "{told}");
        assert_eq!(names(folder.path()), ["papers.json"]);
    }
}

#[test]
fn a_folder_that_is_a_file_is_told() {
    let folder = folder();
    let to = folder.path().join("sheets");
    fs::write(&to, "mine").unwrap();
    let ran = run_with(&["papers", "-", "--to", argument(&to)], text("mill-house"));
    ran.refused();
    assert_eq!(fs::read_to_string(&to).unwrap(), "mine");
}

#[test]
fn no_name_in_a_plan_leads_out_of_the_folder() {
    let folder = folder();
    let to = folder.path().join("in");
    let plan = "ampwalk = 1\n[location]\nregion = \"au\"\nname = \"../../x\"\n[head.A]\nwatts = 100\n\
                name = \"/etc/x\"\n[setup.\"a-b_c\"]\nminutes = 60\nname = \"../up\"\non = [\"A\"]\n";
    hand_out(plan, &to, &[]);
    assert_eq!(names(folder.path()), ["in"]);
    let there = names(&to);
    assert!(there.contains(&"patch-a-b_c.csv".to_owned()), "{there:?}");
}

#[cfg(unix)]
mod cut_off {
    use std::process::{Command, Stdio};
    use std::thread::sleep;
    use std::time::Duration;

    use super::*;

    /// The program under a limit on the size of what it writes, in units of 512 bytes: what it writes beyond
    /// kills it, as a power cut would.
    fn limited(plan: &Path, to: &Path, limit: u32) -> bool {
        let line = format!("ulimit -c 0; ulimit -f {limit}; exec \"$0\" papers \"$1\" --to \"$2\"");
        let ran = Command::new("sh")
            .args(["-c", &line, env!("CARGO_BIN_EXE_ampwalk")])
            .args([plan, to])
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .status()
            .unwrap();
        ran.success()
    }

    #[test]
    fn a_program_that_is_killed_while_it_writes_leaves_every_sheet_as_it_was() {
        let folder = folder();
        let (plan, to) = (folder.path().join("plan.toml"), folder.path().join("sheets"));
        let before = text("mill-house");
        hand_out(&before, &to, &[]);
        let stood = files(&to);
        fs::write(&plan, before.replacen("socket = \"G1\"", "socket = \"G2\"", 1)).unwrap();
        for limit in [0, 1, 4, 16] {
            assert!(!limited(&plan, &to, limit), "{limit}");
            let left: Vec<_> = files(&to).into_iter().filter(|(name, _)| !name.starts_with('.')).collect();
            assert_eq!(left, stood, "limit {limit}");
        }
        hand_out(&fs::read_to_string(&plan).unwrap(), &to, &[]);
        assert!(names(&to).iter().all(|name| !name.starts_with('.')), "what was left half is taken away");
    }

    /// Not the record, and not what was left half.
    fn is_a_sheet(name: &str) -> bool {
        name != "papers.json" && !name.starts_with('.')
    }

    #[test]
    fn killed_at_any_moment_each_sheet_is_whole_the_old_one_or_the_new_one() {
        let folder = folder();
        let plans =
            [text("mill-house"), text("mill-house").replacen("socket = \"G1\"", "socket = \"G2\"", 1)];
        let plan = folder.path().join("plan.toml");
        let to = folder.path().join("sheets");
        hand_out(&plans[0], &to, &["--format", "csv"]);
        let mut whole: Vec<Vec<(String, Vec<u8>)>> = vec![files(&to)];
        for turn in 0..20_u64 {
            fs::write(&plan, &plans[usize::from(turn % 2 == 0)]).unwrap();
            let mut child = Command::new(env!("CARGO_BIN_EXE_ampwalk"))
                .args(["papers", argument(&plan), "--to", argument(&to), "--format", "csv"])
                .stdout(Stdio::null())
                .stderr(Stdio::null())
                .spawn()
                .unwrap();
            sleep(Duration::from_millis(5 + 13 * turn % 160));
            child.kill().unwrap();
            child.wait().unwrap();
            for (name, bytes) in files(&to).iter().filter(|(name, _)| is_a_sheet(name)) {
                let text = std::str::from_utf8(bytes).unwrap();
                assert!(text.ends_with("\r\n") && text.starts_with("sheet,title"), "{name} is cut off");
            }
            hand_out(&fs::read_to_string(&plan).unwrap(), &to, &["--format", "csv"]);
            whole.push(files(&to));
        }
        assert_eq!(whole.len(), 21);
    }
}
