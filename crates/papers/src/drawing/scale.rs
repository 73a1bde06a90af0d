//! The bar that shows the scale.

use ampwalk_core::library::LengthWord;

use crate::frame::FOOT;

/// Bars that are easy to step off: 1, 2 or 5 times a power of ten.
const STEPS: [f64; 3] = [1.0, 2.0, 5.0];
/// The bar takes this share of the width at most.
const SHARE: f64 = 0.3;
/// A thousand of the unit is longer than any building; where more is drawn the bar is short.
const DECADES: usize = 3;

/// The longest easy length that takes no more than a share of `width` (metres), 1 of the unit at least:
/// in metres, and in words.
pub(super) fn bar(width: f64, lengths: LengthWord) -> (f64, String) {
    let (unit, word) = match lengths {
        LengthWord::Metres => (1.0, "m"),
        LengthWord::Feet => (FOOT.0, "ft"),
    };
    let most = width * SHARE / unit;
    let decades = std::iter::successors(Some(1.0), |decade: &f64| Some(decade * 10.0)).take(DECADES);
    let easy = decades.flat_map(|decade| STEPS.map(|step| step * decade));
    let count = easy.take_while(|length| *length <= most).last().unwrap_or(1.0);
    (count * unit, format!("{count} {word}"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_bar_is_an_easy_length_that_fits() {
        // 0.3 of 12 m are 3.6 m; of 40 m, 12 m; 12 m are 39.37 international feet of 0.3048 m: 11.8 ft.
        assert_eq!(bar(12.0, LengthWord::Metres), (2.0, "2 m".to_owned()));
        assert_eq!(bar(40.0, LengthWord::Metres), (10.0, "10 m".to_owned()));
        let (metres, words) = bar(12.0, LengthWord::Feet);
        assert!((metres - 3.048).abs() < 1e-9 && words == "10 ft", "{metres} {words}");
        assert_eq!(bar(1.0, LengthWord::Metres), (1.0, "1 m".to_owned()));
    }
}
