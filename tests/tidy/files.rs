//! Files: how long, where, and what never stands in one.

use std::fs;

use super::{all_rust_files, read, read_toml, root, without_tests};

/// Lines of a file without its unit tests.
const LONGEST: usize = 600;

/// Every file that is no test, with its path from the root.
fn sources() -> Vec<(String, String)> {
    let is_test = |name: &str| name.contains("/tests/") || name.ends_with("/tests.rs");
    all_rust_files().into_iter().filter(|(name, _)| !is_test(name)).collect()
}

#[test]
fn no_file_is_longer_than_a_reader_can_hold() {
    for (name, text) in sources() {
        let lines = without_tests(&text).lines().count();
        assert!(lines <= LONGEST, "{name} has {lines} lines without its tests; split it");
    }
}

#[test]
fn the_top_level_holds_only_what_belongs_there() {
    const HERE: [&str; 15] = [
        ".cargo",
        ".ci",
        ".clippy.toml",
        ".gitignore",
        ".rustfmt.toml",
        "Cargo.lock",
        "Cargo.toml",
        "DEVELOPERS.md",
        "LICENSE-APACHE",
        "LICENSE-MIT",
        "README.md",
        "assets",
        "crates",
        "examples",
        "tests",
    ];
    // What tools leave, and git never takes.
    const LEFT: [&str; 5] = [".git", ".idea", ".vscode", ".DS_Store", "target"];
    for entry in fs::read_dir(root()).expect("the root") {
        let name = entry.expect("an entry").file_name().to_string_lossy().into_owned();
        assert!(HERE.contains(&&*name) || LEFT.contains(&&*name), "{name} does not belong on the top level");
    }
}

#[test]
fn nothing_is_left_for_later_and_no_test_is_skipped() {
    let forbidden = [
        concat!("to", "do!("),
        concat!("unimple", "mented!("),
        concat!("d", "bg!("),
        concat!("#[ig", "nore"),
        concat!("TO", "DO"),
        concat!("FIX", "ME"),
    ];
    for (name, text) in all_rust_files() {
        for word in forbidden {
            assert!(!text.contains(word), "{name} holds {word}");
        }
    }
}

#[test]
fn modules_are_files_beside_their_folder() {
    for (name, _) in all_rust_files() {
        assert!(!name.ends_with("/mod.rs"), "{name}: write foo.rs beside foo/");
    }
}

#[test]
fn every_file_says_what_it_is_for() {
    for (name, text) in sources() {
        assert!(text.starts_with("//! "), "{name} begins with no `//!`");
    }
}

#[test]
fn no_public_function_takes_a_bare_true_or_false() {
    for (name, text) in sources() {
        for part in without_tests(&text).split("pub fn ").skip(1) {
            let end = part.find(" {\n").or_else(|| part.find(';')).unwrap_or(part.len());
            let parameters = part[..end].split("->").next().unwrap_or_default();
            assert!(!parameters.contains(": bool"), "{name}: pub fn {parameters}");
        }
    }
}

#[test]
fn every_crate_takes_the_lints_of_the_workspace() {
    let workspace = read_toml("Cargo.toml");
    let lints = &workspace["workspace"]["lints"];
    assert_eq!(lints["rust"]["unsafe_code"].as_str(), Some("forbid"));
    for lint in ["unwrap_used", "expect_used", "panic", "allow_attributes"] {
        assert_eq!(lints["clippy"][lint].as_str(), Some("warn"), "{lint}");
    }
    for member in workspace["workspace"]["members"].as_array().expect("members") {
        let path = format!("{}/Cargo.toml", member.as_str().expect("a path"));
        let manifest = read_toml(&path);
        assert_eq!(manifest["lints"]["workspace"].as_bool(), Some(true), "{path}");
    }
}

#[test]
fn no_lint_is_silenced_without_a_reason() {
    for (name, text) in all_rust_files() {
        for part in text.split(concat!("[exp", "ect(")).skip(1) {
            let attribute = part.split(")]").next().unwrap_or_default();
            assert!(attribute.contains("reason = "), "{name}: {attribute}");
        }
    }
}

#[test]
fn the_checks_that_run_before_a_landing_are_all_there() {
    let run = read(".ci/run");
    for command in
        ["cargo fmt", "cargo clippy --workspace --all-targets", "cargo test", "cargo doc", "licences"]
    {
        assert!(run.contains(command), "{command}");
    }
}
