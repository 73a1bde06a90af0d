//! Regions: volts, devices, rules and words.

use std::fmt;

use serde::Deserialize;

use crate::id::OutletId;
use crate::library::word;
use crate::plan::{Curve, RcdClass, word_of};
use crate::unit::{Amps, MilliAmps, Minutes, Volts};

/// A region, by the code of the plan file.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum RegionCode {
    /// Australia.
    Au,
    /// New Zealand.
    Nz,
    /// United Kingdom.
    Uk,
    /// Ireland.
    Ie,
    /// Most of continental Europe.
    #[default]
    Eu,
    /// Italy.
    It,
    /// United States.
    Us,
    /// Canada.
    Ca,
    /// Japan.
    Jp,
}

impl RegionCode {
    /// Every one, with its word in the file.
    pub const WORDS: [(&'static str, Self); 9] = [
        ("au", Self::Au),
        ("nz", Self::Nz),
        ("uk", Self::Uk),
        ("ie", Self::Ie),
        ("eu", Self::Eu),
        ("it", Self::It),
        ("us", Self::Us),
        ("ca", Self::Ca),
        ("jp", Self::Jp),
    ];
}

impl fmt::Display for RegionCode {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(word_of(&Self::WORDS, self))
    }
}

/// What is built in for a region.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Region {
    /// Its name in English.
    pub name: String,
    /// Nominal volts, line to neutral.
    pub volts: Volts,
    /// Lowest volts that the grid may deliver, as a fraction of nominal.
    pub lowest_volts: f64,
    /// Mains frequency; where both are in use, the first is taken.
    pub hertz: Vec<f64>,
    /// The everyday outlet and plug.
    pub outlet: OutletId,
    /// Trip curve of the usual breaker.
    #[serde(deserialize_with = "curve")]
    pub curve: Curve,
    /// The smallest usual breaker of a socket circuit: what an unknown one is taken for.
    pub smallest_breaker_a: Amps,
    /// Class of RCD usually found.
    #[serde(deserialize_with = "rcd_class")]
    pub rcd_class: RcdClass,
    /// Rating of the RCD usually found; for a GFCI the current that it must trip at.
    pub rcd_rated_ma: MilliAmps,
    /// A ramp step at which a working RCD must have tripped.
    pub must_trip_ma: MilliAmps,
    /// Whether sockets to 32 A must be behind an RCD.
    pub sockets_need_rcd: bool,
    /// Share of a breaker's rating for loads of three hours and more; absent where there is no such rule.
    pub continuous_factor: Option<f64>,
    /// Total voltage drop published as a limit or advice, percent, for lighting.
    pub drop_lighting_percent: f64,
    /// The same for other loads.
    pub drop_other_percent: f64,
    /// How far over its contract a metered supply may go, and for how long.
    #[serde(default)]
    pub contract_grace: Vec<ContractGrace>,
    /// The paper of everyday printers.
    pub paper: Paper,
    /// The sign before decimals, on paper for people.
    pub decimal: char,
    /// Words of the region.
    pub words: Words,
    /// Where each value comes from: one entry a field, also for those that are left out.
    pub sources: std::collections::BTreeMap<String, String>,
}

/// How far over its contract a metered supply may go.
#[derive(Clone, Copy, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ContractGrace {
    /// Up to this many times the contract …
    pub times: f64,
    /// … for this long a day; for ever if absent.
    pub minutes_a_day: Option<Minutes>,
}

/// What the trade calls things in a region.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Words {
    /// active, line, hot
    pub active: String,
    /// neutral
    pub neutral: String,
    /// earth, ground
    pub earth: String,
    /// power point, socket, outlet
    pub socket: String,
    /// RCD, GFCI: short enough for a table
    pub rcd: String,
    /// safety switch, ground-fault interrupter: for sentences
    pub rcd_long: String,
    /// board, consumer unit, panel
    pub board: String,
    /// line, phase, leg
    pub line: String,
    /// lead, extension cord
    pub lead: String,
    /// metres, feet
    pub length: LengthWord,
}

/// The paper of everyday printers.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Paper {
    /// ISO 216 A4, 210 by 297 mm.
    A4,
    /// 8.5 by 11 in.
    Letter,
}

impl Paper {
    /// The word for it in commands and files.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::A4 => "a4",
            Self::Letter => "letter",
        }
    }
}

/// Which unit of length a region's crews speak.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum LengthWord {
    /// Metres.
    Metres,
    /// Feet.
    Feet,
}

fn curve<'de, D: serde::Deserializer<'de>>(deserializer: D) -> Result<Curve, D::Error> {
    word(deserializer, &Curve::WORDS)
}

fn rcd_class<'de, D: serde::Deserializer<'de>>(deserializer: D) -> Result<RcdClass, D::Error> {
    word(deserializer, &RcdClass::WORDS)
}
