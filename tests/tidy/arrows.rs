//! The arrows between the crates: core ← papers ← tui ← ampwalk, and core ← exact ← ampwalk.

use super::read_toml;

/// Each crate with those of ours that it may know.
const MAY_KNOW: [(&str, &[&str]); 5] = [
    ("core", &[]),
    ("papers", &["ampwalk-core"]),
    ("tui", &["ampwalk-core", "ampwalk-papers"]),
    ("exact", &["ampwalk-core"]),
    ("ampwalk", &["ampwalk-core", "ampwalk-exact", "ampwalk-papers", "ampwalk-tui"]),
];

/// What reaches outside, draws or reads arguments: nothing for core and papers.
const OUTWARD: [&str; 11] = [
    "anyhow",
    "clap",
    "crossterm",
    "directories",
    "nucleo-matcher",
    "portable-pty",
    "ratatui",
    "tempfile",
    "terminal-colorsaurus",
    "tui-input",
    "anstyle-query",
];

fn dependencies(krate: &str) -> Vec<String> {
    let manifest = read_toml(&format!("crates/{krate}/Cargo.toml"));
    let table = manifest.get("dependencies").and_then(toml::Value::as_table);
    table.map(|table| table.keys().cloned().collect()).unwrap_or_default()
}

#[test]
fn the_arrows_point_to_core() {
    for (krate, may_know) in MAY_KNOW {
        let ours = dependencies(krate).into_iter().filter(|name| name.starts_with("ampwalk"));
        for name in ours {
            assert!(may_know.contains(&&*name), "{krate} must not know {name}");
        }
    }
}

#[test]
fn core_and_papers_depend_on_nothing_that_reaches_outside() {
    for krate in ["core", "papers"] {
        for name in dependencies(krate) {
            assert!(!OUTWARD.contains(&&*name), "{krate} must not depend on {name}");
        }
    }
}

#[test]
fn every_dependency_is_named_once_for_all_crates() {
    for (krate, _) in MAY_KNOW {
        let manifest = read_toml(&format!("crates/{krate}/Cargo.toml"));
        for table in ["dependencies", "dev-dependencies"] {
            let Some(table) = manifest.get(table).and_then(toml::Value::as_table) else { continue };
            for (name, value) in table {
                assert_eq!(value["workspace"].as_bool(), Some(true), "{krate}: {name}");
            }
        }
    }
}
