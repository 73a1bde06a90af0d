//! Numbers as people write them into a sheet.

use crate::edit::Value;

/// What a number of `unit` is to be multiplied with to be one of a column's unit; `None`: another kind.
pub(super) fn factor(column: &str, unit: &str) -> Option<f64> {
    let unit = unit.trim().to_lowercase();
    let known: &[(&str, f64)] = match column {
        // The international foot is 0.3048 m exactly (1959), the inch a twelfth of it.
        "m" => &[
            ("m", 1.0),
            ("metre", 1.0),
            ("metres", 1.0),
            ("meter", 1.0),
            ("meters", 1.0),
            ("cm", 0.01),
            ("mm", 0.001),
            ("ft", 0.3048),
            ("feet", 0.3048),
            ("foot", 0.3048),
            ("'", 0.3048),
            ("in", 0.0254),
        ],
        "A" => &[("a", 1.0), ("amp", 1.0), ("amps", 1.0), ("ma", 0.001)],
        "mA" => &[("ma", 1.0), ("a", 1000.0)],
        "W" => &[("w", 1.0), ("watt", 1.0), ("watts", 1.0), ("kw", 1000.0)],
        "V" => &[("v", 1.0), ("volt", 1.0), ("volts", 1.0)],
        "ohm" => &[("ohm", 1.0), ("ohms", 1.0), ("ω", 1.0), ("mω", 0.001), ("mohm", 0.001)],
        "min" => &[("min", 1.0), ("mins", 1.0), ("minutes", 1.0), ("s", 1.0 / 60.0), ("h", 60.0)],
        _ => &[],
    };
    known.iter().find(|(name, _)| *name == unit).map(|(_, factor)| *factor)
}

/// How the numbers of a sheet are to be taken.
#[derive(Clone, Copy, Debug)]
pub(super) struct Numbers {
    /// Somewhere in it stands a decimal comma, so that a point may part thousands.
    pub has_decimal_commas: bool,
}

/// Why a cell is no number.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum NoNumber {
    /// It is something else.
    Other,
    /// A comma or point that may part thousands or decimals.
    TwoWays,
    /// It has a unit of another kind.
    Unit(String),
}

impl Numbers {
    /// A number in the column's unit; `own` is what the heading's unit is worth.
    pub fn number(self, text: &str, unit: &str, own: f64) -> Result<f64, NoNumber> {
        let text = text.trim();
        let end = text.find(|c: char| !(c.is_ascii_digit() || matches!(c, '+' | '-' | '.' | ',')));
        let (digits, suffix) = match end {
            // `1e3` is a number whole.
            Some(at) if text[at..].starts_with(['e', 'E']) && text.parse::<f64>().is_ok() => (text, ""),
            Some(at) => (text[..at].trim(), text[at..].trim()),
            None => (text, ""),
        };
        let worth = match suffix {
            "" => own,
            suffix => factor(unit, suffix).ok_or_else(|| NoNumber::Unit(suffix.to_owned()))?,
        };
        if digits.is_empty() {
            return Err(NoNumber::Other);
        }
        if let Some((whole, rest)) = digits.split_once([',', '.']) {
            let whole = whole.trim_start_matches(['+', '-']);
            let may_be_thousands = rest.len() == 3
                && rest.bytes().all(|b| b.is_ascii_digit())
                && (1..=3).contains(&whole.len())
                && !whole.starts_with('0');
            if may_be_thousands && (digits.contains(',') || self.has_decimal_commas) {
                return Err(NoNumber::TwoWays);
            }
        }
        let number: f64 = digits.replace(',', ".").parse().map_err(|_| NoNumber::Other)?;
        let scaled = if worth.to_bits() == 1.0_f64.to_bits() { number } else { number * worth };
        if scaled.is_finite() { Ok(scaled) } else { Err(NoNumber::Other) }
    }

    /// One number, or the two ends of a range: `3-5`, `3 to 5`.
    pub fn range(self, text: &str, unit: &str, own: f64) -> Result<Value, NoNumber> {
        match self.number(text, unit, own) {
            Ok(one) => Ok(Value::Number(one)),
            Err(why) => {
                let ends = text.split_once(" to ").or_else(|| text.split_once(['–', '-']));
                let Some((low, high)) = ends else { return Err(why) };
                let ends = [self.number(low, unit, own)?, self.number(high, unit, own)?];
                Ok(Value::List(ends.into_iter().map(Value::Number).collect()))
            }
        }
    }
}

/// Whether a cell is a number with a comma in it.
pub(super) fn has_decimal_comma(text: &str) -> bool {
    let text = text.trim().trim_start_matches(['+', '-']);
    text.split_once(',').is_some_and(|(whole, rest)| {
        [whole, rest].iter().all(|part| !part.is_empty() && part.bytes().all(|b| b.is_ascii_digit()))
    })
}
