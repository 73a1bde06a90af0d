//! The house rules: what no compiler checks and every change must keep.

mod arrows;
mod files;
mod licences;
mod pure;
mod readme;
mod reference;
mod rust_version;

use std::fs;
use std::path::{Path, PathBuf};

/// The folder of the workspace.
pub fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

/// A file of the workspace.
pub fn read(path: &str) -> String {
    fs::read_to_string(root().join(path)).unwrap_or_else(|error| panic!("{path}: {error}"))
}

/// A TOML file of the workspace.
pub fn read_toml(path: &str) -> toml::Table {
    read(path).parse().unwrap_or_else(|error| panic!("{path}: {error}"))
}

/// Every Rust file under a folder of the workspace, with its path from the root.
pub fn rust_files(folder: &str) -> Vec<(String, String)> {
    let mut files = Vec::new();
    let mut folders = vec![folder.to_owned()];
    while let Some(folder) = folders.pop() {
        let entries = fs::read_dir(root().join(&folder)).unwrap_or_else(|error| panic!("{folder}: {error}"));
        for entry in entries {
            let entry = entry.expect("an entry");
            let name = format!("{folder}/{}", entry.file_name().to_string_lossy());
            if entry.file_type().expect("a type").is_dir() {
                folders.push(name);
            } else if Path::new(&name).extension().is_some_and(|ending| ending == "rs") {
                files.push((name.clone(), read(&name)));
            }
        }
    }
    files.sort();
    assert!(!files.is_empty(), "{folder} has Rust files");
    files
}

/// Every Rust file of the workspace.
pub fn all_rust_files() -> Vec<(String, String)> {
    ["crates", "tests"].into_iter().flat_map(rust_files).collect()
}

/// A file without its unit tests, which stand at its end.
pub fn without_tests(text: &str) -> &str {
    text.find("\n#[cfg(test)]\nmod tests {").map_or(text, |end| &text[..end])
}
