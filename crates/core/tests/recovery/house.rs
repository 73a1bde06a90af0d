//! Small random houses with something plugged in.

use std::fmt::Write as _;

/// Numbers from a seed: a linear congruence (Knuth's MMIX constants, from memory).
pub struct Dice(u64);

impl Dice {
    pub fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9E37_79B9).wrapping_add(1))
    }

    pub fn under(&mut self, count: usize) -> usize {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        usize::try_from((self.0 >> 33) % count as u64).unwrap()
    }

    pub fn one_of<T: Copy>(&mut self, all: &[T]) -> T {
        all[self.under(all.len())]
    }
}

/// Two or three RCDs, three or four circuits, up to five sockets, up to six heads, every one traced and tested.
pub fn house(seed: u64) -> String {
    let mut dice = Dice::new(seed);
    let mut text = "ampwalk = 1\n[location]\nregion = \"eu\"\nboard = \"found\"\n[supply.house]\n\
                    kind = \"mains\"\n[floor.g]\nlevel = 0\n[room.g]\nfloor = \"g\"\n\
                    [cable.c]\nlength_m = 10\nmm2 = 2.5\n"
        .to_owned();
    let rcds = 2 + dice.under(2);
    let circuits = 3 + dice.under(2);
    let main = dice.under(4) == 0;
    if main {
        text.push_str("[rcd.M]\nrated_ma = 30\n");
    }
    for rcd in 0..rcds {
        let behind = if main { "behind = \"M\"\n" } else { "" };
        let _ = writeln!(text, "[rcd.R{rcd}]\nrated_ma = 30\n{behind}");
    }
    for circuit in 0..circuits {
        let rcd = if circuit < rcds { circuit } else { dice.under(rcds) };
        let breaker = dice.one_of(&[6, 10, 10, 16]);
        let _ = writeln!(
            text,
            "[circuit.C{circuit}]\nsupply = \"house\"\nrcd = \"R{rcd}\"\nbreaker_a = {breaker}\ncurve = \"C\""
        );
    }
    let sockets: Vec<usize> = (0..circuits + dice.under(2)).map(|_| dice.under(40)).collect();
    for (socket, x) in sockets.iter().enumerate() {
        let held = dice.one_of(&[6, 9, 12, 16]);
        let outcome = dice.one_of(&["ok", "ok", "ok", "ok", "reversed"]);
        let _ = writeln!(
            text,
            "[socket.S{socket}]\nroom = \"g\"\nat = [{x}, 0]\nways = {}\ncircuit = \"C{}\"\ntest = \"{outcome}\"\n\
             ramp = {{ held_ma = {held}, tripped_ma = {} }}",
            1 + dice.under(3),
            socket % circuits,
            held + dice.one_of(&[3, 5, 8])
        );
    }
    let heads = 3 + dice.under(4);
    let mut long = 0;
    for head in 0..heads {
        let x = dice.under(40);
        let home = dice.under(sockets.len());
        let lead = if x.abs_diff(sockets[home]) + 2 <= 10 { "c" } else { "d" };
        long += usize::from(lead == "d");
        let pinned = if dice.under(8) == 0 { "pinned = true\n" } else { "" };
        let restrike = dice.one_of(&[0, 0, 5]);
        let _ = writeln!(
            text,
            "[head.H{head}]\namps = {}\nleak_ma = {}\nstrike_ma = {}\nidle_ma = 0\nrestrike_min = {restrike}\n\
             importance = {}\nroom = \"g\"\nat = [{x}, 0]\nsocket = \"S{home}\"\nleads = [\"{lead}\"]\n{pinned}",
            1 + dice.under(6),
            dice.under(5),
            dice.one_of(&[0, 0, 4, 8]),
            1 + dice.under(9),
        );
    }
    let _ = writeln!(text, "[cable.d]\nlength_m = 25\nmm2 = 2.5\ncount = {}", (long + dice.under(3)).max(1));
    let on: Vec<String> = (0..heads).map(|head| format!("\"H{head}\"")).collect();
    let _ = writeln!(text, "[setup.day]\nminutes = 60\non = [{}]", on.join(", "));
    text
}
