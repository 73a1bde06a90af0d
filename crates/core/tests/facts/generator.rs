//! A small floating generator: common practice, no source.

use super::*;

fn generator(supply: &str, location: &str, setup: &str) -> Found {
    House {
        supply,
        location,
        setup,
        circuit: "supply = \"house\"\nbreaker_a = 20",
        socket: "circuit = \"P1\"\nways = 2\ntest = \"no-earth\"",
        more: "[head.B]\nclass = \"led-300\"\nsocket = \"G1\"",
        ..House::default()
    }
    .assess()
}

const FLOATING: &str = "kind = \"generator\"\nkva = 6.5\nearth = \"floating\"";

#[test]
fn a_missing_earth_on_a_small_floating_generator_is_one_note() {
    let found = generator(FLOATING, "", "minutes = 60\non = [\"A\"]");
    assert_eq!(found.all(), ["note neutral-floating supply.house"]);
}

#[test]
fn a_floating_generator_is_danger_in_rain_and_with_two_class_one_heads() {
    let rain = generator(FLOATING, "weather = \"rain\"", "minutes = 60\non = [\"A\"]");
    rain.is("neutral-floating", &["danger neutral-floating supply.house"]);
    let two = generator(FLOATING, "", "minutes = 60\non = [\"A\", \"B\"]");
    two.is("neutral-floating", &["danger neutral-floating supply.house"]);
    two.is("socket-unsafe", &[]);
}

#[test]
fn a_bonded_or_a_large_generator_without_earth_is_danger() {
    for supply in [
        "kind = \"generator\"\nkva = 6.5\nearth = \"bonded\"",
        "kind = \"generator\"\nkva = 12\nearth = \"floating\"",
        "kind = \"mains\"",
    ] {
        let found = generator(supply, "", "minutes = 60\non = [\"A\"]");
        found.is("socket-unsafe", &["danger socket-unsafe socket.G1"]);
        found.is("neutral-floating", &[]);
        found.is("rcd-absent", &["danger rcd-absent socket.G1"]);
    }
}

#[test]
fn a_generator_indoors_is_danger() {
    let stands = |room: &str| {
        let supply = format!("{FLOATING}\nroom = \"{room}\"");
        generator(&supply, "", "minutes = 60\non = [\"A\"]").of("fumes")
    };
    assert_eq!(stands("in"), ["danger fumes supply.house"]);
    assert_eq!(stands("out"), Vec::<String>::new());
}
