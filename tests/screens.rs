//! What the screens look like on the demo: every symbol, and the runs of style under it.

use std::fmt::Write;

use ampwalk_tui::event::Event;
use ampwalk_tui::keymap::Keymap;
use ampwalk_tui::model::{Model, Opening, Origin};
use ampwalk_tui::theme::Theme;
use ampwalk_tui::update::update;
use ampwalk_tui::view::draw;
use crossterm::event::{KeyCode, KeyEvent, KeyModifiers};
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::{Color, Modifier};

use crate::support::example;

/// The demo's screen after these keys.
fn demo(size: (u16, u16), keys: &[KeyCode]) -> String {
    let text = std::fs::read_to_string(example("mill-house")).unwrap();
    let opening = Opening {
        text,
        file_name: "mill-house.toml".to_owned(),
        origin: Origin::Demo,
        theme: Theme::Sixteen,
        keymap: Keymap::default(),
        size,
    };
    let mut model = Model::open(opening);
    for key in keys {
        update(&mut model, Event::Key(KeyEvent::new(*key, KeyModifiers::NONE)));
    }
    let area = Rect::new(0, 0, size.0, size.1);
    let mut buffer = Buffer::empty(area);
    draw(&model, area, &mut buffer);
    told(&buffer)
}

/// A buffer as text: its rows between bars, then each row's runs of style, by column.
fn told(buffer: &Buffer) -> String {
    let area = buffer.area;
    let mut text = String::new();
    for row in area.rows() {
        let symbols: String = row.columns().map(|cell| buffer[(cell.x, cell.y)].symbol()).collect();
        writeln!(text, "|{symbols}|").unwrap();
    }
    for row in area.rows() {
        let mut runs: Vec<(u16, u16, String)> = Vec::new();
        for cell in row.columns() {
            let style = style(buffer, cell.x, cell.y);
            match runs.last_mut() {
                Some((_, end, last)) if *last == style => *end = cell.x,
                _ => runs.push((cell.x, cell.x, style)),
            }
        }
        runs.retain(|(.., style)| !style.is_empty());
        if !runs.is_empty() {
            let runs: Vec<String> =
                runs.iter().map(|(start, end, style)| format!("{start}-{end} {style}")).collect();
            writeln!(text, "row {}: {}", row.y, runs.join(", ")).unwrap();
        }
    }
    text
}

/// A cell's style in words; empty where it has none.
fn style(buffer: &Buffer, x: u16, y: u16) -> String {
    let cell = &buffer[(x, y)];
    let mut words = Vec::new();
    if cell.fg != Color::Reset {
        words.push(format!("{}", cell.fg).to_lowercase());
    }
    if cell.bg != Color::Reset {
        words.push(format!("on {}", cell.bg).to_lowercase());
    }
    for (modifier, word) in [
        (Modifier::BOLD, "bold"),
        (Modifier::DIM, "dim"),
        (Modifier::ITALIC, "italic"),
        (Modifier::UNDERLINED, "underlined"),
        (Modifier::REVERSED, "reversed"),
    ] {
        if cell.modifier.contains(modifier) {
            words.push(word.to_owned());
        }
    }
    words.join(" ")
}

#[test]
fn the_plot_of_the_demo_at_80_by_24() {
    insta::assert_snapshot!(demo((80, 24), &[]));
}

#[test]
fn the_plot_with_a_head_in_hand_at_80_by_24() {
    insta::assert_snapshot!(demo((80, 24), &[KeyCode::Enter]));
}

#[test]
fn the_plot_of_the_demo_at_120_by_40() {
    insta::assert_snapshot!(demo((120, 40), &[]));
}

#[test]
fn the_plot_of_the_demo_where_the_terminal_is_too_small() {
    insta::assert_snapshot!(demo((36, 9), &[]));
}

#[test]
fn the_board_of_the_demo_at_80_by_24() {
    insta::assert_snapshot!(demo((80, 24), &[KeyCode::Char('2')]));
}

#[test]
fn the_board_of_the_demo_at_120_by_40() {
    insta::assert_snapshot!(demo((120, 40), &[KeyCode::Char('2')]));
}

#[test]
fn the_board_of_the_demo_where_the_terminal_is_too_small() {
    insta::assert_snapshot!(demo((36, 9), &[KeyCode::Char('2')]));
}
