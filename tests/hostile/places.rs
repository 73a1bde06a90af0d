//! A plan that is no file, paths within a plan, and folders of sheets that somebody prepared.

use std::fs;
use std::path::Path;

use super::{COMMANDS, call, named};
use crate::support::folder;

/// Makes a pipe that nobody writes to: whoever opens it waits.
#[cfg(unix)]
fn pipe(path: &Path) {
    let made = std::process::Command::new("mkfifo").arg(path).status();
    assert!(made.is_ok_and(|status| status.success()), "mkfifo");
}

#[cfg(unix)]
#[test]
fn a_plan_or_a_sheet_that_is_no_file_is_refused_at_once() {
    let home = folder();
    fs::write(home.path().join("p.toml"), named("x")).unwrap();
    pipe(&home.path().join("pipe"));
    for link in ["loop-a", "loop-b"] {
        let other = if link == "loop-a" { "loop-b" } else { "loop-a" };
        std::os::unix::fs::symlink(other, home.path().join(link)).unwrap();
    }
    std::os::unix::fs::symlink("/dev/zero", home.path().join("endless")).unwrap();
    std::os::unix::fs::symlink("pipe", home.path().join("to-the-pipe")).unwrap();
    for path in [
        "pipe",
        "to-the-pipe",
        "loop-a",
        "endless",
        "/dev/zero",
        "/dev/tty",
        "/dev/null",
        ".",
        "p.toml/x",
        "",
    ] {
        call(home.path(), &["check", path]).is_refused();
        call(home.path(), &["import", path, "p.toml"]).is_refused();
        call(home.path(), &["import", "p.toml", path]).is_refused();
        call(home.path(), &["papers", path, "--to", "sheets"]).is_refused();
        call(home.path(), &[path]).is_refused();
    }
}

#[cfg(unix)]
#[test]
fn a_plan_that_may_not_be_read_is_refused() {
    use std::os::unix::fs::PermissionsExt;
    let home = folder();
    let plan = home.path().join("p.toml");
    fs::write(&plan, named("x")).unwrap();
    fs::set_permissions(&plan, fs::Permissions::from_mode(0o000)).unwrap();
    // Whoever runs a machine may read all of it.
    if fs::read(&plan).is_err() {
        assert!(call(home.path(), &["check", "p.toml"]).is_refused().contains("the permission is missing"));
    }
}

#[cfg(unix)]
#[test]
fn no_path_that_a_plan_names_is_followed() {
    let home = folder();
    // Whoever opened it would wait for ever.
    pipe(&home.path().join("trap"));
    let trap = home.path().join("trap");
    for path in
        [trap.to_str().unwrap(), "../../../../etc/passwd", "/dev/stdin", "file:///etc/passwd", "$(touch x)"]
    {
        fs::write(home.path().join("p.toml"), named(path)).unwrap();
        for command in COMMANDS {
            let told = call(home.path(), command);
            assert_ne!(told.is_harmless().status, Some(2), "{path}: {command:?}: {}", told.err);
        }
        let mut there: Vec<String> = fs::read_dir(home.path())
            .unwrap()
            .map(|entry| entry.unwrap().file_name().into_string().unwrap())
            .collect();
        there.sort();
        assert_eq!(there, ["p.toml", "sheets", "trap"], "{path}");
        fs::remove_dir_all(home.path().join("sheets")).unwrap();
    }
    for id in ["../../etc/passwd", "/dev/zero", "..", "C:\\\\x", &"A".repeat(1_000_000)] {
        for table in ["head", "setup", "circuit"] {
            fs::write(home.path().join("p.toml"), format!("{}[{table}.\"{id}\"]\n", named("x"))).unwrap();
            let told = call(home.path(), &["papers", "p.toml", "--to", "sheets"]);
            assert!(told.is_refused().contains("error[bad-id]") && told.err.len() < 3_000, "{}", told.err);
        }
    }
    assert!(!home.path().join("sheets").exists());
}

const RECORD: &str = "{\"ampwalk\":1,\"made_from\":null,\"sheets\":[{\"sheet\":\"SHEET\",\"setup\":null,\"revision\":\"A\",\
    \"since\":null,\"at\":\"AT\",\"around\":[],\"tables\":[]}],\"files\":[{\"name\":\"FILE\",\"bytes\":1,\"crc32\":1}]}";

#[cfg(unix)]
#[test]
fn a_record_of_sheets_that_somebody_prepared_leads_nowhere() {
    let home = folder();
    fs::write(home.path().join("p.toml"), named("x")).unwrap();
    let sheets = home.path().join("sheets");
    let papers = ["papers", "p.toml", "--to", "sheets", "--seconds", "0.1"];
    let record = |sheet: &str, file: &str| RECORD.replace("SHEET", sheet).replace("FILE", file);
    for text in [
        record("patch", "../p.toml"),
        record("patch", "/etc/passwd"),
        record("patch", ".hidden"),
        record("../../etc/passwd", "patch.pdf"),
        record("patch\\u001b[2J", "patch.pdf"),
        record("patch", "\\u202epatch.pdf"),
        record("patch", "patch.pdf").replace("\"ampwalk\":1", "\"ampwalk\":99"),
        "[".repeat(1_000_000),
        "{\"ampwalk\":1e400}".to_owned(),
        "\0\u{1b}[2J".to_owned(),
        String::new(),
    ] {
        fs::create_dir_all(&sheets).unwrap();
        fs::write(sheets.join("papers.json"), &text).unwrap();
        let told = call(home.path(), &papers);
        assert!(told.is_refused().contains("papers.json"), "{text}: {}", told.err);
        assert_eq!(fs::read_dir(&sheets).unwrap().count(), 1, "{text}: nothing was written");
        fs::remove_dir_all(&sheets).unwrap();
    }
    for name in ["papers.json", "safety.pdf", "papers.html"] {
        for make in [
            pipe as fn(&Path),
            |path| fs::create_dir(path).unwrap(),
            |path| {
                std::os::unix::fs::symlink("/dev/zero", path).unwrap();
            },
        ] {
            fs::create_dir_all(&sheets).unwrap();
            make(&sheets.join(name));
            assert!(call(home.path(), &papers).is_refused().contains(name), "{name}");
            fs::remove_dir_all(&sheets).unwrap();
        }
    }
}

#[cfg(unix)]
#[test]
fn a_link_in_the_place_of_a_sheet_is_not_written_through() {
    let home = folder();
    fs::write(home.path().join("p.toml"), named("x")).unwrap();
    let (sheets, precious) = (home.path().join("sheets"), home.path().join("precious"));
    fs::create_dir(&sheets).unwrap();
    fs::write(&precious, "mine").unwrap();
    std::os::unix::fs::symlink(&precious, sheets.join("safety.csv")).unwrap();
    let papers = ["papers", "p.toml", "--to", "sheets", "--seconds", "0.1"];
    assert!(call(home.path(), &papers).is_refused().contains("safety.csv"));
    assert_eq!(fs::read_to_string(&precious).unwrap(), "mine");
}
