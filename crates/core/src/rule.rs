//! The rules: one entry a finding, with its id, severities, meaning, remedy, source and check.
//!
//! The ids are stable: other programs read them. The documentation's table and the program's own
//! list are made from [`RULES`].

mod battery;
mod cable;
mod circuit;
pub(crate) mod earth_loop;
mod exposure;
pub mod fit;
mod generator;
mod head;
mod inrush;
mod location;
mod neutral;
mod protection;
mod rcd;
pub(crate) mod scope;
pub(crate) mod setup;
mod socket;
mod supply;
mod table;
pub mod words;

use std::fmt;

pub use scope::{CircuitScope, HeadScope, RcdScope, SetupScope, SocketScope, SupplyScope};
pub(crate) use table::DROP_HIGH;
pub use table::{RULES, rule};

use crate::assess::{Crossing, Finding, Subject, Sums};
use crate::network::{CircuitAt, HeadAt, Network, RcdAt, SetupAt, SocketAt};

/// How bad a finding is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Severity {
    /// Worth knowing.
    Note,
    /// Something may go wrong.
    Risk,
    /// A light will go out, or not start.
    Dark,
    /// Somebody can be hurt.
    Danger,
}

impl Severity {
    /// The word that other programs read.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Note => "note",
            Self::Risk => "risk",
            Self::Dark => "dark",
            Self::Danger => "danger",
        }
    }
}

impl fmt::Display for Severity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.word())
    }
}

/// One rule.
pub struct Rule {
    /// Stable id, kebab-case.
    pub id: &'static str,
    /// How bad it can be, and when.
    pub severity: &'static str,
    /// When it fires.
    pub fires: &'static str,
    /// What to do about it, in general.
    pub remedy: &'static str,
    /// Where the limit comes from.
    pub source: &'static str,
    /// What looks for it.
    pub checks: &'static [Check],
}

/// What looks for a rule's findings, by what it looks at.
pub enum Check {
    /// A head at its socket.
    Head(fn(&HeadScope<'_>, &mut Report<'_>)),
    /// A socket with all that is plugged into it.
    Socket(fn(&SocketScope<'_>, &mut Report<'_>)),
    /// A circuit.
    Circuit(fn(&CircuitScope<'_>, &mut Report<'_>)),
    /// An RCD.
    Rcd(fn(&RcdScope<'_>, &mut Report<'_>)),
    /// A supply.
    Supply(fn(&SupplyScope<'_>, &mut Report<'_>)),
    /// A setup as a whole.
    Setup(fn(&SetupScope<'_>, &mut Report<'_>)),
    /// The location, whatever the setup.
    Location(fn(&Network, &mut Report<'_>)),
}

impl Rule {
    /// Its place in the table.
    #[must_use]
    pub fn place(&self) -> usize {
        RULES.iter().position(|rule| std::ptr::eq(rule, self)).unwrap_or(RULES.len())
    }
}

impl fmt::Debug for Rule {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.id)
    }
}

impl PartialEq for Rule {
    fn eq(&self, other: &Self) -> bool {
        self.id == other.id
    }
}

/// What checks find: every finding in words, or no more than how bad the worst of them is.
#[derive(Debug)]
pub(crate) enum Found {
    /// In words.
    Told(Vec<Finding>),
    /// The worst.
    Worst(Option<Severity>),
}

impl Found {
    /// Takes what was found elsewhere.
    pub(crate) fn extend(&mut self, other: &Self) {
        match (self, other) {
            (Self::Told(own), Self::Told(other)) => own.extend_from_slice(other),
            (Self::Worst(own), other) => *own = (*own).max(other.worst()),
            // Nobody who wants words looks where none are kept.
            (Self::Told(_), Self::Worst(_)) => {}
        }
    }

    /// How bad the worst is.
    pub(crate) fn worst(&self) -> Option<Severity> {
        match self {
            Self::Told(findings) => findings.iter().map(|finding| finding.severity).max(),
            Self::Worst(worst) => *worst,
        }
    }

    /// Whether nothing can be found that would change it: it is as bad as can be, in no words.
    pub(crate) const fn is_settled(&self) -> bool {
        matches!(self, Self::Worst(Some(Severity::Danger)))
    }

    /// The findings; none where no words were kept.
    pub(crate) fn into_findings(self) -> Vec<Finding> {
        match self {
            Self::Told(findings) => findings,
            Self::Worst(_) => Vec::new(),
        }
    }

    /// Nothing yet, of the same kind.
    pub(crate) const fn empty(&self) -> Self {
        match self {
            Self::Told(_) => Self::Told(Vec::new()),
            Self::Worst(_) => Self::Worst(None),
        }
    }
}

/// What a check looks at.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Scope {
    /// A head.
    Head(HeadAt),
    /// A socket.
    Socket(SocketAt),
    /// A circuit.
    Circuit(CircuitAt),
    /// An RCD.
    Rcd(RcdAt),
    /// A supply.
    Supply,
    /// A setup as a whole.
    Setup,
    /// A head with those near it.
    Neighbours(HeadAt),
    /// The location.
    Location,
}

/// Takes the findings of one rule.
pub struct Report<'a> {
    rule: &'static Rule,
    setup: Option<SetupAt>,
    scope: Scope,
    found: &'a mut Found,
}

impl<'a> Report<'a> {
    /// A report of what `rule` finds in `setup`.
    pub(crate) const fn new(
        rule: &'static Rule,
        setup: Option<SetupAt>,
        scope: Scope,
        found: &'a mut Found,
    ) -> Self {
        Self { rule, setup, scope, found }
    }

    /// The same report, of what is found of something else.
    pub(crate) const fn of(&mut self, scope: Scope) -> Report<'_> {
        Report { rule: self.rule, setup: self.setup, scope, found: self.found }
    }

    /// Adds a finding; `what` is asked only where words are wanted.
    pub(crate) fn add(&mut self, severity: Severity, subject: Subject, what: impl FnOnce() -> Told) {
        let findings = match self.found {
            Found::Worst(worst) => {
                *worst = (*worst).max(Some(severity));
                return;
            }
            Found::Told(findings) => findings,
        };
        let what = what();
        let remedy = if what.remedy.is_empty() { self.rule.remedy.to_owned() } else { what.remedy };
        findings.push(Finding {
            rule: self.rule,
            severity,
            setup: self.setup,
            subject,
            crossing: what.crossing,
            text: what.text,
            remedy,
            assumed: what.assumed,
            scope: self.scope,
        });
    }
}

/// What a check tells of a finding.
#[derive(Debug, Default)]
pub(crate) struct Told {
    /// What is so.
    pub text: String,
    /// What to do; the rule's own remedy where empty.
    pub remedy: String,
    /// The number that crossed.
    pub crossing: Option<Crossing>,
    /// Whether it rests on a default.
    pub assumed: bool,
}

/// Every finding of the location, whatever the setup, in no order.
pub(crate) fn of_location(network: &Network) -> Vec<Finding> {
    let mut found = Found::Told(Vec::new());
    for rule in RULES {
        for check in rule.checks {
            if let Check::Location(check) = check {
                check(network, &mut Report::new(rule, None, Scope::Location, &mut found));
            }
        }
    }
    found.into_findings()
}

/// Whether some check looks at several setups at once: at what a battery station gave before, or at how long
/// a contract is gone over in all.
pub(crate) fn looks_across_setups(network: &Network) -> bool {
    network.plan.supplies.values().any(|supply| supply.contract.is_some() || supply.kwh.is_some())
}

/// Every finding of one setup where `wanted`, in no order.
pub(crate) fn findings_where(
    network: &Network,
    setups: &Sums,
    setup: SetupAt,
    wanted: &dyn Fn(Scope) -> bool,
) -> Vec<Finding> {
    let mut found = Found::Told(Vec::new());
    let context = scope::Context { network, setup, setups, dropped: None };
    context.check_setup(&setups[setup], wanted, &mut found);
    let mut found = found.into_findings();
    scope::once_each(&mut found);
    found
}
