//! Filaments held against values from outside of the project: amps, light and colour by the volts, and
//! how much less tungsten resists while cold.

#![expect(clippy::unwrap_used, reason = "a helper that finds nothing fails the test")]
#![expect(clippy::panic, reason = "a helper that finds nothing fails the test")]
#![expect(clippy::disallowed_methods, reason = "the golden tables are files")]

#[path = "golden/table.rs"]
mod table;

use ampwalk_core::library::library;
use ampwalk_core::physics::filament::{
    RATED_COLOUR, filament_amps, filament_colour, filament_light, hot_over_cold,
};
use ampwalk_core::unit::{Kelvin, Volts};

use table::Golden;

const RATED: Volts = Volts(230.0);

/// IES handbook exponents, from memory. Closed forms: 1e-4 of the value.
#[test]
fn a_filament_follows_its_powers_of_the_volts() {
    let mut golden = Golden::read("r08e_tungsten_powerlaw");
    golden.hold(
        |value| 1e-4 * value,
        |_, row| {
            let volts = Volts(230.0 * row.number("V/Vn"));
            let amps = filament_amps(volts, RATED);
            vec![
                ("I/In ^0.55", amps),
                ("P/Pn ^1.55", amps * (volts / RATED)),
                ("lumen ^3.4", filament_light(volts, RATED)),
                ("CCT_K ^0.42 from 3200", filament_colour(volts, RATED).0),
            ]
        },
    );
    golden.checked(24);
}

/// The same table's row that crews meet most: five percent lost.
#[test]
fn at_95_percent_of_its_volts_a_filament_has_84_percent_of_its_light() {
    let volts = RATED * 0.95;
    assert!((filament_amps(volts, RATED) - 0.9722).abs() < 5e-5);
    assert!((filament_light(volts, RATED) - 0.8400).abs() < 5e-5);
    assert!((filament_colour(volts, RATED).0 - 3131.8).abs() < 0.05);
    assert_eq!(filament_colour(RATED, RATED), RATED_COLOUR);
}

/// Jones and Langmuir 1927, values from memory; the power is ours, within 2 % from 2000 K up, where lamps
/// burn, and within 5 % below.
#[test]
fn tungsten_resists_by_temperature_as_the_table_says() {
    let mut golden = Golden::read("r08d_tungsten_rho");
    let ratio = "ratio_to_300K=theoretical I_cold/I_hot at that T";
    golden.hold(
        |value| if value > 10.0 { 0.02 * value } else { 0.05 * value },
        |_, row| {
            let hot = hot_over_cold(Kelvin(row.number("T_K")));
            assert!((row.number("rho_uohm_cm") / 5.65 / row.number(ratio) - 1.0).abs() < 1e-3);
            vec![(ratio, hot)]
        },
    );
    golden.checked(13);
}

/// Cold, a lamp of 3200 K draws at most 17.6 times its running peak (the same table), and a model of
/// supply, lead and heating filament gives 11.7 to 15.6 times for 300 W to 10 kW (computed; the heat
/// that a filament stores is assumed there).
#[test]
fn no_class_of_filament_is_given_more_inrush_than_cold_tungsten_can_draw() {
    let most = hot_over_cold(RATED_COLOUR);
    assert!((most / 17.6 - 1.0).abs() < 0.02, "{most}");
    let classes = || library().heads.iter().filter_map(|(id, class)| Some((id, class.inrush_factor?)));
    assert!(classes().count() >= 7);
    for (id, factor) in classes() {
        assert!(factor < most, "{id}: {factor} of {most}");
        assert!((11.0..16.0).contains(&factor), "{id}: {factor}");
    }
}
