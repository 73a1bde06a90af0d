//! Runs the built program and tells what came of it.

use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

use serde_json::Value;
use tempfile::TempDir;

/// The built-in examples, as files.
pub const EXAMPLES: [&str; 4] = ["mill-house", "first-walk", "third-floor-flat", "office-night"];

/// What a run left behind.
#[derive(Debug)]
pub struct Run {
    /// Exit status; `None`: a signal ended it.
    pub status: Option<i32>,
    /// Standard output.
    pub out: String,
    /// Standard error.
    pub err: String,
}

impl Run {
    fn of(output: Output) -> Self {
        Self {
            status: output.status.code(),
            out: String::from_utf8(output.stdout).unwrap(),
            err: String::from_utf8(output.stderr).unwrap(),
        }
    }

    /// Standard output, read as JSON.
    pub fn json(&self) -> Value {
        serde_json::from_str(&self.out).unwrap_or_else(|error| panic!("{error}: {self:?}"))
    }

    /// Holds that the call or the plan was refused: status 2, words on standard error, nothing on
    /// standard output, no panic.
    #[track_caller]
    pub fn refused(&self) -> &str {
        assert_eq!(self.status, Some(2), "{self:?}");
        assert_eq!(self.out, "", "{self:?}");
        assert!(!self.err.trim().is_empty(), "{self:?}");
        assert!(!self.err.contains("panicked"), "{self:?}");
        &self.err
    }
}

/// The built program, in an environment of its own: nothing remembered, no wish about colour.
pub fn program(home: &Path) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_ampwalk"));
    for wish in ["NO_COLOR", "CLICOLOR", "CLICOLOR_FORCE", "COLORTERM", "RUST_BACKTRACE"] {
        command.env_remove(wish);
    }
    command.env("HOME", home).env("XDG_DATA_HOME", home.join("data")).env("TERM", "xterm-256color");
    command
}

/// Runs the program with nothing on standard input.
pub fn run(arguments: &[&str]) -> Run {
    let home = folder();
    Run::of(program(home.path()).args(arguments).stdin(Stdio::null()).output().unwrap())
}

/// Runs the program with a text on standard input.
pub fn run_with(arguments: &[&str], input: impl AsRef<[u8]>) -> Run {
    let home = folder();
    let mut child = program(home.path())
        .args(arguments)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    // The program may refuse before it has read all of it.
    let _ = child.stdin.take().unwrap().write_all(input.as_ref());
    Run::of(child.wait_with_output().unwrap())
}

/// A folder of its own, gone when it is dropped.
pub fn folder() -> TempDir {
    tempfile::tempdir().unwrap()
}

/// The file of a built-in example.
pub fn example(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../examples").join(format!("{name}.toml"))
}

/// A path as an argument.
pub fn argument(path: &Path) -> &str {
    path.to_str().unwrap()
}
