//! The producer's answer: plans that differ in one number around each limit, and laws over random plans.

#![expect(clippy::unwrap_used, clippy::panic, reason = "a helper that finds nothing fails the test")]
#![expect(clippy::format_collect, reason = "small plans, put together once")]

#[path = "../random/plan.rs"]
mod plan;

mod hire;
mod laws;
mod thresholds;
mod ways;

use std::collections::HashSet;
use std::sync::Arc;

use ampwalk_core::assess::{Assessment, Finding, Subject, assess};
use ampwalk_core::network::{Network, SetupAt};
use ampwalk_core::plan::{Plan, SupplyKind};
use ampwalk_core::rule::Severity;
use ampwalk_core::solve::Effort;
use ampwalk_core::solve::verdict::{Need, ProducersAnswer, generator};

use plan::network;

/// Less than the default: the plans here are small.
const QUICK: Effort = Effort { rounds: 2_000, nodes: 20_000, prover: None };

fn answer(text: &str) -> ProducersAnswer {
    generator(&network(text), QUICK, &mut |_| true)
}

/// A house: what is common to all, then `rest`.
fn house(region: &str, rest: &str) -> String {
    format!(
        "ampwalk = 1\n[location]\nregion = \"{region}\"\nboard = \"found\"\n\
         [supply.house]\nkind = \"mains\"\n\
         [floor.ground]\nlevel = 0\n[room.hall]\nfloor = \"ground\"\n{rest}"
    )
}

/// One circuit with these keys, and one tested socket on it with these, behind an RCD of 30 mA that held 25.
fn one_socket(circuit: &str, socket: &str) -> String {
    format!(
        "[rcd.RA]\nrated_ma = 30\nclass = \"rcd\"\n\
         [circuit.P1]\nsupply = \"house\"\nrcd = \"RA\"\n{circuit}\n\
         [socket.G1]\nroom = \"hall\"\nat = [0, 0]\ncircuit = \"P1\"\ntest = \"ok\"\n\
         ramp = {{ held_ma = 25, tripped_ma = 30 }}\n{socket}\n"
    )
}

fn setup(minutes: u32, on: &[&str]) -> String {
    format!("[setup.day]\nminutes = {minutes}\non = [{}]\n", quoted(on))
}

fn quoted(ids: &[&str]) -> String {
    ids.iter().map(|id| format!("\"{id}\"")).collect::<Vec<_>>().join(", ")
}

fn is_hard(finding: &Finding) -> bool {
    let over = matches!(finding.rule.id, "drop-high" | "breaker-may-over" | "chain-long");
    (finding.severity >= Severity::Dark || over) && finding.rule.id != "head-unplaced"
}

type Key = (&'static str, Option<SetupAt>, Subject);

fn hard(assessment: &Assessment) -> HashSet<Key> {
    let hard = assessment.findings.iter().filter(|finding| is_hard(finding));
    hard.map(|finding| (finding.rule.id, finding.setup, finding.subject)).collect()
}

/// A plan with every head unplugged.
fn unplugged(plan: &Plan) -> Network {
    let mut plan = plan.clone();
    for (_, head) in &mut plan.heads {
        head.placement = None;
    }
    for (_, setup) in &mut plan.setups {
        setup.sockets.clear();
    }
    Network::of(Arc::new(plan))
}

/// Holds that in a plan every head that is on hangs on what these supplies feed, or may, and that the heads
/// bring nothing dark or dangerous. It knows nothing of the search.
#[track_caller]
fn holds(plan: &Plan, kinds: &[SupplyKind]) {
    let network = Network::of(Arc::new(plan.clone()));
    for (_, setup) in network.setups.iter() {
        for head in network.heads.indices().filter(|head| setup.is_on[*head]) {
            let placed = setup.placed[head].as_ref();
            let socket = placed.unwrap_or_else(|| panic!("{} is dark", network.head_id(head))).socket;
            let parts = &network.reach_of(socket).supplies;
            let is_fed = parts.is_empty()
                || parts.iter().any(|part| kinds.contains(&network.supplies[part.what.0].kind));
            assert!(is_fed, "{} hangs on {}", network.head_id(head), network.socket_id(socket));
        }
    }
    let before = hard(&assess(&unplugged(plan)));
    let caused: Vec<Key> = hard(&assess(&network)).into_iter().filter(|key| !before.contains(key)).collect();
    assert!(caused.is_empty(), "{caused:?}");
}

/// Holds that none is needed, with a placement that holds.
#[track_caller]
fn is_no(text: &str) -> ProducersAnswer {
    let verdict = answer(text);
    assert_eq!(verdict.need, Need::No, "{:?}\n{text}", verdict.reason);
    assert!(verdict.is_proven && verdict.reason.is_none() && verdict.hire.is_none());
    assert!(verdict.ways_out.is_empty());
    holds(&verdict.house.network.plan, &[SupplyKind::Mains]);
    verdict
}

/// Holds that the house does not carry it as it is, for this limit, and that this is proven; each way out
/// holds.
#[track_caller]
fn is_not_so(text: &str, limit: &str, needed: f64, there: f64) -> ProducersAnswer {
    let verdict = answer(text);
    assert_ne!(verdict.need, Need::No, "{text}");
    let why = verdict.reason.clone().unwrap();
    assert_eq!(why.limit, limit, "{}\n{text}", why.text);
    assert!((why.needed.unwrap() - needed).abs() < 1e-6, "{} is not {needed}", why.needed.unwrap());
    assert!((why.there.unwrap() - there).abs() < 1e-6, "{} is not {there}", why.there.unwrap());
    assert!(verdict.is_proven, "{text}");
    assert_eq!(verdict.need == Need::Yes, verdict.ways_out.is_empty());
    assert!(verdict.hire.is_some());
    for way in &verdict.ways_out {
        holds(&way.proof.network.plan, &[SupplyKind::Mains, SupplyKind::Battery]);
    }
    verdict
}
