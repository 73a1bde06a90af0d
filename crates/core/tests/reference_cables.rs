//! Leads and earth-fault loops held against values from outside of the project.
//!
//! Tables: `tests/reference`, each with its source. Tolerances: the voltage ladder 1e-4 V; closed forms
//! 1e-4 of the value or half of the last printed digit; BS 7671 table 4F3B 3 percent.

#![expect(clippy::unwrap_used, reason = "a helper that finds nothing fails the test")]
#![expect(clippy::panic, reason = "a helper that finds nothing fails the test")]
#![expect(clippy::disallowed_methods, reason = "the golden tables are files")]

#[path = "golden/table.rs"]
mod table;

use ampwalk_core::library::RegionCode;
use ampwalk_core::physics::cable::{Drawing, arriving_volts, conductor_resistance};
use ampwalk_core::physics::earth_loop::{largest_loop, largest_loop_of_plug_fuse, largest_loop_of_rcd};
use ampwalk_core::plan::{ConductorSize, Curve, Load};
use ampwalk_core::unit::{Amps, Metres, MilliAmps, Ohms, Volts};

use table::{Golden, Row};

/// Closed forms: 1e-4 of the value.
const CLOSED: fn(f64) -> f64 = |value| 1e-4 * value.abs();

fn curve(word: &str) -> Curve {
    Curve::WORDS.iter().find(|(known, _)| *known == word).unwrap().1
}

/// A load as the table prints it: "2000W pf1 @230V".
fn load(row: &Row<'_>) -> Option<Drawing> {
    let behaviour = match row.text("model") {
        "constP" => Load::Steady,
        "constZ" => Load::Resistive,
        "tungsten" => Load::Filament,
        _ => return None,
    };
    let mut words = row.text("loads").split(' ');
    let watts: f64 = words.next()?.strip_suffix('W')?.parse().ok()?;
    let power_factor: f64 = words.next()?.strip_prefix("pf")?.parse().ok()?;
    let volts: f64 = words.next()?.strip_prefix('@')?.strip_suffix('V')?.parse().ok()?;
    // A load that is not steady is taken at power factor 1.
    if behaviour != Load::Steady && power_factor < 1.0 {
        return None;
    }
    let amps = Amps(watts / volts / power_factor);
    Some(Drawing { rated: Volts(volts), amps, power_factor, load: behaviour })
}

#[test]
fn the_volts_at_the_end_of_a_lead_are_those_of_three_network_solvers() {
    // scipy, OpenDSS and pandapower agree to 1e-5 V. Ladders with several loads, and the one with
    // reactance, are not a single lead's.
    let mut golden = Golden::read("r01_voltdrop_ladder");
    golden.hold(
        |_| 1e-4,
        |_, row| {
            let (resistance, reactance) = row.text("loopZ_ohm").split_once('+').unwrap();
            let (Ok(resistance), "j0.000000", Some(drawing)) =
                (resistance.parse::<f64>(), reactance, load(row))
            else {
                return Vec::new();
            };
            let source = Volts(row.number("V0"));
            let volts = arriving_volts(source, Ohms(resistance), drawing).unwrap();
            let drop = 100.0 * (1.0 - volts / source);
            vec![("Vend_scipy", volts.0), ("drop_pct_of_V0", drop)]
        },
    );
    golden.checked(26);
}

#[test]
fn warm_metric_conductors_resist_as_iec_60228_says() {
    let mut golden = Golden::read("r07a_iec60228_mVAm");
    golden.hold(
        // Warm by (234.5 + 70)/254.5, the table by 0.00393 a kelvin: 2e-5 apart.
        CLOSED,
        |_, row| {
            let size = ConductorSize::SquareMillimetres(row.number("mm2"));
            let one = conductor_resistance(size, Metres(1.0)).unwrap();
            vec![("70C", 2000.0 * one.0), ("cl5_3ph_mVAm_70C", 3.0_f64.sqrt() * 1000.0 * one.0)]
        },
    );
    golden.checked(20);
}

#[test]
fn gauges_resist_as_nec_chapter_9_table_8_says() {
    let mut golden = Golden::read("r07c_awg");
    golden.hold(CLOSED, |_, row| {
        let gauge = match row.text("AWG").split_once('/') {
            Some((noughts, _)) => 1 - noughts.parse::<i32>().unwrap(),
            None => row.text("AWG").parse().unwrap(),
        };
        let size = ConductorSize::Gauge(gauge);
        let one = conductor_resistance(size, Metres(1000.0)).unwrap();
        vec![("ohm/km_75C", one.0), ("area_mm2_exact", size.area_mm2()), ("1ph_mVAm_75C", 2.0 * one.0)]
    });
    golden.checked(39);
}

#[test]
fn flexible_cords_drop_what_table_4f3b_of_bs_7671_prints() {
    // Published: millivolts per ampere and metre; its numbers are those of 70 °C.
    for (mm2, printed) in [(0.75, 62.0), (1.0, 46.0), (1.5, 32.0), (2.5, 19.0), (4.0, 12.0)] {
        let one = conductor_resistance(ConductorSize::SquareMillimetres(mm2), Metres(1.0)).unwrap();
        let ours = 2000.0 * one.0;
        assert!((ours / printed - 1.0).abs() < 0.03, "{mm2} mm²: {ours} against {printed}");
    }
}

#[test]
fn the_largest_loops_are_those_of_bs_7671_and_as_nzs_3000() {
    let of = |region, row: &Row<'_>| {
        largest_loop(region, curve(row.text("curve")), Amps(row.number("In_A"))).unwrap().0
    };
    let mut british = Golden::read("r06a_bs7671_zs");
    british.hold(|_| 0.0, |_, row| vec![("Zs_max_Cmin0.95_ohm", of(RegionCode::Uk, row))]);
    british.checked(27);
    let mut australian = Golden::read("r06b_asnzs3000_zs");
    australian.hold(|_| 0.0, |_, row| vec![("Zs_max_ohm", of(RegionCode::Au, row))]);
    australian.checked(27);
    // The same breaker, two standards: C20 is 1.09 Ω and 1.53 Ω.
    let c20 = |region| largest_loop(region, Curve::C, Amps(20.0)).unwrap().0;
    assert!((c20(RegionCode::Uk) - 1.09).abs() < 0.005 && (c20(RegionCode::Nz) - 1.53).abs() < 0.005);
}

#[test]
fn the_cords_of_two_worked_loops_add_what_was_reckoned() {
    // Fixed wiring as given; the cord is two conductors of 1.5 mm² class 5 at 70 °C.
    let mut golden = Golden::read("r06c_loop_worked");
    golden.hold(CLOSED, |_, row| {
        let cord = conductor_resistance(ConductorSize::SquareMillimetres(1.5), Metres(row.number("Lflex_m")));
        let cord = 2.0 * cord.unwrap().0;
        let loop_there = row.number("Ze") + row.number("R1R2_fixed_70C") + cord;
        let breaker = row.text("breaker");
        let largest =
            largest_loop(RegionCode::Uk, curve(&breaker[..1]), Amps(breaker[1..].parse().unwrap())).unwrap();
        assert_eq!(row.text("verdict") == "OK", loop_there <= largest.0, "{breaker}");
        vec![("R1R2_flex_70C", cord), ("Zs", loop_there), ("Zs_max", largest.0)]
    });
    golden.checked(12);
}

/// BS 7671 table 41.5: 50 V over the rated current, as it is printed (from memory; computed as well).
#[test]
fn the_largest_loops_of_rcds_are_those_of_table_41_5() {
    for (rated, printed) in [(30.0, 1667.0), (100.0, 500.0), (300.0, 167.0)] {
        let ours = largest_loop_of_rcd(MilliAmps(rated)).0;
        assert!((ours - printed).abs() <= 0.5, "{rated} mA: {ours}");
    }
}

/// BS 7671 table 41.2, read in a public table: 0.4 s at 0.95 of 230 V; without that 16.4 and 2.42 Ω.
#[test]
fn the_largest_loops_of_plug_fuses_are_those_of_table_41_2() {
    for (rated, printed, without) in [(3.0, 15.6, 16.4), (13.0, 2.3, 2.42)] {
        let ours = largest_loop_of_plug_fuse(Amps(rated)).unwrap();
        assert_eq!(ours, Ohms(printed));
        assert!((ours.0 / without - 0.95).abs() < 2e-3, "{rated} A");
    }
    // Between the published ratings the larger one counts; there is no larger plug fuse.
    assert_eq!(largest_loop_of_plug_fuse(Amps(5.0)), Some(Ohms(2.3)));
    assert_eq!(largest_loop_of_plug_fuse(Amps(20.0)), None);
}

/// The NEC has no such table (earth conductors by its 250.122; from memory), nor do its neighbours'.
#[test]
fn regions_without_a_table_have_no_largest_loop() {
    for region in [RegionCode::Us, RegionCode::Ca, RegionCode::Jp] {
        for curve in [Curve::B, Curve::C, Curve::D, Curve::Ul] {
            assert_eq!(largest_loop(region, curve, Amps(20.0)), None);
        }
    }
}
