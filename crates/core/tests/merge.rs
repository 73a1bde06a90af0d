//! Two texts that came of one: what each of them changed is in what is made of them, or a clash says so.

use std::collections::BTreeSet;

use ampwalk_core::edit::{Address, Edit, Table, Value, apply};
use ampwalk_core::file::merge::{Side, WHOLE, differences, merge};
use ampwalk_core::file::parse;
use proptest::prelude::*;

#[path = "random/plan.rs"]
#[expect(dead_code, reason = "only the text of its plans is wanted here")]
mod random;

const BEFORE: &str = "\
# the mill, walked with the caretaker
ampwalk = 1

[location]
region = \"au\"

[floor.f]
level = 0
[room.r]
floor = \"f\"

# by the window
[socket.S1]
room = \"r\"

[socket.S2]
room = \"r\"

[head.A]
watts = 300

[[trip]]
at = \"2026-03-02T14:05:00\"
device = \"RA\"
";

fn both(mine: &str, theirs: &str) -> String {
    merge(BEFORE, mine, theirs, &|_| None).unwrap_or_else(|clashes| format!("{clashes:?}"))
}

#[test]
fn what_each_changed_in_another_entry_is_in_it_and_the_rest_stays_byte_by_byte() {
    let mine = BEFORE.replace("watts = 300", "watts = 650 # bulb changed");
    let theirs = BEFORE.replace("[socket.S2]\n", "[socket.S2]\nlabel = \"P2\"\n");
    let expected = mine.replace("[socket.S2]\n", "[socket.S2]\nlabel = \"P2\"\n");
    assert_eq!(both(&mine, &theirs), expected);
    assert_eq!(both(&theirs, &mine), expected);
}

#[test]
fn new_entries_of_both_stand_behind_what_they_stood_behind_with_their_comments() {
    let mine = BEFORE.replace("[head.A]", "# mine\n[socket.S3]\nroom = \"r\"\n\n[head.A]");
    let theirs = BEFORE.replace("[[trip]]", "# theirs\n[head.B]\nwatts = 40\n\n[[trip]]");
    let expected = mine.replace("[[trip]]", "# theirs\n[head.B]\nwatts = 40\n\n[[trip]]");
    assert_eq!(both(&mine, &theirs), expected);
}

#[test]
fn a_comment_goes_with_the_entry_below_it_and_white_space_is_no_change() {
    let mine = BEFORE.replace("# by the window\n", "# by the door\n");
    let theirs = BEFORE.replace("floor = \"f\"\n\n", "floor = \"f\"\nname = \"hall\"\n\n\n");
    let expected = mine.replace("floor = \"f\"\n\n", "floor = \"f\"\nname = \"hall\"\n\n\n");
    assert_eq!(both(&mine, &theirs).replace("\n\n\n", "\n\n"), expected.replace("\n\n\n", "\n\n"));
}

#[test]
fn trips_that_both_logged_are_all_there() {
    let trip = |minute: u32, device: &str| {
        format!("\n[[trip]]\nat = \"2026-03-02T15:{minute:02}:00\"\ndevice = \"{device}\"\n")
    };
    let (mine, theirs) = (format!("{BEFORE}{}", trip(1, "P1")), format!("{BEFORE}{}", trip(2, "P2")));
    let text = both(&mine, &theirs);
    assert_eq!(parse(&text).plan.trips.len(), 3, "{text}");
    // The same one twice is two trips, and one that both have is one.
    let twice = format!("{mine}{}", trip(1, "P1"));
    assert_eq!(parse(&both(&twice, &mine)).plan.trips.len(), 3);
    assert_eq!(parse(&both(&mine, &mine)).plan.trips.len(), 2);
}

#[test]
fn one_entry_that_both_changed_is_a_clash_until_somebody_chooses() {
    let mine = BEFORE.replace("watts = 300", "watts = 650");
    let theirs = BEFORE.replace("watts = 300", "watts = 1200").replace("level = 0", "level = 1");
    let clashes = merge(BEFORE, &mine, &theirs, &|_| None).unwrap_err();
    assert_eq!(clashes.len(), 1);
    assert_eq!(clashes[0].name, "head.A");
    assert_eq!(clashes[0].before.as_deref(), Some("[head.A]\nwatts = 300"));
    assert_eq!(clashes[0].mine.as_deref(), Some("[head.A]\nwatts = 650"));
    assert_eq!(clashes[0].theirs.as_deref(), Some("[head.A]\nwatts = 1200"));
    let chosen = |side| merge(BEFORE, &mine, &theirs, &|_| Some(side)).unwrap();
    assert_eq!(chosen(Side::Theirs), theirs);
    assert_eq!(chosen(Side::Mine), theirs.replace("1200", "650"));
}

#[test]
fn taken_out_here_and_changed_there_is_a_clash_and_taken_out_by_both_is_none() {
    let gone = BEFORE.replace("[head.A]\nwatts = 300\n\n", "");
    let changed = BEFORE.replace("watts = 300", "watts = 650");
    let clashes = merge(BEFORE, &gone, &changed, &|_| None).unwrap_err();
    assert_eq!((clashes[0].mine.as_deref(), clashes[0].theirs.is_some()), (None, true));
    assert_eq!(merge(BEFORE, &gone, &changed, &|_| Some(Side::Mine)).unwrap(), gone);
    assert_eq!(both(&gone, &gone), gone);
    let elsewhere = gone.replace("level = 0", "level = 1");
    assert_eq!(both(&gone, &elsewhere), elsewhere);
}

#[test]
fn a_text_that_cannot_be_taken_apart_clashes_as_a_whole() {
    let mine = BEFORE.replace("level = 0", "level = 1");
    let clashes = merge(BEFORE, &mine, "half [writ", &|_| None).unwrap_err();
    assert_eq!(clashes.iter().map(|clash| clash.name.as_str()).collect::<Vec<_>>(), [WHOLE]);
    assert_eq!(merge(BEFORE, &mine, "half [writ", &|_| Some(Side::Mine)).unwrap(), mine);
}

#[test]
fn what_two_texts_differ_in_is_told_part_by_part() {
    let other = BEFORE.replace("watts = 300", "watts = 650").replace("[socket.S2]\nroom = \"r\"\n\n", "");
    let found = differences(BEFORE, &other);
    let names: Vec<&str> = found.iter().map(|part| part.name.as_str()).collect();
    assert_eq!(names, ["head.A", "socket.S2"]);
    assert_eq!(found[1].other, None);
    assert_eq!(differences(BEFORE, BEFORE), []);
}

/// Entries whose names an edit changes, new heads, and a line that stands before all entries.
fn edits(seed: &[u16], text: &str) -> Vec<(String, Edit)> {
    let plan = parse(text).plan;
    let heads = plan.heads.keys().map(|id| (Table::Head, id.to_string()));
    let sockets = plan.sockets.keys().map(|id| (Table::Socket, id.to_string()));
    let all: Vec<(Table, String)> = heads.chain(sockets).collect();
    let named = seed.iter().map(|at| {
        let (table, id) = &all[usize::from(*at) % all.len()];
        // A loop resistance for sockets: they have no names.
        let (key, value) = match table {
            Table::Head => ("name", Value::text(&format!("name {at}"))),
            _ => ("loop_ohm", Value::Number(f64::from(at % 90) / 100.0 + 0.05)),
        };
        let edit = Edit::SetKey { of: Address::of(*table, id), key: key.to_owned(), value: Some(value) };
        (id.clone(), edit)
    });
    let new = seed.iter().take(2).map(|at| {
        let id = format!("N{at}");
        let keys = vec![("watts".to_owned(), Value::Whole(40))];
        (id.clone(), Edit::AddEntry { of: Address::of(Table::Head, &id), keys })
    });
    named.chain(new).collect()
}

fn edited(text: &str, edits: &[&(String, Edit)]) -> String {
    edits.iter().fold(text.to_owned(), |text, (_, edit)| {
        apply(&text, edit).map_or(text.clone(), |change| change.apply(&text))
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, ..ProptestConfig::default() })]

    #[test]
    fn edits_of_different_entries_come_together_as_if_one_had_made_them(
        plan in proptest::collection::vec(any::<u16>(), 97),
        edits_of in proptest::collection::vec(any::<u16>(), 1..12),
        owners in proptest::collection::vec(any::<bool>(), 32),
    ) {
        let before = random::plan_text(&plan);
        let all = edits(&edits_of, &before);
        // One entry has one owner.
        let ids: BTreeSet<&String> = all.iter().map(|(id, _)| id).collect();
        let is_mine = |id: &String| ids.iter().position(|own| *own == id).is_some_and(|at| owners[at % owners.len()]);
        let (mine, theirs): (Vec<_>, Vec<_>) = all.iter().partition(|(id, _)| is_mine(id));
        let (my_text, their_text) = (edited(&before, &mine), edited(&before, &theirs));
        let one = merge(&before, &my_text, &their_text, &|_| None).unwrap();
        let expected = edited(&my_text, &theirs);
        let (one_plan, expected_plan) = (parse(&one), parse(&expected));
        prop_assert_eq!(one_plan.problems.len(), expected_plan.problems.len(), "{}", one);
        prop_assert_eq!(one_plan.plan, expected_plan.plan, "{}", one);
        // Whose turn it was makes no difference.
        let other = merge(&before, &their_text, &my_text, &|_| None).unwrap();
        prop_assert_eq!(parse(&other).plan, parse(&one).plan);
    }

    #[test]
    fn nothing_that_either_wrote_is_lost_without_a_clash(
        plan in proptest::collection::vec(any::<u16>(), 97),
        my_edits in proptest::collection::vec(any::<u16>(), 1..9),
        their_edits in proptest::collection::vec(any::<u16>(), 1..9),
    ) {
        let before = random::plan_text(&plan);
        let mine = edited(&before, &edits(&my_edits, &before).iter().collect::<Vec<_>>());
        let theirs = edited(&before, &edits(&their_edits, &before).iter().collect::<Vec<_>>());
        let new_lines = |text: &str| -> BTreeSet<String> {
            let old: BTreeSet<&str> = before.lines().collect();
            text.lines().filter(|line| !old.contains(line)).map(str::to_owned).collect()
        };
        let holds = |text: &str, lines: &BTreeSet<String>| lines.iter().all(|line| text.contains(line.as_str()));
        match merge(&before, &mine, &theirs, &|_| None) {
            Ok(one) => {
                prop_assert!(holds(&one, &new_lines(&mine)), "{one}");
                prop_assert!(holds(&one, &new_lines(&theirs)), "{one}");
            }
            Err(clashes) => {
                let told: String = clashes.iter().flat_map(|clash| [&clash.mine, &clash.theirs]).flatten().cloned().collect();
                let one = merge(&before, &mine, &theirs, &|_| Some(Side::Mine)).unwrap();
                prop_assert!(holds(&one, &new_lines(&mine)), "{one}");
                prop_assert!(holds(&(one + &told), &new_lines(&theirs)));
            }
        }
    }
}
