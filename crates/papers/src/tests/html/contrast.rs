//! Letters can be read on what is behind them, in light and in dark.

use std::collections::BTreeMap;

use super::called;
use crate::html;

/// The colours that a theme names, as `#rgb` or `#rrggbb`.
fn colours(rule: &str) -> BTreeMap<&str, [f64; 3]> {
    let inside = rule.split_once(":root{").expect("colours").1.split_once('}').expect("an end").0;
    inside
        .split(';')
        .filter_map(|one| one.split_once(':'))
        .map(|(name, value)| (name, channels(value)))
        .collect()
}

fn channels(value: &str) -> [f64; 3] {
    let digits = value.strip_prefix('#').expect("a colour");
    let wide = digits.len() / 3;
    [0, 1, 2].map(|at| {
        let part = &digits[at * wide..(at + 1) * wide];
        let whole = if wide == 1 { part.repeat(2) } else { part.to_owned() };
        f64::from(u8::from_str_radix(&whole, 16).expect("two digits")) / 255.0
    })
}

/// Relative luminance and contrast as WCAG 2.2 has them (from memory).
fn contrast(one: [f64; 3], other: [f64; 3]) -> f64 {
    let linear = |c: f64| if c <= 0.04045 { c / 12.92 } else { ((c + 0.055) / 1.055).powf(2.4) };
    let light =
        |[red, green, blue]: [f64; 3]| 0.2126 * linear(red) + 0.7152 * linear(green) + 0.0722 * linear(blue);
    let (one, other) = (light(one), light(other));
    (one.max(other) + 0.05) / (one.min(other) + 0.05)
}

#[test]
fn every_letter_has_a_contrast_of_four_and_a_half_and_every_line_of_three() {
    assert!((contrast(channels("#000"), channels("#fff")) - 21.0).abs() < 1e-9);
    let page = html(&[], &called("x"));
    let themes: Vec<&str> = page.match_indices(":root{").map(|(at, _)| &page[at..]).collect();
    assert_eq!(themes.len(), 3, "light, dark, print");
    for theme in themes {
        let colours = colours(theme);
        for behind in ["--paper", "--shade"] {
            for letters in ["--ink", "--link"] {
                let contrast = contrast(colours[letters], colours[behind]);
                assert!(contrast >= 4.5, "{letters} on {behind}: {contrast}");
            }
            let contrast = contrast(colours["--line"], colours[behind]);
            assert!(contrast >= 3.0, "lines on {behind}: {contrast}");
        }
    }
}
