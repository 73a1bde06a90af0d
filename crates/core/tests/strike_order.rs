//! The order in which heads are struck, held against every other order that a crew could insist on.

#![expect(clippy::unwrap_used, reason = "a helper that finds nothing fails the test")]

use std::fmt::Write as _;
use std::sync::Arc;

use ampwalk_core::assess::{SetupUse, assess};
use ampwalk_core::network::Network;
use ampwalk_core::physics::residual::Outcome;
use itertools::Itertools as _;
use proptest::prelude::*;

/// Limits that an order breaks: RCDs that drop; RCDs that may, and breakers that the running amps would
/// keep; and the odds of those RCDs.
fn broken(network: &Network, used: &SetupUse) -> (usize, usize, f64) {
    let rcds = |wanted| used.rcds.iter().filter(|(_, rcd)| rcd.outcome == wanted).count();
    let breakers = used.circuits.iter().filter(|(at, circuit)| {
        let rating = network.circuits[*at].breaker_warm;
        circuit.start_peak.is_over(rating) && !circuit.amps.is_over(rating)
    });
    let odds = used.rcds.iter().map(|(_, rcd)| rcd.odds).sum();
    (rcds(Outcome::Trips), rcds(Outcome::MayTrip) + breakers.count(), odds)
}

/// Running amps, start over running amps, leakage, strike leakage, socket.
type Head = (f64, f64, f64, f64, usize);

fn house(heads: &[Head], breakers: [f64; 3], rooms: [(u32, u32); 3], setup: &str) -> Network {
    let mut text = String::from(
        "ampwalk = 1\n[location]\nregion = \"au\"\n[supply.house]\nkind = \"mains\"\n\
         [rcd.R0]\n[rcd.R1]\nbehind = \"R0\"\n[rcd.R2]\nbehind = \"R0\"\n[floor.g]\nlevel = 0\n\
         [room.in]\nfloor = \"g\"\n",
    );
    for (place, breaker) in breakers.iter().enumerate() {
        let rcd = ["R1", "R1", "R2"][place];
        writeln!(text, "[circuit.C{place}]\nsupply = \"house\"\nrcd = \"{rcd}\"\nbreaker_a = {breaker:.2}")
            .unwrap();
        let dropped = ["R0", "R1", "R2"][place];
        let (held, tripped) = rooms[place];
        writeln!(
            text,
            "[socket.S{place}]\nroom = \"in\"\ncircuit = \"C{place}\"\n[socket.T{place}]\nroom = \"in\"\n\
             circuit = \"C{}\"\nramp = {{ held_ma = {held}, tripped_ma = {}, dropped = \"{dropped}\" }}",
            if place == 2 { 2 } else { 0 },
            held + tripped
        )
        .unwrap();
    }
    for (place, (running, extra, leak, strike, socket)) in heads.iter().enumerate() {
        writeln!(
            text,
            "[head.H{place}]\namps = {running:.3}\nstart_a = {:.3}\nleak_ma = {leak:.3}\nstrike_ma = {strike:.3}\n\
             socket = \"S{socket}\"",
            running + extra
        )
        .unwrap();
    }
    let on: Vec<String> = (0..heads.len()).map(|place| format!("\"H{place}\"")).collect();
    writeln!(text, "[setup.s]\nminutes = 30\non = [{}]\n{setup}", on.join(", ")).unwrap();
    let parsed = ampwalk_core::file::parse(&text);
    assert!(parsed.problems.is_empty(), "{:?}\n{text}", parsed.problems);
    Network::of(Arc::new(parsed.plan))
}

fn used(network: &Network) -> Arc<SetupUse> {
    assess(network).setups[network.setup("s").unwrap()].clone()
}

fn head() -> impl Strategy<Value = Head> {
    let extra = prop_oneof![Just(0.0), 0.0..8.0_f64];
    let strike = prop_oneof![Just(0.0), Just(10.0), 0.0..12.0_f64];
    (1.0..8.0_f64, extra, 0.0..6.0_f64, strike, 0_usize..3)
}

#[test]
fn a_head_that_runs_up_goes_first_where_the_rcd_has_room_and_the_breaker_has_not() {
    // By hand, on 20 A. A: 10 A, strikes at 2 + 10 mA; B: 8 A, runs up with 12 A, leaks 3 mA. A first:
    // 10 + 12 = 22 A, 12 mA. B first: 12, then 18 A; 3, then 15 mA.
    let heads = [(10.0, 0.0, 2.0, 10.0, 0), (8.0, 4.0, 3.0, 0.0, 0)];
    let order = |held: u32, setup: &str| {
        let network = house(&heads, [20.0; 3], [(40, 5), (held, 5), (40, 5)], setup);
        let used = used(&network);
        let ids: Vec<String> =
            used.strike_order.iter().map(|head| network.head_id(*head).to_string()).collect();
        let spared: Vec<String> =
            used.spared_breakers.iter().map(|at| network.circuit_id(*at).to_string()).collect();
        (ids.join(" "), spared.join(" "), used.circuits[network.circuit("C0").unwrap()].start_peak.0)
    };
    let near = |got: (String, String, f64), ids: &str, spared: &str, amps: f64| {
        assert_eq!((got.0.as_str(), got.1.as_str()), (ids, spared));
        assert!((got.2 - amps).abs() < 1e-9, "{}", got.2);
    };
    near(order(15, ""), "H1 H0", "C0", 18.0);
    // With room for 12 mA only, that order would trade the breaker for the RCD.
    near(order(12, ""), "H0 H1", "", 22.0);
    // The crew's own order stands.
    near(order(15, "strike = [\"H0\"]"), "H0 H1", "", 22.0);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]

    #[test]
    fn no_order_of_a_crew_keeps_more_limits(
        heads in prop::collection::vec(head(), 2..=5),
        breakers in prop::array::uniform3(6.0..22.0_f64),
        rooms in prop::array::uniform3((5_u32..25, 1_u32..12)),
    ) {
        let network = house(&heads, breakers, rooms, "");
        let best = broken(&network, &used(&network));
        for order in (0..heads.len()).map(|place| format!("\"H{place}\"")).permutations(heads.len()) {
            let order = order.join(", ");
            let network = house(&heads, breakers, rooms, &format!("strike = [{order}]"));
            let other = broken(&network, &used(&network));
            prop_assert!((best.0, best.1) <= (other.0, other.1), "{best:?}, and {other:?} with {order}");
            if (best.0, best.1) == (other.0, other.1) {
                prop_assert!(best.2 <= other.2 + 1e-6, "{best:?}, and {other:?} with {order}");
            }
        }
    }

    #[test]
    fn what_the_crew_insists_on_comes_first_and_the_rest_is_the_best_after_it(
        heads in prop::collection::vec(head(), 3..=5),
        breakers in prop::array::uniform3(6.0..22.0_f64),
        rooms in prop::array::uniform3((5_u32..25, 1_u32..12)),
    ) {
        let network = house(&heads, breakers, rooms, "strike = [\"H1\"]");
        let first = used(&network);
        prop_assert_eq!(network.head_id(first.strike_order[0]).as_str(), "H1");
        let best = broken(&network, &first);
        let ids: Vec<String> =
            (0..heads.len()).filter(|place| *place != 1).map(|place| format!("\"H{place}\"")).collect();
        for order in ids.into_iter().permutations(heads.len() - 1) {
            let order = order.join(", ");
            let network = house(&heads, breakers, rooms, &format!("strike = [\"H1\", {order}]"));
            let other = broken(&network, &used(&network));
            prop_assert!((best.0, best.1) <= (other.0, other.1), "{best:?}, and {other:?}");
        }
    }
}
