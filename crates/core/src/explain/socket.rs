//! What a socket carries.

use crate::assess::SetupUse;
use crate::network::{Network, SocketAt};
use crate::rule::fit::{outlet_rating, trunk_rating};
use crate::rule::words::list;

use super::{Explanation, Term, digits};

/// Amps of a socket, plug by plug, against its outlet and its plate.
pub(super) fn amps(network: &Network, used: &SetupUse, socket: SocketAt) -> Option<Explanation> {
    let (node, here) = (network.sockets.get(socket)?, used.sockets.get(socket)?);
    let outlet = outlet_rating(network, socket);
    let mut terms = Vec::new();
    // A plug of heads that are off takes a way and no amps.
    let lit = || here.plugs.iter().filter(|plug| !plug.heads.is_empty());
    for plug in lit() {
        let names = list(plug.heads.iter().map(|head| &network.heads[*head].id));
        let name = match plug.block {
            Some(block) => format!("block {}: {names}", network.blocks[block].id),
            None => names,
        };
        let origin = if network.any_amps_assumed(&plug.heads) { "summed, assumed" } else { "summed" };
        terms.push(Term::new(name, format!("{} A", digits(plug.amps.0)), origin));
        if let Some(least) = plug.block.and_then(|_| trunk_rating(network, Some(socket), &plug.trunk)) {
            let origin = if least.assumed { "usual here, assumed" } else { "from the plan" };
            terms.push(Term::new(
                format!("{} carries", least.words(network)),
                format!("{} A", digits(least.amps.0)),
                origin,
            ));
        }
    }
    if !here.fed.is_empty() {
        let names = list(here.fed.iter().map(|head| &network.heads[*head].id));
        terms.push(Term::new(
            format!("distribution box: {names}"),
            format!("{} A", digits(here.feed.0)),
            "its busiest line",
        ));
    }
    if let Some(outlet) = &outlet {
        let origin = if outlet.assumed { "usual here, assumed" } else { "from the plan" };
        terms.push(Term::new("each outlet carries", format!("{} A", digits(outlet.amps.0)), origin));
    }
    let plate = &network.plates[node.plate];
    let on_plate = plate.sockets.iter().map(|at| used.sockets[*at].amps.0).sum::<f64>();
    let against = plate.limit.map(|limit| {
        terms.push(Term::new(
            "its plate carries in all",
            format!("{} A", digits(limit.value.0)),
            limit.origin.words(),
        ));
        format!("; its plate {} A of {} A", digits(on_plate), digits(limit.value.0))
    });
    let sum: Vec<String> = lit().map(|plug| digits(plug.amps.0)).collect();
    let feed = (!here.fed.is_empty()).then(|| digits(here.feed.0));
    let parts: Vec<String> = sum.into_iter().chain(feed).collect();
    Some(Explanation {
        title: format!("{}: {} A", node.id, digits(here.amps.0)),
        formula: "running amps of what is plugged in".to_owned(),
        worked: format!(
            "{} = {} A; each plug against its outlet{}",
            if parts.is_empty() { "nothing".to_owned() } else { parts.join(" + ") },
            digits(here.amps.0),
            against.unwrap_or_default()
        ),
        terms,
        source: "outlet and plate: their standards, from memory where the library says so".to_owned(),
        caution: "A plug that is warm to the hand carries too much, whatever the numbers say.".to_owned(),
        ..Explanation::default()
    })
}
