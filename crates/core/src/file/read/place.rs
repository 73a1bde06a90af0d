//! Location, floors and rooms.

use crate::file::field::Fields;
use crate::library::RegionCode;
use crate::plan::{Board, Floor, Location, Room, Weather};
use crate::unit::Celsius;

pub(super) fn location(fields: &Fields) -> Location {
    Location {
        name: fields.text("name"),
        region: fields.word("region", &RegionCode::WORDS),
        weather: fields.word("weather", &Weather::WORDS),
        board: fields.word("board", &Board::WORDS),
        board_key: fields.text("board_key"),
        ambient: fields.number("ambient_c").map(Celsius),
        stair: fields.point("stair"),
    }
}

pub(super) fn floor(fields: &Fields) -> Option<Floor> {
    Some(Floor { level: fields.whole("level")?, name: fields.text("name") })
}

pub(super) fn room(fields: &Fields) -> Option<Room> {
    Some(Room {
        floor: fields.id("floor")?,
        name: fields.text("name"),
        area: fields.area("box"),
        wet: fields.flag("wet"),
        outdoor: fields.flag("outdoor"),
    })
}
