//! Everything on house power, and whether that really works.

use std::collections::HashSet;
use std::sync::Arc;

use crate::assess::{Finding, assess};
use crate::network::{HeadAt, Network, SetupAt, SocketAt};
use crate::plan::{Block, Plan};
use crate::solve::{Answer, Effort, Progress};
use crate::unit::Amps;

use super::super::build::{emptied, is_fed_by, is_hard, may_be_used};
use super::super::leads::is_cut;
use super::super::spot::spots;
use super::super::{Assignment, Objective, Sources, Start, Wishes, placed};

/// The best placement on house power.
pub(super) struct House {
    pub assignment: Assignment,
    pub sources: Sources,
    /// Every head is lit from there, and nothing hard is found that is not there without any head.
    pub works: bool,
    /// Heads stayed on blocks, so that a better placement may exist.
    holds_back: bool,
}

/// Looks for a placement of every head on these sources: from where heads are, and, where heads on blocks were
/// held back, from nowhere.
pub(super) fn on_house(
    network: &Network,
    sources: Sources,
    effort: Effort,
    go_on: &mut dyn FnMut(&Progress) -> bool,
) -> House {
    let now = as_it_is(network, sources);
    if now.works {
        return now;
    }
    let wishes = Wishes { sources, effort, ..Wishes::default() };
    let holds_back = spots(network, Start::AsPlanned).iter().any(|spot| spot.is_held_back);
    let first = checked(network, placed(network, wishes, &mut |_, now| go_on(now)), sources, holds_back);
    if first.works || !holds_back {
        return first;
    }
    let fresh = Wishes { start: Start::Fresh, ..wishes };
    let second = checked(network, placed(network, fresh, &mut |_, now| go_on(now)), sources, holds_back);
    let dark =
        |house: &House| (house.assignment.answer == Answer::None, house.assignment.objective.dark_importance);
    if second.works || dark(&second) < dark(&first) { second } else { first }
}

/// The plan as it is, with nothing moved.
pub(super) fn as_it_is(network: &Network, sources: Sources) -> House {
    let assignment = Assignment {
        answer: Answer::Feasible,
        moves: Vec::new(),
        unplaced: Vec::new(),
        objective: Objective::default(),
        bound: Objective::default(),
        tightest_percent: 0.0,
        why_not: Vec::new(),
        network: network.clone(),
        assessment: assess(network),
    };
    checked(network, assignment, sources, false)
}

fn checked(network: &Network, mut assignment: Assignment, sources: Sources, holds_back: bool) -> House {
    let works = assignment.answer != Answer::None
        && is_lit(&assignment.network, sources)
        && caused(network, &assignment).is_empty();
    assignment.tightest_percent = tightest(&assignment);
    assignment.objective.odds = odds(&assignment);
    House { assignment, sources, works, holds_back }
}

/// Chances that an RCD drops while heads are struck, added up over RCDs and setups.
fn odds(assignment: &Assignment) -> f64 {
    assignment.assessment.setups.iter().flat_map(|(_, used)| used.rcds.iter().map(|(_, rcd)| rcd.odds)).sum()
}

/// How full the fullest circuit with a head on it is, percent.
fn tightest(assignment: &Assignment) -> f64 {
    let setups = assignment.assessment.setups.iter();
    let circuits = setups.flat_map(|(_, used)| used.circuits.iter().map(|(_, circuit)| circuit));
    let in_use = circuits.filter(|circuit| !circuit.heads.is_empty() && circuit.limit.is_over(Amps::ZERO));
    100.0 * in_use.map(|circuit| circuit.possible / circuit.limit).fold(0.0, f64::max)
}

/// Whether every head that is on has a socket that these sources feed, and one that was tested and is well
/// unless the head is pinned to it.
fn is_lit(network: &Network, sources: Sources) -> bool {
    let wishes = Wishes { sources, ..Wishes::default() };
    let is_there = |head: HeadAt, socket: SocketAt| {
        may_be_used(network, socket, wishes)
            || is_pinned(network, head) && is_fed_by(network, socket, sources)
    };
    network.setups.iter().all(|(_, setup)| {
        let on = network.heads.indices().filter(|head| setup.is_on[*head]);
        on.map(|head| (head, setup.placed[head].as_ref()))
            .all(|(head, placed)| placed.is_some_and(|placed| is_there(head, placed.socket)))
    })
}

/// Whether a head is not to be moved.
pub(super) fn is_pinned(network: &Network, head: HeadAt) -> bool {
    network.plan.heads.get(network.head_id(head).as_str()).is_some_and(|head| head.pinned)
}

/// Hard findings that are not there with no head placed.
pub(super) fn caused<'a>(network: &Network, assignment: &'a Assignment) -> Vec<&'a Finding> {
    let without = emptied(network, &spots(network, Start::AsPlanned), |_| true);
    let key = |finding: &Finding| (finding.rule.id, finding.setup, finding.subject);
    let before: HashSet<_> =
        without.assessment.findings.iter().filter(|finding| is_hard(finding)).map(key).collect();
    let is_new = |finding: &&Finding| is_hard(finding) && !before.contains(&key(finding));
    assignment.assessment.findings.iter().filter(is_new).collect()
}

/// Whether it is proven that no placement on house power lights everything: the bound says so, and still does
/// where the search looks at less than there is (splitters, all pairs of leads) once that is given for nothing.
pub(super) fn is_out_of_the_question(
    network: &Network,
    house: &House,
    effort: Effort,
    go_on: &mut dyn FnMut(&Progress) -> bool,
) -> bool {
    if house.assignment.answer == Answer::None || off_house(network, house.sources).is_some() {
        return true;
    }
    if house.assignment.bound.dark_importance == 0 {
        return false;
    }
    let has_blocks = !network.blocks.is_empty();
    if !has_blocks && !house.holds_back && !is_cut(network) {
        return true;
    }
    let generous = Network::of(Arc::new(generous(network)));
    let wishes = Wishes { sources: house.sources, start: Start::Fresh, effort, ..Wishes::default() };
    let again = placed(&generous, wishes, &mut |_, now| now.proven == 0 && go_on(now));
    again.answer == Answer::None || again.bound.dark_importance > 0
}

/// The plan with ways for all the blocks of the truck at every socket, and with as many leads as anybody wants,
/// each as thick as the thickest: then the shortest that reaches is as good as any.
fn generous(network: &Network) -> Plan {
    let mut plan = Plan::clone(&network.plan);
    let of_block = |block: &Block| block.count.unwrap_or(100).saturating_mul(block.ways.unwrap_or(1));
    let more = plan.blocks.values().map(of_block).fold(0, u32::saturating_add).min(1000);
    for (_, socket) in &mut plan.sockets {
        socket.ways = Some(socket.ways.unwrap_or(1).saturating_add(more));
    }
    let sizes = plan.cables.values().map(|cable| cable.size);
    let thickest = sizes.max_by(|a, b| a.area_mm2().total_cmp(&b.area_mm2()));
    for (_, cable) in &mut plan.cables {
        cable.size = thickest.unwrap_or(cable.size);
        (cable.rated, cable.count) = (Some(Amps(1000.0)), None);
        (cable.on_reel, cable.reel_rated) = (false, None);
    }
    plan
}

/// Heads that are pinned to what is no house power, each with a setup in which it is on.
pub(super) fn off_house(network: &Network, sources: Sources) -> Option<(SetupAt, HeadAt, SocketAt)> {
    network.setups.iter().find_map(|(at, setup)| {
        network.heads.indices().find_map(|head| {
            let placed =
                setup.placed[head].as_ref().filter(|_| setup.is_on[head] && is_pinned(network, head))?;
            (!is_fed_by(network, placed.socket, sources)).then_some((at, head, placed.socket))
        })
    })
}
