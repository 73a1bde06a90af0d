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
