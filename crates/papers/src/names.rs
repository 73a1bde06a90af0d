//! Names in the order in which people look for them, and the names of what lies around a socket.

use std::cmp::Ordering;

use ampwalk_core::network::{At, CircuitAt, HeadAt, Network, Place, RcdAt, SocketAt};
use ampwalk_core::order::Order as _;
use ampwalk_core::plan::Line;

/// Circuits or RCDs that a cell names; of more it says how many.
const MOST: usize = 6;

/// Names with numbers in them, by number: `H2` before `H10`.
pub(crate) fn by_number(a: &str, b: &str) -> Ordering {
    let (mut left, mut right) = (a, b);
    while !left.is_empty() && !right.is_empty() {
        let ((one, rest_left), (other, rest_right)) = (run(left), run(right));
        let order = match (is_number(one), is_number(other)) {
            (true, true) => {
                let (one, other) = (one.trim_start_matches('0'), other.trim_start_matches('0'));
                one.len().cmp(&other.len()).then(one.cmp(other))
            }
            _ => one.cmp(other),
        };
        if order != Ordering::Equal {
            return order;
        }
        (left, right) = (rest_left, rest_right);
    }
    left.len().cmp(&right.len()).then(a.cmp(b))
}

fn is_number(text: &str) -> bool {
    text.starts_with(|c: char| c.is_ascii_digit())
}

/// The digits, or the letters, that a name begins with, and the rest of it.
fn run(text: &str) -> (&str, &str) {
    let digits = is_number(text);
    let end = text.find(|c: char| c.is_ascii_digit() != digits).unwrap_or(text.len());
    text.split_at(end)
}

/// The heads, by number.
pub(crate) fn heads_by_number(network: &Network) -> Vec<HeadAt> {
    let mut heads: Vec<HeadAt> = network.heads.indices().collect();
    heads.order_by(|a, b| by_number(network.head_id(*a).as_str(), network.head_id(*b).as_str()));
    heads
}

/// The sockets, by number.
pub(crate) fn sockets_by_number(network: &Network) -> Vec<SocketAt> {
    let mut sockets: Vec<SocketAt> = network.sockets.indices().collect();
    sockets.order_by(|a, b| by_number(network.socket_id(*a).as_str(), network.socket_id(*b).as_str()));
    sockets
}

/// The room of a place, by what the crew calls it; `None` where no room is given.
pub(crate) fn room(network: &Network, place: &Place) -> Option<String> {
    let (id, room) = network.plan.rooms.get_index(place.room?)?;
    Some(room.name.clone().unwrap_or_else(|| id.to_string()))
}

/// What the board calls a circuit.
pub(crate) fn board_name(network: &Network, circuit: CircuitAt) -> Option<&str> {
    network.plan.circuits.get_index(circuit.get()).and_then(|(_, circuit)| circuit.name.as_deref())
}

/// The circuit of a socket; all that it may be on where nobody traced it.
pub(crate) fn circuits(network: &Network, socket: SocketAt) -> Option<String> {
    let ids: Vec<&str> =
        network.reach_of(socket).candidates.iter().map(|at| network.circuit_id(*at).as_str()).collect();
    match ids.as_slice() {
        [] => None,
        [only] if network.sockets[socket].circuit.is_some() => Some((*only).to_owned()),
        several if several.len() <= MOST => Some(format!("{}, untraced", several.join(" or "))),
        many => Some(format!("one of {}, untraced: see the survey", many.len())),
    }
}

/// The RCDs before a socket, nearest first, each with whether that is certain: one that sits in it, what
/// stands before that one, then the house's.
pub(crate) fn rcd_chain(network: &Network, socket: SocketAt) -> Vec<(RcdAt, bool)> {
    let mut chain: Vec<(RcdAt, bool)> = Vec::new();
    let own = network.sockets[socket].portable;
    let own = own.into_iter().flat_map(|own| std::iter::once(own).chain(network.rcds[own].upstream.clone()));
    let house = network.reach_of(socket).rcds.iter().map(|part| (part.what, part.certain));
    for (rcd, certain) in own.map(|rcd| (rcd, true)).chain(house) {
        if !chain.iter().any(|(known, _)| *known == rcd) {
            chain.push((rcd, certain));
        }
    }
    chain
}

/// The RCDs before a socket, nearest first; a question mark where one may be before it.
pub(crate) fn rcd_names(network: &Network, socket: SocketAt) -> Vec<String> {
    rcd_chain(network, socket)
        .into_iter()
        .map(|(rcd, certain)| format!("{}{}", network.rcd_id(rcd), if certain { "" } else { "?" }))
        .collect()
}

/// The same in one text; `None` where there is none. Of many that may be before it, it says how many.
pub(crate) fn rcds(network: &Network, socket: SocketAt) -> Option<String> {
    let (certain, possible): (Vec<_>, Vec<_>) =
        rcd_chain(network, socket).into_iter().partition(|(_, certain)| *certain);
    let many = possible.len();
    let mut names = rcd_names(network, socket);
    if many > MOST {
        names = certain.iter().map(|(rcd, _)| network.rcd_id(*rcd).to_string()).collect();
        names.push(format!("one of {many}?"));
    }
    (!names.is_empty()).then(|| names.join(" "))
}

/// The line or lines of a socket, all that it may be on where nobody traced it.
pub(crate) fn lines(network: &Network, socket: SocketAt) -> Option<String> {
    let mut lines: Vec<Line> = Vec::new();
    for part in &network.reach_of(socket).supplies {
        if !lines.contains(&part.what.1) {
            lines.push(part.what.1);
        }
    }
    let names: Vec<String> = lines.iter().map(ToString::to_string).collect();
    (!names.is_empty()).then(|| names.join(" or "))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_come_by_their_numbers() {
        let mut names = ["H10", "H2", "B", "H2a", "10", "9", "H02", "", "\u{e4}1"];
        names.sort_by(|a, b| by_number(a, b));
        assert_eq!(names, ["", "9", "10", "B", "H02", "H2", "H2a", "H10", "\u{e4}1"]);
    }
}
