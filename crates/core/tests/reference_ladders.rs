//! Ladders of leads, and leads by temperature and by length, held against values from outside of the
//! project: all rows of the voltage ladder that a plan's loads can make, with several loads, reactance
//! and power factors, and what one lead alone does not show.

#![expect(clippy::unwrap_used, reason = "a helper that finds nothing fails the test")]
#![expect(clippy::panic, reason = "a helper that finds nothing fails the test")]
#![expect(clippy::disallowed_methods, reason = "the golden tables are files")]

#[path = "golden/table.rs"]
mod table;

use ampwalk_core::physics::cable::{Drawing, conductor_resistance, conductor_resistance_at};
use ampwalk_core::physics::ladder::{Section, ladder};
use ampwalk_core::plan::ConductorSize::{self, Gauge, SquareMillimetres};
use ampwalk_core::plan::Load;
use ampwalk_core::unit::{Amps, Celsius, Metres, Ohms, Volts};

use table::{Golden, Row};

/// Closed forms: 1e-4 of the value.
const CLOSED: fn(f64) -> f64 = |value| 1e-4 * value.abs();

/// Loads of a row, one at the end of each lead: "800W pf1 @230V|0W pf1 @230V|1600W pf0.9 @230V".
fn drawings(row: &Row<'_>, load: Load) -> Vec<Drawing> {
    let number =
        |word: &str| -> f64 { word.trim_matches(|letter: char| !letter.is_ascii_digit()).parse().unwrap() };
    let one = |text: &str| {
        let words: Vec<_> = text.split(' ').collect();
        let (watts, volts) = (number(words[0]), number(words[2]));
        let power_factor: f64 = words[1].strip_prefix("pf").unwrap().parse().unwrap();
        Drawing { rated: Volts(volts), amps: Amps(watts / volts / power_factor), power_factor, load }
    };
    row.text("loads").split('|').map(one).collect()
}

/// Resistance and reactance of a row's leads: "0.198000+j0.000000|0.314000+j0.000000".
fn leads(row: &Row<'_>) -> Vec<(Ohms, Ohms)> {
    let one = |text: &str| {
        let (resistance, reactance) = text.split_once("+j").unwrap();
        (Ohms(resistance.parse().unwrap()), Ohms(reactance.parse().unwrap()))
    };
    row.text("loopZ_ohm").split('|').map(one).collect()
}

/// Computed with scipy, `OpenDSS` (not for filaments) and pandapower (steady and resistive), which agree
/// to 1e-5 V. Rows of constant amps are no behaviour of a plan's loads.
#[test]
fn every_ladder_gives_the_volts_of_three_network_solvers_in_every_behaviour() {
    let mut golden = Golden::read("r01_voltdrop_ladder");
    golden.hold(
        |_| 1e-4,
        |_, row| {
            let load = match row.text("model") {
                "constP" => Load::Steady,
                "constZ" => Load::Resistive,
                "tungsten" => Load::Filament,
                _ => return Vec::new(),
            };
            let (source, drawings, leads) = (Volts(row.number("V0")), drawings(row, load), leads(row));
            let sections: Vec<_> = leads
                .iter()
                .zip(drawings.chunks(1))
                .map(|((resistance, reactance), drawings)| Section {
                    resistance: *resistance,
                    reactance: *reactance,
                    drawings,
                })
                .collect();
            let arrivals = ladder(source, &sections).unwrap();
            let end = arrivals.last().unwrap().volts;
            let mut ours = vec![
                ("Vend_scipy", end.0),
                ("I_source_A", arrivals[0].amps.0),
                ("drop_pct_of_V0", 100.0 * (1.0 - end / source)),
            ];
            if load != Load::Filament {
                ours.extend([("Vend_opendss", end.0), ("Vend_pandapower", end.0)]);
            }
            // Watts are printed to the milliwatt, of up to a kilowatt: the ohms' last digit shows.
            let lost: f64 =
                arrivals.iter().zip(&leads).map(|(at, (ohms, _))| ohms.0 * at.amps.0 * at.amps.0).sum();
            let printed = row.number("cable_loss_W");
            assert!((lost - printed).abs() < 2e-3, "{lost} is not {printed}");
            ours
        },
    );
    golden.checked(16 * 5 + 4 * 3);
}

/// Computed: both forms of the factor that IEC 60228 annex B gives, 2e-5 apart at 70 °C.
#[test]
fn copper_resists_by_temperature_as_iec_60228_annex_b_says() {
    let mut golden = Golden::read("r07b_temp_factor");
    golden.hold(CLOSED, |_, row| {
        let at = |celsius| {
            conductor_resistance_at(SquareMillimetres(2.5), Metres(1.0), Celsius(celsius)).unwrap().0
        };
        let factor = at(row.number("T_C")) / at(20.0);
        vec![
            ("1+0.00393(T-20)", factor),
            ("IEC60228_AnnexB_kt=254.5/(234.5+T)", 1.0 / factor),
            ("(234.5+T)/254.5", factor),
        ]
    });
    golden.checked(39);
}

/// Millivolts an amp and metre, there and back; computed from IEC 60228 table 3.
#[test]
fn metric_leads_lose_by_temperature_what_the_table_says() {
    let mut golden = Golden::read("r07a_iec60228_mVAm");
    golden.hold(CLOSED, |_, row| {
        let size = SquareMillimetres(row.number("mm2"));
        let at = |celsius| 2000.0 * conductor_resistance_at(size, Metres(1.0), Celsius(celsius)).unwrap().0;
        vec![
            ("cl5_R20_ohm/km", at(20.0) / 2.0),
            ("cl5_1ph_mVAm_20C", at(20.0)),
            ("40C", at(40.0)),
            ("60C", at(60.0)),
            ("70C", at(70.0)),
            ("90C", at(90.0)),
        ]
    });
    golden.checked(60);
}

/// NEC chapter 9 table 8, note 2, rounds its coefficient to 0.00323, which at 20 °C is a ten-thousandth
/// off the line of copper; computed.
#[test]
fn gauges_lose_by_temperature_what_the_table_says() {
    let mut golden = Golden::read("r07c_awg");
    golden.hold(
        |value| 1.1e-4 * value,
        |_, row| {
            let gauge = match row.text("AWG").split_once('/') {
                Some((noughts, _)) => 1 - noughts.parse::<i32>().unwrap(),
                None => row.text("AWG").parse().unwrap(),
            };
            let at = |celsius| {
                2000.0 * conductor_resistance_at(Gauge(gauge), Metres(1.0), Celsius(celsius)).unwrap().0
            };
            vec![("60C(alpha .00323)", at(60.0)), ("20C", at(20.0))]
        },
    );
    golden.checked(26);
}

/// Volts of the limit over amps and ohms a metre, there and back; computed.
#[test]
fn the_longest_leads_for_a_limit_are_those_of_the_table() {
    let mut golden = Golden::read("r07d_max_length");
    golden.hold(CLOSED, |_, row| {
        let size: ConductorSize = match row.text("size").strip_suffix("AWG") {
            Some(gauge) => Gauge(gauge.parse().unwrap()),
            None => SquareMillimetres(row.number("size")),
        };
        let ohms_a_metre = 2.0 * conductor_resistance(size, Metres(1.0)).unwrap().0;
        let volts = row.number("V") * row.number("limit");
        vec![("Lmax_m", volts / (row.number("I_A") * ohms_a_metre))]
    });
    golden.checked(10);
}

/// NEC chapter 9 table 8, published: ohms a thousand feet at 75 °C, stranded and uncoated; the solid column
/// beside it, which some pages print as stranded, is 1.5 to 2.4 % lower. Table 9, published, is the same
/// with alternating current in a plastic conduit, to two digits.
#[test]
#[expect(clippy::approx_constant, reason = "3.14 ohm/kft of 14 AWG is no circle")]
fn gauges_resist_as_the_stranded_column_of_table_8_and_not_as_the_solid_one() {
    let kilofeet = |gauge| conductor_resistance(Gauge(gauge), Metres(304.8)).unwrap().0;
    let stranded = [
        (18, 7.95),
        (16, 4.99),
        (14, 3.14),
        (12, 1.98),
        (10, 1.24),
        (8, 0.778),
        (6, 0.491),
        (4, 0.308),
        (2, 0.194),
        (1, 0.154),
        (0, 0.122),
        (-1, 0.0967),
        (-3, 0.0608),
    ];
    for (gauge, printed) in stranded {
        assert!((kilofeet(gauge) / printed - 1.0).abs() < 1e-4, "{gauge} AWG: {}", kilofeet(gauge));
    }
    for (gauge, solid) in [(18, 7.77), (16, 4.89), (14, 3.07), (12, 1.93), (10, 1.21), (8, 0.764)] {
        assert!(kilofeet(gauge) / solid > 1.015, "{gauge} AWG: {}", kilofeet(gauge));
    }
    for (gauge, conduit) in [(14, 3.1), (12, 2.0), (10, 1.2), (8, 0.78), (6, 0.49)] {
        assert!((kilofeet(gauge) / conduit - 1.0).abs() < 0.035, "{gauge} AWG: {}", kilofeet(gauge));
    }
}

/// Worked outside of the project: 8.70 A over 25 m of 2.5 mm² class 5 at 70 °C lose 4.151 V, 1.805 %. The
/// standard's own way (IEC 60364-5-52 annex G) takes 0.0225 Ω·mm²/m, 3.913 V: copper at 68 °C of a conductor
/// without the tolerance of a flexible one.
#[test]
fn twenty_five_metres_lose_what_was_worked_and_more_than_annex_g_says() {
    let one = conductor_resistance(SquareMillimetres(2.5), Metres(25.0)).unwrap();
    let lost = 2.0 * one.0 * 8.695_652;
    assert!((lost - 4.151).abs() < 6e-4 && (lost / 2.3 - 1.805).abs() < 6e-4, "{lost}");
    let annex_g = 2.0 * 0.0225 * 25.0 / 2.5 * 8.695_652;
    assert!((annex_g - 3.913_f64).abs() < 6e-4 && (1.05..1.08).contains(&(lost / annex_g)));
}

/// BS 7671 table 4F2B, published, 90 °C flexible with tinned wires (IEC 60228: 2 to 3 % more): 4 to 16 mm².
#[test]
fn heavy_flexible_leads_at_90_degrees_drop_a_little_less_than_tinned_ones() {
    for (mm2, printed) in [(4.0, 13.2), (6.0, 8.5), (10.0, 5.1), (16.0, 3.2)] {
        let ours =
            2000.0 * conductor_resistance_at(SquareMillimetres(mm2), Metres(1.0), Celsius(90.0)).unwrap().0;
        assert!((0.95..1.0).contains(&(ours / printed)), "{mm2} mm²: {ours} against {printed}");
    }
}

/// IEC 60364-5-52 annex G, from memory: 0.08 Ω/km a conductor. Left out by the program: up to 16 mm² and down
/// to a power factor of 0.9 it moves the volts that arrive by less than a quarter of a percent.
#[test]
fn the_reactance_of_a_lead_counts_for_next_to_nothing() {
    for (mm2, watts) in [(1.5, 2000.0), (2.5, 3000.0), (4.0, 4500.0), (16.0, 12000.0)] {
        for power_factor in [0.9, 0.95, 1.0] {
            let amps = Amps(watts / 230.0 / power_factor);
            let drawing = [Drawing { rated: Volts(230.0), amps, power_factor, load: Load::Steady }];
            let resistance = conductor_resistance(SquareMillimetres(mm2), Metres(50.0)).unwrap() * 2.0;
            let volts = |reactance| {
                let section = Section { resistance, reactance: Ohms(reactance), drawings: &drawing };
                ladder(Volts(230.0), &[section]).unwrap()[0].volts
            };
            let moved = 1.0 - volts(2.0 * 0.08 * 0.05) / volts(0.0);
            assert!((0.0..0.0025).contains(&moved), "{mm2} mm², {power_factor}: {moved}");
        }
    }
}

/// AS/NZS 3199 and 3012, from memory: the longest extension cords, by rating and size. At that length and
/// the whole rating each loses about 5 % of 230 V by our resistance, which is the region's total.
#[test]
fn the_longest_extension_cords_of_as_nzs_3199_lose_about_five_percent() {
    let cords = [
        (10.0, 1.0, 25.0),
        (10.0, 1.5, 35.0),
        (10.0, 2.5, 60.0),
        (15.0, 1.5, 25.0),
        (15.0, 2.5, 40.0),
        (20.0, 2.5, 30.0),
    ];
    for (amps, mm2, metres) in cords {
        let one = conductor_resistance(SquareMillimetres(mm2), Metres(metres)).unwrap();
        let percent = 100.0 * 2.0 * one.0 * amps / 230.0;
        assert!((4.7..5.3).contains(&percent), "{amps} A, {mm2} mm², {metres} m: {percent}");
    }
}

/// BS 7671 table 4F3B, published: the sizes and the three-line column that lie beside those of one line.
#[test]
fn thin_cords_and_three_lines_drop_what_table_4f3b_of_bs_7671_prints() {
    let one = |mm2| 1000.0 * conductor_resistance(SquareMillimetres(mm2), Metres(1.0)).unwrap().0;
    for (mm2, printed) in [(0.5, 93.0), (1.25, 37.0)] {
        let ours = 2.0 * one(mm2);
        assert!((ours / printed - 1.0).abs() < 0.03, "{mm2} mm²: {ours} against {printed}");
    }
    for (mm2, printed) in [(0.5, 80.0_f64), (0.75, 54.0), (1.0, 40.0), (1.5, 27.0), (2.5, 16.0), (4.0, 10.0)]
    {
        let ours = 3.0_f64.sqrt() * one(mm2);
        // Printed without decimals, from 2.5 mm² on rounded by more than three percent.
        assert!((ours - printed).abs() < (0.03 * printed).max(0.55), "{mm2} mm²: {ours} against {printed}");
    }
}
