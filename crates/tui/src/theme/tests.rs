//! That every colour can be read where it stands.

use ratatui::style::{Color, Modifier};

use super::{Role, Theme};

type Rgb = [u8; 3];

/// The least that text needs against its background: WCAG 2.2, success criterion 1.4.3, level AA.
const LEAST: f64 = 4.5;

/// Relative luminance: WCAG 2.2, "relative luminance" in its glossary.
fn luminance(colour: Rgb) -> f64 {
    let [red, green, blue] = colour.map(|part| {
        let share = f64::from(part) / 255.0;
        if share <= 0.040_45 { share / 12.92 } else { ((share + 0.055) / 1.055).powf(2.4) }
    });
    0.2126 * red + 0.7152 * green + 0.0722 * blue
}

/// Contrast ratio, 1 to 21: WCAG 2.2, "contrast ratio" in its glossary.
fn contrast(one: Rgb, other: Rgb) -> f64 {
    let (one, other) = (luminance(one), luminance(other));
    (one.max(other) + 0.05) / (one.min(other) + 0.05)
}

#[test]
fn contrast_is_that_of_the_guideline() {
    // Published: black on white is 21:1, and #767676 the lightest grey that is still 4.5:1 on white.
    assert!((contrast([0; 3], [255; 3]) - 21.0).abs() < 1e-9);
    assert!(contrast([0x76; 3], [255; 3]) >= LEAST && contrast([0x77; 3], [255; 3]) < LEAST);
}

/// The sixteen colours as two common tables have them: xterm's own, and the VGA's.
fn sixteen(colour: Color) -> [Rgb; 2] {
    match colour {
        Color::Black => [[0, 0, 0], [0, 0, 0]],
        Color::Red => [[205, 0, 0], [170, 0, 0]],
        Color::White => [[255, 255, 255], [255, 255, 255]],
        Color::LightCyan => [[0, 255, 255], [85, 255, 255]],
        Color::LightYellow => [[255, 255, 0], [255, 255, 85]],
        Color::LightMagenta => [[255, 0, 255], [255, 85, 255]],
        other => panic!("{other:?} has no place in this table yet"),
    }
}

#[test]
fn every_colour_can_be_read_on_the_backgrounds_that_its_theme_is_for() {
    // A theme paints no background: a dark terminal is black to #1e1e1e, a light one #eeeeee to white.
    for (theme, grounds) in [(Theme::Dark, [[0; 3], [0x1e; 3]]), (Theme::Light, [[0xee; 3], [255; 3]])] {
        let mut coloured = 0;
        for role in Role::ALL {
            let style = theme.style(role);
            assert_eq!(style.bg, None, "{theme:?} {role:?}");
            let Some(colour) = style.fg else { continue };
            let Color::Rgb(red, green, blue) = colour else { panic!("{theme:?} {role:?}: {colour:?}") };
            for ground in grounds {
                let ratio = contrast([red, green, blue], ground);
                assert!(ratio >= LEAST, "{theme:?} {role:?} on {ground:?}: {ratio:.2}");
            }
            coloured += 1;
        }
        assert_eq!(coloured, 11, "{theme:?}");
    }
}

#[test]
fn sixteen_colours_come_in_pairs_that_can_be_read() {
    let mut painted = 0;
    for role in Role::ALL {
        let style = Theme::Sixteen.style(role);
        assert_eq!(style.fg.is_some(), style.bg.is_some(), "{role:?}: one of a pair is the terminal's");
        let (Some(text), Some(ground)) = (style.fg, style.bg) else { continue };
        for (text, ground) in sixteen(text).into_iter().zip(sixteen(ground)) {
            let ratio = contrast(text, ground);
            assert!(ratio >= LEAST, "{role:?}: {ratio:.2}");
        }
        painted += 1;
    }
    assert_eq!(painted, 4);
}

#[test]
fn no_colour_is_used_where_there_is_none_and_what_is_urgent_still_has_a_sign_of_its_own() {
    let signs = [Role::Text, Role::Risk, Role::Dark, Role::Danger].map(|role| Theme::Monochrome.style(role));
    for role in Role::ALL {
        let style = Theme::Monochrome.style(role);
        assert_eq!((style.fg, style.bg), (None, None), "{role:?}");
    }
    for (at, sign) in signs.iter().enumerate() {
        assert!(!signs[..at].contains(sign), "{sign:?}");
    }
    assert!(signs[3].add_modifier.contains(Modifier::REVERSED));
}
