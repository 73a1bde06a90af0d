//! What the screens look like on the demo: every symbol, and the runs of style under it.

use std::time::Duration;

use ampwalk_tui::effect::Effect;
use ampwalk_tui::event::Event;
use ampwalk_tui::model::{Model, Opening, Origin};
use ampwalk_tui::placing::{Progress, answer};
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
    let mut model = opened(size, theme);
    for key in keys {
        press(&mut model, *key);
    }
    drawn(&model, size)
}

fn opened(size: (u16, u16), theme: Theme) -> Model {
    let text = std::fs::read_to_string(example("mill-house")).unwrap();
    let opening = Opening {
        text,
        file_name: "mill-house.toml".to_owned(),
        origin: Origin::Demo,
        theme,
        size,
        ..Opening::default()
    };
    Model::open(opening)
}

fn drawn(model: &Model, size: (u16, u16)) -> Buffer {
    let area = Rect::new(0, 0, size.0, size.1);
    let mut buffer = Buffer::empty(area);
    draw(model, area, &mut buffer);
    buffer
}

/// Presses a key; what the solver is asked is answered at once.
fn press(model: &mut Model, key: KeyCode) {
    for effect in update(model, Event::Key(KeyEvent::new(key, KeyModifiers::NONE))) {
        if let Effect::Place(request) = effect {
            update(model, answer(request, &mut |_| true));
        }
    }
}

/// The demo while its heads are being put on, so far along.
fn while_placing(size: (u16, u16), theme: Theme, key: char, progress: Option<Progress>) -> String {
    let mut model = opened(size, theme);
    let asked = update(&mut model, Event::Key(KeyEvent::new(KeyCode::Char(key), KeyModifiers::NONE)));
    let [Effect::Place(request)] = asked.as_slice() else { panic!("{asked:?}") };
    if let Some(progress) = progress {
        update(&mut model, Event::Placing { number: request.number, progress });
    }
    styled_text(&drawn(&model, size))
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

/// After B took RA down: `!`, the device, the head, since when.
pub const AFTER_A_TRIP: [KeyCode; 4] =
    [KeyCode::Char('!'), KeyCode::Char('1'), KeyCode::Char('1'), KeyCode::Char('1')];

/// The demo after that, then these keys.
fn after_the_trip(size: (u16, u16), theme: Theme, then: &[KeyCode]) -> String {
    styled_text(&demo(size, theme, &[&AFTER_A_TRIP, then].concat()))
}

#[test]
fn the_producers_answer_at_80_by_24() {
    insta::assert_snapshot!(kept((80, 24), &[KeyCode::Char('G')]));
}

#[test]
fn what_is_traced_at_80_by_24() {
    insta::assert_snapshot!(kept((80, 24), &[KeyCode::Char('1'), KeyCode::Char('t')]));
}

#[test]
fn what_is_traced_at_140_by_45() {
    insta::assert_snapshot!(kept((140, 45), &[KeyCode::Char('1'), KeyCode::Char('t')]));
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

#[test]
fn the_moves_of_all_heads_afresh() {
    for (columns, rows) in SIZES {
        insta::assert_snapshot!(
            format!("afresh_at_{columns}_by_{rows}"),
            kept((columns, rows), &[KeyCode::Char('A')])
        );
    }
    let plain = styled_text(&demo((80, 24), Theme::Monochrome, &[KeyCode::Char('A')]));
    insta::assert_snapshot!("afresh_at_80_by_24_without_colour", plain);
}

#[test]
fn the_rest_put_on_at_80_by_24() {
    insta::assert_snapshot!(kept((80, 24), &[KeyCode::Char('a')]));
}

#[test]
fn while_heads_are_being_put_on() {
    let progress = Progress { placed: 12, heads: 14, proven: 1, elapsed: Duration::from_millis(3200) };
    for (columns, rows) in SIZES {
        let name = format!("placing_at_{columns}_by_{rows}");
        insta::assert_snapshot!(name, while_placing((columns, rows), Theme::Sixteen, 'a', Some(progress)));
    }
    let plain = while_placing((80, 24), Theme::Monochrome, 'A', None);
    insta::assert_snapshot!("placing_at_80_by_24_without_colour", plain);
}

#[test]
fn why_the_chosen_head_drops_its_rcd_at_80_by_24() {
    insta::assert_snapshot!(kept((80, 24), &[KeyCode::Char('t')]));
}
