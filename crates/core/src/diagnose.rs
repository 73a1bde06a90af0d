//! After a trip: what it was, what to unplug, what can be lit again where, what waits, and whether a
//! reset is for anybody to try.
//!
//! A function of the network, its assessment and what the crew saw. It moves nothing that is lit and
//! brings back nothing that may have dropped the device. It never calls a fault a nuisance.

mod advice;
mod cause;
mod device;
mod part;
mod relight;

use crate::assess::Assessment;
use crate::network::{HeadAt, Link, Network, SetupAt, SocketAt};
use crate::plan::{ClockTime, Reset, Weather};
use crate::unit::Minutes;

pub use advice::{Advice, Step};
pub use cause::{Cause, Kind, Likelihood, Pattern};
pub use device::{Inferred, Likely, Lost, devices_of, infer, likely, names, resets_in_log, went};
pub use relight::{Fetch, Later, LeftDark, Proof, Relight};

/// After this many resets nobody tries another one (common practice, no source).
pub const MOST_RESETS: u32 = 2;

/// What the crew saw.
#[derive(Clone, Debug, PartialEq)]
pub struct Trip {
    /// The setup that was burning.
    pub setup: SetupAt,
    /// What dropped.
    pub lost: Vec<Lost>,
    /// Heads that were seen dark, also where no trace says why.
    pub dark: Vec<HeadAt>,
    /// Heads of the setup that were not struck yet when it went; they are cold.
    pub not_struck: Vec<HeadAt>,
    /// The head that was struck last.
    pub last_struck: Option<HeadAt>,
    /// Minutes since switch-on.
    pub after: Option<Minutes>,
    /// Whether it rains.
    pub weather: Weather,
    /// What the last reset did.
    pub reset: Reset,
    /// Resets that were tried so far, that one included.
    pub resets: u32,
    /// When it went, where somebody has a clock.
    pub at: Option<ClockTime>,
}

impl Trip {
    /// A trip of which only the devices are known: nothing was tried yet but what the log says.
    #[must_use]
    pub fn of(network: &Network, setup: SetupAt, lost: Vec<Lost>) -> Self {
        let resets = resets_in_log(network, setup, &lost);
        Self {
            setup,
            lost,
            dark: Vec::new(),
            not_struck: Vec::new(),
            last_struck: None,
            after: None,
            weather: network.setups[setup].weather,
            reset: Reset::NotTried,
            resets,
            at: None,
        }
    }

    /// When it went: by the clock, or by the setup's start and the minutes since.
    fn clock(&self, network: &Network) -> Option<f64> {
        let start = network.setups[self.setup].start;
        let reckoned = || Some(f64::from(start?.minutes) + self.after?.0);
        self.at.map(|at| f64::from(at.minutes)).or_else(reckoned)
    }
}

/// What a trip comes to.
#[derive(Clone, Debug, PartialEq)]
pub struct Diagnosis {
    /// What kind of trip it is.
    pub pattern: Pattern,
    /// What it may have been, the likeliest first.
    pub causes: Vec<Cause>,
    /// Heads that went dark and stay off, the likeliest culprit first.
    pub unplug: Vec<Unplug>,
    /// Heads that can be lit at once.
    pub now: Vec<Relight>,
    /// Heads that are hot and cannot strike yet.
    pub later: Vec<Later>,
    /// Heads without a place for now, with the reason: all of `unplug` but the suspects.
    pub left: Vec<LeftDark>,
    /// Heads that nobody needs to touch.
    pub lit: Vec<HeadAt>,
    /// Heads of which no trace says whether they went dark.
    pub unsure: Vec<HeadAt>,
    /// Whether more light, or as much with fewer moves, is ruled out.
    pub proof: Proof,
    /// What comes next.
    pub advice: Advice,
}

/// A head that is unplugged before anything else.
#[derive(Clone, Debug, PartialEq)]
pub struct Unplug {
    /// The head.
    pub head: HeadAt,
    /// Where it is plugged in; `None`: nowhere.
    pub socket: Option<SocketAt>,
    /// Why, in a few words.
    pub reason: String,
    /// Whether it may have dropped the device.
    pub standing: Standing,
}

/// Why a head stays off.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Standing {
    /// It may have dropped the device: off until a reset held without it and it was tried alone.
    Suspect,
    /// It has no place for now.
    NoPlace,
}

impl Diagnosis {
    /// The suspects.
    pub fn suspects(&self) -> impl Iterator<Item = HeadAt> {
        self.unplug.iter().filter(|off| off.standing == Standing::Suspect).map(|off| off.head)
    }
}

/// Works out what a trip comes to.
#[must_use]
pub fn diagnose(network: &Network, assessment: &Assessment, trip: &Trip) -> Diagnosis {
    let parts = part::Parts::of(network, assessment, trip);
    let pattern = Pattern::of(&trip.lost);
    let suspects = cause::suspects(network, assessment, trip, &parts);
    let relit = relight::relight(network, assessment, trip, &parts, &suspects);
    let causes = cause::causes(network, assessment, trip, &parts);
    let mut unplug: Vec<Unplug> = suspects
        .iter()
        .map(|head| cause::unplug(network, assessment, trip, *head, Standing::Suspect))
        .collect();
    let mut left: Vec<HeadAt> = relit.left.iter().map(|left| left.head).collect();
    cause::leakiest_first(network, assessment, trip, &mut left);
    unplug.extend(left.iter().map(|head| cause::unplug(network, assessment, trip, *head, Standing::NoPlace)));
    let advice = advice::advice(network, assessment, trip, &parts, &suspects);
    Diagnosis {
        pattern,
        causes,
        unplug,
        now: relit.now,
        later: relit.later,
        left: relit.left,
        proof: relit.proof,
        lit: parts.lit,
        unsure: parts.unsure,
        advice,
    }
}

/// The ids of leads and blocks, wall first.
#[must_use]
pub fn lead_ids(network: &Network, links: &[Link]) -> Vec<String> {
    let id = |link: &Link| match link {
        Link::Cable(at) => network.cables[*at].id.to_string(),
        Link::Block(at) => network.blocks[*at].id.to_string(),
    };
    links.iter().map(id).collect()
}
