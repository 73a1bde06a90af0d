//! Where each socket of a floor stands on the screen: inside its room on the plan of the floor where
//! that fits, else in a box a room, else in a list. No socket is ever left out without being counted.

mod scale;

use ampwalk_core::network::{Network, SocketAt};
use ratatui::layout::Rect;

use crate::floors::{Page, room_name};

/// Columns that a socket's line needs to say what it must.
pub const LEAST_COLUMNS: u16 = 17;
/// Columns of a box or of a column of the list.
const BOX_COLUMNS: u16 = 26;

/// A room on the screen.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RoomPlace {
    /// Its walls; the name of a room in a list stands on the first row.
    pub area: Rect,
    /// Its name.
    pub name: String,
}

/// How a floor is shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Manner {
    /// A plan: rooms where they are.
    Plan,
    /// A box a room, in the order of the file.
    Boxes,
    /// A list, room by room.
    List,
}

/// A floor on the screen.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Arrangement {
    /// How it is shown.
    pub manner: Manner,
    /// Its rooms.
    pub rooms: Vec<RoomPlace>,
    /// Its sockets.
    pub sockets: Vec<(SocketAt, Rect)>,
    /// Sockets before those that are shown.
    pub before: usize,
    /// Sockets after those that are shown.
    pub after: usize,
}

/// Arranges a floor in an area. `cursor` is shown whatever the size.
#[must_use]
pub fn arrange(network: &Network, page: &Page, area: Rect, cursor: Option<SocketAt>) -> Arrangement {
    for lines in [3, 2, 1] {
        if let Some(plan) = scale::plan(network, page, area, lines) {
            return plan;
        }
    }
    for lines in [2, 1] {
        if let Some(boxes) = boxes(network, page, area, lines) {
            return boxes;
        }
    }
    list(network, page, area, cursor)
}

/// A box a room, each in the column that is shortest so far.
fn boxes(network: &Network, page: &Page, area: Rect, lines: u16) -> Option<Arrangement> {
    let columns = (area.width / BOX_COLUMNS).max(1);
    let width = area.width / columns;
    if width < LEAST_COLUMNS + 2 {
        return None;
    }
    let mut filled = vec![0u16; usize::from(columns)];
    let (mut rooms, mut sockets) = (Vec::new(), Vec::new());
    for (room, own) in &page.rooms {
        let (column, top) =
            filled.iter().copied().enumerate().min_by_key(|(_, height)| *height).unwrap_or((0, 0));
        let height = u16::try_from(own.len()).ok()?.checked_mul(lines)?.checked_add(2)?;
        if top.checked_add(height)? > area.height {
            return None;
        }
        let x = area.x + width * u16::try_from(column).ok()?;
        let walls = Rect { x, y: area.y + top, width: width - 1, height };
        for (place, socket) in own.iter().enumerate() {
            let y = walls.y + 1 + u16::try_from(place).ok()? * lines;
            sockets.push((*socket, Rect { x: x + 1, y, width: walls.width - 2, height: lines }));
        }
        rooms.push(RoomPlace { area: walls, name: room_name(network, *room) });
        filled[column] = top + height;
    }
    Some(Arrangement { manner: Manner::Boxes, rooms, sockets, before: 0, after: 0 })
}

/// One row of a list.
enum Row {
    Room(Option<usize>),
    Socket(SocketAt),
}

/// Rows in as few columns as hold them all, without the names of rooms where these would take the
/// place of sockets; where even that does not do, the part that holds the cursor is shown.
fn list(network: &Network, page: &Page, area: Rect, cursor: Option<SocketAt>) -> Arrangement {
    let named: Vec<Row> = page
        .rooms
        .iter()
        .flat_map(|(room, own)| std::iter::once(Row::Room(*room)).chain(own.iter().copied().map(Row::Socket)))
        .collect();
    let bare: Vec<Row> = page.sockets().map(Row::Socket).collect();
    let most = (area.width / LEAST_COLUMNS).max(1);
    let fewest = (area.width / BOX_COLUMNS).max(1);
    let holds = |rows: &[Row], columns: u16| rows.len() <= usize::from(columns) * usize::from(area.height);
    for rows in [&named, &bare] {
        if let Some(columns) = (fewest..=most).find(|columns| holds(rows, *columns)) {
            return columns_of(network, rows, columns, area, cursor);
        }
    }
    columns_of(network, &bare, most, area, cursor)
}

fn columns_of(
    network: &Network,
    rows: &[Row],
    columns: u16,
    area: Rect,
    cursor: Option<SocketAt>,
) -> Arrangement {
    let mut shown =
        Arrangement { manner: Manner::List, rooms: Vec::new(), sockets: Vec::new(), before: 0, after: 0 };
    let height = usize::from(area.height);
    let capacity = if area.width == 0 { 0 } else { usize::from(columns) * height };
    let at_cursor = rows.iter().position(|row| matches!(row, Row::Socket(own) if Some(*own) == cursor));
    let first = at_cursor.unwrap_or(0).checked_div(capacity).unwrap_or(0) * capacity;
    let width = area.width / columns;
    for (place, row) in rows.iter().enumerate() {
        let Some(place) = place.checked_sub(first).filter(|place| *place < capacity) else {
            if let Row::Socket(_) = row {
                *(if place < first { &mut shown.before } else { &mut shown.after }) += 1;
            }
            continue;
        };
        let (column, line) = (place / height, place % height);
        let (Ok(column), Ok(line)) = (u16::try_from(column), u16::try_from(line)) else { continue };
        let gap = u16::from(column + 1 < columns);
        let rect = Rect { x: area.x + column * width, y: area.y + line, width: width - gap, height: 1 };
        match row {
            Row::Room(room) => shown.rooms.push(RoomPlace { area: rect, name: room_name(network, *room) }),
            Row::Socket(socket) => shown.sockets.push((*socket, rect)),
        }
    }
    shown
}

/// The sockets of a room in the order of the page, with their places in metres, where all are known.
fn points(network: &Network, sockets: &[SocketAt]) -> Option<Vec<(SocketAt, f64)>> {
    sockets.iter().map(|socket| Some((*socket, network.sockets[*socket].place.at?.y.0))).collect()
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;
    use crate::fixture;

    #[test]
    fn every_socket_is_shown_once_or_counted_at_any_size() {
        for text in [fixture::HOUSE.to_owned(), fixture::big(120)] {
            let network = fixture::network(&text);
            for page in crate::floors::pages(&network) {
                let all: BTreeSet<_> = page.sockets().collect();
                let cursor = page.sockets().last();
                for width in [0, 1, 5, 20, 40, 57, 90, 170] {
                    for height in [0, 1, 3, 9, 20, 50] {
                        let area = Rect::new(3, 2, width, height);
                        let shown = arrange(&network, &page, area, cursor);
                        let own: BTreeSet<_> = shown.sockets.iter().map(|(socket, _)| *socket).collect();
                        assert_eq!(own.len(), shown.sockets.len());
                        assert_eq!(own.len() + shown.before + shown.after, all.len(), "{width}x{height}");
                        assert!(area.is_empty() || cursor.is_none_or(|cursor| own.contains(&cursor)));
                        for (at, (socket, rect)) in shown.sockets.iter().enumerate() {
                            assert_eq!(rect.intersection(area), *rect, "{width}x{height} {socket:?}");
                            let crosses = |other: &(SocketAt, Rect)| other.1.intersects(*rect);
                            assert!(!shown.sockets[at + 1..].iter().any(crosses), "{width}x{height}");
                        }
                    }
                }
            }
        }
    }

    #[test]
    fn a_house_with_boxes_is_drawn_as_a_plan_at_80_by_24_and_in_more_lines_when_there_is_room() {
        let network = fixture::network(fixture::HOUSE);
        let pages = crate::floors::pages(&network);
        let small = arrange(&network, &pages[0], Rect::new(23, 4, 57, 10), None);
        assert_eq!(small.manner, Manner::Plan);
        let large = arrange(&network, &pages[0], Rect::new(30, 4, 90, 40), None);
        assert_eq!(large.manner, Manner::Plan);
        assert!(large.sockets.iter().all(|(_, rect)| rect.height > 1));
        // Further up the plan is further up the screen: G1 at y = 8, G2 at y = 1.
        let row = |id: &str| {
            let socket = network.socket(id).unwrap();
            large.sockets.iter().find(|(own, _)| *own == socket).unwrap().1.y
        };
        assert!(row("G1") < row("G2"));
    }
}
