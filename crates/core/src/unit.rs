//! Quantities, each with its unit in its type, so that milliamperes are never added to amperes.

use std::iter::Sum;
use std::ops::{Add, AddAssign, Div, Mul, Neg, Sub, SubAssign};

use serde::{Deserialize, Serialize};

/// Room for rounding when a quantity is compared with a limit: 13.000 000 000 1 A is not over 13 A.
const ROUNDING: f64 = 1e-9;

macro_rules! quantity {
    ($(#[$doc:meta])* $name:ident, $symbol:literal) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd, Serialize, Deserialize)]
        #[serde(transparent)]
        pub struct $name(pub f64);

        impl $name {
            /// Nothing of it.
            pub const ZERO: Self = Self(0.0);
            /// The unit's symbol.
            pub const SYMBOL: &'static str = $symbol;

            /// The larger of the two.
            #[must_use]
            pub fn max(self, other: Self) -> Self {
                Self(self.0.max(other.0))
            }

            /// The smaller of the two.
            #[must_use]
            pub fn min(self, other: Self) -> Self {
                Self(self.0.min(other.0))
            }

            /// Whether it is over `limit` by more than rounding.
            #[must_use]
            pub fn is_over(self, limit: Self) -> bool {
                self.0 > limit.0 + ROUNDING * limit.0.abs().max(1.0)
            }

            /// Whether it is at `limit` or over it, rounding apart.
            #[must_use]
            pub fn reaches(self, limit: Self) -> bool {
                !limit.is_over(self)
            }

            /// A total order, for sorting.
            #[must_use]
            pub fn total_cmp(self, other: Self) -> std::cmp::Ordering {
                self.0.total_cmp(&other.0)
            }
        }

        impl Add for $name {
            type Output = Self;
            fn add(self, other: Self) -> Self {
                Self(self.0 + other.0)
            }
        }
        impl Sub for $name {
            type Output = Self;
            fn sub(self, other: Self) -> Self {
                Self(self.0 - other.0)
            }
        }
        impl Neg for $name {
            type Output = Self;
            fn neg(self) -> Self {
                Self(-self.0)
            }
        }
        impl AddAssign for $name {
            fn add_assign(&mut self, other: Self) {
                self.0 += other.0;
            }
        }
        impl SubAssign for $name {
            fn sub_assign(&mut self, other: Self) {
                self.0 -= other.0;
            }
        }
        impl Mul<f64> for $name {
            type Output = Self;
            fn mul(self, factor: f64) -> Self {
                Self(self.0 * factor)
            }
        }
        impl Div<f64> for $name {
            type Output = Self;
            fn div(self, divisor: f64) -> Self {
                Self(self.0 / divisor)
            }
        }
        impl Div for $name {
            type Output = f64;
            fn div(self, other: Self) -> f64 {
                self.0 / other.0
            }
        }
        impl Sum for $name {
            fn sum<I: Iterator<Item = Self>>(parts: I) -> Self {
                parts.fold(Self::ZERO, Add::add)
            }
        }
    };
}

quantity!(
    /// Current in amperes, rms unless the name says peak.
    Amps, "A"
);
quantity!(
    /// Leakage current in milliamperes, rms.
    MilliAmps, "mA"
);
quantity!(
    /// Voltage in volts, rms.
    Volts, "V"
);
quantity!(
    /// Real power in watts.
    Watts, "W"
);
quantity!(
    /// Real power in kilowatts.
    KiloWatts, "kW"
);
quantity!(
    /// Apparent power in kilovolt-amperes.
    KiloVoltAmps, "kVA"
);
quantity!(
    /// Length in metres.
    Metres, "m"
);
quantity!(
    /// Resistance or impedance in ohms.
    Ohms, "\u{3a9}"
);
quantity!(
    /// Frequency in hertz.
    Hertz, "Hz"
);
quantity!(
    /// Capacitance in nanofarads.
    NanoFarads, "nF"
);
quantity!(
    /// Energy in kilowatt-hours.
    KiloWattHours, "kWh"
);
quantity!(
    /// Fuel in litres.
    Litres, "l"
);
quantity!(
    /// Fuel burnt, in litres an hour.
    LitresPerHour, "l/h"
);
quantity!(
    /// Pressure of the air in kilopascals.
    KiloPascals, "kPa"
);
quantity!(
    /// Time in minutes.
    Minutes, "min"
);
quantity!(
    /// Time in seconds.
    Seconds, "s"
);
quantity!(
    /// Temperature in degrees Celsius.
    Celsius, "\u{b0}C"
);
quantity!(
    /// Absolute temperature, and the colour of light, in kelvins.
    Kelvin, "K"
);

impl From<Minutes> for Seconds {
    fn from(minutes: Minutes) -> Self {
        Self(minutes.0 * 60.0)
    }
}

impl From<Watts> for KiloWatts {
    fn from(watts: Watts) -> Self {
        Self(watts.0 / 1000.0)
    }
}

/// A leakage that is known as a point (`low == high`) or only as a range.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct Leakage {
    /// The least it may be.
    pub low: MilliAmps,
    /// The most it may be.
    pub high: MilliAmps,
}

impl Leakage {
    /// No leakage at all.
    pub const ZERO: Self = Self::point(MilliAmps::ZERO);

    /// A leakage known to a point.
    #[must_use]
    pub const fn point(value: MilliAmps) -> Self {
        Self { low: value, high: value }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_sum_that_only_rounding_lifts_over_its_limit_is_not_over() {
        let sum: Amps = (0..10).map(|_| Amps(1.3)).sum();
        assert!(!sum.is_over(Amps(13.0)), "{sum:?}");
        assert!(sum.reaches(Amps(13.0)));
        assert!(Amps(13.01).is_over(Amps(13.0)));
        assert!(!Amps(12.99).reaches(Amps(13.0)));
    }
}
