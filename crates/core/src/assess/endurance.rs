//! How long a battery station runs, what a generator burns, and the power that a start asks of them.

use crate::network::{At, Dense, HeadAt, Network, SetupAt, SupplyAt, plan_order};
use crate::physics::generator::{battery_run, fuel_rate};
use crate::plan::{Supply, SupplyKind};
use crate::unit::{KiloWattHours, KiloWatts, Litres, Minutes};

use super::usage::{HeadUse, SupplyUse};

/// Minutes in an hour.
const HOUR: f64 = 60.0;

impl SupplyUse {
    /// How long a full battery station runs this load; `None` for other supplies, where its energy is
    /// not known and where nothing draws on it.
    #[must_use]
    pub fn battery_run(&self, network: &Network, supply: SupplyAt) -> Option<Minutes> {
        battery_run(energy(network, supply)?, self.kw)
    }

    /// What a generator burns in a setup; `None` for other supplies, where its fuel or its size is not
    /// known and where nothing draws on it: then nobody says whether it runs.
    #[must_use]
    pub fn fuel(&self, network: &Network, supply: SupplyAt, setup: SetupAt) -> Option<Litres> {
        let plan = plan_supply(network, supply)?;
        if plan.kind != SupplyKind::Generator || !self.kw.is_over(KiloWatts::ZERO) {
            return None;
        }
        let rated = network.plate_power(supply)?;
        let hours = network.setups[setup].minutes.0 / HOUR;
        Some(Litres(fuel_rate(plan.fuel?, rated, self.kw).0 * hours))
    }

    /// Largest real power while its heads are struck in order, each at its own power factor.
    #[must_use]
    pub fn start_peak(&self, network: &Network, heads: &Dense<HeadAt, Option<HeadUse>>) -> KiloWatts {
        let powers = |head: HeadAt| {
            let used = heads[head].as_ref()?;
            let factor = network.heads[head].power_factor.value;
            let power = |amps| KiloWatts::from(used.terminals.power(amps, factor));
            Some((power(used.amps), power(used.start)))
        };
        let running: KiloWatts =
            self.heads.iter().filter_map(|head| powers(*head)).map(|(running, _)| running).sum();
        let mut lit = self.kw - running;
        let mut peak = self.kw;
        for (running, start) in self.heads.iter().filter_map(|head| powers(*head)) {
            peak = peak.max(lit + start);
            lit += running;
        }
        peak
    }
}

/// Energy in a full battery station, where the plan says it.
#[must_use]
pub fn energy(network: &Network, supply: SupplyAt) -> Option<KiloWattHours> {
    let plan = plan_supply(network, supply).filter(|plan| plan.kind == SupplyKind::Battery)?;
    plan.kwh.map(KiloWattHours)
}

/// Energy that a supply has given before a setup, where `kw` is its power in each: setups follow each
/// other as they burn, and nobody charges the station between them.
#[must_use]
pub fn energy_before(network: &Network, setup: SetupAt, kw: impl Fn(SetupAt) -> KiloWatts) -> KiloWattHours {
    let before = plan_order(&network.setups).into_iter().take_while(|at| *at != setup);
    before.map(|at| energy_in(network, at, kw(at))).sum()
}

/// Energy that a supply of this power gives in a setup.
#[must_use]
pub fn energy_in(network: &Network, setup: SetupAt, kw: KiloWatts) -> KiloWattHours {
    KiloWattHours(kw.0 * network.setups[setup].minutes.0 / HOUR)
}

fn plan_supply(network: &Network, supply: SupplyAt) -> Option<&Supply> {
    network.plan.supplies.get_index(supply.get()).map(|(_, supply)| supply)
}
