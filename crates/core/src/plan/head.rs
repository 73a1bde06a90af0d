//! Heads: lamps, and everything else that is plugged in.

use crate::id::{ClassId, OutletId, RoomId};
use crate::plan::{Placement, Point};
use crate::unit::{Amps, Leakage, Metres, Minutes, Volts, Watts};

/// The table `[head.ID]`. A field that is given beats the class's.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Head {
    /// Class in the library.
    pub class: Option<ClassId>,
    /// What the crew calls it.
    pub name: Option<String>,
    /// Watts at the plug.
    pub watts: Option<Watts>,
    /// Power factor, the whole one.
    pub power_factor: Option<f64>,
    /// Whether its current leads the voltage.
    pub leading: bool,
    /// Running amps, measured.
    pub amps: Option<Amps>,
    /// What it is built for.
    pub volts: Option<Volts>,
    /// Standing leakage while lit.
    pub leak: Option<Leakage>,
    /// Leakage while plugged in but dark.
    pub idle: Option<Leakage>,
    /// Extra leakage while it strikes, on top of the standing one.
    pub strike: Option<Leakage>,
    /// Where its leakage comes from.
    pub leak_from: Option<LeakFrom>,
    /// Amps in all while it runs up.
    pub start: Option<Amps>,
    /// How long it runs up.
    pub start_minutes: Option<Minutes>,
    /// Peak amps at switch-on.
    pub inrush: Option<Amps>,
    /// How long that peak lasts, milliseconds.
    pub inrush_ms: Option<f64>,
    /// Minutes that it stays dark when it loses power hot.
    pub restrike: Option<Minutes>,
    /// How its amps move with the volts.
    pub load: Option<Load>,
    /// Its harmonics.
    pub spectrum: Option<Spectrum>,
    /// Its plug; by default the region's everyday one.
    pub plug: Option<OutletId>,
    /// Fuse fitted in its plug.
    pub fuse: Option<Amps>,
    /// Protection class against shock.
    pub earth_class: Option<EarthClass>,
    /// Where it stands.
    pub room: Option<RoomId>,
    /// Where on that room's floor.
    pub at: Option<Point>,
    /// Its own mains tail.
    pub tail: Option<Metres>,
    /// Where it is plugged in; not placed if `None`. A setup may say its own.
    pub placement: Option<Placement>,
    /// Not to be moved by the program.
    pub pinned: bool,
    /// 1 to 9, 5 by default: what to keep if not everything fits.
    pub importance: Option<u32>,
}

/// How running amps move with the volts that arrive.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Load {
    /// Constant power.
    #[default]
    Steady,
    /// Tungsten: amps as volts to the 0.55.
    Filament,
    /// Amps as volts.
    Resistive,
}

impl Load {
    /// Every one, with its word in the file.
    pub const WORDS: [(&'static str, Self); 3] =
        [("steady", Self::Steady), ("filament", Self::Filament), ("resistive", Self::Resistive)];
}

/// Harmonic content of a head's current.
#[derive(Clone, Debug, PartialEq)]
pub enum Spectrum {
    /// None.
    Linear,
    /// A corrected electronic supply.
    Corrected,
    /// A rectifier into a capacitor.
    Capacitor,
    /// Orders, each with its percent of the fundamental.
    Orders(Vec<(u32, f64)>),
}

impl Spectrum {
    /// The named ones, with their words in the file.
    pub const WORDS: [(&'static str, Self); 3] =
        [("linear", Self::Linear), ("corrected", Self::Corrected), ("capacitor", Self::Capacitor)];

    /// Harmonic orders, each with its percent of the fundamental.
    #[must_use]
    pub fn orders(&self) -> &[(u32, f64)] {
        match self {
            Self::Linear => &[],
            Self::Corrected => &[(3, 8.0), (5, 4.0), (7, 3.0)],
            Self::Capacitor => &[(3, 81.0), (5, 60.6), (7, 37.0), (9, 15.7)],
            Self::Orders(orders) => orders,
        }
    }
}

/// Protection class against shock, IEC 61140.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum EarthClass {
    /// Class I: metal that relies on its earth.
    I,
    /// Class II: double insulation, no earth.
    II,
    /// Class III: extra-low voltage.
    III,
}

impl EarthClass {
    /// Class 1, 2 or 3.
    #[must_use]
    pub const fn from_number(number: u32) -> Option<Self> {
        match number {
            1 => Some(Self::I),
            2 => Some(Self::II),
            3 => Some(Self::III),
            _ => None,
        }
    }
}

/// Where a leakage figure comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LeakFrom {
    /// A clamp.
    Measured,
    /// The nameplate.
    Plate,
}

impl LeakFrom {
    /// Every one, with its word in the file.
    pub const WORDS: [(&'static str, Self); 2] = [("measured", Self::Measured), ("plate", Self::Plate)];
}
