//! Trips of the shoot, by number.

use ampwalk_core::assess::Assessment;
use ampwalk_core::diagnose::{Trip, devices_of};
use ampwalk_core::network::{At, Network, SetupAt};
use ampwalk_core::plan::Reset;
use ampwalk_core::unit::Minutes;

use super::shoot::{CIRCUITS, RCDS, SETUPS};

/// The trip of this number: an RCD, a breaker, or two RCDs, in any setup, with what a crew may know of it.
pub fn trip(network: &Network, assessment: &Assessment, number: usize) -> Trip {
    let (a, b) = (number * number + 7 * number, 3 * number * number + 11 * number);
    let lost = match number % 5 {
        0 | 1 => vec![format!("R{}", a % RCDS)],
        2 | 3 => vec![format!("C{}", b % CIRCUITS)],
        _ => vec![format!("R{}", a % RCDS), format!("R{}", (a + 1 + number % 3) % RCDS)],
    };
    let setup = SetupAt::new(number % SETUPS);
    let lost = lost.iter().filter_map(|id| devices_of(network, id)).collect();
    let mut trip = Trip::of(network, setup, lost);
    let order = &assessment.setups[setup].strike_order;
    trip.last_struck = (!number.is_multiple_of(4)).then(|| order[b % order.len()]);
    let minutes = u16::try_from(number % 90).unwrap_or_default();
    trip.after = (!number.is_multiple_of(7)).then(|| Minutes(f64::from(minutes)));
    trip.reset = [Reset::NotTried, Reset::NotTried, Reset::Held, Reset::DidNotHold][number / 2 % 4];
    trip.not_struck = if number.is_multiple_of(3) { order[order.len() / 2..].to_vec() } else { Vec::new() };
    trip
}
