//! Sockets and plates, resolved.

use indexmap::IndexMap;

use crate::id::PlateId;
use crate::library::{Outlet, Region};
use crate::network::build::plug;
use crate::network::place::{dense, index_of};
use crate::network::ramp::never_tripped;
use crate::network::upstream::Reaches;
use crate::network::{
    At, Dense, Known, Origin, Place, PlateAt, PlateNode, Reach, SocketAt, SocketNode, SupplyAt, SupplyNode,
    Terminals,
};
use crate::plan::{Plan, Socket};

pub(super) fn sockets(
    plan: &Plan,
    region: &Region,
    reaches: &mut Reaches<'_>,
) -> (Dense<SocketAt, SocketNode>, Dense<PlateAt, PlateNode>) {
    let mut plates: Dense<PlateAt, PlateNode> = Dense::default();
    let mut shared: IndexMap<PlateId, PlateAt> = IndexMap::new();
    let sockets = dense(&plan.sockets, |id, socket| {
        let at = SocketAt::new(plan.sockets.get_index_of(id).unwrap_or_default());
        let (_, outlet) = plug(region, socket.outlet.as_ref());
        let ways = Known::or(socket.ways, Origin::Default, 1);
        let plate = match &socket.plate {
            Some(name) => *shared.entry(name.clone()).or_insert_with(|| {
                plates.push(PlateNode { id: Some(name.clone()), sockets: Vec::new(), limit: None })
            }),
            None => plates.push(PlateNode { id: None, sockets: Vec::new(), limit: None }),
        };
        join_plate(&mut plates[plate], at, socket, &outlet, ways.value);
        SocketNode {
            id: id.clone(),
            place: Place::new(plan, Some(socket.room.as_str()), socket.at),
            outlet,
            ways,
            plate,
            circuit: socket.circuit.as_ref().and_then(|id| index_of(&plan.circuits, id.as_str())),
            reach: reaches.of_socket(at),
            portable: socket.portable_rcd.as_ref().and_then(|id| index_of(&plan.rcds, id.as_str())),
            feeds: Vec::new(),
            test: socket.test.unwrap_or_default(),
            terminals: Terminals { volts: region.volts, lines: 1 },
            never_tripped: socket.ramps.iter().any(|ramp| never_tripped(ramp, region)),
        }
    });
    (sockets, plates)
}

/// What a plate carries: the least that is said of it; else, where it takes two plugs or more, what
/// such plates usually carry.
fn join_plate(
    plate: &mut PlateNode,
    at: SocketAt,
    socket: &Socket,
    outlet: &Known<Option<&'static Outlet>>,
    ways: u32,
) {
    plate.sockets.push(at);
    let usual = || {
        let amps = outlet.value?.plate_amps?;
        (ways > 1 || plate.sockets.len() > 1).then_some(Known { value: amps, origin: Origin::Region })
    };
    let said = socket.plate_limit.map(|value| Known { value, origin: Origin::Plan }).or_else(usual);
    plate.limit = match (plate.limit, said) {
        (Some(had), Some(now)) if had.origin == now.origin => {
            Some(if now.value.0 < had.value.0 { now } else { had })
        }
        (Some(had), Some(now)) => Some(if had.origin < now.origin { had } else { now }),
        (had, now) => had.or(now),
    };
}

pub(super) fn terminals(
    socket: &SocketNode,
    reach: &Reach,
    supplies: &Dense<SupplyAt, SupplyNode>,
    region: &Region,
) -> Terminals {
    let lines = socket.outlet.value.map_or(1, |outlet| outlet.lines);
    // An untraced socket may be on circuits of several lines; its outlet tells one line from two.
    let fitting = reach
        .supplies
        .iter()
        .find(|part| part.what.1.conductors().len() == usize::from(lines))
        .or_else(|| reach.supplies.first());
    match fitting {
        Some(part) => {
            let (supply, line) = part.what;
            let supply = &supplies[supply];
            let conductors = u8::try_from(line.conductors().len()).unwrap_or(1);
            // A one-line outlet on a circuit of several lines hangs between one of them and neutral.
            if lines == 1 && conductors > 1 {
                return Terminals { volts: supply.volts.value, lines: 1 };
            }
            Terminals { volts: supply.volts_between(line), lines: conductors }
        }
        None => Terminals { volts: region.volts, lines: if lines == 3 { 3 } else { 1 } },
    }
}
