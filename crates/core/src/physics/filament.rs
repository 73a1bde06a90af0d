//! Filaments off their rated volts: amps, light and colour by powers of the volts, and how much less
//! they resist while cold.
//!
//! Powers: IES handbook, from memory. Tungsten: a power of the absolute temperature of our own, put
//! through the table of Jones and Langmuir (1927), whose values are from memory.

use crate::unit::{Kelvin, Volts};

/// Exponent of a filament's amps over volts.
const AMPS: f64 = 0.55;
/// Exponent of a filament's light over volts.
const LIGHT: f64 = 3.4;
/// Exponent of a filament's colour temperature over volts.
const COLOUR: f64 = 0.42;
/// Exponent of tungsten's resistivity over absolute temperature.
const RESISTIVITY: f64 = 1.216;
/// A room's temperature, from which the table of resistivity starts.
const COLD: Kelvin = Kelvin(300.0);

/// Colour temperature of a studio lamp on its rated volts (typical, from memory; assumed of every
/// filament, as no nameplate in a plan says it).
pub const RATED_COLOUR: Kelvin = Kelvin(3200.0);

/// Amps of a filament at these volts, as a share of its amps at its rated ones.
#[must_use]
pub fn filament_amps(volts: Volts, rated: Volts) -> f64 {
    (volts / rated).powf(AMPS)
}

/// How fast that share rises with the share of the volts, where the volts are `share` of the rated.
pub(super) fn filament_amps_slope(share: f64) -> f64 {
    AMPS * share.powf(AMPS - 1.0)
}

/// Light of a filament at these volts, as a share of its light at its rated ones.
#[must_use]
pub fn filament_light(volts: Volts, rated: Volts) -> f64 {
    (volts / rated).powf(LIGHT)
}

/// Colour temperature of a filament at these volts, of one that has [`RATED_COLOUR`] at its rated ones.
#[must_use]
pub fn filament_colour(volts: Volts, rated: Volts) -> Kelvin {
    RATED_COLOUR * (volts / rated).powf(COLOUR)
}

/// How many times a filament at this temperature resists what it does in a cold room: the most that
/// its amps at switch-on can be over its running ones, before the supply and its leads resist too.
/// Within 2 % of the table from 2000 K up, within 5 % below.
#[must_use]
pub fn hot_over_cold(hot: Kelvin) -> f64 {
    (hot / COLD).powf(RESISTIVITY)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_slope_is_that_of_the_amps() {
        // The difference quotient over a step of a ten-thousandth, an own way to it.
        let amps = |share: f64| filament_amps(Volts(share), Volts(1.0));
        for share in [0.2, 0.5, 0.9, 1.0, 1.1] {
            let quotient = (amps(share + 1e-4) - amps(share - 1e-4)) / 2e-4;
            assert!((filament_amps_slope(share) - quotient).abs() < 1e-6, "{share}: {quotient}");
        }
    }
}
