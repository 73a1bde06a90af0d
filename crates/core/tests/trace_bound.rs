//! The pessimistic assessment of what is unknown: no building that agrees with what is known carries more, and some
//! building carries as much.
//!
//! `AMPWALK_TRACE_CASES` says how many random plans; 60 by default.

#![expect(clippy::disallowed_methods, reason = "the environment says how many cases to try")]

#[path = "random/plan.rs"]
mod plan;

use std::fmt::Write as _;
use std::sync::Arc;

use ampwalk_core::assess::{Assessment, SetupUse, assess};
use ampwalk_core::network::{At, CircuitAt, Network, SocketAt};
use ampwalk_core::plan::Plan;
use itertools::Itertools;
use plan::{network, plan_text};
use proptest::prelude::*;

/// Rounding of sums.
const TOLERANCE: f64 = 1e-9;
/// Sockets that nobody traced; with more of them enumeration takes too long.
const MOST_UNKNOWN: usize = 3;

fn cases() -> u32 {
    std::env::var("AMPWALK_TRACE_CASES").ok().and_then(|cases| cases.parse().ok()).unwrap_or(60)
}

/// A random plan, some of whose sockets were seen live; the distribution box may hang on a socket that nobody traced.
fn text(seed: &[u16]) -> String {
    let mut text = plan_text(seed);
    if seed.iter().fold(0, |sum: u16, number| sum.wrapping_add(*number)) % 3 == 0 {
        text = text.replacen("circuit = \"W\"", "", 1);
    }
    for (place, number) in seed.iter().take(3).enumerate() {
        if number % 3 == 0 {
            let (circuit, socket) = (1 + number % 4, 1 + (usize::from(*number) / 5 + place) % 7);
            let _ = write!(text, "[[trace]]\noff = \"C{circuit}\"\nlive = [\"S{socket}\"]\n");
        }
    }
    text
}

/// Sockets that nobody traced and from which something hangs, each with the circuits that it may be on.
fn unknown(network: &Network) -> Vec<(SocketAt, Vec<CircuitAt>)> {
    let is_used = |socket: SocketAt| {
        !network.sockets[socket].feeds.is_empty()
            || network.setups.iter().any(|(_, setup)| {
                setup
                    .placed
                    .iter()
                    .any(|(_, placed)| placed.as_ref().is_some_and(|placed| placed.socket == socket))
            })
    };
    let untraced = network.sockets.iter().filter(|(_, socket)| socket.circuit.is_none());
    untraced
        .filter(|(at, _)| is_used(*at))
        .map(|(at, _)| (at, network.reach_of(at).candidates.clone()))
        .collect()
}

/// The plan with each unknown socket on a circuit, heads struck in the order of `assessed`.
fn completed(network: &Network, assessed: &Assessment, on: &[(SocketAt, CircuitAt)]) -> Assessment {
    let mut plan = Plan::clone(&network.plan);
    for (socket, circuit) in on {
        plan.sockets[socket.get()].circuit = Some(network.circuit_id(*circuit).clone());
    }
    for (at, used) in assessed.setups.iter() {
        plan.setups[at.get()].strike =
            used.strike_order.iter().map(|head| network.head_id(*head).clone()).collect();
    }
    assess(&Network::of(Arc::new(plan)))
}

/// Numbers of a setup that are told as possible: amps of circuits, standing and peak milliamps of RCDs.
fn possible(used: &SetupUse) -> Vec<f64> {
    let amps = used.circuits.iter().map(|(_, circuit)| circuit.possible.0);
    let standing = used.rcds.iter().map(|(_, rcd)| rcd.possible_standing.0);
    let peak = used.rcds.iter().map(|(_, rcd)| rcd.possible_peak.0);
    amps.chain(standing).chain(peak).collect()
}

/// The same numbers, as they are for certain: without what others may draw.
fn certain(used: &SetupUse) -> Vec<f64> {
    let amps = used.circuits.iter().map(|(_, circuit)| circuit.amps.0);
    let standing = used.rcds.iter().map(|(_, rcd)| rcd.standing.0);
    let peak = used.rcds.iter().map(|(_, rcd)| rcd.peak.0);
    amps.chain(standing).chain(peak).collect()
}

/// What others may draw or leak at most, on top of those numbers, as the plan says it.
fn reserve(network: &Network) -> Vec<f64> {
    let amps = network.plan.circuits.values().map(|circuit| circuit.reserve.map_or(0.0, |reserve| reserve.0));
    let leak = || network.plan.rcds.values().map(|rcd| rcd.reserve.map_or(0.0, |reserve| reserve.0));
    amps.chain(leak()).chain(leak()).collect()
}

proptest! {
    #![proptest_config(ProptestConfig { max_global_rejects: 65_536, ..ProptestConfig::with_cases(cases()) })]

    #[test]
    fn no_building_carries_more_than_is_possible_and_some_building_carries_as_much(
        seed in prop::collection::vec(any::<u16>(), 40..160)
    ) {
        let text = text(&seed);
        let network = network(&text);
        let unknown = unknown(&network);
        prop_assume!((1..=MOST_UNKNOWN).contains(&unknown.len()));
        let assessed = assess(&network);
        let reserve = reserve(&network);
        let bound: Vec<Vec<f64>> = assessed.setups.iter().map(|(_, used)| possible(used)).collect();
        let least: Vec<Vec<f64>> = assessed.setups.iter().map(|(_, used)| certain(used)).collect();
        let mut most: Vec<Vec<f64>> = bound.iter().map(|numbers| vec![0.0; numbers.len()]).collect();
        let choices = unknown.iter().map(|(socket, circuits)| circuits.iter().map(move |on| (*socket, *on)));
        for on in choices.multi_cartesian_product() {
            let real = completed(&network, &assessed, &on);
            for (setup, used) in real.setups.iter() {
                let real = certain(used).into_iter().zip(&reserve);
                for (place, (ours, others)) in real.enumerate() {
                    let (bound, least) = (bound[setup.get()][place], least[setup.get()][place]);
                    let all = ours + others;
                    prop_assert!(all <= bound + TOLERANCE, "{} over {} as {:?} in\n{}", all, bound, on, text);
                    prop_assert!(ours >= least - TOLERANCE, "{} under {} as {:?} in\n{}", ours, least, on, text);
                    let most = &mut most[setup.get()][place];
                    *most = most.max(all);
                }
            }
        }
        for (bound, most) in bound.iter().flatten().zip(most.iter().flatten()) {
            prop_assert!((bound - most).abs() < TOLERANCE, "{} is possible, {} the most in\n{}", bound, most, text);
        }
    }
}
