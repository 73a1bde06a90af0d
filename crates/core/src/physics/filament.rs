//! What a tungsten filament does away from its nominal volts: power laws of the lighting handbooks
//! (IES), exponents from memory. They hold within some fifteen percent of nominal.
//!
//! Every function takes the volts that arrive as a share of nominal, 0 and up.

/// Amps, as a share of those at nominal volts.
#[must_use]
pub fn amps_share(volts_share: f64) -> f64 {
    volts_share.max(0.0).powf(0.55)
}

/// Watts, as a share of those at nominal volts.
#[must_use]
pub fn watts_share(volts_share: f64) -> f64 {
    volts_share.max(0.0).powf(1.55)
}

/// Light, as a share of that at nominal volts.
#[must_use]
pub fn light_share(volts_share: f64) -> f64 {
    volts_share.max(0.0).powf(3.4)
}

/// Colour temperature in kelvin, for a lamp that has `nominal_kelvin` at nominal volts.
#[must_use]
pub fn colour_temperature(nominal_kelvin: f64, volts_share: f64) -> f64 {
    nominal_kelvin * volts_share.max(0.0).powf(0.42)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn at_nominal_volts_nothing_changes_and_with_none_there_is_nothing() {
        for law in [amps_share, watts_share, light_share] {
            assert!((law(1.0) - 1.0).abs() < f64::EPSILON);
            assert!(law(0.0).abs() < f64::EPSILON && law(-0.1).abs() < f64::EPSILON);
        }
        assert!((colour_temperature(3200.0, 1.0) - 3200.0).abs() < f64::EPSILON);
    }

    #[test]
    fn watts_are_volts_times_amps() {
        for share in [0.5, 0.8, 0.95, 1.1] {
            assert!((watts_share(share) - share * amps_share(share)).abs() < 1e-12, "{share}");
        }
    }

    #[test]
    fn five_percent_less_volts_cost_a_sixth_of_the_light() {
        // Computed from the handbooks' exponents: I 0.9722, light 0.8400, 3200 K to 3131.8 K.
        assert!((amps_share(0.95) - 0.9722).abs() < 5e-5);
        assert!((light_share(0.95) - 0.8400).abs() < 5e-5);
        assert!((colour_temperature(3200.0, 0.95) - 3131.8).abs() < 0.05);
    }
}
