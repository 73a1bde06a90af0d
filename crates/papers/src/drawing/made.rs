//! Drawings from a plan: one for each floor on which the place of anything is known.

use ampwalk_core::network::{HeadAt, Network, Place, SocketAt};
use ampwalk_core::order::Order as _;
use ampwalk_core::plan::{Point, Room};

use super::{Drawing, DrawnLead, DrawnRoom, Mark, MarkKind, scale};
use crate::frame::Source;
use crate::labels::{forbidden, never};
use crate::names::{heads_by_number, room, sockets_by_number};

/// Paper around what is drawn, metres.
const MARGIN: f64 = 1.0;
/// No length of a plan is longer than this, so that what is drawn stays finite whatever is given.
const FARTHEST: f64 = 1e6;

/// What is drawn of a floor.
struct Drawn<'a> {
    network: &'a Network,
    floor: Option<usize>,
    sockets: Vec<(SocketAt, MarkKind)>,
    heads: Vec<(HeadAt, Option<SocketAt>)>,
    /// A survey asks what is there, not what is free.
    is_survey: bool,
}

/// The floors of a setup: which sockets are forbidden, used or free, the heads that are on or plugged in,
/// and their leads.
pub(crate) fn of_setup(source: Source<'_>) -> Vec<Drawing> {
    let network = source.network;
    let setup = &network.setups[source.setup];
    let plugged = |socket: SocketAt| {
        setup.placed.iter().any(|(_, put)| put.as_ref().is_some_and(|put| put.socket == socket))
    };
    let kind = |socket: SocketAt| {
        // What is plugged in where nothing may be is no less forbidden; its lead shows that it is used.
        if forbidden(source, socket).is_some() {
            MarkKind::Forbidden
        } else if plugged(socket) {
            MarkKind::Used
        } else {
            MarkKind::Free
        }
    };
    let sockets: Vec<_> = sockets_by_number(network).into_iter().map(|at| (at, kind(at))).collect();
    let heads: Vec<_> = heads_by_number(network)
        .into_iter()
        .filter(|head| setup.is_on[*head] || setup.placed[*head].is_some())
        .map(|head| (head, setup.placed[head].as_ref().map(|put| put.socket)))
        .collect();
    drawings(network, &sockets, &heads, false)
}

/// The floors with their sockets, for the walk.
pub(crate) fn of_survey(network: &Network) -> Vec<Drawing> {
    let kind = |at: SocketAt| if never(network, at).is_some() { MarkKind::Forbidden } else { MarkKind::Free };
    let sockets: Vec<_> = sockets_by_number(network).into_iter().map(|at| (at, kind(at))).collect();
    drawings(network, &sockets, &[], true)
}

fn drawings(
    network: &Network,
    sockets: &[(SocketAt, MarkKind)],
    heads: &[(HeadAt, Option<SocketAt>)],
    is_survey: bool,
) -> Vec<Drawing> {
    let plan = &network.plan;
    let mut floors: Vec<usize> = (0..plan.floors.len()).collect();
    floors.order_by_key(|at| (plan.floors.get_index(*at).map_or(0, |(_, floor)| floor.level), *at));
    floors
        .into_iter()
        .map(Some)
        .chain([None])
        .filter_map(|floor| {
            let here = |place: &Place| place.floor == floor;
            let sockets = sockets.iter().filter(|(at, _)| here(&network.sockets[*at].place)).copied();
            let heads = heads.iter().filter(|(at, _)| here(&network.heads[*at].place)).copied();
            let (sockets, heads) = (sockets.collect(), heads.collect());
            Drawn { network, floor, sockets, heads, is_survey }.drawing()
        })
        .collect()
}

/// The corners of what is drawn, in the plan's metres.
#[derive(Clone, Copy)]
struct Bounds {
    left: f64,
    top: f64,
    size: (f64, f64),
}

impl Bounds {
    /// `None` where there is nothing to draw.
    fn of(points: &[(f64, f64)]) -> Option<Self> {
        let first = points.first()?;
        let (mut least, mut most) = (*first, *first);
        for point in points {
            least = (least.0.min(point.0), least.1.min(point.1));
            most = (most.0.max(point.0), most.1.max(point.1));
        }
        let size = (most.0 - least.0 + 2.0 * MARGIN, most.1 - least.1 + 2.0 * MARGIN);
        Some(Self { left: least.0 - MARGIN, top: most.1 + MARGIN, size })
    }

    /// A place of the plan on the paper, where y goes down.
    fn on_paper(self, point: (f64, f64)) -> (f64, f64) {
        (point.0 - self.left, self.top - point.1)
    }
}

impl Drawn<'_> {
    /// `None` where no place is known, so that there is nothing to draw.
    fn drawing(&self) -> Option<Drawing> {
        let network = self.network;
        let boxes: Vec<DrawnRoom> = self.rooms().filter_map(boxed).collect();
        let socket = |at: SocketAt| place(&network.sockets[at].place);
        let head = |at: HeadAt| place(&network.heads[at].place);
        let mut points: Vec<(f64, f64)> = Vec::new();
        points.extend(boxes.iter().flat_map(|room| {
            let ((x, y), (width, depth)) = (room.corner, room.size);
            [(x, y), (x + width, y + depth)]
        }));
        points.extend(self.sockets.iter().filter_map(|(at, _)| socket(*at)));
        points.extend(self.heads.iter().filter_map(|(at, _)| head(*at)));
        let bounds = Bounds::of(&points)?;
        let upright = |room: DrawnRoom| DrawnRoom {
            corner: bounds.on_paper((room.corner.0, room.corner.1 + room.size.1)),
            ..room
        };
        let of_sockets = self.sockets.iter().filter_map(|(at, kind)| {
            let at_paper = bounds.on_paper(socket(*at)?);
            Some(Mark { name: network.socket_id(*at).to_string(), kind: *kind, at: at_paper })
        });
        let of_heads = self.heads.iter().filter_map(|(at, _)| {
            let at_paper = bounds.on_paper(head(*at)?);
            Some(Mark { name: network.head_id(*at).to_string(), kind: MarkKind::Head, at: at_paper })
        });
        let leads = self.heads.iter().filter_map(|(at, plugged)| {
            let from = plugged.filter(|from| self.is_here(*from))?;
            let (from, to) = (bounds.on_paper(socket(from)?), bounds.on_paper(head(*at)?));
            Some(DrawnLead { head: network.head_id(*at).to_string(), from, to })
        });
        let marks: Vec<Mark> = of_sockets.chain(of_heads).collect();
        Some(Drawing {
            title: self.title(),
            size: bounds.size,
            rooms: boxes.into_iter().map(upright).collect(),
            leads: leads.collect(),
            scale: scale::bar(bounds.size.0, network.lengths),
            legend: self.legend(&marks),
            not_drawn: self.not_drawn(),
            marks,
        })
    }

    fn rooms(&self) -> impl Iterator<Item = (&str, &Room)> {
        let plan = &self.network.plan;
        let floor = self.floor.and_then(|at| plan.floors.get_index(at)).map(|(id, _)| id);
        let rooms = plan.rooms.iter().filter(move |(_, room)| match floor {
            Some(id) => room.floor == *id,
            None => !plan.floors.contains_key(&room.floor),
        });
        rooms.map(|(id, room)| (room.name.as_deref().unwrap_or(id.as_str()), room))
    }

    fn title(&self) -> String {
        let known = self.floor.and_then(|at| self.network.plan.floors.get_index(at));
        known.map_or_else(
            || "Floor not known".to_owned(),
            |(id, floor)| floor.name.clone().unwrap_or_else(|| format!("Floor {id}")),
        )
    }

    fn is_here(&self, socket: SocketAt) -> bool {
        self.network.sockets[socket].place.floor == self.floor
    }

    /// Words for the kinds of marks that are there.
    fn legend(&self, marks: &[Mark]) -> Vec<(MarkKind, String)> {
        let socket = &self.network.region.words.socket;
        let free = if self.is_survey { socket.clone() } else { format!("{socket}, free") };
        let kinds = [
            (MarkKind::Used, format!("{socket}, used in this setup")),
            (MarkKind::Free, free),
            (MarkKind::Forbidden, format!("{socket}, NO: nobody plugs anything in")),
            (MarkKind::Head, "head".to_owned()),
        ];
        kinds.into_iter().filter(|(kind, _)| marks.iter().any(|mark| mark.kind == *kind)).collect()
    }

    fn not_drawn(&self) -> Vec<String> {
        let network = self.network;
        let sockets = self.sockets.iter().filter(|(at, _)| place(&network.sockets[*at].place).is_none());
        let sockets = sockets.map(|(at, _)| network.socket_id(*at).to_string());
        let heads = self.heads.iter().filter(|(at, _)| place(&network.heads[*at].place).is_none());
        let heads = heads.map(|(at, _)| {
            let within = room(network, &network.heads[*at].place).map(|room| format!(" in {room}"));
            format!("head {}{}", network.head_id(*at), within.unwrap_or_default())
        });
        let elsewhere = self.heads.iter().filter(|(at, plugged)| {
            place(&network.heads[*at].place).is_some() && plugged.is_some_and(|from| !self.is_here(from))
        });
        let elsewhere =
            elsewhere.map(|(at, _)| format!("lead to {} from another floor", network.head_id(*at)));
        sockets.chain(heads).chain(elsewhere).collect()
    }
}

/// A room with the corner of the plan: that with the least x and y.
fn boxed((name, room): (&str, &Room)) -> Option<DrawnRoom> {
    let area = room.area?;
    let (corner, size) = (point(area.corner)?, (area.width.0, area.depth.0));
    let name = name.to_owned();
    (is_drawable(size.0) && is_drawable(size.1)).then_some(DrawnRoom { name, corner, size })
}

fn place(place: &Place) -> Option<(f64, f64)> {
    point(place.at?)
}

fn point(point: Point) -> Option<(f64, f64)> {
    let (x, y) = (point.x.0, point.y.0);
    (is_drawable(x) && is_drawable(y)).then_some((x, y))
}

fn is_drawable(metres: f64) -> bool {
    metres.abs() <= FARTHEST
}
