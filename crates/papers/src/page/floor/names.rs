//! Where names stand on a floor: at the first place around their mark that is free.

use crate::drawing::{DrawnRoom, Mark, MarkKind};

use super::super::flow::{Flow, Look};
use super::super::fold::Folded;
use super::super::{Form, Ink, LINE, Part, Rect};
use super::Floor;

/// Between a mark and its name, in points.
const GAP: f32 = 2.0;
/// A name that is longer than this share of the page is told below: nobody sees which mark it is of.
const LONG: f32 = 0.2;
/// Between two names, in points.
const APART: f32 = 1.2;
/// How far a name may be away that is led to its mark by a line, in parts of its height.
const FAR: f32 = 1.6;

/// What is on the floor already.
pub(super) struct Board<'a> {
    floor: &'a Floor<'a>,
    taken: Vec<Rect>,
    leads: Vec<((f32, f32), (f32, f32))>,
}

impl<'a> Board<'a> {
    /// All marks and leads of a floor, and no name yet.
    pub(super) fn of(floor: &'a Floor<'a>) -> Self {
        let half = floor.half + 0.5;
        let around = |mark: &Mark| {
            let (x, y) = floor.at(mark.at);
            Rect { x: x - half, y: y - half, width: 2.0 * half, height: 2.0 * half }
        };
        Self {
            floor,
            taken: floor.drawing.marks.iter().map(around).collect(),
            leads: floor.drawing.leads.iter().map(|lead| (floor.at(lead.from), floor.at(lead.to))).collect(),
        }
    }

    /// Names a room along one of its walls, inside; whether there was a place.
    pub(super) fn name_room(
        &mut self,
        flow: &mut Flow<'_, '_>,
        room: &DrawnRoom,
        name: &str,
        part: Part,
    ) -> bool {
        let look = self.floor.look;
        let (left, top) = self.floor.at(room.corner);
        let (right, bottom) = self.floor.at((room.corner.0 + room.size.0, room.corner.1 + room.size.1));
        let (wide, high) = (flow.fonts.width(name, look.face) * look.size, look.size * LINE);
        if wide + 4.0 > right - left || high + 4.0 > bottom - top {
            return false;
        }
        let across = [left + 2.0, f32::midpoint(left, right) - wide / 2.0, right - wide - 2.0];
        let down = [top + 2.0, bottom - high - 2.0, f32::midpoint(top, bottom) - high / 2.0];
        let places = down.iter().flat_map(|y| across.map(|x| Rect { x, y: *y, width: wide, height: high }));
        let free: Vec<Rect> = places.filter(|rect| self.is_free(rect)).collect();
        let best = free.iter().find(|rect| !self.is_crossed(rect)).or(free.first()).copied();
        best.is_some_and(|rect| {
            self.put(flow, name, look, rect, part);
            true
        })
    }

    /// Names a mark beside it, else a little further away with a line to it; whether there was a place.
    pub(super) fn name_mark(&mut self, flow: &mut Flow<'_, '_>, mark: &Mark, name: &str, part: Part) -> bool {
        let mut look = self.floor.look;
        if mark.kind == MarkKind::Head {
            look.face = look.face.bold();
        }
        let at = self.floor.at(mark.at);
        let (wide, high) = (flow.fonts.width(name, look.face) * look.size, look.size * LINE);
        if wide > self.floor.area.width * LONG {
            return false;
        }
        let near: Vec<Rect> = around(at, self.floor.half + GAP, (wide, high));
        let far: Vec<Rect> = around(at, self.floor.half + high * FAR, (wide, high));
        let is_free = |rect: &&Rect| self.is_free(rect);
        let (near, far): (Vec<&Rect>, Vec<&Rect>) =
            (near.iter().filter(is_free).collect(), far.iter().filter(is_free).collect());
        let uncrossed = near.iter().find(|rect| !self.is_crossed(rect)).or(near.first()).copied().copied();
        if let Some(rect) = uncrossed {
            self.put(flow, name, look, rect, part);
            return true;
        }
        let Some(rect) = far.iter().find(|rect| !self.is_crossed(rect)).or(far.first()).copied().copied()
        else {
            return false;
        };
        let end = (at.0.clamp(rect.x, rect.right()), at.1.clamp(rect.y, rect.bottom()));
        flow.draw(Form::Line { from: at, to: end, thick: 0.3 }, Ink::Grey, part);
        self.put(flow, name, look, rect, part);
        true
    }

    fn put(&mut self, flow: &mut Flow<'_, '_>, name: &str, look: Look, rect: Rect, part: Part) {
        let line = Folded { text: name.to_owned(), width: rect.width / look.size };
        flow.set(&[line], look, rect, part);
        self.taken.push(rect);
    }

    /// Whether a place is on the paper and covers no mark and no name.
    fn is_free(&self, rect: &Rect) -> bool {
        let area = &self.floor.area;
        let is_within = rect.x >= area.x
            && rect.right() <= area.right()
            && rect.y >= area.y
            && rect.bottom() <= area.bottom();
        // Two names in a row are two words.
        let spaced = Rect { x: rect.x - APART, width: rect.width + 2.0 * APART, ..*rect };
        is_within && !self.taken.iter().any(|other| spaced.covers(other))
    }

    /// Whether a lead runs through a place.
    fn is_crossed(&self, rect: &Rect) -> bool {
        self.leads.iter().any(|(from, to)| crosses(rect, *from, *to))
    }
}

/// Places around a mark at a distance: to its right, to its left, above, below, then at its corners.
fn around((x, y): (f32, f32), away: f32, (wide, high): (f32, f32)) -> Vec<Rect> {
    let (right, left, centre) = (x + away, x - away - wide, x - wide / 2.0);
    let (above, below, level) = (y - away - high, y + away, y - high / 2.0);
    let places = [
        (right, level),
        (left, level),
        (centre, above),
        (centre, below),
        (right, above),
        (right, below),
        (left, above),
        (left, below),
    ];
    places.into_iter().map(|(x, y)| Rect { x, y, width: wide, height: high }).collect()
}

/// Whether a straight line runs through a rectangle: what is left of it between two uprights and two levels.
fn crosses(rect: &Rect, from: (f32, f32), to: (f32, f32)) -> bool {
    let (mut begin, mut end) = (0.0_f32, 1.0_f32);
    for (from, step, least, most) in
        [(from.0, to.0 - from.0, rect.x, rect.right()), (from.1, to.1 - from.1, rect.y, rect.bottom())]
    {
        if step.abs() < f32::EPSILON {
            if from < least || from > most {
                return false;
            }
            continue;
        }
        let (one, other) = ((least - from) / step, (most - from) / step);
        begin = begin.max(one.min(other));
        end = end.min(one.max(other));
    }
    begin < end
}
