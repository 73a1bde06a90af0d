//! The earth-fault loop: whether an earth fault drives enough current for the magnetic trip.
//!
//! Two standards take the same breaker differently. BS 7671 counts on the upper end of the magnetic
//! band and on 0.95 of the nominal volts; AS/NZS 3000 on the middle of the band and on all of them.

use crate::library::RegionCode;
use crate::physics::breaker::magnetic_band;
use crate::plan::Curve;
use crate::unit::{Amps, MilliAmps, Ohms, Volts};

/// Line to earth volts that both tables are made for.
const TABLE_VOLTS: Volts = Volts(230.0);
/// Least volts that a fault may find, as a share of nominal (BS 7671, Cmin).
const LEAST_VOLTS_SHARE: f64 = 0.95;
/// Touch volts that an RCD must not let stand (IEC 60364-4-41, from memory).
const TOUCH_VOLTS: Volts = Volts(50.0);

/// How a region's wiring rules take the magnetic trip.
#[derive(Clone, Copy, Debug, PartialEq)]
struct TripRule {
    /// Amps that surely trip, in times the rating.
    trips_at: f64,
    /// Share of the nominal volts that drives the fault.
    volts_share: f64,
}

/// The highest loop impedance at which a breaker still opens at once on an earth fault: BS 7671
/// table 41.3 in the United Kingdom (taken over for Ireland, from memory), AS/NZS 3000 table 8.1 in
/// Australia and New Zealand.
///
/// `None` for curves without a magnetic band, without a rating, and where no such table is built in:
/// on the rest of the continent the earth is often of the kind that only an RCD can answer for, and
/// American rules have no such table.
#[must_use]
pub fn limit_zs(region: RegionCode, curve: Curve, rated: Amps) -> Option<Ohms> {
    let rule = trip_rule(region, curve)?;
    let amps = rated * rule.trips_at;
    (amps > Amps::ZERO).then(|| Ohms(TABLE_VOLTS.0 * rule.volts_share / amps.0))
}

/// The loop impedance at the end of leads: what is known up to their socket, and the line and the
/// protective conductor of the leads, there and back.
#[must_use]
pub fn zs_at_end(known: Ohms, leads_there_and_back: Ohms) -> Ohms {
    known + leads_there_and_back
}

/// The least current that an earth fault at the end of a loop drives, as the region's rules count it.
/// `None` where they have no table, and for a loop without impedance.
#[must_use]
pub fn least_fault_current(region: RegionCode, zs: Ohms) -> Option<Amps> {
    // The share of the volts is the same for every curve.
    let rule = trip_rule(region, Curve::B)?;
    (zs > Ohms::ZERO).then(|| Amps(TABLE_VOLTS.0 * rule.volts_share / zs.0))
}

/// The highest loop impedance at which an RCD keeps touch volts to 50 V: 50 V over its rating (BS 7671 table
/// 41.5, from memory). `None` without a rating.
#[must_use]
pub fn limit_zs_behind_rcd(rated: MilliAmps) -> Option<Ohms> {
    (rated > MilliAmps::ZERO).then(|| Ohms(1000.0 * TOUCH_VOLTS.0 / rated.0))
}

fn trip_rule(region: RegionCode, curve: Curve) -> Option<TripRule> {
    let (_, upper) = magnetic_band(curve)?;
    match region {
        RegionCode::Uk | RegionCode::Ie => Some(TripRule { trips_at: upper, volts_share: LEAST_VOLTS_SHARE }),
        RegionCode::Au | RegionCode::Nz => Some(TripRule { trips_at: mean_trip(curve)?, volts_share: 1.0 }),
        RegionCode::Eu | RegionCode::It | RegionCode::Us | RegionCode::Ca | RegionCode::Jp => None,
    }
}

/// Mean tripping current in times the rating (AS/NZS 3000 table 8.1).
const fn mean_trip(curve: Curve) -> Option<f64> {
    match curve {
        Curve::B => Some(4.0),
        Curve::C => Some(7.5),
        Curve::D => Some(12.5),
        Curve::Ul | Curve::Gg | Curve::Rewirable => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_same_breaker_has_two_limits() {
        // BS 7671 table 41.3 and AS/NZS 3000 table 8.1, C20: 1.09 and 1.53 ohms.
        let limit = |region| limit_zs(region, Curve::C, Amps(20.0)).unwrap().0;
        assert!((limit(RegionCode::Uk) - 1.0925).abs() < 1e-9);
        assert!((limit(RegionCode::Ie) - 1.0925).abs() < 1e-9);
        assert!((limit(RegionCode::Au) - 1.533_333).abs() < 1e-6);
        assert!((limit(RegionCode::Nz) - 1.533_333).abs() < 1e-6);
    }

    #[test]
    fn where_there_is_no_table_there_is_no_limit() {
        for region in [RegionCode::Eu, RegionCode::It, RegionCode::Us, RegionCode::Ca, RegionCode::Jp] {
            assert_eq!(limit_zs(region, Curve::C, Amps(20.0)), None, "{region}");
            assert_eq!(least_fault_current(region, Ohms(1.0)), None, "{region}");
        }
        for curve in [Curve::Ul, Curve::Gg, Curve::Rewirable] {
            assert_eq!(limit_zs(RegionCode::Uk, curve, Amps(20.0)), None);
            assert_eq!(limit_zs(RegionCode::Au, curve, Amps(20.0)), None);
        }
        assert_eq!(limit_zs(RegionCode::Uk, Curve::C, Amps::ZERO), None);
        assert_eq!(least_fault_current(RegionCode::Uk, Ohms::ZERO), None);
        assert_eq!(limit_zs_behind_rcd(MilliAmps::ZERO), None);
    }

    #[test]
    fn a_loop_at_its_limit_drives_just_the_current_that_trips() {
        let limit = limit_zs(RegionCode::Uk, Curve::D, Amps(32.0)).unwrap();
        assert!((least_fault_current(RegionCode::Uk, limit).unwrap().0 - 640.0).abs() < 1e-9);
        let limit = limit_zs(RegionCode::Nz, Curve::D, Amps(32.0)).unwrap();
        assert!((least_fault_current(RegionCode::Nz, limit).unwrap().0 - 400.0).abs() < 1e-9);
        assert_eq!(zs_at_end(Ohms(0.35), Ohms(0.8)), Ohms(1.15));
    }
}
