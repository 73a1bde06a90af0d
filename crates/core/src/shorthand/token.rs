//! A line in words and numbers, each with its place.

use std::ops::Range;

use crate::file::is_hidden;
use crate::file::number::other_unit;
use crate::file::schema::Unit;

/// A word of a line, or what stands between quotes.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Token {
    /// Without quotes, the marks at its end and the punctuation behind it.
    pub text: String,
    /// Where it stands, quotes and all.
    pub span: Range<usize>,
    /// Whether it begins with a quote: then it is no number and no word of the grammar.
    pub is_quoted: bool,
    /// `?` or `*` at its end.
    pub mark: Option<char>,
    /// Where in `text` an `=` stands that parts a key from its value.
    pub equals: Option<usize>,
    /// The first letter in it that no text of a plan may have.
    pub hidden: Option<char>,
}

impl Token {
    /// A word or number as it stands, with nothing special about it.
    pub fn plain(&self) -> Option<&str> {
        (!self.is_quoted && self.mark.is_none() && self.equals.is_none()).then_some(&*self.text)
    }

    /// The same in small letters.
    pub fn word(&self) -> Option<String> {
        self.plain().map(str::to_lowercase)
    }

    /// Whether it is that word, letter case apart.
    pub fn is(&self, word: &str) -> bool {
        self.plain().is_some_and(|text| same(text, word))
    }
}

/// Whether two words are the same but for letter case.
pub(super) fn same(one: &str, other: &str) -> bool {
    if one.is_ascii() && other.is_ascii() {
        return one.eq_ignore_ascii_case(other);
    }
    one.to_lowercase() == other.to_lowercase()
}

const fn is_quote(c: char) -> bool {
    matches!(c, '"' | '\u{201c}' | '\u{201d}' | '\u{201e}')
}

/// Punctuation that may stand behind a word.
const BEHIND: [char; 3] = [',', ';', ':'];

/// The words of a line. A quote that is not closed yet reaches to the end.
pub(super) fn tokens(text: &str) -> Vec<Token> {
    let mut found = Vec::new();
    let mut chars = text.char_indices().peekable();
    while let Some(&(start, first)) = chars.peek() {
        if first.is_whitespace() {
            chars.next();
            continue;
        }
        let mut scan = Scan::default();
        let mut end = start;
        while let Some(&(at, c)) = chars.peek() {
            if c.is_whitespace() && !scan.is_inside {
                break;
            }
            chars.next();
            end = at + c.len_utf8();
            let next_is_quote = chars.peek().is_some_and(|(_, next)| is_quote(*next));
            if scan.take(c, next_is_quote)
                && let Some((at, c)) = chars.next()
            {
                end = at + c.len_utf8();
            }
        }
        found.extend(scan.finish(start..end, is_quote(first)));
    }
    found
}

#[derive(Default)]
struct Scan {
    text: String,
    is_inside: bool,
    had_quote: bool,
    equals: Option<usize>,
    /// How many characters stand behind the last quote.
    outside: usize,
}

impl Scan {
    /// Takes one character. `true`: the next one belongs to it.
    fn take(&mut self, c: char, next_is_quote: bool) -> bool {
        if is_quote(c) {
            if self.is_inside && next_is_quote {
                self.text.push('"');
                return true;
            }
            self.is_inside = !self.is_inside;
            self.had_quote = true;
            self.outside = 0;
            return false;
        }
        if c == '=' && !self.had_quote && self.equals.is_none() && !self.text.is_empty() {
            self.equals = Some(self.text.len());
        }
        self.text.push(c);
        self.outside += usize::from(!self.is_inside);
        false
    }

    fn finish(mut self, span: Range<usize>, is_quoted: bool) -> Option<Token> {
        let whole = self.text.clone();
        while self.outside > 0 && self.text.ends_with(BEHIND) {
            self.text.pop();
            self.outside -= 1;
        }
        if self.text.is_empty() && !self.had_quote {
            return None;
        }
        let mut mark = None;
        if self.outside > 0 && self.text.chars().count() > usize::from(!self.had_quote) {
            mark = self.text.chars().last().filter(|c| matches!(c, '?' | '*'));
        }
        if mark.is_some() {
            self.text.pop();
        }
        // A key with nothing behind its `=` takes the key out: that is no punctuation.
        let equals = self.equals.filter(|at| *at < self.text.len());
        let text = if self.text.is_empty() && !self.had_quote { whole } else { self.text };
        let hidden = text.chars().find(|c| is_hidden(*c));
        Some(Token { text, span, is_quoted, mark, equals, hidden })
    }
}

/// A number as it was typed, and its unit in small letters, if any.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Quantity {
    /// Digits with a decimal point, a sign before them if there is one.
    pub digits: String,
    /// What stands right behind the number.
    pub suffix: String,
}

/// Longest unit that is looked for.
const LONGEST_UNIT: usize = 8;

/// Most digits of a number: whatever is longer was not typed, and a sentence about it could not be read.
const MOST_DIGITS: usize = 24;

/// A number with or without a unit; a decimal comma will do.
pub(super) fn quantity(text: &str) -> Option<Quantity> {
    let unsigned = text.strip_prefix(['-', '\u{2212}']);
    let is_negative = unsigned.is_some();
    let body = unsigned.unwrap_or(text);
    let mut digits = String::from(if is_negative { "-" } else { "" });
    let mut has_point = false;
    let mut end = 0;
    for (at, c) in body.char_indices() {
        let begins_fraction =
            matches!(c, '.' | ',') && !has_point && body[at + 1..].starts_with(|c: char| c.is_ascii_digit());
        if c.is_ascii_digit() {
            digits.push(c);
        } else if begins_fraction {
            if at == 0 {
                digits.push('0');
            }
            digits.push('.');
            has_point = true;
        } else {
            break;
        }
        end = at + c.len_utf8();
    }
    let suffix = body[end..].to_lowercase().replace('\u{b2}', "2").replace('\u{b0}', "");
    let is_unit = suffix.chars().all(|c| c.is_alphabetic() || matches!(c, '%' | '\'' | '2' | '\u{3a9}'));
    let is_short = digits.len() <= MOST_DIGITS && suffix.chars().count() <= LONGEST_UNIT;
    (end > 0 && is_unit && is_short).then_some(Quantity { digits, suffix })
}

/// A number of a unit, out of words that follow each other.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Amount {
    /// In the unit that was asked for.
    pub value: f64,
    /// How many words it takes: the unit may be one of its own.
    pub tokens: usize,
    /// Whether its unit was said.
    pub unit: Said,
}

/// Whether something was said.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Said {
    Yes,
    No,
}

/// The amount that stands at the beginning of `tokens`, in `unit`. `None`: no number, or another unit.
pub(super) fn amount(tokens: &[Token], unit: Unit) -> Option<Amount> {
    let read = quantity(tokens.first()?.plain()?)?;
    if !read.suffix.is_empty() {
        let value = scaled(&read.digits, factor(&read.suffix, unit)?)?;
        return Some(Amount { value, tokens: 1, unit: Said::Yes });
    }
    let apart = tokens.get(1).and_then(Token::word).and_then(|word| {
        // Behind a blank, `A` may be a type of RCD or a head: it is amperes only where those are asked for.
        let is_other = word == "a" && unit != Unit::Amps;
        let factor = if is_other { None } else { factor(&word, unit) }?;
        scaled(&read.digits, factor)
    });
    match apart {
        Some(value) => Some(Amount { value, tokens: 2, unit: Said::Yes }),
        None => Some(Amount { value: read.digits.parse().ok()?, tokens: 1, unit: Said::No }),
    }
}

/// The factor from a unit in small letters to `unit`.
fn factor(suffix: &str, unit: Unit) -> Option<f64> {
    if suffix == unit.symbol().to_lowercase().replace('\u{b2}', "2") && !suffix.is_empty() {
        return Some(1.0);
    }
    match (suffix, unit) {
        ("ohm" | "ohms", Unit::Ohms)
        | ("sqmm", Unit::SquareMillimetres)
        | ("c", Unit::Celsius)
        | ("mins", Unit::Minutes) => Some(1.0),
        ("hr" | "hrs", Unit::Minutes) => Some(60.0),
        ("mohm", Unit::Ohms) => Some(0.001),
        _ => other_unit(suffix, unit),
    }
}

/// A number times a factor, without the dust of binary fractions.
fn scaled(digits: &str, factor: f64) -> Option<f64> {
    let by_tens: [(f64, &str); 4] = [(1000.0, "e3"), (0.001, "e-3"), (0.01, "e-2"), (1.0, "")];
    if let Some((_, exponent)) = by_tens.iter().find(|(tens, _)| tens.total_cmp(&factor).is_eq()) {
        return format!("{digits}{exponent}").parse().ok();
    }
    let value: f64 = digits.parse().ok()?;
    let product = value * factor;
    let rounded = (product * 1e6).round() / 1e6;
    Some(if rounded.is_finite() { rounded } else { product })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn texts(line: &str) -> Vec<String> {
        tokens(line).into_iter().map(|token| token.text).collect()
    }

    #[test]
    fn words_are_parted_by_blanks_and_quotes_hold_them_together() {
        assert_eq!(texts("G3  \"Dining room\" ok"), ["G3", "Dining room", "ok"]);
        assert_eq!(texts("P2 off: G3, G4; dead"), ["P2", "off", "G3", "G4", "dead"]);
        assert_eq!(texts("\"say \"\"when\"\"\""), ["say \"when\""]);
        assert_eq!(texts("\"not closed yet"), ["not closed yet"]);
        assert_eq!(texts(" , ;"), Vec::<String>::new());
    }

    #[test]
    fn marks_count_outside_of_quotes_only() {
        let found = tokens("p2? \"fridge*\" \"clock and hood\"* ?");
        let marks: Vec<_> = found.iter().map(|token| (token.text.as_str(), token.mark)).collect();
        assert_eq!(marks, [("p2", Some('?')), ("fridge*", None), ("clock and hood", Some('*')), ("?", None)]);
    }

    #[test]
    fn a_number_may_have_a_decimal_comma_and_a_unit_behind_a_blank() {
        let read = |line: &str, unit| amount(&tokens(line), unit).map(|amount| (amount.value, amount.tokens));
        assert_eq!(read("10 a", Unit::Amps), Some((10.0, 2)));
        assert_eq!(read("1,35kW", Unit::Watts), Some((1350.0, 1)));
        assert_eq!(read("2.5mm2", Unit::SquareMillimetres), Some((2.5, 1)));
        assert_eq!(read("2,5 mm\u{b2}", Unit::SquareMillimetres), Some((2.5, 2)));
        assert_eq!(read("30 A", Unit::MilliAmps), Some((30.0, 1)), "type A, not 30 amperes");
        // The international foot of 1959 is 0.3048 m.
        assert_eq!(read("50ft", Unit::Metres), Some((15.24, 1)));
        assert_eq!(read("10A", Unit::Watts), None);
        assert_eq!(read("2x10", Unit::Amps), None);
    }

    #[test]
    fn a_run_of_digits_that_nobody_types_is_no_number() {
        assert!(quantity("0.30480000000000001537mm").is_some());
        assert_eq!(quantity(&"9".repeat(25)), None);
        assert_eq!(quantity(&format!("{}W", "1".repeat(400))), None);
    }
}
