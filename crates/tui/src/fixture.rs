//! Plans for the tests of this crate, of our own invention.

use std::sync::Arc;

use ampwalk_core::file;
use ampwalk_core::network::Network;

/// A house of two floors: one RCD over both, one wrong label, one reversed socket, one not traced.
pub(crate) const HOUSE: &str = r#"ampwalk = 1

# walked with the caretaker
[location]
name = "Harbour Street 14"
region = "au"
board = "found"
stair = [8, 5]

[supply.house]
kind = "mains"
limit_a = 63

[rcd.RA]
rated_ma = 30

[rcd.RB]
rated_ma = 30

[circuit.P1]
supply = "house"
breaker_a = 20
curve = "C"
rcd = "RA"
base = [{ name = "router", amps = 0.5 }]

[circuit.P2]
supply = "house"
breaker_a = 20
curve = "C"
rcd = "RA"
base = [{ name = "fridge", amps = 0.65, leak_ma = 8, owner_can_switch_off = true }, { name = "hob hood", amps = 1.35 }]

[circuit.P3]
supply = "house"
breaker_a = 20
curve = "C"
rcd = "RB"
base = [{ name = "washer standby", amps = 0.3 }]

[circuit.P4]
supply = "house"
breaker_a = 20
curve = "C"
rcd = "RA"
base = [{ name = "clocks", amps = 0.8 }]

[circuit.AC]
supply = "house"
breaker_a = 20
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
name = "Living"
box = [0, 0, 7, 9]

[room.dining]
floor = "ground"
name = "Dining"
box = [7, 5, 4, 4]

[room.kitchen]
floor = "ground"
name = "Kitchen"
box = [11, 3, 4, 6]

[room.laundry]
floor = "ground"
name = "Laundry"
box = [11, 0, 4, 3]
wet = true

[room.garden]
floor = "ground"
name = "Garden"
box = [0, -6, 15, 6]
outdoor = true

[room.bed1]
floor = "up"
name = "Bed 1"
box = [0, 4, 7, 5]

[room.landing]
floor = "up"
name = "Landing"
box = [7, 0, 4, 9]

[room.bed2]
floor = "up"
name = "Bed 2"
box = [11, 3, 4, 6]

[socket.G1]
room = "living"
at = [2, 8]
ways = 2
plate_a = 20
circuit = "P1"
label = "P1"
test = "ok"
ramp = { held_ma = 10, tripped_ma = 15 }

[socket.G2]
room = "living"
at = [3, 1]
ways = 2
plate_a = 20
circuit = "P1"
label = "P1"
test = "ok"

[socket.G3]
room = "dining"
at = [9, 8]
ways = 2
plate_a = 20
circuit = "P2"
label = "P1"          # wrong: the trace says P2
test = "ok"

[socket.G4]
room = "kitchen"
at = [12, 6]
ways = 2
plate_a = 20
test = "ok"

[socket.G5]
room = "laundry"
at = [13, 1]
ways = 2
plate_a = 20
circuit = "P3"
label = "P3"
test = "ok"
ramp = { held_ma = 20, tripped_ma = 25 }

[socket.G6]
room = "garden"
at = [6, -1]
circuit = "P3"
label = "P3"
test = "ok"

[socket.G7]
room = "living"
at = [5, 8]
outlet = "au-15"
circuit = "AC"
label = "AC"
test = "ok"

[socket.U1]
room = "bed1"
at = [3, 8]
ways = 2
plate_a = 20
circuit = "P4"
label = "P4"
test = "ok"

[socket.U2]
room = "landing"
at = [8, 4]
circuit = "P4"
label = "P4"
test = "ok"

[socket.U3]
room = "bed2"
at = [12, 7]
ways = 2
plate_a = 20
circuit = "P4"
label = "P4"
test = "reversed"

[head.A]
class = "discharge-2k5"
room = "garden"
at = [5, -4]
plug = "au-15"

[head.B]
class = "discharge-1k2"
room = "garden"
at = [8, -4]

[head.C]
class = "discharge-1k2"
room = "living"
at = [1, 9]
socket = "G1"
leads = ["a10"]

[head.D]
class = "led-600"
room = "living"
at = [4, 5]
socket = "G1"
leads = ["a10"]

[head.E]
class = "led-300"
room = "living"
at = [6, 6]
socket = "G3"
leads = ["a10"]

[head.G]
class = "led-600"
room = "bed1"
at = [4, 6]
socket = "U1"
leads = ["a10"]

[head.V]
class = "monitors"
room = "living"
at = [4, 3]
socket = "G5"
leads = ["a20"]

[head.Q]
class = "chargers"
room = "laundry"
at = [13, 2]
socket = "G5"

[cable.a10]
length_m = 10
mm2 = 1.5
plug = "au-10"
count = 6

[cable.a20]
length_m = 20
mm2 = 2.5
plug = "au-10"
count = 4

[cable.b20]
length_m = 20
mm2 = 2.5
plug = "au-15"
count = 2

[setup.day]
name = "Day interior"
start = "09:00"
minutes = 240
on = ["A", "B", "C", "D", "E", "V", "Q"]

[setup.night]
name = "Bedroom night"
start = "19:00"
minutes = 180
on = ["G", "V", "Q", "C"]
sockets = { C = { socket = "G5", leads = ["a20"] } }

[setup.dinner]
name = "Dinner"
start = "22:00"
minutes = 120
on = ["D", "E", "V", "Q"]
"#;

/// A plan with so many heads, half as many circuits and rooms, on three floors, without positions.
pub(crate) fn big(heads: usize) -> String {
    use std::fmt::Write as _;
    let mut text = String::from(
        "ampwalk = 1\n[location]\nname = \"Works\"\nregion = \"eu\"\n[supply.house]\nkind = \"mains\"\nwiring = \"star\"\nlimit_a = 250\n",
    );
    for floor in 0..3 {
        let _ = write!(text, "[floor.f{floor}]\nlevel = {floor}\n");
    }
    for at in 0..heads / 2 {
        let _ = write!(
            text,
            "[rcd.R{at}]\nrated_ma = 30\n[circuit.C{at}]\nsupply = \"house\"\nline = \"L{}\"\nbreaker_a = 16\nrcd = \"R{at}\"\n[room.r{at}]\nfloor = \"f{}\"\n",
            at % 3 + 1,
            at % 3
        );
    }
    let mut on = Vec::new();
    for at in 0..heads {
        let _ = write!(
            text,
            "[socket.S{at}]\nroom = \"r{}\"\ncircuit = \"C{}\"\ntest = \"ok\"\nramp = {{ held_ma = 15, tripped_ma = 20 }}\n[head.H{at}]\nclass = \"led-600\"\nsocket = \"S{at}\"\n",
            at / 2,
            at / 2
        );
        on.push(format!("\"H{at}\""));
    }
    let _ = write!(text, "[setup.day]\nminutes = 240\non = [{}]\n", on.join(", "));
    text
}

/// A plan's text, resolved. Fails where the text has a problem.
pub(crate) fn network(text: &str) -> Network {
    let parsed = file::parse(text);
    assert!(
        parsed.problems.iter().all(|problem| problem.gravity == file::Gravity::Note),
        "{:?}",
        parsed.problems
    );
    Network::of(Arc::new(parsed.plan))
}
