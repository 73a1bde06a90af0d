//! Whole jobs by keys alone, with the keys counted.

use super::*;

/// A script that counts every key that it presses.
struct Counted {
    desk: Desk,
    keys: usize,
}

impl Counted {
    fn of(text: &str) -> Self {
        Self { desk: Desk::of(text), keys: 0 }
    }

    fn press(&mut self, names: &str) -> &mut Self {
        self.keys += names.split_whitespace().count();
        self.desk.keys(names);
        self
    }

    fn type_in(&mut self, text: &str) -> &mut Self {
        self.keys += text.chars().count();
        self.desk.types(text);
        self
    }

    /// A line, and the key that takes it.
    fn line(&mut self, text: &str) -> &mut Self {
        self.type_in(text).press("enter");
        assert!(self.desk.model.document.problems().is_empty(), "{text}: {}", self.desk.screen());
        let open = self.desk.model.layers.last();
        let refused = matches!(open, Some(crate::layer::Layer::Ask(ask)) if ask.wrong.is_some());
        assert!(!refused, "{text}: {}", self.desk.screen());
        self
    }

    /// Opens a command by the first letters of its name.
    fn command(&mut self, letters: &str) -> &mut Self {
        self.press(":").type_in(letters).press("enter")
    }
}

const NOTHING: &str =
    "ampwalk = 1\n\n[location]\nname = \"Corner house\"\nregion = \"au\"\nboard = \"found\"\n";

#[test]
fn ten_sockets_and_fifteen_heads_become_a_checked_plan_without_an_editor() {
    let mut job = Counted::of(NOTHING);
    job.command("new sup").line("house mains 63A").press("esc");
    job.command("new rcd").line("RA 30mA").line("RB 30mA").press("esc");
    job.command("new fl").line("g 0").press("esc");
    job.command("new roo").line("living g").line("kitchen g").line("garden g outdoor").press("esc");
    job.press("2 n");
    job.line("P1 house C20 RA router 0.5A").line("P2 house C20 RA fridge* 0.65A 8mA").line("P3 house C20 RB");
    job.press("esc 1 n");
    let before = job.keys;
    for socket in [
        "G1 living 2x10 ok r15/20 P1",
        "G2 living 2x10 ok P1",
        "G3 living 2x10 ok P2?",
        "G4 living 2x10 ok P3",
        "G5 kitchen 2x10 ok P2",
        "G6 kitchen 2x10 rev P2",
        "G7 kitchen 15A ok r20/25 P3",
        "G8 kitchen 2x10 ok P3",
        "G9 garden 2x10 ok P3",
        "G10 garden 2x10 dead",
    ] {
        job.line(socket);
    }
    let survey = job.keys - before;
    job.press("esc");
    job.command("new set").line("day 9:00 4h none").press("esc");
    job.press("3 n");
    for head in [
        "A discharge-575 living",
        "B discharge-575 living",
        "C led-600 living",
        "D led-600 living",
        "E led-300 living",
        "F led-300 kitchen",
        "G led-300 kitchen",
        "H led-100 kitchen",
        "I led-100 kitchen",
        "J tungsten-300 living",
        "K tungsten-300 living",
        "L tungsten-300 kitchen",
        "M monitors kitchen",
        "N chargers kitchen",
        "O led-100 living",
    ] {
        job.line(head);
    }
    job.press("esc");
    let before = job.keys;
    for _ in 0..15 {
        job.press("enter enter");
    }
    let placing = job.keys - before;
    let model = &job.desk.model;
    let network = model.document.network();
    assert_eq!((network.sockets.len(), network.heads.len()), (10, 15));
    let setup = model.setup.unwrap();
    let lost = network.setups[setup].on.iter().filter(|head| network.setups[setup].placed[**head].is_none());
    assert_eq!(lost.count(), 0, "{}", job.desk.screen());
    let found = &model.document.assessment().findings;
    let unsafe_use = found.iter().filter(|finding| finding.rule.id == "socket-unsafe").count();
    assert_eq!(unsafe_use, 0, "{found:?}");
    // A surveyed socket is one line of about 25 keys, a placed head two.
    assert!(survey <= 10 * 29, "{survey} keys for ten sockets");
    assert_eq!(placing, 30);
    assert!(job.keys <= 1000, "{} keys in all", job.keys);
    // All of it can be taken back.
    for _ in 0..60 {
        job.desk.keys("u");
    }
    assert_eq!(job.desk.model.document.text(), NOTHING);
}

#[test]
fn a_head_is_placed_in_three_keys_from_any_screen() {
    for screen in ["1", "2", "4", "5"] {
        let mut job = Counted::of(fixture::HOUSE);
        job.desk.keys(screen);
        job.press("3 enter enter");
        assert_eq!(job.keys, 3);
        assert!(job.desk.in_hand().is_none(), "{}", job.desk.screen());
        assert_ne!(job.desk.model.document.text(), fixture::HOUSE);
    }
}
