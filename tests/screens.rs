//! What the screens look like on the demo: every symbol, and the runs of style under it.

use ampwalk_tui::event::Event;
use ampwalk_tui::model::{Model, Opening, Origin};
use ampwalk_tui::styled_text;
use ampwalk_tui::theme::Theme;
use ampwalk_tui::update::update;
use ampwalk_tui::view::draw;
use crossterm::event::{KeyCode, KeyEvent, KeyModifiers};
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

use crate::support::example;

/// The demo's screen after these keys.
pub fn demo(size: (u16, u16), theme: Theme, keys: &[KeyCode]) -> Buffer {
    let text = std::fs::read_to_string(example("mill-house")).unwrap();
    let opening = Opening {
        text,
        file_name: "mill-house.toml".to_owned(),
        origin: Origin::Demo,
        theme,
        size,
        ..Opening::default()
    };
    let mut model = Model::open(opening);
    for key in keys {
        update(&mut model, Event::Key(KeyEvent::new(*key, KeyModifiers::NONE)));
    }
    let area = Rect::new(0, 0, size.0, size.1);
    let mut buffer = Buffer::empty(area);
    draw(&model, area, &mut buffer);
    buffer
}

/// What a snapshot keeps of the demo's screen, in the terminal's own colours.
fn kept(size: (u16, u16), keys: &[KeyCode]) -> String {
    styled_text(&demo(size, Theme::Sixteen, keys))
}

#[test]
fn the_plot_of_the_demo_at_80_by_24() {
    insta::assert_snapshot!(kept((80, 24), &[]));
}

#[test]
fn the_plot_with_a_head_in_hand_at_80_by_24() {
    insta::assert_snapshot!(kept((80, 24), &[KeyCode::Enter]));
}

#[test]
fn the_plot_of_the_demo_at_120_by_40() {
    insta::assert_snapshot!(kept((120, 40), &[]));
}

#[test]
fn the_plot_of_the_demo_where_the_terminal_is_too_small() {
    insta::assert_snapshot!(kept((36, 9), &[]));
}

#[test]
fn the_board_of_the_demo_at_80_by_24() {
    insta::assert_snapshot!(kept((80, 24), &[KeyCode::Char('2')]));
}

#[test]
fn the_board_of_the_demo_at_120_by_40() {
    insta::assert_snapshot!(kept((120, 40), &[KeyCode::Char('2')]));
}

#[test]
fn the_board_of_the_demo_where_the_terminal_is_too_small() {
    insta::assert_snapshot!(kept((36, 9), &[KeyCode::Char('2')]));
}
