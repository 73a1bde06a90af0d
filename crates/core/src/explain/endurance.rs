//! How long a battery station runs, and what a generator burns.

use crate::assess::{Assessment, SetupUse, energy, energy_before, energy_in};
use crate::network::{At, Network, SetupAt, SupplyAt};
use crate::physics::generator::fuel_rate;
use crate::plan::{Fuel, word_of};

use super::{Explanation, Term, digits};

/// Hours of run of a full battery station, and what the setups before have taken.
pub(super) fn battery(
    network: &Network,
    assessment: &Assessment,
    setup: SetupAt,
    supply: SupplyAt,
) -> Option<Explanation> {
    let used = assessment.setups.get(setup)?;
    let (node, here) = (network.supplies.get(supply)?, used.supplies.get(supply)?);
    let (run, holds) = (here.battery_run(network, supply)?, energy(network, supply)?);
    let before = energy_before(network, setup, |at| assessment.setups[at].supplies[supply].kw);
    let now = energy_in(network, setup, here.kw);
    let hours = run.0 / 60.0;
    Some(Explanation {
        title: format!("{} runs {} h from full", node.id, digits(hours)),
        formula: "energy / real power".to_owned(),
        worked: format!("{} kWh / {} kW = {} h", digits(holds.0), digits(here.kw.0), digits(hours)),
        terms: vec![
            Term::new("energy when full", format!("{} kWh", digits(holds.0)), "from the plan"),
            Term::new("real power", format!("{} kW", digits(here.kw.0)), "Σ V·I·λ of heads and base loads"),
            Term::new(
                "taken by setups before",
                format!("{} kWh", digits(before.0)),
                "without a charge between",
            ),
            Term::new("asked by this setup", format!("{} kWh", digits(now.0)), "its minutes"),
        ],
        source: "energy over power".to_owned(),
        caution: "What the inverter and the cold take is not in it.".to_owned(),
        ..Explanation::default()
    })
}

/// Litres that a generator burns in the setup.
pub(super) fn fuel(
    network: &Network,
    used: &SetupUse,
    setup: SetupAt,
    supply: SupplyAt,
) -> Option<Explanation> {
    let (node, here) = (network.supplies.get(supply)?, used.supplies.get(supply)?);
    let litres = here.fuel(network, supply, setup)?;
    let (_, plan) = network.plan.supplies.get_index(supply.get())?;
    let fuel = plan.fuel?;
    let rated = network.plate_power(supply)?;
    let (rate, minutes) = (fuel_rate(fuel, rated, here.kw), network.setups[setup].minutes);
    let (formula, source) = match fuel {
        Fuel::Diesel => (
            "(idle + slope · kW) · hours, by the line through a consumption chart",
            "a public chart of diesel sets of 20 to 200 kW at quarter loads",
        ),
        Fuel::Petrol => (
            "0.6 l/kWh · kW · hours, from half load up",
            "0.4 to 0.6 l/kWh: typical, from memory; the upper end is taken",
        ),
    };
    Some(Explanation {
        title: format!("{} burns {} l", node.id, digits(litres.0)),
        formula: formula.to_owned(),
        worked: format!("{} l/h · {} h = {} l", digits(rate.0), digits(minutes.0 / 60.0), digits(litres.0)),
        terms: vec![
            Term::new("plate", format!("{} kW", digits(rated.0)), "from the plan"),
            Term::new("real power", format!("{} kW", digits(here.kw.0)), "Σ V·I·λ of heads and base loads"),
            Term::new("fuel", word_of(&Fuel::WORDS, &fuel), "from the plan"),
            Term::new("this setup", format!("{} min", digits(minutes.0)), "from the plan"),
        ],
        source: source.to_owned(),
        caution: "Refuel cold and off, outdoors: plan a dark window for it.".to_owned(),
        ..Explanation::default()
    })
}
