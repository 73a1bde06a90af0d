//! Leads and splitters on the truck.

use crate::id::OutletId;
use crate::unit::{Amps, Metres};

/// The table `[cable.ID]`: a type of lead.
#[derive(Clone, Debug, PartialEq)]
pub struct Cable {
    /// From plug to outlet.
    pub length: Metres,
    /// Size of its conductors.
    pub size: ConductorSize,
    /// Its plug, and the kind of outlet at its other end.
    pub plug: Option<OutletId>,
    /// Printed rating.
    pub rated: Option<Amps>,
    /// How many the truck has; no limit known if omitted.
    pub count: Option<u32>,
    /// Printed rating while wound on its reel.
    pub reel_rated: Option<Amps>,
    /// It cannot be unwound here.
    pub on_reel: bool,
    /// Fuse in its plug.
    pub fuse: Option<Amps>,
}

/// Cross-section of a conductor.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ConductorSize {
    /// Square millimetres, IEC 60228.
    SquareMillimetres(f64),
    /// American wire gauge; 1/0 is 0, 2/0 is -1 and so on.
    Gauge(i32),
}

impl ConductorSize {
    /// Cross-section in square millimetres. A gauge is a diameter of 0.127 mm x 92^((36 - n) / 39)
    /// (ASTM B258).
    #[must_use]
    pub fn area_mm2(self) -> f64 {
        match self {
            Self::SquareMillimetres(area) => area,
            Self::Gauge(gauge) => {
                let diameter = 0.127 * 92_f64.powf((36.0 - f64::from(gauge)) / 39.0);
                std::f64::consts::FRAC_PI_4 * diameter * diameter
            }
        }
    }
}

/// The table `[block.ID]`: a splitter, several heads on one outlet.
#[derive(Clone, Debug, PartialEq)]
pub struct Block {
    /// Its plug, and the kind of its outlets.
    pub plug: Option<OutletId>,
    /// How many heads it takes; 1 by default.
    pub ways: Option<u32>,
    /// What it carries in all.
    pub rated: Option<Amps>,
    /// Fuse in its plug.
    pub fuse: Option<Amps>,
    /// How many the truck has; no limit known if omitted.
    pub count: Option<u32>,
}
