//! Heads side by side.

use super::*;

fn side_by_side(supply: &str, second: &str, x: &str) -> Found {
    let more = format!(
        "[circuit.P2]\n{second}\nbreaker_a = 20\nrcd = \"RA\"\n\
         [socket.G2]\nroom = \"in\"\ncircuit = \"P2\"\ntest = \"ok\"\n\
         [supply.set]\nkind = \"generator\"\nkva = 20\nearth = \"bonded\"\n\
         [head.B]\nclass = \"led-300\"\nroom = \"in\"\nat = [{x}, 0]\nsocket = \"G2\""
    );
    House {
        supply,
        circuit: "supply = \"house\"\nline = \"L1\"\nbreaker_a = 20\nrcd = \"RA\"",
        head: "class = \"led-300\"\nroom = \"in\"\nat = [0, 0]\nsocket = \"G1\"",
        setup: "minutes = 60\non = [\"A\", \"B\"]",
        more: &more,
        ..House::default()
    }
    .assess()
}

#[test]
fn heads_that_can_be_touched_together_belong_on_one_line() {
    let star = "kind = \"mains\"\nwiring = \"star\"";
    let l2 = "supply = \"house\"\nline = \"L2\"";
    side_by_side(star, l2, "2").is("two-lines", &["risk two-lines head.B"]);
    side_by_side(star, l2, "2.1").is("two-lines", &[]);
    side_by_side(star, "supply = \"house\"\nline = \"L1\"", "1").is("two-lines", &[]);
}

#[test]
fn heads_that_can_be_touched_together_belong_on_one_supply() {
    let set = "supply = \"set\"";
    let found = side_by_side("kind = \"mains\"", set, "2");
    found.is("two-sources", &["danger two-sources head.B"]);
    found.is("two-lines", &[]);
    side_by_side("kind = \"mains\"", set, "2.1").is("two-sources", &[]);
}

#[test]
fn a_plug_or_a_joint_outdoors_in_rain_is_danger() {
    let wet = |location: &str, room: &str, leads: &str| {
        let head = format!("class = \"led-300\"\nroom = \"{room}\"\nsocket = \"G1\"\nleads = {leads}");
        House { location, head: &head, more: LEADS, ..House::default() }.assess().of("wet-joint")
    };
    let rain = "weather = \"rain\"";
    assert_eq!(wet(rain, "out", "[\"c\"]"), ["danger wet-joint head.A"]);
    assert_eq!(wet(rain, "out", "[]"), Vec::<String>::new());
    assert_eq!(wet(rain, "in", "[\"c\"]"), Vec::<String>::new());
    assert_eq!(wet("", "out", "[\"c\"]"), Vec::<String>::new());
    let own_weather = House {
        head: "class = \"led-300\"\nroom = \"out\"\nsocket = \"G1\"\nleads = [\"c\"]",
        setup: "minutes = 60\non = [\"A\"]\nweather = \"rain\"",
        more: LEADS,
        ..House::default()
    };
    own_weather.assess().is("wet-joint", &["danger wet-joint head.A"]);
}
