//! The key that asks why a head does not go on a socket, or on any: what is needed and what is there.

use ampwalk_core::assess::{Consequence, Finding, Outlook, Subject};
use ampwalk_core::network::{At, Network, SetupAt, SocketAt};
use ampwalk_core::rule::words::{list, pair};

use super::program::open;
use crate::effect::Effect;
use crate::layer::{Layer, Page};
use crate::model::Model;
use crate::plot::{Focus, Held, is_legal};
use crate::text::{capital, count};
use crate::words;

pub(super) fn why_not(model: &mut Model, effects: &mut Vec<Effect>) {
    let Some(page) = page(model) else {
        model.refuse("There is no head and no socket under the cursor");
        effects.push(Effect::Bell);
        return;
    };
    open(model, Layer::WhyNot(page));
}

fn page(model: &Model) -> Option<Page> {
    let network = model.document.network();
    let setup = model.setup?;
    let node = &network.setups[setup];
    let (mut held, socket) = match (&model.plot.held, model.plot.focus) {
        (Some(held), _) => {
            let socket = held.target()?;
            (held.clone(), Some(socket))
        }
        (None, focus) => {
            let socket = model.plot.socket.filter(|_| focus == Focus::Sockets);
            let Some(head) = model.plot.head.filter(|head| node.is_on[*head]) else {
                return socket.map(|socket| Page {
                    title: network.socket_id(socket).to_string(),
                    paragraphs: as_it_is(model, setup, socket),
                    scroll: 0,
                });
            };
            let carried = Held::pick_up(network, model.document.assessment(), setup, head);
            (carried, socket.or(node.placed[head].as_ref().map(|placed| placed.socket)))
        }
    };
    Some(match socket {
        Some(socket) => {
            held.look_at(network, vec![socket]);
            here(model, setup, &held, socket)
        }
        None => nowhere(network, &held),
    })
}

/// Why a head does not go on one socket.
fn here(model: &Model, setup: SetupAt, held: &Held, socket: SocketAt) -> Page {
    let network = model.document.network();
    let is_there = held.from == Some(socket);
    let title = format!("{} on {}", network.head_id(held.head), network.socket_id(socket));
    let mut paragraphs = Vec::new();
    if let Some(there) = held.at(socket) {
        let as_now = if is_there { ", as it is" } else { "" };
        paragraphs.push(format!("{title}{as_now}: {}", there.words));
        paragraphs.extend(there.findings.iter().map(|finding| paragraph(network, finding)));
        if there.findings.is_empty() {
            paragraphs.push("Nothing speaks against it by the numbers of this plan.".to_owned());
        }
    }
    if !is_there {
        paragraphs.push(format!(
            "{} as it is, without {}:",
            network.socket_id(socket),
            network.head_id(held.head)
        ));
        paragraphs.extend(as_it_is(model, setup, socket));
    }
    Page { title, paragraphs, scroll: 0 }
}

/// What is found at a socket now, and whether it is not to be used.
fn as_it_is(model: &Model, setup: SetupAt, socket: SocketAt) -> Vec<String> {
    let network = model.document.network();
    let findings = model.document.assessment().findings_in(setup);
    let at_it = findings.filter(|finding| finding.subject == Subject::Socket(socket));
    let mut paragraphs: Vec<String> = at_it.map(|finding| paragraph(network, finding)).collect();
    if paragraphs.is_empty() {
        paragraphs.push("Nothing is found at it in this setup.".to_owned());
    }
    let plan = network.plan.sockets.get_index(socket.get());
    if let Some(ban) = plan.and_then(|(_, socket)| socket.ban.as_ref()) {
        paragraphs.push(format!("Not to be used: {ban}."));
    }
    paragraphs
}

/// Why a head that is not placed goes on no socket, or on which it does.
fn nowhere(network: &Network, held: &Held) -> Page {
    let id = network.head_id(held.head);
    let word = &network.region.words.socket;
    let title = format!("{id} is not placed");
    let all = held.everywhere(network);
    let fits: Vec<&Consequence> = all.iter().filter(|there| is_legal(there.outlook)).collect();
    let mut paragraphs = Vec::new();
    if fits.is_empty() {
        paragraphs.push(format!(
            "{id} goes on none of {}, each tried with all the others as they are.",
            count(all.len(), word)
        ));
    } else {
        let fit = fits.iter().filter(|there| there.outlook == Outlook::Fits).count();
        paragraphs.push(format!(
            "{id} goes on {} of {}, nearest first: {}. {fit} without a risk. enter picks it up, a puts on all \
             that are left.",
            fits.len(),
            count(all.len(), word),
            named(network, &fits)
        ));
    }
    paragraphs.extend(reasons(network, &all));
    if let Some(nearest) = all.first().filter(|_| fits.is_empty()) {
        paragraphs.push(format!(
            "Nearest to fitting is {}: {}",
            network.socket_id(nearest.socket),
            nearest.words
        ));
        paragraphs.extend(nearest.findings.iter().map(|finding| paragraph(network, finding)));
        paragraphs.push("a puts on what finds a place, and says what change would make room.".to_owned());
    }
    Page { title, paragraphs, scroll: 0 }
}

fn named(network: &Network, there: &[&Consequence]) -> String {
    list(there.iter().map(|there| network.socket_id(there.socket)))
}

/// The sockets that do not go, by what stands in the way, with the numbers of the nearest.
fn reasons(network: &Network, ranked: &[Consequence]) -> Vec<String> {
    let mut groups: Vec<(&Finding, Vec<&Consequence>)> = Vec::new();
    for there in ranked.iter().filter(|there| !is_legal(there.outlook)) {
        let Some(worst) = there.findings.iter().max_by_key(|finding| finding.severity) else { continue };
        match groups.iter_mut().find(|(own, _)| own.rule.id == worst.rule.id) {
            Some((_, sockets)) => sockets.push(there),
            None => groups.push((worst, vec![there])),
        }
    }
    let told = |(worst, there): &(&Finding, Vec<&Consequence>)| {
        let text = format!("not  on {}. {}.{}", named(network, there), capital(&worst.text), numbers(worst));
        words::told(network, &text)
    };
    groups.iter().map(told).collect()
}

/// What is needed and what is there, where both are numbers.
fn numbers(finding: &Finding) -> String {
    finding.crossing.map_or_else(String::new, |crossing| {
        let (needed, there) = pair(crossing.value, crossing.limit);
        let unit = crossing.unit;
        format!(" Needed {needed} {unit}, there {there} {unit}.")
    })
}

/// A finding with what is needed, what is there, and what to do.
fn paragraph(network: &Network, finding: &Finding) -> String {
    let word = words::verdict(finding.severity.into());
    let told = format!("{word}  {}.{} {}.", finding.text, numbers(finding), capital(&finding.remedy));
    words::told(network, &told)
}
