//! A house for the tests of the views, our own invention.

use std::sync::{Arc, OnceLock};

use ampwalk_core::assess::{Assessment, assess};
use ampwalk_core::network::{At, Network, SetupAt};
use ampwalk_core::trace::Report;
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

use crate::scene::Scene;
use crate::theme::Theme;
use crate::widget::list::Places;

/// A two-storey house on 63 A: a wrong label, a swapped outlet, an untraced one, an RCD over both
/// floors, a base load that its owner may switch off, a discharge head that may not start.
pub(crate) const HOUSE: &str = r#"ampwalk = 1
[location]
name = "Mill House"
region = "au"
board = "found"
stair = [8, 5]
[supply.house]
kind = "mains"
limit_a = 63
[rcd.RA]
rated_ma = 30
kind = "A"
[rcd.RB]
rated_ma = 30
[circuit.P1]
supply = "house"
breaker_a = 20
curve = "C"
rcd = "RA"
name = "ground west"
base = [ { name = "clock", amps = 0.5 } ]
[circuit.P2]
supply = "house"
breaker_a = 20
curve = "C"
rcd = "RA"
base = [ { name = "fridge", amps = 0.65, owner_can_switch_off = true }, { name = "oven", amps = 1.35 } ]
[circuit.P4]
supply = "house"
breaker_a = 20
curve = "C"
rcd = "RA"
[circuit.P3]
supply = "house"
breaker_a = 20
curve = "C"
rcd = "RB"
keep_on = "sump pump"
base = [ { name = "pump", amps = 1.0, leak_ma = 2 } ]
hours = ["06:00", "22:00"]
[circuit.AC]
supply = "house"
breaker_a = 10
curve = "C"
rcd = "RB"
[floor.ground]
level = 0
name = "Ground floor"
[floor.up]
level = 1
name = "Upstairs"
[room.living]
floor = "ground"
name = "Living room"
[room.dining]
floor = "ground"
name = "Dining room"
[room.laundry]
floor = "ground"
name = "Laundry"
wet = true
[room.bed2]
floor = "up"
name = "Café 客厅"
[room.landing]
floor = "up"
[socket.G1]
room = "living"
ways = 2
circuit = "P1"
label = "P1"
test = "ok"
ramp = { held_ma = 10, tripped_ma = 15 }
[socket.G2]
room = "living"
ways = 2
circuit = "P1"
label = "P1"
test = "ok"
[socket.G7]
room = "living"
outlet = "au-15"
circuit = "AC"
label = "AC"
test = "ok"
[socket.G3]
room = "dining"
ways = 2
circuit = "P2"
label = "P1"
test = "ok"
[socket.G4]
room = "dining"
ways = 2
circuit = "P2"
test = "ok"
[socket.G5]
room = "laundry"
ways = 2
circuit = "P3"
test = "ok"
ramp = { held_ma = 20, tripped_ma = 25 }
[socket.U1]
room = "landing"
ways = 2
circuit = "P4"
label = "P4"
test = "ok"
[socket.U2]
room = "landing"
circuit = "P4"
test = "ok"
[socket.U4]
room = "landing"
test = "ok"
ban = "the owner's aquarium"
circuit = "P4"
[socket.U5]
room = "landing"
test = "ok"
[socket.U6]
room = "landing"
circuit = "P4"
[socket.U3]
room = "bed2"
ways = 2
circuit = "P4"
label = "P4"
test = "reversed"
[head.A]
class = "discharge-2k5"
plug = "au-15"
socket = "G7"
[head.B]
class = "discharge-1k2"
[head.C]
class = "discharge-1k2"
socket = "G1"
leads = ["a10"]
[head.D]
class = "led-600"
socket = "G2"
[head.E]
class = "led-300"
socket = "U5"
[cable.a10]
length_m = 10
mm2 = 1.5
count = 6
[setup.day]
name = "Day interior"
start = "09:00"
minutes = 240
on = ["A", "B", "C", "D", "E"]
[setup.night]
minutes = 60
on = ["D"]
base_off = ["P2.fridge"]
[[trip]]
at = "2026-03-02T14:05:00"
device = "RA"
last_struck = "C"
reset = "held"
"#;

/// A plan with all that a scene needs.
pub(crate) struct House {
    network: Network,
    assessment: Assessment,
    report: OnceLock<Report>,
}

impl House {
    pub(crate) fn usual() -> Self {
        Self::of(HOUSE)
    }

    pub(crate) fn of(text: &str) -> Self {
        let parsed = ampwalk_core::file::parse(text);
        assert!(parsed.problems.is_empty(), "{:?}", parsed.problems);
        let network = Network::of(Arc::new(parsed.plan));
        let assessment = assess(&network);
        Self { network, assessment, report: OnceLock::new() }
    }

    /// The first setup with the cursor on a row.
    pub(crate) fn scene(&self, row: usize) -> Scene<'_> {
        let setup = (!self.network.setups.is_empty()).then(|| SetupAt::new(0));
        Scene {
            network: &self.network,
            assessment: &self.assessment,
            setup,
            row,
            theme: Theme::Monochrome,
            struck: &[],
            report: &self.report,
        }
    }

    /// What a view shows, line by line, without blanks at the ends of lines.
    pub(crate) fn drawn(
        &self,
        draw: impl Fn(&Scene<'_>, Rect, &mut Buffer) -> Places,
        width: u16,
        height: u16,
        row: usize,
    ) -> Vec<String> {
        let area = Rect::new(0, 0, width, height);
        let mut buffer = Buffer::empty(area);
        draw(&self.scene(row), area, &mut buffer);
        lines(&buffer)
    }

    /// The same as one text with single blanks.
    pub(crate) fn said(
        &self,
        draw: impl Fn(&Scene<'_>, Rect, &mut Buffer) -> Places,
        width: u16,
        height: u16,
        row: usize,
    ) -> String {
        flat(&self.drawn(draw, width, height, row))
    }
}

/// Lines as one text with single blanks.
pub(crate) fn flat(lines: &[String]) -> String {
    lines.join(" ").split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The lines of a buffer, without blanks at their ends.
pub(crate) fn lines(buffer: &Buffer) -> Vec<String> {
    use unicode_width::UnicodeWidthStr;
    let width = usize::from(buffer.area.width);
    if width == 0 {
        return Vec::new();
    }
    let line = |cells: &[ratatui::buffer::Cell]| {
        let mut text = String::new();
        let mut skip = 0;
        for cell in cells {
            if skip == 0 {
                text.push_str(cell.symbol());
                skip = cell.symbol().width().max(1);
            }
            skip -= 1;
        }
        text.trim_end().to_owned()
    };
    buffer.content.chunks(width).map(line).collect()
}

/// Draws a view at every size from nothing to large, at an edge of a buffer, and on plans with
/// nothing in them.
pub(crate) fn survives_every_size(draw: impl Fn(&Scene<'_>, Rect, &mut Buffer) -> Places) {
    let houses = [House::usual(), House::of("ampwalk = 1\n[location]\nregion = \"uk\"\n")];
    for house in &houses {
        for width in (0..=130).step_by(6).chain([1, 2, 10, 40, 80]) {
            for height in (0..=45).step_by(7).chain([1, 2, 3, 20, 24]) {
                for row in [0, usize::MAX] {
                    let area = Rect::new(0, 0, width, height);
                    draw(&house.scene(row), area, &mut Buffer::empty(area));
                }
            }
        }
        let mut buffer = Buffer::empty(Rect::new(0, 0, 30, 10));
        draw(&house.scene(0), Rect::new(20, 5, 80, 20), &mut buffer);
        draw(&house.scene(0), Rect::new(40, 20, 80, 20), &mut buffer);
    }
}
