//! The patch sheet: which head goes into which socket over which leads, by head and by socket.
//!
//! Blank on it, because no plan says it: the mark that a head stands on, the circuit's way on the board.

mod fallback;

use ampwalk_core::assess::Assessment;
use ampwalk_core::diagnose::lead_ids;
use ampwalk_core::network::{HeadAt, Link, Network, PlacedHead, SetupAt};
use ampwalk_core::order::Order as _;
use ampwalk_core::unit::{Amps, Metres};

use crate::basis;
use crate::codes;
use crate::drawing;
use crate::frame::{Source, bare, caution, fields, length, length_column, no_setup, told};
use crate::names;
use crate::sheet::{Basis, Cell, Column, Kind, Rounding, Row, Sheet, Table};

/// The patch sheet of a setup, twice: by head and by socket. `assessment` is that of `network`. Heads that
/// are plugged in but off have a row, too. Without a setup, or with one that the plan has not, the tables
/// are empty and a note says why.
#[must_use]
pub fn patch_sheet(network: &Network, assessment: &Assessment, setup: Option<SetupAt>) -> Sheet {
    let source = Source::of(network, assessment, setup);
    let rows: Vec<(HeadAt, Vec<Cell>)> = source.map(rows).unwrap_or_default();
    let mut notes = no_setup(source);
    notes.extend(explained(network));
    let socket = &network.region.words.socket;
    let heads = rows.iter().map(|(head, _)| *head);
    let codes = source.map(|source| codes::patch(source, heads)).unwrap_or_default();
    Sheet {
        title: "Patch sheet".to_owned(),
        fields: fields(network, source),
        tables: vec![
            Table {
                part: "head",
                title: "By head".to_owned(),
                columns: columns(network),
                rows: rows.iter().map(|(_, cells)| Row::of(cells.clone())).collect(),
            },
            Table {
                part: "socket",
                title: format!("By {socket}"),
                columns: by_socket(columns(network)),
                rows: source.map(|source| socket_rows(source, rows)).unwrap_or_default(),
            },
        ],
        notes,
        drawings: source.map(drawing::of_setup).unwrap_or_default(),
        codes,
        ..bare(network, Kind::Patch, source)
    }
}

/// Where the socket stands among the columns by head.
const SOCKET: usize = 8;
/// How many columns from there on are about the socket.
const OF_SOCKET: usize = 6;

fn columns(network: &Network) -> Vec<Column> {
    let words = &network.region.words;
    vec![
        Column::words("head"),
        Column::words("what"),
        Column::words("room"),
        Column::words("mark"),
        Column::words("plug"),
        Column::marked("power", "W"),
        Column::marked("running", "A"),
        Column::marked("leak", "mA"),
        Column::words(&words.socket),
        Column::words("circuit"),
        Column::words(format!("{} way", words.board)),
        Column::words("circuit is called"),
        Column::words(&words.rcd),
        Column::words(&words.line),
        Column::words(format!("{}s", words.lead)),
        length_column(network, &words.lead),
        Column::words("burns in"),
        Column::words("strike no."),
        Column::words("if dark"),
        Column::words("there"),
    ]
}

/// The same columns, or cells, with those about the socket first.
fn by_socket<T>(mut all: Vec<T>) -> Vec<T> {
    let rest = all.split_off(SOCKET + OF_SOCKET);
    let mut ordered = all.split_off(SOCKET);
    ordered.append(&mut all);
    ordered.extend(rest);
    ordered
}

/// A row for every head that is on or plugged in.
fn rows(source: Source<'_>) -> Vec<(HeadAt, Vec<Cell>)> {
    let setup = &source.network.setups[source.setup];
    names::heads_by_number(source.network)
        .into_iter()
        .filter(|head| setup.is_on[*head] || setup.placed[*head].is_some())
        .map(|head| (head, row(source, head)))
        .collect()
}

/// The same by socket; heads that hang on none are left out.
fn socket_rows(source: Source<'_>, mut rows: Vec<(HeadAt, Vec<Cell>)>) -> Vec<Row> {
    let network = source.network;
    let id = |head: HeadAt| {
        let placed = network.setups[source.setup].placed[head].as_ref();
        placed.map(|placed| network.socket_id(placed.socket).as_str())
    };
    rows.retain(|(head, _)| id(*head).is_some());
    rows.order_by(|(a, _), (b, _)| names::by_number(id(*a).unwrap_or_default(), id(*b).unwrap_or_default()));
    rows.into_iter().map(|(_, cells)| Row::of(by_socket(cells))).collect()
}

fn row(source: Source<'_>, head: HeadAt) -> Vec<Cell> {
    let network = source.network;
    let node = &network.heads[head];
    let placed = network.setups[source.setup].placed[head].as_ref();
    let plan = network.plan.heads.get(node.id.as_str());
    let name = plan.and_then(|head| head.name.as_deref());
    let what: Vec<&str> = name.into_iter().chain(node.class.map(|class| class.name.as_str())).collect();
    let mut cells = vec![
        Cell::text(node.id.as_str()),
        told((!what.is_empty()).then(|| what.join(": "))),
        told(names::room(network, &node.place)),
        Cell::BLANK,
        Cell::text(node.plug_id.as_str()),
    ];
    cells.extend(figures(source, head, placed));
    cells.extend(socket_cells(network, placed));
    cells.extend(lead_cells(network, placed));
    cells.push(told(burns_in(source, head)));
    let used = source.used.heads[head].as_ref();
    cells.push(match used {
        None => Cell::text("off"),
        Some(used) => told(used.strike.map(|place| place.to_string())),
    });
    cells.extend(match placed {
        Some(placed) if used.is_some() => fallback::cells(source, head, placed.socket),
        _ => [Cell::EMPTY, Cell::EMPTY],
    });
    cells
}

/// Watts, amps and milliamps of a head, as if lit where it is off.
fn figures(source: Source<'_>, head: HeadAt, placed: Option<&PlacedHead>) -> [Cell; 3] {
    let network = source.network;
    let node = &network.heads[head];
    let terminals =
        placed.map_or_else(|| network.unplaced_terminals(head), |placed| network.terminals(placed.socket));
    let amps: Amps = node.running_amps(terminals);
    let running = basis::running(network, &[head]);
    let nameplate = node.watts.zip(node.watts_at(terminals.volts));
    let (watts, rests_on) = if let Some((known, watts)) = nameplate {
        (watts, known.origin.into())
    } else {
        let factor = Basis::from(node.power_factor.origin);
        (terminals.power(amps, node.power_factor.value), running.max(factor))
    };
    [
        Cell::number(watts.0, 0, Rounding::Up, rests_on),
        Cell::number(amps.0, 2, Rounding::Up, running),
        Cell::number(node.leak.value.high.0, 2, Rounding::Up, basis::standing(network, &[head])),
    ]
}

/// Socket, circuit, its way on the board, its name, its RCDs and its line.
fn socket_cells(network: &Network, placed: Option<&PlacedHead>) -> Vec<Cell> {
    let Some(placed) = placed else {
        let mut cells = vec![Cell::EMPTY; OF_SOCKET];
        cells[0] = Cell::text("NOT PLACED");
        return cells;
    };
    let socket = placed.socket;
    let name = network.sockets[socket].circuit.and_then(|circuit| names::board_name(network, circuit));
    vec![
        Cell::text(network.socket_id(socket).as_str()),
        told(names::circuits(network, socket)),
        Cell::BLANK,
        told(name),
        told(names::rcds(network, socket)),
        told(names::lines(network, socket)),
    ]
}

fn lead_cells(network: &Network, placed: Option<&PlacedHead>) -> [Cell; 2] {
    let Some(placed) = placed.filter(|placed| !placed.links.is_empty()) else {
        return [Cell::EMPTY, Cell::EMPTY];
    };
    let metres = metres(network, &placed.links);
    [
        Cell::text(lead_ids(network, &placed.links).join(" + ")),
        length(network, metres, Rounding::Nearest, Basis::Plan),
    ]
}

/// Length of the leads between a socket and a head.
pub(crate) fn metres(network: &Network, links: &[Link]) -> Metres {
    links
        .iter()
        .filter_map(|link| match link {
            Link::Cable(cable) => Some(network.cables[*cable].length),
            Link::Block(_) => None,
        })
        .sum()
}

/// The setups in which a head burns in the same socket.
fn burns_in(source: Source<'_>, head: HeadAt) -> Option<String> {
    let network = source.network;
    let socket = |at: SetupAt| network.setups[at].placed[head].as_ref().map(|placed| placed.socket);
    let here = socket(source.setup);
    let setups: Vec<&str> = network
        .setups
        .iter()
        .filter(|(at, setup)| setup.is_on[head] && socket(*at) == here)
        .map(|(_, setup)| setup.id.as_str())
        .collect();
    (!setups.is_empty()).then(|| setups.join(" "))
}

fn explained(network: &Network) -> Vec<String> {
    let words = &network.region.words;
    let (socket, rcd) = (&words.socket, &words.rcd);
    vec![
        "A \"-\" says nothing. A number of a head that is off is what it draws \
         once lit."
            .to_owned(),
        format!(
            "If dark: where that head could go, the others as they are, if its {rcd} or its circuit is lost; \
             reckoned for each head alone, so work it out again when several go. It is a tested {socket} \
             behind another {rcd} and on another circuit; one that fits before one with a risk, then the \
             nearest. A head that dropped its {rcd} goes nowhere until it was tried alone behind a proven one."
        ),
        caution(network),
    ]
}
