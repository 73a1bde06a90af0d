//! Numbers outside of their range, and what was probably meant.

use super::schema::{Bounds, Unit};

/// What a number that is out of its bounds probably stands for, as a remedy.
pub(super) fn remedy(key: &str, value: f64, bounds: Bounds) -> String {
    let range = format!("write a number from {}", span(bounds));
    let mut guesses: Vec<String> = Vec::new();
    if value < 0.0 && within(-value, bounds) {
        guesses.push(format!("`{key} = {}`", shown(-value)));
    }
    for (factor, given_in) in slips(bounds.unit) {
        let meant = value * factor;
        if within(meant, bounds) {
            let unit = bounds.unit.symbol();
            let meaning = format!("{} {given_in} is {} {unit}", shown(value), shown(meant));
            guesses.push(format!("`{key} = {}` ({})", shown(meant), meaning.trim_end()));
        }
    }
    if key == "amps" && value > bounds.high {
        guesses.push(format!("`watts = {}`", shown(value)));
    }
    if guesses.is_empty() {
        return format!("W{}.", &range[1..]);
    }
    format!("Did you mean {}? Else {range}.", guesses.join(", or "))
}

/// `0.001 to 1000 A`
pub(crate) fn span(bounds: Bounds) -> String {
    let span = format!("{} to {} {}", shown(bounds.low), shown(bounds.high), bounds.unit.symbol());
    span.trim_end().to_owned()
}

/// Whether a number is in its bounds; one that is not finite is in none.
pub(crate) fn within(value: f64, bounds: Bounds) -> bool {
    value >= bounds.low && value <= bounds.high
}

/// Units that are taken for another, with the factor to it.
pub(crate) fn slips(unit: Unit) -> &'static [(f64, &'static str)] {
    match unit {
        Unit::Amps => &[(0.001, "mA")],
        Unit::MilliAmps => &[(1000.0, "A"), (0.001, "\u{b5}A")],
        Unit::Volts => &[(1000.0, "kV"), (0.001, "mV")],
        Unit::Watts => &[(1000.0, "kW")],
        Unit::KiloWatts => &[(0.001, "W")],
        Unit::KiloVoltAmps => &[(0.001, "VA")],
        Unit::KiloWattHours => &[(0.001, "Wh")],
        Unit::Metres => &[(0.01, "cm"), (0.001, "mm")],
        Unit::Ohms => &[(0.001, "m\u{3a9}")],
        Unit::Minutes => &[(60.0, "h"), (1.0 / 60.0, "s")],
        Unit::Factor => &[(0.01, "%")],
        Unit::Percent => &[(100.0, "of 1")],
        Unit::Milliseconds => &[(0.001, "\u{b5}s")],
        Unit::SquareMillimetres | Unit::Celsius | Unit::Money => &[],
    }
}

/// A number that was written as text with its unit, in the unit that the key wants.
pub(super) fn from_text(text: &str, unit: Unit) -> Option<f64> {
    let text = text.trim().replace(',', ".");
    let end = text
        .char_indices()
        .find(|(_, c)| !(c.is_ascii_digit() || matches!(c, '.' | '-' | '+')))
        .map_or(text.len(), |(at, _)| at);
    let number: f64 = text[..end].parse().ok()?;
    let suffix = text[end..].trim();
    let factor = if suffix.is_empty() || suffix.eq_ignore_ascii_case(unit.symbol()) {
        1.0
    } else {
        other_unit(suffix, unit)?
    };
    Some(number * factor)
}

/// The factor from a unit in words to a key's.
pub(crate) fn other_unit(suffix: &str, unit: Unit) -> Option<f64> {
    let suffix = suffix.to_lowercase();
    match (suffix.as_str(), unit) {
        ("ft" | "feet" | "foot" | "'", Unit::Metres) => Some(0.3048),
        ("cm", Unit::Metres) => Some(0.01),
        ("mm", Unit::Metres)
        | ("ma", Unit::Amps)
        | ("w", Unit::KiloWatts)
        | ("va", Unit::KiloVoltAmps)
        | ("wh", Unit::KiloWattHours) => Some(0.001),
        ("a", Unit::MilliAmps) | ("kw", Unit::Watts) | ("kv", Unit::Volts) => Some(1000.0),
        ("h" | "hours" | "hour", Unit::Minutes) => Some(60.0),
        ("m" | "metre" | "metres", Unit::Metres)
        | ("a" | "amps" | "amp", Unit::Amps)
        | ("w" | "watts" | "watt", Unit::Watts)
        | ("v" | "volts" | "volt", Unit::Volts)
        | ("minutes" | "min" | "m", Unit::Minutes)
        | ("mm2" | "mm\u{b2}", Unit::SquareMillimetres) => Some(1.0),
        _ => None,
    }
}

/// A number as a person writes it: no rounding dust.
pub(crate) fn shown(value: f64) -> String {
    if value != 0.0 && (value.abs() < 1e-4 || value.abs() >= 1e12) {
        return format!("{value:e}");
    }
    let text = format!("{value:.6}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    const AMPS: Bounds = Bounds { unit: Unit::Amps, low: 0.001, high: 1000.0 };

    #[test]
    fn milliamperes_and_watts_are_recognised_among_amps() {
        let remedy = remedy("amps", 1200.0, AMPS);
        assert!(remedy.contains("`amps = 1.2` (1200 mA is 1.2 A)"), "{remedy}");
        assert!(remedy.contains("`watts = 1200`"), "{remedy}");
    }

    #[test]
    fn a_minus_is_taken_off() {
        assert!(remedy("breaker_a", -16.0, AMPS).starts_with("Did you mean `breaker_a = 16`"));
    }

    #[test]
    fn feet_become_metres() {
        // International foot of 1959: 0.3048 m exactly.
        assert_eq!(from_text("65 ft", Unit::Metres), Some(65.0 * 0.3048));
        assert_eq!(from_text("16A", Unit::Amps), Some(16.0));
        assert_eq!(from_text("2,5", Unit::SquareMillimetres), Some(2.5));
        assert_eq!(from_text("two", Unit::Metres), None);
        assert_eq!(from_text("3 apples", Unit::Metres), None);
    }

    #[test]
    fn numbers_are_shown_without_dust() {
        assert_eq!(shown(1200.0 * 0.001), "1.2");
        assert_eq!(shown(16.0), "16");
        assert_eq!(shown(0.0), "0");
        assert_eq!(shown(-0.5), "-0.5");
    }
}
