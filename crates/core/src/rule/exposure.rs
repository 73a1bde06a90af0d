//! Where water makes everything worse.

use crate::network::{HeadAt, Network, SocketAt};
use crate::rule::scope::Context;

/// Why a place is dangerous for a missing or unproven protection.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Exposure {
    Rain,
    Wet,
    Outdoor,
}

impl Exposure {
    pub(super) const fn words(self) -> &'static str {
        match self {
            Self::Rain => "in rain",
            Self::Wet => "in the wet",
            Self::Outdoor => "outdoors",
        }
    }
}

/// Whether a socket or any of the heads on it is wet, outdoors or in rain.
pub(super) fn exposure(context: Context<'_>, socket: SocketAt, heads: &[HeadAt]) -> Option<Exposure> {
    if context.rains() {
        return Some(Exposure::Rain);
    }
    let network: &Network = context.network;
    let places = || {
        std::iter::once(&network.sockets[socket].place)
            .chain(heads.iter().map(|head| &network.heads[*head].place))
    };
    if places().any(|place| place.wet) {
        return Some(Exposure::Wet);
    }
    places().any(|place| place.outdoor).then_some(Exposure::Outdoor)
}
