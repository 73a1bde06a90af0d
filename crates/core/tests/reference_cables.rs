//! Leads, filaments and earth-fault loops against standards, tables and other programs' answers.
//!
//! Certainty: "published" was read in a public page or table; "computed" was worked outside the
//! project, by a closed form or with the libraries that are named; "from memory" is neither.

#![expect(clippy::expect_used, clippy::panic, reason = "a helper that finds nothing fails the test")]

#[path = "support/golden.rs"]
mod golden;

use ampwalk_core::library::{Conductor, RegionCode, library};
use ampwalk_core::physics::cable::{lead_rating, lead_resistance, resistance};
use ampwalk_core::physics::earth_loop::{least_fault_current, limit_zs, limit_zs_behind_rcd, zs_at_end};
use ampwalk_core::physics::filament::{amps_share, colour_temperature, light_share, watts_share};
use ampwalk_core::physics::phasor::Shift;
use ampwalk_core::physics::voltage_drop::{
    Draw, Impedance, Section, arrival, ladder, longest, percent_lost, volts_at_current,
};
use ampwalk_core::plan::ConductorSize::{Gauge, SquareMillimetres};
use ampwalk_core::plan::{Cable, ConductorSize, Curve, Line, Load};
use ampwalk_core::unit::{Amps, Celsius, Metres, MilliAmps, Ohms, Volts};

use golden::{Golden, Row, Tally, golden};

/// A closed form, as a share of its value.
const CLOSED_FORM: f64 = 1e-4;
/// A ladder, volts.
const LADDER: f64 = 1e-4;
/// A printed table of volt drops, as a share of its value.
const PRINTED_DROP: f64 = 0.03;
/// Half of the last digit of a table with two decimals.
const HALF_A_DIGIT: f64 = 0.005;

fn curve(word: &str) -> Curve {
    Curve::WORDS.iter().find(|(name, _)| *name == word).expect("a curve").1
}

fn built_in(size: ConductorSize) -> &'static Conductor {
    library().cables.conductor(size).expect("a size that is built in")
}

/// A conductor of class 2, as in fixed wiring, which no lead has.
fn fixed(ohm_per_km: f64) -> Conductor {
    Conductor { mm2: Some(1.0), awg: None, ohm_per_km, celsius: 20.0, source: String::new() }
}

fn lead(size: ConductorSize) -> Cable {
    Cable {
        length: Metres(25.0),
        size,
        plug: None,
        rated: None,
        count: None,
        reel_rated: None,
        on_reel: false,
        fuse: None,
    }
}

/// Millivolts that an amp loses on a metre, there and back, at a temperature.
fn mv_a_m(conductor: &Conductor, celsius: f64) -> f64 {
    2.0 * 1000.0 * resistance(conductor, Metres(1.0), Celsius(celsius)).0
}

/// The first number of a text such as `2000W` or `@230V`.
fn quantity(text: &str) -> f64 {
    text.trim_matches(|letter: char| !letter.is_ascii_digit()).parse().expect("a number")
}

fn ladder_table() -> Golden {
    golden(include_str!("../../../tests/reference/voltage-drop-ladder.csv"))
}

/// Leads of a row of the ladder table.
fn leads(row: Row<'_>) -> Vec<Impedance> {
    let parse = |text: &str| text.parse().expect("ohms");
    row.text("loopZ_ohm")
        .split('|')
        .map(|lead| lead.split_once("+j").expect("resistance and reactance"))
        .map(|(resistance, reactance)| Impedance {
            resistance: Ohms(parse(resistance)),
            reactance: Ohms(parse(reactance)),
        })
        .collect()
}

/// Loads of a row of the ladder table, one a lead.
fn draws(row: Row<'_>, load: Load) -> Vec<Draw> {
    row.text("loads")
        .split('|')
        .map(|text| {
            let words: Vec<_> = text.split(' ').collect();
            let (watts, volts) = (quantity(words[0]), quantity(words[2]));
            let power_factor = words[1].trim_start_matches("pf").parse().expect("a power factor");
            let amps = Amps(watts / volts / power_factor);
            Draw { amps, volts: Volts(volts), power_factor, shift: Shift::Lagging, load }
        })
        .collect()
}

/// Four ladders A, B, E, G of one lead in every behaviour, C and H without a filament, D and F of
/// several leads: computed with scipy, `OpenDSS` and pandapower, which agree to 1e-5 V.
#[test]
fn voltage_ladders_agree_with_three_other_programs_in_every_behaviour() {
    let mut tally = Tally::default();
    for row in ladder_table().rows() {
        let load = match row.text("model") {
            "constP" => Load::Steady,
            "constZ" => Load::Resistive,
            "tungsten" => Load::Filament,
            _ => continue,
        };
        let what = format!("{} {load:?}", row.text("case"));
        let (source, leads, draws) = (Volts(row.number("V0")), leads(row), draws(row, load));
        let sections: Vec<_> =
            leads.iter().zip(draws.chunks(1)).map(|(lead, draws)| Section { lead: *lead, draws }).collect();
        let arrivals = ladder(source, &sections).expect("volts at every end");
        let end = arrivals.last().unwrap().volts;
        for program in ["Vend_scipy", "Vend_opendss", "Vend_pandapower"] {
            if let Some(volts) = row.maybe(program) {
                tally.near(&what, end.0, volts, LADDER);
            }
        }
        tally.near(&what, arrivals[0].amps.0, row.number("I_source_A"), 2e-5);
        tally.near(&what, percent_lost(source, end), row.number("drop_pct_of_V0"), 1e-4);
        let lost = arrivals.iter().zip(&leads).map(|(at, lead)| lead.resistance.0 * at.amps.0.powi(2));
        tally.near(&what, lost.sum(), row.number("cable_loss_W"), 2e-3);
        if let ([lead], [draw]) = (&leads[..], &draws[..]) {
            // The closed form, where there is one lead.
            let alone = arrival(source, *lead, *draw).expect("volts at the end");
            tally.near(&what, alone.volts.0, row.number("Vend_scipy"), LADDER);
            tally.near(&what, alone.amps.0, row.number("I_source_A"), 2e-5);
        }
    }
    tally.ends_at(LADDER_VALUES);
}

/// 16 rows of steady and resistive loads by three programs, four of filaments by one; amps, percent
/// and watts lost of each; and the closed form's volts and amps where there is one lead.
const LADDER_VALUES: usize = 16 * 3 + 4 + 20 * 3 + 16 * 2;

/// The same ladders at a known current, computed with scipy and `OpenDSS`.
#[test]
fn at_a_known_current_the_volts_are_those_of_two_other_programs() {
    let mut tally = Tally::default();
    for row in ladder_table().rows().filter(|row| row.text("model") == "constI") {
        let (leads, draws) = (leads(row), draws(row, Load::Steady));
        let ([lead], [draw]) = (&leads[..], &draws[..]) else { continue };
        let source = Volts(row.number("V0"));
        let volts = volts_at_current(source, *lead, draw.amps, draw.power_factor, draw.shift).unwrap();
        for program in ["Vend_scipy", "Vend_opendss"] {
            tally.near(row.text("case"), volts.0, row.number(program), LADDER);
        }
        tally.near(row.text("case"), percent_lost(source, volts), row.number("drop_pct_of_V0"), 1e-4);
    }
    tally.ends_at(6 * 3);
}

/// The ladders from sizes and lengths, as a plan has them: computed with scipy, `OpenDSS`, pandapower.
#[test]
fn ladders_from_size_and_length_give_the_same_volts() {
    let mut tally = Tally::default();
    let steady = |size, metres, source: f64, watts: f64, power_factor: f64, load| {
        let ohms = lead_resistance(size, Metres(metres), Line::L1).unwrap();
        let amps = Amps(watts / source / power_factor);
        let draw = Draw { amps, volts: Volts(source), power_factor, shift: Shift::Lagging, load };
        arrival(Volts(source), ohms, draw).unwrap().volts.0
    };
    for (size, metres, source, watts, power_factor, [constant_power, constant_impedance]) in [
        (SquareMillimetres(2.5), 25.0, 230.0, 2000.0, 1.0, [225.770_90, 225.922_27]),
        (SquareMillimetres(1.5), 50.0, 230.0, 3000.0, 1.0, [206.929_13, 210.961_48]),
        (Gauge(12), 30.48, 120.0, 1800.0, 1.0, [113.732_67, 114.340_16]),
        (SquareMillimetres(1.5), 100.0, 230.0, 3000.0, 0.9, [173.377_13, 194.301_88]),
    ] {
        let volts = |load| steady(size, metres, source, watts, power_factor, load);
        // The row of a gauge is rounded to five figures in ohms a kilometre.
        tally.near("steady", volts(Load::Steady), constant_power, LADDER);
        tally.near("resistive", volts(Load::Resistive), constant_impedance, LADDER);
    }
    for (size, metres, source, watts, tungsten) in [
        (SquareMillimetres(2.5), 25.0, 230.0, 2000.0, 225.889_63),
        (SquareMillimetres(1.5), 50.0, 230.0, 3000.0, 210.243_72),
        (Gauge(12), 30.48, 120.0, 1800.0, 114.219_13),
    ] {
        tally.near("filament", steady(size, metres, source, watts, 1.0, Load::Filament), tungsten, LADDER);
    }
    // Closed form: 230² / 4R = 4155.3 W is the most that 3.1827 Ω bring.
    let at = |watts: f64| {
        let amps = Amps(watts / 230.0);
        let load = Load::Steady;
        let draw = Draw { amps, volts: Volts(230.0), power_factor: 1.0, shift: Shift::Lagging, load };
        arrival(Volts(230.0), Ohms(3.1827), draw)
    };
    tally.same("just", &at(4155.2).is_some(), &true);
    tally.same("collapse", &at(4155.4), &None);
    tally.ends_at(4 * 2 + 3 + 2);
}

/// IEC 60228 tables 2 and 3, published; millivolts by temperature computed.
#[test]
fn metric_conductors_lose_what_iec_60228_says() {
    let mut tally = Tally::default();
    for row in golden(include_str!("../../../tests/reference/iec-60228-mv-a-m.csv")).rows() {
        let flexible = built_in(SquareMillimetres(row.number("mm2")));
        let what = row.text("mm2");
        tally.near(what, flexible.ohm_per_km, row.number("cl5_R20_ohm/km"), 1e-9);
        for (column, celsius) in
            [("cl5_1ph_mVAm_20C", 20.0), ("40C", 40.0), ("60C", 60.0), ("70C", 70.0), ("90C", 90.0)]
        {
            tally.within(what, mv_a_m(flexible, celsius), row.number(column), CLOSED_FORM);
        }
        // Between the lines √3 times what one of them loses.
        let a_line = lead_resistance(SquareMillimetres(row.number("mm2")), Metres(1.0), Line::All).unwrap();
        let between_lines = 1000.0 * a_line.0 * 3.0_f64.sqrt();
        tally.within(what, between_lines, row.number("cl5_3ph_mVAm_70C"), CLOSED_FORM);
        let class_2 = fixed(row.number("cl2_R20_ohm/km"));
        tally.within(what, mv_a_m(&class_2, 70.0), row.number("cl2_1ph_mVAm_70C"), CLOSED_FORM);
    }
    tally.ends_at(10 * 8);
}

/// BS 7671 table 4F3B, published: its numbers are those of class 5 copper at 70 °C, rounded to
/// whole millivolts.
#[test]
fn flexible_cords_lose_what_bs_7671_table_4f3b_prints() {
    let mut tally = Tally::default();
    for (mm2, printed) in
        [(0.5, 93.0), (0.75, 62.0), (1.0, 46.0), (1.25, 37.0), (1.5, 32.0), (2.5, 19.0), (4.0, 12.0)]
    {
        let ohms = lead_resistance(SquareMillimetres(mm2), Metres(1.0), Line::L1).unwrap();
        tally.within(&format!("{mm2} mm2"), 1000.0 * ohms.0, printed, PRINTED_DROP);
    }
    for (mm2, printed) in [(0.5, 80.0), (0.75, 54.0), (1.0, 40.0), (1.5, 27.0), (2.5, 16.0), (4.0, 10.0)] {
        let ohms = lead_resistance(SquareMillimetres(mm2), Metres(1.0), Line::All).unwrap();
        let between_lines = 1000.0 * ohms.0 * 3.0_f64.sqrt();
        // Printed without decimals, so half a millivolt beside the three percent.
        tally.near(&format!("{mm2} mm2"), between_lines, printed, (printed * PRINTED_DROP).max(0.55));
    }
    tally.ends_at(13);
}

/// IEC 60228 annex B: computed, both forms of the factor.
#[test]
fn copper_resists_more_when_hot_by_iec_60228_annex_b() {
    let mut tally = Tally::default();
    let copper = fixed(1000.0);
    for row in golden(include_str!("../../../tests/reference/temperature-factor.csv")).rows() {
        let factor = resistance(&copper, Metres(1.0), Celsius(row.number("T_C"))).0;
        tally.within(row.text("T_C"), factor, row.number("1+0.00393(T-20)"), 1e-5);
        tally.within(row.text("T_C"), factor, row.number("(234.5+T)/254.5"), CLOSED_FORM);
        let back = 1.0 / factor;
        tally.within(row.text("T_C"), back, row.number("IEC60228_AnnexB_kt=254.5/(234.5+T)"), CLOSED_FORM);
    }
    tally.ends_at(13 * 3);
}

/// ASTM B258 areas, computed; NEC chapter 9 table 8 stranded, published, and by its note 2 at other
/// temperatures, computed.
#[test]
fn gauges_lose_what_nec_table_8_says() {
    let mut tally = Tally::default();
    // The columns have four decimals, which is less than a closed form's share for the thickest.
    let share_or_digit = |published: f64| (CLOSED_FORM * published).max(5.1e-5);
    for row in golden(include_str!("../../../tests/reference/awg.csv")).rows() {
        let gauge = match row.text("AWG").split_once("/0") {
            Some((aught, _)) => 1 - aught.parse::<i32>().unwrap(),
            None => row.text("AWG").parse().unwrap(),
        };
        let what = row.text("AWG");
        tally.near(what, Gauge(gauge).area_mm2(), row.number("area_mm2_exact"), 5.1e-5);
        let conductor = built_in(Gauge(gauge));
        assert_eq!(conductor.awg, Some(gauge));
        let per_km = row.number("NEC_T8_stranded_uncoated_ohm/kft_75C") * 3.28084;
        tally.within(what, conductor.ohm_per_km, per_km, CLOSED_FORM);
        let per_km = row.number("ohm/km_75C");
        tally.near(what, conductor.ohm_per_km, per_km, share_or_digit(per_km));
        for (column, celsius) in [("1ph_mVAm_75C", 75.0), ("60C(alpha .00323)", 60.0), ("20C", 20.0)] {
            let published = row.number(column);
            tally.near(what, mv_a_m(conductor, celsius), published, share_or_digit(published));
        }
        let loaded = lead_resistance(Gauge(gauge), Metres(1.0), Line::L1).unwrap();
        let published = row.number("1ph_mVAm_75C");
        tally.near(what, 1000.0 * loaded.0, published, share_or_digit(published));
    }
    tally.ends_at(13 * 7);
}

/// Computed: volts of the limit over amps and ohms a metre.
#[test]
fn the_longest_leads_are_those_of_the_table() {
    let mut tally = Tally::default();
    for row in golden(include_str!("../../../tests/reference/longest-lead.csv")).rows() {
        let size = match row.text("size").strip_suffix("AWG") {
            Some(gauge) => Gauge(gauge.parse().unwrap()),
            None => SquareMillimetres(row.number("size")),
        };
        let a_metre = lead_resistance(size, Metres(1.0), Line::L1).unwrap();
        let (volts, amps) = (Volts(row.number("V")), Amps(row.number("I_A")));
        let metres = longest(volts, 100.0 * row.number("limit"), amps, a_metre).unwrap();
        tally.within(row.text("size"), metres.0, row.number("Lmax_m"), CLOSED_FORM);
    }
    tally.ends_at(10);
}

/// What cords carry: BS 7671 table 4F3A from memory, AS/NZS 3191 from memory, NEC 400.5(A)(1) column
/// B published and column A from memory.
#[test]
fn leads_carry_what_the_regions_tables_say() {
    let mut tally = Tally::default();
    let carries = |region, size, line| lead_rating(region, &lead(size), line).unwrap().amps.0;
    for (mm2, one, three) in [
        (0.5, 3.0, 3.0),
        (0.75, 6.0, 6.0),
        (1.0, 10.0, 10.0),
        (1.25, 13.0, 13.0),
        (1.5, 16.0, 16.0),
        (2.5, 25.0, 20.0),
        (4.0, 32.0, 25.0),
    ] {
        tally.near("4F3A", carries(RegionCode::Uk, SquareMillimetres(mm2), Line::L1), one, 1e-9);
        tally.near("4F3A", carries(RegionCode::Uk, SquareMillimetres(mm2), Line::All), three, 1e-9);
    }
    for (mm2, amps) in [(0.75, 7.5), (1.0, 10.0), (1.5, 15.0), (2.5, 20.0), (4.0, 25.0)] {
        tally.near("3191", carries(RegionCode::Au, SquareMillimetres(mm2), Line::L1), amps, 1e-9);
    }
    for (gauge, two, three) in [
        (18, 10.0, 7.0),
        (16, 13.0, 10.0),
        (14, 18.0, 15.0),
        (12, 25.0, 20.0),
        (10, 30.0, 25.0),
        (8, 40.0, 35.0),
    ] {
        tally.near("400.5", carries(RegionCode::Us, Gauge(gauge), Line::L1L2), two, 1e-9);
        tally.near("400.5", carries(RegionCode::Us, Gauge(gauge), Line::All), three, 1e-9);
    }
    tally.ends_at(14 + 5 + 12);
}

/// BS 7671 table 41.3, published and computed. The column without Cmin and the rule of four fifths
/// for a cold measurement follow from it.
#[test]
fn loops_in_the_uk_are_those_of_bs_7671_table_41_3() {
    let mut tally = Tally::default();
    for row in golden(include_str!("../../../tests/reference/bs-7671-zs.csv")).rows() {
        let limit = limit_zs(RegionCode::Uk, curve(row.text("curve")), Amps(row.number("In_A"))).unwrap();
        let what = format!("{}{}", row.text("curve"), row.text("In_A"));
        tally.near(&what, limit.0, row.number("Zs_max_Cmin0.95_ohm"), HALF_A_DIGIT);
        tally.near(&what, limit.0 * 0.8, row.number("x0.8_measured_cold"), HALF_A_DIGIT);
        tally.near(&what, limit.0 / 0.95, row.number("U0/Ia_noCmin"), HALF_A_DIGIT);
        let current = least_fault_current(RegionCode::Uk, limit).unwrap();
        tally.near(&what, current.0, row.number("Ia_A"), 1e-9);
    }
    tally.ends_at(27 * 4);
}

/// AS/NZS 3000 table 8.1, computed; the table itself from memory.
#[test]
fn loops_in_australia_and_new_zealand_are_those_of_as_nzs_3000_table_8_1() {
    let mut tally = Tally::default();
    for row in golden(include_str!("../../../tests/reference/as-nzs-3000-zs.csv")).rows() {
        for region in [RegionCode::Au, RegionCode::Nz] {
            let limit = limit_zs(region, curve(row.text("curve")), Amps(row.number("In_A"))).unwrap();
            let what = format!("{region} {}{}", row.text("curve"), row.text("In_A"));
            tally.near(&what, limit.0, row.number("Zs_max_ohm"), HALF_A_DIGIT);
            tally.near(&what, limit.0 * 0.8, row.number("x0.8_cold_supply_off_note"), HALF_A_DIGIT);
            let current = least_fault_current(region, limit).unwrap();
            tally.near(&what, current.0, row.number("mean_trip_A"), 1e-9);
        }
    }
    tally.ends_at(27 * 2 * 3);
}

/// C20: 1.09 Ω in the UK (published), 1.53 Ω in Australia and New Zealand (computed). Loops behind an
/// RCD: BS 7671 table 41.5, from memory.
#[test]
fn c20_has_two_limits_and_an_rcd_a_high_one() {
    let mut tally = Tally::default();
    let c20 = |region| limit_zs(region, Curve::C, Amps(20.0)).unwrap().0;
    tally.near("uk", c20(RegionCode::Uk), 1.09, HALF_A_DIGIT);
    tally.near("au", c20(RegionCode::Au), 1.53, HALF_A_DIGIT);
    tally.near("nz", c20(RegionCode::Nz), 1.53, HALF_A_DIGIT);
    for (milliamps, ohms) in [(30.0, 1667.0), (100.0, 500.0), (300.0, 167.0)] {
        tally.near("rcd", limit_zs_behind_rcd(MilliAmps(milliamps)).unwrap().0, ohms, 0.5);
    }
    tally.ends_at(6);
}

/// Worked loops, computed: a declared Ze (from memory), fixed wiring of IEC 60228 class 2 and a lead
/// of class 5, both at 70 °C. Two named ones: 1.6125 Ω holds, 2.8582 Ω leaves only the RCD.
#[test]
fn worked_loops_come_to_the_ohms_that_were_worked() {
    let mut tally = Tally::default();
    for row in golden(include_str!("../../../tests/reference/loop-worked.csv")).rows() {
        let (kind, rated) = row.text("breaker").split_at(1);
        let rated = Amps(rated.parse().unwrap());
        let metres = Metres(row.number("Lfix_m"));
        let conductors = [fixed(7.41), fixed(12.1)];
        let both: Ohms = conductors.iter().map(|one| resistance(one, metres, Celsius(70.0))).sum();
        let wiring = if row.text("fixed").starts_with("ring") { both * 0.5 } else { both };
        tally.near("fixed", wiring.0, row.number("R1R2_fixed_70C"), 5.1e-5);
        let lead = lead_resistance(SquareMillimetres(1.5), Metres(row.number("Lflex_m")), Line::L1).unwrap();
        tally.near("lead", lead.0, row.number("R1R2_flex_70C"), 5.1e-5);
        let zs = zs_at_end(Ohms(row.number("Ze")) + wiring, lead);
        tally.within("Zs", zs.0, row.number("Zs"), CLOSED_FORM);
        let limit = limit_zs(RegionCode::Uk, curve(kind), rated).unwrap();
        tally.within("limit", limit.0, row.number("Zs_max"), CLOSED_FORM);
        tally.same("verdict", &!zs.is_over(limit), &(row.text("verdict") == "OK"));
        let current = least_fault_current(RegionCode::Uk, zs).unwrap();
        tally.near("fault", current.0, row.number("Ipf_min_A"), 0.05);
    }
    tally.ends_at(4 * 6);
}

/// Power laws with the IES handbook's exponents, from memory; the values computed. At 95 percent of
/// the volts: amps 0.9722, light 0.8400.
#[test]
fn filaments_follow_the_power_laws() {
    let mut tally = Tally::default();
    for row in golden(include_str!("../../../tests/reference/tungsten-power-law.csv")).rows() {
        let share = row.number("V/Vn");
        let what = row.text("V/Vn");
        tally.within(what, amps_share(share), row.number("I/In ^0.55"), CLOSED_FORM);
        tally.within(what, watts_share(share), row.number("P/Pn ^1.55"), CLOSED_FORM);
        tally.within(what, light_share(share), row.number("lumen ^3.4"), CLOSED_FORM);
        let kelvin = colour_temperature(3200.0, share);
        tally.within(what, kelvin, row.number("CCT_K ^0.42 from 3200"), CLOSED_FORM);
    }
    tally.near("amps", amps_share(0.95), 0.9722, 5e-5);
    tally.near("light", light_share(0.95), 0.8400, 5e-5);
    tally.ends_at(6 * 4 + 2);
}
