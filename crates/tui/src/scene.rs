//! What the views see of the model: the plan resolved and assessed, and where the user is in it.

use ampwalk_core::assess::{Assessment, SetupUse};
use ampwalk_core::network::{Network, SetupAt};

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
}

impl<'a> Scene<'a> {
    /// The numbers of the setup that is looked at.
    #[must_use]
    pub fn used(&self) -> Option<&'a SetupUse> {
        self.setup.and_then(|setup| self.assessment.setups.get(setup))
    }
}
