//! Which heads of a setup went dark, which burn on, and of which nobody knows.

use crate::assess::Assessment;
use crate::network::{HeadAt, Network};

use super::Trip;
use super::device::{Behind, behind};

/// The heads of the setup that are plugged in, by what became of them.
#[derive(Clone, Debug, Default)]
pub(super) struct Parts {
    /// They went dark, in the order of striking.
    pub dark: Vec<HeadAt>,
    /// They burn on, in the order of striking.
    pub lit: Vec<HeadAt>,
    /// No trace says.
    pub unsure: Vec<HeadAt>,
}

impl Parts {
    pub fn of(network: &Network, assessment: &Assessment, trip: &Trip) -> Self {
        let mut parts = Self::default();
        for head in &assessment.setups[trip.setup].strike_order {
            let Some(placed) = &network.setups[trip.setup].placed[*head] else { continue };
            let at_worst = trip.lost.iter().map(|lost| behind(network, placed.socket, *lost)).max();
            let group = match at_worst {
                _ if trip.dark.contains(head) => &mut parts.dark,
                Some(Behind::Surely) => &mut parts.dark,
                Some(Behind::Perhaps) => &mut parts.unsure,
                _ => &mut parts.lit,
            };
            group.push(*head);
        }
        parts
    }

    /// Whether a head went dark, or may have.
    pub fn may_be_dark(&self, head: HeadAt) -> bool {
        self.dark.contains(&head) || self.unsure.contains(&head)
    }
}
