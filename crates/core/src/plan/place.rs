//! The location, its floors and its rooms.

use crate::id::FloorId;
use crate::library::RegionCode;
use crate::unit::{Celsius, Metres};

/// The table `[location]`.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Location {
    /// What the crew calls it.
    pub name: Option<String>,
    /// Volts, hertz, words, outlets and rules.
    pub region: Option<RegionCode>,
    /// Dry unless said; a setup may say its own.
    pub weather: Option<Weather>,
    /// Whether the board was found. Until it is, no ramp or breaker test is proposed.
    pub board: Option<Board>,
    /// Who has the board's key, and how long that takes.
    pub board_key: Option<String>,
    /// Temperature around the board.
    pub ambient: Option<Celsius>,
    /// Where runs between floors go.
    pub stair: Option<Point>,
}

/// Rain makes untested sockets, missing RCDs and joints outdoors dangerous.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Weather {
    /// No rain.
    #[default]
    Dry,
    /// Rain, or all wet from it.
    Rain,
}

/// Whether the crew can reach the board.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Board {
    /// Found and open.
    Found,
    /// Not found yet.
    #[default]
    NotFound,
    /// Found, but locked.
    Locked,
}

impl Weather {
    /// Every one, with its word in the file.
    pub const WORDS: [(&'static str, Self); 2] = [("dry", Self::Dry), ("rain", Self::Rain)];
}

impl Board {
    /// Every one, with its word in the file.
    pub const WORDS: [(&'static str, Self); 3] =
        [("found", Self::Found), ("not-found", Self::NotFound), ("locked", Self::Locked)];
}

/// A place on a floor.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Point {
    /// Metres to the right of the floor's origin.
    pub x: Metres,
    /// Metres up the page from the floor's origin.
    pub y: Metres,
}

/// A floor of the building.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Floor {
    /// 0 is the ground floor.
    pub level: i32,
    /// What the crew calls it.
    pub name: Option<String>,
}

/// A room, or a place outdoors.
#[derive(Clone, Debug, PartialEq)]
pub struct Room {
    /// The floor that it is on.
    pub floor: FloorId,
    /// What the crew calls it.
    pub name: Option<String>,
    /// Its outline; a room without one is listed, not drawn.
    pub area: Option<BoxArea>,
    /// Bathroom, laundry, pool side.
    pub wet: bool,
    /// Outdoors.
    pub outdoor: bool,
}

/// An upright rectangle on a floor.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BoxArea {
    /// The corner with the least x and y.
    pub corner: Point,
    /// Along x.
    pub width: Metres,
    /// Along y.
    pub depth: Metres,
}
