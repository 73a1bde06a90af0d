//! The cable pull list: what of each lead and block must be on the truck, and what each run of it does.
//!
//! Blank on it, because no plan says it: the route, adaptors, test tags, and whether a drum is wound off.

use ampwalk_core::assess::{Assessment, PlugUse, own_links};
use ampwalk_core::diagnose::lead_ids;
use ampwalk_core::network::{At, HeadAt, Link, Network, SetupAt, SocketAt};
use ampwalk_core::physics::cable::Laid;
use ampwalk_core::plan::ConductorSize;
use ampwalk_core::unit::{Amps, Metres};

use crate::frame::{bare, caution, count, length, length_column, listed, place_fields};
use crate::names;
use crate::sheet::{Basis, Cell, Column, Kind, Rounding, Row, Sheet, Table};

/// The cable pull list over all setups. `assessment` is that of `network`. Counted as the assessment counts:
/// leads of heads that are on; one that several heads share once.
#[must_use]
pub fn cable_sheet(network: &Network, assessment: &Assessment) -> Sheet {
    let lead = &network.region.words.lead;
    Sheet {
        title: "Cable pull list".to_owned(),
        fields: place_fields(network),
        tables: vec![stock_table(network, assessment), run_table(network, assessment)],
        notes: vec![
            "A \"-\" says nothing. Needed: in the setup that asks for most; what stays out for a head that is off \
             there is not counted. Short: load that many more, or change the plan. A rating marked ? is a \
             table's, not printed on it: read it off."
                .to_owned(),
            format!(
                "Wind every {lead} off its drum wholly before it carries anything. Drop is what is lost on these {lead}s; \
                 the building's own wires lose more. Nothing without a test tag in date, nothing damaged."
            ),
            caution(network),
        ],
        ..bare(network, Kind::Cables, None)
    }
}

/// Pieces of a link in a setup, each with the heads on it.
fn pieces(assessment: &Assessment, setup: SetupAt, link: Link) -> Vec<Vec<HeadAt>> {
    let used = &assessment.setups[setup];
    let mut found = Vec::new();
    let mut left: Vec<&PlugUse> = used.sockets.iter().flat_map(|(_, socket)| &socket.plugs).collect();
    while let Some(plug) = left.pop() {
        let Some(first) = plug.heads.first() else { continue };
        let own = used.heads[*first].as_ref().filter(|_| plug.block.is_none());
        let own = own.map_or(&[][..], |head| own_links(&head.links));
        let here = plug.trunk.iter().chain(own).filter(|other| **other == link);
        found.extend(here.map(|_| plug.heads.clone()));
        left.extend(&plug.onward);
    }
    found
}

fn stock_table(network: &Network, assessment: &Assessment) -> Table {
    let words = &network.region.words;
    let columns = vec![
        Column::words(&words.lead),
        length_column(network, "length"),
        Column::marked("size", ""),
        Column::words("ends"),
        Column::marked("rating", "A"),
        Column::marked("needed", "pcs"),
        Column::marked("on truck", "pcs"),
        Column::marked("short", "pcs"),
        Column::words("most in"),
        Column::words("for heads"),
        Column::words("off the drum"),
        Column::words("adaptors"),
        Column::words("tag date"),
    ];
    let cables = network.cables.indices().map(Link::Cable);
    let links = cables.chain(network.blocks.indices().map(Link::Block));
    let rows = links.map(|link| stock_row(network, assessment, link)).collect();
    Table { part: "lead", title: "To load".to_owned(), columns, rows }
}

fn stock_row(network: &Network, assessment: &Assessment, link: Link) -> Row {
    let mut most: (usize, Option<SetupAt>) = (0, None);
    let mut heads: Vec<HeadAt> = Vec::new();
    for setup in assessment.setups.indices() {
        let here = pieces(assessment, setup, link);
        if here.len() > most.0 {
            most = (here.len(), Some(setup));
        }
        heads.extend(here.into_iter().flatten());
    }
    heads.sort_unstable();
    heads.dedup();
    let (mut cells, on_truck) = match link {
        Link::Cable(_) => lead_cells(network, link),
        Link::Block(_) => block_cells(network, link),
    };
    cells.push(count(most.0, Basis::Plan));
    cells.push(on_truck.map_or(Cell::EMPTY, |pieces| count(pieces, Basis::Plan)));
    cells.push(on_truck.map_or(Cell::EMPTY, |pieces| count(most.0.saturating_sub(pieces), Basis::Plan)));
    cells.push(listed(most.1.map(|setup| network.setup_id(setup))));
    cells.push(listed(heads.iter().map(|head| network.head_id(*head))));
    let is_wound = matches!(link, Link::Cable(cable) if network.cables[cable].laid == Laid::Wound);
    cells.push(if is_wound { Cell::text("NO: stays wound") } else { Cell::BLANK });
    cells.extend([Cell::BLANK, Cell::BLANK]);
    Row::of(cells)
}

/// Name, length, size, ends and rating; and how many the truck has.
fn lead_cells(network: &Network, link: Link) -> (Vec<Cell>, Option<usize>) {
    let Link::Cable(at) = link else { return (Vec::new(), None) };
    let node = &network.cables[at];
    let size = network.plan.cables.get_index(at.get()).map(|(_, cable)| cable.size);
    let size = size.map_or(Cell::EMPTY, |size| {
        let text = match size {
            ConductorSize::SquareMillimetres(area) => format!("{area} mm²"),
            ConductorSize::Gauge(gauge) if gauge <= 0 => format!("AWG {}/0", 1 - gauge),
            ConductorSize::Gauge(gauge) => format!("AWG {gauge}"),
        };
        Cell::marked(text, Basis::Plan)
    });
    let lines = node.plug.value.map_or(1, |plug| plug.lines);
    let fuse = node.fuse.map(|fuse| fuse.value);
    let plug = node.plug.value.map(|plug| plug.amps);
    let rests_on = if node.is_printed { Basis::Plan } else { Basis::Assumed };
    let carries = network.lead_carries(at, lines).map(|carries| {
        let least = fuse.into_iter().chain(plug).fold(carries, Amps::min);
        Cell::number(least.0, 1, Rounding::Down, rests_on)
    });
    let cells = vec![
        Cell::text(node.id.as_str()),
        length(network, node.length, Rounding::Down, Basis::Plan),
        size,
        Cell::text(node.plug_id.as_str()),
        carries.unwrap_or_else(|| Cell::marked("not known", Basis::Assumed)),
    ];
    (cells, node.count.map(|count| count as usize))
}

fn block_cells(network: &Network, link: Link) -> (Vec<Cell>, Option<usize>) {
    let Link::Block(at) = link else { return (Vec::new(), None) };
    let node = &network.blocks[at];
    let of_plug = node.plug.value.map(|plug| (plug.amps, Basis::Assumed));
    let rated = node.rated.map(|amps| (amps, Basis::Plan)).or(of_plug);
    let cells = vec![
        Cell::text(node.id.as_str()),
        Cell::EMPTY,
        Cell::marked(format!("{} ways", node.ways.value), node.ways.origin.into()),
        Cell::text(node.plug_id.as_str()),
        rated.map_or(Cell::EMPTY, |(amps, rests_on)| Cell::number(amps.0, 1, Rounding::Down, rests_on)),
    ];
    (cells, node.count.map(|count| count as usize))
}

/// One way from a socket to a head, in whichever setups.
struct Run {
    head: HeadAt,
    socket: SocketAt,
    links: Vec<Link>,
    laid: Metres,
    needed: Option<Metres>,
    drop: Option<f64>,
}

fn runs(network: &Network, assessment: &Assessment) -> Vec<Run> {
    let mut runs: Vec<Run> = Vec::new();
    for head in names::heads_by_number(network) {
        for (_, used) in assessment.setups.iter() {
            let Some(used) = used.heads[head].as_ref() else { continue };
            let Some(socket) = used.socket.filter(|_| !used.links.is_empty()) else { continue };
            let drop = used.drop_percent();
            let same = |run: &&mut Run| run.head == head && run.socket == socket && run.links == used.links;
            match runs.iter_mut().find(same) {
                // Shared leads lose more in one setup than in another.
                Some(run) => run.drop = run.drop.zip(drop).map(|(had, now)| had.max(now)),
                None => runs.push(Run {
                    head,
                    socket,
                    links: used.links.clone(),
                    laid: used.lead,
                    needed: used.lead_needed,
                    drop,
                }),
            }
        }
    }
    runs
}

fn run_table(network: &Network, assessment: &Assessment) -> Table {
    let words = &network.region.words;
    let columns = vec![
        Column::words("head"),
        Column::words(format!("from {}", words.socket)),
        Column::words("over"),
        length_column(network, "laid"),
        length_column(network, "needed"),
        length_column(network, "spare"),
        Column::marked("drop", "%"),
        Column::words("route: door, stairs, ramp, tape"),
    ];
    let row = |run: &Run| {
        let needed = run.needed.map(|needed| length(network, needed, Rounding::Up, Basis::Plan));
        let spare = run.needed.map(|needed| length(network, run.laid - needed, Rounding::Down, Basis::Plan));
        // Resistance is a standard's, for its size.
        let drop = run.drop.map(|drop| Cell::number(drop, 1, Rounding::Up, Basis::Assumed));
        let cells = vec![
            Cell::text(network.head_id(run.head).as_str()),
            Cell::text(network.socket_id(run.socket).as_str()),
            Cell::text(lead_ids(network, &run.links).join(" + ")),
            length(network, run.laid, Rounding::Down, Basis::Plan),
            needed.unwrap_or(Cell::EMPTY),
            spare.unwrap_or(Cell::EMPTY),
            drop.unwrap_or_else(|| Cell::marked("not known", Basis::Assumed)),
            Cell::BLANK,
        ];
        Row::of(cells)
    };
    let rows = runs(network, assessment).iter().map(row).collect();
    Table { part: "run", title: format!("To lay, each {}", words.lead), columns, rows }
}
