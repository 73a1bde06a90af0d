//! Keys, the mouse and pastes on plans of every kind: nothing on the screen acts on a terminal, and undo to
//! the start gives the bytes back.

use ampwalk_core::file::inert;
use ampwalk_tui::effect::Effect;
use ampwalk_tui::event::Event;
use ampwalk_tui::model::{Model, Opening, Origin, Screen};
use ampwalk_tui::update::update;
use ampwalk_tui::view;
use crossterm::event::{KeyCode, KeyEvent, KeyModifiers, MouseButton, MouseEvent, MouseEventKind};
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

use crate::mutate::ACTS;
use crate::seeds::HOUSE;

/// More events than these of one input say nothing new, and take long.
const MOST_EVENTS: usize = 40;

/// A plan that every name of is hostile, and one that half reads.
const NAMED: &str = "ampwalk = 1\n[location]\nregion = \"uk\"\nname = \"\\u001b[2J\u{202e}x\"\n[floor.g]\nlevel = 0\n\
    name = \"\\u009b31m\"\n[room.r]\nfloor = \"g\"\nname = \"e\u{301}\u{302}\u{303}\u{327}\u{338}\u{e0041}\"\n\
    [supply.s]\nkind = \"mains\"\n[circuit.C]\nsupply = \"s\"\nname = \"=1+1\u{200b}\"\n[socket.S]\nroom = \"r\"\n\
    circuit = \"C\"\nban = \"\u{2066}\\u0007\"\n[head.H]\nwatts = 500\nname = \"\\u0000\u{ad}\"\nsocket = \"S\"\n\
    [setup.d]\nminutes = 9\non = [\"H\"]\n";
const BROKEN: &str = "ampwalk = 1\n[location]\nregion = \"\u{1b}[2J\"\n[head.\"\u{202e}\"]\nwatts = 1e400\n[head.A\nx = \
    [[[\n[setup.d]\non = [\"A\", \"\u{9b}\"]\n";

/// Takes bytes as events, after three that say which plan and how large the screen.
pub fn check(bytes: &[u8]) {
    let [plan, width, height, rest @ ..] = bytes else { return };
    let empty = "ampwalk = 1\n[location]\nregion = \"jp\"\n";
    let before = [HOUSE, HOUSE, HOUSE, NAMED, BROKEN, empty][usize::from(*plan) % 6];
    let opening = Opening {
        text: before.to_owned(),
        file_name: "a\u{1b}[2J\u{202e}.toml".to_owned(),
        origin: if plan % 2 == 0 { Origin::File } else { Origin::Demo },
        size: (u16::from(*width), u16::from(*height)),
        ..Opening::default()
    };
    let mut model = Model::open(opening);
    let mut left = rest;
    for number in 0..MOST_EVENTS {
        let Some(event) = event(&mut left, model.size) else { break };
        for effect in update(&mut model, event) {
            if effect == Effect::AskTime {
                update(&mut model, Event::Time("2026-03-02T14:05:31".to_owned()));
            }
        }
        if number % 8 == 7 {
            is_inert_on_screen(&model);
        }
    }
    is_inert_on_screen(&model);
    model.layers.clear();
    model.plot.held = None;
    model.screen = Screen::Plot;
    for _ in 0..1_000 {
        if !model.document.can_undo() {
            break;
        }
        update(&mut model, key(KeyCode::Char('u')));
    }
    assert!(model.document.text() == before, "undo gives other bytes:\n{}", model.document.text());
}

fn is_inert_on_screen(model: &Model) {
    let area = Rect::new(0, 0, model.size.0, model.size.1);
    let mut buffer = Buffer::empty(area);
    view::draw(model, area, &mut buffer);
    for cell in &buffer.content {
        let symbol = cell.symbol();
        // Joiners join what the terminal draws as one.
        let joined = symbol.replace(['\u{200c}', '\u{200d}'], "");
        assert!(inert(&joined) == joined, "{symbol:?} acts on a terminal");
    }
}

fn key(code: KeyCode) -> Event {
    Event::Key(KeyEvent::new(code, KeyModifiers::NONE))
}

/// What the next bytes say.
fn event(left: &mut &[u8], size: (u16, u16)) -> Option<Event> {
    let byte = next(left)?;
    let held = |letter| Event::Key(KeyEvent::new(KeyCode::Char(letter), KeyModifiers::CONTROL));
    Some(match byte {
        b' '..=b'~' => key(KeyCode::Char(char::from(byte))),
        b'\n' | b'\r' => key(KeyCode::Enter),
        b'\t' => key(KeyCode::Tab),
        0x08 | 0x7f => key(KeyCode::Backspace),
        0x1b => key(KeyCode::Esc),
        0x00 => key(KeyCode::BackTab),
        0x01..=0x03 => held(['a', 'c', 'w'][usize::from(byte - 1)]),
        0x04 => key(KeyCode::Left),
        0x05 => key(KeyCode::Right),
        0x06 => key(KeyCode::Home),
        0x07 => key(KeyCode::End),
        0x0b => key(KeyCode::Up),
        0x0c => key(KeyCode::Down),
        0x0e => key(KeyCode::PageDown),
        0x0f => key(KeyCode::PageUp),
        0x10 => {
            let which = usize::from(next(left)?);
            Event::Paste((*ACTS.get(which % ACTS.len())?).to_owned())
        }
        0x11..=0x1f => held('u'),
        0x80..=0xbf => {
            let kinds = [
                MouseEventKind::Down(MouseButton::Left),
                MouseEventKind::Up(MouseButton::Left),
                MouseEventKind::Drag(MouseButton::Left),
                MouseEventKind::ScrollDown,
            ];
            let (column, row) = (u16::from(next(left)?), u16::from(next(left)?));
            let at = (column % (size.0 + 2), row % (size.1 + 2));
            let kind = kinds[usize::from(byte % 4)];
            Event::Mouse(MouseEvent { kind, column: at.0, row: at.1, modifiers: KeyModifiers::NONE })
        }
        0xc0..=0xcf => Event::Resize { width: u16::from(next(left)?), height: u16::from(next(left)?) },
        0xd0..=0xd7 => Event::Saved(Err("\u{1b}[2J the disk is full".to_owned())),
        0xd8..=0xdf => Event::Told("something\u{202e}".to_owned()),
        0xe0..=0xe7 => Event::Time(String::new()),
        _ => Event::Spare,
    })
}

fn next(left: &mut &[u8]) -> Option<u8> {
    let (first, rest) = left.split_first()?;
    *left = rest;
    Some(*first)
}
