//! What stands in the way of house power, with the number that is needed and the one that is there.

use crate::assess::{Finding, Subject};
use crate::network::{HeadAt, Network, SetupAt, SocketAt};
use crate::order::Order as _;
use crate::rule::words::{number, pair};

use super::super::build::{emptied, is_fed_by, may_be_used, named};
use super::super::leads::least_and_most;
use super::super::spot::spots;
use super::super::why::closest;
use super::super::{Sources, Start, Wishes};
use super::electric::{amps, apparent, on_anywhere};
use super::house::{House, caused, is_pinned, off_house};

/// The one reason.
#[derive(Clone, Debug, PartialEq)]
pub struct Reason {
    /// The head that it was found with, where there is one.
    pub head: Option<HeadAt>,
    /// The rule whose limit binds; `pinned` where a head is pinned to what is no house power, `mains` where
    /// the plan has no socket on the mains.
    pub limit: &'static str,
    /// What the limit belongs to.
    pub subject: Subject,
    /// What it would come to.
    pub needed: Option<f64>,
    /// What is there.
    pub there: Option<f64>,
    /// The unit of both; empty where there is no number.
    pub unit: &'static str,
    /// In a sentence.
    pub text: String,
}

/// Heads with which the limit is broken, where all are lit and yet it is.
pub(super) fn in_the_way(network: &Network, why: &Reason) -> Vec<HeadAt> {
    let is_behind = |socket: SocketAt| match why.subject {
        Subject::Socket(at) => socket == at,
        Subject::Circuit(at) => network.reach_of(socket).circuits.iter().any(|part| part.what == at),
        Subject::Rcd(at) => {
            network.sockets[socket].portable == Some(at)
                || network.reach_of(socket).rcds.iter().any(|part| part.what == at)
        }
        _ => true,
    };
    let is_in_it = |head: &HeadAt| match why.subject {
        Subject::Head(at) => *head == at,
        _ => network.setups.iter().any(|(_, setup)| {
            setup.is_on[*head] && setup.placed[*head].as_ref().is_some_and(|placed| is_behind(placed.socket))
        }),
    };
    network.heads.indices().filter(is_in_it).collect()
}

/// Heads that the house leaves dark, what draws most first: unplaced ones, and those pinned elsewhere.
pub(super) fn dark(network: &Network, house: &House) -> Vec<HeadAt> {
    let wishes = Wishes { sources: house.sources, ..Wishes::default() };
    let is_away = |head: HeadAt| {
        let placed = |setup: SetupAt| house.assignment.network.setups[setup].placed[head].as_ref();
        network.setups.indices().filter(|at| network.setups[*at].is_on[head]).any(|setup| {
            placed(setup).is_none_or(|placed| !is_fed_by(network, placed.socket, wishes.sources))
        })
    };
    let mut dark: Vec<HeadAt> = on_anywhere(network).into_iter().filter(|head| is_away(*head)).collect();
    if dark.is_empty() {
        let broken = caused(network, &house.assignment);
        let named = broken.iter().filter_map(|finding| named(finding));
        dark.extend(named.filter(|head| on_anywhere(network).contains(head)));
        dark.dedup();
    }
    if dark.is_empty() {
        dark = on_anywhere(network).into_iter().filter(|head| is_pinned(network, *head)).collect();
    }
    dark.order_by(|a, b| apparent(network, *b).total_cmp(apparent(network, *a)));
    dark
}

/// The one reason, the plainest first: pinned elsewhere; what is pinned breaks a limit; no socket; a head that
/// no socket takes even with all others away; the limit that the largest dark head comes nearest to.
pub(super) fn reason(network: &Network, house: &House) -> Reason {
    if let Some((_, head, socket)) = off_house(network, house.sources) {
        let (head_id, socket) = (network.head_id(head), network.socket_id(socket));
        let text = format!("{head_id} is pinned to {socket}, which the house does not feed");
        return without_number(Some(head), "pinned", Subject::Head(head), text);
    }
    let dark = dark(network, house);
    if house.assignment.unplaced.is_empty()
        && let Some(finding) = caused(network, &house.assignment).first()
    {
        let text = format!("what is pinned breaks a limit already: {}", finding.text);
        return from(dark.first().copied(), finding, &text);
    }
    let Some(largest) = dark.first().copied() else {
        let text = "what is pinned breaks a limit already".to_owned();
        return without_number(None, "pinned", Subject::Location, text);
    };
    let wishes = Wishes { sources: house.sources, ..Wishes::default() };
    if !network.sockets.indices().any(|at| may_be_used(network, at, wishes)) {
        return no_socket(network, largest, house.sources);
    }
    alone(network, &dark, wishes).unwrap_or_else(|| beside(network, house, largest, wishes))
}

/// A head that no socket takes even with all others away.
fn alone(network: &Network, dark: &[HeadAt], wishes: Wishes) -> Option<Reason> {
    let alone = emptied(network, &spots(network, Start::AsPlanned), |_| true);
    dark.iter().find_map(|head| {
        let found = closest(&alone.network, &alone.assessment, None, *head, wishes);
        let (socket, finding) = found.closest.filter(|_| !found.fits)?;
        let told =
            too_far(network, *head, &finding, wishes).or_else(|| too_much(network, *head, &finding, wishes));
        if told.is_some() {
            return told;
        }
        let text = format!(
            "no {} of the house takes {} ({}); the nearest to it is {}: {}",
            network.region.words.socket,
            network.head_id(*head),
            size(network, *head),
            network.socket_id(socket),
            finding.text
        );
        Some(from(Some(*head), &finding, &text))
    })
}

/// Where no lead of the truck reaches: how far it is, and how far they go.
fn too_far(network: &Network, head: HeadAt, finding: &Finding, wishes: Wishes) -> Option<Reason> {
    if finding.rule.id != "cable-short" {
        return None;
    }
    let usable = network.sockets.indices().filter(|at| may_be_used(network, *at, wishes));
    let (least, most) = least_and_most(network, usable, head)?;
    let (needed, there) = pair(least.0, most.0);
    let text = format!(
        "{} stands {needed} m of lead from the nearest {} of the house, and the truck's leads go {there} m",
        network.head_id(head),
        network.region.words.socket
    );
    least.is_over(most).then(|| Reason {
        needed: Some(least.0),
        there: Some(most.0),
        unit: "m",
        ..without_number(Some(head), finding.rule.id, finding.subject, text)
    })
}

/// Where no outlet of the house carries what a head draws, whatever its plug: that, and what the largest does.
fn too_much(network: &Network, head: HeadAt, finding: &Finding, wishes: Wishes) -> Option<Reason> {
    if finding.rule.id != "outlet-over" || finding.crossing.is_some() {
        return None;
    }
    let is_banned = |at: &SocketAt| {
        network.plan.sockets.get(network.socket_id(*at).as_str()).is_some_and(|socket| socket.ban.is_some())
    };
    let usable = network.sockets.indices().filter(|at| may_be_used(network, *at, wishes) && !is_banned(at));
    let rated = usable.filter_map(|at| Some((at, network.sockets[at].outlet.value?.amps)));
    let (socket, most) = rated.max_by(|a, b| a.1.total_cmp(b.1))?;
    let draws = amps(network, head);
    let (needed, there) = pair(draws.0, most.0);
    let text = format!(
        "{} draws {needed} A, and no outlet that the house offers carries more than {there} A",
        network.head_id(head)
    );
    draws.is_over(most).then(|| Reason {
        needed: Some(draws.0),
        there: Some(most.0),
        unit: "A",
        ..without_number(Some(head), finding.rule.id, Subject::Socket(socket), text)
    })
}

/// The limit that a head comes nearest to beside the others as they are placed.
fn beside(network: &Network, house: &House, head: HeadAt, wishes: Wishes) -> Reason {
    let placed = &house.assignment;
    let own = placed.unplaced.iter().find(|(_, dark)| *dark == head).and_then(|(own, _)| *own);
    let found = closest(&placed.network, &placed.assessment, own, head, wishes);
    let id = network.head_id(head);
    if let Some((socket, finding)) = found.closest.filter(|_| !found.fits) {
        let text = format!(
            "{id} ({}) fits nowhere beside the others; the nearest to it is {}: {}",
            size(network, head),
            network.socket_id(socket),
            finding.text
        );
        return from(Some(head), &finding, &text);
    }
    let text = format!(
        "{id} alone would fit, and not together with the others: what they share is told by no single sum"
    );
    without_number(Some(head), "head-unplaced", Subject::Head(head), text)
}

/// Kilovolt-amps of a head, for a reader.
fn size(network: &Network, head: HeadAt) -> String {
    format!("{} kVA", number(apparent(network, head).0))
}

fn no_socket(network: &Network, head: HeadAt, sources: Sources) -> Reason {
    let word = &network.region.words.socket;
    let has_any = network.sockets.indices().any(|at| is_fed_by(network, at, sources));
    let (limit, text) = if has_any {
        ("socket-untested", format!("no {word} of the house was tested and found well"))
    } else {
        ("mains", format!("the plan has no {word} on the mains"))
    };
    without_number(Some(head), limit, Subject::Location, text)
}

const fn without_number(head: Option<HeadAt>, limit: &'static str, subject: Subject, text: String) -> Reason {
    Reason { head, limit, subject, needed: None, there: None, unit: "", text }
}

fn from(head: Option<HeadAt>, finding: &Finding, text: &str) -> Reason {
    let crossing = finding.crossing;
    let numbers = crossing.map_or(String::new(), |crossing| {
        let (needed, there) = pair(crossing.value, crossing.limit);
        format!(" (needed {needed} {unit}, there {there} {unit})", unit = crossing.unit)
    });
    Reason {
        head,
        limit: finding.rule.id,
        subject: finding.subject,
        needed: crossing.map(|crossing| crossing.value),
        there: crossing.map(|crossing| crossing.limit),
        unit: crossing.map_or("", |crossing| crossing.unit),
        text: format!("{text}{numbers}"),
    }
}
