//! Every command: its exit status, and what goes to which stream.

use std::fs;
use std::io::Read;
use std::process::Stdio;

use unicode_width::UnicodeWidthStr;

use crate::support::{EXAMPLES, argument, example, folder, program, run, run_with};

const REGIONS: [&str; 9] = ["au", "nz", "uk", "ie", "eu", "it", "us", "ca", "jp"];
const CLOSING: &str = "It plans, it certifies nothing: local codes and a licensed electrician decide.";

/// A plan in which nothing is wrong but for a note.
const NOTED: &str = "\
ampwalk = 1
[location]
region = \"us\"
[supply.house]
kind = \"mains\"
[circuit.P1]
supply = \"house\"
[floor.ground]
level = 0
[room.hall]
floor = \"ground\"
[socket.G1]
room = \"hall\"
circuit = \"P1\"
test = \"ok\"
[head.A]
amps = 1
watts = 500
[setup.day]
minutes = 5
on = []
";

#[test]
fn check_tells_the_verdict_in_words_and_in_its_exit_status() {
    for name in EXAMPLES {
        let plan = example(name);
        let people = run(&["check", argument(&plan)]);
        let programs = run(&["check", argument(&plan), "--json"]);
        let verdict = programs.json()["verdict"].as_str().unwrap().to_owned();
        let status = i32::from(verdict == "dark" || verdict == "danger");
        assert_eq!((people.status, programs.status), (Some(status), Some(status)), "{name}: {verdict}");
        assert_eq!((people.err.as_str(), programs.err.as_str()), ("", ""), "{name}");
        let first = people.out.lines().next().unwrap();
        assert!(first.contains(&verdict.to_uppercase()), "{name}: {first}");
        assert_eq!(people.out.lines().last(), Some(CLOSING), "{name}");
    }
}

#[test]
fn check_for_people_fits_eighty_columns_and_colours_nothing_that_is_no_terminal() {
    for name in EXAMPLES {
        let home = folder();
        let plan = example(name);
        let output = program(home.path())
            .args(["check", argument(&plan)])
            .env("CLICOLOR_FORCE", "1")
            .stdin(Stdio::null())
            .output()
            .unwrap();
        let text = String::from_utf8(output.stdout).unwrap();
        for line in text.lines() {
            assert!(line.width() <= 80, "{name}: {line}");
        }
        assert!(!text.contains('\u{1b}'), "{name}");
    }
}

#[test]
fn check_tells_the_worst_first_with_what_to_do_and_what_is_assumed() {
    let ran = run(&["check", argument(&example("mill-house"))]);
    let json = run(&["check", argument(&example("mill-house")), "--json"]).json();
    let text = ran.out.split_whitespace().collect::<Vec<_>>().join(" ");
    for finding in json["findings"].as_array().unwrap() {
        for part in ["text", "do"] {
            let words = finding[part].as_str().unwrap().split_whitespace().collect::<Vec<_>>().join(" ");
            assert!(text.contains(&words), "{words}");
        }
    }
    let places: Vec<usize> = ["\nDARK ", "\nRISK "].iter().filter_map(|word| ran.out.find(word)).collect();
    assert!(places.len() == 2 && places.is_sorted(), "{places:?}");
    assert!(ran.out.contains("assumed: it rests on a default"), "{}", ran.out);
}

#[test]
fn one_setup_alone_has_its_own_verdict_and_the_findings_of_the_location() {
    let plan = example("mill-house");
    let all = run(&["check", argument(&plan), "--json"]).json();
    let setups: Vec<String> = all["setups"].as_object().unwrap().keys().cloned().collect();
    assert!(setups.len() >= 3, "{setups:?}");
    for setup in &setups {
        let one = run(&["check", argument(&plan), "--json", "--setup", setup]);
        let json = one.json();
        assert_eq!(json["setups"].as_object().unwrap().keys().collect::<Vec<_>>(), [setup]);
        assert_eq!(json["setups"][setup], all["setups"][setup]);
        let wanted: Vec<_> = all["findings"]
            .as_array()
            .unwrap()
            .iter()
            .filter(|finding| finding["setup"].is_null() || finding["setup"] == setup.as_str())
            .cloned()
            .collect();
        assert_eq!(json["findings"].as_array().unwrap(), &wanted);
        let worst = wanted.first().map_or("clear", |finding| finding["severity"].as_str().unwrap());
        assert_eq!(json["verdict"], worst);
        assert_eq!(one.status, Some(i32::from(worst == "dark" || worst == "danger")));
    }
}

#[test]
fn a_plan_from_standard_input_is_checked_as_from_a_file() {
    let plan = example("third-floor-flat");
    let from_file = run(&["check", argument(&plan), "--json"]);
    let from_input = run_with(&["check", "-", "--json"], fs::read(&plan).unwrap());
    assert_eq!((from_file.status, from_file.out), (from_input.status, from_input.out));
}

#[test]
fn a_note_on_the_plan_goes_to_standard_error_and_fails_nothing() {
    let ran = run_with(&["check", "-", "--json"], NOTED);
    assert_eq!(ran.status, Some(0), "{ran:?}");
    assert!(ran.err.starts_with("note[amps-and-watts]"), "{ran:?}");
    assert!(ran.err.contains("--> standard input:"), "{ran:?}");
    assert_eq!(ran.json()["verdict"], "clear");
}

#[test]
fn errors_of_the_call_say_what_to_do() {
    let home = folder();
    let folder = argument(home.path());
    let missing = home.path().join("none.toml");
    let latin = home.path().join("latin.toml");
    fs::write(&latin, b"ampwalk = 1\n# caf\xe9\n").unwrap();
    let plan = example("mill-house");
    let cases: [(&[&str], &str); 7] = [
        (
            &["check", argument(&missing)],
            "cannot be read: it is not there\n  Check the path, or start one: ampwalk new",
        ),
        (&["check", folder], "is a folder, not a plan\n  Name the plan file in it."),
        (
            &["check", argument(&latin)],
            "latin.toml:2:6 is not UTF-8: byte 0xe9 at offset 17\n  Save it as UTF-8",
        ),
        (&["check", argument(&plan), "--setup", "dinnre"], "there is no setup `dinnre` in"),
        (
            &["check", argument(&plan), "--setup", "dinnre"],
            "Did you mean `dinner`? It has: day, dinner, night",
        ),
        (&["demo", "mil-house", "--copy", argument(&missing)], "Did you mean `mill-house`?"),
        (&["-"], "the screens need a file to save to"),
    ];
    for (arguments, words) in cases {
        let ran = run(arguments);
        let err = ran.refused();
        assert!(err.contains(words), "{arguments:?}: {err}");
    }
    for arguments in
        [&["check"][..], &["check", "a", "b"], &["new", "x.toml"], &["library", "cables"], &["--nonsense"]]
    {
        assert!(
            run(arguments).refused().contains("Usage:") || run(arguments).err.contains("--help"),
            "{arguments:?}"
        );
    }
    assert!(run(&["chek"]).refused().contains("`ampwalk check` is near"));
}

#[test]
fn a_file_that_is_far_too_large_is_refused_without_reading_it_all() {
    let ran = run_with(&["check", "-"], vec![b'#'; 9 * 1024 * 1024]);
    assert!(ran.refused().contains("larger than 8388608 bytes"), "{ran:?}");
}

#[test]
fn a_new_plan_is_checked_without_trouble_and_never_written_over() {
    let home = folder();
    for region in REGIONS {
        let file = home.path().join(format!("{region}.toml"));
        let made = run(&["new", argument(&file), "--region", region]);
        assert_eq!((made.status, made.err.as_str()), (Some(0), ""), "{region}");
        assert!(made.out.contains("is written"), "{made:?}");
        let checked = run(&["check", argument(&file)]);
        assert_eq!((checked.status, checked.err.as_str()), (Some(0), ""), "{region}: {checked:?}");
        let text = fs::read(&file).unwrap();
        let again = run(&["new", argument(&file), "--region", region]);
        assert!(again.refused().contains("is there already, and nothing is written over it"), "{again:?}");
        assert_eq!(fs::read(&file).unwrap(), text);
    }
    let nowhere = home.path().join("no/such/folder.toml");
    assert!(run(&["new", argument(&nowhere), "--region", "au"]).refused().contains("Make the folder first"));
    assert!(run(&["new", "x.toml", "--region", "oz"]).refused().contains("oz"));
}

#[test]
fn a_demo_is_written_out_byte_for_byte_and_never_over_a_file() {
    let home = folder();
    for name in EXAMPLES {
        let file = home.path().join(format!("{name}.toml"));
        let made = run(&["demo", name, "--copy", argument(&file)]);
        assert_eq!((made.status, made.err.as_str()), (Some(0), ""), "{made:?}");
        assert_eq!(fs::read(&file).unwrap(), fs::read(example(name)).unwrap());
        assert!(run(&["demo", name, "--copy", argument(&file)]).refused().contains("is there already"));
    }
}

#[test]
fn the_screens_are_refused_where_there_is_no_terminal() {
    let plan = example("mill-house");
    for arguments in [&["demo"][..], &[argument(&plan)]] {
        let ran = run(arguments);
        let err = ran.refused();
        assert!(err.contains("the screens need a terminal, and this is none"), "{err}");
        assert!(err.contains("ampwalk check"), "{err}");
    }
}

#[test]
fn without_anything_to_open_the_ways_to_begin_are_offered() {
    let ran = run(&[]);
    assert_eq!((ran.status, ran.err.as_str()), (Some(0), ""), "{ran:?}");
    for way in ["ampwalk demo", "ampwalk new", "ampwalk FILE"] {
        assert!(ran.out.contains(way), "{way}: {}", ran.out);
    }
}

#[test]
fn the_library_is_told_for_people_and_for_programs() {
    for (table, id) in
        [("heads", "led-300"), ("outlets", "au-15"), ("regions", "jp"), ("rules", "rcd-may-trip")]
    {
        let people = run(&["library", table]);
        assert_eq!((people.status, people.err.as_str()), (Some(0), ""), "{people:?}");
        assert!(people.out.contains(id), "{table}: {}", people.out);
        assert!(people.out.lines().all(|line| line.width() <= 80), "{table}: {}", people.out);
        let programs = run(&["library", table, "--json"]).json();
        assert_eq!(programs["ampwalk"], 1);
        let source = programs[table][id].get("source").or(programs[table][id].get("sources"));
        assert!(source.is_some(), "{table}: {}", programs[table][id]);
    }
}

#[test]
fn a_reader_that_goes_away_is_no_panic() {
    let home = folder();
    let plan = example("office-night");
    let mut child = program(home.path())
        .args(["check", argument(&plan), "--json"])
        .stdin(Stdio::null())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    drop(child.stdout.take());
    let mut err = String::new();
    child.stderr.take().unwrap().read_to_string(&mut err).unwrap();
    let status = child.wait().unwrap();
    assert_eq!((status.code(), err.as_str()), (Some(1), ""));
}

#[test]
fn help_and_version_go_to_standard_output() {
    for (argument, words) in
        [("--help", "certifies nothing"), ("--version", "ampwalk 0."), ("help", "library")]
    {
        let ran = run(&[argument]);
        assert_eq!((ran.status, ran.err.as_str()), (Some(0), ""), "{ran:?}");
        assert!(ran.out.contains(words), "{ran:?}");
    }
}
