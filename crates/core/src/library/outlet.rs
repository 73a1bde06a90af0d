//! Kinds of outlet, and what plugs into what.

use serde::Deserialize;

use crate::id::OutletId;
use crate::library::RegionCode;
use crate::unit::{Amps, Volts};

/// A kind of outlet, and the plug that belongs to it.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Outlet {
    /// What the trade calls it.
    pub name: String,
    /// What one outlet, and its plug, carries.
    pub amps: Amps,
    /// What a plate of two or more carries in all, where that is less than the sum.
    pub plate_amps: Option<Amps>,
    /// Fuse in the plug, where the plug has one.
    pub plug_fuse_a: Option<Amps>,
    /// Line conductors: 1, 2 or 3.
    pub lines: u8,
    /// Nominal volts: line to neutral for one line, else line to line.
    pub volts: Volts,
    /// Whether the plug goes in one way only, so that active and neutral stay what they are.
    pub polarised: bool,
    /// Whether it has an earth contact.
    pub earthed: bool,
    /// What it is for.
    #[serde(default, rename = "use")]
    pub usage: OutletUse,
    /// Regions where it is found; empty: anywhere.
    #[serde(default)]
    pub regions: Vec<RegionCode>,
    /// Plugs that go in, named as the outlet they belong to; its own included.
    pub takes: Vec<OutletId>,
    /// Where the values come from.
    pub source: String,
}

impl Outlet {
    /// Whether a plug of kind `plug` goes in.
    #[must_use]
    pub fn accepts(&self, plug: &OutletId) -> bool {
        self.takes.contains(plug)
    }
}

/// What a kind of outlet is for.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum OutletUse {
    /// Anything that fits.
    #[default]
    General,
    /// A shaver outlet behind an isolating transformer: never for a head.
    Shaver,
    /// Medical supply: never for a head.
    Medical,
    /// Uninterruptible or clean supply of somebody's machines: never for a head.
    Ups,
}
