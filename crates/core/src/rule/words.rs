//! Numbers in sentences: short, with a decimal point, and with as many decimals as it takes to tell
//! a number from its limit.

use crate::network::{HeadAt, Network};
use crate::physics::breaker::TripWindow;
use crate::plan::TestOutcome;
use crate::unit::Seconds;

/// A number with one decimal, none where it is whole.
#[must_use]
pub fn number(value: f64) -> String {
    with_decimals(value, 1)
}

/// A number with two decimals at most: ohms of an earth-fault loop are small.
#[must_use]
pub fn hundredths(value: f64) -> String {
    with_decimals(value, 2)
}

/// Two numbers, with as many decimals as it takes to tell them apart, two at most.
#[must_use]
pub fn pair(value: f64, limit: f64) -> (String, String) {
    let (first, second) = (number(value), number(limit));
    if first != second || (value - limit).abs() < 1e-9 {
        return (first, second);
    }
    (with_decimals(value, 2), with_decimals(limit, 2))
}

fn with_decimals(value: f64, decimals: u32) -> String {
    let scale = 10_i64.pow(decimals);
    // Whole numbers are written many times faster, and there are many numbers to write.
    #[expect(clippy::cast_precision_loss, clippy::cast_possible_truncation, reason = "checked just here")]
    let scaled = match (value * scale as f64).round() {
        rounded if rounded.abs() < 9e15 => rounded as i64,
        _ => return format!("{value:.*}", decimals as usize),
    };
    let (whole, part) = ((scaled / scale).abs(), (scaled % scale).abs());
    let sign = if scaled < 0 { "-" } else { "" };
    if part == 0 {
        return format!("{sign}{whole}");
    }
    let text = format!("{sign}{whole}.{part:0width$}", width = decimals as usize);
    text.trim_end_matches('0').to_owned()
}

/// Names in a list, the first few of them: `A, B and 3 more`.
#[must_use]
pub fn list<T: ToString>(names: impl IntoIterator<Item = T>) -> String {
    const SHOWN: usize = 4;
    let mut names = names.into_iter();
    let shown: Vec<String> = names.by_ref().take(SHOWN).map(|name| name.to_string()).collect();
    let more = names.count();
    match shown.as_slice() {
        [] => String::new(),
        [only] => only.clone(),
        [first @ .., last] if more == 0 => format!("{} and {last}", first.join(", ")),
        [first @ .., _] => format!("{} and {} more", first.join(", "), more + 1),
    }
}

/// Heads by their ids, the first few of them.
#[must_use]
pub fn heads(network: &Network, heads: &[HeadAt]) -> String {
    list(heads.iter().map(|head| &network.heads[*head].id))
}

/// `is` after one head, `are` after several.
#[must_use]
pub const fn is(heads: &[HeadAt]) -> &'static str {
    if heads.len() == 1 { "is" } else { "are" }
}

/// Odds as crews say them: `7 in 10`, never quite none and never quite all.
#[must_use]
pub fn odds(odds: f64) -> String {
    let tenths = (odds * 10.0).round().clamp(1.0, 9.0);
    format!("{tenths:.0} in 10")
}

/// When a breaker opens, as the end of a sentence; empty where it never does.
#[must_use]
pub fn trip_window(window: TripWindow) -> String {
    match (window.earliest, window.latest) {
        (None, _) => String::new(),
        (Some(earliest), None) if earliest == Seconds::ZERO => {
            "; the breaker may open at any moment, or never".to_owned()
        }
        (Some(earliest), None) => {
            format!("; the breaker opens not before {}, perhaps never", time(earliest))
        }
        (Some(earliest), Some(latest)) if earliest == Seconds::ZERO => {
            format!("; the breaker opens within {}", time(latest))
        }
        (Some(earliest), Some(latest)) => {
            format!("; the breaker opens between {} and {}", time(earliest), time(latest))
        }
    }
}

/// A time that a person reads: seconds, minutes or hours.
#[must_use]
pub fn time(seconds: Seconds) -> String {
    match seconds.0 {
        short if short < 10.0 => format!("{} s", number(short)),
        short if short < 90.0 => format!("{short:.0} s"),
        middle if middle < 5400.0 => format!("{:.0} min", middle / 60.0),
        long => format!("{} h", number(long / 3600.0)),
    }
}

/// What a tester said, in a few of the region's words.
#[must_use]
pub fn tester(network: &Network, outcome: TestOutcome) -> String {
    let words = &network.region.words;
    match outcome {
        TestOutcome::Ok => "ok".to_owned(),
        TestOutcome::Reversed => format!("{} and {} swapped", words.active, words.neutral),
        TestOutcome::NoEarth => format!("no {}", words.earth),
        TestOutcome::NoNeutral => format!("no {}", words.neutral),
        TestOutcome::Dead => "dead".to_owned(),
        TestOutcome::ActiveOnEarth => format!("{} and {} swapped", words.active, words.earth),
        TestOutcome::Odd => "odd: not as it should be".to_owned(),
        TestOutcome::Untested => "not tested".to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_number_is_short_and_told_from_its_limit() {
        assert_eq!(number(12.0), "12");
        assert_eq!(number(11.98), "12");
        assert_eq!(number(-0.01), "0");
        assert_eq!(pair(13.04, 13.0), ("13.04".into(), "13".into()));
        assert_eq!(pair(13.5, 10.0), ("13.5".into(), "10".into()));
    }

    #[test]
    fn a_long_list_is_cut_and_says_by_how_much() {
        assert_eq!(list(["A"]), "A");
        assert_eq!(list(["A", "B"]), "A and B");
        assert_eq!(list(["A", "B", "C", "D"]), "A, B, C and D");
        assert_eq!(list(["A", "B", "C", "D", "E"]), "A, B, C and 2 more");
        assert_eq!(odds(0.999), "9 in 10");
        assert_eq!(odds(0.7), "7 in 10");
    }
}
