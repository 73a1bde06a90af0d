//! Small changes that the crew or the owner of the place can make, each a copy of the plan with it made.
//!
//! What costs least comes first. Which changes are small, and their order, is common practice, no source.

mod gear;
mod house;
mod light;
mod protect;

use crate::network::{HeadAt, Network};
use crate::plan::Plan;

use super::super::{Assignment, Sources};
use super::house::House;
use super::reason::{Reason, dark};
use super::{Asks, electric};

/// What to say of a placement.
type Told = Box<dyn Fn(&Assignment) -> String>;
/// The plan of a placement as it really is; `None` where it cannot be so.
type Finish = Box<dyn Fn(&House) -> Vec<Plan>>;

/// A change, to be tried.
pub(super) struct Change {
    /// The plan with it made.
    pub plan: Plan,
    /// What may feed heads then.
    pub sources: Sources,
    /// What to do, in a sentence.
    pub action: String,
    /// The same, where only the placement says it.
    pub told: Option<Told>,
    /// What must still be done to the plan of a placement before it is what is really there: the ways to do it,
    /// the likeliest first.
    pub finish: Option<Finish>,
    /// What it gains.
    pub gains: Option<f64>,
    /// The unit of that.
    pub unit: &'static str,
    /// Who has to agree.
    pub asks: Asks,
}

impl Change {
    fn of(plan: Plan, asks: Asks, action: String) -> Self {
        Self { plan, sources: Sources::Mains, action, told: None, finish: None, gains: None, unit: "", asks }
    }

    fn gaining(self, gains: f64, unit: &'static str) -> Self {
        Self { gains: Some(gains), unit, ..self }
    }
}

/// Changes of one kind: the first that helps is told.
#[derive(Default)]
pub(super) struct Kind {
    /// All of them at once, and more: where even that does not help, none does.
    pub at_best: Option<Plan>,
    /// Each of them, the smallest first.
    pub changes: Vec<Change>,
}

/// What a change is looked for with.
pub(super) struct Case<'a> {
    pub network: &'a Network,
    /// What the house carries as it is.
    pub house: &'a House,
    /// Why it does not carry everything.
    pub why: &'a Reason,
    /// Heads that stay dark.
    pub dark: Vec<HeadAt>,
}

impl<'a> Case<'a> {
    pub fn new(network: &'a Network, house: &'a House, why: &'a Reason) -> Self {
        Self { network, house, why, dark: dark(network, house) }
    }

    fn plan(&self) -> Plan {
        Plan::clone(&self.network.plan)
    }

    /// What a head takes of what the reason is counted in; amps where it is counted in something else.
    fn taken_by(&self, head: HeadAt) -> (f64, &'static str) {
        let node = &self.network.heads[head];
        match self.why.unit {
            "mA" => ((node.leak.value.high + node.strike.value.high).0, "mA"),
            "kW" => (electric::real(self.network, head).0, "kW"),
            _ => (electric::amps(self.network, head).0, "A"),
        }
    }
}

/// Changes by kind, what costs least first; each kind is made when it is its turn.
pub(super) const KINDS: [fn(&Case<'_>) -> Kind; 12] = [
    house::unpin,
    house::test,
    house::switch_off,
    house::own_battery,
    gear::block,
    protect::portable_rcd,
    gear::lead,
    gear::longer_lead,
    light::smaller,
    light::led,
    house::split,
    light::battery,
];
