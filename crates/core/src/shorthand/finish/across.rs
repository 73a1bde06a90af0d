//! What the circuits and RCDs around an entry say against it: lines that nothing brings, loops.

use crate::edit::{Table, Value};
use crate::id::{CircuitId, RcdId};
use crate::plan::{BaseLoadRef, Circuit, Wiring};
use crate::shorthand::{Context, Subject, shown};

/// Most circuits that one sentence names.
const MOST_NAMED: usize = 6;

pub(super) fn text<'v>(result: &'v [(&'static str, Value)], name: &str) -> Option<&'v str> {
    match result.iter().find(|(key, _)| *key == name) {
        Some((_, Value::Text(text))) => Some(text),
        _ => None,
    }
}

/// Conductors of a line's word, as numbers from 1.
fn conductors(line: &str) -> Vec<char> {
    line.chars().filter(char::is_ascii_digit).collect()
}

/// The lines that reach a circuit: those of its supply, or of the circuit that feeds its socket.
pub(super) fn lines_of(context: &Context<'_>, result: &[(&'static str, Value)]) -> Option<Vec<char>> {
    let wiring = |supply: &str| {
        let supply = context.plan.supplies.get(supply)?;
        Some(match supply.wiring.unwrap_or_default() {
            Wiring::One => vec!['1'],
            Wiring::Split => vec!['1', '2'],
            Wiring::Star => vec!['1', '2', '3'],
        })
    };
    if let Some(supply) = text(result, "supply") {
        return wiring(supply);
    }
    let mut feeder = context.plan.sockets.get(text(result, "from")?)?.circuit.as_ref();
    for _ in 0..=context.plan.circuits.len() {
        let circuit = context.plan.circuits.get(feeder?)?;
        if let Some(line) = circuit.line {
            return Some(conductors(&line.to_string()));
        }
        if let Some(supply) = &circuit.supply {
            return wiring(supply.as_str()).filter(|lines| lines.len() == 1);
        }
        feeder = context.plan.sockets.get(circuit.from.as_ref()?)?.circuit.as_ref();
    }
    None
}

/// Circuits whose line is not brought any more by what feeds them, or that have to say theirs from now on.
pub(super) fn circuits_left_behind(
    context: &Context<'_>,
    result: &[(&'static str, Value)],
) -> Option<String> {
    let id = context.existing?;
    let plan = context.plan;
    let lines = match context.subject {
        Subject::Entry(Table::Supply) => match text(result, "wiring") {
            Some("split") => vec!['1', '2'],
            Some("star") => vec!['1', '2', '3'],
            _ => vec!['1'],
        },
        Subject::Entry(Table::Circuit) => match text(result, "line") {
            Some(line) => conductors(line),
            None => lines_of(context, result)?,
        },
        Subject::Entry(Table::Socket) => {
            conductors(&plan.circuits.get(text(result, "circuit")?)?.line?.to_string())
        }
        _ => return None,
    };
    let is_fed = |circuit: &Circuit| {
        let socket = circuit.from.as_ref().filter(|_| circuit.supply.is_none());
        match context.subject {
            Subject::Entry(Table::Supply) => {
                circuit.supply.as_ref().is_some_and(|supply| supply.as_str() == id)
            }
            Subject::Entry(Table::Socket) => socket.is_some_and(|socket| socket.as_str() == id),
            _ => {
                let feeder = socket.and_then(|socket| plan.sockets.get(socket)?.circuit.as_ref());
                feeder.is_some_and(|feeder| feeder.as_str() == id)
            }
        }
    };
    let is_right = |circuit: &Circuit| match circuit.line {
        Some(line) => conductors(&line.to_string()).iter().all(|one| lines.contains(one)),
        None => lines.len() == 1,
    };
    let circuits = plan.circuits.iter().filter(|(_, circuit)| is_fed(circuit) && !is_right(circuit));
    let names: Vec<&str> = circuits.map(|(id, _)| id.as_str()).take(MOST_NAMED).collect();
    (!names.is_empty()).then(|| format!("then say the line of {} as well", names.join(", ")))
}

pub(super) fn across_circuits(
    context: &Context<'_>,
    id: Option<&str>,
    result: &[(&'static str, Value)],
) -> Vec<(&'static str, String)> {
    let mut found = Vec::new();
    let lines = lines_of(context, result);
    if let (Some(line), Some(lines)) = (text(result, "line"), lines)
        && !conductors(line).iter().all(|one| lines.contains(one))
    {
        let there: Vec<String> = lines.iter().map(|line| format!("L{line}")).collect();
        let why = format!("{line} does not reach it: there is {}", there.join(", "));
        found.extend(["line", "supply", "from"].map(|key| (key, why.clone())));
    }
    if text(result, "neutral_with").is_some_and(|other| Some(other) == id) {
        found.push(("neutral_with", "it cannot share its neutral with itself".to_owned()));
    }
    let mut socket = text(result, "from").filter(|_| text(result, "supply").is_none());
    for _ in 0..=context.plan.circuits.len() {
        let feeder = socket.and_then(|socket| context.plan.sockets.get(socket)?.circuit.as_ref());
        if feeder.map(CircuitId::as_str).is_some_and(|feeder| Some(feeder) == id) {
            found.push(("from", "it would feed itself".to_owned()));
            break;
        }
        let next =
            feeder.and_then(|feeder| context.plan.circuits.get(feeder)).filter(|next| next.supply.is_none());
        socket = next.and_then(|next| next.from.as_ref()).map(crate::id::SocketId::as_str);
        if socket.is_none() {
            break;
        }
    }
    found.extend(id.and_then(|id| lost_base_load(context, id, result)).map(|why| ("base", why)));
    found
}

/// Why the base loads may not be those of `result`: one that goes is named elsewhere.
fn lost_base_load(context: &Context<'_>, id: &str, result: &[(&'static str, Value)]) -> Option<String> {
    let plan = context.plan;
    let stay =
        crate::edit::base_load_names(result.iter().find(|(key, _)| *key == "base").map(|(_, list)| list));
    let before = plan.circuits.get(id)?.base.iter().filter_map(|load| load.name.as_deref());
    before.filter(|name| !stay.contains(name)).find_map(|name| {
        let is_it = |load: &BaseLoadRef| load.circuit.as_str() == id && load.name == name;
        let of_ramps =
            plan.sockets.iter().filter(|(_, one)| one.ramps.iter().any(|ramp| ramp.off.iter().any(is_it)));
        let of_setups = plan.setups.iter().filter(|(_, one)| one.base_off.iter().any(is_it));
        let user = of_ramps
            .map(|(id, _)| format!("a ramp test of {id}"))
            .chain(of_setups.map(|(id, _)| format!("setup {id}")))
            .next()?;
        Some(format!("base load {} would go, and {user} names it: take it out there first", shown(name)))
    })
}

pub(super) fn across_rcds(
    context: &Context<'_>,
    id: Option<&str>,
    result: &[(&'static str, Value)],
) -> Vec<(&'static str, String)> {
    let mut at = text(result, "behind");
    for _ in 0..=context.plan.rcds.len() {
        let Some(above) = at else {
            return Vec::new();
        };
        if Some(above) == id {
            return vec![("behind", "it would stand behind itself".to_owned())];
        }
        at = context.plan.rcds.get(above).and_then(|rcd| rcd.behind.as_ref()).map(RcdId::as_str);
    }
    Vec::new()
}
