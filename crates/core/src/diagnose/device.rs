//! What can drop, what hangs behind it, and which of it dropped.

use crate::assess::{Assessment, Certainty, chain, steps};
use crate::id::DeviceId;
use crate::network::{CircuitAt, HeadAt, Network, Part, RcdAt, SetupAt, SocketAt, SupplyAt};
use crate::order::Order as _;
use crate::physics::residual::{Outcome, odds};
use crate::plan::Reset;

/// Something that dropped.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Lost {
    /// A residual-current device.
    Rcd(RcdAt),
    /// A circuit's breaker or fuse.
    Circuit(CircuitAt),
    /// All that a supply feeds.
    Supply(SupplyAt),
    /// The meter of a supply, with every switch on the board up.
    Meter(SupplyAt),
}

impl Lost {
    /// Its id in the plan; a meter goes by its supply.
    #[must_use]
    pub fn id(self, network: &Network) -> DeviceId {
        DeviceId::from(match self {
            Self::Rcd(at) => network.rcd_id(at).as_str(),
            Self::Circuit(at) => network.circuit_id(at).as_str(),
            Self::Supply(at) | Self::Meter(at) => network.supply_id(at).as_str(),
        })
    }

    /// What it is, in the region's words: `RCD RA`, `breaker P1`.
    #[must_use]
    pub fn words(self, network: &Network) -> String {
        let noun = match self {
            Self::Rcd(_) => network.region.words.rcd.as_str(),
            Self::Circuit(_) => "breaker",
            Self::Supply(_) => "supply",
            Self::Meter(_) => "meter of",
        };
        format!("{noun} {}", self.id(network))
    }
}

/// Several devices in words, for a sentence.
#[must_use]
pub fn names(network: &Network, lost: &[Lost]) -> String {
    let ids: Vec<String> = lost.iter().map(|lost| lost.id(network).to_string()).collect();
    ids.join(" and ")
}

/// What happened, in words: `RA went`, `P1 and RA went`.
#[must_use]
pub fn went(network: &Network, lost: &[Lost]) -> String {
    match lost {
        [Lost::Meter(_)] => "the meter went".to_owned(),
        [Lost::Supply(at)] => format!("all of {} went", network.supply_id(*at)),
        _ => format!("{} went", names(network, lost)),
    }
}

/// Whether a socket is behind a device.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Behind {
    No,
    Perhaps,
    Surely,
}

/// Whether a socket is behind a device, whatever circuit it is on.
pub(super) fn behind(network: &Network, socket: SocketAt, lost: Lost) -> Behind {
    let reach = network.reach_of(socket);
    let of_part = |certain: bool| if certain { Behind::Surely } else { Behind::Perhaps };
    match lost {
        Lost::Rcd(rcd) => chain(network, socket)
            .find(|(at, _)| *at == rcd)
            .map_or(Behind::No, |(_, certainty)| of_part(certainty == Certainty::Certain)),
        Lost::Circuit(circuit) => {
            let part = reach.circuits.iter().find(|part| part.what == circuit);
            part.map_or(Behind::No, |part: &Part<CircuitAt>| of_part(part.certain))
        }
        Lost::Supply(supply) | Lost::Meter(supply) => {
            let any = reach.supplies.iter().any(|part| part.what.0 == supply);
            if any { of_part(reach.supply() == Some(supply)) } else { Behind::No }
        }
    }
}

/// Every device of the plan by an id: an RCD, a circuit or a supply.
#[must_use]
pub fn devices_of(network: &Network, id: &str) -> Option<Lost> {
    let rcd = network.rcd(id).map(Lost::Rcd);
    rcd.or_else(|| network.circuit(id).map(Lost::Circuit)).or_else(|| network.supply(id).map(Lost::Supply))
}

/// Resets that the log has of these devices in a setup.
#[must_use]
pub fn resets_in_log(network: &Network, setup: SetupAt, lost: &[Lost]) -> u32 {
    let ids: Vec<DeviceId> = lost.iter().map(|lost| lost.id(network)).collect();
    let is_same = |trip: &&crate::plan::Trip| {
        trip.setup.as_ref() == Some(network.setup_id(setup))
            && trip.device.as_ref().is_some_and(|device| ids.contains(device))
            && matches!(trip.reset, Some(Reset::Held | Reset::DidNotHold))
    };
    u32::try_from(network.plan.trips.iter().filter(is_same).count()).unwrap_or(u32::MAX)
}

/// A device that would darken heads that were seen dark.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Inferred {
    /// The device.
    pub lost: Lost,
    /// Heads that would be dark as well, though nobody named them.
    pub more: usize,
}

/// The devices that darken all of `dark`: those that darken no other head of the setup, the nearest
/// first; where there is none, those that darken fewest others first.
#[must_use]
pub fn infer(network: &Network, setup: SetupAt, dark: &[HeadAt]) -> Vec<Inferred> {
    let placed = |head: HeadAt| network.setups[setup].placed[head].as_ref().map(|placed| placed.socket);
    let is_behind =
        |head: HeadAt, lost: Lost| placed(head).map_or(Behind::No, |at| behind(network, at, lost));
    let darkened = |lost: Lost| {
        let others = network.setups[setup].on.iter().filter(|head| !dark.contains(head));
        others.filter(|head| is_behind(**head, lost) == Behind::Surely).count()
    };
    let mut found: Vec<(Inferred, usize)> = all(network)
        .filter(|lost| !dark.is_empty() && dark.iter().all(|head| is_behind(*head, *lost) != Behind::No))
        .map(|lost| (Inferred { lost, more: darkened(lost) }, breadth(network, lost)))
        .collect();
    if found.iter().any(|(inferred, _)| inferred.more == 0) {
        found.retain(|(inferred, _)| inferred.more == 0);
    }
    found.order_by_key(|(inferred, breadth)| (inferred.more, *breadth, inferred.lost));
    found.into_iter().map(|(inferred, _)| inferred).collect()
}

fn all(network: &Network) -> impl Iterator<Item = Lost> + '_ {
    let rcds = network.rcds.indices().map(Lost::Rcd);
    rcds.chain(network.circuits.indices().map(Lost::Circuit))
        .chain(network.supplies.indices().map(Lost::Supply))
}

/// How many sockets are behind a device: the nearest of several has fewest.
fn breadth(network: &Network, lost: Lost) -> usize {
    network.sockets.indices().filter(|socket| behind(network, *socket, lost) != Behind::No).count()
}

/// Something that may have gone, for the question what went.
#[derive(Clone, Debug, PartialEq)]
pub struct Likely {
    /// One device, or a breaker with its RCD.
    pub lost: Vec<Lost>,
    /// How likely by the numbers of the plan: the odds of an RCD, what a breaker's trip window says.
    /// Comparable within one list only.
    pub score: f64,
    /// Heads of the setup that would be dark.
    pub heads: usize,
}

/// All that may have gone in a setup, the likeliest first: devices with heads behind them by the odds
/// of the step in which `last` is struck, then all of a supply, its meter, a breaker with its RCD, and
/// devices without a head.
#[must_use]
pub fn likely(
    network: &Network,
    assessment: &Assessment,
    setup: SetupAt,
    last: Option<HeadAt>,
) -> Vec<Likely> {
    let used = &assessment.setups[setup];
    let step = last.and_then(|last| steps(network, used).into_iter().find(|step| step.head == last));
    let socket = |head: HeadAt| network.setups[setup].placed[head].as_ref().map(|placed| placed.socket);
    let hangs = |head: HeadAt, lost| socket(head).is_some_and(|at| behind(network, at, lost) != Behind::No);
    let heads = |lost| network.setups[setup].on.iter().filter(|head| hangs(**head, lost)).count();
    let score = |lost: Lost| {
        let own = match lost {
            Lost::Rcd(at) => {
                let part = step.as_ref().and_then(|step| step.rcds.iter().find(|part| part.rcd == at));
                part.map_or(used.rcds[at].odds, |part| odds(part.striking.possible, used.rcds[at].room.room))
            }
            Lost::Circuit(at) => match used.circuits[at].breaker {
                Outcome::Trips => 1.0,
                Outcome::MayTrip => 0.5,
                Outcome::Holds => 0.0,
            },
            Lost::Supply(_) | Lost::Meter(_) => 0.0,
        };
        let is_near = last.is_none_or(|last| hangs(last, lost));
        if is_near { own + 0.01 } else { own / 2.0 }
    };
    let single = |lost: Lost| Likely { lost: vec![lost], score: score(lost), heads: heads(lost) };
    let mut devices: Vec<Likely> =
        all(network).filter(|lost| !matches!(lost, Lost::Supply(_))).map(single).collect();
    devices.order_by(|a, b| b.score.total_cmp(&a.score));
    let (mut told, without): (Vec<_>, Vec<_>) = devices.into_iter().partition(|one| one.heads > 0);
    for (at, supply) in network.supplies.iter() {
        told.push(single(Lost::Supply(at)));
        if supply.contract.is_some() {
            told.push(single(Lost::Meter(at)));
        }
    }
    let pairs: Vec<Likely> = told
        .iter()
        .filter_map(|one| match one.lost.as_slice() {
            [Lost::Circuit(circuit)] => Some((*circuit, *network.circuits[*circuit].rcds.first()?, one)),
            _ => None,
        })
        .map(|(circuit, rcd, one)| Likely {
            lost: vec![Lost::Circuit(circuit), Lost::Rcd(rcd)],
            score: one.score,
            heads: heads(Lost::Rcd(rcd)),
        })
        .collect();
    told.extend(pairs);
    told.extend(without);
    told
}
