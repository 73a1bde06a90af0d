//! Made-up formats: 2, to which a plan of today is brought, and 0, which this program's reader takes with
//! a step of its own.

use super::super::tree::Entry;
use super::*;
use crate::edit::{Edit, make_by};
use crate::file::{Gravity, Parsed, Sections, parse, parse_by};
use crate::history::History;
use crate::plan::FORMAT_VERSION;

/// The entries of a table of the top.
fn entries<'a, 't>(tree: &'a Tree<'t>, table: &str) -> Vec<&'a Entry<'t>> {
    let Some(Value::Table(index)) = tree.root().entries.get(table).map(|entry| &entry.item.value) else {
        return Vec::new();
    };
    tree.table(*index).entries.values().collect()
}

/// A key of every entry of a table, where it has it.
fn keys<'a, 't>(tree: &'a Tree<'t>, table: &str, key: &str) -> Vec<&'a Entry<'t>> {
    let within = |entry: &&'a Entry<'t>| match entry.item.value {
        Value::Table(index) => tree.table(index).entries.get(key),
        _ => None,
    };
    entries(tree, table).iter().filter_map(within).collect()
}

fn rename(tree: &Tree<'_>, table: &str, from: &str, to: &str, splices: &mut Splices) {
    for key in keys(tree, table, from) {
        splices.replace(key.key.clone(), to);
    }
}

/// Gives a key another name, and its number in another unit.
fn convert(
    text: &str,
    tree: &Tree<'_>,
    (table, from, to): (&str, &str, &str),
    factor: f64,
    splices: &mut Splices,
) {
    rename(tree, table, from, to, splices);
    for key in keys(tree, table, from) {
        let written: f64 = text[key.item.place.clone()].parse().unwrap();
        splices.replace(key.item.place.clone(), (written * factor).to_string());
    }
}

/// Format 2: a room stands on a `storey`, and leads are in centimetres. Format 3: heads are `on_air`.
const TO_3: [Step; 2] = [
    Step {
        from: 1,
        rewrite: |text, tree, splices| {
            rename(tree, "room", "floor", "storey", splices);
            convert(text, tree, ("cable", "length_m", "length_cm"), 100.0, splices);
        },
    },
    Step { from: 2, rewrite: |_, tree, splices| rename(tree, "setup", "on", "on_air", splices) },
];

/// Format 0: a room stands on a `storey`, and breakers are in milliamps.
const FROM_0: [Step; 1] = [Step {
    from: 0,
    rewrite: |text, tree, splices| {
        rename(tree, "room", "storey", "floor", splices);
        convert(text, tree, ("circuit", "breaker_ma", "breaker_a"), 0.001, splices);
    },
}];

const FIRST: &str = "\u{feff}# Kiln Lane\r\nampwalk = 1   # the format\r\n\r\n[location]\r\nregion = \"au\"\r\n\r\n\
    [floor.g]\r\nlevel = 0\r\n[room.hall]   # by the door\r\n  floor = \"g\"   # storey\r\n\r\n\
    # leads\r\n[cable.a10]\r\nlength_m   =   10.5   # in metres\r\nmm2 = 2.5\r\n\
    [cable]\r\nb20 = { length_m = 20, mm2 = 2.5 }   # inline\r\ncable-c.mm2 = 1\r\n[setup.day]\r\non = [ ]\r\nminutes = 5\r\n# end";

fn brought(text: &str, steps: &[Step]) -> Option<Brought> {
    bring(text, &toml_tree(text).unwrap(), steps)
}

#[test]
fn a_plan_of_format_1_is_brought_to_a_made_up_2_with_every_comment_and_undo_gives_the_bytes_back() {
    let brought = brought(FIRST, &TO_3[..1]).unwrap();
    let wanted = FIRST
        .replace("ampwalk = 1 ", "ampwalk = 2 ")
        .replace("  floor = \"g\"", "  storey = \"g\"")
        .replace("length_m   =   10.5", "length_cm   =   1050")
        .replace("length_m = 20", "length_cm = 2000");
    assert_eq!(brought.text, wanted);
    assert_eq!(brought.change.apply(FIRST), wanted);
    let mut text = wanted;
    let mut history = History::of_saved();
    history.record(brought.change);
    history.undo(&mut text).unwrap();
    assert_eq!(text, FIRST);
    history.redo(&mut text).unwrap();
    assert_eq!(text, brought.text);
}

#[test]
fn two_steps_are_one_change() {
    let brought = brought(FIRST, &TO_3).unwrap();
    assert!(
        brought.text.contains("ampwalk = 3 ") && brought.text.contains("on_air = [ ]"),
        "{}",
        brought.text
    );
    assert_eq!(brought.change.steps.len(), 2);
    assert_eq!(brought.change.inverse().apply(&brought.text), FIRST);
}

#[test]
fn a_plan_that_no_step_takes_is_left_alone() {
    for text in [FIRST.replace("ampwalk = 1", "ampwalk = 9"), FIRST.replace("ampwalk = 1", "ampwalk = \"1\"")]
    {
        assert!(brought(&text, &TO_3).is_none(), "{text}");
    }
    assert!(brought("[location]\nregion = \"au\"\n", &TO_3).is_none());
    assert!(brought(FIRST, STEPS).is_none(), "a plan of this program's own format");
}

#[test]
fn there_is_one_step_from_every_version_before_this_one() {
    let from: Vec<u32> = STEPS.iter().map(|step| step.from).collect();
    assert_eq!(from, (1..FORMAT_VERSION).collect::<Vec<_>>());
}

const OLD: &str = "# a made-up older plan\nampwalk = 0 # the format\n[location]\nregion = \"au\"\n[supply.house]\nkind = \"mains\"\n\
    # every breaker\n[circuit.P1]\nsupply = \"house\"\nbreaker_ma = 20000 # in milliamps\n[floor.g]\nlevel = 0\n\
    [room.hall]\nstorey = \"g\" # the floor\n[socket.G1]\nroom = \"hall\"\ncircuit = \"P1\"\n[head.A]\namps = 2 # clamp\nsocket = \"G1\"\n";
const NEW: &str = "# a made-up older plan\nampwalk = 1 # the format\n[location]\nregion = \"au\"\n[supply.house]\nkind = \"mains\"\n\
    # every breaker\n[circuit.P1]\nsupply = \"house\"\nbreaker_a = 20 # in milliamps\n[floor.g]\nlevel = 0\n\
    [room.hall]\nfloor = \"g\" # the floor\n[socket.G1]\nroom = \"hall\"\ncircuit = \"P1\"\n[head.A]\namps = 2 # clamp\nsocket = \"G1\"\n";

fn read(text: &str) -> (Parsed, Sections) {
    parse_by(text, &FROM_0)
}

#[test]
fn an_older_plan_reads_as_the_same_in_this_format() {
    let (parsed, _) = read(OLD);
    assert_eq!(parsed, parse(NEW));
    assert_eq!(parsed.problems, []);
    assert!(parse(OLD).worst() == Some(Gravity::Error), "without the step it is no plan");
}

#[test]
fn what_is_wrong_with_an_older_plan_is_told_where_it_stands_in_its_own_text() {
    let wrong = OLD.replace("20000", "2000000").replace("amps = 2 ", "amps = 2000 ");
    let (parsed, _) = read(&wrong);
    let places: Vec<&str> = parsed.problems.iter().map(|problem| &wrong[problem.span.clone()]).collect();
    assert_eq!(places, ["2000000", "2000"]);
    // Two ends, both behind the places that were changed.
    let twice = format!("{OLD}[head.B]\namps = 1\n[setup.day]\nminutes = 5\non = [\"A\", \"B\", \"A\"]\n");
    let (parsed, _) = read(&twice);
    let problem = &parsed.problems[0];
    let (first, _) = problem.also.as_ref().unwrap();
    assert_eq!((&twice[problem.span.clone()], &twice[first.clone()]), ("\"A\"", "\"A\""));
    assert!(first.end < problem.span.start);
}

#[test]
fn the_first_edit_of_an_older_plan_brings_it_to_this_format_and_undo_gives_the_bytes_back() {
    let pin = Edit::Pin { head: "A".into() };
    let (change, after) = make_by(OLD, &pin, &FROM_0).unwrap();
    let wanted = NEW.replace("socket = \"G1\"\n", "socket = \"G1\"\npinned = true\n");
    assert_eq!(after, wanted);
    assert_eq!(change.label, "Pin A");
    assert_eq!(change.apply(OLD), wanted);
    assert_eq!(change.inverse().apply(&wanted), OLD);
    assert_eq!(parse(&after).problems, []);
}

#[test]
fn an_edit_that_changes_nothing_does_not_bring_an_older_plan_to_this_format() {
    let (change, after) = make_by(OLD, &Edit::Unpin { head: "A".into() }, &FROM_0).unwrap();
    assert!(change.is_empty());
    assert_eq!(after, OLD);
}

#[test]
fn nothing_of_an_older_plan_is_read_again_by_parts_before_it_is_in_this_format() {
    let (_, sections) = read(OLD);
    let pin = Edit::Pin { head: "A".into() };
    assert!(crate::edit::apply_within(OLD, &pin, &sections).is_none());
    let (_, sections) = read(NEW);
    assert!(crate::edit::apply_within(NEW, &pin, &sections).is_some());
}
