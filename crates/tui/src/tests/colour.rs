//! That colour repeats a state and never is all that tells it.

use super::storm::{Dice, event, text};
use super::*;

/// What is on the screen in a theme, styles included.
fn drawn(desk: &mut Desk, theme: Theme) -> String {
    let chosen = std::mem::replace(&mut desk.model.theme, theme);
    let area = Rect::new(0, 0, desk.model.size.0, desk.model.size.1);
    let mut buffer = Buffer::empty(area);
    view::draw(&desk.model, area, &mut buffer);
    desk.model.theme = chosen;
    crate::styled_text(&buffer)
}

#[test]
fn whatever_changes_in_colour_changes_without_colour_as_well() {
    let mut compared = 0;
    for seed in 1..=10_u64 {
        let mut dice = Dice(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15) | 1);
        let mut desk = Desk::opened(&text(&mut dice), (80, 24), Origin::File);
        let mut before: Option<(String, String)> = None;
        for _ in 0..60 {
            let event = match event(&mut dice, desk.model.size) {
                // Another size is another picture anyway.
                Event::Resize { .. } => Event::Key(key("tab")),
                other => other,
            };
            desk.event(event);
            let now = (drawn(&mut desk, Theme::Dark), drawn(&mut desk, Theme::Monochrome));
            if let Some((coloured, plain)) = before {
                compared += usize::from(coloured != now.0);
                assert!(coloured == now.0 || plain != now.1, "seed {seed}: told by colour alone\n{coloured}");
            }
            before = Some(now);
        }
    }
    assert!(compared > 200, "only {compared} changes were seen");
}

#[test]
fn every_outcome_of_a_limit_has_its_own_word() {
    // The demo peaks at 16 mA on RA, which drops between the two of its first ramp test.
    let demo = include_str!("../../../../examples/mill-house.toml");
    let ramps = [("10", "15", "DROPS"), ("15", "20", "may drop 2 in 10"), ("20", "25", "holds")];
    for (held, tripped, word) in ramps {
        let tested = "held_ma = 10, tripped_ma = 15";
        assert_eq!(demo.matches(tested).count(), 1);
        let mut desk = Desk::of(&demo.replace(tested, &format!("held_ma = {held}, tripped_ma = {tripped}")));
        desk.model.theme = Theme::Monochrome;
        let screen = desk.screen();
        let bar = screen.lines().find(|line| line.contains(" RA P1, ")).unwrap_or(&screen);
        assert!(bar.ends_with(word), "no {word} in {bar}");
    }
}
