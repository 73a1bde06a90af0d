//! Footers for every line and every supply.

use ampwalk_core::assess::Subject;
use ampwalk_core::library::Words;
use ampwalk_core::network::{At, HeadAt, Network, SupplyAt, SupplyNode};
use ampwalk_core::plan::{SupplyKind, word_of};
use ampwalk_core::unit::Amps;

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
    let line = |line: usize| {
        let amps = used.lines[line].amps();
        let doubt = if used.possible[line].0 > 0.0 { Basis::Assumed } else { running };
        let name = format!("L{}", line + 1);
        conductor(node, &name, (amps, running), (amps + used.possible[line], doubt))
    };
    let mut rows: Vec<Row> = node.lines().map(line).collect();
    if rows.len() > 1 {
        // It bears what a line bears, and harmonics may put more on it than on any of them.
        let neutral = (used.orders.neutral(), running.max(basis::spectrum(network, &used.heads)));
        rows.push(conductor(node, &network.region.words.neutral, neutral, neutral));
    }
    rows
}

/// A line, or the neutral of several, with what it carries for certain and what it may carry.
fn conductor(node: &SupplyNode, name: &str, certain: (Amps, Basis), possible: (Amps, Basis)) -> Row {
    let limited = node.limit.map(|limit| (limit.value, possible.1.max(limit.origin.into())));
    let amps = |(amps, basis): (Amps, Basis)| Cell::number(amps.0, 2, Rounding::Up, basis);
    let cells = vec![
        Cell::text(node.id.as_str()),
        Cell::text(name),
        amps(certain),
        amps(possible),
        node.limit
            .map_or(Cell::EMPTY, |limit| Cell::number(limit.value.0, 2, Rounding::Down, limit.origin.into())),
        limited.map_or(Cell::EMPTY, |(limit, basis)| {
            finite(100.0 * (possible.0 / limit), 0, Rounding::Up, basis)
        }),
        limited.map_or(Cell::EMPTY, |(limit, basis)| {
            Cell::number((limit - possible.0).0, 2, Rounding::Down, basis)
        }),
    ];
    Row::of(cells)
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
        Column::marked("power", "kVA"),
        Column::marked("plate", "kVA"),
        Column::marked("of plate", "%"),
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
    let apparent = used.orders.apparent_power(node.volts.value);
    let distorted = power.max(basis::spectrum(network, &used.heads));
    let plate = network.plan.supplies.get_index(at.get()).and_then(|(_, supply)| supply.kva);
    let cells = vec![
        Cell::text(node.id.as_str()),
        state(source, |subject| subject == Subject::Supply(at)),
        Cell::text(word_of(&SupplyKind::WORDS, &node.kind)),
        Cell::number(node.volts.value.0, 0, Rounding::Nearest, node.volts.origin.into()),
        Cell::number(used.kw.0, 2, Rounding::Up, power),
        contract.map_or(Cell::EMPTY, |contract| Cell::number(contract.0, 2, Rounding::Down, Basis::Plan)),
        contract.map_or(Cell::EMPTY, |contract| finite(100.0 * (used.kw / contract), 0, Rounding::Up, power)),
        contract
            .map_or(Cell::EMPTY, |contract| Cell::number((contract - used.kw).0, 2, Rounding::Down, power)),
        Cell::number(apparent.0, 2, Rounding::Up, distorted),
        plate.map_or(Cell::EMPTY, |plate| Cell::number(plate.0, 2, Rounding::Down, Basis::Plan)),
        plate.map_or(Cell::EMPTY, |plate| finite(100.0 * (apparent / plate), 0, Rounding::Up, distorted)),
    ];
    Row::of(cells)
}

/// Power is reckoned from amps and power factor.
fn power_basis(network: &Network, heads: &[HeadAt]) -> Basis {
    let factors = heads.iter().map(|head| network.heads[*head].power_factor.origin.into());
    Basis::weakest(factors.chain([basis::running(network, heads)]))
}
