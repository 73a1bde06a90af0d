//! Random plans that the reader accepts.

use std::fmt::Write as _;
use std::sync::Arc;

use ampwalk_core::file::{Gravity, parse};
use ampwalk_core::network::Network;

/// The text of a random plan: a star supply, nested and portable RCDs, a distribution box, untraced sockets.
pub fn plan_text(seed: &[u16]) -> String {
    let mut dice = seed.iter().cycle().copied();
    let mut roll = |sides: u16| dice.next().unwrap_or(0) % sides;
    let region = ["au", "uk", "us", "it"][usize::from(roll(4))];
    let weather = ["dry", "rain"][usize::from(roll(2))];
    let set = [
        "kind = \"generator\"\nkva = 5",
        "kind = \"battery\"\nkwh = 3\nkw = 2\npeak_kw = 2.5",
        "kind = \"battery\"\nkwh = 1.5\npeak_kw = 1.8",
    ][usize::from(roll(3))];
    let mut text = format!(
        "ampwalk = 1\n[location]\nregion = \"{region}\"\nweather = \"{weather}\"\nboard = \"found\"\nstair = [3, 3]\n\
         [supply.house]\nkind = \"mains\"\nwiring = \"star\"\nlimit_a = 32\ncontract_kw = 6\n\
         [supply.set]\n{set}\nearth = \"floating\"\n\
         [rcd.R0]\nrated_ma = 100\n[rcd.R1]\nrated_ma = 30\nbehind = \"R0\"\n[rcd.R2]\nrated_ma = 30\npoles = 4\n\
         [rcd.PR]\nrated_ma = 10\nclass = \"portable\"\n"
    );
    for (circuit, line) in ["C1", "C2", "C3", "C4"].iter().zip(["L1", "L2", "L3", "L1"]) {
        let rcd = ["", "rcd = \"R1\"", "rcd = \"R2\"", "rcd = \"R0\""][usize::from(roll(4))];
        let others = ["", "others = true", "reserve_a = 4"][usize::from(roll(3))];
        let shares = ["", "neutral_with = \"C2\"", "neutral_with = \"C3\""][usize::from(roll(3))];
        let shares = if shares.contains(circuit) { "" } else { shares };
        let _ = writeln!(
            text,
            "[circuit.{circuit}]\nsupply = \"house\"\nline = \"{line}\"\nbreaker_a = {}\n{rcd}\n{others}\n{shares}\n\
             base = [{{ name = \"b\", amps = 1.{}, leak_ma = {} }}]",
            10 + roll(12),
            roll(9),
            roll(5)
        );
    }
    text.push_str(
        "[circuit.G]\nsupply = \"set\"\nbreaker_a = 16\n\
         [circuit.W]\nsupply = \"house\"\nline = \"L1-L2-L3\"\nbreaker_a = 32\nrcd = \"R2\"\n\
         [circuit.D]\nfrom = \"S0\"\nline = \"L2\"\nbreaker_a = 16\n\
         [floor.g]\nlevel = 0\n[floor.u]\nlevel = 1\n[room.in]\nfloor = \"g\"\n[room.up]\nfloor = \"u\"\nwet = true\n\
         [room.out]\nfloor = \"g\"\noutdoor = true\n\
         [socket.S0]\nroom = \"in\"\noutlet = \"cee-16-3\"\ncircuit = \"W\"\n",
    );
    for socket in 1..8 {
        let circuit = ["", "C1", "C2", "C3", "C4", "G", "D"][usize::from(roll(7))];
        let circuit = if circuit.is_empty() { String::new() } else { format!("circuit = \"{circuit}\"") };
        let outcome = ["ok", "ok", "ok", "reversed", "no-earth", "untested"][usize::from(roll(6))];
        let ramp =
            ["", "ramp = { held_ma = 10, tripped_ma = 15 }", "ramp = { held_ma = 20, tripped_ma = 25 }"]
                [usize::from(roll(3))];
        let portable = if roll(5) == 0 { "portable_rcd = \"PR\"" } else { "" };
        let plate = if roll(3) == 0 { "plate = \"K\"" } else { "" };
        let room = ["in", "up", "out"][usize::from(roll(3))];
        let _ = writeln!(
            text,
            "[socket.S{socket}]\nroom = \"{room}\"\nat = [{}, {}]\nways = {}\n{circuit}\ntest = \"{outcome}\"\n{ramp}\n{portable}\n{plate}",
            roll(20),
            roll(9),
            1 + roll(3)
        );
    }
    for head in 0..8 {
        let class = ["discharge-1k2", "led-600", "tungsten-1k", "discharge-1k2-magnetic", "led-1k2"]
            [usize::from(roll(5))];
        let socket = roll(8);
        let placed = if socket == 0 {
            String::new()
        } else {
            format!(
                "socket = \"S{socket}\"\nleads = [{}]",
                [
                    "",
                    "\"c\"",
                    "\"k\"",
                    "\"k\", \"c\"",
                    "\"t\", \"k\"",
                    "\"t\", \"k\", \"d\"",
                    "\"t\", \"k\", \"k\"",
                ][usize::from(roll(7))]
            )
        };
        let room = ["in", "up", "out"][usize::from(roll(3))];
        let _ = writeln!(
            text,
            "[head.H{head}]\nclass = \"{class}\"\nroom = \"{room}\"\nat = [{}, {}]\n{placed}\n{}\n{}",
            roll(20),
            roll(9),
            ["", "", "start_a = 14", "start_a = 22"][usize::from(roll(4))],
            ["", "", "leak_ma = [0.5, 4]", "strike_ma = [2, 9]"][usize::from(roll(4))]
        );
    }
    text.push_str(
        "[cable.c]\nlength_m = 20\nmm2 = 2.5\ncount = 5\n[cable.d]\nlength_m = 10\nmm2 = 1.5\ncount = 3\n\
         [cable.t]\nlength_m = 60\nmm2 = 1.5\ncount = 2\n\
         [block.k]\nways = 3\nrated_a = 10\ncount = 2\n\
         [setup.one]\nstart = \"09:00\"\nminutes = 100\non = [\"H0\", \"H1\", \"H2\", \"H3\", \"H4\", \"H5\"]\n\
         [setup.two]\nstart = \"10:40\"\nminutes = 100\non = [\"H0\", \"H2\", \"H4\", \"H6\", \"H7\"]\n\
         sockets = { H4 = { socket = \"S1\" } }\n",
    );
    if roll(4) == 0 {
        text.push_str("strike = [\"H4\"]\n");
    }
    text
}

/// The network of a plan that has no errors.
pub fn network(text: &str) -> Network {
    let parsed = parse(text);
    let errors: Vec<_> = parsed.problems.iter().filter(|problem| problem.gravity != Gravity::Note).collect();
    assert!(errors.is_empty(), "{errors:?}\n{text}");
    Network::of(Arc::new(parsed.plan))
}
