//! Leads.

use super::*;

#[test]
fn a_lead_that_does_not_reach_or_that_the_truck_does_not_have_is_dark() {
    let at = |x: &str, leads: &str| {
        let head = format!("amps = 1\nroom = \"in\"\nat = [{x}, 3]\nleads = {leads}");
        heads("au", "at = [0, 0]", &[&head], LEADS).of("cable-short")
    };
    // 5 + 3 + 2 = 10, 5.1 + 3 + 2 = 10.1
    assert_eq!(at("5", "[\"c\"]"), Vec::<String>::new());
    assert_eq!(at("5.1", "[\"c\"]"), ["dark cable-short head.A"]);
    assert_eq!(at("5", "[]"), ["dark cable-short head.A"]);
    let third = ["amps = 1\nleads = [\"c\"]"; 3];
    heads("au", "ways = 3", &third, LEADS).is("cable-short", &["dark cable-short cable.c"]);
    heads("au", "ways = 3", &third[..2], LEADS).is("cable-short", &[]);
}

#[test]
fn more_than_two_leads_joined_is_a_risk() {
    heads("au", "", &["amps = 1\nleads = [\"d\", \"d\"]"], LEADS).is("chain-long", &[]);
    heads("au", "", &["amps = 1\nleads = [\"d\", \"d\", \"d\"]"], LEADS)
        .is("chain-long", &["risk chain-long head.A"]);
}

/// Metres of lead that A takes from G1, as the assessment tells them.
fn needed(location: &str, socket: &str, head: &str, more: &str) -> Option<f64> {
    let socket = format!("circuit = \"P1\"\ntest = \"ok\"\n{socket}");
    let head = format!("amps = 1\nsocket = \"G1\"\n{head}");
    let found = House { location, socket: &socket, head: &head, more, ..House::default() }.assess();
    found.setup("s").heads.iter().next().unwrap().1.as_ref().unwrap().lead_needed.map(|metres| metres.0)
}

#[test]
fn a_lead_runs_along_the_walls_by_the_stair_and_outdoors_the_same() {
    // Worked by hand: |8 - 2| + |1 - 5| + 2 = 12.
    let socket = "at = [2, 5]";
    let of = |head: &str| needed("stair = [3, 3]", socket, head, "");
    assert_eq!(of("room = \"in\"\nat = [8, 1]"), Some(12.0));
    assert_eq!(of("room = \"bath\"\nat = [8, 1]"), Some(12.0));
    assert_eq!(of("room = \"out\"\nat = [8, 1]"), Some(12.0));
    assert_eq!(of("room = \"out\"\nat = [-8, -1]"), Some(10.0 + 6.0 + 2.0));
    // Less its own tail, and never under nothing.
    assert_eq!(of("room = \"in\"\nat = [8, 1]\ntail_m = 3"), Some(9.0));
    assert_eq!(of("room = \"in\"\nat = [2, 4]\ntail_m = 5"), Some(0.0));
}

#[test]
fn between_floors_a_lead_runs_by_the_stair_with_four_metres_a_level() {
    // Worked by hand: from (2, 5) to the stair at (3, 3), 1 + 2; on to (8, 1), 5 + 2; two levels 8, ends 2.
    let more = "[floor.top]\nlevel = 2\n[room.loft]\nfloor = \"top\"\n\
                [floor.down]\nlevel = -1\n[room.cellar]\nfloor = \"down\"";
    let of = |location: &str, room: &str| {
        needed(location, "at = [2, 5]", &format!("room = \"{room}\"\nat = [8, 1]"), more)
    };
    assert_eq!(of("stair = [3, 3]", "loft"), Some(3.0 + 7.0 + 8.0 + 2.0));
    assert_eq!(of("stair = [3, 3]", "cellar"), Some(3.0 + 7.0 + 4.0 + 2.0));
    // The stair counts between floors only, and without one nobody knows.
    assert_eq!(of("stair = [30, 30]", "in"), Some(12.0));
    assert_eq!(of("", "loft"), None);
}

#[test]
fn where_a_place_is_not_known_the_length_is_not_known_and_nothing_is_found() {
    assert_eq!(needed("", "", "room = \"in\"\nat = [8, 1]", ""), None);
    assert_eq!(needed("", "at = [2, 5]", "room = \"in\"", ""), None);
    heads("au", "", &["amps = 1\nroom = \"in\"\nat = [80, 1]\nleads = [\"d\"]"], LEADS)
        .is("cable-short", &[]);
}

const SHARED: &str = "[cable.c]\nlength_m = 10\nmm2 = 1.5\ncount = 1\n[cable.d]\nlength_m = 1\nmm2 = 1.5\n\
     [block.k]\nways = 2\ncount = 1";

#[test]
fn heads_whose_leads_begin_alike_up_to_a_block_share_one_of_each_up_to_its_ways() {
    let head = "amps = 1\nleads = [\"c\", \"k\", \"d\"]";
    // Two ways: the third takes a lead, a block and a way of the wall of its own.
    let two = heads("au", "", &[head; 2], SHARED);
    two.is("cable-short", &[]);
    two.is("socket-full", &[]);
    let three = heads("au", "", &[head; 3], SHARED);
    three.is("cable-short", &["dark cable-short cable.c", "dark cable-short block.k"]);
    three.is("socket-full", &["dark socket-full socket.G1"]);
    // Another lead before the block is another block.
    let other = "amps = 1\nleads = [\"d\", \"k\"]";
    heads("au", "ways = 2", &[head, other], SHARED).is("cable-short", &["dark cable-short block.k"]);
}

#[test]
fn what_heads_share_carries_their_sum() {
    // 6 + 6 A: a 10 A plug (AS/NZS 3112) and 1 mm² (10 A, AS/NZS 3191, from memory) carry one of them.
    let leads = "[cable.c]\nlength_m = 5\nmm2 = 1\n[block.k]\nways = 2";
    let head = "amps = 6\nleads = [\"c\", \"k\"]";
    let one = heads("au", "", &[head], leads);
    one.is("cable-hot", &[]);
    one.is("outlet-over", &[]);
    let two = heads("au", "", &[head; 2], leads);
    two.is("cable-hot", &["danger cable-hot socket.G1"]);
    assert_eq!(two.text("cable-hot"), "A and B draw 12 A over lead c, which carries 10 A");
    two.is("outlet-over", &["danger outlet-over socket.G1"]);
    // Each on a lead of its own, the lead bears it; the wall's plate is another matter.
    let apart = "amps = 6\nleads = [\"c\"]";
    heads("au", "ways = 2", &[apart; 2], leads).is("cable-hot", &[]);
    heads("au", "ways = 2", &[apart; 2], leads).is("outlet-over", &[]);
}

#[test]
fn a_fuse_before_a_block_carries_the_sum_and_one_behind_it_a_head() {
    // 3 + 3 A through a fuse of 5 A in the first lead's plug; through one of 5 A each they pass.
    let leads = "[cable.c]\nlength_m = 5\nmm2 = 1.5\nfuse_a = 5\n[cable.d]\nlength_m = 5\nmm2 = 1.5\n[block.k]\nways = 2";
    let before = heads("uk", "", &["amps = 3\nleads = [\"c\", \"k\"]"; 2], leads);
    before.is("outlet-over", &["danger outlet-over socket.G1"]);
    assert!(
        before.text("outlet-over").contains("the fuse in lead c carries 5 A"),
        "{}",
        before.text("outlet-over")
    );
    heads("uk", "", &["amps = 3\nleads = [\"d\", \"k\", \"c\"]"; 2], leads).is("outlet-over", &[]);
    heads("uk", "", &["amps = 6\nleads = [\"d\", \"k\", \"c\"]"], leads)
        .is("outlet-over", &["danger outlet-over head.A"]);
}
