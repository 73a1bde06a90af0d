//! Words that several views use for the same thing.

use ampwalk_core::assess::{CircuitUse, RcdRoom, RcdUse};
use ampwalk_core::network::{At, CircuitAt, HeadAt, Network, Place, SetupAt};
use ampwalk_core::physics::residual::{Outcome, Room, odds, outcome};
use ampwalk_core::rule::Severity;
use ampwalk_core::rule::words::{self, list, number};
use ampwalk_core::unit::{Amps, MilliAmps};
use ratatui::text::{Line, Span};

use crate::theme::{Role, Theme};
use crate::widget::text::{visible, wrap};

/// Share of a rating above which a circuit is tight (common practice, no source).
const TIGHT: f64 = 0.8;

/// A state in words, and the role that repeats it.
pub(super) type State = (String, Role);

pub(super) const fn role(severity: Severity) -> Role {
    match severity {
        Severity::Note => Role::Note,
        Severity::Risk => Role::Risk,
        Severity::Dark => Role::Dark,
        Severity::Danger => Role::Danger,
    }
}

pub(super) fn amps(amps: Amps) -> String {
    format!("{} A", number(amps.0))
}

pub(super) fn milliamps(leakage: MilliAmps) -> String {
    format!("{} mA", number(leakage.0))
}

/// `10 to 15 mA`
pub(super) fn room(room: Room) -> String {
    match room.high {
        Some(high) if high != room.low => format!("{} to {}", number(room.low.0), milliamps(high)),
        _ => milliamps(room.low),
    }
}

/// What a leakage does to an RCD.
pub(super) fn drops(peak: MilliAmps, of: Room) -> State {
    match outcome(peak, of) {
        Outcome::Trips => ("DROPS".to_owned(), Role::Dark),
        Outcome::MayTrip => (format!("MAY DROP {}", words::odds(odds(peak, of))), Role::Risk),
        Outcome::Holds => ("holds".to_owned(), Role::Good),
    }
}

/// How an RCD fares in a setup.
pub(super) fn rcd_state(used: &RcdUse) -> State {
    let on = !used.heads.is_empty() || !used.possible_heads.is_empty();
    let RcdRoom { room, tested, absent, .. } = used.room;
    if absent {
        return ("NEVER DROPPED".to_owned(), Role::Danger);
    }
    if !on && used.standing == MilliAmps::ZERO {
        let words = if tested { "nothing on it" } else { "not tested" };
        return (words.to_owned(), Role::Quiet);
    }
    if used.outcome != Outcome::Trips && room.high.is_some() && used.standing.is_over(room.low) {
        return ("MAY DROP ANY TIME".to_owned(), Role::Dark);
    }
    match (used.outcome, tested) {
        (Outcome::Trips, _) => drops(used.peak, room),
        (Outcome::MayTrip, _) => drops(used.possible_peak, room),
        (Outcome::Holds, true) => ("holds".to_owned(), Role::Good),
        (Outcome::Holds, false) => ("NOT TESTED".to_owned(), Role::Risk),
    }
}

/// How a circuit fares in a setup.
pub(super) fn circuit_state(used: &CircuitUse, rating: Amps) -> State {
    if used.amps.is_over(used.limit) {
        return (format!("{} OVER", amps(used.amps - used.limit)), Role::Dark);
    }
    if used.possible.is_over(used.limit) {
        return (format!("MAY BE {} OVER", amps(used.possible - used.limit)), Role::Risk);
    }
    if used.amps.is_over(rating * TIGHT) {
        return ("TIGHT".to_owned(), Role::Risk);
    }
    if used.heads.is_empty() && used.possible_heads.is_empty() {
        return ("no head on it".to_owned(), Role::Quiet);
    }
    ("holds".to_owned(), Role::Good)
}

/// Circuits by their ids, the first few of them.
pub(super) fn circuits(network: &Network, circuits: &[CircuitAt]) -> String {
    list(circuits.iter().map(|at| &network.circuits[*at].id))
}

/// Circuits of which one is meant: `P1, P2 or P4`.
pub(super) fn any_circuit(network: &Network, circuits: &[CircuitAt]) -> String {
    const SHOWN: usize = 4;
    let ids: Vec<_> = circuits.iter().map(|at| network.circuits[*at].id.to_string()).collect();
    match ids.as_slice() {
        [] => "nobody knows what".to_owned(),
        [only] => only.clone(),
        [first @ .., last] if ids.len() <= SHOWN => format!("{} or {last}", first.join(", ")),
        _ => format!("{} or {} others", ids[..SHOWN - 1].join(", "), ids.len() - SHOWN + 1),
    }
}

/// The room and floor of a place, as the crew calls them.
pub(super) fn place(network: &Network, place: &Place) -> String {
    let plan = &network.plan;
    let room = place.room.and_then(|at| plan.rooms.get_index(at));
    let room = room.map(|(id, room)| room.name.clone().unwrap_or_else(|| id.to_string()));
    let floor = place.floor.and_then(|at| plan.floors.get_index(at));
    let floor = floor.map(|(id, floor)| floor.name.clone().unwrap_or_else(|| id.to_string()));
    let mut words = visible(&[floor, room].into_iter().flatten().collect::<Vec<_>>().join(", "));
    if place.outdoor {
        words.push_str(", outdoors");
    } else if place.wet {
        words.push_str(", wet");
    }
    words
}

/// What the crew calls a head besides its id: its name, else its class.
pub(super) fn head_name(network: &Network, head: HeadAt) -> String {
    let plan = network.plan.heads.get_index(head.get()).map(|(_, head)| head);
    let name =
        plan.and_then(|head| head.name.clone().or_else(|| head.class.as_ref().map(ToString::to_string)));
    visible(&name.unwrap_or_default())
}

/// What the crew calls a setup.
pub(super) fn setup_name(network: &Network, setup: SetupAt) -> String {
    let Some((id, plan)) = network.plan.setups.get_index(setup.get()) else { return String::new() };
    visible(&plan.name.clone().unwrap_or_else(|| id.to_string()))
}

/// One thing, several things.
pub(super) fn counted(count: usize, one: &str, many: &str) -> String {
    if count == 1 { format!("1 {one}") } else { format!("{count} {many}") }
}

/// What the region calls a socket, in the plural.
pub(super) fn sockets(network: &Network) -> String {
    format!("{}s", network.region.words.socket)
}

/// A paragraph in lines of `columns` at most, each after `indent` blanks.
pub(super) fn paragraph(
    text: &str,
    indent: usize,
    columns: usize,
    role: Role,
    theme: Theme,
) -> Vec<Line<'static>> {
    let indent = if columns > indent + 8 { indent } else { 0 };
    wrap(&visible(text), columns.saturating_sub(indent))
        .into_iter()
        .map(|line| Line::from(vec![Span::raw(" ".repeat(indent)), Span::styled(line, theme.style(role))]))
        .collect()
}

/// Pieces on one line, with a dot between those that say something.
pub(super) fn joined(pieces: impl IntoIterator<Item = String>) -> String {
    pieces.into_iter().filter(|piece| !piece.is_empty()).collect::<Vec<_>>().join(" · ")
}

/// A styled piece of a line.
pub(super) fn span(text: impl Into<String>, role: Role, theme: Theme) -> Span<'static> {
    Span::styled(text.into(), theme.style(role))
}
