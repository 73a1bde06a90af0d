//! The survey sheet and the head sheet: what the plan says of each socket and head, a row each, to be
//! filled in and read back.
//!
//! No plan says which photo shows a socket, and who tested it when: these columns are for the paper alone.

use ampwalk_core::import::{self, Column as Known, Filled, Role, Sheet as Entries, filled};
use ampwalk_core::network::Network;
use ampwalk_core::plan::{BaseLoad, Circuit, Curve, RcdKind, word_of};

use crate::drawing;
use crate::frame::{bare, caution};
use crate::sheet::{Cell, Column, Field, Kind, Number, Rounding, Row, Sheet, Table, Value};

/// Columns of sockets that are for the paper alone.
const BY_HAND: [&str; 2] = ["photo", "tested by, at"];

/// Decimals that paper and spreadsheet have room for; a number with more is written as it is.
const DECIMALS: usize = 3;

/// The survey sheet or the head sheet of a plan. `text` is that of the plan of `network`: the cells are
/// what it says, and nothing is assumed in them.
#[must_use]
pub fn survey_sheet(network: &Network, text: &str, kind: Entries) -> Sheet {
    let words = &network.region.words;
    let heading = |known: &Known| match (known.is_the_socket(kind), kind) {
        (true, Entries::Sockets) => format!("{} id", words.socket),
        (true, Entries::Heads) => words.socket.clone(),
        (false, _) => known.heading.to_owned(),
    };
    let by_hand: &[&str] = match kind {
        Entries::Sockets => &BY_HAND,
        Entries::Heads => &[],
    };
    let columns = kind.columns().iter().map(|known| Column {
        heading: heading(known),
        unit: known.unit,
        is_marked: false,
    });
    let columns = columns.chain(by_hand.iter().map(|heading| Column::words(*heading)));
    let rows = filled(&network.plan, text, kind).into_iter().map(|row| {
        Row::of(
            kind.columns()
                .iter()
                .zip(&row.cells)
                .map(|(known, cell)| made(network, &row, known, cell))
                .chain(by_hand.iter().map(|_| Cell::BLANK))
                .collect(),
        )
    });
    let field = |name: &str, value: Option<String>| Field { name: name.to_owned(), value };
    let (which, title, part) = match kind {
        Entries::Sockets => (Kind::Survey, "Survey sheet, socket by socket", "socket"),
        Entries::Heads => (Kind::Heads, "Head sheet", "head"),
    };
    Sheet {
        title: title.to_owned(),
        fields: vec![
            field("location", network.plan.location.name.clone()),
            field("date and call", None),
            field("drawn up by (role)", None),
            field("region", Some(format!("{}, {} V", network.region.name, network.region.volts.0))),
        ],
        tables: vec![Table { part, title: title.to_owned(), columns: columns.collect(), rows: rows.collect() }],
        notes: vec![
            "Numbers are as the plan file has them, read or measured there; none is assumed. An empty cell is not known. A label is what the wall or the board says: no evidence. What a tester \
             says indicates, it proves nothing."
                .to_owned(),
            caution(network),
        ],
        drawings: match kind {
            Entries::Sockets => drawing::of_survey(network),
            Entries::Heads => Vec::new(),
        },
        ..bare(network, which, None)
    }
}

fn made(network: &Network, row: &Filled, known: &Known, cell: &import::Cell) -> Cell {
    if known.role == Role::Elsewhere {
        return elsewhere(network, row, known.heading);
    }
    match cell {
        import::Cell::Empty => Cell::BLANK,
        import::Cell::Text(text) => Cell::text(text.as_str()),
        import::Cell::Number(number) => numbered(*number),
    }
}

fn numbered(value: f64) -> Cell {
    let written = value.to_string();
    let decimals = written.split_once('.').map_or(0, |(_, rest)| rest.len());
    if decimals > DECIMALS {
        return Cell::text(written);
    }
    let number = Number { value, decimals, rounding: Rounding::Nearest };
    Cell { value: Value::Number(number), basis: None }
}

/// What another entry says of a socket.
fn elsewhere(network: &Network, row: &Filled, heading: &str) -> Cell {
    let plan = &network.plan;
    let Some(socket) = plan.sockets.get(row.id.as_str()) else { return Cell::EMPTY };
    let room = plan.rooms.get(&socket.room);
    let circuit = socket.circuit.as_ref().and_then(|id| plan.circuits.get(id));
    let rcd_id = circuit.and_then(|circuit| circuit.rcd.as_ref());
    let rcd = rcd_id.and_then(|id| plan.rcds.get(id));
    let text = |text: Option<String>| text.map_or(Cell::EMPTY, Cell::text);
    match heading {
        "floor" => text(room.map(|room| room.floor.to_string())),
        "found by" => Cell::text(match (&socket.circuit, &socket.label) {
            (Some(_), _) => "traced",
            (None, Some(_)) => "label only",
            (None, None) => "untraced",
        }),
        "breaker" => circuit.and_then(|circuit| circuit.breaker).map_or(Cell::EMPTY, |amps| numbered(amps.0)),
        "curve" => text(
            circuit.and_then(|circuit| circuit.curve).map(|curve| word_of(&Curve::WORDS, &curve).to_owned()),
        ),
        "RCD" => text(rcd_id.map(ToString::to_string)),
        "RCD rated" => rcd.and_then(|rcd| rcd.rated).map_or(Cell::EMPTY, |rated| numbered(rated.0)),
        "RCD type" => {
            text(rcd.and_then(|rcd| rcd.kind).map(|kind| word_of(&RcdKind::WORDS, &kind).to_owned()))
        }
        "base loads" => text(circuit.and_then(base_loads)),
        "wet or outdoor" => text(room.and_then(|room| match (room.wet, room.outdoor) {
            (true, true) => Some("wet, outdoor".to_owned()),
            (true, false) => Some("wet".to_owned()),
            (false, true) => Some("outdoor".to_owned()),
            (false, false) => None,
        })),
        _ => Cell::EMPTY,
    }
}

fn base_loads(circuit: &Circuit) -> Option<String> {
    let one = |load: &BaseLoad| {
        let name = load.name.as_deref().unwrap_or("load");
        format!("{name} {} A", load.amps.0)
    };
    let all: Vec<String> = circuit.base.iter().map(one).collect();
    (!all.is_empty()).then(|| all.join(", "))
}
