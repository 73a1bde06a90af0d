//! Footers for every line and every supply.

use ampwalk_core::assess::Subject;
use ampwalk_core::library::Words;
use ampwalk_core::network::{HeadAt, Network, SupplyAt};
use ampwalk_core::plan::SupplyKind;

use crate::sheet::{Basis, Cell, Column, Rounding, Row, Table};

use super::circuits::finite;
use super::{Source, basis, state};

pub(super) fn line_table(words: &Words, source: Option<Source<'_>>) -> Table {
    let columns = vec![
        Column::words("supply"),
        Column::words(&words.line),
        Column::marked("running", "A"),
        Column::marked("may be", "A"),
        Column::marked("limit", "A"),
        Column::marked("used", "%"),
        Column::marked("left", "A"),
    ];
    let rows = source.map(|source| {
        source.network.supplies.indices().flat_map(|supply| line_rows(source, supply)).collect()
    });
    let title = format!("Supply, each {}", words.line);
    Table { part: "line", title, columns, rows: rows.unwrap_or_default() }
}

fn line_rows(source: Source<'_>, at: SupplyAt) -> Vec<Row> {
    let (network, used) = (source.network, &source.used.supplies[at]);
    let node = &network.supplies[at];
    let running = basis::running(network, &used.heads);
    let row = |line: usize| {
        let amps = used.lines[line].amps();
        let possible = amps + used.possible[line];
        let doubt = if used.possible[line].0 > 0.0 { Basis::Assumed } else { running };
        let limited = node.limit.map(|limit| (limit.value, doubt.max(limit.origin.into())));
        Row {
            cells: vec![
                Cell::text(node.id.as_str()),
                Cell::text(format!("L{}", line + 1)),
                Cell::number(amps.0, 2, Rounding::Up, running),
                Cell::number(possible.0, 2, Rounding::Up, doubt),
                node.limit.map_or(Cell::EMPTY, |limit| {
                    Cell::number(limit.value.0, 2, Rounding::Down, limit.origin.into())
                }),
                limited.map_or(Cell::EMPTY, |(limit, basis)| {
                    finite(100.0 * (possible / limit), 0, Rounding::Up, basis)
                }),
                limited.map_or(Cell::EMPTY, |(limit, basis)| {
                    Cell::number((limit - possible).0, 2, Rounding::Down, basis)
                }),
            ],
        }
    };
    node.lines().map(row).collect()
}

pub(super) fn table(source: Option<Source<'_>>) -> Table {
    let columns = vec![
        Column::words("supply"),
        Column::words("state"),
        Column::words("kind"),
        Column::marked("volts", "V"),
        Column::marked("power", "kW"),
        Column::marked("contract", "kW"),
        Column::marked("used", "%"),
        Column::marked("left", "kW"),
    ];
    let rows =
        source.map(|source| source.network.supplies.indices().map(|supply| row(source, supply)).collect());
    let title = "Supply and contract, traced loads only".to_owned();
    Table { part: "supply", title, columns, rows: rows.unwrap_or_default() }
}

fn row(source: Source<'_>, at: SupplyAt) -> Row {
    let (network, used) = (source.network, &source.used.supplies[at]);
    let node = &network.supplies[at];
    let power = power_basis(network, &used.heads).max(node.volts.origin.into());
    let contract = node.contract;
    let cells = vec![
        Cell::text(node.id.as_str()),
        state(source, |subject| subject == Subject::Supply(at)),
        Cell::text(kind_word(node.kind)),
        Cell::number(node.volts.value.0, 0, Rounding::Nearest, node.volts.origin.into()),
        Cell::number(used.kw.0, 2, Rounding::Up, power),
        contract.map_or(Cell::EMPTY, |contract| Cell::number(contract.0, 2, Rounding::Down, Basis::Plan)),
        contract.map_or(Cell::EMPTY, |contract| finite(100.0 * (used.kw / contract), 0, Rounding::Up, power)),
        contract
            .map_or(Cell::EMPTY, |contract| Cell::number((contract - used.kw).0, 2, Rounding::Down, power)),
    ];
    Row { cells }
}

/// Power is reckoned from amps and power factor.
fn power_basis(network: &Network, heads: &[HeadAt]) -> Basis {
    let factors = heads.iter().map(|head| network.heads[*head].power_factor.origin.into());
    Basis::weakest(factors.chain([basis::running(network, heads)]))
}

fn kind_word(kind: SupplyKind) -> &'static str {
    SupplyKind::WORDS.iter().find(|(_, known)| *known == kind).map_or("", |(word, _)| *word)
}
