//! What an assessment tells: the numbers of every setup, and the findings, worst first.

use std::cmp::Reverse;
use std::fmt;
use std::sync::Arc;

use crate::network::{
    BlockAt, CableAt, CircuitAt, Dense, HeadAt, Network, RcdAt, SetupAt, SocketAt, SupplyAt,
};
use crate::rule::{Rule, Scope, Severity};

use super::usage::SetupUse;

/// The numbers of each setup; shared, as most stay as they are when a head is tried elsewhere.
pub type Sums = Dense<SetupAt, Arc<SetupUse>>;

/// Everything that is known of a plan.
#[derive(Clone, Debug, PartialEq)]
pub struct Assessment {
    /// The worst severity of any finding.
    pub verdict: Verdict,
    /// The numbers of each setup.
    pub setups: Sums,
    /// What is wrong, may be, or is worth knowing; worst first.
    pub findings: Vec<Finding>,
}

impl Assessment {
    /// The findings of one setup, and those of the whole location, worst first.
    pub fn findings_in(&self, setup: SetupAt) -> impl Iterator<Item = &Finding> {
        self.findings.iter().filter(move |finding| finding.setup.is_none_or(|own| own == setup))
    }

    /// The verdict of one setup.
    #[must_use]
    pub fn verdict_in(&self, setup: SetupAt) -> Verdict {
        Verdict::of(self.findings_in(setup))
    }

    /// The worst finding of a setup: what binds there.
    #[must_use]
    pub fn binding_in(&self, setup: SetupAt) -> Option<&Finding> {
        self.findings_in(setup).next()
    }
}

/// The worst of a set of findings.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Verdict {
    /// Nothing was found.
    Clear,
    /// Notes only.
    Note,
    /// Something may go wrong.
    Risk,
    /// A light will go out, or not start.
    Dark,
    /// Somebody can be hurt.
    Danger,
}

impl Verdict {
    /// The worst of these findings.
    pub fn of<'a>(findings: impl IntoIterator<Item = &'a Finding>) -> Self {
        findings.into_iter().map(|finding| Self::from(finding.severity)).max().unwrap_or(Self::Clear)
    }

    /// The word that other programs read.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Clear => "clear",
            Self::Note => "note",
            Self::Risk => "risk",
            Self::Dark => "dark",
            Self::Danger => "danger",
        }
    }
}

impl From<Severity> for Verdict {
    fn from(severity: Severity) -> Self {
        match severity {
            Severity::Note => Self::Note,
            Severity::Risk => Self::Risk,
            Severity::Dark => Self::Dark,
            Severity::Danger => Self::Danger,
        }
    }
}

/// One thing that is wrong, may be, or is worth knowing.
#[derive(Clone, Debug, PartialEq)]
pub struct Finding {
    /// The rule that found it.
    pub rule: &'static Rule,
    /// How bad it is here.
    pub severity: Severity,
    /// The setup that it is found in; `None`: in all of them.
    pub setup: Option<SetupAt>,
    /// What it is about.
    pub subject: Subject,
    /// The number that crossed, and the limit that it crossed, in `unit`.
    pub crossing: Option<Crossing>,
    /// What is so, in a sentence.
    pub text: String,
    /// What to do about it, in a sentence.
    pub remedy: String,
    /// Whether it rests on a default.
    pub assumed: bool,
    /// What was looked at.
    pub(crate) scope: Scope,
}

/// A number and the limit that it crossed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Crossing {
    /// The number.
    pub value: f64,
    /// The limit.
    pub limit: f64,
    /// The unit of both.
    pub unit: &'static str,
}

/// What a finding is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Subject {
    /// The location.
    Location,
    /// A supply.
    Supply(SupplyAt),
    /// An RCD.
    Rcd(RcdAt),
    /// A circuit.
    Circuit(CircuitAt),
    /// A socket.
    Socket(SocketAt),
    /// A head.
    Head(HeadAt),
    /// A type of lead.
    Cable(CableAt),
    /// A type of splitter.
    Block(BlockAt),
}

impl Subject {
    /// `table.id`, as other programs read it.
    #[must_use]
    pub fn path(self, network: &Network) -> String {
        match self {
            Self::Location => "location".to_owned(),
            Self::Supply(at) => format!("supply.{}", network.supplies[at].id),
            Self::Rcd(at) => format!("rcd.{}", network.rcds[at].id),
            Self::Circuit(at) => format!("circuit.{}", network.circuits[at].id),
            Self::Socket(at) => format!("socket.{}", network.sockets[at].id),
            Self::Head(at) => format!("head.{}", network.heads[at].id),
            Self::Cable(at) => format!("cable.{}", network.cables[at].id),
            Self::Block(at) => format!("block.{}", network.blocks[at].id),
        }
    }

    /// The id alone, as the crew says it.
    #[must_use]
    pub fn id(self, network: &Network) -> String {
        let path = self.path(network);
        path.split_once('.').map_or(path.clone(), |(_, id)| id.to_owned())
    }
}

impl fmt::Display for Verdict {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.word())
    }
}

pub(super) fn assessment(setups: Sums, findings: impl Iterator<Item = Finding>) -> Assessment {
    let mut findings: Vec<Finding> = findings.collect();
    findings.sort_by_cached_key(|finding| {
        (Reverse(finding.severity), finding.setup, finding.rule.place(), finding.subject)
    });
    Assessment { verdict: Verdict::of(&findings), setups, findings }
}
