//! Where things stand, and how long a lead between them is.

use crate::network::{At, Dense};
use crate::plan::{Plan, Point};
use crate::unit::Metres;

/// Metres of lead for a level of height (from memory).
const LEVEL: Metres = Metres(4.0);
/// Metres of lead for its two ends.
const ENDS: Metres = Metres(2.0);

/// Where something stands.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Place {
    /// Index of the room in the plan.
    pub room: Option<usize>,
    /// Index of the floor in the plan.
    pub floor: Option<usize>,
    /// Level of the floor, 0 for the ground.
    pub level: i32,
    /// Where on the floor.
    pub at: Option<Point>,
    /// In a wet room.
    pub wet: bool,
    /// Outdoors.
    pub outdoor: bool,
}

impl Place {
    pub(crate) fn new(plan: &Plan, room: Option<&str>, at: Option<Point>) -> Self {
        let Some((index, _, room)) = room.and_then(|id| plan.rooms.get_full(id)) else {
            return Self { at, ..Self::default() };
        };
        let floor = plan.floors.get_full(room.floor.as_str());
        Self {
            room: Some(index),
            floor: floor.map(|(index, ..)| index),
            level: floor.map_or(0, |(.., floor)| floor.level),
            at,
            wet: room.wet,
            outdoor: room.outdoor,
        }
    }
}

/// Straight distance between two places of one level, where both are known.
#[must_use]
pub fn distance(a: &Place, b: &Place) -> Option<Metres> {
    if a.level != b.level {
        return None;
    }
    let (a, b) = (a.at?, b.at?);
    Some(Metres((a.x - b.x).0.hypot((a.y - b.y).0)))
}

/// Metres of lead from a socket to a head: along x and y inside a floor, by the stair and 4 m a
/// level between floors, 2 m for the ends, less the head's own tail. `None` where a position or the
/// stair is not known.
#[must_use]
pub fn lead_needed(socket: &Place, head: &Place, stair: Option<Point>, tail: Metres) -> Option<Metres> {
    let (from, to) = (socket.at?, head.at?);
    let run = if socket.level == head.level {
        along(from, to)
    } else {
        let stair = stair?;
        let levels = f64::from(socket.level.abs_diff(head.level));
        along(from, stair) + along(stair, to) + LEVEL * levels
    };
    Some((run + ENDS - tail).max(Metres::ZERO))
}

fn along(a: Point, b: Point) -> Metres {
    Metres((a.x - b.x).0.abs() + (a.y - b.y).0.abs())
}

/// The index of a key in one of the plan's maps.
pub(crate) fn index_of<K: At, Id, V>(map: &indexmap::IndexMap<Id, V>, id: &str) -> Option<K>
where
    Id: std::hash::Hash + Eq + std::borrow::Borrow<str>,
{
    map.get_index_of(id).map(K::new)
}

/// A value for every entry of one of the plan's maps.
pub(crate) fn dense<K: At, Id, V, T>(
    map: &indexmap::IndexMap<Id, V>,
    mut make: impl FnMut(&Id, &V) -> T,
) -> Dense<K, T> {
    map.iter().map(|(id, value)| make(id, value)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn place(x: f64, y: f64, level: i32) -> Place {
        Place { at: Some(Point { x: Metres(x), y: Metres(y) }), level, ..Place::default() }
    }

    #[test]
    fn a_lead_runs_along_the_walls_and_by_the_stair() {
        // Worked by hand: 0 + 12 + 2; by the stair at (8, 5): (8-5)+(8-5) + (8-5)+(5+4) + 4 + 2.
        let garden = place(5.0, -4.0, 0);
        let stair = Some(Point { x: Metres(8.0), y: Metres(5.0) });
        assert_eq!(lead_needed(&place(5.0, 8.0, 0), &garden, stair, Metres::ZERO), Some(Metres(14.0)));
        assert_eq!(lead_needed(&place(5.0, 8.0, 1), &garden, stair, Metres::ZERO), Some(Metres(24.0)));
        assert_eq!(lead_needed(&place(5.0, 8.0, 1), &garden, None, Metres::ZERO), None);
        assert_eq!(lead_needed(&place(5.0, 8.0, 0), &garden, stair, Metres(3.0)), Some(Metres(11.0)));
        assert_eq!(lead_needed(&place(5.0, -4.0, 0), &garden, stair, Metres(3.0)), Some(Metres(0.0)));
    }
}
