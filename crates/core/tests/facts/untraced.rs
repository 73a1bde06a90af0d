//! Sockets that nobody traced.

use super::*;

const TWO_CIRCUITS: &str =
    "[rcd.RB]\nrated_ma = 30\n[circuit.P2]\nsupply = \"house\"\nbreaker_a = 5\nrcd = \"RB\"";

fn untraced(more: &str) -> Found {
    let more = format!("{TWO_CIRCUITS}\n{more}");
    House {
        circuit: "supply = \"house\"\nbreaker_a = 5\nrcd = \"RA\"\nbase = [{ amps = 1 }]",
        socket: "test = \"ok\"",
        more: &more,
        ..House::default()
    }
    .assess()
}

#[test]
fn an_untraced_head_counts_as_possible_on_every_circuit_and_rcd() {
    let found = untraced("");
    near_both(found.amps("P1"), (1.0, 6.9894));
    near_both(found.amps("P2"), (0.0, 5.9894));
    found.is("breaker-may-over", &["risk breaker-may-over circuit.P1", "risk breaker-may-over circuit.P2"]);
    found.is("breaker-over", &[]);
    for rcd in ["RA", "RB"] {
        let used = found.rcd(rcd);
        near_both((used.standing.0, used.possible_standing.0), (0.0, 3.5));
        near_both((used.peak.0, used.possible_peak.0), (0.0, 13.5));
    }
    // there is an RCD whichever circuit it is on
    found.is("rcd-absent", &[]);
}

#[test]
fn an_untraced_socket_that_may_be_on_a_circuit_without_an_rcd_counts_as_bare() {
    untraced("[circuit.P3]\nsupply = \"house\"").is("rcd-absent", &["danger rcd-absent socket.G1"]);
}

#[test]
fn an_untraced_head_is_certain_on_an_rcd_that_all_its_circuits_share() {
    let found = House {
        socket: "test = \"ok\"",
        more: "[circuit.P2]\nsupply = \"house\"\nbreaker_a = 5\nrcd = \"RA\"",
        ..House::default()
    }
    .assess();
    near(found.rcd("RA").standing.0, 3.5);
    near_both(found.amps("P1"), (0.0, 5.9894));
}

#[test]
fn traces_narrow_the_circuits_down() {
    let live = untraced("[[trace]]\noff = \"P1\"\nlive = [\"G1\"]");
    near_both(live.amps("P1"), (1.0, 1.0));
    near_both(live.amps("P2"), (5.9894, 5.9894));
    live.is("breaker-over", &["dark breaker-over circuit.P2"]);
    let dead = untraced("[[trace]]\nramp_dropped = \"RA\"\ndead = [\"G1\"]");
    near_both(dead.amps("P1"), (6.9894, 6.9894));
    near_both(dead.amps("P2"), (0.0, 0.0));
    live.is("trace-conflict", &[]);
}

#[test]
fn several_devices_off_at_once_are_one_trace() {
    let third = "[circuit.P3]\nsupply = \"house\"\nrcd = \"RA\"";
    // Dead: on either of the two; live: on neither.
    let dead = untraced(&format!("{third}\n[[trace]]\noff = \"P1\"\nalso_off = [\"P2\"]\ndead = [\"G1\"]"));
    near_both(dead.amps("P1"), (1.0, 6.9894));
    near_both(dead.amps("P2"), (0.0, 5.9894));
    near_both(dead.amps("P3"), (0.0, 0.0));
    let live = untraced(&format!("{third}\n[[trace]]\noff = \"P1\"\nalso_off = [\"RB\"]\nlive = [\"G1\"]"));
    near_both(live.amps("P3"), (5.9894, 5.9894));
    near_both(live.amps("P2"), (0.0, 0.0));
}

#[test]
fn a_ramp_that_names_what_it_dropped_puts_its_socket_behind_that() {
    let socket = "test = \"ok\"\nramp = { held_ma = 15, tripped_ma = 20, dropped = \"RB\" }";
    let found = House { socket, more: TWO_CIRCUITS, ..House::default() }.assess();
    near_both(found.amps("P2"), (5.9894, 5.9894));
    near_both(found.amps("P1"), (0.0, 0.0));
    found.is("trace-conflict", &[]);
    // Given as on P1, which is not behind RB: one of the two is wrong.
    let given = format!("circuit = \"P1\"\n{socket}");
    let found = House { socket: &given, more: TWO_CIRCUITS, ..House::default() }.assess();
    found.is("trace-conflict", &["risk trace-conflict socket.G1"]);
    let text = found.text("trace-conflict");
    assert_eq!(text, "G1 is given as on P1, and that clashes with the ramp test at G1 (RB dropped at 20 mA)");
}

#[test]
fn an_rcd_of_which_nobody_knows_a_circuit_says_nothing_with_dead_sockets() {
    let found = untraced("[rcd.RX]\nrated_ma = 30\n[[trace]]\noff = \"RX\"\ndead = [\"G1\"]");
    near_both(found.amps("P1"), (1.0, 6.9894));
    near_both(found.amps("P2"), (0.0, 5.9894));
    found.is("trace-conflict", &[]);
}

#[test]
fn dead_allows_what_shares_the_neutral_and_what_a_timer_holds_and_live_allows_neither_of_those_off() {
    let with = |keys: &str, trace: &str| {
        let more = format!(
            "[circuit.P2]\nsupply = \"house\"\nbreaker_a = 5\n{keys}\n[circuit.P3]\nsupply = \"house\"\n\
             [[trace]]\noff = \"P1\"\n{trace} = [\"G1\"]"
        );
        let found = House { socket: "test = \"ok\"", more: &more, ..House::default() }.assess();
        ["P1", "P2", "P3"].map(|circuit| found.amps(circuit).1 > 1.0)
    };
    assert_eq!(with("", "dead"), [true, false, false]);
    assert_eq!(with("neutral_with = \"P1\"", "dead"), [true, true, false]);
    assert_eq!(with("hours = [\"06:00\", \"22:00\"]", "dead"), [true, true, false]);
    assert_eq!(with("held_by = \"key card\"", "dead"), [true, true, false]);
    assert_eq!(with("neutral_with = \"P1\"", "live"), [false, true, true]);
    // Dead whatever is off says nothing.
    let dead = House {
        socket: "test = \"dead\"",
        more: &format!("{TWO_CIRCUITS}\n[[trace]]\noff = \"P1\"\ndead = [\"G1\"]"),
        ..House::default()
    };
    near_both(dead.assess().amps("P2"), (0.0, 5.9894));
}

#[test]
fn what_is_read_on_a_distribution_box_tells_of_the_socket_that_feeds_it() {
    let more = format!(
        "{TWO_CIRCUITS}\n[circuit.D]\nfrom = \"G1\"\nbreaker_a = 16\n[socket.D1]\nroom = \"in\"\ncircuit = \"D\"\n\
         [[trace]]\noff = \"D\"\ndead = [\"D1\"]\n[[trace]]\noff = \"P1\"\nlive = [\"D1\"]"
    );
    let found = House { socket: "test = \"ok\"", more: &more, ..House::default() }.assess();
    // D1 was live with P1 off, so the box, and with it G1, is on P2.
    near_both(found.amps("P2"), (5.9894, 5.9894));
    near_both(found.amps("P1"), (0.0, 0.0));
    found.is("trace-conflict", &[]);
}

#[test]
fn traces_that_leave_no_circuit_clash_and_none_of_them_counts() {
    let found =
        untraced("[[trace]]\noff = \"P1\"\ndead = [\"G1\"]\n[[trace]]\noff = \"P2\"\ndead = [\"G1\"]");
    found.is("trace-conflict", &["risk trace-conflict socket.G1"]);
    near_both(found.amps("P2"), (0.0, 5.9894));
}

#[test]
fn a_trace_against_the_circuit_that_the_plan_gives_is_told() {
    let more = format!("{TWO_CIRCUITS}\n[[trace]]\noff = \"P2\"\ndead = [\"G1\"]");
    House { more: &more, ..House::default() }
        .assess()
        .is("trace-conflict", &["risk trace-conflict socket.G1"]);
}

#[test]
fn a_plug_in_rcd_that_a_ramp_dropped_says_nothing_of_circuits() {
    let found = House {
        socket: "test = \"ok\"\nportable_rcd = \"PR\"",
        more: "[rcd.PR]\nclass = \"portable\"\n[circuit.P2]\nsupply = \"house\"\nrcd = \"RA\"\n\
               [[trace]]\nramp_dropped = \"PR\"\ndead = [\"G1\"]\n[[trace]]\noff = \"P2\"\nlive = [\"G1\"]",
        ..House::default()
    }
    .assess();
    found.is("trace-conflict", &[]);
    near_both(found.amps("P1"), (5.9894, 5.9894));
}

#[test]
fn a_main_switch_that_untraced_heads_may_push_over_is_a_risk() {
    // A 5.9894 A on P1, L1; B 6 A on P1 or P2, L1 or L2: L1 carries 5.9894 A for certain, 11.9894 perhaps.
    let main = |limit: &str, socket: &str| {
        House {
            supply: &format!("kind = \"mains\"\nwiring = \"star\"\nlimit_a = {limit}"),
            circuit: "supply = \"house\"\nline = \"L1\"\nbreaker_a = 20\nrcd = \"RA\"",
            setup: "minutes = 60\non = [\"A\", \"B\"]",
            more: &format!(
                "[circuit.P2]\nsupply = \"house\"\nline = \"L2\"\nbreaker_a = 20\nrcd = \"RA\"\n\
                 [socket.G2]\nroom = \"in\"\ntest = \"ok\"\n{socket}\n[head.B]\namps = 6\nsocket = \"G2\""
            ),
            ..House::default()
        }
        .assess()
    };
    main("12", "").is("main-over", &[]);
    let may = main("10", "");
    may.is("main-over", &["risk main-over supply.house"]);
    let text = may.text("main-over");
    assert_eq!(text, "L1 of house may carry 12 A of 10 A if B, untraced, is on it; 6 A is certain");
    main("10", "circuit = \"P2\"").is("main-over", &[]);
    main("5", "").is("main-over", &["dark main-over supply.house"]);
}

#[test]
fn a_label_is_no_evidence_and_a_wrong_one_is_told() {
    let label = |label: &str, circuit: &str| {
        let socket = format!("{circuit}\nlabel = \"{label}\"\ntest = \"ok\"");
        House {
            socket: &socket,
            circuit: "supply = \"house\"\nrcd = \"RA\"\nname = \"Ground west\"",
            more: TWO_CIRCUITS,
            ..House::default()
        }
        .assess()
        .of("label-wrong")
    };
    assert_eq!(label("P2", "circuit = \"P1\""), ["risk label-wrong socket.G1"]);
    assert_eq!(label("p1", "circuit = \"P1\""), Vec::<String>::new());
    assert_eq!(label("ground west", "circuit = \"P1\""), Vec::<String>::new());
    assert_eq!(label("P2", ""), Vec::<String>::new());
}
