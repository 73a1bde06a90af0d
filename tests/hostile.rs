//! Plans, sheets, records and surroundings of somebody who means harm, given to the built program. Nothing acts on
//! a terminal, nothing hangs, nothing is followed out of the folder, and memory stays small.

mod files;
mod names;
mod places;
mod surroundings;

use std::path::Path;
use std::process::{Child, Output, Stdio};
use std::thread::sleep;
use std::time::{Duration, Instant};

use crate::support::program;

/// How long the program may take for anything here; a slow machine only waits longer.
const PATIENCE: Duration = Duration::from_mins(1);
/// No call here may grow larger, in kB.
const LARGEST: u64 = 256_000;

/// What acts on a terminal, reorders or hides: each is refused in every text of a plan.
const ACTS: [&str; 22] = [
    "\u{1b}[2J",
    "\u{1b}[31m",
    "\u{1b}]0;title\u{7}",
    "\u{1b}]8;;http://x/\u{1b}\\here\u{1b}]8;;\u{1b}\\",
    "\u{1b}]52;c;ZXZpbA==\u{7}",
    "\u{1b}P$q\"p\u{1b}\\",
    "\u{1b}c",
    "\u{9b}31m",
    "\u{9d}0;x\u{9c}",
    "\u{90}q\u{9c}",
    "\0",
    "\u{7f}\u{8}",
    "\r",
    "\u{202e}evil",
    "\u{202a}\u{202c}",
    "\u{2066}\u{2069}",
    "\u{200f}\u{61c}",
    "\u{200b}\u{2060}\u{feff}",
    "\u{ad}",
    "\u{2028}",
    "\u{fff9}\u{fffb}",
    "\u{e0001}\u{e0041}\u{e007f}",
];

/// What a call left behind, and how large it grew, in kB, where the system tells.
#[derive(Debug)]
struct Ended {
    status: Option<i32>,
    out: String,
    err: String,
    peak: Option<u64>,
}

impl Ended {
    /// Holds that nothing of it acts on a terminal, that nothing panicked, and that it stayed small.
    #[track_caller]
    fn is_harmless(&self) -> &Self {
        for text in [&self.out, &self.err] {
            // Sheets for spreadsheets end their lines by two characters.
            let text = text.replace("\r\n", "\n");
            let acts = text.chars().find(|c| *c != '\n' && ampwalk_core::file::is_hidden(*c));
            assert_eq!(acts, None, "{text:?}");
        }
        assert!(matches!(self.status, Some(0..=2)), "{self:?}");
        assert!(!self.err.contains("panicked"), "{}", self.err);
        assert!(self.peak.is_none_or(|peak| peak < LARGEST), "grew to {:?} kB", self.peak);
        self
    }

    /// The same, of a call that is refused with a reason.
    #[track_caller]
    fn is_refused(&self) -> &str {
        self.is_harmless();
        assert_eq!((self.status, self.out.as_str()), (Some(2), ""), "{}", self.err);
        assert!(!self.err.trim().is_empty());
        &self.err
    }
}

/// Runs the program in a folder of its own, with nothing on standard input.
fn call(home: &Path, arguments: &[&str]) -> Ended {
    ended(program(home).args(arguments).current_dir(home), arguments)
}

/// Runs a call to its end, or fails where that takes too long.
fn ended(command: &mut std::process::Command, what: &[&str]) -> Ended {
    let mut child =
        command.stdin(Stdio::null()).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
    // Both streams are read aside, so that a full pipe stops nobody.
    let peak = std::thread::scope(|scope| {
        let (mut out, mut err) = (child.stdout.take().unwrap(), child.stderr.take().unwrap());
        let read = |stream: &mut dyn std::io::Read| {
            let mut bytes = Vec::new();
            stream.read_to_end(&mut bytes).unwrap();
            bytes
        };
        let out = scope.spawn(move || read(&mut out));
        let err = scope.spawn(move || read(&mut err));
        let peak = watched(&mut child, what);
        (out.join().unwrap(), err.join().unwrap(), peak)
    });
    let status = child.wait().unwrap();
    let output = Output { status, stdout: peak.0, stderr: peak.1 };
    Ended {
        status: output.status.code(),
        out: String::from_utf8(output.stdout).unwrap(),
        err: String::from_utf8(output.stderr).unwrap(),
        peak: peak.2,
    }
}

/// Waits for a process, and says how large it was seen.
fn watched(child: &mut Child, what: &[&str]) -> Option<u64> {
    let begin = Instant::now();
    let mut peak = None;
    while child.try_wait().unwrap().is_none() {
        peak = size_of(child.id()).or(peak);
        if begin.elapsed() > PATIENCE {
            child.kill().unwrap();
            panic!("{what:?} does not come to an end");
        }
        sleep(Duration::from_millis(3));
    }
    peak
}

/// The largest that a process was, in kB.
fn size_of(process: u32) -> Option<u64> {
    let status = std::fs::read_to_string(format!("/proc/{process}/status")).ok()?;
    let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"))?;
    line.trim().strip_suffix("kB")?.trim().parse().ok()
}

/// A small plan of one head on one socket, every text of which may be given: `@` stands for it.
const PLAN: &str = "ampwalk = 1\n[location]\nregion = \"uk\"\nname = \"@\"\n[supply.s]\nkind = \"mains\"\n[circuit.P1]\n\
    supply = \"s\"\nname = \"@\"\nbreaker_a = 16\n[floor.g]\nlevel = 0\nname = \"@\"\n[room.r]\nfloor = \"g\"\nname = \"@\"\n\
    [socket.G1]\nroom = \"r\"\ncircuit = \"P1\"\ntest = \"ok\"\nlabel = \"@\"\nban = \"@\"\n[head.A]\nwatts = 500\n\
    name = \"@\"\nsocket = \"G1\"\n[setup.day]\nname = \"@\"\nminutes = 60\non = [\"A\"]\n";

/// The plan with a text in the place of each name, as TOML writes it.
fn named(name: &str) -> String {
    let escaped: String =
        name.chars().flat_map(|c| format!("\\U{:08x}", u32::from(c)).into_bytes()).map(char::from).collect();
    PLAN.replace('@', &escaped)
}

/// Every command on a plan, for people and for programs.
const COMMANDS: [&[&str]; 16] = [
    &["check", "p.toml"],
    &["check", "p.toml", "--json"],
    &["assign", "p.toml", "--seconds", "0.1"],
    &["assign", "p.toml", "--seconds", "0.1", "--json"],
    &["recover", "p.toml", "--lost", "P1"],
    &["recover", "p.toml", "--lost", "P1", "--json"],
    &["strike", "p.toml"],
    &["strike", "p.toml", "--json"],
    &["trace", "p.toml"],
    &["trace", "p.toml", "--json"],
    &["generator", "p.toml", "--seconds", "0.1"],
    &["explain", "p.toml", "circuit.P1"],
    &["explain", "p.toml", "head.A", "--json"],
    &["import", "--sheet", "sockets", "p.toml"],
    &["papers", "p.toml", "--to", "sheets", "--seconds", "0.1"],
    &["papers", "p.toml", "--to", "sheets", "--seconds", "0.1", "--json"],
];
