//! Names that act, reorder, hide or pile up: in plans, sheets and names of files.

use std::fs;

use super::{ACTS, COMMANDS, call, named};
use crate::support::folder;

#[test]
fn a_name_that_acts_is_refused_with_its_place_and_shown_by_its_number() {
    let home = folder();
    for name in ACTS {
        // As an escape, which is good TOML, and as it is.
        for plan in [named(name), super::PLAN.replace('@', name)] {
            fs::write(home.path().join("p.toml"), plan).unwrap();
            let told = call(home.path(), &["check", "p.toml"]);
            let err = told.is_refused();
            assert!(err.contains("p.toml:4:"), "{name:?}: {err}");
        }
    }
}

#[test]
fn no_command_lets_a_name_that_acts_through() {
    let home = folder();
    for name in ["\u{1b}]52;c;ZXZpbA==\u{7}", "\u{9b}2J", "\u{202e}\u{2066}"] {
        fs::write(home.path().join("p.toml"), named(name)).unwrap();
        for command in COMMANDS {
            call(home.path(), command).is_refused();
        }
        assert!(!home.path().join("sheets").exists(), "{name:?}: no sheet of a refused plan");
    }
}

#[test]
fn marks_that_pile_up_and_selectors_pass_every_command_and_stay_in_their_text() {
    let home = folder();
    let pile = format!("Z{}", "\u{301}\u{489}\u{338}".repeat(66));
    for name in [pile.as_str(), "\u{1f469}\u{fe0f}\u{845b}\u{e0100}", "=cmd|' /C calc'!A0", "\u{ff1d}1+1"] {
        fs::write(home.path().join("p.toml"), named(name)).unwrap();
        for command in COMMANDS {
            let told = call(home.path(), command);
            told.is_harmless();
            assert_ne!(told.status, Some(2), "{command:?}: {}", told.err);
        }
    }
    let flood = format!("Z{}", "\u{301}".repeat(200));
    fs::write(home.path().join("p.toml"), named(&flood)).unwrap();
    assert!(call(home.path(), &["check", "p.toml"]).is_refused().contains("text-too-long"));
}

#[cfg(unix)]
#[test]
fn a_file_name_that_acts_is_shown_with_marks_wherever_it_is_named() {
    use std::os::unix::ffi::OsStringExt;
    let home = folder();
    let broken = "ampwalk = 1\n[location]\nregion = \"oz\"\n";
    for name in ["a\u{1b}]0;x\u{7}.toml", "a\u{9b}2J.toml", "\u{202e}lmot.toml", "-\u{1b}[2J", "a\nb.toml"] {
        for (text, more) in [(broken, &[][..]), (&named("x"), &["--setup", "\u{1b}[2J"])] {
            fs::write(home.path().join(name), text).unwrap();
            let path = format!("./{name}");
            let told = call(home.path(), &[&["check", path.as_str()], more].concat());
            assert!(told.is_refused().contains("toml") || name.starts_with('-'), "{told:?}");
        }
        // What a shell makes of `*`: names as options and as more plans than one.
        for arguments in
            [&["check", name, "p.toml"][..], &[name, name], &["papers", name, "--to", name, name]]
        {
            call(home.path(), arguments).is_refused();
        }
        call(home.path(), &["new", name, "--region", "uk"]).is_harmless();
        call(home.path(), &["demo", name]).is_refused();
        call(home.path(), &["import", name, "none.toml"]).is_refused();
    }
    let no_text = std::ffi::OsString::from_vec(b"a\xff\x9b.toml".to_vec());
    fs::write(home.path().join(&no_text), broken).unwrap();
    let told = super::ended(
        crate::support::program(home.path()).arg("check").arg(&no_text).current_dir(home.path()),
        &["check"],
    );
    told.is_refused();
}

#[test]
fn headings_and_cells_of_a_sheet_that_act_are_shown_with_marks_or_refused() {
    let home = folder();
    fs::write(home.path().join("p.toml"), named("x")).unwrap();
    for name in ACTS.into_iter().filter(|name| !name.contains(['\r', ';', '\u{feff}'])) {
        let sheet = format!("id,room,ban,we \"\"{name}\nG2,r,\"a{name}b\",1\n").replace("\"\"", "");
        fs::write(home.path().join("s.csv"), &sheet).unwrap();
        call(home.path(), &["import", "s.csv", "p.toml"]).is_refused();
        let sheet = format!("id,room,ways,we {name}\nG2,r,1,1\n");
        fs::write(home.path().join("s.csv"), &sheet).unwrap();
        for more in [&[][..], &["--json"]] {
            let told = call(home.path(), &[&["import", "s.csv", "p.toml"], more].concat());
            told.is_harmless();
            assert_eq!(told.status, Some(0), "{name:?}: {}", told.err);
        }
    }
}

#[test]
fn what_stands_in_a_comment_or_a_key_is_shown_with_marks() {
    let home = folder();
    for name in ACTS {
        for line in [
            format!("x = 1 # {name}"),
            format!("\"{name}\" = 1"),
            format!("[head.\"{name}\"]"),
            name.to_owned(),
        ] {
            fs::write(
                home.path().join("p.toml"),
                format!("ampwalk = 1\n[location]\nregion = \"uk\"\n{line}\n"),
            )
            .unwrap();
            call(home.path(), &["check", "p.toml"]).is_harmless();
        }
    }
}
