//! The lines of a patch, one a head.

use ampwalk_core::diagnose::lead_ids;
use ampwalk_core::network::{HeadAt, Network, PlacedHead, SocketAt};

use crate::frame::{Source, setup_name, verdict};
use crate::names;

/// The texts of the codes of a patch, with a line for each of `heads` in their order.
pub(crate) fn patch(source: Source<'_>, heads: impl Iterator<Item = HeadAt>) -> Vec<String> {
    let network = source.network;
    let place = network.plan.location.name.as_deref().unwrap_or("patch");
    let name = format!("{place}, {}", setup_name(source));
    let words = &network.region.words;
    let mut lines = vec![format!("verdict {}", verdict(source))];
    lines.extend(heads.map(|head| line(source, head)));
    lines.push(format!(
        "head > {}, circuit, {}, leads, #strike no.; - none, / or, + and, ? perhaps",
        words.socket, words.rcd
    ));
    lines.push(format!(
        "Planned, not certified. Local codes and a licensed electrician decide. No covers off the {}, no \
         tie-in, no lifted {}.",
        words.board, words.earth
    ));
    super::split(&name, &lines)
}

/// `H1 > G7 P4 RA c20 #1`.
fn line(source: Source<'_>, head: HeadAt) -> String {
    let network = source.network;
    let id = network.head_id(head);
    let placed = network.setups[source.setup].placed[head].as_ref();
    let strike = match source.used.heads[head].as_ref() {
        None => "off".to_owned(),
        Some(used) => used.strike.map_or_else(|| "#-".to_owned(), |place| format!("#{place}")),
    };
    match placed {
        None => format!("{id} > NOT PLACED {strike}"),
        Some(placed) => format!("{id} > {} {strike}", way(network, placed)),
    }
}

fn way(network: &Network, placed: &PlacedHead) -> String {
    let socket = placed.socket;
    let leads = lead_ids(network, &placed.links).join("+");
    let [circuits, rcds, leads] =
        [circuits(network, socket), names::rcd_names(network, socket).join("+"), leads]
            .map(|text| if text.is_empty() { "-".to_owned() } else { text });
    format!("{} {circuits} {rcds} {leads}", network.socket_id(socket))
}

/// `P1`, or `P1/P2?` where nobody traced it.
fn circuits(network: &Network, socket: SocketAt) -> String {
    let reach = network.reach_of(socket);
    let ids: Vec<&str> = reach.candidates.iter().map(|at| network.circuit_id(*at).as_str()).collect();
    let is_certain = ids.is_empty() || network.sockets[socket].circuit.is_some();
    format!("{}{}", ids.join("/"), if is_certain { "" } else { "?" })
}
