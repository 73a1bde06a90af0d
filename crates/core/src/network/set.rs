//! What a generator or battery station gives where it stands.

use crate::network::{At, Network, SupplyAt};
use crate::physics::generator::{Engine, derating, rated_power};
use crate::plan::{Fuel, SupplyKind};
use crate::unit::{Celsius, KiloVoltAmps, KiloWatts, Metres};

/// Air where the plan does not say, as ISO 3046-1 refers to.
const REFERENCE_AIR: Celsius = Celsius(25.0);

/// The rating of a set, after what height and heat take.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SetRating {
    /// Apparent power that is left, where its plate says one.
    pub kva: Option<KiloVoltAmps>,
    /// Real power that is left; from the apparent power where the plate says none.
    pub kw: Option<KiloWatts>,
    /// Share of the plate that is left, 0 to 1.
    pub left: f64,
    /// Height above the sea, as the plan says or sea level.
    pub altitude: Metres,
    /// Air around it, as the plan says or 25 °C.
    pub air: Celsius,
    /// What it burns: as the plan says, or diesel; `None` for a battery station.
    pub fuel: Option<Fuel>,
}

impl Network {
    /// Real power by the plate of a supply: as it says, or what is usual for its apparent power.
    #[must_use]
    pub fn plate_power(&self, supply: SupplyAt) -> Option<KiloWatts> {
        let (_, plan) = self.plan.supplies.get_index(supply.get())?;
        let wiring = self.supplies[supply].wiring.value;
        plan.kw.or_else(|| plan.kva.map(|kva| rated_power(kva, wiring)))
    }

    /// What a generator or battery station gives where it stands; `None` for the mains.
    #[must_use]
    pub fn set_rating(&self, supply: SupplyAt) -> Option<SetRating> {
        let (_, plan) = self.plan.supplies.get_index(supply.get())?;
        let altitude = plan.altitude.unwrap_or(Metres::ZERO);
        let air = self.plan.location.ambient.unwrap_or(REFERENCE_AIR);
        let fuel = match plan.kind {
            SupplyKind::Mains => return None,
            SupplyKind::Generator => Some(plan.fuel.unwrap_or(Fuel::Diesel)),
            SupplyKind::Battery => None,
        };
        let left = fuel.map_or(1.0, |fuel| derating(Engine::of_fuel(fuel), altitude, air));
        Some(SetRating {
            kva: plan.kva.map(|kva| kva * left),
            kw: self.plate_power(supply).map(|kw| kw * left),
            left,
            altitude,
            air,
            fuel,
        })
    }
}
