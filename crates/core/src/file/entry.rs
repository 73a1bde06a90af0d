//! One entry of a plan, by itself.

use crate::id::{BlockId, CableId, CircuitId, FloorId, HeadId, RcdId, RoomId, SetupId, SocketId, SupplyId};
use crate::plan::{Block, Cable, Circuit, Floor, Head, Plan, Rcd, Room, Setup, Socket, Supply};

/// An entry with its id, as it was read again.
#[derive(Clone, Debug, PartialEq)]
pub enum Entry {
    /// A supply.
    Supply(SupplyId, Box<Supply>),
    /// A residual-current device.
    Rcd(RcdId, Box<Rcd>),
    /// A circuit.
    Circuit(CircuitId, Box<Circuit>),
    /// A floor.
    Floor(FloorId, Box<Floor>),
    /// A room.
    Room(RoomId, Box<Room>),
    /// A socket.
    Socket(SocketId, Box<Socket>),
    /// A head.
    Head(HeadId, Box<Head>),
    /// A type of lead.
    Cable(CableId, Box<Cable>),
    /// A type of splitter.
    Block(BlockId, Box<Block>),
    /// A setup.
    Setup(SetupId, Box<Setup>),
}

/// Entries that were read again.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Entries {
    /// Those that are there, as they are now; new ones go last.
    pub read: Vec<Entry>,
    /// Those that are gone: table and id.
    pub gone: Vec<(&'static str, Box<str>)>,
}

impl From<Entry> for Entries {
    fn from(entry: Entry) -> Self {
        Self { read: vec![entry], gone: Vec::new() }
    }
}

impl Entries {
    /// Puts them in their places.
    pub fn put(self, plan: &mut Plan) {
        for (table, id) in &self.gone {
            take_out(plan, table, id);
        }
        for entry in self.read {
            entry.put(plan);
        }
    }
}

fn take_out(plan: &mut Plan, table: &str, id: &str) {
    match table {
        "supply" => drop(plan.supplies.shift_remove(id)),
        "rcd" => drop(plan.rcds.shift_remove(id)),
        "circuit" => drop(plan.circuits.shift_remove(id)),
        "floor" => drop(plan.floors.shift_remove(id)),
        "room" => drop(plan.rooms.shift_remove(id)),
        "socket" => drop(plan.sockets.shift_remove(id)),
        "head" => drop(plan.heads.shift_remove(id)),
        "cable" => drop(plan.cables.shift_remove(id)),
        "block" => drop(plan.blocks.shift_remove(id)),
        "setup" => drop(plan.setups.shift_remove(id)),
        _ => {}
    }
}

impl Entry {
    /// Puts it in the place of the one that the plan has by its id, or last.
    fn put(self, plan: &mut Plan) {
        match self {
            Self::Supply(id, supply) => drop(plan.supplies.insert(id, *supply)),
            Self::Rcd(id, rcd) => drop(plan.rcds.insert(id, *rcd)),
            Self::Circuit(id, circuit) => drop(plan.circuits.insert(id, *circuit)),
            Self::Floor(id, floor) => drop(plan.floors.insert(id, *floor)),
            Self::Room(id, room) => drop(plan.rooms.insert(id, *room)),
            Self::Socket(id, socket) => drop(plan.sockets.insert(id, *socket)),
            Self::Head(id, head) => drop(plan.heads.insert(id, *head)),
            Self::Cable(id, cable) => drop(plan.cables.insert(id, *cable)),
            Self::Block(id, block) => drop(plan.blocks.insert(id, *block)),
            Self::Setup(id, setup) => drop(plan.setups.insert(id, *setup)),
        }
    }

    /// Whether nothing that is read of other entries hangs on what has changed of it: loops, the lines that
    /// arrive at circuits, names of base loads. What names it by its id does not.
    pub(super) fn leaves_others_as_they_are(&self, plan: &Plan) -> bool {
        match self {
            Self::Supply(id, now) => plan.supplies.get(id).is_some_and(|was| was.wiring == now.wiring),
            Self::Rcd(id, now) => plan.rcds.get(id).is_some_and(|was| was.behind == now.behind),
            Self::Circuit(id, now) => plan.circuits.get(id).is_some_and(|was| {
                let names = |circuit: &Circuit| -> Vec<Option<String>> {
                    circuit.base.iter().map(|base| base.name.clone()).collect()
                };
                (&was.supply, &was.from, was.line, &was.neutral_with)
                    == (&now.supply, &now.from, now.line, &now.neutral_with)
                    && names(was) == names(now)
            }),
            // A box on a socket hangs on the socket's circuit.
            Self::Socket(id, now) => plan.sockets.get(id).is_none_or(|was| {
                was.circuit == now.circuit
                    || plan.circuits.values().all(|circuit| circuit.from.as_ref() != Some(id))
            }),
            Self::Floor(..)
            | Self::Room(..)
            | Self::Head(..)
            | Self::Cable(..)
            | Self::Block(..)
            | Self::Setup(..) => true,
        }
    }
}
