//! The back of the card: what each RCD takes with it, and which heads wait until they are cold.

use ampwalk_core::network::{HeadAt, Network, RcdAt};
use ampwalk_core::order::Order as _;
use ampwalk_core::plan::Weather;
use ampwalk_core::rule::words::number;
use ampwalk_core::unit::Minutes;

use crate::basis;
use crate::frame::{Source, listed};
use crate::sheet::{Basis, Cell, Column, Rounding, Row, Table};

/// A row for every RCD with heads behind it.
pub(super) fn rcd_table(network: &Network, source: Option<Source<'_>>) -> Table {
    let rcd = &network.region.words.rcd;
    let columns = vec![
        Column::words(rcd),
        Column::words("circuits dark"),
        Column::words("heads dark"),
        Column::words("heads maybe dark"),
        Column::words("house dark"),
        Column::words("unplug first"),
        Column::marked("leaks, struck", "mA"),
        Column::words("relight at once"),
        Column::marked("wait until cold", ""),
    ];
    let rows = source.map(|source| {
        let used = source.used.rcds.iter();
        let with_heads = used.filter(|(_, used)| !used.heads.is_empty() || !used.possible_heads.is_empty());
        with_heads.map(|(rcd, _)| row(source, rcd)).collect()
    });
    Table {
        part: "dark",
        title: format!("If dark: which {rcd} is lost"),
        columns,
        rows: rows.unwrap_or_default(),
    }
}

fn row(source: Source<'_>, rcd: RcdAt) -> Row {
    let network = source.network;
    let used = &source.used.rcds[rcd];
    let mut all = [used.heads.as_slice(), used.possible_heads.as_slice()].concat();
    likeliest_first(source, &mut all);
    let first = all.first().copied();
    let rest = all.get(1..).unwrap_or_default();
    let (now, later): (Vec<HeadAt>, Vec<HeadAt>) = rest.iter().partition(|head| !waits(network, **head));
    let cells = vec![
        Cell::text(network.rcd_id(rcd).as_str()),
        listed(network.rcds[rcd].darkens.iter().map(|circuit| network.circuit_id(*circuit))),
        ids(network, &used.heads),
        ids(network, &used.possible_heads),
        house(source, rcd),
        listed(first.map(|head| network.head_id(head))),
        first.map_or(Cell::EMPTY, |head| {
            Cell::number(struck(network, head), 2, Rounding::Up, basis::striking(network, &[head]))
        }),
        ids(network, &now),
        cold(network, &later),
    ];
    Row::of(cells)
}

fn ids(network: &Network, heads: &[HeadAt]) -> Cell {
    listed(heads.iter().map(|head| network.head_id(*head)))
}

/// Milliamps of a head while it strikes.
fn struck(network: &Network, head: HeadAt) -> f64 {
    let node = &network.heads[head];
    (node.leak.value.high + node.strike.value.high).0
}

/// Heads out in the rain first, then what leaks most.
fn likeliest_first(source: Source<'_>, heads: &mut [HeadAt]) {
    let network = source.network;
    let setup = &network.setups[source.setup];
    let is_in_the_rain = |head: HeadAt| {
        let socket = setup.placed[head].as_ref().map(|placed| placed.socket);
        let outdoors = socket.is_some_and(|socket| network.sockets[socket].place.outdoor);
        setup.weather == Weather::Rain && (outdoors || network.heads[head].place.outdoor)
    };
    heads.order_by(|a, b| {
        let wet = is_in_the_rain(*b).cmp(&is_in_the_rain(*a));
        wet.then(struck(network, *b).total_cmp(&struck(network, *a))).then(a.cmp(b))
    });
}

/// Whether a head that went out hot waits before it strikes again.
fn waits(network: &Network, head: HeadAt) -> bool {
    network.heads[head].restrike.value.is_over(Minutes::ZERO)
}

/// Heads that wait, each with its minutes.
fn cold(network: &Network, heads: &[HeadAt]) -> Cell {
    if heads.is_empty() {
        return Cell::EMPTY;
    }
    let told = heads.iter().map(|head| {
        let node = &network.heads[*head];
        format!("{} {} min", node.id, number(node.restrike.value.0))
    });
    let told: Vec<String> = told.collect();
    let rests_on = Basis::weakest(heads.iter().map(|head| network.heads[*head].restrike.origin.into()));
    Cell::marked(told.join(", "), rests_on)
}

/// What of the house goes dark with it, as far as the plan names it.
fn house(source: Source<'_>, rcd: RcdAt) -> Cell {
    let network = source.network;
    let off = &network.setups[source.setup].base_off;
    let loads = network.rcds[rcd].darkens.iter().flat_map(|circuit| {
        let base = network.circuits[*circuit].base.iter().enumerate();
        let on = base.filter(|(place, _)| !off.contains(&(*circuit, *place)));
        on.map(|(_, load)| load.name.clone().unwrap_or_else(|| "not named".to_owned()))
    });
    let names: Vec<String> = loads.collect();
    if names.is_empty() { Cell::EMPTY } else { Cell::text(names.join(", ")) }
}

/// Every head that waits, by how long: who goes out hot is not struck before.
pub(super) fn restrike_table(source: Option<Source<'_>>) -> Table {
    let columns = vec![
        Column::words("head"),
        Column::marked("cold after", "min"),
        Column::words("went out at"),
        Column::words("strike again at"),
    ];
    let rows = source.map(|source| {
        let network = source.network;
        let mut heads: Vec<HeadAt> =
            source.used.strike_order.iter().copied().filter(|head| waits(network, *head)).collect();
        let minutes = |head: &HeadAt| network.heads[*head].restrike.value.0;
        heads.order_by(|a, b| minutes(b).total_cmp(&minutes(a)));
        let row = |head: &HeadAt| {
            let node = &network.heads[*head];
            let wait = node.restrike;
            let cells = vec![
                Cell::text(node.id.as_str()),
                Cell::number(wait.value.0, 1, Rounding::Up, wait.origin.into()),
                Cell::BLANK,
                Cell::BLANK,
            ];
            Row::of(cells)
        };
        heads.iter().map(row).collect()
    });
    let title = "Hot heads wait".to_owned();
    Table { part: "restrike", title, columns, rows: rows.unwrap_or_default() }
}
