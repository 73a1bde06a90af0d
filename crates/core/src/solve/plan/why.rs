//! Why a head stays dark: the limit that binds where it comes nearest to fitting, and what a crew could do.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use crate::assess::{Assessment, Crossing, Extent, Finding, Hand, Subject, Trials};
use crate::network::{HeadAt, Network, SetupAt, SocketAt};
use crate::rule::words::number;
use crate::solve::{Effort, Limit, Progress, conflict};

use super::build::{Built, emptied, is_hard, may_be_used};
use super::leads::ways;
use super::spot::Spot;
use super::{Assignment, Attempt, Wishes, placed};

/// So many changes are tried for a head.
const TRIES: usize = 6;

/// Why one head stays dark.
#[derive(Clone, Debug, PartialEq)]
pub struct WhyNot {
    /// The head.
    pub head: HeadAt,
    /// The rule whose limit binds.
    pub limit: &'static str,
    /// What the head would bring it to.
    pub needed: Option<f64>,
    /// What is there.
    pub there: Option<f64>,
    /// The unit of both.
    pub unit: &'static str,
    /// The head, and those that it would have to share with: no placement lights them all. Alone where no socket
    /// takes it even with the others away. Empty where no proof was found.
    pub heads: Vec<HeadAt>,
    /// Rules, at least one of which every placement of all of `heads` on sockets that take them breaks.
    pub limits: Vec<&'static str>,
    /// In a sentence.
    pub text: String,
    /// The smallest change that was found, in a sentence.
    pub remedy: String,
}

/// One reason for each head that stays dark.
pub(super) fn why_not(
    network: &Network,
    best: &Attempt,
    assignment: &Assignment,
    wishes: Wishes,
    go_on: &mut dyn FnMut(&Progress) -> bool,
) -> Vec<WhyNot> {
    let reason = |(own, head): &(Option<SetupAt>, HeadAt)| {
        let mut why = nearest(assignment, *own, *head, wishes);
        prove(network, best, (*own, *head), wishes, &mut why, go_on);
        if let Some(change) = change(network, assignment, *head, wishes, go_on) {
            why.remedy = change;
        }
        why
    };
    assignment.unplaced.iter().map(reason).collect()
}

/// How far a head is from fitting: whether the socket is not to be used at all, whether more than a number
/// stands in the way, how many rules do, how far the worst is over its limit.
type Distance = (bool, bool, usize, f64);

/// How far a finding is over its limit.
fn excess(finding: &Finding) -> f64 {
    finding.crossing.map_or(f64::INFINITY, |crossing| {
        if crossing.limit > 0.0 { crossing.value / crossing.limit } else { f64::MAX }
    })
}

/// The limit that stands in the way where the head comes nearest to fitting, all others as they are placed.
fn nearest(assignment: &Assignment, own: Option<SetupAt>, head: HeadAt, wishes: Wishes) -> WhyNot {
    let network = &assignment.network;
    match closest(network, &assignment.assessment, own, head, wishes).closest {
        Some((socket, finding)) => told(network, head, network.socket_id(socket).as_str(), &finding),
        None => no_socket(
            network,
            head,
            network.sockets.indices().filter(|at| may_be_used(network, *at, wishes)).count(),
        ),
    }
}

/// What stands in the way of a head.
pub(super) struct InTheWay {
    /// Where it comes nearest to fitting, and the limit there; `None` where nothing stands in its way.
    pub closest: Option<(SocketAt, Finding)>,
    /// Whether it fits somewhere.
    pub fits: bool,
    /// The rules in its way, a set for each place that was tried.
    pub rules: Vec<BTreeSet<&'static str>>,
}

/// Where a head comes nearest to fitting beside what is placed, and the limit there.
pub(super) fn closest(
    network: &Network,
    assessment: &Assessment,
    own: Option<SetupAt>,
    head: HeadAt,
    wishes: Wishes,
) -> InTheWay {
    let on = network.setups.indices().find(|at| network.setups[*at].is_on[head]);
    let extent = if own.is_some() { Extent::ThisSetup } else { Extent::EverySetup };
    let mut best: Option<(Distance, SocketAt, Finding)> = None;
    let mut fits = false;
    let mut every = Vec::new();
    if let Some(setup) = own.or(on) {
        let hand = Hand::pick_up_for(network, assessment, setup, head, extent);
        let mut trials = Trials::of_all();
        for socket in network.sockets.indices().filter(|at| may_be_used(network, *at, wishes)) {
            let mut tried = ways(network, socket, head);
            if tried.is_empty() {
                tried.push(Vec::new());
            }
            for links in tried {
                let found = hand.consequence(network, socket, links, &mut trials).findings;
                let barring: Vec<&Finding> = found.iter().filter(|finding| is_hard(finding)).collect();
                let worst = barring.iter().copied().max_by(|a, b| excess(a).total_cmp(&excess(b)));
                let Some(worst) = worst else {
                    fits = true;
                    continue;
                };
                let rules: BTreeSet<&'static str> = barring.iter().map(|finding| finding.rule.id).collect();
                let distance =
                    (rules.contains("socket-banned"), worst.crossing.is_none(), rules.len(), excess(worst));
                if best.as_ref().is_none_or(|(least, ..)| distance < *least) {
                    best = Some((distance, socket, worst.clone()));
                }
                every.push(rules);
            }
        }
    }
    InTheWay { closest: best.map(|(_, socket, finding)| (socket, finding)), fits, rules: every }
}

fn told(network: &Network, head: HeadAt, socket: &str, finding: &Finding) -> WhyNot {
    let id = network.head_id(head);
    let crossing: Option<Crossing> = finding.crossing;
    let numbers = crossing.map_or(String::new(), |crossing| {
        format!(
            " (needed {} {unit}, there {} {unit})",
            number(crossing.value),
            number(crossing.limit),
            unit = crossing.unit
        )
    });
    let of = match finding.subject {
        Subject::Head(_) => String::new(),
        subject => format!(" of {}", subject.id(network)),
    };
    WhyNot {
        head,
        limit: finding.rule.id,
        needed: crossing.map(|crossing| crossing.value),
        there: crossing.map(|crossing| crossing.limit),
        unit: crossing.map_or("", |crossing| crossing.unit),
        heads: Vec::new(),
        limits: Vec::new(),
        text: format!(
            "{id} fits nowhere beside the others; nearest is {socket}, where {}{of} stands in the way: {}{numbers}",
            finding.rule.id, finding.text
        ),
        remedy: finding.remedy.clone(),
    }
}

fn no_socket(network: &Network, head: HeadAt, usable: usize) -> WhyNot {
    let id = network.head_id(head);
    let word = &network.region.words.socket;
    let (limit, text) = if usable == 0 {
        ("socket-untested", format!("no {word} was tested and found well, so {id} has none to go to"))
    } else {
        (
            "socket-full",
            format!(
                "{id} alone would fit, and not together with the others: what they share is told by no single sum"
            ),
        )
    };
    WhyNot {
        head,
        limit,
        needed: None,
        there: None,
        unit: "",
        heads: Vec::new(),
        limits: Vec::new(),
        text,
        remedy: format!("test more of them, or leave {id} out of the setup"),
    }
}

/// Finds limits that every placement of the head, or of a set with it, breaks; the reason is put right by them.
fn prove(
    network: &Network,
    best: &Attempt,
    dark: (Option<SetupAt>, HeadAt),
    wishes: Wishes,
    why: &mut WhyNot,
    go_on: &mut dyn FnMut(&Progress) -> bool,
) {
    let built = &best.built;
    let is_it = |spot: &Spot| (spot.own, spot.head) == dark;
    let Some(item) = built.spots.iter().position(is_it) else { return };
    // What holds back more than the law does proves nothing.
    let problem = built.looser().unwrap_or_else(|| built.problem.clone());
    let (rules, groups) = by_rule(built);
    let effort = Effort { rounds: 0, nodes: wishes.effort.nodes / 20, prover: None };
    let Some(found) = conflict(&problem, &best.chosen, item, &groups, effort, go_on) else { return };
    let mut limits: Vec<&'static str> = found.groups.iter().map(|group| rules[*group]).collect();
    if found.items.len() == 1 {
        // Places that do not take it even with all others away are no choice of the problem's.
        let alone = emptied(network, &built.spots, |_| true);
        let mut places = closest(&alone.network, &alone.assessment, dark.0, dark.1, wishes);
        if places.fits && limits.is_empty() {
            return;
        }
        // Without any socket, the reason is that.
        let is_nowhere = places.rules.is_empty() && !places.fits;
        limits.extend(is_nowhere.then_some(why.limit));
        places.rules.retain(|place| !limits.iter().any(|limit| place.contains(limit)));
        limits.extend(covering(&places.rules, why.limit));
    }
    why.limits = limits;
    why.heads = found.items.iter().map(|at| built.spots[*at].head).collect();
    if !why.limits.contains(&why.limit)
        && let Some(first) = why.limits.first()
    {
        (why.limit, why.needed, why.there, why.unit) = (*first, None, None, "");
    }
    let named = |rules: &[&str]| rules.join(" or ");
    if why.heads.len() > 1 && !why.limits.is_empty() {
        let all: Vec<&str> = why.heads.iter().map(|head| network.head_id(*head).as_str()).collect();
        let all = format!("{} and {}", all[..all.len() - 1].join(", "), all[all.len() - 1]);
        why.text = format!(
            "{}. Proven: on what takes each of them alone, every way to light {all} breaks {}",
            why.text,
            named(&why.limits)
        );
    } else if !why.limits.is_empty() {
        why.text = format!("{}. Proven: every place for it breaks {}", why.text, named(&why.limits));
    }
}

/// The rules of a problem, and the limits that belong to each.
fn by_rule(built: &Built) -> (Vec<&'static str>, Vec<Vec<Limit>>) {
    let mut groups: BTreeMap<&'static str, Vec<Limit>> = BTreeMap::new();
    for limit in Limit::all_of(&built.problem) {
        let rule = match limit {
            Limit::Row(row) => built.rules[row],
            Limit::Device(_) => "rcd-trips",
            Limit::Neighbours(_) => "two-sources",
            Limit::Excluded(at) => built.learned[at],
        };
        groups.entry(rule).or_default().push(limit);
    }
    groups.into_iter().unzip()
}

/// Few rules, one of which stands at every place; `first` if it alone does.
fn covering(places: &[BTreeSet<&'static str>], first: &'static str) -> Vec<&'static str> {
    let mut left: Vec<&BTreeSet<&'static str>> = places.iter().collect();
    let mut rules = Vec::new();
    while let Some(any) = left.first() {
        let count = |rule: &str| left.iter().filter(|place| place.contains(rule)).count();
        let all: BTreeSet<&'static str> = left.iter().flat_map(|place| place.iter().copied()).collect();
        let most = all.into_iter().max_by_key(|rule| (count(rule), *rule == first));
        let Some(rule) = most.or_else(|| any.first().copied()) else { break };
        rules.push(rule);
        left.retain(|place| !place.contains(rule));
    }
    rules
}

/// The first small change with which the head finds a place, tried by solving again.
fn change(
    network: &Network,
    assignment: &Assignment,
    head: HeadAt,
    wishes: Wishes,
    go_on: &mut dyn FnMut(&Progress) -> bool,
) -> Option<String> {
    let dark = assignment.objective.dark_importance;
    let lighter = super::Wishes {
        effort: super::Effort {
            rounds: wishes.effort.rounds / 10,
            nodes: wishes.effort.nodes / 20,
            prover: None,
        },
        ..wishes
    };
    let mut helps = |plan: crate::plan::Plan| {
        let tried = placed(&Network::of(Arc::new(plan)), lighter, &mut |_, now| go_on(now));
        tried.objective.dark_importance < dark && !tried.unplaced.iter().any(|(_, other)| *other == head)
    };
    for (circuit, name, switched_off) in switch_offs(network).into_iter().take(TRIES) {
        if helps(switched_off) {
            return Some(format!(
                "ask the owner to switch {circuit}'s {name} off for it: then {} finds a place",
                network.head_id(head)
            ));
        }
    }
    for (cable, longer) in more_leads(network).into_iter().take(TRIES) {
        if helps(longer) {
            return Some(format!(
                "one more lead {cable} on the truck: then {} finds a place",
                network.head_id(head)
            ));
        }
    }
    None
}

/// The plan with each base load off that its owner can switch off.
pub(super) fn switch_offs(network: &Network) -> Vec<(String, String, crate::plan::Plan)> {
    let mut plans = Vec::new();
    for (id, circuit) in &network.plan.circuits {
        for base in circuit.base.iter().filter(|base| base.owner_can_switch_off) {
            let Some(name) = &base.name else { continue };
            let off = crate::plan::BaseLoadRef { circuit: id.clone(), name: name.clone() };
            let mut plan = crate::plan::Plan::clone(&network.plan);
            let mut is_new = false;
            for (_, setup) in &mut plan.setups {
                if !setup.base_off.contains(&off) {
                    setup.base_off.push(off.clone());
                    is_new = true;
                }
            }
            if is_new {
                plans.push((id.to_string(), name.clone(), plan));
            }
        }
    }
    plans
}

/// The plan with one more lead of each type that is counted.
fn more_leads(network: &Network) -> Vec<(String, crate::plan::Plan)> {
    let counted = network.plan.cables.iter().filter(|(_, cable)| cable.count.is_some());
    let with_more = |(id, _): (&crate::id::CableId, &crate::plan::Cable)| {
        let mut plan = crate::plan::Plan::clone(&network.plan);
        if let Some(cable) = plan.cables.get_mut(id.as_str()) {
            cable.count = cable.count.map(|count| count + 1);
        }
        (id.to_string(), plan)
    };
    counted.map(with_more).collect()
}
