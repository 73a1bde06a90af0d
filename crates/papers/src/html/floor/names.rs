//! Where the names of marks stand, so that they cover neither marks nor each other where there is room.

use unicode_width::UnicodeWidthStr;

use crate::drawing::Drawing;

/// Width of a letter, by its height; on the safe side for everyday fonts.
const WIDE: f64 = 0.62;

/// An upright rectangle in metres.
#[derive(Clone, Copy)]
struct Area {
    left: f64,
    top: f64,
    right: f64,
    bottom: f64,
}

impl Area {
    fn around((x, y): (f64, f64), half: (f64, f64)) -> Self {
        Self { left: x - half.0, top: y - half.1, right: x + half.0, bottom: y + half.1 }
    }

    /// How much of another it covers, square metres.
    fn covers(&self, other: &Self) -> f64 {
        let across = self.right.min(other.right) - self.left.max(other.left);
        let down = self.bottom.min(other.bottom) - self.top.max(other.top);
        across.max(0.0) * down.max(0.0)
    }

    /// How much of it is outside of a page, square metres.
    fn outside(&self, page: &Self) -> f64 {
        (self.right - self.left) * (self.bottom - self.top) - self.covers(page)
    }
}

/// The left end and the middle line of each mark's name, for letters `letter` metres high: beside the mark
/// where that covers least.
pub(super) fn places(drawing: &Drawing, letter: f64) -> Vec<(f64, f64)> {
    let half = letter / 2.0;
    let page = Area { left: 0.0, top: 0.0, right: drawing.size.0, bottom: drawing.size.1 };
    let mut taken: Vec<Area> = drawing.marks.iter().map(|mark| Area::around(mark.at, (half, half))).collect();
    taken.extend(drawing.rooms.iter().map(|room| {
        let width = letter * WIDE * wide(&room.name);
        let (x, y) = room.corner;
        Area { left: x, top: y, right: x + width, bottom: y + 1.4 * letter }
    }));
    let mut places = Vec::new();
    for mark in &drawing.marks {
        let width = letter * WIDE * wide(&mark.name);
        let (x, y) = mark.at;
        let (beside, above) = (letter * 0.75 + width / 2.0, letter * 1.1);
        let centres = [
            (x + beside, y),
            (x - beside, y),
            (x, y - above),
            (x, y + above),
            (x + beside, y - above),
            (x + beside, y + above),
            (x - beside, y - above),
            (x - beside, y + above),
        ];
        let cost = |centre: (f64, f64)| {
            let area = Area::around(centre, (width / 2.0, half));
            taken.iter().map(|other| area.covers(other)).sum::<f64>() + area.outside(&page)
        };
        let best =
            centres.into_iter().map(|centre| (centre, cost(centre))).min_by(|a, b| a.1.total_cmp(&b.1));
        let centre = best.map_or(mark.at, |(centre, _)| centre);
        taken.push(Area::around(centre, (width / 2.0, half)));
        places.push((centre.0 - width / 2.0, centre.1));
    }
    places
}

#[expect(clippy::cast_precision_loss, reason = "names are short")]
fn wide(name: &str) -> f64 {
    name.width() as f64
}
