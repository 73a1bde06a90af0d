//! README's first plan, typed as it stands there.

use super::*;
use crate::support::run;

const README: &str = include_str!("../../README.md");

/// What README says to type.
fn script() -> &'static str {
    let (_, rest) = README.split_once("<!-- first plan: begin -->\n```text\n").unwrap();
    rest.split_once("\n```\n").unwrap().0
}

/// A line without what is told of it: two spaces part them.
fn typed(line: &str) -> &str {
    line.split_once("  ").map_or(line, |(typed, _)| typed).trim_end()
}

fn bytes(key: &str) -> &str {
    match key {
        "enter" => "\r",
        "esc" => "\u{1b}",
        "home" => "\u{1b}[H",
        "down" => "\u{1b}[B",
        "left" => "\u{1b}[D",
        "ctrl-u" => "\u{15}",
        letter => letter,
    }
}

#[test]
fn the_first_plan_of_the_readme_can_be_typed_as_it_stands_there() {
    let home = folder();
    let plan = home.path().join("location.toml").to_str().unwrap().to_owned();
    assert_eq!(run(&["new", &plan, "--region", "au"]).status, Some(0));
    let mut session = Session::start(home.path(), &[&plan], &[]);
    session.wait_for_text("My location");
    for line in script().lines().map(typed) {
        let (keys, entry) = match line.split_once("> ") {
            Some((keys, entry)) => (keys, Some(entry)),
            None => (line, None),
        };
        for key in keys.split_whitespace() {
            session.press(bytes(key));
            // An escape is one only where nothing follows it at once.
            thread::sleep(Duration::from_millis(120));
        }
        if let Some(entry) = entry {
            session.press(entry);
            session.press("\r");
            thread::sleep(Duration::from_millis(120));
        }
        if line == "a" {
            session.wait_for_text("put on, none moved");
            session.press("\u{1b}");
        }
        assert!(!session.contents().contains("not understood"), "{line}:\n{}", session.contents());
        assert!(!session.contents().contains("   No: "), "{line}:\n{}", session.contents());
    }
    assert!(session.end().success());
    let text = fs::read_to_string(&plan).unwrap();
    let read: toml::Table = toml::from_str(&text).unwrap();
    assert_eq!(read["location"]["board"].as_str(), Some("found"), "{text}");
    assert_eq!(read["socket"]["G3"]["circuit"].as_str(), Some("P2"), "{text}");
    assert_eq!(read["socket"]["G1"]["test"].as_str(), Some("ok"), "{text}");
    for head in ["C", "D"] {
        assert!(read["head"][head].get("socket").is_some(), "{head}: {text}");
    }
    let checked = run(&["check", &plan]);
    assert_eq!(checked.status, Some(0), "{}", checked.out);
}
