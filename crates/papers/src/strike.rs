//! The strike card of a setup, for the pocket: what is lit after what; and on its back what to do when an
//! RCD is lost.

mod recovery;

use ampwalk_core::assess::{Assessment, CircuitStep, Step, may_drop, steps};
use ampwalk_core::network::{At, CircuitAt, Dense, HeadAt, Network, SetupAt};
use ampwalk_core::plan::{Board, word_of};
use ampwalk_core::rule::words::{list, number};
use ampwalk_core::unit::{Amps, Minutes};

use crate::basis;
use crate::frame::{Source, bare, blank, caution, field, fields, listed, no_setup};
use crate::sheet::{Basis, Cell, Column, Field, Kind, Rounding, Row, Sheet, Table};

/// The strike card of a setup, with the recovery card. `assessment` is that of `network`. Without a setup,
/// or with one that the plan has not, the tables are empty and a note says why.
#[must_use]
pub fn strike_card(network: &Network, assessment: &Assessment, setup: Option<SetupAt>) -> Sheet {
    let source = Source::of(network, assessment, setup);
    let mut fields = fields(network, source);
    fields.extend(board_fields(network));
    let mut notes = no_setup(source);
    notes.extend(explained(network, source));
    Sheet {
        title: "Strike card, if dark: see the back".to_owned(),
        fields,
        tables: vec![
            strike_table(network, source),
            recovery::rcd_table(network, source),
            recovery::restrike_table(source),
        ],
        notes,
        ..bare(network, Kind::Strike, source)
    }
}

/// Where the board is, whether it was found, and who has its key.
fn board_fields(network: &Network) -> Vec<Field> {
    let location = &network.plan.location;
    let board = &network.region.words.board;
    let found = location.board.unwrap_or_default();
    let state = word_of(&Board::WORDS, &found).replace('-', " ");
    vec![
        field(board, Some(state)),
        blank(&format!("{board} is in")),
        field("key", location.board_key.clone()),
        blank("licensed electrician, telephone"),
    ]
}

fn strike_table(network: &Network, source: Option<Source<'_>>) -> Table {
    let words = &network.region.words;
    let columns = vec![
        Column::words("no."),
        Column::words("head"),
        Column::words(&words.socket),
        Column::marked("then wait", ""),
        Column::words("circuit"),
        Column::marked("after", "A"),
        Column::words("fullest circuit"),
        Column::marked("after", "%"),
        Column::words("may drop"),
    ];
    let title = "Strike, one head at a time".to_owned();
    Table { part: "strike", title, columns, rows: source.map(strike_rows).unwrap_or_default() }
}

fn strike_rows(source: Source<'_>) -> Vec<Row> {
    let steps = steps(source.network, source.used);
    let mut carried = before_the_first(source, &steps);
    steps
        .iter()
        .enumerate()
        .map(|(place, step)| {
            for part in &step.circuits {
                carried[part.circuit] = part.lit.possible;
            }
            strike_row(source, place + 1, step, &carried)
        })
        .collect()
}

/// What circuits carry before any head is lit: base loads and what others may draw; all that it carries for
/// one that no step loads.
fn before_the_first(source: Source<'_>, steps: &[Step]) -> Dense<CircuitAt, Amps> {
    let reserve = |circuit: CircuitAt| {
        let plan = source.network.plan.circuits.get_index(circuit.get());
        plan.and_then(|(_, circuit)| circuit.reserve).unwrap_or(Amps::ZERO)
    };
    let is_loaded = |circuit: CircuitAt| {
        steps.iter().any(|step| step.circuits.iter().any(|part| part.circuit == circuit))
    };
    let circuits = source.used.circuits.iter();
    circuits.map(|(at, used)| if is_loaded(at) { used.base + reserve(at) } else { used.possible }).collect()
}

fn strike_row(source: Source<'_>, place: usize, step: &Step, carried: &Dense<CircuitAt, Amps>) -> Row {
    let network = source.network;
    let share = |circuit: CircuitAt, amps: Amps| 100.0 * (amps / source.used.circuits[circuit].limit);
    let share_of = |part: &&CircuitStep| share(part.circuit, part.lit.possible);
    let own = step.circuits.iter().max_by(|a, b| share_of(a).total_cmp(&share_of(b)));
    let shares = carried.iter().map(|(at, amps)| (at, share(at, *amps)));
    let fullest = shares.filter(|(_, share)| share.is_finite()).max_by(|a, b| a.1.total_cmp(&b.1));
    let mut cells = vec![
        Cell::text(place.to_string()),
        Cell::text(network.head_id(step.head).as_str()),
        Cell::text(network.socket_id(step.socket).as_str()),
        wait(network, step.head),
    ];
    cells.extend(match own {
        None => [Cell::EMPTY, Cell::EMPTY],
        Some(part) => {
            let doubt = if part.certain { "" } else { "?" };
            let rests_on = amps_basis(source, part.circuit);
            [
                Cell::text(format!("{}{doubt}", network.circuit_id(part.circuit))),
                Cell::number(part.lit.possible.0, 2, Rounding::Up, rests_on),
            ]
        }
    });
    cells.extend(match fullest {
        None => [Cell::EMPTY, Cell::EMPTY],
        Some((at, share)) => {
            let rests_on = amps_basis(source, at).max(basis::limit(network, at));
            [Cell::text(network.circuit_id(at).as_str()), Cell::number(share, 0, Rounding::Up, rests_on)]
        }
    });
    cells.push(listed(may_drop(source.used, step).into_iter().map(|rcd| network.rcd_id(rcd))));
    Row::of(cells)
}

/// What the amps of a circuit rest on, those of heads that may be on it among them.
fn amps_basis(source: Source<'_>, circuit: CircuitAt) -> Basis {
    let (network, used) = (source.network, &source.used.circuits[circuit]);
    basis::running(network, &used.heads)
        .max(basis::running(network, &used.possible_heads))
        .max(basis::untraced(&used.possible_heads))
}

/// Until when to wait after a head, before the next one.
fn wait(network: &Network, head: HeadAt) -> Cell {
    match network.heads[head].start_minutes {
        Some(known) if known.value.is_over(Minutes::ZERO) => {
            Cell::marked(format!("{} min", number(known.value.0)), known.origin.into())
        }
        _ => Cell::text("settled"),
    }
}

fn explained(network: &Network, source: Option<Source<'_>>) -> Vec<String> {
    let words = &network.region.words;
    let (rcd, board) = (&words.rcd, &words.board);
    let spared = source.map_or(&[][..], |source| &source.used.spared_breakers);
    let mut notes = Vec::new();
    if !spared.is_empty() {
        let spared = list(spared.iter().map(|at| network.circuit_id(*at)));
        notes.push(format!("The order spares {spared}, which falling leakage would not."));
    }
    notes.push(
        "A \"-\" says nothing. One head at a time, by its own switch, each once the one before has run up. \
         Amps and percent are the most that may flow once it burns; a question mark behind a circuit: it may \
         be on that one, by what was traced."
            .to_owned(),
    );
    notes.push(format!(
        "If dark: heads off first, all of them on what went. The one that was struck last stays off; where \
         nobody knows which that was, the one under \"unplug first\". One reset, with the owner's yes and by \
         switches only; two are the most, then leave it off: a licensed electrician. A breaker and the {rcd} \
         together, or anything wet or hot: no reset at all. Before a reset ask what else is on that {rcd}: \
         it comes back, too."
    ));
    notes.push(format!(
        "Relights at once means the lamp, not the place: a head goes only to a {} behind a tested {rcd}; \
         where that is stands on the patch sheet. No covers off the {board}.",
        words.socket
    ));
    notes.push(caution(network));
    notes
}
