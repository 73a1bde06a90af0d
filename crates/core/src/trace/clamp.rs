//! Clamp readings on circuits against what the plan adds up: which heads to doubt.

use crate::assess::Assessment;
use crate::network::{At, CircuitAt, HeadAt, Network, SetupAt};
use crate::order::Order as _;
use crate::unit::Amps;

/// A reading agrees within this share of what the plan adds up (common practice, no source) …
const SHARE: f64 = 0.05;
/// … and within this anyway: what a clamp tells of small currents is coarse (common practice, no source).
const COARSE: Amps = Amps(0.5);

/// A clamp reading on a circuit, in the setup that it was made in.
#[derive(Clone, Debug, PartialEq)]
pub struct ClampReading {
    /// The circuit.
    pub circuit: CircuitAt,
    /// The setup.
    pub setup: SetupAt,
    /// What the clamp said.
    pub measured: Amps,
    /// What the plan adds up for certain.
    pub certain: Amps,
    /// What the plan adds up with untraced heads and what others may draw.
    pub possible: Amps,
    /// How the two stand.
    pub stand: ClampStand,
    /// Heads whose amps to doubt where they do not agree: those that rest on a default, or else all; largest first.
    pub doubt: Vec<HeadAt>,
}

/// How a clamp reading stands to what the plan adds up.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ClampStand {
    /// It is what the plan says, or between what is certain and what is possible.
    Agrees,
    /// More flows than the plan knows of.
    More,
    /// Less flows than the plan adds up: a load was off, or draws less than was said of it.
    Less,
}

impl ClampStand {
    /// The word that other programs read.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Agrees => "agrees",
            Self::More => "more",
            Self::Less => "less",
        }
    }
}

/// The clamp readings of a plan, against its assessment.
#[must_use]
pub fn clamp_readings(network: &Network, assessment: &Assessment) -> Vec<ClampReading> {
    let circuits = network.plan.circuits.values().enumerate();
    circuits
        .filter_map(|(place, circuit)| {
            let measured = circuit.measured.as_ref()?;
            let setup = network.setup(measured.setup.as_str())?;
            Some(reading(network, assessment, CircuitAt::new(place), setup, measured.amps))
        })
        .collect()
}

fn reading(
    network: &Network,
    assessment: &Assessment,
    circuit: CircuitAt,
    setup: SetupAt,
    measured: Amps,
) -> ClampReading {
    let of_setup = &assessment.setups[setup];
    let used = &of_setup.circuits[circuit];
    let margin = |amps: Amps| COARSE.max(amps * SHARE);
    let stand = if measured.is_over(used.possible + margin(used.possible)) {
        ClampStand::More
    } else if used.amps.is_over(measured + margin(used.amps)) {
        ClampStand::Less
    } else {
        ClampStand::Agrees
    };
    let amps = |head: &HeadAt| of_setup.heads[*head].as_ref().map_or(Amps::ZERO, |head| head.amps);
    let heads = || used.heads.iter().chain(&used.possible_heads).copied();
    let mut doubt: Vec<HeadAt> = Vec::new();
    if stand != ClampStand::Agrees {
        doubt.extend(heads().filter(|head| network.heads[*head].amps_origin().is_assumed()));
        if doubt.is_empty() {
            doubt.extend(heads());
        }
        doubt.order_by(|one, other| amps(other).total_cmp(amps(one)));
    }
    ClampReading { circuit, setup, measured, certain: used.amps, possible: used.possible, stand, doubt }
}
