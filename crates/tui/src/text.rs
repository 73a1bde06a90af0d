//! Small words, and the text widget's functions under the names that the screens use.

pub(crate) use crate::widget::text::{truncate as clip, width, wrap};

use crate::widget::text::{self, Align};

/// The text in exactly `cells` cells: cut, or filled up with spaces.
#[must_use]
pub fn pad(words: &str, cells: usize) -> String {
    text::pad(&clip(words, cells), cells, Align::Left)
}

/// A count with its noun: `1 head`, `2 heads`.
#[must_use]
pub fn count(number: usize, noun: &str) -> String {
    if number == 1 { format!("1 {noun}") } else { format!("{number} {}", plural(noun)) }
}

/// Several of a noun: `heads`, `supplies`.
#[must_use]
pub fn plural(noun: &str) -> String {
    noun.strip_suffix("ply").map_or_else(|| format!("{noun}s"), |stem| format!("{stem}plies"))
}

/// The text with a capital first letter.
#[must_use]
pub fn capital(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |first| first.to_uppercase().collect::<String>() + chars.as_str())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_is_singular() {
        assert_eq!((count(1, "head").as_str(), count(0, "head").as_str()), ("1 head", "0 heads"));
        assert_eq!(capital("ground floor"), "Ground floor");
    }
}
