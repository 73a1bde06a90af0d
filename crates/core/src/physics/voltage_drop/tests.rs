use proptest::prelude::*;

use super::*;

fn draw(load: Load, watts: f64, volts: f64, power_factor: f64) -> Draw {
    Draw {
        amps: Amps(watts / volts / power_factor),
        volts: Volts(volts),
        power_factor,
        shift: Shift::Lagging,
        load,
    }
}

fn single(source: f64, lead: impl Into<Impedance>, draw: Draw) -> Option<Vec<Arrival>> {
    ladder(Volts(source), &[Section { lead: lead.into(), draws: &[draw] }])
}

const LOADS: [Load; 3] = [Load::Steady, Load::Filament, Load::Resistive];

#[test]
fn a_steady_load_past_the_most_that_a_lead_brings_has_no_answer() {
    // Closed form: 230² / (4 × 3.1827 Ω) = 4155.3 W at power factor 1.
    let at = |watts| arrival(Volts(230.0), Ohms(3.1827), draw(Load::Steady, watts, 230.0, 1.0));
    let most = 230.0_f64.powi(2) / 4.0 / 3.1827;
    assert!((most - 4155.3).abs() < 0.05);
    // At the very top half of the volts are left.
    assert!((at(most * (1.0 - 1e-12)).unwrap().volts.0 - 115.0).abs() < 1e-3);
    assert_eq!(at(most * (1.0 + 1e-9)), None);
    assert_eq!(single(230.0, Ohms(3.1827), draw(Load::Steady, 4200.0, 230.0, 1.0)), None);
}

#[test]
fn a_leading_current_loses_less_through_a_coil_than_a_lagging_one() {
    let coil = Impedance { resistance: Ohms(0.2), reactance: Ohms(0.4) };
    let lagging = draw(Load::Filament, 2000.0, 230.0, 0.7);
    let leading = Draw { shift: Shift::Leading, ..lagging };
    for load in LOADS {
        let at = |draw: Draw| arrival(Volts(230.0), coil, Draw { load, ..draw }).unwrap().volts;
        // a = 0.2·0.7 − 0.4·0.714 is under 0, so the volts even rise.
        assert!(at(leading) > Volts(230.0) && at(lagging) < Volts(230.0), "{load:?}");
    }
}

#[test]
fn without_a_lead_or_a_load_nothing_is_lost() {
    for load in LOADS {
        let all = arrival(Volts(240.0), Ohms::ZERO, draw(load, 1000.0, 230.0, 0.9)).unwrap();
        assert!((all.volts.0 - 240.0).abs() < 1e-9, "{load:?}");
        let idle = arrival(Volts(240.0), Ohms(1.0), draw(load, 0.0, 230.0, 0.9)).unwrap();
        assert!((idle.volts.0 - 240.0).abs() < 1e-9 && idle.amps == Amps::ZERO, "{load:?}");
    }
    assert_eq!(ladder(Volts(230.0), &[]), Some(Vec::new()));
    assert_eq!(arrival(Volts::ZERO, Ohms(1.0), draw(Load::Steady, 100.0, 230.0, 1.0)), None);
    let no_volts = Draw { volts: Volts::ZERO, ..draw(Load::Steady, 100.0, 230.0, 1.0) };
    assert_eq!(arrival(Volts(230.0), Ohms(1.0), no_volts), None);
    assert_eq!(single(230.0, Ohms(1.0), no_volts), None);
}

#[test]
fn a_known_current_takes_what_ohm_says() {
    // By hand: 230 − 10 × 1.5 = 215 V; with 200 A the lead would take more than there is.
    let at = |amps| volts_at_current(Volts(230.0), Ohms(1.5), Amps(amps), 1.0, Shift::Lagging);
    assert!((at(10.0).unwrap().0 - 215.0).abs() < 1e-12);
    assert_eq!(at(200.0), None);
    assert!((percent_lost(Volts(230.0), Volts(215.0)) - 6.521_739).abs() < 1e-6);
    assert!(percent_lost(Volts::ZERO, Volts::ZERO).abs() < f64::EPSILON);
}

#[test]
fn the_longest_lead_loses_just_the_limit() {
    let longest = |amps| longest(Volts(230.0), 3.0, Amps(amps), Ohms(0.03));
    assert!((longest(10.0).unwrap().0 - 23.0).abs() < 1e-9);
    assert_eq!(longest(0.0), None);
}

#[test]
fn a_heavy_resistive_ladder_settles_though_it_takes_most_of_the_volts() {
    // Closed form: 23 Ω of lamps behind 69 Ω of lead keep a quarter.
    let arrivals = single(230.0, Ohms(69.0), draw(Load::Resistive, 2300.0, 230.0, 1.0)).unwrap();
    assert!((arrivals[0].volts.0 - 57.5).abs() < 1e-8, "{arrivals:?}");
}

fn any_load() -> impl Strategy<Value = Load> {
    proptest::sample::select(LOADS.to_vec())
}

proptest! {
    /// What arrives, plus what the lead takes, is what went in.
    #[test]
    fn the_answer_satisfies_the_law(
        load in any_load(), watts in 1.0_f64..20_000.0, ohms in 0.0_f64..5.0, reactance in 0.0_f64..0.5,
        power_factor in 0.5_f64..=1.0, source in 90.0_f64..260.0,
    ) {
        let lead = Impedance { resistance: Ohms(ohms), reactance: Ohms(reactance) };
        let draw = draw(load, watts, 230.0, power_factor);
        let Some(Arrival { volts, amps }) = arrival(Volts(source), lead, draw) else {
            prop_assert_eq!(load, Load::Steady);
            return Ok(());
        };
        let (along, across) = components(lead, power_factor, Shift::Lagging);
        let seen = (volts.0 + amps.0 * along).hypot(amps.0 * across);
        prop_assert!((seen - source).abs() < 1e-8, "{} {}", seen, source);
        prop_assert!(volts.0.is_finite() && volts.0 > 0.0 && amps.0.is_finite());
    }

    #[test]
    fn drop_grows_with_length_and_with_load(
        load in any_load(), watts in 10.0_f64..3000.0, ohms in 0.01_f64..1.5, more in 1.01_f64..1.5,
        power_factor in 0.6_f64..=1.0,
    ) {
        let volts = |watts, ohms| {
            let arrival = arrival(Volts(230.0), Ohms(ohms), draw(load, watts, 230.0, power_factor));
            arrival.map_or(0.0, |arrival| arrival.volts.0)
        };
        prop_assert!(volts(watts, ohms * more) < volts(watts, ohms));
        prop_assert!(volts(watts * more, ohms) < volts(watts, ohms));
    }

    /// A steady load takes the most, a resistive one the least, a filament lies between: on leads
    /// that bring less than nominal volts.
    #[test]
    fn the_behaviours_keep_their_order(watts in 10.0_f64..3000.0, ohms in 0.01_f64..1.5) {
        let volts = |load| arrival(Volts(230.0), Ohms(ohms), draw(load, watts, 230.0, 1.0))
            .map_or(0.0, |arrival| arrival.volts.0);
        prop_assert!(volts(Load::Steady) < volts(Load::Filament));
        prop_assert!(volts(Load::Filament) < volts(Load::Resistive));
    }

    #[test]
    fn a_ladder_of_one_lead_says_the_same(
        load in any_load(), watts in 10.0_f64..2500.0, ohms in 0.0_f64..2.0, reactance in 0.0_f64..0.2,
        power_factor in 0.6_f64..=1.0,
    ) {
        let lead = Impedance { resistance: Ohms(ohms), reactance: Ohms(reactance) };
        let draw = draw(load, watts, 230.0, power_factor);
        let closed = arrival(Volts(230.0), lead, draw).unwrap();
        let stepped = single(230.0, lead, draw).unwrap()[0];
        prop_assert!((closed.volts - stepped.volts).0.abs() < 1e-7, "{closed:?} {stepped:?}");
        prop_assert!((closed.amps - stepped.amps).0.abs() < 1e-7, "{closed:?} {stepped:?}");
    }

    /// Two leads in a row with nothing between are one lead.
    #[test]
    fn drops_of_a_chain_add(load in any_load(), watts in 10.0_f64..2000.0, first in 0.0_f64..1.0, second in 0.0_f64..1.0) {
        let draws = [draw(load, watts, 230.0, 0.95)];
        let sections = [
            Section { lead: Ohms(first).into(), draws: &[] },
            Section { lead: Ohms(second).into(), draws: &draws },
        ];
        let chained = ladder(Volts(230.0), &sections).unwrap();
        let whole = arrival(Volts(230.0), Ohms(first + second), draws[0]).unwrap();
        prop_assert!((chained[1].volts - whole.volts).0.abs() < 1e-7);
        prop_assert!((chained[0].amps - whole.amps).0.abs() < 1e-7);
    }
}
