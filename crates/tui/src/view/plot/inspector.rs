//! What is under the cursor, in full: on screens where the findings have a pane of their own.

use ampwalk_core::network::{At, CircuitAt, HeadAt, Known, Network, SetupAt, SocketAt};
use ampwalk_core::plan::{TestOutcome, word_of};
use ampwalk_core::rule::words::{list, number};
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

use crate::floors::room_name;
use crate::model::Model;
use crate::paint;
use crate::plot::{Focus, heads_at};
use crate::text::{count, wrap};
use crate::theme::Role;
use crate::words;

pub(super) fn draw(model: &Model, area: Rect, buffer: &mut Buffer) {
    let Some(setup) = model.setup else { return };
    let network = model.document.network();
    let lines = match (model.plot.focus, model.plot.head, model.plot.socket) {
        (Focus::Heads, Some(head), _) => head_lines(model, setup, head),
        (Focus::Sockets, _, Some(socket)) => socket_lines(network, setup, socket),
        _ => return,
    };
    let room = usize::from(area.width).saturating_sub(2);
    let wrapped = lines.iter().enumerate().flat_map(|(at, line)| {
        let role = if at == 0 { Role::Heading } else { Role::Text };
        wrap(line, room).into_iter().map(move |line| (line, role))
    });
    for (row, (line, role)) in wrapped.take(usize::from(area.height)).enumerate() {
        let row = u16::try_from(row).unwrap_or(u16::MAX);
        paint::text(area, row, &format!(" {line}"), model.theme.style(role), buffer);
    }
}

fn head_lines(model: &Model, setup: SetupAt, head: HeadAt) -> Vec<String> {
    let network = model.document.network();
    let node = &network.heads[head];
    let mut lines = vec![format!("{}  {}", node.id, words::head_name(network, head))];
    let Some(used) = &model.document.assessment().setups[setup].heads[head] else { return lines };
    lines.push(format!(
        "{}, {} while it runs up · {}",
        words::amps(used.amps),
        words::amps(used.start),
        node.amps_origin().words()
    ));
    let strike = node.strike.value.high;
    let striking =
        if strike.0 > 0.0 { format!(" + {} striking", words::milliamps(strike)) } else { String::new() };
    lines.push(format!(
        "leaks {}{striking} · {}",
        words::milliamps(node.leak.value.high),
        node.leak.origin.words()
    ));
    let place = room_name(network, node.place.room);
    lines.push(format!("stands in {place} · plug {} · importance {}", node.plug_id, node.importance));
    if let Some(socket) = used.socket {
        let lead = words::length(network, used.lead);
        let needed = used
            .lead_needed
            .map_or_else(String::new, |metres| format!(", takes {}", words::length(network, metres)));
        let strike = used.strike.map_or_else(String::new, |number| format!(" · struck as number {number}"));
        lines.push(format!(
            "on {} by {lead} of {}{needed}{strike}",
            network.socket_id(socket),
            network.region.words.lead
        ));
    } else {
        lines.push("not plugged in: enter picks it up".to_owned());
    }
    lines
}

fn socket_lines(network: &Network, setup: SetupAt, socket: SocketAt) -> Vec<String> {
    let node = &network.sockets[socket];
    let plan = network.plan.sockets.get_index(socket.get()).map(|(_, plan)| plan);
    let outlet = node.outlet.value.map_or_else(|| "kind not known".to_owned(), |outlet| outlet.name.clone());
    let ways = count(node.ways.value as usize, "way");
    let mut lines = vec![format!(
        "{}  {} in {}",
        node.id,
        network.region.words.socket,
        room_name(network, node.place.room)
    )];
    lines.push(format!("{outlet}, {ways}{}", assumed(&node.outlet)));
    lines.push(match node.circuit {
        Some(circuit) => circuit_words(network, circuit),
        None => "circuit not traced: counted on every one that it may be on".to_owned(),
    });
    let test = word_of(&TestOutcome::WORDS, &node.test);
    let label = plan.and_then(|plan| plan.label.clone());
    let label =
        label.map_or_else(|| "nothing on the wall".to_owned(), |label| format!("the wall says {label}"));
    lines.push(format!("tested: {test} · {label}"));
    let heads: Vec<_> = heads_at(network, setup, socket).map(|head| network.head_id(head)).collect();
    lines.push(if heads.is_empty() {
        "free in this setup".to_owned()
    } else {
        format!("on it: {}", list(heads))
    });
    if let Some(ban) = plan.and_then(|plan| plan.ban.as_ref()) {
        lines.push(format!("NOT TO BE USED: {ban}"));
    }
    lines
}

fn circuit_words(network: &Network, circuit: CircuitAt) -> String {
    let node = &network.circuits[circuit];
    let rcds = node.rcds.iter().map(|rcd| network.rcd_id(*rcd));
    let rcd = &network.region.words.rcd;
    let behind =
        if node.rcds.is_empty() { format!("no {rcd} known") } else { format!("{rcd} {}", list(rcds)) };
    let breaker = number(node.breaker.value.0);
    format!("circuit {}, {breaker} A{} · {behind}", node.id, assumed(&node.breaker))
}

fn assumed<T>(known: &Known<T>) -> &'static str {
    if known.origin.is_assumed() { ", assumed" } else { "" }
}
