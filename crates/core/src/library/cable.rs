//! Conductors and ampacities.

use serde::Deserialize;

use crate::library::RegionCode;
use crate::plan::ConductorSize;
use crate::unit::Amps;

/// Room for rounding when two cross-sections are compared.
const SAME_SIZE: f64 = 1e-6;

/// `assets/cables.toml`.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CableTables {
    /// Flexible copper conductors, one row a size.
    pub conductor: Vec<Conductor>,
    /// What a flexible lead of a size carries, by region.
    pub ampacity: Vec<Ampacity>,
}

impl CableTables {
    /// The conductor of `size`: its own row, else the next smaller one of the same system, which has
    /// the larger resistance. `None` below the smallest.
    #[must_use]
    pub fn conductor(&self, size: ConductorSize) -> Option<&Conductor> {
        let gauge = matches!(size, ConductorSize::Gauge(_));
        self.conductor
            .iter()
            .filter(|row| row.awg.is_some() == gauge)
            .filter_map(|row| Some((row.area_mm2()?, row)))
            .filter(|(area, _)| !is_larger(*area, size.area_mm2()))
            .max_by(|(one, _), (other, _)| one.total_cmp(other))
            .map(|(_, row)| row)
    }

    /// What a lead of `size` carries in `region`: the row of its own size, else of the next smaller
    /// one, by cross-section, whichever system the region's table is in. `None` below the smallest.
    #[must_use]
    pub fn ampacity(&self, region: RegionCode, size: ConductorSize) -> Option<&Ampacity> {
        self.ampacity
            .iter()
            .filter(|row| row.regions.contains(&region))
            .filter_map(|row| Some((row.area_mm2()?, row)))
            .filter(|(area, _)| !is_larger(*area, size.area_mm2()))
            .max_by(|(one, _), (other, _)| one.total_cmp(other))
            .map(|(_, row)| row)
    }
}

fn is_larger(area: f64, than: f64) -> bool {
    area > than * (1.0 + SAME_SIZE)
}

fn row_area_mm2(mm2: Option<f64>, awg: Option<i32>) -> Option<f64> {
    mm2.map(ConductorSize::SquareMillimetres).or(awg.map(ConductorSize::Gauge)).map(ConductorSize::area_mm2)
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

impl Conductor {
    /// Cross-section in square millimetres; `None` for a row without a size.
    #[must_use]
    pub fn area_mm2(&self) -> Option<f64> {
        row_area_mm2(self.mm2, self.awg)
    }
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
    /// Amps in free air, unwound, on one line and neutral or on two lines.
    pub amps: Amps,
    /// The same with all three lines loaded, where the table gives less for that.
    pub amps_three_lines: Option<Amps>,
    /// Where the value comes from.
    pub source: String,
}

impl Ampacity {
    /// Cross-section in square millimetres; `None` for a row without a size.
    #[must_use]
    pub fn area_mm2(&self) -> Option<f64> {
        row_area_mm2(self.mm2, self.awg)
    }

    /// What it carries with `lines` line conductors loaded: 1, 2 or 3.
    #[must_use]
    pub fn amps_on(&self, lines: u8) -> Amps {
        match self.amps_three_lines {
            Some(amps) if lines >= 3 => amps,
            _ => self.amps,
        }
    }
}
