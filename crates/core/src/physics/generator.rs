//! Generators and battery stations: derating, size, step, light load, fuel, hours.
//!
//! - Derating by air and heat: ISO 3046-1, declared power at α = k − 0.7·(1−k)·(1/η − 1) with a
//!   mechanical efficiency η of 0.8, that is 1.175·k − 0.175; reference 100 kPa and 25 °C, dry air.
//! - Air pressure: the standard atmosphere (ISO 2533).
//! - Fuel of diesel sets: a public consumption chart for 20 to 200 kW at quarter loads.
//! - Load of 30 % and over: NFPA 110 8.4.2. The 80 % rule and the steps of hire sizes: common
//!   practice, no source.

use crate::plan::{Fuel, Wiring};
use crate::unit::{
    Celsius, KiloPascals, KiloVoltAmps, KiloWattHours, KiloWatts, LitresPerHour, Metres, Minutes,
};

/// How an engine breathes and burns; it rules how air and heat take power away. Exponents as in a
/// public manual of a generator, after ISO 3046-1.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Engine {
    /// Diesel without a turbocharger.
    #[default]
    Diesel,
    /// Turbocharged diesel.
    TurboDiesel,
    /// Turbocharged diesel with a charge-air cooler.
    CooledTurboDiesel,
    /// Petrol without a turbocharger.
    Petrol,
    /// Gas without a turbocharger.
    Gas,
}

impl Engine {
    /// The engine that a set of this fuel is taken to have.
    #[must_use]
    pub const fn of_fuel(fuel: Fuel) -> Self {
        match fuel {
            Fuel::Diesel => Self::Diesel,
            Fuel::Petrol => Self::Petrol,
        }
    }

    /// *m* of the pressure and *n* of the temperature.
    const fn exponents(self) -> (f64, f64) {
        match self {
            Self::Diesel => (1.0, 0.75),
            Self::TurboDiesel => (0.7, 2.0),
            Self::CooledTurboDiesel => (0.7, 1.2),
            Self::Petrol => (1.0, 0.5),
            Self::Gas => (0.86, 0.55),
        }
    }
}

/// Reference pressure of ISO 3046-1.
const REFERENCE_PRESSURE: KiloPascals = KiloPascals(100.0);
/// Reference temperature of ISO 3046-1, 25 °C, in kelvin as the standard rounds it …
const REFERENCE_KELVIN: f64 = 298.0;
/// … and so 0 °C.
const ZERO_CELSIUS_KELVIN: f64 = 273.0;
/// 0.7·(1/η − 1) with a mechanical efficiency of 0.8 (ISO 3046-1).
const FRICTION_SHARE: f64 = 0.175;

/// Pressure of the standard atmosphere at a height above the sea (ISO 2533, up to 11 km).
#[must_use]
pub fn air_pressure(altitude: Metres) -> KiloPascals {
    const SEA_LEVEL: KiloPascals = KiloPascals(101.325);
    SEA_LEVEL * (1.0 - 2.255_77e-5 * altitude.0).max(0.0).powf(5.255_88)
}

/// *k*: indicated power left at this height and air temperature, against the reference; at most 1.
#[must_use]
pub fn indicated_power_ratio(engine: Engine, altitude: Metres, air: Celsius) -> f64 {
    let (of_pressure, of_temperature) = engine.exponents();
    let kelvin = (air.0 + ZERO_CELSIUS_KELVIN).max(1.0);
    let pressure = air_pressure(altitude) / REFERENCE_PRESSURE;
    let ratio = pressure.powf(of_pressure) * (REFERENCE_KELVIN / kelvin).powf(of_temperature);
    ratio.min(1.0)
}

/// α: power left at the shaft, 0 to 1 (ISO 3046-1).
#[must_use]
pub fn derating(engine: Engine, altitude: Metres, air: Celsius) -> f64 {
    let ratio = indicated_power_ratio(engine, altitude, air);
    (ratio - FRICTION_SHARE * (1.0 - ratio)).clamp(0.0, 1.0)
}

/// Sizes that are commonly for hire.
pub const HIRE_SIZES: [KiloVoltAmps; 16] = [
    KiloVoltAmps(2.0),
    KiloVoltAmps(3.0),
    KiloVoltAmps(4.5),
    KiloVoltAmps(6.5),
    KiloVoltAmps(8.0),
    KiloVoltAmps(10.0),
    KiloVoltAmps(15.0),
    KiloVoltAmps(20.0),
    KiloVoltAmps(30.0),
    KiloVoltAmps(45.0),
    KiloVoltAmps(60.0),
    KiloVoltAmps(80.0),
    KiloVoltAmps(100.0),
    KiloVoltAmps(150.0),
    KiloVoltAmps(200.0),
    KiloVoltAmps(300.0),
];
/// Plan to this share of a set's rating (common practice, no source).
pub const PLANNED_SHARE: f64 = 0.8;
/// Under this share of its kilowatts a diesel wet-stacks (NFPA 110 8.4.2, monthly test).
pub const LIGHT_SHARE: f64 = 0.3;
/// The largest single step, percent of the rating, where the plan does not say (typical, from memory).
pub const STEP_PERCENT: f64 = 50.0;
/// Over this share of non-linear load a set needs more alternator (typical, from memory) …
pub const NON_LINEAR_SHARE: f64 = 0.4;
/// … between these many times the apparent power, or power-factor correction (typical, from memory).
pub const NON_LINEAR_FACTORS: (f64, f64) = (1.5, 2.0);

/// The smallest size for hire that gives `power`; `None` if the largest does not.
#[must_use]
pub fn next_size(power: KiloVoltAmps) -> Option<KiloVoltAmps> {
    HIRE_SIZES.into_iter().find(|size| !power.is_over(*size))
}

/// The size to hire for `load` at 80 % where `derating` (0 to 1) of a rating is left; `None` if no
/// size does.
#[must_use]
pub fn size_to_hire(load: KiloVoltAmps, derating: f64) -> Option<KiloVoltAmps> {
    HIRE_SIZES.into_iter().find(|size| !load.is_over(*size * (derating * PLANNED_SHARE)))
}

/// Apparent powers between which the alternator should be for `load` with this share of non-linear
/// load, 0 to 1: the load itself up to 40 %, 1.5 to 2 times over it.
#[must_use]
pub fn alternator_for(load: KiloVoltAmps, non_linear_share: f64) -> (KiloVoltAmps, KiloVoltAmps) {
    if non_linear_share <= NON_LINEAR_SHARE {
        return (load, load);
    }
    let (low, high) = NON_LINEAR_FACTORS;
    (load * low, load * high)
}

/// Kilowatts of a set of this apparent power: three-phase sets are rated at a power factor of 0.8,
/// small single-phase ones at 1 (EGSA practice).
#[must_use]
pub fn rated_power(rating: KiloVoltAmps, wiring: Wiring) -> KiloWatts {
    let power_factor = match wiring {
        Wiring::Star => 0.8,
        Wiring::One | Wiring::Split => 1.0,
    };
    KiloWatts(rating.0 * power_factor)
}

/// How a load sits on a set.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fill {
    /// Under 30 % of its kilowatts: a diesel wet-stacks.
    Light,
    /// From 30 to 80 %.
    Fair,
    /// Over 80 %, within the rating.
    Tight,
    /// Over the rating.
    Over,
}

/// How `load` sits on a set of `rated` kilowatts, derating taken off. Without any load it is `Light`.
#[must_use]
pub fn fill(load: KiloWatts, rated: KiloWatts) -> Fill {
    if load.is_over(rated) {
        Fill::Over
    } else if load.is_over(rated * PLANNED_SHARE) {
        Fill::Tight
    } else if load.reaches(rated * LIGHT_SHARE) && load.is_over(KiloWatts::ZERO) {
        Fill::Fair
    } else {
        Fill::Light
    }
}

/// A step of load in percent of the rating; infinite on a set of no rating.
#[must_use]
pub fn step_percent(step: KiloVoltAmps, rating: KiloVoltAmps) -> f64 {
    if !step.is_over(KiloVoltAmps::ZERO) {
        return 0.0;
    }
    if rating.is_over(KiloVoltAmps::ZERO) { step / rating * 100.0 } else { f64::INFINITY }
}

/// Whether a set takes `step` in one go where its largest is `percent` of its rating.
#[must_use]
pub fn takes_step(step: KiloVoltAmps, rating: KiloVoltAmps, percent: f64) -> bool {
    !step.is_over(rating * (percent / 100.0))
}

/// What the step does to the voltage at first, as a share of it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct VoltageDip {
    /// Of a load in phase with its voltage.
    pub resistive: f64,
    /// Of a load a quarter turn behind it.
    pub inductive: f64,
}

/// The first dip of an alternator of `reactance` (transient, per unit of its rating) under a step of
/// `step` times its rating: a constant impedance behind the reactance.
#[must_use]
pub fn voltage_dip(reactance: f64, step: f64) -> VoltageDip {
    let drop = reactance * step;
    VoltageDip { resistive: 1.0 - 1.0 / 1.0_f64.hypot(drop), inductive: drop / (1.0 + drop) }
}

/// Fuel of a set as a straight line over its load.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FuelLine {
    /// Burnt at no load.
    pub idle: LitresPerHour,
    /// Litres more for each kilowatt-hour.
    pub litres_per_kwh: f64,
}

/// Loads of the chart, as shares of a set's kilowatts.
const CHART_SHARES: [f64; 4] = [0.25, 0.5, 0.75, 1.0];
/// A public chart of diesel consumption: kilowatts, litres an hour at 25, 50, 75 and 100 %
/// (oer.enviraj.com). Its row of 30 kW is left out: at full load it burns 0.367 l/kWh, more than the
/// row of 20 kW (0.305) and that of 60 kW (0.303), so it is off the chart's own curve.
const FUEL_CHART: [(KiloWatts, [f64; 4]); 4] = [
    (KiloWatts(20.0), [2.3, 3.4, 4.9, 6.1]),
    (KiloWatts(60.0), [6.8, 11.0, 14.4, 18.2]),
    (KiloWatts(100.0), [9.8, 15.5, 22.0, 28.0]),
    (KiloWatts(200.0), [17.8, 29.1, 41.6, 54.5]),
];
/// What a small petrol set burns at half load and over, litres a kilowatt-hour: the upper end of
/// 0.4 to 0.6 (typical, from memory).
const PETROL_LITRES_PER_KWH: f64 = 0.6;
/// Under this share petrol sets burn as at it: no figure is known there, and so much it is not over.
const PETROL_LEAST_SHARE: f64 = 0.5;

impl FuelLine {
    /// The least-squares line through a chart's row of a set of `rated` kilowatts.
    #[must_use]
    pub fn through(rated: KiloWatts, litres_per_hour: [f64; 4]) -> Self {
        let loads = CHART_SHARES.map(|share| share * rated.0);
        let mean_load = loads.iter().sum::<f64>() / 4.0;
        let mean = litres_per_hour.iter().sum::<f64>() / 4.0;
        let (mut products, mut squares) = (0.0, 0.0);
        for (load, litres) in loads.iter().zip(litres_per_hour) {
            products += (load - mean_load) * litres;
            squares += (load - mean_load) * load;
        }
        let litres_per_kwh = if squares > 0.0 { products / squares } else { 0.0 };
        Self { idle: LitresPerHour(mean - litres_per_kwh * mean_load), litres_per_kwh }
    }

    /// The line of a diesel set of `rated` kilowatts. Between two sizes of the chart idle and slope
    /// are interpolated; beyond its ends the slope stays and idle goes with the size.
    #[must_use]
    pub fn of_diesel(rated: KiloWatts) -> Self {
        let lines = FUEL_CHART.map(|(size, row)| (size, Self::through(size, row)));
        let scaled = |(size, line): (KiloWatts, Self)| Self { idle: line.idle * (rated / size), ..line };
        let [smallest, .., largest] = lines;
        if smallest.0.reaches(rated) {
            return scaled(smallest);
        }
        let pair = lines.windows(2).find_map(|pair| match pair {
            [low, high] if high.0.reaches(rated) => Some((*low, *high)),
            _ => None,
        });
        let Some((low, high)) = pair else { return scaled(largest) };
        let share = (rated - low.0) / (high.0 - low.0);
        Self {
            idle: low.1.idle + (high.1.idle - low.1.idle) * share,
            litres_per_kwh: low.1.litres_per_kwh + (high.1.litres_per_kwh - low.1.litres_per_kwh) * share,
        }
    }

    /// Burnt under `load`.
    #[must_use]
    pub fn at(self, load: KiloWatts) -> LitresPerHour {
        self.idle + LitresPerHour(self.litres_per_kwh * load.0)
    }
}

/// What a running set of `rated` kilowatts burns under `load`.
#[must_use]
pub fn fuel_rate(fuel: Fuel, rated: KiloWatts, load: KiloWatts) -> LitresPerHour {
    match fuel {
        Fuel::Diesel => FuelLine::of_diesel(rated).at(load),
        Fuel::Petrol => LitresPerHour(PETROL_LITRES_PER_KWH * load.max(rated * PETROL_LEAST_SHARE).0),
    }
}

/// How long a battery station of this energy runs `load`; `None` where nothing draws on it. What its
/// inverter and the cold take is not in it.
#[must_use]
pub fn battery_run(energy: KiloWattHours, load: KiloWatts) -> Option<Minutes> {
    load.is_over(KiloWatts::ZERO).then(|| Minutes(energy.0 / load.0 * 60.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_diesel_loses_power_with_height_and_heat() {
        // ISO 3046-1, natural aspiration, computed apart: 1000 m and 40 °C 0.8428.
        let left = |altitude, air| derating(Engine::Diesel, Metres(altitude), Celsius(air));
        assert!((left(1000.0, 40.0) - 0.8428).abs() < 5e-5);
        assert!((left(0.0, 25.0) - 1.0).abs() < 1e-12);
        assert!((left(0.0, -20.0) - 1.0).abs() < 1e-12, "cold air gives no more than the rating");
        assert!(left(60_000.0, 40.0).abs() < 1e-12 && left(0.0, -400.0).is_finite());
    }

    #[test]
    fn each_engine_has_its_exponents() {
        // By hand at 2000 m (79.495 kPa) and 40 °C (298/313 = 0.952077): turbo 0.79495^0.7·0.952077^2 =
        // 0.771910, cooled 0.802789, petrol 0.775670, gas 0.799105, diesel 0.766214.
        let of = |engine| indicated_power_ratio(engine, Metres(2000.0), Celsius(40.0));
        for (engine, expected) in [
            (Engine::Diesel, 0.766_2),
            (Engine::TurboDiesel, 0.771_9),
            (Engine::CooledTurboDiesel, 0.802_8),
            (Engine::Petrol, 0.775_7),
            (Engine::Gas, 0.799_1),
        ] {
            assert!((of(engine) - expected).abs() < 1e-4, "{engine:?} {}", of(engine));
        }
        assert_eq!(Engine::of_fuel(Fuel::Petrol), Engine::Petrol);
        assert_eq!(Engine::of_fuel(Fuel::Diesel), Engine::Diesel);
    }

    #[test]
    fn the_size_to_hire_is_the_next_one_up_at_eighty_percent() {
        // Common practice, no source: plan to 80 %.
        assert_eq!(next_size(KiloVoltAmps(20.0)), Some(KiloVoltAmps(20.0)));
        assert_eq!(next_size(KiloVoltAmps(20.1)), Some(KiloVoltAmps(30.0)));
        assert_eq!(next_size(KiloVoltAmps(301.0)), None);
        assert_eq!(size_to_hire(KiloVoltAmps(16.0), 1.0), Some(KiloVoltAmps(20.0)));
        assert_eq!(size_to_hire(KiloVoltAmps(16.1), 1.0), Some(KiloVoltAmps(30.0)));
        // By hand: 30 · 0.8 · 0.619 = 14.86 kVA, 45 · 0.8 · 0.619 = 22.28 kVA.
        assert_eq!(size_to_hire(KiloVoltAmps(16.0), 0.619), Some(KiloVoltAmps(45.0)));
        assert_eq!(size_to_hire(KiloVoltAmps(241.0), 1.0), None);
        assert_eq!(size_to_hire(KiloVoltAmps(1.0), 0.0), None);
        assert!(HIRE_SIZES.is_sorted_by(|smaller, larger| smaller < larger));
    }

    #[test]
    fn the_fill_of_a_set_is_told_by_its_kilowatts() {
        // NFPA 110 8.4.2: 30 %. EGSA practice: three-phase sets at 0.8.
        let rated = rated_power(KiloVoltAmps(60.0), Wiring::Star);
        assert!((rated.0 - 48.0).abs() < 1e-12);
        assert_eq!(rated_power(KiloVoltAmps(6.5), Wiring::One), KiloWatts(6.5));
        assert_eq!(fill(KiloWatts(14.3), rated), Fill::Light);
        assert_eq!(fill(KiloWatts(14.4), rated), Fill::Fair);
        assert_eq!(fill(KiloWatts(38.4), rated), Fill::Fair);
        assert_eq!(fill(KiloWatts(38.5), rated), Fill::Tight);
        assert_eq!(fill(KiloWatts(48.0), rated), Fill::Tight);
        assert_eq!(fill(KiloWatts(48.1), rated), Fill::Over);
        assert_eq!(fill(KiloWatts::ZERO, KiloWatts::ZERO), Fill::Light);
    }

    #[test]
    fn a_step_is_held_against_its_percent() {
        let rating = KiloVoltAmps(10.0);
        assert!((step_percent(KiloVoltAmps(2.5), rating) - 25.0).abs() < 1e-12);
        assert!(step_percent(KiloVoltAmps(2.5), KiloVoltAmps::ZERO).is_infinite());
        assert!(step_percent(KiloVoltAmps::ZERO, KiloVoltAmps::ZERO).abs() < 1e-12);
        assert!(takes_step(KiloVoltAmps(5.0), rating, STEP_PERCENT));
        assert!(!takes_step(KiloVoltAmps(5.1), rating, STEP_PERCENT));
    }

    #[test]
    fn much_non_linear_load_asks_for_more_alternator() {
        // Typical, from memory: over 40 %, 1.5 to 2 times.
        let load = KiloVoltAmps(20.0);
        assert_eq!(alternator_for(load, 0.4), (load, load));
        assert_eq!(alternator_for(load, 0.41), (KiloVoltAmps(30.0), KiloVoltAmps(40.0)));
    }

    #[test]
    fn fuel_between_two_sizes_of_the_chart_lies_between_them() {
        // By hand, 80 kW is midway from 60 to 100 kW: idle (3.2 + 3.55)/2 = 3.375 l/h, slope
        // (0.250667 + 0.2444)/2 = 0.247533 l/kWh; at 40 kW 13.2763 l/h.
        assert!((fuel_rate(Fuel::Diesel, KiloWatts(80.0), KiloWatts(40.0)).0 - 13.276_33).abs() < 1e-4);
        // Half of 20 kW idles at half of 0.95 l/h; twice 200 kW at twice 5.1.
        assert!((FuelLine::of_diesel(KiloWatts(10.0)).idle.0 - 0.475).abs() < 1e-9);
        assert!((FuelLine::of_diesel(KiloWatts(10.0)).litres_per_kwh - 0.258).abs() < 1e-9);
        assert!((FuelLine::of_diesel(KiloWatts(400.0)).idle.0 - 10.2).abs() < 1e-9);
        assert_eq!(FuelLine::through(KiloWatts::ZERO, [1.0; 4]).idle, LitresPerHour(1.0));
    }

    #[test]
    fn petrol_sets_burn_at_least_what_half_load_takes() {
        // Typical, from memory: 0.6 l/kWh.
        let of = |load| fuel_rate(Fuel::Petrol, KiloWatts(4.0), KiloWatts(load)).0;
        assert!((of(3.0) - 1.8).abs() < 1e-12);
        assert!((of(1.0) - 1.2).abs() < 1e-12);
    }

    #[test]
    fn a_battery_lasts_its_energy_over_its_load() {
        // By hand: 2.4 kWh at 0.8 kW is 3 h.
        let run = battery_run(KiloWattHours(2.4), KiloWatts(0.8)).unwrap();
        assert!((run.0 - 180.0).abs() < 1e-9);
        assert_eq!(battery_run(KiloWattHours(2.4), KiloWatts::ZERO), None);
    }
}
