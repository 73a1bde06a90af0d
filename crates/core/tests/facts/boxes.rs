//! A circuit that a socket feeds.

use super::*;

fn distribution_box(heads: &str, on: &str) -> Found {
    boxed(heads, on, "class = \"discharge-2k5\"\nsocket = \"d1\"", "test = \"ok\"")
}

fn distribution_box_on(outlet: &str, head: &str) -> Found {
    boxed("", "[\"A\"]", head, outlet)
}

fn boxed(heads: &str, on: &str, head: &str, outlet: &str) -> Found {
    let setup = format!("minutes = 60\non = {on}");
    let more = format!(
        "[socket.d1]\nroom = \"in\"\ncircuit = \"D1\"\noutlet = \"eu-16\"\ntest = \"ok\"\n\
         [socket.d2]\nroom = \"in\"\ncircuit = \"D2\"\noutlet = \"eu-16\"\ntest = \"ok\"\n\
         [circuit.D1]\nfrom = \"G1\"\nline = \"L2\"\nbreaker_a = 16\n\
         [circuit.D2]\nfrom = \"G1\"\nline = \"L2\"\nbreaker_a = 16\n\
         [[trace]]\noff = \"P1\"\ndead = [\"G1\", \"d1\", \"d2\"]\n{heads}"
    );
    House {
        region: "eu",
        supply: "kind = \"mains\"\nwiring = \"star\"",
        circuit: "supply = \"house\"\nline = \"L1-L2-L3\"\nbreaker_a = 32\nrcd = \"RA\"",
        socket: &format!(
            "circuit = \"P1\"\noutlet = \"cee-16-3\"\n{outlet}\nramp = {{ held_ma = 25, tripped_ma = 30 }}"
        ),
        head,
        setup: &setup,
        more: &more,
        ..House::default()
    }
    .assess()
}

#[test]
fn a_box_s_amps_are_on_the_circuit_that_feeds_it_line_by_line() {
    let found = distribution_box("", "[\"A\"]");
    // 2700/(230·0.98)
    near(found.amps("D1").0, 11.9787);
    near(found.amps("P1").0, 11.9787);
    let [l1, l2, l3] = found.setup("s").supplies.iter().next().unwrap().1.lines.map(|line| line.amps().0);
    near_both((l1, l3), (0.0, 0.0));
    near(l2, 11.9787);
    near(found.rcd("RA").standing.0, 4.0);
    found.is("outlet-over", &[]);
    found.is("rcd-absent", &[]);
    found.is("trace-conflict", &[]);
}

#[test]
fn a_box_that_draws_more_on_a_line_than_its_outlet_carries_is_danger() {
    let found = distribution_box("[head.B]\nclass = \"discharge-2k5\"\nsocket = \"d2\"", "[\"A\", \"B\"]");
    // 2·11.9787 = 23.9574 A of 16 on L2; the breaker of 32 does not see it
    near(found.amps("P1").0, 23.9574);
    found.is("outlet-over", &["danger outlet-over socket.G1"]);
    found.is("breaker-over", &[]);
}

#[test]
fn an_untested_outlet_under_a_box_is_told_with_the_heads_on_the_box() {
    let box_text = distribution_box_on("", "class = \"led-300\"\nroom = \"in\"\nsocket = \"d1\"");
    box_text.is("socket-untested", &["risk socket-untested socket.G1"]);
    assert_eq!(box_text.text("socket-untested"), "G1 was not tested, and A is on it");
    let outdoors = distribution_box_on("", "class = \"led-300\"\nroom = \"out\"\nsocket = \"d1\"");
    outdoors.is("socket-untested", &["danger socket-untested socket.G1"]);
}

#[test]
fn a_head_in_hand_over_a_box_shows_what_the_box_s_outlet_carries() {
    let found = distribution_box("[head.B]\nclass = \"discharge-2k5\"", "[\"A\", \"B\"]");
    let (head, socket) = (found.network.head("B").unwrap(), found.network.socket("d2").unwrap());
    let setup = found.network.setup("s").unwrap();
    let hand = Hand::pick_up(&found.network, &found.assessment, setup, head);
    let consequence = hand.at(&found.network, socket);
    assert_eq!(consequence.outlook, Outlook::Never);
    let rules: Vec<_> = consequence.findings.iter().map(|finding| finding.rule.id).collect();
    assert!(rules.contains(&"outlet-over"), "{rules:?}");
}
