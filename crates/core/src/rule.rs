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

use crate::assess::{Crossing, Finding, SetupUse, Subject};
use crate::network::{Dense, Network, SetupAt};

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

/// Takes the findings of one rule.
pub struct Report<'a> {
    rule: &'static Rule,
    setup: Option<SetupAt>,
    found: &'a mut Vec<Finding>,
}

impl<'a> Report<'a> {
    /// A report of what `rule` finds in `setup`.
    pub(crate) const fn new(
        rule: &'static Rule,
        setup: Option<SetupAt>,
        found: &'a mut Vec<Finding>,
    ) -> Self {
        Self { rule, setup, found }
    }

    /// Adds a finding.
    pub(crate) fn add(&mut self, severity: Severity, subject: Subject, what: Told) {
        let remedy = if what.remedy.is_empty() { self.rule.remedy.to_owned() } else { what.remedy };
        self.found.push(Finding {
            rule: self.rule,
            severity,
            setup: self.setup,
            subject,
            crossing: what.crossing,
            text: what.text,
            remedy,
            assumed: what.assumed,
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

/// Every finding of the location and of some setups of a plan, in no order.
pub(crate) fn findings(
    network: &Network,
    setups: &Dense<SetupAt, SetupUse>,
    of: impl Iterator<Item = SetupAt>,
) -> Vec<Finding> {
    let mut found = Vec::new();
    for rule in RULES {
        for check in rule.checks {
            if let Check::Location(check) = check {
                check(network, &mut Report::new(rule, None, &mut found));
            }
        }
    }
    for setup in of {
        let context = scope::Context { network, setup, setups, dropped: None };
        context.check_setup(&setups[setup], &mut found);
    }
    scope::once_each(&mut found);
    found
}
