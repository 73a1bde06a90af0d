//! How long a key takes until its frame stands in the buffer, on every screen and what lies over it.
//!
//! Run with `cargo bench -p ampwalk-tui`, or with `-- WORD` for the cases of that name. First a table of what one key in a hundred is slower than,
//! since that is what a hand notices; then criterion's means, to compare runs by.

#[path = "../../core/benches/assess/plan.rs"]
mod plan;

use std::hint::black_box;
use std::time::{Duration, Instant};

use ampwalk_tui::event::Event;
use ampwalk_tui::model::{Model, Opening};
use ampwalk_tui::update::update;
use ampwalk_tui::view;
use criterion::{Criterion, criterion_group, criterion_main};
use crossterm::event::{KeyCode, KeyEvent, KeyModifiers};
use mimalloc::MiMalloc;
use plan::{SIZES, Size, plan};
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

/// The program's own.
#[global_allocator]
static ALLOCATOR: MiMalloc = MiMalloc;

/// Columns and rows: a large terminal, which has the most to draw.
const SIZE: (u16, u16) = (160, 50);
/// Keys that the table is made from.
const KEYS: usize = 300;

/// A place on the screens, how to get there, and the keys that go on there, over and over.
struct Case {
    name: &'static str,
    way: &'static str,
    keys: &'static str,
}

const fn case(name: &'static str, way: &'static str, keys: &'static str) -> Case {
    Case { name, way, keys }
}

const CASES: &[Case] = &[
    case("walk", "1", "down"),
    case("board", "2", "down"),
    case("plot, heads", "", "down"),
    case("plot, sockets", "right", "tab"),
    case("plot, sockets by arrow", "right", "right down left up"),
    case("shoot", "4", "down"),
    case("papers", "5", "down"),
    case("next setup", "", "s"),
    case("pick up and put back", "", "enter esc"),
    case("in hand, tab", "enter", "tab"),
    case("findings", "f", "down"),
    case("the whole plan", "i", "down"),
    case("a form", "E", "down"),
    case("an explanation", "2 down down w", "down"),
    case("help", "?", "down"),
    case("find, typed", "/", "h 1 backspace backspace"),
    case("after a trip", "! 1 1 1", "down"),
    case("one line, typed", "1 n", "G backspace"),
    case("palette, typed", ":", "t h backspace backspace"),
    case("an edit: pin", "", "k"),
    case("an edit: undo and redo", "k", "u U"),
    case("an edit: unplug, undo", "", "x u"),
    case("an edit: drop, undo", "", "enter tab enter u"),
    case("an edit: a new socket, undo", "1", "n N space F 0 enter esc u"),
    case("an edit: a socket, undo", "right", "e backspace backspace 3 0 enter u"),
    case("an edit: a circuit's name, undo", "2 down down down down down", "e space n a m e = x enter u"),
    case("an edit: a breaker, undo", "2", "n C 5 space 6 A enter esc u"),
    case("an edit: a head's watts, undo", "", "n H 1 space 9 0 0 W enter esc u"),
    case("an edit, then the whole plan", "", "k i esc"),
];

fn key(name: &str) -> Event {
    let code = match name {
        "enter" => KeyCode::Enter,
        "esc" => KeyCode::Esc,
        "tab" => KeyCode::Tab,
        "up" => KeyCode::Up,
        "down" => KeyCode::Down,
        "left" => KeyCode::Left,
        "right" => KeyCode::Right,
        "backspace" => KeyCode::Backspace,
        "space" => KeyCode::Char(' '),
        letter => KeyCode::Char(letter.chars().next().unwrap_or(' ')),
    };
    Event::Key(KeyEvent::new(code, KeyModifiers::NONE))
}

/// The screens at a case, with a buffer to draw into.
struct Desk {
    model: Model,
    buffer: Buffer,
    keys: Vec<Event>,
    next: usize,
}

impl Desk {
    fn at(text: &str, case: &Case) -> Self {
        let opening = Opening {
            text: text.to_owned(),
            file_name: "plan.toml".to_owned(),
            size: SIZE,
            ..Opening::default()
        };
        let buffer = Buffer::empty(Rect::new(0, 0, SIZE.0, SIZE.1));
        let keys = case.keys.split_whitespace().map(key).collect();
        let mut desk = Self { model: Model::open(opening), buffer, keys, next: 0 };
        for name in case.way.split_whitespace() {
            update(&mut desk.model, key(name));
        }
        desk
    }

    /// One key, and its frame.
    fn press(&mut self) {
        let event = self.keys[self.next % self.keys.len()].clone();
        self.next += 1;
        self.take(event);
    }

    /// What was put off, and the frame with it, as where no other key comes at once. Whether there was any.
    fn spare(&mut self) -> bool {
        let was_put_off = self.model.has_put_off();
        if was_put_off {
            self.take(Event::Spare);
        }
        was_put_off
    }

    fn take(&mut self, event: Event) {
        black_box(update(&mut self.model, event));
        self.buffer.reset();
        let area = self.buffer.area;
        black_box(view::draw(&self.model, area, &mut self.buffer));
    }
}

/// The time that so many keys of a hundred stay under.
fn quantile(sorted: &[Duration], percent: usize) -> Duration {
    sorted[(sorted.len() * percent / 100).min(sorted.len() - 1)]
}

fn milliseconds(time: Duration) -> f64 {
    time.as_secs_f64() * 1000.0
}

/// The cases that are called for on the command line, or all.
fn wanted() -> impl Iterator<Item = &'static Case> {
    let word = std::env::args().skip(1).find(|word| !word.starts_with('-'));
    CASES.iter().filter(move |case| word.as_ref().is_none_or(|word| case.name.contains(word.as_str())))
}

fn tell(size: Size, text: &str) {
    println!(
        "{} heads on {} circuits, {} sockets; milliseconds from key to frame",
        size.heads, size.circuits, size.sockets
    );
    for case in wanted() {
        let mut desk = Desk::at(text, case);
        let (mut times, mut spare): (Vec<Duration>, Vec<Duration>) = (Vec::new(), Vec::new());
        for _ in 0..KEYS {
            let begin = Instant::now();
            desk.press();
            times.push(begin.elapsed());
            let begin = Instant::now();
            if desk.spare() {
                spare.push(begin.elapsed());
            }
        }
        tell_times(case.name, times);
        if !spare.is_empty() {
            tell_times("  the rest after it", spare);
        }
    }
}

fn tell_times(name: &str, mut times: Vec<Duration>) {
    times.sort_unstable();
    println!(
        "  {name:<32} median {:>7.2}  p99 {:>7.2}  worst {:>7.2}",
        milliseconds(quantile(&times, 50)),
        milliseconds(quantile(&times, 99)),
        milliseconds(quantile(&times, 100)),
    );
}

fn benches(criterion: &mut Criterion) {
    for size in [SIZES[0], SIZES[3]] {
        let text = plan(size);
        tell(size, &text);
        let mut group = criterion.benchmark_group(format!("key to frame, {} heads", size.heads));
        for case in wanted() {
            let mut desk = Desk::at(&text, case);
            group.bench_function(case.name, |bencher| bencher.iter(|| desk.press()));
        }
        group.finish();
    }
}

criterion_group! {
    name = all;
    config = Criterion::default()
        .sample_size(10)
        .warm_up_time(Duration::from_millis(200))
        .measurement_time(Duration::from_millis(800));
    targets = benches
}
criterion_main!(all);
