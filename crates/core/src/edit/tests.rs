//! Edits on plans written in every way that the format allows.

use super::*;
use crate::file::parse;
use crate::plan::Plan;

mod every_key;

const PLAN: &str = r#"# The house on the hill, invented.
ampwalk = 1

[location]
region = "au" # down under

[supply.house]
kind = "mains"

[circuit.P1]
supply = "house"
base = [{ name = "fridge", amps = 0.65 }] # hums

[circuit.P2]
supply = "house"

[floor.ground]
level = 0

[room.hall]
floor = "ground"

[socket.G1]
room = "hall"
circuit = "P1" # traced on the recce
ramp = { held_ma = 10, off = ["P1.fridge"] }

[socket.G2]
room = "hall"

# the key light
[head.A]
class = "led-300"
socket = "G1" # near the door
leads = ["b20"]
pinned = true

[head.B]
watts = 650

# for later
[head.C]
watts = 650

[cable.b20]
length_m = 20
mm2 = 2.5

[setup.day]
minutes = 60
on = [
    "A", # key
    "B",
    "C", # fill
]
strike = ["B", "A"]
sockets = { C = { socket = "G2" } }
base_off = ["P1.fridge"]

[[trace]]
off = "P1"
dead = ["G1"]

[[trip]]
device = "P1"
last_struck = "B"
"#;

fn plan_of(text: &str) -> Plan {
    let parsed = parse(text);
    assert!(parsed.problems.is_empty(), "{:#?}\n{text}", parsed.problems);
    parsed.plan
}

/// Applies an edit; checks that its inverse gives the same bytes back and that all comments stay.
fn edited(text: &str, edit: &Edit) -> String {
    let change = apply(text, edit).unwrap_or_else(|refusal| panic!("{edit:?}: {refusal:?}"));
    let after = change.apply(text);
    assert_eq!(change.inverse().apply(&after), text, "{edit:?}");
    assert_eq!(change.inverse().inverse(), change);
    // An entry that is removed takes along what is written in it.
    if !matches!(edit, Edit::RemoveEntry { .. }) {
        for comment in text.lines().filter_map(|line| line.split_once('#')) {
            assert!(after.contains(comment.1), "{edit:?} loses #{}\n{after}", comment.1);
        }
    }
    after
}

fn refused(text: &str, edit: &Edit) -> Refusal {
    apply(text, edit).expect_err("the edit should be refused")
}

fn plug(head: &str, socket: &str, leads: &[&str]) -> Edit {
    let leads = leads.iter().map(|lead| (*lead).into()).collect();
    Edit::Plug { head: head.into(), placement: Some(Placement { socket: socket.into(), leads }) }
}

fn unplug(head: &str) -> Edit {
    Edit::Plug { head: head.into(), placement: None }
}

fn for_setup(head: &str, placement: Override) -> Edit {
    Edit::PlugForSetup { setup: "day".into(), head: head.into(), placement }
}

fn plugged(socket: &str) -> Override {
    Override::Plugged(Placement { socket: socket.into(), leads: Vec::new() })
}

fn set(of: &Address, key: &str, value: Option<Value>) -> Edit {
    Edit::SetKey { of: of.clone(), key: key.to_owned(), value }
}

fn head(id: &str) -> Address {
    Address::of(Table::Head, id)
}

fn day() -> Address {
    Address::of(Table::Setup, "day")
}

/// The lines of `after` that are not in `before`, and the other way round.
fn difference<'t>(before: &'t str, after: &'t str) -> (Vec<&'t str>, Vec<&'t str>) {
    let only = |some: &'t str, other: &'t str| {
        some.lines().filter(|line| !other.lines().any(|known| known == *line)).collect()
    };
    (only(before, after), only(after, before))
}

#[test]
fn moving_a_head_changes_the_socket_and_nothing_else() {
    let after = edited(PLAN, &plug("A", "G2", &["b20"]));
    assert_eq!(
        difference(PLAN, &after),
        (vec!["socket = \"G1\" # near the door"], vec!["socket = \"G2\" # near the door"])
    );
}

#[test]
fn a_new_placement_stands_where_a_reader_expects_it() {
    let after = edited(PLAN, &plug("B", "G2", &["b20", "b20"]));
    let block = "[head.B]\nwatts = 650\nsocket = \"G2\"\nleads = [\"b20\", \"b20\"]\n\n# for later\n[head.C]";
    assert!(after.contains(block), "{after}");
    assert_eq!(plan_of(&after).heads["B"].placement.as_ref().unwrap().leads.len(), 2);
}

#[test]
fn unplugging_keeps_the_comment_that_stood_behind_the_socket() {
    let after = edited(PLAN, &unplug("A"));
    assert!(after.contains("class = \"led-300\"\n# near the door\npinned = true\n"), "{after}");
    assert_eq!(plan_of(&after).heads["A"].placement, None);
    assert!(apply(&after, &unplug("A")).unwrap().is_empty());
}

#[test]
fn plugging_in_where_it_is_already_changes_nothing() {
    let change = apply(PLAN, &plug("A", "G1", &["b20"])).unwrap();
    assert!(change.is_empty());
    assert_eq!(change.label, "Plug A into G1 by b20");
}

#[test]
fn a_setup_gets_and_loses_its_own_placements() {
    let after = edited(PLAN, &for_setup("A", plugged("G2")));
    assert!(after.contains("sockets = { C = { socket = \"G2\" }, A = { socket = \"G2\" } }"), "{after}");
    let after = edited(&after, &for_setup("C", Override::Unplugged));
    assert!(plan_of(&after).setups["day"].sockets["C"].is_none(), "{after}");
    let after = edited(&after, &for_setup("C", Override::AsTheHeadSays));
    assert!(after.contains("sockets = { A = { socket = \"G2\" } }"), "{after}");
    let after = edited(&after, &for_setup("A", Override::AsTheHeadSays));
    assert!(!after.contains("sockets ="), "{after}");
    let after = edited(&after, &for_setup("B", Override::Unplugged));
    assert!(after.contains("strike = [\"B\", \"A\"]\nsockets = { B = {} }\nbase_off"), "{after}");
}

#[test]
fn placements_of_a_setup_under_headers_and_with_dots_are_changed_as_well() {
    let under_headers = PLAN
        .replace("sockets = { C = { socket = \"G2\" } }\n", "")
        .replace("[[trace]]", "[setup.day.sockets.C]\nsocket = \"G2\" # spare\n\n[[trace]]");
    let after = edited(&under_headers, &for_setup("A", plugged("G2")));
    assert_eq!(plan_of(&after).setups["day"].sockets.len(), 2, "{after}");
    let after = edited(&after, &for_setup("C", plugged("G1")));
    assert!(after.contains("[setup.day.sockets.C]\nsocket = \"G1\" # spare\n"), "{after}");
    let after = edited(&after, &for_setup("C", Override::Unplugged));
    assert_eq!(plan_of(&after).setups["day"].sockets["C"], None, "{after}");
    let after = edited(&after, &for_setup("C", Override::AsTheHeadSays));
    assert_eq!(plan_of(&after).setups["day"].sockets.len(), 1, "{after}");

    let dotted = PLAN.replace("sockets = { C = { socket = \"G2\" } }", "sockets.C.socket = \"G2\" # spare");
    let after = edited(&dotted, &for_setup("A", plugged("G2")));
    assert_eq!(plan_of(&after).setups["day"].sockets.len(), 2, "{after}");
    let after = edited(&after, &for_setup("C", Override::Unplugged));
    assert_eq!(plan_of(&after).setups["day"].sockets["C"], None, "{after}");
    assert!(after.contains("# spare"), "{after}");
    let after = edited(&after, &for_setup("C", Override::AsTheHeadSays));
    assert_eq!(plan_of(&after).setups["day"].sockets.len(), 1, "{after}");
}

#[test]
fn heads_that_are_inline_or_dotted_are_changed_in_their_own_way() {
    let inline = PLAN
        .replace("[head.B]\nwatts = 650\n", "")
        .replace("# the key light", "[head]\nB = { watts = 650 } # handy\n\n# the key light");
    let after = edited(&inline, &plug("B", "G2", &[]));
    assert!(after.contains("B = { watts = 650, socket = \"G2\" } # handy"), "{after}");
    assert_eq!(edited(&after, &unplug("B")), inline);

    let dotted = PLAN
        .replace("[head.B]\nwatts = 650\n", "")
        .replace("ampwalk = 1\n", "ampwalk = 1\nhead.B.watts = 650 # handy\n");
    let after = edited(&dotted, &plug("B", "G2", &["b20"]));
    assert!(
        after.contains("head.B.watts = 650 # handy\nhead.B.socket = \"G2\"\nhead.B.leads = [\"b20\"]\n"),
        "{after}"
    );
    assert_eq!(edited(&after, &unplug("B")), dotted);
}

#[test]
fn pinning_and_unpinning() {
    let after = edited(PLAN, &Edit::Pin { head: "B".into() });
    assert!(plan_of(&after).heads["B"].pinned);
    let after = edited(&after, &Edit::Unpin { head: "B".into() });
    assert_eq!(after, PLAN);
}

#[test]
fn a_key_takes_its_place_in_the_order_of_the_format() {
    let after = edited(PLAN, &set(&head("A"), "watts", Some(Value::Number(330.0))));
    assert!(after.contains("class = \"led-300\"\nwatts = 330\nsocket"), "{after}");
    let after = edited(PLAN, &set(&head("B"), "name", Some(Value::text("Kick \"K\""))));
    assert!(after.contains("[head.B]\nname = \"Kick \\\"K\\\"\"\nwatts = 650\n"), "{after}");
    let after = edited(PLAN, &set(&Address::Location, "weather", Some(Value::text("rain"))));
    assert!(after.contains("region = \"au\" # down under\nweather = \"rain\"\n"), "{after}");
}

#[test]
fn lists_keep_the_comments_between_their_items() {
    let on = |heads: &[&str]| set(&day(), "on", Some(Value::texts(heads.iter().copied())));
    let after = edited(PLAN, &on(&["A", "C"]));
    assert!(after.contains("\"A\", # key\n") && after.contains("\"C\", # fill\n"), "{after}");
    assert_eq!(plan_of(&after).setups["day"].on, vec!["A".into(), "C".into()]);
    let after = edited(&after, &on(&["A", "C", "B"]));
    assert!(after.contains("\"C\", \"B\", # fill\n"), "{after}");
    let after = edited(&after, &on(&[]));
    assert!(after.contains("# key") && after.contains("# fill"), "{after}");
    let after = edited(&after, &on(&["B", "A"]));
    assert_eq!(plan_of(&after).setups["day"].on, vec!["B".into(), "A".into()]);
    let after = edited(PLAN, &set(&day(), "strike", Some(Value::texts(["A"]))));
    assert!(after.contains("strike = [\"A\"]\n"), "{after}");
}

#[test]
fn a_new_entry_stands_after_the_last_of_its_kind() {
    let add = |of: Address, keys: &[(&str, Value)]| Edit::AddEntry {
        of,
        keys: keys.iter().map(|(key, value)| ((*key).to_owned(), value.clone())).collect(),
    };
    let after = edited(PLAN, &add(head("D"), &[("watts", Value::Whole(1000))]));
    assert!(after.contains("[head.C]\nwatts = 650\n\n[head.D]\nwatts = 1000\n\n[cable.b20]"), "{after}");
    let after = edited(PLAN, &add(Address::of(Table::Rcd, "RA"), &[]));
    assert!(after.contains("kind = \"mains\"\n\n[rcd.RA]\n\n[circuit.P1]"), "{after}");
    let trip = [("device", Value::text("P2")), ("reset", Value::text("held"))];
    let after = edited(PLAN, &add(Address::Nth(Log::Trip, 0), &trip));
    assert!(
        after.ends_with("last_struck = \"B\"\n\n[[trip]]\ndevice = \"P2\"\nreset = \"held\"\n"),
        "{after}"
    );
    assert_eq!(plan_of(&after).trips.len(), 2);
    let empty = "";
    assert_eq!(
        edited(empty, &add(Address::Location, &[("region", Value::text("uk"))])),
        "[location]\nregion = \"uk\"\n"
    );
}

#[test]
fn a_new_entry_never_parts_dotted_keys_from_their_table() {
    let dotted = "ampwalk = 1\nhead.A.watts = 650\nlocation.region = \"au\"\n";
    let add = Edit::AddEntry { of: head("B"), keys: vec![("watts".to_owned(), Value::Whole(300))] };
    let after = edited(dotted, &add);
    assert_eq!(after, format!("{dotted}\n[head.B]\nwatts = 300\n"));
    assert_eq!(plan_of(&after).heads.len(), 2);
}

#[test]
fn removing_a_head_takes_its_mentions_along() {
    let after = edited(PLAN, &Edit::RemoveEntry { of: head("B") });
    let plan = plan_of(&after);
    assert!(!plan.heads.contains_key("B"));
    assert_eq!(plan.setups["day"].strike, vec!["A".into()]);
    assert_eq!(plan.trips[0].last_struck, None);
    assert!(after.contains("# for later\n[head.C]") && after.contains("\"A\", # key"), "{after}");
    let after = edited(PLAN, &Edit::RemoveEntry { of: head("C") });
    assert!(plan_of(&after).setups["day"].sockets.is_empty());
    assert!(!after.contains("sockets ="), "{after}");
}

#[test]
fn removing_a_socket_unplugs_what_was_in_it() {
    let remove = |id: &str| Edit::RemoveEntry { of: Address::of(Table::Socket, id) };
    let after = edited(PLAN, &remove("G1"));
    let plan = plan_of(&after);
    assert_eq!(plan.heads["A"].placement, None);
    assert_eq!(plan.traces[0].dead, vec![]);
    // Unplugged for this setup: not back to where the head is anyway.
    let after = edited(PLAN, &remove("G2"));
    assert_eq!(plan_of(&after).setups["day"].sockets["C"], None);
    assert!(plan_of(&after).setups["day"].sockets.contains_key("C"), "{after}");
}

#[test]
fn what_something_needs_is_not_removed() {
    let remove = |table: Table, id: &str| Edit::RemoveEntry { of: Address::of(table, id) };
    let refusal = refused(PLAN, &remove(Table::Room, "hall"));
    assert_eq!(refusal.message, "room hall is in use by socket G1, socket G2");
    assert_eq!(refused(PLAN, &remove(Table::Cable, "b20")).message, "cable b20 is in use by head A");
    assert!(refused(PLAN, &remove(Table::Supply, "house")).message.contains("circuit P1, circuit P2"));
    assert!(refused(PLAN, &remove(Table::Circuit, "P1")).message.contains("trace 1"));
    assert!(refused(PLAN, &remove(Table::Head, "Z")).message.contains("no head Z"));
    let after = edited(PLAN, &Edit::RemoveEntry { of: Address::Nth(Log::Trace, 0) });
    let plan = plan_of(&edited(&after, &remove(Table::Circuit, "P1")));
    assert_eq!(plan.sockets["G1"].circuit, None);
    assert!(plan.setups["day"].base_off.is_empty() && plan.sockets["G1"].ramps[0].off.is_empty());
}

#[test]
fn a_base_load_that_is_named_elsewhere_stays() {
    let set_base = |base| set(&Address::of(Table::Circuit, "P1"), "base", base);
    let refusal = refused(PLAN, &set_base(None));
    assert_eq!(refusal.message, "base load `P1.fridge` is in use by setup day, socket G1");
    assert_eq!(refused(PLAN, &set_base(Some(Value::List(Vec::new())))), refusal);
    let load = |name: &str| {
        Value::Table(vec![("name".to_owned(), Value::text(name)), ("amps".to_owned(), Value::Number(0.5))])
    };
    assert_eq!(refused(PLAN, &set_base(Some(Value::List(vec![load("freezer")])))), refusal);
    let after = edited(PLAN, &set_base(Some(Value::List(vec![load("freezer"), load("fridge")]))));
    assert_eq!(plan_of(&after).circuits["P1"].base.len(), 2);
}

#[test]
fn renaming_follows_every_mention() {
    let rename = |table, from: &str, to: &str| Edit::Rename { table, from: from.into(), to: to.into() };
    let after = edited(PLAN, &rename(Table::Circuit, "P1", "C1"));
    assert_eq!(after.matches("P1").count(), 0, "{after}");
    assert_eq!(after.replace("C1", "P1"), PLAN);
    let after = edited(PLAN, &rename(Table::Head, "C", "Fill"));
    assert!(after.contains("sockets = { Fill = {") && after.contains("\"Fill\", # fill"), "{after}");
    plan_of(&after);
    let after = edited(PLAN, &rename(Table::Setup, "day", "Tag-1"));
    assert!(after.contains("[setup.Tag-1]"), "{after}");
    let after = edited(PLAN, &rename(Table::Room, "hall", "Küche"));
    assert!(after.contains("[room.\"Küche\"]") && after.contains("room = \"Küche\""), "{after}");
    assert_eq!(plan_of(&after).rooms.len(), 1);
    assert!(refused(PLAN, &rename(Table::Head, "A", "B")).message.contains("already"));
    assert!(refused(PLAN, &rename(Table::Head, "A", "a head")).message.contains("no id"));
    assert!(apply(PLAN, &rename(Table::Head, "A", "A")).unwrap().is_empty());
}

#[test]
fn renaming_follows_headers_below_and_dotted_paths() {
    let text = "ampwalk = 1\nsetup.day.on = [\"A\"]\nsetup.day.minutes = 5\n\n[location]\nregion = \"au\"\n\n\
                [head.A]\nwatts = 1\n\n[setup.day.sockets.A]\n\n[setup.day.sockets]\n";
    plan_of(text);
    let rename = |table, from: &str, to: &str| Edit::Rename { table, from: from.into(), to: to.into() };
    let after = edited(text, &rename(Table::Setup, "day", "night"));
    assert_eq!(after.replace("night", "day"), text);
    let after = edited(&after, &rename(Table::Head, "A", "B"));
    assert!(after.contains("[setup.night.sockets.B]"), "{after}");
    plan_of(&after);
}

#[test]
fn renaming_a_base_load_follows_its_mentions() {
    let rename = |from: &str, to: &str| Edit::RenameBaseLoad {
        circuit: "P1".into(),
        from: from.into(),
        to: to.into(),
    };
    let after = edited(PLAN, &rename("fridge", "cold room"));
    assert_eq!(after.matches("P1.cold room").count(), 2, "{after}");
    plan_of(&after);
    assert!(refused(PLAN, &rename("freezer", "x")).message.contains("no base load"));
    assert!(!refused(PLAN, &rename("fridge", "a\nb")).remedy.is_empty());
}

#[test]
fn several_edits_are_one_change() {
    let many = Edit::Many {
        edits: vec![
            plug("A", "G2", &[]),
            plug("B", "G1", &["b20"]),
            for_setup("C", Override::Unplugged),
            Edit::Rename { table: Table::Head, from: "A".into(), to: "Key".into() },
            Edit::Pin { head: "Key".into() },
        ],
        label: "Assign".into(),
    };
    let change = apply(PLAN, &many).unwrap();
    assert_eq!(change.label, "Assign");
    let plan = plan_of(&edited(PLAN, &many));
    assert_eq!(plan.heads["Key"].placement.as_ref().unwrap().socket, "G2".into());
    assert!(plan.heads["Key"].pinned);
    assert_eq!(plan.setups["day"].sockets["C"], None);
}

#[test]
fn byte_order_mark_and_line_endings_stay() {
    let text = format!("\u{feff}{}", PLAN.replace('\n', "\r\n"));
    let edits = [plug("B", "G2", &["b20"]), unplug("A"), for_setup("A", plugged("G2"))];
    for edit in edits.iter().chain(&[Edit::RemoveEntry { of: head("C") }]) {
        let after = edited(&text, edit);
        assert!(after.starts_with('\u{feff}'));
        assert_eq!(after.matches('\n').count(), after.matches("\r\n").count(), "{after:?}");
        assert_eq!(plan_of(&after), plan_of(&edited(PLAN, edit)));
    }
    assert_eq!(plan_of(&text), plan_of(PLAN));
}

#[test]
fn a_text_without_a_last_line_end_gets_its_new_lines_apart() {
    let text = "ampwalk = 1\n[location]\nregion = \"au\"\n[head.A]\nwatts = 650";
    let after = edited(text, &set(&head("A"), "pf", Some(Value::Number(0.95))));
    assert_eq!(after, format!("{text}\npf = 0.95"));
    let add = Edit::AddEntry { of: head("B"), keys: vec![("watts".to_owned(), Value::Whole(300))] };
    assert_eq!(edited(text, &add), format!("{text}\n\n[head.B]\nwatts = 300\n"));
}

#[test]
fn a_value_that_its_key_does_not_take_is_refused_with_a_remedy() {
    for (key, value) in [
        ("amps", Value::Number(1200.0)),
        ("amps", Value::Number(f64::NAN)),
        ("watts", Value::text("650")),
        ("name", Value::text("bell\u{7}")),
        ("socket", Value::text("G9")),
        ("leads", Value::texts(["b21"])),
        ("class", Value::text("led-301")),
        ("colour", Value::text("red")),
    ] {
        let refusal = refused(PLAN, &set(&head("B"), key, Some(value)));
        assert!(!refusal.message.is_empty() && !refusal.remedy.is_empty(), "{refusal:?}");
    }
    assert!(refused(PLAN, &plug("A", "G9", &[])).message.contains("G9"));
    assert!(refused(PLAN, &plug("Z", "G1", &[])).message.contains("no head Z"));
    let refusal = refused(PLAN, &set(&Address::of(Table::Socket, "G1"), "ramp", Some(Value::Table(vec![]))));
    assert!(refusal.message.contains("held_ma"), "{refusal:?}");
}

#[test]
fn a_text_that_is_no_toml_is_not_changed() {
    let refusal = refused("ampwalk = 1\n[head.A\nwatts = 5\n", &unplug("A"));
    assert!(refusal.message.starts_with("line 2, column"), "{refusal:?}");
    assert!(refusal.span.is_some() && !refusal.remedy.is_empty());
}

#[test]
fn a_list_under_headers_of_its_own_is_changed_there() {
    let text = PLAN.replace(
        "base = [{ name = \"fridge\", amps = 0.65 }] # hums\n",
        "\n[[circuit.P1.base]]\nname = \"fridge\" # hums\namps = 0.65\n",
    );
    plan_of(&text);
    let rename = Edit::RenameBaseLoad { circuit: "P1".into(), from: "fridge".into(), to: "urn".into() };
    assert!(edited(&text, &rename).contains("name = \"urn\" # hums"));
    let load = Value::Table(vec![
        ("name".to_owned(), Value::text("fridge")),
        ("amps".to_owned(), Value::Number(0.8)),
    ]);
    let urn =
        Value::Table(vec![("name".to_owned(), Value::text("urn")), ("amps".to_owned(), Value::Whole(9))]);
    let set_base = |base| set(&Address::of(Table::Circuit, "P1"), "base", Some(Value::List(base)));
    let after = edited(&text, &set_base(vec![load.clone(), urn]));
    assert!(after.contains("amps = 0.8\n\n[[circuit.P1.base]]\nname = \"urn\"\namps = 9\n"), "{after}");
    assert_eq!(plan_of(&after).circuits["P1"].base.len(), 2);
    let after = edited(&after, &set_base(vec![load]));
    assert_eq!(plan_of(&after).circuits["P1"].base[0].amps, crate::unit::Amps(0.8));
    assert_eq!(plan_of(&after).circuits["P1"].base.len(), 1);
}
