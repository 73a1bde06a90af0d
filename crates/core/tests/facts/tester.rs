//! What the tester said.

use super::*;

fn tested(outcome: &str) -> Found {
    let socket =
        format!("circuit = \"P1\"\ntest = \"{outcome}\"\nramp = {{ held_ma = 25, tripped_ma = 30 }}");
    House { socket: &socket, ..House::default() }.assess()
}

#[test]
fn every_bad_outcome_is_danger() {
    for outcome in ["reversed", "no-earth", "no-neutral", "dead", "active-on-earth", "odd"] {
        assert_eq!(tested(outcome).all(), ["danger socket-unsafe socket.G1"], "{outcome}");
    }
    assert_eq!(tested("ok").all(), Vec::<String>::new());
}

#[test]
fn reversed_says_why_it_is_dangerous() {
    let found = tested("reversed");
    let text = found.text("socket-unsafe");
    for word in ["active and neutral are swapped", "live with its switch off", "rain", "screw-base"] {
        assert!(text.contains(word), "{word}: {text}");
    }
}

#[test]
fn reversed_on_an_outlet_that_is_not_polarised_is_a_note() {
    let eu = House {
        region: "eu",
        socket: "circuit = \"P1\"\ntest = \"reversed\"\nramp = { held_ma = 25, tripped_ma = 30 }",
        ..House::default()
    };
    assert_eq!(eu.assess().all(), ["note socket-unsafe socket.G1"]);
}

#[test]
fn an_outlet_without_earth_is_danger_for_a_class_one_head_and_a_risk_else() {
    let two_pin = |class: u8| {
        let head = format!("class = \"led-300\"\nsocket = \"G1\"\nearth_class = {class}");
        House {
            region: "eu",
            head: &head,
            socket: "circuit = \"P1\"\noutlet = \"eu-10-2\"\ntest = \"no-earth\"\nramp = { held_ma = 25, tripped_ma = 30 }",
            ..House::default()
        }
        .assess()
    };
    two_pin(1).is("socket-unsafe", &["danger socket-unsafe socket.G1"]);
    two_pin(2).is("socket-unsafe", &["risk socket-unsafe socket.G1"]);
}

#[test]
fn an_untested_socket_is_a_risk_and_danger_in_the_wet_outdoors_or_in_rain() {
    let untested = |location: &str, room: &str| {
        let head = format!("class = \"led-300\"\nroom = \"{room}\"\nsocket = \"G1\"");
        let socket = "circuit = \"P1\"\nramp = { held_ma = 25, tripped_ma = 30 }";
        House { location, socket, head: &head, ..House::default() }.assess().of("socket-untested")
    };
    assert_eq!(untested("", "in"), ["risk socket-untested socket.G1"]);
    assert_eq!(untested("", "bath"), ["danger socket-untested socket.G1"]);
    assert_eq!(untested("", "out"), ["danger socket-untested socket.G1"]);
    assert_eq!(untested("weather = \"rain\"", "in"), ["danger socket-untested socket.G1"]);
}

#[test]
fn a_banned_socket_and_a_shaver_outlet_are_danger() {
    let with = |socket: &str| House { socket, ..House::default() }.assess().of("socket-banned");
    assert_eq!(
        with("circuit = \"P1\"\ntest = \"ok\"\nban = \"not ours\""),
        ["danger socket-banned socket.G1"]
    );
    assert_eq!(
        with("circuit = \"P1\"\ntest = \"ok\"\noutlet = \"au-shaver\""),
        ["danger socket-banned socket.G1"]
    );
    assert_eq!(with("circuit = \"P1\"\ntest = \"ok\""), Vec::<String>::new());
}
