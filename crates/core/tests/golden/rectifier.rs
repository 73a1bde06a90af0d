//! A bridge rectifier into a capacitor, simulated in time: harmonics that no formula gives.

use std::f64::consts::{SQRT_2, TAU};

/// A rectifier that feeds a constant power.
#[derive(Clone, Copy)]
pub struct Rectifier {
    pub volts: f64,
    pub hertz: f64,
    pub watts: f64,
    pub farads: f64,
    pub ohms: f64,
    pub henries: f64,
}

/// Its current once settled.
pub struct Wave {
    pub rms: f64,
    /// cos φ of the fundamental.
    pub displacement: f64,
    /// Odd orders from the third, in percent of the fundamental.
    pub spectrum: Vec<(u32, f64)>,
}

/// Steps a cycle.
const STEPS: usize = 8192;
/// Cycles until it has settled.
const CYCLES: usize = 60;
/// Drop over two diodes, volts.
const DIODES: f64 = 1.4;
/// Odd orders up to here carry all that matters to four digits.
const LAST_ORDER: u32 = 199;

impl Rectifier {
    /// Reads "230V 400W 400uF Rs1.0 Ls0.5mH"; what is not said is 400 µF and 0.5 Ω.
    pub fn named(name: &str) -> Self {
        let mut one = Self { volts: 230.0, hertz: 50.0, watts: 0.0, farads: 400e-6, ohms: 0.5, henries: 0.0 };
        for word in name.split_whitespace() {
            let number = |before: &str, after: &str| -> Option<f64> {
                word.strip_prefix(before)?.strip_suffix(after)?.parse().ok()
            };
            if let Some(volts) = number("", "V") {
                (one.volts, one.hertz) = (volts, if volts < 200.0 { 60.0 } else { 50.0 });
            } else if let Some(watts) = number("", "W") {
                one.watts = watts;
            } else if let Some(microfarads) = number("", "uF") {
                one.farads = microfarads * 1e-6;
            } else if let Some(millihenries) = number("Ls", "mH") {
                one.henries = millihenries * 1e-3;
            } else if let Some(ohms) = number("Rs", "") {
                one.ohms = ohms;
            }
        }
        one
    }

    /// Half-implicit Euler steps; the last cycle is the wave.
    pub fn wave(self) -> Wave {
        let step = 1.0 / self.hertz / STEPS as f64;
        let (mut capacitor, mut amps) = (self.volts * SQRT_2 * 0.97, 0.0_f64);
        let mut wave = vec![0.0; STEPS];
        for k in 0..STEPS * CYCLES {
            let source = self.volts * SQRT_2 * (TAU * (k % STEPS) as f64 / STEPS as f64).sin();
            let push = source.abs() - DIODES - capacitor;
            amps = ((amps + step / self.henries * push) / (1.0 + step * self.ohms / self.henries)).max(0.0);
            capacitor += step / self.farads * (amps - self.watts / capacitor.max(1.0));
            wave[k % STEPS] = if source >= 0.0 { amps } else { -amps };
        }
        let (in_phase, quarter) = component(&wave, 1);
        let first = in_phase.hypot(quarter);
        let spectrum = (3..=LAST_ORDER).step_by(2).map(|order| {
            let (sine, cosine) = component(&wave, order);
            (order, 100.0 * sine.hypot(cosine) / first)
        });
        Wave {
            rms: (wave.iter().map(|amps| amps * amps).sum::<f64>() / STEPS as f64).sqrt(),
            displacement: in_phase / first,
            spectrum: spectrum.collect(),
        }
    }
}

/// Sine and cosine part of one order.
fn component(wave: &[f64], order: u32) -> (f64, f64) {
    let scale = 2.0 / wave.len() as f64;
    wave.iter().enumerate().fold((0.0, 0.0), |(sine, cosine), (k, amps)| {
        let angle = TAU * f64::from(order) * k as f64 / wave.len() as f64;
        (sine + scale * amps * angle.sin(), cosine + scale * amps * angle.cos())
    })
}
