//! Amps.

use super::*;

#[test]
fn running_amps_are_watts_over_volts_and_power_factor() {
    // Worked by hand from W and λ: P/(V·λ), to two decimals, at 230 V and at 120 V.
    for (class, at_230, at_120) in [
        ("tungsten-650", 2.83, 5.42),
        ("tungsten-1k", 4.35, 8.33),
        ("tungsten-2k", 8.70, 16.67),
        ("discharge-575", 2.88, 5.53),
        ("discharge-1k2", 5.99, 11.48),
        ("discharge-1k2-plain", 9.78, 18.75),
        ("discharge-1k2-magnetic", 6.76, 12.96),
        ("discharge-2k5", 11.98, 22.96),
        ("led-300", 1.51, 2.89),
        ("led-600", 2.84, 5.44),
        ("led-1k2", 5.63, 10.79),
        ("led-tube-kit", 0.97, 1.85),
        ("monitors", 1.83, 3.51),
        ("chargers", 2.75, 5.26),
        ("haze", 4.35, 8.33),
        ("kettle", 13.04, 12.5),
    ] {
        let head = format!("class = \"{class}\"\nsocket = \"G1\"");
        near(House { head: &head, ..House::default() }.assess().amps("P1").0, at_230);
        near(House { region: "us", head: &head, ..House::default() }.assess().amps("P1").0, at_120);
    }
}

#[test]
fn a_head_between_two_legs_draws_from_both() {
    let found = House {
        region: "us",
        supply: "kind = \"mains\"\nwiring = \"split\"",
        circuit: "supply = \"house\"\nline = \"L1-L2\"\nbreaker_a = 50",
        socket: "circuit = \"P1\"\noutlet = \"us-240-50\"\ntest = \"ok\"",
        head: "class = \"discharge-4k\"\nplug = \"us-240-50\"\nvolts = 240\nsocket = \"G1\"",
        ..House::default()
    }
    .assess();
    // 4300/(240·0.98), in each leg; 4300 W in all
    near(found.amps("P1").0, 18.28);
    let supply = found.setup("s").supplies.iter().next().unwrap().1;
    near_both((supply.lines[0].amps().0, supply.lines[1].amps().0), (18.28, 18.28));
    near(supply.kw.0, 4.3);
    found.is("volts-wrong", &[]);
    found.is("outlet-over", &[]);
}

#[test]
fn an_unknown_breaker_is_the_smallest_that_is_usual_in_the_region() {
    for (region, amps) in [("au", 16.0), ("uk", 20.0), ("us", 15.0), ("eu", 10.0)] {
        let found =
            House { region, circuit: "supply = \"house\"\nrcd = \"RA\"", ..House::default() }.assess();
        near(found.limit("s", "P1"), amps);
    }
}
