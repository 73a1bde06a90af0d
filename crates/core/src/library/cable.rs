//! Conductors and ampacities.

use serde::Deserialize;

use crate::library::RegionCode;
use crate::unit::Amps;

/// `assets/cables.toml`.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CableTables {
    /// Flexible copper conductors, one row a size.
    pub conductor: Vec<Conductor>,
    /// What a flexible lead of a size carries, by region.
    pub ampacity: Vec<Ampacity>,
}

/// Resistance of a flexible copper conductor.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Conductor {
    /// Square millimetres, for metric sizes.
    pub mm2: Option<f64>,
    /// American wire gauge, for those; 1/0 is 0, 2/0 is -1, 3/0 is -2, 4/0 is -3.
    pub awg: Option<i32>,
    /// Ohms per kilometre, one conductor, at `celsius`.
    pub ohm_per_km: f64,
    /// Temperature that the resistance is given for.
    pub celsius: f64,
    /// Where the value comes from.
    pub source: String,
}

/// What a flexible lead of a size carries.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Ampacity {
    /// Regions where this row holds.
    pub regions: Vec<RegionCode>,
    /// Square millimetres, for metric sizes.
    pub mm2: Option<f64>,
    /// American wire gauge, for those.
    pub awg: Option<i32>,
    /// Amps in free air, unwound.
    pub amps: Amps,
    /// Where the value comes from.
    pub source: String,
}
