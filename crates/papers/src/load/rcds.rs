//! A footer for every RCD.

use ampwalk_core::assess::{RcdUse, Subject};
use ampwalk_core::library::Words;
use ampwalk_core::network::RcdAt;
use ampwalk_core::physics::residual::Outcome;
use ampwalk_core::plan::{RcdClass, RcdKind, word_of};
use ampwalk_core::unit::MilliAmps;

use crate::sheet::{Basis, Cell, Column, Rounding, Row, Table};

use super::{Source, basis, listed, state};

/// What of an RCD also stands beside its circuits.
pub(super) struct Figures {
    /// What it surely holds.
    pub(super) holds: Cell,
    /// What surely drops it.
    drops_at: Cell,
    /// What leaks while all burn.
    pub(super) standing: Cell,
    /// What leaks at most while heads are struck.
    pub(super) peak: Cell,
    /// What is surely left.
    pub(super) left: Cell,
    /// The chance that it drops.
    odds: Cell,
}

/// What is surely left; nothing where ramp tests went as far as it must drop and it did not.
pub(super) fn left(used: &RcdUse) -> Option<MilliAmps> {
    (!used.room.absent).then(|| used.room.room.low - used.possible_peak)
}

impl Figures {
    pub(super) fn of(source: Source<'_>, rcd: RcdAt) -> Self {
        let (network, used) = (source.network, &source.used.rcds[rcd]);
        let room = if used.room.tested { Basis::Measured } else { Basis::Assumed };
        let heads = [used.heads.as_slice(), used.possible_heads.as_slice()].concat();
        let doubt = basis::untraced(&used.possible_heads).max(basis::idle(source, rcd));
        let standing = basis::standing(network, &heads).max(doubt);
        let peak = basis::striking(network, &heads).max(doubt);
        let milliamps = |value: MilliAmps, rounding, basis| Cell::number(value.0, 2, rounding, basis);
        Self {
            holds: milliamps(used.room.room.low, Rounding::Down, room),
            drops_at: match used.room.room.high {
                Some(high) => milliamps(high, Rounding::Down, upper_end(source, rcd, high).max(room)),
                None if used.room.absent => Cell::marked("never", room),
                None => Cell::marked("not known", Basis::Assumed),
            },
            standing: milliamps(used.possible_standing, Rounding::Up, standing),
            peak: milliamps(used.possible_peak, Rounding::Up, peak),
            left: left(used).map_or(Cell::EMPTY, |left| milliamps(left, Rounding::Down, peak.max(room))),
            // That every threshold in the room is as likely as the next is an assumption.
            odds: Cell::number(100.0 * used.odds, 0, Rounding::Up, Basis::Assumed),
        }
    }
}

/// What the upper end of the room rests on: where it is the rating less what leaks anyway, on what
/// is known of the rating, not on a ramp test.
fn upper_end(source: Source<'_>, rcd: RcdAt, high: MilliAmps) -> Basis {
    let rated = source.network.rcds[rcd].rated;
    let by_rating = rated.value - source.used.rcds[rcd].room.base;
    if (high - by_rating).0.abs() < 1e-9 { rated.origin.into() } else { Basis::Measured }
}

pub(super) fn table(words: &Words, source: Option<Source<'_>>) -> Table {
    let columns = vec![
        Column::words(&words.rcd),
        Column::words("state"),
        Column::words("while striking"),
        Column::marked("odds", "%"),
        Column::marked("holds", "mA"),
        Column::marked("drops at", "mA"),
        Column::marked("leak", "mA"),
        Column::marked("peak striking", "mA"),
        Column::marked("left", "mA"),
        Column::words("ramp test"),
        Column::marked("rated", "mA"),
        Column::marked("class", ""),
        Column::words("type"),
        Column::words("darkens"),
    ];
    let rows =
        source.map(|source| source.used.rcds.iter().map(|(rcd, used)| row(source, rcd, used)).collect());
    Table { part: "rcd", title: words.rcd.clone(), columns, rows: rows.unwrap_or_default() }
}

fn row(source: Source<'_>, at: RcdAt, used: &RcdUse) -> Row {
    let network = source.network;
    let node = &network.rcds[at];
    let figures = Figures::of(source, at);
    let class = word_of(&RcdClass::WORDS, &node.class.value);
    let kind = node.kind.map(|kind| word_of(&RcdKind::WORDS, &kind));
    let cells = vec![
        Cell::text(node.id.as_str()),
        state(source, |subject| subject == Subject::Rcd(at)),
        Cell::text(outcome_words(used)),
        if used.room.absent { Cell::EMPTY } else { figures.odds },
        figures.holds,
        figures.drops_at,
        figures.standing,
        figures.peak,
        figures.left,
        Cell::text(if used.room.tested { "made" } else { "not made" }),
        Cell::number(node.rated.value.0, 0, Rounding::Nearest, node.rated.origin.into()),
        Cell::marked(class, node.class.origin.into()),
        kind.map_or(Cell::EMPTY, Cell::text),
        listed(node.darkens.iter().map(|circuit| network.circuit_id(*circuit))),
    ];
    Row::of(cells)
}

fn outcome_words(used: &RcdUse) -> &'static str {
    match used.outcome {
        _ if used.room.absent => "none proven",
        Outcome::Holds => "holds",
        Outcome::MayTrip => "may trip",
        Outcome::Trips => "trips",
    }
}
