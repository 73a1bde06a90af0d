//! Laws over random plans.

#![expect(
    clippy::disallowed_methods,
    reason = "a test may be told how many cases to try, and reads the examples"
)]

use ampwalk_core::plan::SupplyKind;
use ampwalk_core::solve::plan::{Sources, Start, Wishes, assign};
use ampwalk_core::solve::verdict::{Need, generator};
use ampwalk_core::solve::{Answer, Effort};
use proptest::prelude::*;

use super::plan::plan_text;
use super::{holds, network};

const HASTY: Effort = Effort { rounds: 400, nodes: 4_000, prover: None };

const PATIENT: Effort = Effort { rounds: 1_000, nodes: 10_000, prover: None };

fn cases() -> u32 {
    std::env::var("AMPWALK_VERDICT_CASES").ok().and_then(|cases| cases.parse().ok()).unwrap_or(16)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(cases()))]

    #[test]
    fn every_answer_is_what_the_assessment_of_its_proof_says(
        seed in prop::collection::vec(any::<u16>(), 64),
        pin in 0_usize..12,
    ) {
        // Half of the heads, so that some plans fit; all of them are left in some.
        let mut text = plan_text(&seed);
        text = text.replace(&format!("[head.H{pin}]\n"), &format!("[head.H{pin}]\npinned = true\n"));
        if seed[0] % 3 != 0 {
            text = text.replace("\"H0\", \"H1\", \"H2\", \"H3\", \"H4\", \"H5\"", "\"H1\", \"H3\"");
            text = text.replace("\"H0\", \"H2\", \"H4\", \"H6\", \"H7\"", "\"H3\", \"H6\"");
        }
        let before = network(&text);
        let verdict = generator(&before, HASTY, &mut |_| true);
        match verdict.need {
            Need::No => {
                holds(&verdict.house.network.plan, &[SupplyKind::Mains]);
                prop_assert!(verdict.reason.is_none() && verdict.hire.is_none());
                for (id, head) in before.plan.heads.iter().filter(|(_, head)| head.pinned && head.placement.is_some()) {
                    prop_assert_eq!(&verdict.house.network.plan.heads[id].placement, &head.placement);
                }
            }
            Need::OnlyIf | Need::Yes => {
                prop_assert_eq!(verdict.need == Need::Yes, verdict.ways_out.is_empty());
                let reason = verdict.reason.clone();
                prop_assert!(reason.is_some_and(|reason| !reason.text.is_empty()));
                prop_assert!(verdict.hire.as_ref().is_some_and(|hire| !hire.heads.is_empty()));
            }
        }
        if verdict.is_proven && verdict.need != Need::No {
            // A search with more patience finds none either, from where heads are or from nowhere.
            for start in [Start::AsPlanned, Start::Fresh] {
                let wishes = Wishes { start, sources: Sources::Mains, effort: PATIENT, ..Wishes::default() };
                let again = assign(&before, wishes, &mut |now| now.proven == 0);
                let is_lit = again.answer != Answer::None && again.unplaced.is_empty();
                let pinned = before.plan.heads.values().any(|head| head.pinned && head.placement.is_some());
                prop_assert!(!is_lit || pinned, "{:?}", again.moves);
            }
        }
        for way in &verdict.ways_out {
            prop_assert!(!way.action.is_empty());
            holds(&way.proof.network.plan, &[SupplyKind::Mains, SupplyKind::Battery]);
        }
    }
}

#[test]
fn the_same_plan_has_the_same_answer_and_a_caller_who_stops_is_told_what_it_is_worth() {
    let text = std::fs::read_to_string("../../examples/third-floor-flat.toml").unwrap();
    let plan = network(&text);
    let told = |verdict: &ampwalk_core::solve::verdict::ProducersAnswer| {
        let ways: Vec<String> = verdict.ways_out.iter().map(|way| way.action.clone()).collect();
        (
            verdict.need,
            verdict.is_proven,
            verdict.summary.clone(),
            verdict.reason.clone(),
            ways,
            verdict.hire.clone(),
        )
    };
    let whole = generator(&plan, HASTY, &mut |_| true);
    assert_eq!(told(&whole), told(&generator(&plan, HASTY, &mut |_| true)));
    let mut asked = 0;
    let stopped = generator(&plan, HASTY, &mut |_| {
        asked += 1;
        false
    });
    assert!(asked > 0);
    assert!(!stopped.is_proven || stopped.need == Need::No);
    if stopped.need != Need::No {
        assert!(stopped.summary.contains("not proven"), "{}", stopped.summary);
    }
}
