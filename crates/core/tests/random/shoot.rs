//! A shoot of 120 heads by a fixed rule: 60 circuits behind 15 RCDs, 160 sockets, four setups, leads counted.

use std::fmt::Write as _;

/// Circuits, `C0` and on.
pub const CIRCUITS: usize = 60;
const SOCKETS: usize = 160;
const HEADS: usize = 120;
/// RCDs of the house, `R0` and on.
pub const RCDS: usize = CIRCUITS / 4;
/// Setups, `s0` and on.
pub const SETUPS: usize = 4;

/// Metres along the two walls of a corridor.
fn socket_place(socket: usize) -> (usize, usize) {
    (socket / 2, if socket.is_multiple_of(2) { 0 } else { 12 })
}

/// Where a head stands: some metres from the socket that it is plugged into.
fn head_place(head: usize) -> (usize, usize) {
    let (x, y) = socket_place(head_socket(head));
    (x + head % 3, if y == 0 { 1 + head % 5 } else { 11 - head % 5 })
}

/// Three sockets of four have a head.
fn head_socket(head: usize) -> usize {
    head * SOCKETS / HEADS
}

/// The text of the plan.
pub fn shoot() -> String {
    let mut text = String::from(
        "ampwalk = 1\n[location]\nname = \"Long House\"\nregion = \"au\"\nboard = \"found\"\n\
         [supply.house]\nkind = \"mains\"\nwiring = \"star\"\nlimit_a = 400\n\
         [floor.g]\nlevel = 0\n[room.g]\nfloor = \"g\"\n",
    );
    for rcd in 0..RCDS {
        let _ = writeln!(text, "[rcd.R{rcd}]\nrated_ma = 30\nkind = \"A\"");
    }
    for circuit in 0..CIRCUITS {
        let (line, rcd) = (circuit % 3 + 1, circuit / 4);
        let _ = writeln!(
            text,
            "[circuit.C{circuit}]\nsupply = \"house\"\nline = \"L{line}\"\nbreaker_a = 20\ncurve = \"C\"\n\
             rcd = \"R{rcd}\"\nbase = [{{ name = \"fridge\", amps = 0.6, leak_ma = 1 }}]"
        );
    }
    for socket in 0..SOCKETS {
        let (x, y) = socket_place(socket);
        let circuit = socket * CIRCUITS / SOCKETS;
        let held = 10 + 5 * (circuit / 4 % 4);
        let _ = writeln!(
            text,
            "[socket.S{socket}]\nroom = \"g\"\nat = [{x}, {y}]\noutlet = \"au-10\"\nways = 2\ntest = \"ok\"\n\
             circuit = \"C{circuit}\"\nramp = {{ held_ma = {held}, tripped_ma = {} }}",
            held + 5
        );
    }
    let classes = ["led-300", "discharge-1k2", "tungsten-650", "led-600", "fluorescent-220", "discharge-575"];
    for head in 0..HEADS {
        let ((x, y), class) = (head_place(head), classes[head % classes.len()]);
        let _ = writeln!(
            text,
            "[head.H{head}]\nclass = \"{class}\"\nroom = \"g\"\nat = [{x}, {y}]\nimportance = {}\n\
             socket = \"S{}\"\nleads = [\"a\"]",
            1 + head * 7 % 9,
            head_socket(head)
        );
    }
    text.push_str(
        "[cable.a]\nlength_m = 10\nmm2 = 1.5\ncount = 140\n[cable.b]\nlength_m = 20\nmm2 = 2.5\ncount = 30\n\
         [cable.c]\nlength_m = 30\nmm2 = 2.5\ncount = 10\n",
    );
    for setup in 0..SETUPS {
        let on: Vec<String> =
            (0..HEADS).filter(|head| head % 4 != setup).map(|head| format!("\"H{head}\"")).collect();
        let _ = writeln!(text, "[setup.s{setup}]\nminutes = 120\non = [{}]", on.join(", "));
    }
    text
}
