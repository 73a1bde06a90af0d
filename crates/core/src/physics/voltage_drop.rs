//! What arrives at the end of a lead, by how the load's amps move with its volts.
//!
//! With *R* and *X* of the lead, power factor λ and σ = √(1 − λ²) (negative where the current leads),
//! the source sees *V₀² = (V + I·a)² + (I·b)²*, *a = R·λ + X·σ*, *b = X·λ − R·σ*. Everything here is
//! line to neutral on one line and on balanced three, line to line on two lines, with the resistance
//! of [`lead_resistance`](crate::physics::cable::lead_resistance) accordingly.

use crate::physics::filament::amps_share;
use crate::physics::phasor::{Phasor, Shift};
use crate::plan::Load;
use crate::unit::{Amps, Metres, Ohms, Volts};

/// Volts to which an iteration is carried.
const CLOSE_ENOUGH: f64 = 1e-10;
/// Steps after which a ladder has no answer: only where the load all but collapses the volts.
const MOST_STEPS: usize = 4000;

/// What a lead puts in the way.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Impedance {
    /// Resistance of the whole way.
    pub resistance: Ohms,
    /// Reactance of the whole way: some 0.08 Ω/km a conductor (IEC 60364-5-52 annex G, from memory),
    /// so nothing worth counting in leads up to 16 mm².
    pub reactance: Ohms,
}

impl From<Ohms> for Impedance {
    fn from(resistance: Ohms) -> Self {
        Self { resistance, reactance: Ohms::ZERO }
    }
}

/// A load, as it is at its nominal volts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Draw {
    /// Amps at nominal volts.
    pub amps: Amps,
    /// Nominal volts, over 0.
    pub volts: Volts,
    /// Whole power factor, 0 to 1.
    pub power_factor: f64,
    /// Whether its current leads.
    pub shift: Shift,
    /// How its amps move with its volts.
    pub load: Load,
}

/// What arrives.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Arrival {
    /// Volts at the load.
    pub volts: Volts,
    /// Amps through the lead.
    pub amps: Amps,
}

/// What arrives at one load at the end of a lead, from `source` volts at its start. `None` where there
/// is no such state: a steady load that asks for more than the lead can bring (*S* over *V₀²/2(|Z| + a)*).
#[must_use]
pub fn arrival(source: Volts, lead: impl Into<Impedance>, draw: Draw) -> Option<Arrival> {
    if draw.volts <= Volts::ZERO || source <= Volts::ZERO {
        return None;
    }
    let (along, across) = components(lead.into(), draw.power_factor, draw.shift);
    let volts = match draw.load {
        Load::Steady => steady_volts(source, draw.amps.0 * draw.volts.0, along, across)?,
        Load::Resistive => {
            let siemens = draw.amps.0 / draw.volts.0;
            Volts(source.0 / (1.0 + siemens * along).hypot(siemens * across))
        }
        Load::Filament => filament_volts(source, draw, along, across),
    };
    Some(Arrival { volts, amps: amps_at(draw, volts) })
}

/// Volts that arrive where the amps are known, as from a clamp, with their power factor. `None` where
/// the lead takes all of them.
#[must_use]
pub fn volts_at_current(
    source: Volts,
    lead: impl Into<Impedance>,
    amps: Amps,
    power_factor: f64,
    shift: Shift,
) -> Option<Volts> {
    let (along, across) = components(lead.into(), power_factor, shift);
    let left = source.0 * source.0 - (amps.0 * across).powi(2);
    let volts = left.max(0.0).sqrt() - amps.0 * along;
    (volts > 0.0).then_some(Volts(volts))
}

/// One lead of a ladder, and what is plugged in at its end besides the next lead.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Section<'a> {
    /// The lead.
    pub lead: Impedance,
    /// The loads at its end.
    pub draws: &'a [Draw],
}

/// What arrives at the end of each of several leads in a row, with loads along the way and several at
/// one end: volts there, and amps through the lead that leads there. `None` where the volts collapse.
#[must_use]
pub fn ladder(source: Volts, sections: &[Section<'_>]) -> Option<Vec<Arrival>> {
    let all = || sections.iter().flat_map(|section| section.draws);
    if source <= Volts::ZERO || all().any(|draw| draw.volts <= Volts::ZERO) {
        return None;
    }
    let mut volts = vec![Phasor { real: source.0, imaginary: 0.0 }; sections.len()];
    let (mut pace, mut last_change) = (1.0_f64, f64::INFINITY);
    for _ in 0..MOST_STEPS {
        let amps = ladder_amps(sections, &volts);
        let change = step(source, sections, &amps, &mut volts, pace);
        if !change.is_finite() {
            return None;
        }
        if change <= CLOSE_ENOUGH * pace {
            let arrivals = volts.iter().zip(ladder_amps(sections, &volts));
            return Some(
                arrivals
                    .map(|(volts, amps)| Arrival { volts: Volts(size(*volts)), amps: amps.amps() })
                    .collect(),
            );
        }
        if change > last_change {
            pace = (pace / 2.0).max(1.0 / 1024.0);
        }
        last_change = change;
    }
    None
}

/// Percent of the source's volts that are lost on the way.
#[must_use]
pub fn percent_lost(source: Volts, arriving: Volts) -> f64 {
    if source > Volts::ZERO { 100.0 * (source - arriving).0 / source.0 } else { 0.0 }
}

/// The longest lead of `ohms_a_metre` (the whole way, as in a drop) that loses no more than `percent`
/// at a current in step with the volts. `None` where any length does.
#[must_use]
pub fn longest(source: Volts, percent: f64, amps: Amps, ohms_a_metre: Ohms) -> Option<Metres> {
    let lost_a_metre = amps.0 * ohms_a_metre.0;
    (lost_a_metre > 0.0).then(|| Metres((source.0 * percent / 100.0).max(0.0) / lost_a_metre))
}

/// Resistance-like parts of a lead in step with a current's load and across it: *a* and *b* above.
fn components(lead: Impedance, power_factor: f64, shift: Shift) -> (f64, f64) {
    let (in_step, lag) = angle(power_factor, shift);
    let (resistance, reactance) = (lead.resistance.0, lead.reactance.0);
    (resistance * in_step + reactance * lag, reactance * in_step - resistance * lag)
}

/// Cosine and sine of how far a current lags.
fn angle(power_factor: f64, shift: Shift) -> (f64, f64) {
    let in_step = power_factor.clamp(0.0, 1.0);
    let lag = (1.0 - in_step * in_step).sqrt();
    (in_step, if shift == Shift::Leading { -lag } else { lag })
}

/// The upper solution of *V⁴ + (2·S·a − V₀²)·V² + S²·(a² + b²) = 0*: the one that a load settles on.
fn steady_volts(source: Volts, volt_amps: f64, along: f64, across: f64) -> Option<Volts> {
    let half = (source.0 * source.0) / 2.0 - volt_amps * along;
    let lost = volt_amps * along.hypot(across);
    if half < lost || half <= 0.0 {
        return None;
    }
    Some(Volts((half + ((half - lost) * (half + lost)).sqrt()).sqrt()))
}

/// By halving: what the source would have to give rises with the volts at the filament.
fn filament_volts(source: Volts, draw: Draw, along: f64, across: f64) -> Volts {
    let needed = |volts: f64| {
        let amps = amps_at(draw, Volts(volts)).0;
        (volts + amps * along).hypot(amps * across)
    };
    let (mut low, mut high) = (0.0, source.0);
    // A current that leads through a coil may lift the volts over the source's.
    while needed(high) < source.0 {
        (low, high) = (high, high * 2.0);
    }
    while high - low > CLOSE_ENOUGH {
        let middle = f64::midpoint(low, high);
        if middle <= low || middle >= high {
            break;
        }
        if needed(middle) < source.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
    Volts(f64::midpoint(low, high))
}

fn amps_at(draw: Draw, volts: Volts) -> Amps {
    let share = volts / draw.volts;
    draw.amps
        * match draw.load {
            Load::Steady => 1.0 / share,
            Load::Filament => amps_share(share),
            Load::Resistive => share,
        }
}

/// Amps through each section at given volts at their ends.
fn ladder_amps(sections: &[Section<'_>], volts: &[Phasor]) -> Vec<Phasor> {
    let mut amps = vec![Phasor::default(); sections.len()];
    let mut beyond = Phasor::default();
    for (at, section) in sections.iter().enumerate().rev() {
        let here = size(volts[at]);
        for draw in section.draws.iter().filter(|draw| draw.amps > Amps::ZERO) {
            let (in_step, lag) = angle(draw.power_factor, draw.shift);
            let drawn = amps_at(*draw, Volts(here)) / here;
            beyond += volts[at].turned(Phasor { real: in_step, imaginary: -lag }).scaled(drawn);
        }
        amps[at] = beyond;
    }
    amps
}

/// Moves the volts towards what the amps leave of the source; the largest move, in volts.
fn step(source: Volts, sections: &[Section<'_>], amps: &[Phasor], volts: &mut [Phasor], pace: f64) -> f64 {
    let mut before = Phasor { real: source.0, imaginary: 0.0 };
    let mut largest = 0.0_f64;
    for ((section, amps), volts) in sections.iter().zip(amps).zip(volts) {
        let lead = Phasor { real: section.lead.resistance.0, imaginary: section.lead.reactance.0 };
        before += amps.turned(lead).reversed();
        let change = (before + volts.reversed()).scaled(Amps(pace));
        *volts += change;
        let change = size(change);
        largest = if change.is_nan() { f64::INFINITY } else { largest.max(change) };
    }
    largest
}

fn size(phasor: Phasor) -> f64 {
    phasor.amps().0
}

#[cfg(test)]
mod tests;
