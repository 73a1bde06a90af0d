//! Earth-fault loops: the largest impedance at which a breaker, a plug fuse or an RCD still drops at once
//! on an earth fault.
//!
//! BS 7671 table 41.3 takes the upper magnetic bound and 0.95 of the volts; AS/NZS 3000 table 8.1 takes
//! the mean and all of the volts. The NEC and its neighbours have no such table.

use crate::library::RegionCode;
use crate::plan::Curve;
use crate::unit::{Amps, MilliAmps, Ohms, Volts};

/// Lowest volts of a British supply, as a share of nominal (BS 7671, Cmin).
const LEAST_VOLTS: f64 = 0.95;
/// Volts to earth that the tables are for.
const TABLE_VOLTS: Volts = Volts(230.0);
/// Volts on metal that may be touched for as long as one likes (BS 7671 411.5.3, IEC 60364-4-41).
const TOUCH_VOLTS: Volts = Volts(50.0);
/// The largest loop for a fuse of BS 1362 to open within 0.4 s, by rating (BS 7671 table 41.2, read in a
/// public table).
const PLUG_FUSE: [(Amps, Ohms); 2] = [(Amps(3.0), Ohms(15.6)), (Amps(13.0), Ohms(2.3))];

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

/// Whether the region has no table of its own here and BS 7671's rule is taken over.
#[must_use]
pub const fn takes_british_rule_over(region: RegionCode) -> bool {
    matches!(region, RegionCode::Ie | RegionCode::Eu | RegionCode::It)
}

/// The largest earth-fault loop for a plug fuse of BS 1362; one between two published ratings counts as
/// the larger. `None` above the largest.
#[must_use]
pub fn largest_loop_of_plug_fuse(rated: Amps) -> Option<Ohms> {
    PLUG_FUSE.iter().find(|(of, _)| !rated.is_over(*of)).map(|(_, ohms)| *ohms)
}

/// The largest earth-fault loop for an RCD: its rated current through it puts 50 V on what is touched
/// (BS 7671 table 41.5).
#[must_use]
pub fn largest_loop_of_rcd(rated: MilliAmps) -> Ohms {
    Ohms(TOUCH_VOLTS.0 / (rated.0 / 1000.0))
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
