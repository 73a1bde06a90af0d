//! What flexible leads carry, unwound and wound, held against values from outside of the project.

#![expect(clippy::unwrap_used, reason = "a helper that finds nothing fails the test")]

use ampwalk_core::library::RegionCode;
use ampwalk_core::physics::cable::{Laid, Printed, carries};
use ampwalk_core::plan::ConductorSize::{self, Gauge, SquareMillimetres};
use ampwalk_core::unit::Amps;

fn unwound(region: RegionCode, size: ConductorSize, lines: u8) -> f64 {
    carries(region, size, Printed::default(), Laid::Out, lines).unwrap().0
}

fn wound(region: RegionCode, size: ConductorSize, rated: Option<f64>) -> f64 {
    let printed = Printed { rated: rated.map(Amps), wound: None };
    carries(region, size, printed, Laid::Wound, 1).unwrap().0
}

#[track_caller]
fn are(region: RegionCode, table: &[(ConductorSize, f64, f64)]) {
    for (size, one_line, three_lines) in table {
        assert_eq!(unwound(region, *size, 1).to_bits(), one_line.to_bits(), "{region} {size:?}");
        assert_eq!(unwound(region, *size, 3).to_bits(), three_lines.to_bits(), "{region} {size:?}");
    }
}

/// BS 7671 table 4F3A; the lower sizes published, the others from memory, very sure.
#[test]
fn british_cords_carry_what_table_4f3a_says_on_one_line_and_on_three() {
    let table = [
        (0.5, 3.0, 3.0),
        (0.75, 6.0, 6.0),
        (1.0, 10.0, 10.0),
        (1.25, 13.0, 13.0),
        (1.5, 16.0, 16.0),
        (2.5, 25.0, 20.0),
        (4.0, 32.0, 25.0),
    ];
    let table = table.map(|(mm2, one, three)| (SquareMillimetres(mm2), one, three));
    for region in [RegionCode::Uk, RegionCode::Ie, RegionCode::Eu, RegionCode::It] {
        are(region, &table);
    }
}

/// AS/NZS 3191, from memory; 1.5 mm² is 15 to 16 A there, and the lower one is taken.
#[test]
fn australian_cords_carry_what_as_nzs_3191_says() {
    let table = [(0.75, 7.5), (1.0, 10.0), (1.5, 15.0), (2.5, 20.0), (4.0, 25.0)];
    let table = table.map(|(mm2, amps)| (SquareMillimetres(mm2), amps, amps));
    are(RegionCode::Au, &table);
    are(RegionCode::Nz, &table);
}

/// NEC 400.5(A)(1): column B, two loaded conductors, published; column A, three, from memory.
#[test]
fn american_cords_carry_what_nec_400_5_says_with_two_and_with_three_conductors() {
    let table = [
        (18, 10.0, 7.0),
        (16, 13.0, 10.0),
        (14, 18.0, 15.0),
        (12, 25.0, 20.0),
        (10, 30.0, 25.0),
        (8, 40.0, 35.0),
    ];
    let table = table.map(|(gauge, two, three)| (Gauge(gauge), two, three));
    are(RegionCode::Us, &table);
    are(RegionCode::Ca, &table);
}

/// IEC 60335-1 table 11, published: the smallest cord for an appliance of so many amps. No British cord is
/// given less than the appliance that may hang on it.
#[test]
fn cords_carry_the_appliances_that_iec_60335_1_hangs_on_them() {
    for (amps, mm2) in [(6.0, 0.75), (10.0, 1.0), (16.0, 1.5), (25.0, 2.5), (32.0, 4.0)] {
        let carried = unwound(RegionCode::Uk, SquareMillimetres(mm2), 1);
        assert!(carried >= amps, "{mm2} mm²: {carried} of {amps} A");
    }
}

/// Labels of drums by EN 61242 (that both ratings stand on them is read, the numbers are from memory):
/// 1.5 mm² 1000 to 1200 W wound and 3000 to 3500 out, at 230 V; a British 13 A drum 5 A wound. Wound in
/// layers, IEC 60204-1 leaves 0.35 of the rating for four and more (from memory).
#[test]
fn a_third_is_no_more_than_drums_are_printed_with_and_than_four_layers_leave() {
    let size = SquareMillimetres(1.5);
    let watts = 230.0 * wound(RegionCode::Eu, size, Some(3500.0 / 230.0));
    assert!((1000.0..1200.0).contains(&watts), "{watts}");
    assert!(wound(RegionCode::Uk, size, Some(13.0)) <= 5.0);
    for mm2 in [0.75, 1.0, 1.5, 2.5, 4.0] {
        let share = wound(RegionCode::Uk, SquareMillimetres(mm2), None)
            / unwound(RegionCode::Uk, SquareMillimetres(mm2), 1);
        assert!(share <= 0.35, "{mm2} mm²: {share}");
    }
}
