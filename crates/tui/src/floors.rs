//! Pages of the Plot screen: one a floor, from the lowest up, and one for what is on none.

use ampwalk_core::network::{At, Network, SocketAt};
use ampwalk_core::order::Order as _;
use ampwalk_core::plan::Room;

use crate::text::capital;

/// One page.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Page {
    /// Index of the floor in the plan; `None`: sockets whose room or floor is not known.
    pub floor: Option<usize>,
    /// What it is called.
    pub name: String,
    /// Its rooms that hold sockets, as indices of the plan, in the order of the file; `None` holds
    /// those whose room is not known.
    pub rooms: Vec<(Option<usize>, Vec<SocketAt>)>,
}

impl Page {
    /// Its sockets, room by room.
    pub fn sockets(&self) -> impl Iterator<Item = SocketAt> {
        self.rooms.iter().flat_map(|(_, sockets)| sockets.iter().copied())
    }
}

/// The pages of a plan, from the lowest floor up. Every socket is on exactly one of them; a floor
/// without a socket has none.
#[must_use]
pub fn pages(network: &Network) -> Vec<Page> {
    let plan = &network.plan;
    let mut pages: Vec<Page> = Vec::new();
    for (socket, node) in network.sockets.iter() {
        let floor = node.place.floor;
        let index = pages.iter().position(|page| page.floor == floor).unwrap_or_else(|| {
            let known = floor.and_then(|at| plan.floors.get_index(at));
            let name = known.map_or_else(
                || "Floor not known".to_owned(),
                |(id, floor)| floor.name.clone().unwrap_or_else(|| capital(id.as_str())),
            );
            pages.push(Page { floor, name, rooms: Vec::new() });
            pages.len() - 1
        });
        let rooms = &mut pages[index].rooms;
        match rooms.iter_mut().find(|(room, _)| *room == node.place.room) {
            Some((_, sockets)) => sockets.push(socket),
            None => rooms.push((node.place.room, vec![socket])),
        }
    }
    for page in &mut pages {
        page.rooms.order_by_key(|(room, _)| room.unwrap_or(usize::MAX));
    }
    pages.order_by_key(|page| page.floor.map_or((i32::MAX, usize::MAX), |at| (level(network, at), at)));
    pages
}

fn level(network: &Network, floor: usize) -> i32 {
    network.plan.floors.get_index(floor).map_or(0, |(_, floor)| floor.level)
}

/// The page that a socket is on.
#[must_use]
pub fn page_of(pages: &[Page], socket: SocketAt) -> Option<usize> {
    pages.iter().position(|page| page.sockets().any(|own| own == socket))
}

/// What a room is called, with what makes it a special place for electricity.
#[must_use]
pub fn room_name(network: &Network, room: Option<usize>) -> String {
    let Some((id, room)) = room.and_then(|at| network.plan.rooms.get_index(at)) else {
        return "room not known".to_owned();
    };
    let name = room.name.clone().unwrap_or_else(|| id.as_str().to_owned());
    format!("{name}{}", marks(room))
}

fn marks(room: &Room) -> &'static str {
    match (room.outdoor, room.wet) {
        (true, _) => ", outdoor",
        (false, true) => ", wet",
        (false, false) => "",
    }
}

/// How many sockets there are, page by page: `at` counts from 0.
#[must_use]
pub fn is_socket_on(pages: &[Page], page: usize, socket: SocketAt) -> bool {
    pages.get(page).is_some_and(|page| page.sockets().any(|own| own.get() == socket.get()))
}
