//! A row for every circuit.

use ampwalk_core::assess::{CircuitUse, Subject};
use ampwalk_core::library::Words;
use ampwalk_core::network::{At, CircuitAt, CircuitNode, RcdAt, SocketAt};
use ampwalk_core::plan::{Curve, word_of};
use ampwalk_core::unit::{Amps, Watts};

use crate::sheet::{Basis, Cell, Column, Rounding, Row, Table};

use super::{Source, basis, listed, rcds, state};

pub(super) fn table(words: &Words, source: Option<Source<'_>>) -> Table {
    let columns = vec![
        Column::words("circuit"),
        Column::words("state"),
        Column::marked("running", "A"),
        Column::marked("may be", "A"),
        Column::marked("peak striking", "A"),
        Column::marked("limit", "A"),
        Column::marked("k", "of In"),
        Column::marked("used", "%"),
        Column::marked("left", "A"),
        Column::marked("left", "W"),
        Column::words(&words.line),
        Column::marked("type", ""),
        Column::marked("breaker In", "A"),
        Column::marked("base", "A"),
        Column::words("base is"),
        Column::words(&words.rcd),
        Column::marked("holds", "mA"),
        Column::marked("leak", "mA"),
        Column::marked("peak striking", "mA"),
        Column::marked("left", "mA"),
        Column::words("heads"),
        Column::words("may be heads"),
        Column::words("name"),
    ];
    let rows = source.map(|source| {
        let circuits = source.used.circuits.iter();
        circuits.map(|(circuit, used)| row(source, circuit, used)).collect()
    });
    Table { part: "circuit", title: "Circuits".to_owned(), columns, rows: rows.unwrap_or_default() }
}

fn row(source: Source<'_>, at: CircuitAt, used: &CircuitUse) -> Row {
    let network = source.network;
    let node = &network.circuits[at];
    let limit_basis = basis::limit(network, at);
    let running = basis::running(network, &used.heads);
    let possible =
        running.max(basis::running(network, &used.possible_heads)).max(basis::untraced(&used.possible_heads));
    let whole = possible.max(limit_basis);
    let left = used.limit - used.possible;
    let amps = |value: Amps, basis| Cell::number(value.0, 2, Rounding::Up, basis);
    let k = used.limit / node.breaker.value;
    let percent = 100.0 * (used.possible / used.limit);
    let plan = network.plan.circuits.get_index(at.get()).map(|(_, circuit)| circuit);
    let mut cells = vec![
        Cell::text(node.id.as_str()),
        circuit_state(source, at, used),
        amps(used.amps, running),
        amps(used.possible, possible),
        amps(used.start_peak, running.max(basis::starting(network, &used.heads))),
        Cell::number(used.limit.0, 2, Rounding::Down, limit_basis),
        finite(k, 2, Rounding::Down, limit_basis),
        finite(percent, 0, Rounding::Up, whole),
        Cell::number(left.0, 2, Rounding::Down, whole),
        watts_left(source, node, left, whole),
        Cell::text(node.line.to_string()),
        Cell::marked(word_of(&Curve::WORDS, &node.curve.value), node.curve.origin.into()),
        Cell::number(node.breaker.value.0, 1, Rounding::Nearest, limit_basis),
        if node.base.is_empty() { Cell::EMPTY } else { amps(used.base, Basis::Plan) },
        base_names(source, at, node),
    ];
    cells.extend(rcd_cells(source, at));
    cells.push(listed(used.heads.iter().map(|head| network.head_id(*head))));
    cells.push(listed(used.possible_heads.iter().map(|head| network.head_id(*head))));
    cells.push(plan.and_then(|circuit| circuit.name.as_ref()).map_or(Cell::EMPTY, Cell::text));
    Row::of(cells)
}

/// A number that a division gave; nothing where it divided by nothing.
pub(super) fn finite(value: f64, decimals: usize, rounding: Rounding, basis: Basis) -> Cell {
    if value.is_finite() { Cell::number(value, decimals, rounding, basis) } else { Cell::EMPTY }
}

fn watts_left(source: Source<'_>, node: &CircuitNode, left: Amps, basis: Basis) -> Cell {
    let Some(supply) = node.supply.map(|supply| &source.network.supplies[supply]) else {
        return Cell::EMPTY;
    };
    let lines = node.line.conductors().len();
    let span = if lines == 3 { 3.0_f64.sqrt() } else { 1.0 };
    let watts = Watts(supply.volts_between(node.line).0 * span * left.0);
    Cell::number(watts.0, 0, Rounding::Down, basis.max(supply.volts.origin.into()))
}

/// What the house has on it; what its owner has switched off for this setup says so.
fn base_names(source: Source<'_>, at: CircuitAt, node: &CircuitNode) -> Cell {
    let off = &source.network.setups[source.setup].base_off;
    let names = node.base.iter().enumerate().map(|(place, load)| {
        let name = load.name.as_deref().unwrap_or("not named");
        if off.contains(&(at, place)) { format!("{name} (off)") } else { name.to_owned() }
    });
    let names: Vec<String> = names.collect();
    if names.is_empty() { Cell::EMPTY } else { Cell::text(names.join(", ")) }
}

/// The RCD upstream that has least left, for certain.
fn rcd_cells(source: Source<'_>, at: CircuitAt) -> Vec<Cell> {
    let network = source.network;
    let reach = &network.reaches[network.circuits[at].reach];
    let left = |rcd: RcdAt| rcds::left(&source.used.rcds[rcd]);
    let tightest = reach.certain_rcds().min_by(|a, b| match (left(*a), left(*b)) {
        (Some(a), Some(b)) => a.total_cmp(b),
        (a, b) => a.is_none().cmp(&b.is_none()),
    });
    let Some(rcd) = tightest else { return vec![Cell::EMPTY; 5] };
    let figures = rcds::Figures::of(source, rcd);
    vec![
        Cell::text(network.rcd_id(rcd).as_str()),
        figures.holds,
        figures.standing,
        figures.peak,
        figures.left,
    ]
}

/// The worst of the circuit's own findings, of the RCDs over it, of its sockets and its heads.
fn circuit_state(source: Source<'_>, at: CircuitAt, used: &CircuitUse) -> Cell {
    let network = source.network;
    let reach = &network.reaches[network.circuits[at].reach];
    let on_it = |socket: SocketAt| network.reach_of(socket).circuits.iter().any(|part| part.what == at);
    state(source, |subject| match subject {
        Subject::Circuit(circuit) => circuit == at,
        Subject::Rcd(rcd) => reach.rcds.iter().any(|part| part.what == rcd),
        Subject::Socket(socket) => on_it(socket),
        Subject::Head(head) => used.heads.contains(&head) || used.possible_heads.contains(&head),
        Subject::Location | Subject::Supply(_) | Subject::Cable(_) | Subject::Block(_) => false,
    })
}
