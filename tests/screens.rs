//! What the screens look like on the demo: every symbol, and the runs of style under it.

use ampwalk_tui::effect::Effect;
use ampwalk_tui::event::Event;
use ampwalk_tui::model::{Model, Opening, Origin};
use ampwalk_tui::placing::work_out;
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
        press(&mut model, *key);
    }
    let area = Rect::new(0, 0, size.0, size.1);
    let mut buffer = Buffer::empty(area);
    draw(&model, area, &mut buffer);
    buffer
}

/// Presses a key; what the solver is asked is answered at once.
fn press(model: &mut Model, key: KeyCode) {
    for effect in update(model, Event::Key(KeyEvent::new(key, KeyModifiers::NONE))) {
        if let Effect::Place(request) = effect {
            let placed = work_out(request, &mut |_| true);
            update(model, Event::Placed(Box::new(placed)));
        }
    }
}

/// Every screen with its key.
const SCREENS: [(&str, char); 5] =
    [("walk", '1'), ("board", '2'), ("plot", '3'), ("shoot", '4'), ("papers", '5')];

/// The usual terminal, a roomy one, a large one, and one that is too small for everything.
const SIZES: [(u16, u16); 4] = [(80, 24), (100, 30), (160, 50), (40, 15)];

/// What a snapshot keeps of the demo's screen, in the terminal's own colours.
fn kept(size: (u16, u16), keys: &[KeyCode]) -> String {
    styled_text(&demo(size, Theme::Sixteen, keys))
}

#[test]
fn every_screen_of_the_demo_at_every_size() {
    for (screen, key) in SCREENS {
        for (columns, rows) in SIZES {
            let name = format!("{screen}_at_{columns}_by_{rows}");
            insta::assert_snapshot!(name, kept((columns, rows), &[KeyCode::Char(key)]));
        }
    }
}

#[test]
fn the_plot_with_a_head_in_hand() {
    for (columns, rows) in [(80, 24), (160, 50)] {
        let name = format!("hand_at_{columns}_by_{rows}");
        insta::assert_snapshot!(name, kept((columns, rows), &[KeyCode::Enter]));
    }
}

#[test]
fn the_plot_and_shoot_in_every_theme() {
    for (screen, key) in [("plot", '3'), ("shoot", '4')] {
        let themes = [Theme::Dark, Theme::Light, Theme::Sixteen, Theme::Monochrome];
        let drawn = themes.map(|theme| styled_text(&demo((80, 24), theme, &[KeyCode::Char(key)])));
        let parts = drawn.each_ref().map(|text| text.split_at(text.find("row 0:").unwrap()));
        // A theme changes no word and no sign.
        assert!(parts.iter().all(|(symbols, _)| *symbols == parts[0].0));
        let styles: Vec<String> =
            themes.iter().zip(parts).map(|(theme, (_, styles))| format!("{theme:?}\n{styles}\n")).collect();
        insta::assert_snapshot!(format!("{screen}_in_every_theme"), styles.concat());
    }
}

/// The demo after B took RA down: `!`, the device, the head, since when, then these keys.
fn after_the_trip(size: (u16, u16), theme: Theme, then: &[KeyCode]) -> String {
    let asked = ['!', '1', '1', '1'].map(KeyCode::Char);
    styled_text(&demo(size, theme, &[&asked, then].concat()))
}

#[test]
fn the_question_what_went_at_80_by_24() {
    insta::assert_snapshot!(kept((80, 24), &[KeyCode::Char('!')]));
}

#[test]
fn the_three_blocks_at_40_by_24() {
    insta::assert_snapshot!(after_the_trip((40, 24), Theme::Dark, &[]));
}

#[test]
fn the_three_blocks_at_40_by_24_without_colour() {
    insta::assert_snapshot!(after_the_trip((40, 24), Theme::Monochrome, &[]));
}

#[test]
fn the_three_blocks_at_80_by_24() {
    insta::assert_snapshot!(after_the_trip((80, 24), Theme::Dark, &[]));
}

#[test]
fn the_three_blocks_at_80_by_24_without_colour() {
    insta::assert_snapshot!(after_the_trip((80, 24), Theme::Monochrome, &[]));
}

#[test]
fn after_two_resets_at_80_by_24() {
    let twice = ['n', 'n'].map(KeyCode::Char);
    insta::assert_snapshot!(after_the_trip((80, 24), Theme::Monochrome, &twice));
}

#[test]
fn the_strike_order_of_the_demo_at_80_by_24() {
    insta::assert_snapshot!(kept((80, 24), &[KeyCode::Char('4'), KeyCode::Enter]));
}
