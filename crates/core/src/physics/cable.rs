//! Flexible leads: resistance, the volts that arrive at their end, and what they carry.
//!
//! Resistance: IEC 60228 table 3 (class 5) at 20 °C, taken to 70 °C; NEC chapter 9 table 8 at 75 °C.
//! Reactance is left out: under 0.1 Ω/km, it counts for nothing at these sizes and power factors.

use crate::library::{RegionCode, library};
use crate::physics::filament::{filament_amps, filament_amps_slope};
use crate::plan::{ConductorSize, Load};
use crate::unit::{Amps, Celsius, Metres, Ohms, Volts};

/// Temperature of a loaded conductor of a metric size.
const WARM: f64 = 70.0;
/// Copper's resistance falls to nothing here, on the line of IEC 60228 annex B.
const ZERO_OF_COPPER: f64 = -234.5;
/// Share of its rating that a lead carries while wound up, where nothing is printed (ours).
const WOUND: f64 = 1.0 / 3.0;

/// Resistance of one conductor of a lead, warm. `None` for a size below the smallest known.
#[must_use]
pub fn conductor_resistance(size: ConductorSize, length: Metres) -> Option<Ohms> {
    let row = library().cables.conductor(size)?;
    let warm = match size {
        ConductorSize::SquareMillimetres(_) => WARM,
        ConductorSize::Gauge(_) => row.celsius,
    };
    conductor_resistance_at(size, length, Celsius(warm))
}

/// The same at a temperature of one's own choice.
#[must_use]
pub fn conductor_resistance_at(size: ConductorSize, length: Metres, at: Celsius) -> Option<Ohms> {
    let row = library().cables.conductor(size)?;
    let factor = (at.0 - ZERO_OF_COPPER) / (row.celsius - ZERO_OF_COPPER);
    Some(Ohms(row.ohm_per_km * factor * length.0 / 1000.0))
}

/// How a load draws, as the volts at it fall.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Drawing {
    /// Volts that `amps` are for.
    pub rated: Volts,
    /// Amps there.
    pub amps: Amps,
    /// Whole power factor, 0 to 1; taken as 1 unless the load is steady.
    pub power_factor: f64,
    /// How its amps move with the volts.
    pub load: Load,
}

/// Volts that arrive at a load over `resistance`, both ways, from `source`. `None` where a steady load
/// asks more than the lead can bring.
#[must_use]
pub fn arriving_volts(source: Volts, resistance: Ohms, drawing: Drawing) -> Option<Volts> {
    match drawing.load {
        Load::Steady => steady(source, resistance, drawing),
        Load::Resistive => Some(Volts(source.0 / (1.0 + resistance.0 * drawing.amps.0 / drawing.rated.0))),
        Load::Filament => Some(filament(source, resistance, drawing)),
    }
}

/// *V₀² = (V + I·R·λ)² + (I·R·√(1−λ²))²* with *I = S/V* is quadratic in *V²*; the larger root is the one
/// that a load settles on.
fn steady(source: Volts, resistance: Ohms, drawing: Drawing) -> Option<Volts> {
    let apparent = drawing.rated.0 * drawing.amps.0 * resistance.0;
    let half = f64::midpoint(source.0 * source.0, -2.0 * apparent * drawing.power_factor);
    let root = half * half - apparent * apparent;
    (half > 0.0 && root >= 0.0).then(|| Volts((half + root.sqrt()).sqrt()))
}

/// *V = V₀ − R·I(V)* by Newton's steps: the left side rises and bends one way, so they do not stray.
fn filament(source: Volts, resistance: Ohms, drawing: Drawing) -> Volts {
    // Quadratic: five steps at any drop that is seen, ten where hardly anything arrives.
    const STEPS: usize = 12;
    let drop = resistance.0 * drawing.amps.0;
    let mut volts = source.0;
    for _ in 0..STEPS {
        let share = volts / drawing.rated.0;
        let off = volts + drop * filament_amps(Volts(volts), drawing.rated) - source.0;
        let slope = 1.0 + drop * filament_amps_slope(share) / drawing.rated.0;
        volts = (volts - off / slope).max(source.0 * 1e-6);
    }
    Volts(volts)
}

/// How a lead lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Laid {
    /// Off its drum, in free air.
    Out,
    /// Wound on its reel.
    Wound,
}

/// What a lead is printed with.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Printed {
    /// Its rating unwound.
    pub rated: Option<Amps>,
    /// Its rating wound.
    pub wound: Option<Amps>,
}

/// What a lead of `size` carries with `lines` of its line conductors loaded: what is printed on it,
/// else the region's table; wound up, what is printed for that, else a third. A lead carries no more
/// wound than unwound, whatever is printed. `None` where neither is known.
#[must_use]
pub fn carries(
    region: RegionCode,
    size: ConductorSize,
    printed: Printed,
    laid: Laid,
    lines: u8,
) -> Option<Amps> {
    let table = || library().cables.ampacity(region, size).map(|row| row.amps_on(lines));
    let out = printed.rated.or_else(table);
    match laid {
        Laid::Out => out,
        Laid::Wound => match (printed.wound, out) {
            (Some(wound), Some(out)) => Some(wound.min(out)),
            (wound, out) => wound.or_else(|| out.map(|amps| amps * WOUND)),
        },
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn lamp(watts: f64, volts: f64, power_factor: f64, load: Load) -> Drawing {
        let amps = Amps(watts / volts / power_factor);
        Drawing { rated: Volts(volts), amps, power_factor, load }
    }

    #[test]
    fn a_lead_that_cannot_bring_the_power_has_no_solution() {
        // Closed form: 230 V over 3.1827 Ω brings 230²/(4·3.1827) = 4155.3 W at power factor 1.
        let over = Ohms(3.1827);
        let bring = |watts| arriving_volts(Volts(230.0), over, lamp(watts, 230.0, 1.0, Load::Steady));
        assert!(bring(4155.0).is_some());
        assert!(bring(4156.0).is_none());
        assert!((bring(4155.2).unwrap().0 - 115.0).abs() < 2.0, "half of the source at the limit");
    }

    #[test]
    fn a_filament_on_a_lead_far_too_thin_settles_where_its_own_law_meets_the_lead() {
        // Kirchhoff's law by halving, an own way to the root: V + R·I₀·(V/V₀)^0.55 = V₀.
        for ohms in [0.5, 10.0, 20.0, 60.0, 500.0] {
            let off = |volts: f64| volts + ohms * 10.0 * (volts / 230.0).powf(0.55) - 230.0;
            let (mut low, mut high) = (0.0_f64, 230.0_f64);
            for _ in 0..200 {
                let middle = f64::midpoint(low, high);
                if off(middle) > 0.0 { high = middle } else { low = middle }
            }
            let volts =
                arriving_volts(Volts(230.0), Ohms(ohms), lamp(2300.0, 230.0, 1.0, Load::Filament)).unwrap();
            assert!((volts.0 - low).abs() < 1e-9 * 230.0, "{ohms} ohm: {} against {low}", volts.0);
        }
    }

    #[test]
    fn without_a_source_nothing_arrives_at_a_steady_load() {
        let steady = lamp(2000.0, 230.0, 1.0, Load::Steady);
        assert_eq!(arriving_volts(Volts(0.0), Ohms(0.0), steady), None);
        assert_eq!(arriving_volts(Volts(0.0), Ohms(1.0), steady), None);
    }

    #[test]
    fn without_resistance_everything_arrives() {
        for load in [Load::Steady, Load::Filament, Load::Resistive] {
            let volts = arriving_volts(Volts(230.0), Ohms(0.0), lamp(2000.0, 230.0, 0.9, load)).unwrap();
            assert!((volts.0 - 230.0).abs() < 1e-9, "{load:?}");
        }
    }

    #[test]
    fn a_wound_lead_carries_what_is_printed_or_a_third() {
        let printed = Printed { rated: Some(Amps(15.0)), wound: None };
        let size = ConductorSize::SquareMillimetres(1.5);
        assert_eq!(carries(RegionCode::Uk, size, printed, Laid::Wound, 1), Some(Amps(5.0)));
        let both = Printed { wound: Some(Amps(4.0)), ..printed };
        assert_eq!(carries(RegionCode::Uk, size, both, Laid::Wound, 1), Some(Amps(4.0)));
        // Printed for a wound lead, but more than it carries unwound: the smaller counts.
        let more = Printed { wound: Some(Amps(20.0)), ..printed };
        assert_eq!(carries(RegionCode::Uk, size, more, Laid::Wound, 1), Some(Amps(15.0)));
        let unprinted = Printed { rated: None, wound: Some(Amps(20.0)) };
        assert_eq!(carries(RegionCode::Uk, size, unprinted, Laid::Wound, 1), Some(Amps(16.0)));
        // BS 7671 table 4F3A, from memory: 1.5 mm² 16 A, 2.5 mm² 25 A.
        assert_eq!(carries(RegionCode::Uk, size, Printed::default(), Laid::Out, 1), Some(Amps(16.0)));
    }
}
