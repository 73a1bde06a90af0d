//! What the user chose for every plan: theme, lengths, the bell.

use ampwalk_core::library::LengthWord;

use super::*;
use crate::event::Ground;
use crate::settings::{Bell, Setting, Settings};

fn desk_with(settings: Settings) -> Desk {
    let opening =
        Opening { text: fixture::HOUSE.to_owned(), settings, size: (160, 50), ..Opening::default() };
    Desk::with(Model::open(opening))
}

fn by_name(desk: &mut Desk, command: &str) {
    desk.keys(":").types(command).keys("enter");
}

#[test]
fn a_choice_is_made_by_name_and_handed_out_to_be_kept() {
    let mut desk = Desk::house();
    for command in ["change the theme", "metres or feet", "bell on or off"] {
        by_name(&mut desk, command);
    }
    let kept: Vec<&Effect> = desk.effects.iter().collect();
    let expected = [
        Effect::Keep(Setting::Theme(Theme::Light)),
        Effect::Keep(Setting::Lengths(LengthWord::Feet)),
        Effect::Keep(Setting::Bell(Bell::Off)),
    ];
    assert_eq!(kept, expected.iter().collect::<Vec<_>>());
}

#[test]
fn lengths_on_every_screen_follow_the_choice_and_the_plan_stays_in_metres() {
    let mut metres = desk_with(Settings::default());
    let mut feet = desk_with(Settings { lengths: Some(LengthWord::Feet), ..Settings::default() });
    metres.keys("enter").shows("b20 for 14 m");
    // 14 m, by the way along the walls.
    feet.keys("enter").shows("b20 for 46 ft");
    for script in ["", "esc", "f", "esc 1", "2", "4", "5"] {
        let screen = feet.keys(script).screen();
        let metres = screen.match_indices(" m").filter(|(at, _)| {
            let before = screen[..*at].ends_with(|c: char| c.is_ascii_digit());
            before && !screen[at + 2..].starts_with(char::is_alphanumeric)
        });
        assert_eq!(metres.count(), 0, "{script}\n{screen}");
    }
    feet.keys("3 enter enter");
    assert!(feet.model.document.text().contains("leads = [\"b20\"]"));
    feet.shows(" ft");
    feet.keys("u");
    assert_eq!(feet.model.document.text(), fixture::HOUSE);
}

#[test]
fn a_bell_that_is_off_does_not_ring() {
    let mut desk = Desk::house();
    desk.keys("/").types("G2").keys("enter enter");
    assert_eq!(desk.effects, [Effect::Bell]);
    by_name(&mut desk, "bell on or off");
    desk.effects.clear();
    desk.keys("enter").says("Nothing is plugged in at G2");
    assert!(desk.effects.is_empty());
}

#[test]
fn a_theme_follows_the_terminal_unless_somebody_chose_it() {
    let mut desk = Desk::house();
    desk.event(Event::Ground(Ground::Light));
    assert_eq!(desk.model.theme, Theme::Light);
    by_name(&mut desk, "change the theme");
    assert_eq!(desk.model.theme, Theme::Sixteen);
    let mut chosen = desk_with(Settings { theme: Some(Theme::Dark), ..Settings::default() });
    chosen.event(Event::Ground(Ground::Light));
    assert_eq!(chosen.model.theme, Theme::Dark);
    let mut plain = Desk::house();
    plain.model.theme = Theme::Monochrome;
    plain.event(Event::Ground(Ground::Light));
    assert_eq!(plain.model.theme, Theme::Monochrome);
}

#[test]
fn where_the_settings_are_is_told() {
    let mut desk = Desk::house();
    by_name(&mut desk, "where the settings are");
    desk.says("names no folder");
    desk.model.configuration = Some("/home/crew/.config/ampwalk".to_owned());
    by_name(&mut desk, "where the settings are");
    desk.says("settings.toml and keys.toml are looked for in /home/crew/.config/ampwalk");
}
