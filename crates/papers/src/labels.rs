//! Labels: a sticker for every socket, a tag for every plug.

use ampwalk_core::assess::{Assessment, Subject};
use ampwalk_core::diagnose::lead_ids;
use ampwalk_core::library::OutletUse;
use ampwalk_core::network::{At, Network, RcdAt, SetupAt, SocketAt};
use ampwalk_core::plan::TestOutcome;
use ampwalk_core::rule::Severity;
use ampwalk_core::rule::words::{number, tester};
use ampwalk_core::unit::{Amps, MilliAmps};

use crate::basis;
use crate::frame::{Source, bare, caution, fields, listed, no_setup};
use crate::names;
use crate::sheet::{Basis, Cell, Column, Kind, Rounding, Row, Sheet, Table};

/// Ratings over this protect no person (IEC 60364-4-41 411.3.3).
const PERSONAL: MilliAmps = MilliAmps(30.0);

/// Labels of a setup: each socket with what is free on it, or with NO and the reason. `assessment` is that of
/// `network`. Without a setup, or with one that the plan has not, the tables are empty and a note says why.
#[must_use]
pub fn label_sheet(network: &Network, assessment: &Assessment, setup: Option<SetupAt>) -> Sheet {
    let source = Source::of(network, assessment, setup);
    let mut notes = no_setup(source);
    let words = &network.region.words;
    let (socket, rcd) = (&words.socket, &words.rcd);
    notes.push(format!(
        "A \"-\" says nothing. Free: amps beside what is planned here, by the {socket}'s own rating and every \
         breaker before it; leakage and supply may allow less, so ask the plan before anything is added. NO: \
         nobody plugs anything in. Where there is no NO, nothing was found that forbids it; that is no test \
         of the {rcd} or the wiring."
    ));
    notes.push("A label of the crew's never replaces the owner's, and comes off at the end.".to_owned());
    notes.push(caution(network));
    Sheet {
        title: "Labels".to_owned(),
        fields: fields(network, source),
        tables: vec![socket_table(network, source), plug_table(network, source)],
        notes,
        ..bare(network, Kind::Labels, source)
    }
}

fn socket_table(network: &Network, source: Option<Source<'_>>) -> Table {
    let words = &network.region.words;
    let columns = vec![
        Column::words(&words.socket),
        Column::words("use"),
        Column::words("circuit"),
        Column::words(&words.rcd),
        Column::marked("free now", "A"),
        Column::words("heads"),
    ];
    let rows = source
        .map(|source| names::sockets_by_number(network).into_iter().map(|at| row(source, at)).collect());
    let title = format!("Stickers, one for each {}", words.socket);
    Table { part: "label", title, columns, rows: rows.unwrap_or_default() }
}

fn row(source: Source<'_>, at: SocketAt) -> Row {
    let network = source.network;
    let no = forbidden(source, at);
    let plugged =
        source.used.sockets[at].plugs.iter().flat_map(|plug| &plug.heads).map(|head| network.head_id(*head));
    let cells = vec![
        Cell::text(network.socket_id(at).as_str()),
        Cell::text(no.as_ref().map_or_else(|| "as planned".to_owned(), |reason| format!("NO: {reason}"))),
        names::circuits(network, at).map_or(Cell::EMPTY, Cell::text),
        names::rcds(network, at).map_or(Cell::EMPTY, Cell::text),
        if no.is_some() { Cell::EMPTY } else { free(source, at) },
        listed(plugged),
    ];
    Row::of(cells)
}

/// Why nobody plugs anything in here; `None` where nothing was found that forbids it.
pub(crate) fn forbidden(source: Source<'_>, at: SocketAt) -> Option<String> {
    let network = source.network;
    if let Some(reason) = never(network, at) {
        return Some(reason);
    }
    let node = &network.sockets[at];
    let is_earthed = node.outlet.value.is_none_or(|outlet| outlet.earthed);
    let is_polarised = node.outlet.value.is_none_or(|outlet| outlet.polarised);
    let is_floating =
        network.reach_of(at).supply().is_some_and(|supply| network.supplies[supply].small_floating);
    match node.test {
        TestOutcome::Ok => {}
        TestOutcome::Reversed if !is_polarised => {}
        TestOutcome::NoEarth if is_floating || !is_earthed => {}
        other => return Some(tester(network, other)),
    }
    let is_about = |subject: Subject| subject == Subject::Socket(at);
    let worst = source.assessment.findings_in(source.setup).find(|finding| is_about(finding.subject));
    if let Some(danger) = worst.filter(|finding| finding.severity == Severity::Danger) {
        return Some(danger.text.clone());
    }
    let protects =
        |rcd: RcdAt| !source.used.rcds[rcd].room.absent && !network.rcds[rcd].rated.value.is_over(PERSONAL);
    let is_proven = names::rcd_chain(network, at).into_iter().any(|(rcd, certain)| {
        certain && protects(rcd) && (!node.never_tripped || node.portable == Some(rcd))
    });
    (!is_proven && !is_floating).then(|| {
        format!("no {} of {} mA or less is known before it", network.region.words.rcd, number(PERSONAL.0))
    })
}

/// Why a socket is never used, whatever a tester says.
pub(crate) fn never(network: &Network, at: SocketAt) -> Option<String> {
    let plan = network.plan.sockets.get_index(at.get()).and_then(|(_, socket)| socket.ban.clone());
    let usage = network.sockets[at].outlet.value.map_or(OutletUse::General, |outlet| outlet.usage);
    plan.or(match usage {
        OutletUse::General => None,
        OutletUse::Shaver => Some("shaver outlet".to_owned()),
        OutletUse::Medical => Some("medical outlet".to_owned()),
        OutletUse::Ups => Some("somebody's uninterruptible supply".to_owned()),
    })
}

/// Amps left at the tightest of the outlet, its plate and every breaker before it; none are less than 0.
fn free(source: Source<'_>, at: SocketAt) -> Cell {
    let network = source.network;
    let node = &network.sockets[at];
    let Some(outlet) = node.outlet.value else { return Cell::EMPTY };
    let drawn = |socket: SocketAt| source.used.sockets[socket].amps;
    let plate = &network.plates[node.plate];
    let on_plate: Amps = plate.sockets.iter().map(|socket| drawn(*socket)).sum();
    let mut least = (outlet.amps - drawn(at), Basis::from(node.outlet.origin));
    let mut take = |left: Amps, rests_on: Basis| {
        if left.0 < least.0.0 {
            least.0 = left;
        }
        least.1 = least.1.max(rests_on);
    };
    if let Some(limit) = plate.limit {
        take(limit.value - on_plate, limit.origin.into());
    }
    for part in &network.reach_of(at).circuits {
        let used = &source.used.circuits[part.what];
        let amps = basis::running(network, &used.heads).max(basis::untraced(&used.possible_heads));
        take(used.limit - used.possible, amps.max(basis::limit(network, part.what)));
    }
    for part in &network.reach_of(at).sockets {
        if let Some(outlet) = network.sockets[part.what].outlet.value {
            take(outlet.amps - drawn(part.what), network.sockets[part.what].outlet.origin.into());
        }
    }
    Cell::number(least.0.max(Amps::ZERO).0, 1, Rounding::Down, least.1)
}

fn plug_table(network: &Network, source: Option<Source<'_>>) -> Table {
    let words = &network.region.words;
    let columns =
        vec![Column::words("head"), Column::words(format!("into {}", words.socket)), Column::words("over")];
    let rows = source.map(|source| {
        let placed = &network.setups[source.setup].placed;
        let heads = names::heads_by_number(network).into_iter();
        let tag = |head| {
            let placed = placed[head].as_ref()?;
            let leads = lead_ids(network, &placed.links);
            let cells = vec![
                Cell::text(network.head_id(head).as_str()),
                Cell::text(network.socket_id(placed.socket).as_str()),
                listed(leads),
            ];
            Some(Row::of(cells))
        };
        heads.filter_map(tag).collect()
    });
    Table { part: "tag", title: "Plug tags".to_owned(), columns, rows: rows.unwrap_or_default() }
}
