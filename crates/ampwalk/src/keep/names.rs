//! Where the files stand that belong to a plan.

use std::ffi::OsString;
use std::path::{Path, PathBuf};

/// The folder that a file is in.
pub fn folder(file: &Path) -> &Path {
    match file.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    }
}

/// What the name begins with of a plan that is not all written yet.
pub fn undone(plan: &Path) -> String {
    format!(".{}.new-", name(plan).to_string_lossy())
}

/// The journal of a plan, beside it.
pub fn journal(plan: &Path) -> PathBuf {
    beside(plan, ".journal")
}

/// The file that says who has a plan open, beside it.
pub fn lock(plan: &Path) -> PathBuf {
    beside(plan, ".lock")
}

/// The journal of a plan in a folder for all plans, for where nothing can be written beside it.
pub fn journal_in(folder: &Path, plan: &Path) -> PathBuf {
    let whole = plan.as_os_str().as_encoded_bytes();
    folder.join(format!("{:08x}-{}.journal", crc32fast::hash(whole), name(plan).to_string_lossy()))
}

/// The folder of a plan's sheets, beside it.
pub fn papers(plan: &Path) -> PathBuf {
    let mut name = plan.file_stem().unwrap_or_default().to_owned();
    name.push("-papers");
    plan.with_file_name(name)
}

/// A file for what the user did not want in a plan, the `n`-th try.
pub fn set_aside(plan: &Path, n: usize) -> PathBuf {
    let stem = plan.file_stem().unwrap_or_default().to_string_lossy();
    let number = if n == 1 { String::new() } else { format!("-{n}") };
    plan.with_file_name(format!("{stem}-set-aside{number}.toml"))
}

fn name(plan: &Path) -> OsString {
    plan.file_name().unwrap_or_default().to_owned()
}

fn beside(plan: &Path, ending: &str) -> PathBuf {
    let mut hidden = OsString::from(".");
    hidden.push(name(plan));
    hidden.push(ending);
    plan.with_file_name(hidden)
}
