//! `ampwalk strike`: the order to switch heads on in, with amps and milliamps after each step, and what an order
//! that the crew insists on costs.

mod json;
mod people;

use std::path::Path;
use std::sync::Arc;

use ampwalk_core::assess::{Assessment, SetupUse, Step, Verdict, assess, steps};
use ampwalk_core::network::{CircuitAt, HeadAt, Network, RcdAt, SetupAt};
use ampwalk_core::plan::Plan;

use super::checked::{Checked, checked};
use crate::output::{Answer, columns};
use crate::trouble::Trouble;

/// Rounding of a sum costs nothing.
const TOLERANCE: f64 = 1e-9;
/// Rules that the order of striking can break.
const OF_STRIKING: [&str; 4] = ["rcd-trips", "rcd-may-trip", "rcd-standing", "start-over"];

/// For whom the answer is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Form {
    /// For people.
    Words,
    /// For other programs.
    Json,
}

/// The steps of a setup.
struct Order<'a> {
    setup: SetupAt,
    used: &'a SetupUse,
    steps: Vec<Step>,
    /// What the crew's own order costs, where the setup has one and another order is better.
    cost: Option<Cost>,
}

/// What an order costs against the best one: numbers with it, then without it.
struct Cost {
    best_order: Vec<HeadAt>,
    rcds: Vec<(RcdAt, Peak, Peak)>,
    circuits: Vec<(CircuitAt, f64, f64)>,
}

/// What an RCD sees while heads are struck.
#[derive(Clone, Copy)]
struct Peak {
    milliamps: f64,
    odds: f64,
}

/// Does it.
pub fn strike(plan: &Path, setup: Option<&str>, form: Form) -> Result<Answer, Trouble> {
    let checked = checked(plan, setup)?;
    let best = without_own_orders(&checked.network);
    let orders: Vec<Order<'_>> = checked.setups().map(|setup| order(&checked, setup, &best)).collect();
    let text = match form {
        Form::Json => json::text(&checked.network, &orders)?,
        Form::Words => people::text(&checked.network, &orders, columns()),
    };
    let found = checked.findings().filter(|finding| OF_STRIKING.contains(&finding.rule.id));
    Ok(Answer { verdict: Verdict::of(found), text, notes: checked.notes.clone() })
}

/// The assessment with every setup in its best order.
fn without_own_orders(network: &Network) -> Assessment {
    let mut plan = Plan::clone(&network.plan);
    for (_, setup) in &mut plan.setups {
        setup.strike.clear();
    }
    assess(&Network::of(Arc::new(plan)))
}

fn order<'a>(checked: &'a Checked, setup: SetupAt, best: &Assessment) -> Order<'a> {
    let network = &checked.network;
    let used = &checked.assessment.setups[setup];
    let cost = (!network.setups[setup].strike.is_empty()).then(|| cost(used, &best.setups[setup]));
    let is_worse = |cost: &Cost| !cost.rcds.is_empty() || !cost.circuits.is_empty();
    Order { setup, used, steps: steps(network, used), cost: cost.filter(is_worse) }
}

/// Peaks and odds that another order keeps lower, or higher.
fn cost(used: &SetupUse, best: &SetupUse) -> Cost {
    let differs = |a: f64, b: f64| (a - b).abs() > TOLERANCE;
    let peak = |used: &SetupUse, at: RcdAt| Peak {
        milliamps: used.rcds[at].possible_peak.0,
        odds: used.rcds[at].odds,
    };
    let rcds = used.rcds.indices().map(|at| (at, peak(used, at), peak(best, at)));
    let start = |used: &SetupUse, at: CircuitAt| used.circuits[at].start_peak.0;
    let circuits = used.circuits.indices().map(|at| (at, start(used, at), start(best, at)));
    Cost {
        best_order: best.strike_order.clone(),
        rcds: rcds.filter(|(_, own, best)| differs(own.milliamps, best.milliamps)).collect(),
        circuits: circuits.filter(|(_, own, best)| differs(*own, *best)).collect(),
    }
}
