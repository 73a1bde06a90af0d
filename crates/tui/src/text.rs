//! Text on a grid of cells: what it measures, how it is cut, wrapped and made visible.

use std::borrow::Cow;

use unicode_segmentation::UnicodeSegmentation;
use unicode_width::UnicodeWidthStr;

/// Cells that a text takes.
#[must_use]
pub fn width(text: &str) -> usize {
    text.width()
}

/// A text that shows every character that a terminal would act on, or hide, as a mark.
#[must_use]
pub fn visible(text: &str) -> Cow<'_, str> {
    if !text.chars().any(is_hidden) {
        return Cow::Borrowed(text);
    }
    Cow::Owned(text.chars().map(|c| if is_hidden(c) { '\u{fffd}' } else { c }).collect())
}

fn is_hidden(c: char) -> bool {
    c.is_control()
        || matches!(c, '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2060}'..='\u{2069}' | '\u{feff}')
}

/// The text in at most `cells` cells; what is cut off shows as `…`.
#[must_use]
pub fn clip(text: &str, cells: usize) -> String {
    let text = visible(text);
    if width(&text) <= cells {
        return text.into_owned();
    }
    let Some(room) = cells.checked_sub(1) else { return String::new() };
    let mut cut = String::new();
    let mut used = 0;
    for grapheme in text.graphemes(true) {
        used += width(grapheme);
        if used > room {
            break;
        }
        cut.push_str(grapheme);
    }
    let kept = cut.trim_end().len();
    cut.truncate(kept);
    cut.push('…');
    cut
}

/// The text in exactly `cells` cells: cut, or filled up with spaces.
#[must_use]
pub fn pad(text: &str, cells: usize) -> String {
    let mut padded = clip(text, cells);
    let used = width(&padded);
    padded.extend(std::iter::repeat_n(' ', cells.saturating_sub(used)));
    padded
}

/// The text in lines of at most `cells` cells, broken at spaces where it can be.
#[must_use]
pub fn wrap(text: &str, cells: usize) -> Vec<String> {
    if cells == 0 {
        return Vec::new();
    }
    let text = visible(text);
    let mut lines: Vec<String> = Vec::new();
    let mut line = String::new();
    for word in text.split_whitespace() {
        let gap = usize::from(!line.is_empty());
        if width(&line) + gap + width(word) <= cells {
            if gap == 1 {
                line.push(' ');
            }
            line.push_str(word);
            continue;
        }
        if !line.is_empty() {
            lines.push(std::mem::take(&mut line));
        }
        for grapheme in word.graphemes(true) {
            if width(&line) + width(grapheme) > cells && !line.is_empty() {
                lines.push(std::mem::take(&mut line));
            }
            line.push_str(grapheme);
        }
    }
    if !line.is_empty() {
        lines.push(line);
    }
    lines
}

/// A count with its noun: `1 head`, `2 heads`.
#[must_use]
pub fn count(number: usize, noun: &str) -> String {
    if number == 1 { format!("1 {noun}") } else { format!("{number} {noun}s") }
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
    fn a_cut_text_ends_in_an_ellipsis_and_never_splits_a_wide_letter() {
        assert_eq!(clip("kitchen", 7), "kitchen");
        assert_eq!(clip("kitchen", 5), "kitc…");
        assert_eq!(clip("台所の床", 4), "台…");
        assert_eq!(clip("kitchen", 0), "");
        assert_eq!(pad("é", 3), "é  ");
    }

    #[test]
    fn a_wrapped_text_keeps_every_word_and_breaks_those_that_are_too_long() {
        assert_eq!(wrap("move C to G6 or G5", 9), ["move C to", "G6 or G5"]);
        assert_eq!(wrap("abcdefgh", 3), ["abc", "def", "gh"]);
        assert!(wrap("anything", 0).is_empty());
    }

    #[test]
    fn a_control_character_shows_as_a_mark() {
        assert_eq!(visible("a\u{1b}[2Jb"), "a\u{fffd}[2Jb");
        assert_eq!(visible("plain"), "plain");
    }

    #[test]
    fn one_is_singular() {
        assert_eq!((count(1, "head").as_str(), count(0, "head").as_str()), ("1 head", "0 heads"));
        assert_eq!(capital("ground floor"), "Ground floor");
    }
}
