//! Plans of any size by a fixed rule, so that two runs measure the same: four setups, an RCD for
//! every four circuits, base loads, ramp tests, and here and there a socket that nobody traced.

use std::fmt::Write as _;

/// From a shoot's size to a campus's.
pub const SIZES: [Size; 4] = [
    Size { heads: 120, circuits: 60, sockets: 160, untraced: 4 },
    Size { heads: 300, circuits: 120, sockets: 400, untraced: 4 },
    Size { heads: 800, circuits: 320, sockets: 1060, untraced: 4 },
    Size { heads: 2000, circuits: 800, sockets: 2660, untraced: 4 },
];

/// Heads of one floor, so that a larger plan is not a denser one.
const HEADS_A_FLOOR: usize = 120;

/// How much there is of a plan.
#[derive(Clone, Copy)]
pub struct Size {
    /// Heads.
    pub heads: usize,
    /// Circuits.
    pub circuits: usize,
    /// Sockets.
    pub sockets: usize,
    /// Sockets of them that nobody traced.
    pub untraced: usize,
}

/// Where a head stands: in rows of twelve on its floor, 1.5 m apart.
fn place(head: usize) -> String {
    let (floor, on_floor) = (head / HEADS_A_FLOOR, head % HEADS_A_FLOOR);
    let metres = |steps: usize| 1.5 * f64::from(u32::try_from(steps).unwrap_or_default());
    format!("room = \"F{floor}\"\nat = [{}, {}]", metres(on_floor % 12), metres(on_floor / 12))
}

/// A plan of this size, in Australia: four setups, each with three heads of four on.
pub fn plan(size: Size) -> String {
    let mut text = String::from(
        "ampwalk = 1\n[location]\nname = \"bench\"\nregion = \"au\"\n\
         [supply.house]\nkind = \"mains\"\nwiring = \"star\"\nlimit_a = 400\n",
    );
    for level in 0..size.heads.div_ceil(HEADS_A_FLOOR) {
        let _ = writeln!(text, "[floor.F{level}]\nlevel = {level}\n[room.F{level}]\nfloor = \"F{level}\"");
    }
    let rcds = size.circuits.div_ceil(4);
    for rcd in 0..rcds {
        let _ = writeln!(text, "[rcd.R{rcd}]\nrated_ma = 30\nkind = \"A\"");
    }
    for circuit in 0..size.circuits {
        let (line, rcd) = (circuit % 3 + 1, circuit / 4);
        let _ = writeln!(
            text,
            "[circuit.C{circuit}]\nsupply = \"house\"\nline = \"L{line}\"\nbreaker_a = 20\nrcd = \"R{rcd}\"\n\
             base = [{{ name = \"fridge\", amps = 0.6, leak_ma = 1 }}]"
        );
    }
    let every = size.sockets / size.untraced;
    for socket in 0..size.sockets {
        let place = place(socket * size.heads / size.sockets);
        let _ = writeln!(text, "[socket.S{socket}]\n{place}\noutlet = \"au-10\"\nways = 2\ntest = \"ok\"");
        if socket % every != every - 1 {
            let _ = writeln!(text, "circuit = \"C{}\"", socket % size.circuits);
        }
        if socket % 5 == 0 && socket % every != every - 1 {
            let _ = writeln!(text, "ramp = {{ held_ma = 20, tripped_ma = 25 }}");
        }
    }
    let classes = ["led-300", "discharge-1k2", "tungsten-650", "led-600", "fluorescent-220"];
    for head in 0..size.heads {
        let socket = head * size.sockets / size.heads;
        let class = classes[head % classes.len()];
        let place = place(head);
        let _ = writeln!(text, "[head.H{head}]\nclass = \"{class}\"\n{place}\nsocket = \"S{socket}\"");
    }
    for setup in 0..4 {
        let on: Vec<String> =
            (0..size.heads).filter(|head| head % 4 != setup).map(|head| format!("\"H{head}\"")).collect();
        let _ = writeln!(text, "[setup.s{setup}]\nminutes = 120\non = [{}]", on.join(", "));
    }
    text
}
