//! What is built in: classes of head, kinds of outlet, regions and cable data.
//!
//! Each table is a file of `assets/`, compiled in. Every value there has its source beside it, or
//! says "typical, from memory".

mod cable;
mod head;
mod outlet;
mod region;
#[cfg(test)]
mod tests;

use std::sync::LazyLock;

use indexmap::IndexMap;
use serde::Deserialize;
use serde::de::DeserializeOwned;

pub use cable::{Ampacity, CableTables, Conductor};
pub use head::{HeadClass, HeadFamily};
pub use outlet::{Outlet, OutletUse};
pub use region::{ContractGrace, LengthWord, Paper, Region, RegionCode, Words};

use crate::id::{ClassId, OutletId};

/// Everything that is built in.
#[derive(Debug)]
pub struct Library {
    /// Classes of head, in the order of the file.
    pub heads: IndexMap<ClassId, HeadClass>,
    /// Kinds of outlet and of the plugs that belong to them.
    pub outlets: IndexMap<OutletId, Outlet>,
    /// Regions.
    pub regions: IndexMap<RegionCode, Region>,
    /// Conductors and ampacities.
    pub cables: CableTables,
}

/// The built-in library, parsed once.
#[must_use]
pub fn library() -> &'static Library {
    static LIBRARY: LazyLock<Library> = LazyLock::new(|| Library {
        heads: table(include_str!("../../../assets/heads.toml")),
        outlets: table(include_str!("../../../assets/outlets.toml")),
        regions: table(include_str!("../../../assets/regions.toml")),
        cables: table(include_str!("../../../assets/cables.toml")),
    });
    &LIBRARY
}

impl RegionCode {
    /// What is built in for the region.
    #[must_use]
    pub fn region(self) -> &'static Region {
        &library().regions[&self]
    }
}

#[expect(clippy::expect_used, reason = "the assets are compiled in, and a test parses each")]
fn table<T: DeserializeOwned>(text: &str) -> T {
    toml::from_str(text).expect("a built-in table parses")
}

/// Reads one of a closed list of words.
fn word<'de, D: serde::Deserializer<'de>, T: Clone>(
    deserializer: D,
    words: &[(&'static str, T)],
) -> Result<T, D::Error> {
    let given = String::deserialize(deserializer)?;
    words
        .iter()
        .find(|(word, _)| *word == given)
        .map(|(_, value)| value.clone())
        .ok_or_else(|| serde::de::Error::custom(format!("unknown word {given}")))
}
