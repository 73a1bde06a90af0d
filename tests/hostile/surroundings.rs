//! An environment and files of ours that somebody else prepared.

use std::fs;

use super::{ended, named};
use crate::support::{folder, program};

#[test]
fn no_environment_makes_a_call_fail_or_act() {
    let home = folder();
    fs::write(home.path().join("p.toml"), named("x")).unwrap();
    let long = "x".repeat(100_000);
    for (name, value) in [
        ("TERM", ""),
        ("TERM", "\u{1b}[2J"),
        ("TERM", long.as_str()),
        ("COLUMNS", "0"),
        ("COLUMNS", "-1"),
        ("COLUMNS", "99999999999999999999"),
        ("LINES", "0"),
        ("LANG", "xx_XX.\u{202e}"),
        ("LC_ALL", "\u{9b}"),
        ("TZ", "../../etc/passwd"),
        ("HOME", ""),
        ("HOME", "/dev/null"),
        ("XDG_DATA_HOME", "/dev/null/x"),
        ("XDG_CONFIG_HOME", "relative"),
        ("SOURCE_DATE_EPOCH", "99999999999999999999"),
        ("SOURCE_DATE_EPOCH", "-1"),
        ("TMPDIR", "/nowhere"),
        ("NO_COLOR", "\u{1b}"),
        ("CLICOLOR_FORCE", "1"),
        ("RUST_BACKTRACE", "full"),
    ] {
        for arguments in
            [&["check", "p.toml"][..], &["papers", "p.toml", "--to", "sheets", "--format", "csv"], &[]]
        {
            let told = ended(
                program(home.path()).args(arguments).env(name, value).current_dir(home.path()),
                arguments,
            );
            told.is_harmless();
        }
    }
    let mut bare = program(home.path());
    let told = ended(bare.args(["check", "p.toml"]).env_clear().current_dir(home.path()), &["nothing set"]);
    assert_ne!(told.is_harmless().status, Some(2), "{}", told.err);
}

#[cfg(unix)]
#[test]
fn a_last_plan_that_leads_elsewhere_opens_nothing() {
    let home = folder();
    let long = vec![b'/'; 1 << 21];
    let data = home.path().join("data/ampwalk");
    fs::create_dir_all(&data).unwrap();
    for text in [&b"/dev/zero"[..], b"../../etc/passwd", b"\xff\x1b[2J", b"\0", &long] {
        fs::write(data.join("last-plan"), text).unwrap();
        let told = ended(program(home.path()).current_dir(home.path()), &[]);
        assert_eq!(told.is_harmless().status, Some(0), "{}", told.err);
        assert!(told.out.contains("No plan was open yet"), "{}", told.out);
    }
    fs::remove_file(data.join("last-plan")).unwrap();
    assert!(std::process::Command::new("mkfifo").arg(data.join("last-plan")).status().unwrap().success());
    let told = ended(program(home.path()).current_dir(home.path()), &[]);
    assert!(told.is_harmless().out.contains("No plan was open yet"), "{}", told.out);
}
