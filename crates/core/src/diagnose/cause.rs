//! What a trip may have been, with the evidence for each, and which heads are suspects.

mod breaker;
mod residual;
mod whole;

use crate::assess::Assessment;
use crate::network::{HeadAt, Network};
use crate::order::Order as _;
use crate::plan::Weather;
use crate::rule::words::number;
use crate::unit::Minutes;

use super::device::Lost;
use super::part::Parts;
use super::{Standing, Trip, Unplug};

/// Up to this long after switch-on a breaker's trip is one of the moment: a second.
const AT_ONCE: Minutes = Minutes(1.0 / 60.0 + 1e-9);
/// Up to this long after it was struck a head counts as the one that did it by striking: a discharge
/// head has run up by then (typical, from memory).
const STRIKING: Minutes = Minutes(5.0);

/// What kind of trip it is, by what dropped.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Pattern {
    /// An RCD, and every breaker is up.
    Leakage,
    /// A breaker or fuse, and every RCD is up.
    Breaker,
    /// A breaker and an RCD.
    BreakerAndRcd,
    /// All that a supply feeds.
    Supply,
    /// The meter, and the board is all up.
    Meter,
}

impl Pattern {
    /// The pattern of what dropped.
    #[must_use]
    pub fn of(lost: &[Lost]) -> Self {
        let any = |is: fn(&Lost) -> bool| lost.iter().any(is);
        let rcd = any(|lost| matches!(lost, Lost::Rcd(_)));
        let breaker = any(|lost| matches!(lost, Lost::Circuit(_)));
        if rcd && breaker {
            Self::BreakerAndRcd
        } else if any(|lost| matches!(lost, Lost::Supply(_))) {
            Self::Supply
        } else if any(|lost| matches!(lost, Lost::Meter(_))) {
            Self::Meter
        } else if breaker {
            Self::Breaker
        } else {
            Self::Leakage
        }
    }

    /// Whether anybody tries a reset: never where a breaker and an RCD went together.
    #[must_use]
    pub const fn may_be_reset(self) -> bool {
        !matches!(self, Self::BreakerAndRcd)
    }
}

/// What a cause is, apart from its words.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// What leaks by design, while a head strikes or all burn.
    Leakage,
    /// A fault in a head or its lead.
    HeadFault,
    /// Water in a head, a plug or a joint.
    Water,
    /// The house's own loads or wiring behind the device.
    House,
    /// Peak current at switch-on.
    Inrush,
    /// A short.
    Short,
    /// More amps than the device carries.
    Overload,
    /// Something else on the circuit, or a bad contact.
    Unknown,
    /// Live to earth.
    EarthFault,
    /// The supply itself is gone.
    SupplyGone,
    /// More power than was contracted.
    Contract,
}

/// How likely a cause is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Likelihood {
    /// The numbers point to it.
    Likely,
    /// Nothing speaks against it.
    Possible,
    /// The numbers speak against it.
    Unlikely,
}

impl Likelihood {
    /// The word that other programs read.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Likely => "likely",
            Self::Possible => "possible",
            Self::Unlikely => "unlikely",
        }
    }
}

/// What a trip may have been.
#[derive(Clone, Debug, PartialEq)]
pub struct Cause {
    /// What it is.
    pub kind: Kind,
    /// In a few words.
    pub cause: String,
    /// How likely it is.
    pub likelihood: Likelihood,
    /// What speaks for it or against it, in a sentence.
    pub evidence: String,
    /// What to do.
    pub remedy: String,
}

impl Cause {
    fn new(
        kind: Kind,
        likelihood: Likelihood,
        cause: impl Into<String>,
        evidence: impl Into<String>,
        remedy: impl Into<String>,
    ) -> Self {
        Self { kind, cause: cause.into(), likelihood, evidence: evidence.into(), remedy: remedy.into() }
    }
}

/// What a cause is looked for in.
struct Case<'a> {
    network: &'a Network,
    assessment: &'a Assessment,
    trip: &'a Trip,
    parts: &'a Parts,
}

impl Case<'_> {
    /// The head that was struck last, where it went dark or may have.
    fn last(&self) -> Option<HeadAt> {
        self.trip.last_struck.filter(|head| self.parts.may_be_dark(*head))
    }

    fn id(&self, head: HeadAt) -> &str {
        self.network.head_id(head).as_str()
    }
}

/// The causes of a trip, the likeliest first.
pub(super) fn causes(network: &Network, assessment: &Assessment, trip: &Trip, parts: &Parts) -> Vec<Cause> {
    let case = Case { network, assessment, trip, parts };
    let mut causes = match Pattern::of(&trip.lost) {
        Pattern::Leakage => residual::leakage(&case),
        Pattern::Breaker => breaker::breaker(&case),
        Pattern::BreakerAndRcd => residual::earth_fault(&case),
        Pattern::Supply => whole::supply(&case),
        Pattern::Meter => whole::meter(&case),
    };
    causes.order_by_key(|cause| cause.likelihood);
    causes
}

/// The heads that stay off until a reset held without them: the one that was struck last; every head
/// of a trip of breaker and RCD; those that stand in the rain behind an RCD that dropped. Where nobody
/// knows which was last, the one that the numbers point to.
pub(super) fn suspects(
    network: &Network,
    assessment: &Assessment,
    trip: &Trip,
    parts: &Parts,
) -> Vec<HeadAt> {
    let pattern = Pattern::of(&trip.lost);
    let last = trip.last_struck.filter(|head| parts.may_be_dark(*head));
    let mut suspects: Vec<HeadAt> = last.into_iter().collect();
    if pattern == Pattern::BreakerAndRcd {
        let mut all = parts.dark.clone();
        leakiest_first(network, assessment, trip, &mut all);
        suspects.extend(all.into_iter().filter(|head| Some(*head) != last));
        return suspects;
    }
    if pattern == Pattern::Leakage && trip.weather == Weather::Rain {
        let mut wet: Vec<HeadAt> =
            parts.dark.iter().copied().filter(|head| is_in_the_rain(network, trip, *head)).collect();
        leakiest_first(network, assessment, trip, &mut wet);
        suspects.extend(wet.into_iter().filter(|head| Some(*head) != last));
    }
    let at_once = trip.after.is_none_or(|after| !after.is_over(AT_ONCE));
    if suspects.is_empty() && (pattern == Pattern::Leakage || (pattern == Pattern::Breaker && at_once)) {
        let mut all = parts.dark.clone();
        leakiest_first(network, assessment, trip, &mut all);
        suspects.extend(all.first());
    }
    suspects
}

/// Whether a head or its socket stands outdoors while it rains.
fn is_in_the_rain(network: &Network, trip: &Trip, head: HeadAt) -> bool {
    let socket = network.setups[trip.setup].placed[head].as_ref();
    let outdoors = socket.is_some_and(|placed| network.sockets[placed.socket].place.outdoor);
    trip.weather == Weather::Rain && (outdoors || network.heads[head].place.outdoor)
}

/// Sorts heads so that the likeliest culprit is first: by leakage while they strike where an RCD went,
/// else by amps at switch-on.
pub(super) fn leakiest_first(network: &Network, assessment: &Assessment, trip: &Trip, heads: &mut [HeadAt]) {
    let weight = |head: HeadAt| match Pattern::of(&trip.lost) {
        Pattern::Leakage | Pattern::BreakerAndRcd => most_leakage(network, head),
        _ => {
            let used = assessment.setups[trip.setup].heads[head].as_ref();
            used.map_or(0.0, |used| used.inrush.map_or(used.start.0, |inrush| inrush.counts.0))
        }
    };
    heads.order_by(|a, b| weight(*b).total_cmp(&weight(*a)).then(a.cmp(b)));
}

/// Milliamps that a head leaks while it strikes.
fn most_leakage(network: &Network, head: HeadAt) -> f64 {
    let node = &network.heads[head];
    (node.leak.value.high + node.strike.value.high).0
}

/// Why a head is unplugged, in a few words.
pub(super) fn unplug(
    network: &Network,
    assessment: &Assessment,
    trip: &Trip,
    head: HeadAt,
    standing: Standing,
) -> Unplug {
    let pattern = Pattern::of(&trip.lost);
    let socket = network.setups[trip.setup].placed[head].as_ref().map(|placed| placed.socket);
    let plate = |head: HeadAt| {
        let placed = network.setups[trip.setup].placed[head].as_ref()?;
        Some(network.sockets[placed.socket].plate)
    };
    let (lit, most) = (network.heads[head].leak.value.high.0, most_leakage(network, head));
    let amps = assessment.setups[trip.setup].heads[head].as_ref().map_or(0.0, |used| used.amps.0);
    let of_leakage = matches!(pattern, Pattern::Leakage | Pattern::BreakerAndRcd);
    let measure = if of_leakage { format!("{} mA", number(most)) } else { format!("{} A", number(amps)) };
    let leaks = match (of_leakage, most > lit) {
        (true, true) => format!("leaks {measure} striking"),
        (true, false) => format!("leaks {measure}"),
        (false, _) => format!("takes {measure}"),
    };
    let same_plate = trip
        .last_struck
        .is_some_and(|last| last != head && plate(last).is_some() && plate(last) == plate(head));
    let reason = if trip.last_struck == Some(head) {
        match trip.after {
            Some(after) if after.is_over(STRIKING) => format!("struck {} min before", number(after.0)),
            _ => "struck as it went".to_owned(),
        }
    } else if pattern == Pattern::Leakage && is_in_the_rain(network, trip, head) {
        "out in the rain".to_owned()
    } else {
        match standing {
            Standing::NoPlace => format!("no place now, {measure}"),
            Standing::Suspect if same_plate => format!("same plate, {measure}"),
            Standing::Suspect => leaks,
        }
    };
    Unplug { head, socket, reason, standing }
}
