//! The plan of a floor: rooms where they are, to scale along each axis, wider or higher only where
//! what is in them needs it. Neighbours share a wall.

use ampwalk_core::network::{Network, SocketAt};
use ampwalk_core::order::Order as _;
use ampwalk_core::plan::BoxArea;
use ratatui::layout::Rect;

use super::{Arrangement, LEAST_COLUMNS, Manner, RoomPlace, points};
use crate::floors::{Page, room_name};

/// Walls closer than this are one wall, metres.
const ONE_WALL: f64 = 0.75;

/// A room that is to be drawn.
struct Room<'a> {
    index: usize,
    area: BoxArea,
    sockets: &'a [SocketAt],
}

/// A stretch between two cuts that must have so many cells.
#[derive(Clone, Copy, Debug)]
struct Need {
    from: usize,
    to: usize,
    cells: u16,
}

/// The plan of a floor with so many lines a socket; `None` where it does not fit, or where a box or
/// a place is not known.
pub(super) fn plan(network: &Network, page: &Page, area: Rect, lines: u16) -> Option<Arrangement> {
    let drawn = rooms(network, page)?;
    let all = with_empty_rooms(network, page, &drawn);
    placed(network, &all, area, lines).or_else(|| placed(network, &drawn, area, lines))
}

fn rooms<'a>(network: &Network, page: &'a Page) -> Option<Vec<Room<'a>>> {
    page.rooms
        .iter()
        .map(|(room, sockets)| {
            let index = (*room)?;
            let (_, plan) = network.plan.rooms.get_index(index)?;
            Some(Room { index, area: plan.area?, sockets })
        })
        .collect()
}

/// The rooms that hold sockets, and those of the same floor that hold none: they help to find one's way.
fn with_empty_rooms<'a>(network: &Network, page: &Page, drawn: &[Room<'a>]) -> Vec<Room<'a>> {
    let floor = page.floor.and_then(|at| network.plan.floors.get_index(at)).map(|(id, _)| id);
    let mut all: Vec<Room<'a>> =
        drawn.iter().map(|room| Room { index: room.index, area: room.area, sockets: room.sockets }).collect();
    for (index, (_, room)) in network.plan.rooms.iter().enumerate() {
        let is_new = Some(&room.floor) == floor && !drawn.iter().any(|own| own.index == index);
        if let Some(area) = room.area.filter(|_| is_new) {
            all.push(Room { index, area, sockets: &[] });
        }
    }
    all
}

fn placed(network: &Network, rooms: &[Room<'_>], area: Rect, lines: u16) -> Option<Arrangement> {
    if rooms.is_empty() || area.width < LEAST_COLUMNS + 2 || area.height < 3 {
        return None;
    }
    let left = |room: &Room<'_>| room.area.corner.x.0;
    let right = |room: &Room<'_>| room.area.corner.x.0 + room.area.width.0;
    // Up the page is up the screen, so that rows count from the largest y down.
    let top = |room: &Room<'_>| -(room.area.corner.y.0 + room.area.depth.0);
    let bottom = |room: &Room<'_>| -room.area.corner.y.0;
    let columns = Cuts::of(rooms.iter().flat_map(|room| [left(room), right(room)]));
    let rows = Cuts::of(rooms.iter().flat_map(|room| [top(room), bottom(room)]));
    let mut spans = Vec::new();
    for room in rooms {
        let across = (columns.place(left(room)), columns.place(right(room)));
        let down = (rows.place(top(room)), rows.place(bottom(room)));
        let overlaps = |(other_across, other_down): &((usize, usize), (usize, usize))| {
            across.0 < other_across.1
                && other_across.0 < across.1
                && down.0 < other_down.1
                && other_down.0 < down.1
        };
        if across.0 >= across.1 || down.0 >= down.1 || spans.iter().any(overlaps) {
            return None;
        }
        spans.push((across, down));
    }
    let wide =
        spans.iter().map(|(across, _)| Need { from: across.0, to: across.1, cells: LEAST_COLUMNS + 1 });
    let xs = columns.cells(&wide.collect::<Vec<_>>(), area.width - 1)?;
    let high = spans.iter().zip(rooms).map(|((_, down), room)| {
        let own = u16::try_from(room.sockets.len()).unwrap_or(u16::MAX);
        Need { from: down.0, to: down.1, cells: own.saturating_mul(lines).saturating_add(1).max(2) }
    });
    let ys = rows.cells(&high.collect::<Vec<_>>(), area.height - 1)?;
    let mut shown =
        Arrangement { manner: Manner::Plan, rooms: Vec::new(), sockets: Vec::new(), before: 0, after: 0 };
    for ((across, down), room) in spans.iter().zip(rooms) {
        let walls = Rect {
            x: area.x + xs[across.0],
            y: area.y + ys[down.0],
            width: xs[across.1] - xs[across.0] + 1,
            height: ys[down.1] - ys[down.0] + 1,
        };
        shown.rooms.push(RoomPlace { area: walls, name: room_name(network, Some(room.index)) });
        shown.sockets.extend(inside(network, room, walls, lines));
    }
    Some(shown)
}

/// The sockets of a room, as far down as they are, each with its lines.
fn inside(network: &Network, room: &Room<'_>, walls: Rect, lines: u16) -> Vec<(SocketAt, Rect)> {
    let mut own = points(network, room.sockets)
        .unwrap_or_else(|| room.sockets.iter().map(|socket| (*socket, 0.0)).collect());
    own.order_by(|a, b| b.1.total_cmp(&a.1));
    let inner = walls.height.saturating_sub(2);
    let top = room.area.corner.y.0 + room.area.depth.0;
    let depth = room.area.depth.0.max(0.1);
    let count = own.len();
    let mut next = 0;
    let mut placed = Vec::new();
    for (place, (socket, y)) in own.into_iter().enumerate() {
        let still = u16::try_from(count - place).unwrap_or(u16::MAX);
        let latest = inner.saturating_sub(still.saturating_mul(lines));
        let wanted = to_cells((top - y) / depth * f64::from(inner), inner).saturating_sub(lines / 2);
        let row = wanted.max(next).min(latest.max(next));
        next = row + lines;
        let rect = Rect { x: walls.x + 1, y: walls.y + 1 + row, width: walls.width - 2, height: lines };
        placed.push((socket, rect));
    }
    placed
}

/// The places along one axis where walls are.
struct Cuts {
    metres: Vec<f64>,
}

impl Cuts {
    fn of(edges: impl Iterator<Item = f64>) -> Self {
        let mut sorted: Vec<f64> = edges.collect();
        sorted.order_by(f64::total_cmp);
        let mut metres: Vec<f64> = Vec::new();
        for edge in sorted {
            if metres.last().is_none_or(|last| edge - last >= ONE_WALL) {
                metres.push(edge);
            }
        }
        Self { metres }
    }

    fn place(&self, edge: f64) -> usize {
        self.metres.iter().rposition(|cut| edge >= *cut).unwrap_or(0)
    }

    /// The cell of each cut: as near to scale as what must fit between them lets it; `None` where
    /// there are too few cells. From the last cut back, how late each may be; then from the first
    /// on, each where scale puts it, but not before what is left of it has its place.
    fn cells(&self, needs: &[Need], last: u16) -> Option<Vec<u16>> {
        let count = self.metres.len();
        let mut latest = vec![last; count];
        for at in (0..count.saturating_sub(1)).rev() {
            latest[at] = latest[at + 1].checked_sub(1)?;
            for need in needs.iter().filter(|need| need.from == at) {
                latest[at] = latest[at].min(latest[need.to].checked_sub(need.cells)?);
            }
        }
        let origin = *self.metres.first()?;
        let length = (self.metres.last()? - origin).max(0.1);
        let mut cells: Vec<u16> = Vec::with_capacity(count);
        for (at, latest) in latest.into_iter().enumerate() {
            let mut earliest = cells.last().map_or(0, |before| before + 1);
            for need in needs.iter().filter(|need| need.to == at) {
                earliest = earliest.max(cells[need.from].checked_add(need.cells)?);
            }
            let wanted = to_cells((self.metres[at] - origin) / length * f64::from(last), last);
            cells.push(wanted.clamp(earliest, latest.max(earliest)));
        }
        (*cells.last()? <= last).then_some(cells)
    }
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped to 0 and the last cell")]
fn to_cells(cells: f64, last: u16) -> u16 {
    cells.round().clamp(0.0, f64::from(last)) as u16
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cuts_keep_to_scale_and_give_way_where_something_must_fit() {
        let cuts = Cuts::of([0.0, 6.0, 6.3, 12.0, 0.0, 12.0].into_iter());
        assert_eq!(cuts.metres, [0.0, 6.0, 12.0]);
        assert_eq!((cuts.place(6.3), cuts.place(12.0)), (1, 2));
        assert_eq!(cuts.cells(&[], 40), Some(vec![0, 20, 40]));
        let need = Need { from: 1, to: 2, cells: 30 };
        assert_eq!(cuts.cells(&[need], 40), Some(vec![0, 10, 40]));
        assert_eq!(cuts.cells(&[need, Need { from: 0, to: 1, cells: 11 }], 40), None);
    }
}
