//! Anything at all, in any order: keys, the mouse, pastes, sizes, saves that fail. Nothing of it may
//! panic, and undo to the start gives the bytes back.
//!
//! `AMPWALK_STORM=200000 cargo test -p ampwalk-tui storm` makes a long one.

use super::*;
use crate::placing::Progress;

#[path = "../../../core/tests/random/plan.rs"]
#[expect(dead_code, reason = "only the text of its plans is wanted here")]
mod plan;

/// Events of all storms together, unless somebody asks for more.
const EVENTS: usize = 2_000;
/// Events on one plan.
const ON_ONE_PLAN: usize = 200;

const EXAMPLES: [&str; 4] = [
    include_str!("../../../../examples/mill-house.toml"),
    include_str!("../../../../examples/first-walk.toml"),
    include_str!("../../../../examples/third-floor-flat.toml"),
    include_str!("../../../../examples/office-night.toml"),
];

const KEYS: [&str; 24] = [
    "enter",
    "enter",
    "enter",
    "enter",
    "esc",
    "esc",
    "tab",
    "backtab",
    "up",
    "down",
    "down",
    "left",
    "right",
    "home",
    "end",
    "pageup",
    "pagedown",
    "backspace",
    "backspace",
    "ctrl-u",
    "ctrl-w",
    "ctrl-z",
    "ctrl-c",
    "ctrl-a",
];

const PASTES: [&str; 8] = [
    "",
    "16 A",
    "G3 dining 2x10 ok r15/20 p2?",
    "台所 Küche cafe\u{301}",
    "\u{1b}[2J\n\r\u{202e}\0",
    "H9 led-600 2 8 \"a b\" = { } [ ]",
    "-0.0000001e400 5:61 \u{1f469}\u{200d}\u{1f527}",
    "lengths",
];

/// Dice that fall the same for the same seed (xorshift of 64 bits, Marsaglia 2003).
pub(super) struct Dice(pub(super) u64);

impl Dice {
    fn roll(&mut self, sides: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        usize::try_from(self.0 >> 33).unwrap() % sides
    }

    pub(super) fn one_of<T: Copy>(&mut self, all: &[T]) -> T {
        all[self.roll(all.len())]
    }

    fn small(&mut self, sides: usize) -> u16 {
        u16::try_from(self.roll(sides)).unwrap()
    }
}

pub(super) fn event(dice: &mut Dice, size: (u16, u16)) -> Event {
    match dice.roll(41) {
        0..=13 => Event::Key(key(dice.one_of(&KEYS))),
        // Every printable letter: each command's, and what is typed.
        14..=27 => {
            let letter = char::from(u8::try_from(32 + dice.roll(95)).unwrap());
            Event::Key(KeyEvent::new(KeyCode::Char(letter), KeyModifiers::NONE))
        }
        28..=30 => {
            let letter = dice.one_of(&[
                'i', 'E', 'R', 'D', ':', '/', '1', '2', '3', '4', '5', '!', '!', 'r', 'n', 'u', 'U', 'e',
                'a', 'A', 'm', 't',
            ]);
            Event::Key(KeyEvent::new(KeyCode::Char(letter), KeyModifiers::NONE))
        }
        31..=35 => {
            let kind = dice.one_of(&[
                MouseEventKind::Down(MouseButton::Left),
                MouseEventKind::Down(MouseButton::Left),
                MouseEventKind::Up(MouseButton::Left),
                MouseEventKind::Drag(MouseButton::Left),
                MouseEventKind::Down(MouseButton::Right),
                MouseEventKind::ScrollDown,
                MouseEventKind::ScrollUp,
            ]);
            let (column, row) = (dice.small(usize::from(size.0) + 2), dice.small(usize::from(size.1) + 2));
            Event::Mouse(MouseEvent { kind, column, row, modifiers: KeyModifiers::NONE })
        }
        36 => Event::Paste(dice.one_of(&PASTES).to_owned()),
        37 => {
            let sizes = [(80, 24), (100, 30), (160, 50), (40, 15)];
            let (width, height) =
                if dice.roll(2) == 0 { dice.one_of(&sizes) } else { (dice.small(130), dice.small(50)) };
            Event::Resize { width, height }
        }
        38 => Event::Saved(if dice.roll(4) == 0 { Err("the disk is full".to_owned()) } else { Ok(()) }),
        39 => Event::Spare,
        _ => Event::Told("something".to_owned()),
    }
}

pub(super) fn text(dice: &mut Dice) -> String {
    match dice.roll(8) {
        at @ 0..=3 => EXAMPLES[at].to_owned(),
        4 => fixture::HOUSE.to_owned(),
        _ => plan::plan_text(&(0..97).map(|_| dice.small(60_000)).collect::<Vec<_>>()),
    }
}

/// The solver tells how far it is, or answers: in time, stopped early, or when nobody waits any more.
fn solver(dice: &mut Dice, desk: &mut Desk) {
    let Some(question) = desk.question.clone() else { return };
    if dice.roll(3) == 0 {
        let elapsed = std::time::Duration::from_millis(u64::from(dice.small(60_000)));
        let progress = Progress { placed: dice.roll(9), heads: 9, proven: dice.roll(8), elapsed };
        desk.event(Event::Placing { number: question.number, progress });
        return;
    }
    // Now and then the same answer comes twice.
    if dice.roll(4) > 0 {
        desk.question = None;
    }
    let quick = Request { effort: Effort { rounds: 40, nodes: 100, prover: None }, ..question };
    let mut left = dice.roll(20);
    let answer = crate::placing::answer(quick, &mut |_| {
        left = left.saturating_sub(1);
        left > 0
    });
    desk.event(answer);
}

/// Another program writes the file, whatever it may think; or an earlier run left something.
fn outside(dice: &mut Dice, desk: &mut Desk) {
    let mine = desk.model.document.text().to_owned();
    let lines: Vec<&str> = mine.lines().collect();
    let line = if lines.is_empty() { "" } else { lines[dice.roll(lines.len())] };
    let other = match dice.roll(6) {
        0 => mine.replacen(line, "", 1),
        1 => mine.replacen(line, "# nobody\u{202e} needs this\n", 1),
        2 => format!("{mine}\n[head.Z{}]\nwatts = 40\n", dice.roll(9)),
        3 => format!("{mine}\n[half"),
        4 => text(dice),
        _ => mine.clone(),
    };
    let (before, theirs) = if dice.roll(3) == 0 { (other, mine) } else { (mine, other) };
    let number = desk.model.seen + 1;
    let event = match dice.roll(5) {
        0 => Event::Found(crate::outside::Unsaved { before, text: theirs }),
        1 => Event::Changed { number, before, theirs: Err("it is no text".to_owned()) },
        2 => Event::Superseded,
        _ => Event::Changed { number, before, theirs: Ok(theirs) },
    };
    desk.event(event);
}

/// One storm on one plan.
fn storm(seed: u64, events: usize) {
    let mut dice = Dice(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15) | 1);
    let before = text(&mut dice);
    let mut desk = Desk::opened(&before, (80, 24), dice.one_of(&[Origin::Demo, Origin::File]));
    desk.solver = Solver::WhenTold;
    for _ in 0..events {
        if dice.roll(8) == 0 {
            solver(&mut dice, &mut desk);
        } else if dice.roll(24) == 0 {
            outside(&mut dice, &mut desk);
        } else {
            let event = event(&mut dice, desk.model.size);
            desk.event(event);
        }
        if desk.effects.contains(&Effect::AskTime) {
            // Also what is no time at all.
            let now = dice.one_of(&["2026-03-02T14:05:31", "2026-12-31T23:59:59", ""]);
            desk.event(Event::Time(now.to_owned()));
        }
        let screen = desk.screen();
        assert_eq!(screen.lines().count(), usize::from(desk.model.size.1), "seed {seed}");
        desk.effects.clear();
    }
    desk.model.layers.clear();
    desk.model.plot.held = None;
    desk.model.outside = None;
    desk.question = None;
    while desk.model.document.can_undo() {
        desk.keys("u");
    }
    assert!(desk.model.document.text() == before, "seed {seed}:\n{}", desk.model.document.text());
}

#[test]
fn nothing_that_comes_in_panics_and_undo_to_the_start_gives_the_bytes_back() {
    let wanted = std::env::var("AMPWALK_STORM").ok().and_then(|count| count.parse().ok());
    let storms = wanted.unwrap_or(EVENTS).div_ceil(ON_ONE_PLAN);
    for seed in 0..storms {
        // Shown where the test fails: the same seed makes the same storm.
        println!("seed {seed}");
        storm(u64::try_from(seed).unwrap(), ON_ONE_PLAN);
    }
}
