//! Outlets, plates, plugs.

use super::*;

#[test]
fn a_plate_has_a_total_of_its_own() {
    heads("au", "ways = 2", &["amps = 9.5", "amps = 9.5"], "").is("plate-over", &[]);
    heads("au", "ways = 2\nplate_a = 15", &["amps = 9.5", "amps = 9.5"], "")
        .is("plate-over", &["danger plate-over socket.G1"]);
    // BS 1363-2: 20 A for a twin
    heads("uk", "ways = 2", &["amps = 12", "amps = 12"], "")
        .is("plate-over", &["danger plate-over socket.G1"]);
}

#[test]
fn sockets_that_share_a_plate_share_its_total_and_one_finding() {
    let more = "[socket.G2]\nroom = \"in\"\ncircuit = \"P1\"\ntest = \"ok\"\nplate = \"K\"\nplate_a = 15";
    let found = heads(
        "au",
        "plate = \"K\"",
        &["amps = 9.5", "amps = 1"],
        &format!("{more}\n[head.Z]\namps = 9.5\nsocket = \"G2\""),
    );
    found.is("plate-over", &[]);
    let both = heads("au", "plate = \"K\"", &["amps = 9.5"], more);
    both.is("plate-over", &[]);
    let over = House {
        socket: "circuit = \"P1\"\ntest = \"ok\"\nplate = \"K\"",
        head: "amps = 9.5\nsocket = \"G1\"",
        setup: "minutes = 60\non = [\"A\", \"Z\"]",
        more: &format!("{more}\n[head.Z]\namps = 9.5\nsocket = \"G2\""),
        ..House::default()
    }
    .assess();
    over.is("plate-over", &["danger plate-over socket.G1"]);
}

#[test]
fn more_plugs_than_ways_are_dark_and_a_block_takes_one_way() {
    let three = ["amps = 1", "amps = 1", "amps = 1"];
    heads("au", "ways = 2", &three, "").is("socket-full", &["dark socket-full socket.G1"]);
    let on_block = ["amps = 1\nleads = [\"four\"]"; 3];
    let block = |ways: u8| format!("[block.four]\nplug = \"au-10\"\nways = {ways}\ncount = 2");
    heads("au", "ways = 1", &on_block, &block(4)).is("socket-full", &[]);
    // two ways: the third head takes a second block, and a second way of the socket
    heads("au", "ways = 1", &on_block, &block(2)).is("socket-full", &["dark socket-full socket.G1"]);
    heads("au", "ways = 2", &on_block, &block(2)).is("socket-full", &[]);
}

#[test]
fn a_head_that_is_off_fills_a_way_while_it_stays_plugged_in() {
    let on = |socket: &str, keys: &str, setup: &str| {
        let more = format!("[head.B]\namps = 1\nsocket = \"G1\"\n{keys}\n[block.four]\nways = 2\ncount = 2");
        House {
            socket: &format!("circuit = \"P1\"\ntest = \"ok\"\n{socket}"),
            head: &format!("amps = 1\nsocket = \"G1\"\n{keys}"),
            setup: &format!("minutes = 60\non = [\"A\"]\n{setup}"),
            more: &more,
            ..House::default()
        }
        .assess()
    };
    let full = on("ways = 1", "", "");
    full.is("socket-full", &["dark socket-full socket.G1"]);
    assert!(full.text("socket-full").ends_with("has 2: A, and plugged in but off B"), "{full:?}");
    on("ways = 2", "", "").is("socket-full", &[]);
    // pulled for this setup, or in the other way of the block
    on("ways = 1", "", "sockets = { B = {} }").is("socket-full", &[]);
    on("ways = 1", "leads = [\"four\"]", "").is("socket-full", &[]);
    // where nothing burns, nothing goes dark for it
    on("ways = 1", "", "sockets = { A = {} }").is("socket-full", &[]);
}

#[test]
fn an_outlet_of_a_generator_is_a_limit_as_one_in_a_wall_is() {
    // 11 A fit the set's 28 A and its breaker, and not its 10 A outlet.
    let set = |outlet: &str| {
        House {
            supply: "kind = \"generator\"\nkva = 6.5\nearth = \"bonded\"",
            socket: &format!("circuit = \"P1\"\ntest = \"ok\"\noutlet = \"{outlet}\""),
            head: &format!("amps = 11\nplug = \"{outlet}\"\nsocket = \"G1\""),
            ..House::default()
        }
        .assess()
    };
    set("au-10").is("outlet-over", &["danger outlet-over head.A"]);
    set("au-15").is("outlet-over", &[]);
    set("au-15").is("line-over", &[]);
}

#[test]
fn a_block_carries_what_its_rating_its_fuse_and_its_outlet_carry_together() {
    let block = |keys: &str| format!("[block.four]\nplug = \"uk-13\"\nways = 4\n{keys}");
    let pair = |amps: &str| {
        [format!("amps = {amps}\nleads = [\"four\"]"), format!("amps = {amps}\nleads = [\"four\"]")]
    };
    let on = |amps: &str, keys: &str| {
        let pair = pair(amps);
        heads("uk", "", &[&pair[0], &pair[1]], &block(keys)).of("outlet-over")
    };
    assert_eq!(on("6", ""), Vec::<String>::new());
    // 14 A over the 13 A fuse that such plugs come with
    assert_eq!(on("7", ""), ["danger outlet-over socket.G1"]);
    assert_eq!(on("6", "rated_a = 10"), ["danger outlet-over socket.G1"]);
    assert_eq!(on("3", "fuse_a = 5"), ["danger outlet-over socket.G1"]);
}

#[test]
fn an_outlet_a_plug_and_a_plug_fuse_are_each_a_limit() {
    heads("au", "outlet = \"au-10\"", &["amps = 11"], "").is("outlet-over", &["danger outlet-over head.A"]);
    // the outlet bears 15, the head's own plug 10
    heads("au", "outlet = \"au-15\"", &["amps = 11"], "").is("outlet-over", &["danger outlet-over head.A"]);
    heads("au", "outlet = \"au-15\"", &["amps = 11\nplug = \"au-15\""], "").is("outlet-over", &[]);
    let fused = heads("uk", "", &["amps = 4\nfuse_a = 3"], "");
    fused.is("outlet-over", &["danger outlet-over head.A"]);
    assert!(fused.text("outlet-over").contains("fuse"), "{}", fused.text("outlet-over"));
    let lead = "[cable.c]\nlength_m = 10\nmm2 = 1.5\nplug = \"uk-13\"\nfuse_a = 3";
    heads("uk", "", &["amps = 4\nleads = [\"c\"]"], lead).is("outlet-over", &["danger outlet-over head.A"]);
}

#[test]
fn a_small_plug_goes_into_a_large_outlet_and_not_the_other_way_round() {
    // AS/NZS 3112: the 15 A plug has a wider earth pin
    heads("au", "outlet = \"au-15\"", &["amps = 5"], "").is("outlet-over", &[]);
    let wide = heads("au", "outlet = \"au-10\"", &["amps = 5\nplug = \"au-15\""], "");
    wide.is("outlet-over", &["danger outlet-over head.A"]);
    assert!(wide.text("outlet-over").contains("does not plug into"), "{}", wide.text("outlet-over"));
    let lead = "[cable.c]\nlength_m = 10\nmm2 = 1.5\nplug = \"au-10\"";
    heads("au", "outlet = \"au-15\"", &["amps = 5\nplug = \"au-15\"\nleads = [\"c\"]"], lead)
        .is("outlet-over", &["danger outlet-over head.A"]);
}

#[test]
fn a_head_on_the_wrong_volts_is_danger() {
    heads("au", "", &["amps = 5\nvolts = 120"], "").is("volts-wrong", &["danger volts-wrong head.A"]);
    heads("au", "", &["amps = 5\nvolts = 240"], "").is("volts-wrong", &[]);
    heads("us", "", &["amps = 5\nvolts = 240"], "").is("volts-wrong", &["danger volts-wrong head.A"]);
}
