//! The table of examples: line, echo, TOML. Each expected value is what the brief of the line says in
//! the trade's words, worked by hand.

use ampwalk_core::edit::Table;
use ampwalk_core::shorthand::Subject;

use crate::{CIRCUIT, HEAD, HOUSE, SOCKET, entered, errors, line};

const fn of(table: Table) -> Subject {
    Subject::Entry(table)
}

/// Subject, line, echo, and the lines of TOML that it adds.
type Example = (Subject, &'static str, &'static str, &'static str);

const NEW: [Example; 21] = [
    (
        SOCKET,
        "G3 dining 2x10 ok r15/20 p2?",
        "New socket G3: room dining (Dining room), 2 ways of 10 A (au-10), tester: ok, ramp held 15, tripped 20 mA, circuit P2 on the label, not traced.",
        "[socket.G3]\nroom = \"dining\"\noutlet = \"au-10\"\nways = 2\nlabel = \"P2\"\ntest = \"ok\"\nramp = [{ held_ma = 15, tripped_ma = 20 }]\n",
    ),
    (
        SOCKET,
        "G5 living room 15a rev r-/10>RA P1 @2,8 loop 0,6",
        "New socket G5: room living (Living room), outlet of 15 A (au-15), tester: active and neutral swapped, ramp tripped at its first step, 10 mA, RA dropped, circuit P1, position 2, 8 m, loop 0.6 \u{3a9}.",
        "[socket.G5]\nroom = \"living\"\nat = [2, 8]\noutlet = \"au-15\"\ncircuit = \"P1\"\ntest = \"reversed\"\nramp = [{ held_ma = 0, tripped_ma = 10, dropped = \"RA\" }]\nloop_ohm = 0.6\n",
    ),
    (
        SOCKET,
        "r10/15 off P2.fridge r20+ noe dining U1 plate K ban \"not ours\" portable PR1",
        "New socket U1: ramp held 10, tripped 15 mA with P2.fridge off, ramp held 20 mA and did not trip, tester: no earth, room dining (Dining room), plate K, ban \"not ours\", portable rcd PR1.",
        "[socket.U1]\nroom = \"dining\"\nplate = \"K\"\ntest = \"no-earth\"\nramp = [{ held_ma = 10, tripped_ma = 15, off = [\"P2.fridge\"] }, { held_ma = 20 }]\nportable_rcd = \"PR1\"\nban = \"not ours\"\n",
    ),
    (
        HEAD,
        "C led600 650w 3.5mA +10mA living @4,4 G1 b20 pin !7",
        "New head C: class led-600, 650 W, leakage 3.5 mA, striking leakage 10 mA, room living (Living room), position 4, 4 m, socket G1, by b20, pinned, importance 7.",
        "[head.C]\nclass = \"led-600\"\nwatts = 650\nleak_ma = 3.5\nstrike_ma = 10\nroom = \"living\"\nat = [4, 4]\nsocket = \"G1\"\nleads = [\"b20\"]\npinned = true\nimportance = 7\n",
    ),
    (
        HEAD,
        "D 1.35kW pf 0.98 5,9A 240V au-15 \"Key light\"",
        "New head D: 1350 W, power factor 0.98, 5.9 A, 240 V, plug au-15, name \"Key light\".",
        "[head.D]\nname = \"Key light\"\nwatts = 1350\npf = 0.98\namps = 5.9\nvolts = 240\nplug = \"au-15\"\n",
    ),
    (
        CIRCUIT,
        "P5 house C20 RA fridge* 0.65A 8mA keep tills",
        "New circuit P5: supply house, breaker 20 A, curve C, rcd RA, base load fridge, 0.65 A, leaks 8 mA, its owner can switch it off, keep on \"tills\".",
        "[circuit.P5]\nsupply = \"house\"\nbreaker_a = 20\ncurve = \"C\"\nrcd = \"RA\"\nbase = [{ name = \"fridge\", amps = 0.65, leak_ma = 8, owner_can_switch_off = true }]\nkeep_on = \"tills\"\n",
    ),
    (
        CIRCUIT,
        "Y1 yard L1-L2 16 reserve 3A dimmer 600W afci key card 6:00-22:00",
        "New circuit Y1: supply yard, line L1-L2, breaker 16 A, reserve 3 A, dimmer 600 W, afci, held on by key card, live from 06:00 to 22:00.",
        "[circuit.Y1]\nsupply = \"yard\"\nline = \"L1-L2\"\nbreaker_a = 16\nkeep_on = \"\"\n",
    ),
    (
        of(Table::Rcd),
        "RB 30 A behind ra 4p",
        "New RCD RB: rated 30 mA, kind A, behind RA (typed `ra`), 4 poles.",
        "[rcd.RB]\nrated_ma = 30\nkind = \"A\"\nbehind = \"RA\"\npoles = 4\n",
    ),
    (
        of(Table::Supply),
        "genny generator 6.5kVA 5.2kW diesel floating",
        "New supply genny: kind generator, 6.5 kVA, 5.2 kW, fuel diesel, earth floating.",
        "[supply.genny]\nkind = \"generator\"\nkw = 5.2\nkva = 6.5\nearth = \"floating\"\nfuel = \"diesel\"\n",
    ),
    (
        of(Table::Supply),
        "flat mains 3kW 63A one",
        "New supply flat: kind mains, contract 3 kW, limit 63 A, wiring one.",
        "[supply.flat]\nkind = \"mains\"\nwiring = \"one\"\nlimit_a = 63\ncontract_kw = 3\n",
    ),
    (
        of(Table::Floor),
        "upper 1 \"Upper floor\"",
        "New floor upper: level 1, name \"Upper floor\".",
        "[floor.upper]\nlevel = 1\nname = \"Upper floor\"\n",
    ),
    (
        of(Table::Room),
        "bath \"ground floor\" wet 6x9 @0,0 name Bathroom",
        "New room bath: floor ground (Ground floor), wet, 6 x 9 m, its corner at 0, 0 m, name \"Bathroom\".",
        "[room.bath]\nfloor = \"ground\"\nname = \"Bathroom\"\nbox = [0, 0, 6, 9]\nwet = true\n",
    ),
    (
        of(Table::Cable),
        "c10 10m 2,5mm2 15A x4 au-15",
        "New cable c10: length 10 m, size 2.5 mm\u{b2}, rated 15 A, 4 on the truck, plug au-15.",
        "[cable.c10]\nlength_m = 10\nmm2 = 2.5\nplug = \"au-15\"\nrated_a = 15\ncount = 4\n",
    ),
    (
        of(Table::Cable),
        "c50 50 ft #12 reel 5A",
        "New cable c50: length 15.24 m, size 12 AWG, rated on its reel 5 A.",
        "[cable.c50]\nlength_m = 15.24\nawg = 12\nreel_rated_a = 5\n",
    ),
    (
        of(Table::Block),
        "six 6 ways 10A au-10 x2",
        "New block six: 6 ways, rated 10 A, plug au-10, 2 on the truck.",
        "[block.six]\nplug = \"au-10\"\nways = 6\nrated_a = 10\ncount = 2\n",
    ),
    (
        of(Table::Setup),
        "night 21:00 4h A b rain \"Night, garden\"",
        "New setup night: starts 21:00, for 240 min, A on, B on (typed `b`), weather rain, name \"Night, garden\".",
        "[setup.night]\nname = \"Night, garden\"\nstart = \"21:00\"\nminutes = 240\non = [\"A\", \"B\"]\nweather = \"rain\"\n",
    ),
    (
        of(Table::Setup),
        "late 22:00-02:30 all off fridge",
        "New setup late: starts 22:00, 270 min, until 02:30, all 2 heads on, switched off by its owner P2.fridge.",
        "[setup.late]\nstart = \"22:00\"\nminutes = 270\non = [\"A\", \"B\"]\nbase_off = [\"P2.fridge\"]\n",
    ),
    (
        Subject::Trace,
        "P1 off: G1 g4 dead, G4 live",
        "New trace: P1 switched off, G1 dead, g4 dead, G4 live.",
        "[[trace]]\noff = \"P1\"\ndead = [\"G1\", \"g4\"]\nlive = [\"G4\"]\n",
    ),
    (
        Subject::Trace,
        "P1 P2 off: G1 dead, G4 live",
        "New trace: P1 switched off, P2 switched off, G1 dead, G4 live.",
        "[[trace]]\noff = \"P1\"\nalso_off = [\"P2\"]\ndead = [\"G1\"]\nlive = [\"G4\"]\n",
    ),
    (
        Subject::Trace,
        "RA dropped: dead G1 live G4",
        "New trace: RA dropped by a ramp test, G1 dead, G4 live.",
        "[[trace]]\nramp_dropped = \"RA\"\ndead = [\"G1\"]\nlive = [\"G4\"]\n",
    ),
    (
        Subject::Ramp,
        "G4 10 ok 15 ok 20 trip",
        "Ramp test at socket G4: ramp held 15, tripped 20 mA.",
        "ramp = [{ held_ma = 15, tripped_ma = 20 }]\n",
    ),
];

#[test]
fn a_line_says_what_it_understood_and_writes_it() {
    for (subject, text, echo, toml) in NEW {
        let read = line(subject, text);
        assert_eq!(read.echo(), echo, "{text}");
        let after = entered(HOUSE, subject, text);
        assert_eq!(errors(&after), Vec::<String>::new(), "{text}");
        // The circuit with everything is told by its beginning.
        let (toml, _) = toml.split_once("keep_on = \"\"").unwrap_or((toml, ""));
        assert!(after.contains(toml), "{text}:\n{toml}is not in\n{after}");
    }
}

#[test]
fn a_line_about_what_is_there_changes_only_what_it_says() {
    let read = line(SOCKET, "g1 P2 rev");
    assert_eq!(
        read.echo(),
        "Socket G1 (typed `g1`): circuit P2, tester: active and neutral swapped; was circuit P1, test ok."
    );
    let after = entered(HOUSE, SOCKET, "g1 P2 rev");
    assert_eq!(
        after,
        HOUSE.replacen("circuit = \"P1\"\ntest = \"ok\"", "circuit = \"P2\"\ntest = \"reversed\"", 1)
    );
    assert_eq!(
        line(SOCKET, "G1 ok living").echo(),
        "Socket G1: tester: ok, room living (Living room); nothing changes."
    );
}

#[test]
fn a_ramp_line_adds_a_test_and_a_socket_line_says_them_all() {
    let added = entered(HOUSE, Subject::Ramp, "G1 10 ok 15 ok 20 trip off fridge");
    assert!(added.contains("ramp = [{ held_ma = 10, tripped_ma = 15 }, { held_ma = 15, tripped_ma = 20, off = [\"P2.fridge\"] }]"), "{added}");
    let said = entered(HOUSE, SOCKET, "G1 r20+");
    assert!(said.contains("ramp = [{ held_ma = 20 }]"), "{said}");
}

#[test]
fn a_base_load_that_is_there_keeps_what_the_line_does_not_say() {
    let after = entered(HOUSE, CIRCUIT, "P2 fridge* 0.7A oven 3A");
    let base = "base = [{ name = \"fridge\", amps = 0.7, leak_ma = 8, owner_can_switch_off = true }, { name = \"clock and hood\", amps = 1.35 }, { name = \"oven\", amps = 3 }]";
    assert!(after.contains(base), "{after}");
    assert!(
        entered(HOUSE, CIRCUIT, "P2 fridge 0.7A off-able")
            .contains("leak_ma = 8, owner_can_switch_off = true")
    );
}

#[test]
fn heads_join_and_leave_a_setup_by_a_sign() {
    let setup = of(Table::Setup);
    assert!(entered(HOUSE, setup, "day -A").contains("on = [\"B\"]"));
    let both = entered(HOUSE, HEAD, "C led-300");
    assert!(entered(&both, setup, "day +C -B").contains("on = [\"A\", \"C\"]"));
}

#[test]
fn a_key_is_written_by_its_name_and_taken_out_by_nothing_behind_it() {
    let after = entered(HOUSE, HEAD, "A restrike_min=12 leak=3-5mA inrush_ms=0.4");
    assert!(after.contains("leak_ma = [3, 5]\ninrush_ms = 0.4\nrestrike_min = 12\n"), "{after}");
    let out = entered(HOUSE, HEAD, "A socket=");
    assert!(out.contains("[head.A]\nclass = \"discharge-2k5\"\n\n"), "leads go with their socket: {out}");
    let untraced = entered(HOUSE, SOCKET, "G1 circuit= p1?");
    assert!(untraced.contains("room = \"living\"\nlabel = \"P1\"\ntest = \"ok\""), "{untraced}");
}

#[test]
fn what_excludes_each_other_takes_each_others_place() {
    let metric = entered(HOUSE, of(Table::Cable), "b20 12awg");
    assert!(metric.contains("[cable.b20]\nlength_m = 20\nawg = 12\n"), "{metric}");
    let from = entered(HOUSE, CIRCUIT, "P1 from G4");
    assert!(from.contains("[circuit.P1]\nfrom = \"G4\"\nbreaker_a = 20\n"), "{from}");
}

#[test]
fn a_part_of_a_box_keeps_the_other_part() {
    assert!(entered(HOUSE, of(Table::Room), "dining 5x3").contains("box = [7, 5, 5, 3]"));
    assert!(entered(HOUSE, of(Table::Room), "dining @1,2").contains("box = [1, 2, 4, 4]"));
    let new = line(of(Table::Room), "hall ground 5x3");
    assert_eq!(
        new.echo(),
        "New room hall: floor ground (Ground floor), 5 x 3 m; still missing: its corner with the least x and y."
    );
}

#[test]
fn the_words_of_every_region_are_understood() {
    let us = HOUSE.replacen("\"au\"", "\"us\"", 1);
    let plan = ampwalk_core::file::parse(&us).plan;
    let echo = |text: &str| ampwalk_core::shorthand::read(&plan, SOCKET, text).echo();
    assert!(echo("G9 dining no ground").contains("tester: no ground"), "{}", echo("G9 dining no ground"));
    assert!(echo("G9 dining hot-on-ground").contains("tester: hot on ground"));
    assert!(echo("G9 dining open-ground").contains("tester: no ground"));
    assert!(echo("G9 dining no earth").contains("tester: no ground"));
    // The everyday duplex of 20 A takes the everyday plug; locking and pin ones do not.
    assert!(echo("G9 dining 2x20").contains("2 ways of 20 A (us-20)"), "{}", echo("G9 dining 2x20"));
}

#[test]
fn another_wiring_tells_which_circuits_have_to_say_their_line() {
    let read = line(of(Table::Supply), "house star");
    assert_eq!(read.echo(), "Supply house: wiring star (then say the line of P1, P2 as well).");
}

#[test]
fn another_line_tells_which_circuits_of_a_box_do_not_have_theirs_any_more() {
    let plan = "ampwalk = 1\nlocation = { region = \"au\" }\n[supply.yard]\nkind = \"mains\"\nwiring = \"star\"\n\
        [floor.g]\nlevel = 0\n[room.r]\nfloor = \"g\"\n[circuit.P3]\nsupply = \"yard\"\nline = \"L1-L2-L3\"\n\
        [circuit.P4]\nsupply = \"yard\"\nline = \"L1\"\n[socket.X32]\nroom = \"r\"\ncircuit = \"P3\"\n\
        [circuit.X1]\nfrom = \"X32\"\nline = \"L2\"\n[circuit.X2]\nfrom = \"X32\"\nline = \"L1\"\n";
    let plan = ampwalk_core::file::parse(plan).plan;
    let echo = |subject, text: &str| ampwalk_core::shorthand::read(&plan, subject, text).echo();
    let told = echo(of(Table::Circuit), "P3 L1");
    assert!(told.contains("(then say the line of X1 as well)"), "{told}");
    assert!(!echo(of(Table::Circuit), "P3 L1-L2").contains("then say"), "L2 is still brought");
    assert!(
        echo(SOCKET, "X32 P4").contains("(then say the line of X1 as well)"),
        "{}",
        echo(SOCKET, "X32 P4")
    );
}
