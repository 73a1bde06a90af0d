//! Earth-fault loops: the largest impedance at which a breaker still drops at once on an earth fault.
//!
//! BS 7671 table 41.3 takes the upper magnetic bound and 0.95 of the volts; AS/NZS 3000 table 8.1 takes
//! the mean and all of the volts.

use crate::library::RegionCode;
use crate::plan::Curve;
use crate::unit::{Amps, Ohms, Volts};

/// Lowest volts of a British supply, as a share of nominal (BS 7671, Cmin).
const LEAST_VOLTS: f64 = 0.95;
/// Volts to earth that the tables are for.
const TABLE_VOLTS: Volts = Volts(230.0);

/// The largest earth-fault loop for a breaker of this curve and rating; `None` where the region has no
/// such table, or the table no such device.
#[must_use]
pub fn largest_loop(region: RegionCode, curve: Curve, rated: Amps) -> Option<Ohms> {
    let (times, share) = match region {
        RegionCode::Au | RegionCode::Nz => (mean_trip(curve)?, 1.0),
        RegionCode::Uk | RegionCode::Ie | RegionCode::Eu | RegionCode::It => {
            (upper_trip(curve)?, LEAST_VOLTS)
        }
        RegionCode::Us | RegionCode::Ca | RegionCode::Jp => return None,
    };
    Some(Ohms(TABLE_VOLTS.0 * share / (times * rated.0)))
}

const fn mean_trip(curve: Curve) -> Option<f64> {
    match curve {
        Curve::B => Some(4.0),
        Curve::C => Some(7.5),
        Curve::D => Some(12.5),
        Curve::Ul | Curve::Gg | Curve::Rewirable => None,
    }
}

const fn upper_trip(curve: Curve) -> Option<f64> {
    match curve {
        Curve::B => Some(5.0),
        Curve::C => Some(10.0),
        Curve::D => Some(20.0),
        Curve::Ul | Curve::Gg | Curve::Rewirable => None,
    }
}
