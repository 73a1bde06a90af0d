//! Leakage of filters, and how that of several lines adds.

use std::f64::consts::TAU;

use crate::physics::phasor::{Phasor, unit_voltage};
use crate::plan::Wiring;
use crate::unit::{Hertz, MilliAmps, NanoFarads, Volts};

/// What a filter's capacitor from line to protective conductor leaks: 2π·f·C·V.
#[must_use]
pub fn capacitor_leakage(volts: Volts, frequency: Hertz, capacitance: NanoFarads) -> MilliAmps {
    // Nanofarads times volts a second are nanoamperes.
    MilliAmps(TAU * frequency.0 * capacitance.0 * volts.0 * 1e-6)
}

/// What a device over all lines sees of filter leakage on L1, L2, L3, at the fundamental: each stands a
/// quarter turn ahead of its line, so equal ones cancel. Third harmonics of it would add instead and
/// are not in it; the arithmetic sum is the bound.
#[must_use]
pub fn vector_sum(wiring: Wiring, lines: [MilliAmps; 3]) -> MilliAmps {
    let mut sum = Phasor::default();
    for (line, leakage) in lines.into_iter().enumerate() {
        let voltage = unit_voltage(wiring, line);
        sum += Phasor { real: voltage.real * leakage.0, imaginary: voltage.imaginary * leakage.0 };
    }
    MilliAmps(sum.real.hypot(sum.imaginary))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_filter_leaks_by_its_capacitance() {
        // 2π·50·4.7e-9·230 = 0.3396 mA.
        assert!((capacitor_leakage(Volts(230.0), Hertz(50.0), NanoFarads(4.7)).0 - 0.339_61).abs() < 1e-5);
    }

    #[test]
    fn equal_leakages_cancel_over_a_star_and_over_two_legs() {
        let of = |wiring, lines: [f64; 3]| vector_sum(wiring, lines.map(MilliAmps)).0;
        assert!(of(Wiring::Star, [3.5; 3]) < 1e-12);
        assert!((of(Wiring::Star, [10.0, 5.0, 0.0]) - 75.0_f64.sqrt()).abs() < 1e-12);
        assert!((of(Wiring::Split, [5.0, 3.0, 0.0]) - 2.0).abs() < 1e-12);
        assert!((of(Wiring::One, [5.0, 0.0, 0.0]) - 5.0).abs() < 1e-12);
    }
}
