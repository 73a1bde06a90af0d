//! What goes with the program: completions for shells, the manual page, the version.

use std::collections::BTreeSet;
use std::io::Write;
use std::process::{Command, Stdio};

use crate::support::run;

const SHELLS: [&str; 4] = ["bash", "zsh", "fish", "powershell"];

/// The commands that the help lists, but for `help` itself.
fn commands() -> Vec<String> {
    let help = run(&["--help"]).out;
    let lines = help.lines().skip_while(|line| *line != "Commands:").skip(1);
    // A line that goes on from the one before stands further in.
    let names = lines
        .take_while(|line| !line.is_empty())
        .filter(|line| line.starts_with("  ") && !line.starts_with("   "))
        .filter_map(|line| line.split_whitespace().next().map(str::to_owned));
    let names: Vec<String> = names.filter(|name| name != "help").collect();
    assert!(names.len() >= 14 && names.contains(&"completions".to_owned()), "{names:?}");
    names
}

/// The long options that a command's help lists, but for its help.
fn options(command: &str) -> BTreeSet<String> {
    let help = run(&[command, "--help"]).out;
    let options = help
        .lines()
        .filter_map(|line| line.trim_start().split_once("--").filter(|(before, _)| before.len() <= 4))
        .map(|(_, option)| option.split([' ', ',']).next().unwrap_or_default().to_owned());
    options.filter(|option| option != "help" && !option.is_empty()).collect()
}

/// Options of all commands, by command.
fn all_options() -> Vec<(String, BTreeSet<String>)> {
    let all: Vec<_> = commands().into_iter().map(|command| (command.clone(), options(&command))).collect();
    let recover = &all.iter().find(|(command, _)| command == "recover").unwrap().1;
    for option in ["lost", "dark", "setup", "last", "after", "reset", "write", "json"] {
        assert!(recover.contains(option), "{option} in {recover:?}");
    }
    all
}

#[test]
fn the_script_of_every_shell_names_every_command_and_every_option() {
    let all = all_options();
    for shell in SHELLS {
        let ran = run(&["completions", shell]);
        assert_eq!((ran.status, ran.err.as_str()), (Some(0), ""), "{shell}");
        let words: BTreeSet<&str> =
            ran.out.split(|c: char| !c.is_alphanumeric() && c != '-' && c != '_').collect();
        for (command, options) in &all {
            assert!(words.contains(command.as_str()), "{shell}: {command}");
            for option in options {
                // Fish has them without their dashes.
                let written = format!("--{option}");
                assert!(
                    words.contains(written.as_str()) || words.contains(option.as_str()),
                    "{shell}: {written}"
                );
            }
        }
    }
    // These two scripts know the words that an argument takes as well.
    for shell in ["bash", "zsh"] {
        let script = run(&["completions", shell]).out;
        for word in ["powershell", "did-not-hold", "jp", "labels"] {
            assert!(script.contains(word), "{shell}: {word}");
        }
    }
    assert!(run(&["completions", "dos"]).refused().contains("powershell"));
}

#[test]
fn bash_reads_its_script_without_complaint() {
    if !is_there("bash") {
        return;
    }
    let (good, said) = checked_by_bash(&run(&["completions", "bash"]).out);
    assert!(good, "{said}");
    assert!(!checked_by_bash("if then").0, "bash -n tells a script that is wrong");
}

fn is_there(shell: &str) -> bool {
    Command::new(shell).arg("--version").stdout(Stdio::null()).stderr(Stdio::null()).status().is_ok()
}

/// Whether `bash -n` takes a script, and what it says.
fn checked_by_bash(script: &str) -> (bool, String) {
    let mut child = Command::new("bash")
        .args(["-n", "/dev/stdin"])
        .stdin(Stdio::piped())
        .stdout(Stdio::null())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let _ = child.stdin.take().unwrap().write_all(script.as_bytes());
    let told = child.wait_with_output().unwrap();
    (told.status.success(), String::from_utf8_lossy(&told.stderr).into_owned())
}

/// The manual page as roff, and without what roff escapes.
fn page() -> (String, String) {
    let ran = run(&["man"]);
    assert_eq!((ran.status, ran.err.as_str()), (Some(0), ""));
    let plain = ran.out.replace("\\-", "-").replace("\\fB", "").replace("\\fI", "").replace("\\fR", "");
    (ran.out, plain)
}

#[test]
fn the_manual_page_has_every_command_with_its_options_under_a_heading_of_its_own() {
    let (_, page) = page();
    for (command, options) in all_options() {
        let heading = format!("\n.SS \"ampwalk {command}\"\n");
        let from = page.find(&heading).unwrap_or_else(|| panic!("{command}: {page}")) + heading.len();
        let section = page[from..].split("\n.S").next().unwrap();
        assert!(section.starts_with(&format!(".PP\nampwalk {command} ")) || options.is_empty(), "{section}");
        for option in options {
            assert!(section.contains(&format!("\n--{option}")), "{command} --{option}: {section}");
        }
    }
}

#[test]
fn the_manual_page_says_what_each_exit_status_means_and_that_it_certifies_nothing() {
    let (roff, page) = page();
    let title = roff.lines().find(|line| line.starts_with(".TH")).unwrap();
    assert!(title.contains("ampwalk 1 "), "{title}");
    for status in
        ["0\nnothing worse than a risk", "1\nsomething dark or dangerous", "2\nthe plan or the call"]
    {
        assert!(page.contains(&format!("\n.TP\n{status}")), "{status}: {page}");
    }
    assert!(page.contains("It plans, it certifies nothing: local codes and a licensed electrician decide."));
    for heading in
        ["NAME", "SYNOPSIS", "DESCRIPTION", "OPTIONS", "COMMANDS", "\"EXIT STATUS\"", "ENVIRONMENT"]
    {
        assert_eq!(page.matches(&format!(".SH {heading}\n")).count(), 1, "{heading}");
    }
}

#[test]
fn the_version_is_that_of_the_program_and_of_the_plan_files() {
    let long = run(&["--version"]);
    let short = run(&["-V"]);
    let words = format!("ampwalk {}, plan format 1\n", env!("CARGO_PKG_VERSION"));
    assert_eq!((long.status, long.out.as_str(), long.err.as_str()), (Some(0), words.as_str(), ""));
    assert_eq!(short.out, words);
}
