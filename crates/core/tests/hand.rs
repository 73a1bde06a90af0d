//! What a head in hand shows at a socket is what the whole assessment finds after the drop.

#[path = "random/plan.rs"]
mod plan;

use std::collections::BTreeSet;
use std::sync::Arc;

use ampwalk_core::assess::{
    Assessment, Consequence, Extent, Finding, Hand, Prospect, Subject, assess, assess_by, assess_setup_again,
};
use ampwalk_core::network::{HeadAt, Network, SetupAt, SocketAt};
use ampwalk_core::physics::residual::Outcome;
use ampwalk_core::workers::Workers;
use proptest::prelude::*;

use plan::{network, plan_text};

fn key(finding: &Finding) -> (String, String, Option<SetupAt>, Subject, String) {
    let crossing = finding.crossing.map_or(String::new(), |c| format!("{:.6} {:.6}", c.value, c.limit));
    (finding.rule.id.to_owned(), finding.severity.to_string(), finding.setup, finding.subject, crossing)
}

/// The subjects that a head at a socket touches.
fn touched(network: &Network, head: HeadAt, socket: SocketAt) -> BTreeSet<Subject> {
    let reach = network.reach_of(socket);
    let node = &network.sockets[socket];
    let mut subjects = BTreeSet::from([Subject::Head(head), Subject::Socket(socket)]);
    subjects.extend(network.plates[node.plate].sockets.first().map(|first| Subject::Socket(*first)));
    subjects.extend(reach.sockets.iter().map(|part| Subject::Socket(part.what)));
    subjects.extend(reach.circuits.iter().map(|part| Subject::Circuit(part.what)));
    subjects.extend(reach.rcds.iter().map(|part| Subject::Rcd(part.what)));
    if let Some(portable) = node.portable {
        subjects.insert(Subject::Rcd(portable));
    }
    subjects.extend(reach.supplies.iter().map(|part| Subject::Supply(part.what.0)));
    subjects
}

/// The circuits that speak for the shared neutrals that a head at a socket touches.
fn neutrals_touched(network: &Network, socket: SocketAt) -> BTreeSet<Subject> {
    let circuits = network.reach_of(socket).circuits.iter();
    let neutrals = circuits.filter_map(|part| network.circuits[part.what].neutral);
    neutrals.map(|neutral| Subject::Circuit(network.neutrals[neutral].circuits[0])).collect()
}

/// Rules of the wall and the stock that a drop does not change, or that another head tells.
fn compared(finding: &Finding) -> bool {
    !matches!(
        finding.rule.id,
        "label-wrong" | "ramp-conflict" | "trace-conflict" | "fumes" | "two-lines" | "two-sources"
    )
}

#[test]
fn random_plans_ask_for_an_order_that_spares_a_breaker_now_and_then() {
    let mut state = 1_u32;
    let mut spared = 0;
    for _ in 0..400 {
        let seed: Vec<u16> = (0..64)
            .map(|_| {
                state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
                u16::try_from(state >> 16).unwrap()
            })
            .collect();
        let assessment = assess(&network(&plan_text(&seed)));
        spared += assessment.setups.iter().filter(|(_, used)| !used.spared_breakers.is_empty()).count();
    }
    assert!(spared >= 4, "{spared} setups of 800");
}

/// Several workers, of whom the last begins.
struct Backwards(usize);

impl Workers for Backwards {
    fn hands(&self) -> usize {
        self.0
    }

    fn each<T: Send>(&self, count: usize, job: impl Fn(usize) -> T + Sync) -> Vec<T> {
        let mut done: Vec<T> = (0..count).rev().map(job).collect();
        done.reverse();
        done
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(192))]

    #[test]
    fn who_works_and_how_many_setups_are_looked_at_changes_no_result(
        seed in prop::collection::vec(any::<u16>(), 64),
    ) {
        let network = network(&plan_text(&seed));
        let whole = assess(&network);
        prop_assert_eq!(&assess_by(&network, &Backwards(2)), &whole);
        for setup in network.setups.indices() {
            let one = assess_setup_again(&network, &whole, setup, &Backwards(2));
            prop_assert_eq!(&one.setups[setup], &whole.setups[setup]);
            prop_assert_eq!(one.findings.iter().collect::<Vec<_>>(), whole.findings_in(setup).collect::<Vec<_>>());
            prop_assert_eq!(one.verdict_in(setup), whole.verdict_in(setup));
        }
    }

    #[test]
    fn a_drop_turns_out_as_the_hand_showed(seed in prop::collection::vec(any::<u16>(), 64), head in 0_usize..8) {
        let network = network(&plan_text(&seed));
        let before: Assessment = assess(&network);
        let setup = network.setups.indices().find(|at| {
            network.setups[*at].is_on[network.head(&format!("H{head}")).unwrap()]
        }).unwrap();
        let head = network.head(&format!("H{head}")).unwrap();
        let hand = Hand::pick_up_for(&network, &before, setup, head, Extent::EverySetup);
        let ranked = hand.ranked(&network);
        let prospects: Vec<_> = ranked.iter().map(Consequence::prospect).collect();
        let nearest = hand.nearest_first(&network);
        for hands in [1, 2, 3] {
            let mut found = hand.prospects(&network, &nearest, &Backwards(hands));
            found.sort_by(Prospect::best_first);
            prop_assert_eq!(&found, &prospects, "{} workers", hands);
        }
        for consequence in ranked {
            let mut plan = (*network.plan).clone();
            let placement = Hand::placement(&network, &consequence);
            let id = network.head_id(head).clone();
            let own = plan.setups.get(network.setup_id(setup).as_str()).unwrap().sockets.contains_key(&id);
            if own {
                plan.setups.get_mut(network.setup_id(setup).as_str()).unwrap().sockets.insert(id, Some(placement));
            } else {
                plan.heads.get_mut(id.as_str()).unwrap().placement = Some(placement);
            }
            let after_network = Network::of(Arc::new(plan));
            let after = assess(&after_network);
            let subjects = touched(&network, head, consequence.socket);
            let neutrals = neutrals_touched(&network, consequence.socket);
            let touches = |finding: &Finding| match (finding.rule.id, finding.subject) {
                ("neutral-over", Subject::Circuit(_)) => neutrals.contains(&finding.subject),
                _ => subjects.contains(&finding.subject),
            };
            // Heads behind blocks at the socket see what one more takes from the leads before the block.
            let takes_from = |finding: &Finding| {
                let Subject::Head(other) = finding.subject else { return false };
                let plugs = finding.setup.map(|setup| &after.setups[setup].sockets[consequence.socket].plugs);
                finding.rule.id == "drop-high"
                    && plugs.is_some_and(|plugs| {
                        plugs.iter().any(|plug| plug.block.is_some() && plug.heads.contains(&other))
                    })
            };
            let found: BTreeSet<_> = after
                .findings
                .iter()
                .filter(|finding| finding.setup.is_some_and(|setup| hand.affected.contains(&setup)))
                .filter(|finding| (touches(finding) || takes_from(finding)) && compared(finding))
                .filter(|finding| {
                    // The first socket of the plate speaks for the plate only.
                    let boxes = &network.reach_of(consequence.socket).sockets;
                    let own = finding.subject == Subject::Socket(consequence.socket)
                        || boxes.iter().any(|part| finding.subject == Subject::Socket(part.what));
                    own || !matches!(finding.subject, Subject::Socket(_)) || finding.rule.id == "plate-over"
                })
                .map(key)
                .collect();
            let shown: BTreeSet<_> = consequence.findings.iter().filter(|finding| compared(finding)).map(key).collect();
            let odds = hand
                .affected
                .iter()
                .flat_map(|setup| after.setups[*setup].rcds.iter())
                .filter(|(at, rcd)| {
                    subjects.contains(&Subject::Rcd(*at)) && rcd.outcome == Outcome::MayTrip
                })
                .map(|(_, rcd)| rcd.odds)
                .fold(None, |most: Option<f64>, odds| Some(most.map_or(odds, |most| most.max(odds))));
            let (most, told) = (odds.unwrap_or(-1.0), consequence.odds.unwrap_or(-1.0));
            prop_assert!((most - told).abs() < 1e-9, "{most} {told}");
            prop_assert_eq!(&found, &shown, "{:?} on {:?}", network.head_id(head), network.socket_id(consequence.socket));
        }
    }
}
