//! Classes of head: typical values that a nameplate or a clamp replaces.

use serde::Deserialize;

use crate::library::word;
use crate::plan::{EarthClass, Load, Spectrum};
use crate::unit::{Amps, MilliAmps, Minutes, Watts};

/// A generic class of head, no maker's.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct HeadClass {
    /// What the trade calls it.
    pub name: String,
    /// What makes its light, or its load.
    pub family: HeadFamily,
    /// Watts at the plug.
    pub watts: Watts,
    /// Watts at the plug on 100 to 127 V, where the trade sells a smaller one there.
    pub watts_low_volts: Option<Watts>,
    /// Whole power factor.
    pub power_factor: f64,
    /// Standing leakage while lit.
    pub leak_ma: MilliAmps,
    /// Leakage while plugged in but dark.
    pub idle_ma: MilliAmps,
    /// Extra leakage while it strikes.
    pub strike_ma: MilliAmps,
    /// Amps while it runs up, in running amps; 1 where there is no run-up.
    pub start_factor: f64,
    /// How long the run-up takes.
    pub start_min: Option<Minutes>,
    /// Peak at switch-on in amps …
    pub inrush_a: Option<Amps>,
    /// … or in peaks of the running current.
    pub inrush_factor: Option<f64>,
    /// How long the inrush stays over five times the running current, milliseconds.
    pub inrush_ms: Option<f64>,
    /// How amps move with volts.
    #[serde(deserialize_with = "load")]
    pub load: Load,
    /// Minutes dark after losing power hot.
    pub restrike_min: Minutes,
    /// Harmonics of its current.
    #[serde(deserialize_with = "spectrum")]
    pub spectrum: Spectrum,
    /// Protection class against shock: 1, 2 or 3.
    #[serde(deserialize_with = "earth_class")]
    pub earth_class: EarthClass,
    /// Where the values come from.
    pub source: String,
}

/// What makes a head's light, or its load.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum HeadFamily {
    /// Incandescent.
    Tungsten,
    /// An arc in gas, with a ballast.
    Discharge,
    /// Light-emitting diodes.
    Led,
    /// Fluorescent tubes.
    Fluorescent,
    /// No lamp: monitors, chargers, haze, kettles.
    Other,
}

fn load<'de, D: serde::Deserializer<'de>>(deserializer: D) -> Result<Load, D::Error> {
    word(deserializer, &Load::WORDS)
}

fn spectrum<'de, D: serde::Deserializer<'de>>(deserializer: D) -> Result<Spectrum, D::Error> {
    word(deserializer, &Spectrum::WORDS)
}

fn earth_class<'de, D: serde::Deserializer<'de>>(deserializer: D) -> Result<EarthClass, D::Error> {
    let number = u32::deserialize(deserializer)?;
    EarthClass::from_number(number)
        .ok_or_else(|| serde::de::Error::custom(format!("no protection class {number}")))
}
