//! Where names stand, so that they cover neither marks nor leads nor each other where there is room.

use unicode_width::UnicodeWidthStr;

use crate::drawing::{Drawing, DrawnLead, DrawnRoom, Mark};

/// Width of a letter, by its height; on the safe side for everyday fonts.
const WIDE: f64 = 0.62;

/// The left end and the middle line of each name.
pub(super) struct Places {
    pub(super) rooms: Vec<(f64, f64)>,
    pub(super) marks: Vec<(f64, f64)>,
}

/// Where the names of a drawing stand, for letters `letter` metres high: each where it covers least.
pub(super) fn places(drawing: &Drawing, letter: f64) -> Places {
    let half = letter / 2.0;
    let page = Area { left: 0.0, top: 0.0, right: drawing.size.0, bottom: drawing.size.1 };
    let taken = drawing.marks.iter().map(|mark| Area::around(mark.at, (half, half))).collect();
    let mut board = Board { page, taken, leads: &drawing.leads, letter };
    let rooms = drawing.rooms.iter().map(|room| board.put(&room.name, &in_room(room, letter))).collect();
    let marks = drawing.marks.iter().map(|mark| board.put(&mark.name, &beside(mark, letter))).collect();
    Places { rooms, marks }
}

/// Middles of a room's name, best first: above, else below, else in the middle.
fn in_room(room: &DrawnRoom, letter: f64) -> Vec<(f64, f64)> {
    let ((x, y), (width, depth)) = (room.corner, room.size);
    let half = wide(&room.name, letter) / 2.0;
    let (left, middle) = (x + half + 0.4 * letter, x + width / 2.0);
    let (top, bottom) = (y + 0.75 * letter, y + depth - 0.75 * letter);
    vec![(left, top), (middle, top), (left, bottom), (middle, bottom), (middle, y + depth / 2.0)]
}

/// Middles of a mark's name, best first: to its right, else around it.
fn beside(mark: &Mark, letter: f64) -> Vec<(f64, f64)> {
    let (x, y) = mark.at;
    let (beside, above) = (letter * 0.75 + wide(&mark.name, letter) / 2.0, letter * 1.1);
    vec![
        (x + beside, y),
        (x - beside, y),
        (x, y - above),
        (x, y + above),
        (x + beside, y - above),
        (x + beside, y + above),
        (x - beside, y - above),
        (x - beside, y + above),
    ]
}

/// What is on the paper already.
struct Board<'a> {
    page: Area,
    taken: Vec<Area>,
    leads: &'a [DrawnLead],
    letter: f64,
}

impl Board<'_> {
    /// Takes the first of the middles at which a name covers least: the left end of its middle line.
    fn put(&mut self, name: &str, middles: &[(f64, f64)]) -> (f64, f64) {
        let half = (wide(name, self.letter) / 2.0, self.letter / 2.0);
        let areas = middles.iter().map(|middle| Area::around(*middle, half));
        let rated = areas.map(|area| (area, self.cost(&area)));
        let Some((best, _)) = rated.min_by(|a, b| a.1.total_cmp(&b.1)) else { return (0.0, 0.0) };
        self.taken.push(best);
        (best.left, f64::midpoint(best.top, best.bottom))
    }

    /// What a name there covers, square metres; a lead counts as if a tenth of a letter wide.
    fn cost(&self, area: &Area) -> f64 {
        let names: f64 = self.taken.iter().map(|other| area.covers(other)).sum();
        let leads: f64 = self.leads.iter().map(|lead| area.length_within(lead)).sum();
        names + leads * self.letter * 0.1 + area.outside(&self.page)
    }
}

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

    /// How many metres of a lead are within: what is left of it between two uprights and two levels.
    fn length_within(&self, lead: &DrawnLead) -> f64 {
        let (along, down) = (lead.to.0 - lead.from.0, lead.to.1 - lead.from.1);
        let (mut begin, mut end) = (0.0_f64, 1.0_f64);
        for (from, step, least, most) in
            [(lead.from.0, along, self.left, self.right), (lead.from.1, down, self.top, self.bottom)]
        {
            if step.abs() < f64::EPSILON {
                if from < least || from > most {
                    return 0.0;
                }
                continue;
            }
            let (one, other) = ((least - from) / step, (most - from) / step);
            begin = begin.max(one.min(other));
            end = end.min(one.max(other));
        }
        (end - begin).max(0.0) * along.hypot(down)
    }
}

/// How wide a name is, metres.
#[expect(clippy::cast_precision_loss, reason = "names are short")]
fn wide(name: &str, letter: f64) -> f64 {
    name.width() as f64 * letter * WIDE
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::drawing::MarkKind;

    fn area(left: f64, top: f64, right: f64, bottom: f64) -> Area {
        Area { left, top, right, bottom }
    }

    fn lead(from: (f64, f64), to: (f64, f64)) -> DrawnLead {
        DrawnLead { head: "H1".to_owned(), from, to }
    }

    #[test]
    fn what_is_covered_is_what_geometry_says() {
        let square = area(0.0, 0.0, 2.0, 2.0);
        assert_eq!(square.covers(&area(1.0, 1.0, 4.0, 4.0)).to_bits(), 1.0_f64.to_bits());
        assert_eq!(square.covers(&area(2.0, 0.0, 4.0, 4.0)).to_bits(), 0.0_f64.to_bits());
        assert_eq!(square.outside(&area(1.0, 0.0, 9.0, 9.0)).to_bits(), 2.0_f64.to_bits());
        // The diagonal of a square with sides of 2; a level line through it; lines beside it.
        let within = |from, to| square.length_within(&lead(from, to));
        assert!((within((-1.0, -1.0), (3.0, 3.0)) - 8.0_f64.sqrt()).abs() < 1e-12);
        assert!((within((-1.0, 1.0), (1.0, 1.0)) - 1.0).abs() < 1e-12);
        assert!(within((-1.0, 3.0), (3.0, 3.0)).abs() < 1e-12);
        assert!(within((3.0, 0.0), (3.0, 2.0)).abs() < 1e-12);
        assert!(within((5.0, 5.0), (9.0, 9.0)).abs() < 1e-12);
    }

    #[test]
    fn names_avoid_marks_leads_and_each_other() {
        let mark = |name: &str, at| Mark { name: name.to_owned(), kind: MarkKind::Used, at };
        let mut drawing = Drawing {
            size: (20.0, 20.0),
            marks: vec![mark("G1", (10.0, 10.0)), mark("G2", (18.0, 4.0))],
            ..Drawing::default()
        };
        // To the right of the mark: 0.75 m from its middle.
        let (x, y) = places(&drawing, 1.0).marks[0];
        assert!((x - 10.75).abs() < 1e-9 && (y - 10.0).abs() < 1e-9, "{x} {y}");
        // A lead to the right: to the left, whose end is 0.75 m and two letters of 0.62 m before.
        drawing.leads.push(lead((10.0, 10.0), (18.0, 10.0)));
        let (x, y) = places(&drawing, 1.0).marks[0];
        assert!((x - (10.0 - 0.75 - 1.24)).abs() < 1e-9 && (y - 10.0).abs() < 1e-9, "{x} {y}");
        // A mark in the corner where a room's name would be.
        drawing.rooms.push(DrawnRoom { name: "Hall".to_owned(), corner: (2.0, 2.0), size: (9.0, 4.0) });
        assert!((places(&drawing, 1.0).rooms[0].0 - 2.4).abs() < 1e-9);
        drawing.marks.push(mark("G3", (3.0, 2.5)));
        assert!((places(&drawing, 1.0).rooms[0].0 - (6.5 - 1.24)).abs() < 1e-9, "in the middle");
    }
}
