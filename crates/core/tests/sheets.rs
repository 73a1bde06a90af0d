//! Sheets from spreadsheets, by hand: what is taken, and what is refused where.
#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

#[path = "random/plan.rs"]
mod plan;

use std::fmt::Write as _;

use ampwalk_core::file::parse;
use ampwalk_core::import::{Cell, Import, Refused, Role, Sheet, filled, import};
use ampwalk_core::plan::{Plan, TestOutcome};
use proptest::prelude::*;

const HOUSE: &str = "ampwalk = 1\n[location]\nregion = \"us\"\n[supply.house]\nkind = \"mains\"\n\
    [rcd.RA]\n[circuit.P1]\nsupply = \"house\"\nrcd = \"RA\"\n\
    base = [{ name = \"fridge\", amps = 1 }]\n[floor.g]\nlevel = 0\n[room.hall]\nfloor = \"g\"\nname = \"Long hall\"\n\
    [socket.S1] # by the door\nroom = \"hall\"\nways = 2\n[head.A]\nwatts = 500 # plate\n";

fn taken(csv: &str) -> (Import, Plan) {
    let done = import(HOUSE, csv, None).unwrap();
    let after = parse(&done.change.apply(HOUSE)).plan;
    (done, after)
}

fn refused(csv: &str) -> Vec<Refused> {
    import(HOUSE, csv, None).unwrap_err()
}

#[test]
fn semicolons_decimal_commas_feet_and_other_words_are_understood() {
    let (done, plan) = taken(
        "Y (ft);x (ft);Test;LOCATION NOTE;Power-point id;room;Loop (ohm);ramp\r\n\
         10;20;no earth;by door;S1;LONG HALL;0,35;15/20 off fridge >RA\r\n\r\n3 m;0;hot and ground swapped?;;S2;hall;;\r\n"
            .replace("hot and ground swapped?", "reversed")
            .as_str(),
    );
    let one = &plan.sockets["S1"];
    // By hand: 20 ft = 6.096 m, 10 ft = 3.048 m.
    let at = one.at.unwrap();
    assert!((at.x.0 - 6.096).abs() < 1e-9 && (at.y.0 - 3.048).abs() < 1e-9, "{at:?}");
    assert_eq!(one.test, Some(TestOutcome::NoEarth));
    assert_eq!(one.loop_impedance.unwrap().0.to_string(), "0.35");
    assert_eq!((one.ramps[0].held.0, one.ramps[0].tripped.unwrap().0), (15.0, 20.0));
    assert_eq!(one.ramps[0].off.len(), 1);
    assert_eq!(plan.sockets["S2"].at.unwrap().y.0.to_string(), "3");
    assert_eq!(done.added, ["S2"]);
    assert_eq!(done.aside.len(), 1);
    assert!(done.change.apply(HOUSE).contains("[socket.S1] # by the door"));
}

#[test]
fn heads_are_told_from_sockets_by_their_headings() {
    let (done, plan) = taken("A\tleak mA\thead\tkW (ignored)\n4,2\t3-5\tB\t\n\t2 mA\tA\t\n");
    assert_eq!(done.sheet, Sheet::Heads);
    assert_eq!(plan.heads["B"].amps.unwrap().0.to_string(), "4.2");
    assert_eq!(plan.heads["B"].leak.unwrap().high.0.to_string(), "5");
    assert_eq!(plan.heads["A"].watts.unwrap().0.to_string(), "500");
}

#[test]
fn each_refusal_has_its_place_and_what_to_do() {
    for (csv, line, column, word) in [
        ("id,room,ways\nS2,hal,1\n", 2, 2, "hal"),
        ("id,room,circuit\n\n\nS2,hall,P9\n", 4, 3, "P9"),
        ("id,room,ways\nS2,hall,many\n", 2, 3, "many"),
        ("id,room,ways\nS2,hall,1e999\n", 2, 3, "1e999"),
        ("id,room,x m,ways\nS2,hall,1,\n", 2, 3, "y is missing"),
        ("id,room,ways\nS2,,1\n", 2, 1, "room"),
        ("id,room,ways\nS 2,hall,1\n", 2, 1, "no id"),
        ("id,room,ways\nS2,hall,1\nS2,hall,1\n", 3, 1, "line 2"),
        ("id,room,loop (kg)\nS2,hall,1\n", 1, 3, "kg"),
        ("id,room,test\nS2,hall,fine weather\n", 2, 3, "fine"),
        ("id,room,ramp\nS2,hall,20/15\n", 2, 3, "cannot hold"),
        ("id,room,room,ways\nS2,hall,hall,1\n", 1, 3, "both mean"),
        ("id,room,label\nS2,hall,\"a\u{7}b\"\n", 2, 3, ""),
        ("room,ways,test\nhall,1,ok\n", 1, 1, "ids"),
        ("head,W\nB,\"1,200\"\n", 2, 2, "thousands"),
        ("head,pf\nB,1\n", 2, 1, "class"),
        ("id,x,y\nS2,1,1\n", 1, 1, "--what"),
        ("", 1, 1, "empty"),
    ] {
        let told = refused(csv);
        assert_eq!((told[0].line, told[0].column), (line, column), "{csv}: {told:?}");
        assert!(told[0].message.contains(word) || told[0].remedy.contains(word), "{csv}: {told:?}");
        assert!(!told[0].remedy.is_empty(), "{csv}: {told:?}");
    }
    assert!(refused("id,room,ways\nS2,hal,1\n")[0].remedy.contains("hall"));
}

#[test]
fn too_much_is_refused_at_once() {
    let rows = "S2,hall,1\n".repeat(100_000);
    assert_eq!(refused(&format!("id,room,ways\n{rows}"))[0].line, 10_002);
    assert!(refused(&" ".repeat(9 << 20))[0].message.contains("bytes"));
    let told = &refused(&format!("id,room{}\n", ",a".repeat(1_000_000)))[0];
    assert_eq!((told.line, told.column), (1, 501));
}

/// A sheet as any program may write it.
fn csv(plan: &str, sheet: Sheet) -> String {
    let quoted = |text: &str| format!("\"{}\"", text.replace('"', "\"\""));
    let columns = sheet.columns();
    let is_read = |at: &usize| columns[*at].role != Role::Elsewhere;
    let mut text = String::new();
    for at in (0..columns.len()).filter(is_read) {
        let _ = write!(text, "{},", quoted(&format!("{} {}", columns[at].heading, columns[at].unit)));
    }
    for row in filled(&parse(plan).plan, plan, sheet) {
        text.push('\n');
        for at in (0..columns.len()).filter(is_read) {
            let cell: &Cell = &row.cells[at];
            let _ = write!(text, "{},", quoted(&cell.written()));
        }
    }
    text
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// Printed and taken in: nothing. Taken into the plan without its rows: the same again.
    #[test]
    fn what_is_printed_is_taken_back_as_what_it_was(seed in prop::collection::vec(any::<u16>(), 40..80)) {
        let text = plan::plan_text(&seed);
        let _ = plan::network(&text);
        for sheet in Sheet::ALL {
            let printed = csv(&text, sheet);
            let done = import(&text, &printed, Some(sheet)).map_err(|why| TestCaseError::fail(format!("{why:?}")))?;
            prop_assert!(done.change.is_empty() && done.changed.is_empty() && done.added.is_empty());
        }
        // Every head anew, into the plan that has none.
        let from = text.find("[head.").unwrap_or(text.len());
        let until = text.find("[cable.c]").unwrap_or(text.len());
        let setups = text.find("[setup.").unwrap_or(text.len());
        let without = format!("{}{}", &text[..from], &text[until..setups]);
        let done = import(&without, &csv(&text, Sheet::Heads), None).map_err(|why| TestCaseError::fail(format!("{why:?}")))?;
        prop_assert_eq!(parse(&done.change.apply(&without)).plan.heads, parse(&text).plan.heads);
    }

    #[test]
    fn no_bytes_make_it_panic(csv in "(id|room|x ft|ramp|[,;\t\n\"'=]|r15/20|\\PC|[\u{0}-\u{7f}]){0,60}") {
        let _ = import(HOUSE, &csv, Some(Sheet::Sockets));
        let _ = import(HOUSE, &csv, None);
    }
}
