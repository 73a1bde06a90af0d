//! What the views see of the model: the plan resolved and assessed, and where the user is in it.

use std::sync::OnceLock;

use ampwalk_core::assess::{Assessment, SetupUse};
use ampwalk_core::id::{HeadId, SetupId};
use ampwalk_core::network::{HeadAt, Network, SetupAt};
use ampwalk_core::trace::Report;

use crate::theme::Theme;

/// What a view draws from.
#[derive(Clone, Copy, Debug)]
pub struct Scene<'a> {
    /// The plan, resolved.
    pub network: &'a Network,
    /// The plan, assessed.
    pub assessment: &'a Assessment,
    /// The setup that is looked at; `None` where the plan has none.
    pub setup: Option<SetupAt>,
    /// Which row the cursor is on, counted from 0.
    pub row: usize,
    /// Colours.
    pub theme: Theme,
    /// Heads that were ticked as struck, by setup.
    pub struck: &'a [(SetupId, HeadId)],
    /// What tracing tells, once somebody asked.
    pub report: &'a OnceLock<Report>,
}

impl<'a> Scene<'a> {
    /// What tracing tells of the plan.
    #[must_use]
    pub fn report(&self) -> &'a Report {
        self.report.get_or_init(|| Report::of(self.network))
    }

    /// Whether a head was ticked as struck in the setup that is looked at.
    #[must_use]
    pub fn is_struck(&self, head: HeadAt) -> bool {
        let Some(setup) = self.setup else { return false };
        let (setup, head) = (self.network.setup_id(setup), self.network.head_id(head));
        self.struck.iter().any(|(at, own)| at == setup && own == head)
    }

    /// The numbers of the setup that is looked at.
    #[must_use]
    pub fn used(&self) -> Option<&'a SetupUse> {
        self.setup.and_then(|setup| self.assessment.setups.get(setup)).map(AsRef::as_ref)
    }
}
