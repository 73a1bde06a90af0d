use proptest::prelude::*;

use crate::library::{CableTables, RegionCode, library};
use crate::plan::ConductorSize::{self, Gauge, SquareMillimetres};
use crate::unit::Amps;

fn tables() -> &'static CableTables {
    &library().cables
}

fn resistance(size: ConductorSize) -> f64 {
    let row = tables().conductor(size).unwrap();
    let exact = match size {
        SquareMillimetres(area) => row.mm2 == Some(area),
        Gauge(gauge) => row.awg == Some(gauge),
    };
    assert!(exact, "no row of its own for {size:?}");
    row.ohm_per_km
}

fn amps(region: RegionCode, size: ConductorSize) -> Option<Amps> {
    tables().ampacity(region, size).map(|row| row.amps)
}

#[test]
#[expect(clippy::float_cmp, reason = "both sides are the same decimal literal, none is computed")]
fn metric_conductors_are_iec_60228_class_5() {
    // IEC 60228 Table 3, class 5, plain copper, at 20 degrees Celsius.
    for (area, ohm_per_km) in [
        (0.75, 26.0),
        (1.0, 19.5),
        (1.5, 13.3),
        (2.5, 7.98),
        (4.0, 4.95),
        (6.0, 3.30),
        (10.0, 1.91),
        (16.0, 1.21),
        (25.0, 0.780),
        (35.0, 0.554),
    ] {
        let size = SquareMillimetres(area);
        assert_eq!(resistance(size), ohm_per_km, "{area} mm2");
        assert_eq!(tables().conductor(size).unwrap().celsius, 20.0);
    }
}

#[test]
#[expect(clippy::approx_constant, reason = "3.14 ohm/kft of 14 AWG is no circle")]
fn gauges_are_nec_table_8_stranded() {
    // NEC chapter 9 table 8, stranded uncoated copper, ohms per 1000 ft at 75 degrees Celsius.
    for (gauge, ohm_per_kft) in [
        (18, 7.95),
        (16, 4.99),
        (14, 3.14),
        (12, 1.98),
        (10, 1.24),
        (8, 0.778),
        (6, 0.491),
        (4, 0.308),
        (3, 0.245),
        (2, 0.194),
        (1, 0.154),
        (0, 0.122),
        (-1, 0.0967),
        (-2, 0.0766),
        (-3, 0.0608),
    ] {
        let expected = ohm_per_kft * 3.28084;
        let built_in = resistance(Gauge(gauge));
        assert!((built_in / expected - 1.0).abs() < 2e-4, "{gauge} AWG: {built_in} against {expected}");
        let celsius = tables().conductor(Gauge(gauge)).unwrap().celsius;
        assert!((celsius - 75.0).abs() < 1e-9, "{gauge} AWG");
    }
}

#[test]
fn areas_of_gauges_follow_their_definition() {
    // ASTM B258 sizes as any wire table prints them.
    for (gauge, area) in
        [(18, 0.823), (14, 2.081), (12, 3.309), (10, 5.261), (2, 33.63), (0, 53.48), (-3, 107.22)]
    {
        let computed = Gauge(gauge).area_mm2();
        assert!((computed / area - 1.0).abs() < 1e-3, "{gauge} AWG: {computed} against {area}");
    }
}

#[test]
fn every_conductor_is_copper_of_its_size() {
    // Resistivity of annealed copper 0.017241 ohm mm2/m at 20 degrees Celsius (IEC 60028), and 3.93e-3 a
    // kelvin; stranding and tolerance of flexible conductors add up to a tenth, and IEC 60228's flexible
    // wires are a little thinner than their names.
    for row in &tables().conductor {
        let area = row.area_mm2().unwrap();
        let at_20 = row.ohm_per_km / (1.0 + 3.93e-3 * (row.celsius - 20.0));
        let ratio = at_20 * area / 17.241;
        assert!((1.0..1.19).contains(&ratio), "{row:?}: {ratio}");
    }
}

#[test]
fn leads_carry_what_their_region_s_table_says() {
    // BS 7671 Table 4F3A; AS/NZS 3191, from memory; NEC 400.5(A)(1) column B; Japan: cord, 2 mm2 17 A.
    #[rustfmt::skip]
    let table = [
        (RegionCode::Uk, SquareMillimetres(0.75), 6.0),
        (RegionCode::Uk, SquareMillimetres(1.0), 10.0),
        (RegionCode::Uk, SquareMillimetres(1.25), 13.0),
        (RegionCode::Uk, SquareMillimetres(1.5), 16.0),
        (RegionCode::Ie, SquareMillimetres(1.5), 16.0),
        (RegionCode::Eu, SquareMillimetres(2.5), 25.0),
        (RegionCode::It, SquareMillimetres(4.0), 32.0),
        (RegionCode::Au, SquareMillimetres(0.75), 7.5),
        (RegionCode::Au, SquareMillimetres(1.0), 10.0),
        (RegionCode::Au, SquareMillimetres(1.5), 15.0),
        (RegionCode::Nz, SquareMillimetres(2.5), 20.0),
        (RegionCode::Nz, SquareMillimetres(4.0), 25.0),
        (RegionCode::Us, Gauge(18), 10.0),
        (RegionCode::Us, Gauge(16), 13.0),
        (RegionCode::Us, Gauge(14), 18.0),
        (RegionCode::Ca, Gauge(12), 25.0),
        (RegionCode::Us, Gauge(10), 30.0),
        (RegionCode::Us, Gauge(8), 40.0),
        (RegionCode::Jp, SquareMillimetres(2.0), 17.0),
    ];
    for (region, size, expected) in table {
        assert_eq!(amps(region, size), Some(Amps(expected)), "{region} {size:?}");
    }
}

#[test]
fn three_loaded_lines_carry_less_where_the_table_says_so() {
    // BS 7671 Table 4F3A 2.5 mm2: 25 A single-phase, 20 A three-phase; NEC 400.5(A)(1) 12 AWG: 25 and
    // 20 A (column A from memory).
    for (region, size) in [(RegionCode::Uk, SquareMillimetres(2.5)), (RegionCode::Us, Gauge(12))] {
        let row = tables().ampacity(region, size).unwrap();
        assert_eq!(row.amps_on(1), Amps(25.0));
        assert_eq!(row.amps_on(2), Amps(25.0));
        assert_eq!(row.amps_on(3), Amps(20.0));
    }
    let alike = tables().ampacity(RegionCode::Au, SquareMillimetres(1.5)).unwrap();
    assert_eq!(alike.amps_on(3), alike.amps_on(1));
}

#[test]
fn a_size_without_a_row_takes_the_next_smaller_one() {
    // 2.5 mm2 lies between 14 AWG (2.08) and 12 AWG (3.31); 12 AWG between 2.5 and 4 mm2.
    assert_eq!(amps(RegionCode::Us, SquareMillimetres(2.5)), Some(Amps(18.0)));
    assert_eq!(amps(RegionCode::Eu, Gauge(12)), Some(Amps(25.0)));
    assert_eq!(tables().conductor(Gauge(13)).and_then(|row| row.awg), Some(14));
    assert_eq!(tables().conductor(SquareMillimetres(3.0)).and_then(|row| row.mm2), Some(2.5));
    assert_eq!(amps(RegionCode::Uk, SquareMillimetres(0.3)), None);
    assert_eq!(tables().conductor(Gauge(24)), None);
}

#[test]
fn every_region_has_ampacities_from_10_a_up() {
    for (_, region) in RegionCode::WORDS {
        let best = tables()
            .ampacity
            .iter()
            .filter(|row| row.regions.contains(&region))
            .map(|row| row.amps)
            .fold(Amps::ZERO, Amps::max);
        assert!(best.reaches(Amps(35.0)), "{region}");
        assert!(amps(region, SquareMillimetres(1.5)).is_some(), "{region}");
    }
}

#[test]
fn every_row_names_its_source_and_one_size() {
    for row in &tables().conductor {
        assert!(super::says_something(&row.source), "{row:?}");
        assert_ne!(row.mm2.is_some(), row.awg.is_some(), "{row:?}");
    }
    for row in &tables().ampacity {
        assert!(super::says_something(&row.source), "{row:?}");
        assert_ne!(row.mm2.is_some(), row.awg.is_some(), "{row:?}");
        let fewer = row.amps_three_lines.unwrap_or(row.amps);
        assert!(!fewer.is_over(row.amps), "{row:?}");
    }
}

proptest! {
    #[test]
    fn a_larger_conductor_never_carries_less_nor_resists_more(
        one in 0.5_f64..120.0,
        other in 0.5_f64..120.0,
        region in proptest::sample::select(RegionCode::WORDS.map(|(_, code)| code).to_vec()),
    ) {
        let (smaller, larger) = (one.min(other), one.max(other));
        let carries = |area| amps(region, SquareMillimetres(area)).unwrap_or(Amps::ZERO);
        prop_assert!(!carries(smaller).is_over(carries(larger)));
        let resists = |area| {
            tables()
                .conductor(SquareMillimetres(area))
                .map_or(f64::INFINITY, |row| row.ohm_per_km)
        };
        prop_assert!(resists(larger) <= resists(smaller));
    }
}
