//! What tracing tells on the Walk, and the next test entered from there.

use super::*;

/// Six sockets that nobody traced, on any of five circuits, one of which must stay on.
fn untraced() -> String {
    let circuit =
        |id: &str, keys: &str| format!("[circuit.{id}]\nsupply = \"house\"\nbreaker_a = 20\n{keys}\n");
    let socket = |at: usize| format!("[socket.G{at}]\nroom = \"hall\"\ntest = \"ok\"\nlabel = \"P{at}\"\n");
    [
        "ampwalk = 1\n[location]\nregion = \"au\"\nboard = \"found\"\n[supply.house]\nkind = \"mains\"\n"
            .to_owned(),
        circuit("P1", ""),
        circuit("P2", "base = [{ name = \"fridge\", amps = 0.6 }]"),
        circuit("P3", ""),
        circuit("P4", ""),
        circuit("P5", "keep_on = \"the till\""),
        "[floor.g]\nlevel = 0\n[room.hall]\nfloor = \"g\"\n".to_owned(),
        (1..7).map(socket).collect(),
    ]
    .concat()
}

#[test]
fn the_next_test_is_told_with_what_goes_dark_and_entered_by_two_keys_and_a_line() {
    let mut desk = Desk::of(&untraced());
    desk.keys("1");
    desk.shows("but ask first: t says whom");
    desk.keys("t");
    desk.shows("NEXT TEST");
    desk.shows("goes dark: ");
    desk.shows("ask the owner");
    desk.shows("no covers off");
    let screen = desk.screen();
    let said = screen.split("NEXT TEST").nth(1).unwrap().split("NOT CERTAIN").next().unwrap();
    assert!(!said.contains("P5"), "{said}");
    desk.keys("enter");
    desk.shows("off: ");
    // What goes dark stands where the line is typed: all that the test switches off.
    let screen = desk.screen();
    let devices: Vec<&str> = ["P1", "P2", "P3", "P4"].into_iter().filter(|id| said.contains(id)).collect();
    let caution =
        screen.lines().skip_while(|line| !line.contains("Everything behind")).collect::<Vec<_>>().join(" ");
    for device in &devices {
        assert!(caution.contains(device), "{device} is not in {screen}");
    }
    desk.types("G1 G2 dead, G3 G4 G5 G6 live");
    desk.keys("enter");
    assert_eq!(desk.model.document.network().plan.traces.len(), 1);
    let entered = &desk.model.document.network().plan.traces[0];
    assert_eq!(entered.devices().count(), devices.len());
    desk.keys("esc t");
    let report = desk.model.scene().report();
    let network = desk.model.document.network();
    let left = |id: &str| report.sockets[network.socket(id).unwrap()].circuits.len();
    assert_eq!((left("G1"), left("G3")), (devices.len(), 5 - devices.len()));
    desk.keys("esc esc u t");
    assert_eq!(desk.model.scene().report().uncertain().count(), 6);
}

#[test]
fn clashes_stand_on_the_walk_in_words_and_are_told_entry_by_entry() {
    let clash = "[[trace]]\noff = \"P1\"\ndead = [\"G1\"]\n[[trace]]\noff = \"P2\"\ndead = [\"G1\"]\n";
    let mut desk = Desk::of(&(untraced() + clash));
    desk.keys("1");
    desk.shows("1 CLASH in what was tested");
    desk.keys("t");
    desk.shows("CLASHES");
    desk.shows("trace 1 (P1 off): dead");
    desk.shows("trace 2 (P2 off): dead");
}

#[test]
fn while_the_board_is_locked_no_test_is_offered_and_none_can_be_entered() {
    let mut desk = Desk::of(&untraced().replace("\"found\"", "\"locked\""));
    desk.keys("1");
    desk.shows("no test now: t says why");
    desk.keys("t");
    desk.shows("no test while the switchboard is locked");
    let screen = desk.screen();
    assert!(!screen.contains("enter the test") && !screen.contains("switch off"), "{screen}");
    desk.keys("enter");
    desk.says("There is no test to enter");
}

#[test]
fn a_trip_that_heads_do_not_explain_stands_before_the_next_test() {
    let behind = |circuit: &str, rcd: &str| format!("[circuit.{circuit}]\nrcd = \"{rcd}\"\n");
    let plan = untraced()
        .replace("[circuit.P1]\n", &behind("P1", "RA"))
        .replace("[circuit.P2]\n", &behind("P2", "RB"))
        .replace("[socket.G1]\n", "[socket.G1]\ncircuit = \"P1\"\n");
    let more = "[rcd.RA]\nrated_ma = 30\n[rcd.RB]\nrated_ma = 30\n[head.A]\nwatts = 100\nsocket = \"G1\"\n\
                [setup.day]\nminutes = 60\non = [\"A\"]\n\
                [[trip]]\nat = \"2026-03-02T14:05:00\"\ndevice = \"RB\"\nsetup = \"day\"\nlast_struck = \"A\"\n";
    let mut desk = Desk::of(&(plan + more));
    desk.keys("1 t");
    let screen = desk.screen();
    let at = |words: &str| screen.find(words).unwrap_or_else(|| panic!("no {words} in {screen}"));
    assert!(at("DANGER     trip 1: RB dropped as A was struck") < at("NEXT TEST"), "{screen}");
}
