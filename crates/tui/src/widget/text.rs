//! Text that fits: measured in terminal columns, cut between graphemes, wrapped between words.

use ampwalk_core::file::is_hidden;
use ratatui::text::{Line, Span};
use unicode_segmentation::UnicodeSegmentation;
use unicode_width::UnicodeWidthStr;

/// What stands where text was cut.
const ELLIPSIS: &str = "…";

/// Where text stands in a wider space.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Align {
    /// At the left.
    Left,
    /// At the right: numbers.
    Right,
}

/// Columns that a text takes.
#[must_use]
pub fn width(text: &str) -> usize {
    // Most text is plain, and looking for graphemes is most of what drawing costs.
    if text.bytes().all(|byte| (b' '..=b'~').contains(&byte)) {
        return text.len();
    }
    text.graphemes(true).map(UnicodeWidthStr::width).sum()
}

/// Columns that a line takes.
#[must_use]
pub fn line_width(line: &Line<'_>) -> usize {
    line.spans.iter().map(|span| width(&span.content)).sum()
}

/// The text with a visible mark for every character that a terminal would act on, or that hides or
/// reorders what stands beside it.
#[must_use]
pub fn visible(text: &str) -> String {
    text.chars().map(mark).collect()
}

/// Whether a mark stands for a character.
#[must_use]
pub fn is_marked(c: char) -> bool {
    // Joiners make letters of some scripts and pictures; what they join, the terminal draws as one.
    is_hidden(c) && !matches!(c, '\u{200c}' | '\u{200d}')
}

fn mark(c: char) -> char {
    match c {
        '\0'..='\u{1f}' => char::from_u32(0x2400 + u32::from(c)).unwrap_or(char::REPLACEMENT_CHARACTER),
        '\u{7f}' => '\u{2421}',
        hidden if is_marked(hidden) => char::REPLACEMENT_CHARACTER,
        other => other,
    }
}

/// The text in `columns` at most, with an ellipsis where it was cut.
#[must_use]
pub fn truncate(text: &str, columns: usize) -> String {
    if width(text) <= columns {
        return text.to_owned();
    }
    if columns == 0 {
        return String::new();
    }
    let mut kept = head(text, columns - 1).trim_end().to_owned();
    kept.push_str(ELLIPSIS);
    kept
}

/// The longest start of a text that takes `columns` at most.
fn head(text: &str, columns: usize) -> &str {
    let mut used = 0;
    for (start, grapheme) in text.grapheme_indices(true) {
        used += UnicodeWidthStr::width(grapheme);
        if used > columns {
            return &text[..start];
        }
    }
    text
}

/// The text in exactly `columns`: cut, or filled with blanks.
#[must_use]
pub fn pad(text: &str, columns: usize, align: Align) -> String {
    let fitted = truncate(text, columns);
    let blanks = " ".repeat(columns.saturating_sub(width(&fitted)));
    match align {
        Align::Left => fitted + &blanks,
        Align::Right => blanks + &fitted,
    }
}

/// The text in lines of `columns` at most, broken between words; a longer word is broken inside.
/// Nothing where there are no columns.
#[must_use]
pub fn wrap(text: &str, columns: usize) -> Vec<String> {
    if columns == 0 {
        return Vec::new();
    }
    let mut lines = Vec::new();
    let mut line = String::new();
    for word in text.split_whitespace() {
        let gap = usize::from(!line.is_empty());
        if width(&line) + gap + width(word) <= columns {
            if gap > 0 {
                line.push(' ');
            }
            line.push_str(word);
            continue;
        }
        if !line.is_empty() {
            lines.push(std::mem::take(&mut line));
        }
        let mut rest = word;
        while width(rest) > columns {
            let start = head(rest, columns);
            // A grapheme wider than the line has to stand alone and be cut by the buffer.
            let start = if start.is_empty() { rest.graphemes(true).next().unwrap_or(rest) } else { start };
            lines.push(start.to_owned());
            rest = &rest[start.len()..];
        }
        rest.clone_into(&mut line);
    }
    if !line.is_empty() {
        lines.push(line);
    }
    lines
}

/// The line in `columns` at most, with an ellipsis where it was cut.
#[must_use]
pub fn fit(line: Line<'static>, columns: usize) -> Line<'static> {
    if line_width(&line) <= columns {
        return line;
    }
    let mut left = columns;
    let mut spans = Vec::new();
    for span in line.spans {
        let taken = width(&span.content);
        if taken < left || (taken == left && left > columns) {
            left -= taken;
            spans.push(span);
            continue;
        }
        let mut cut = if taken >= left && left > 0 {
            head(&span.content, left - 1).trim_end().to_owned()
        } else {
            String::new()
        };
        if left > 0 {
            cut.push_str(ELLIPSIS);
        }
        spans.push(Span::styled(cut, span.style));
        break;
    }
    Line { spans, ..line }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn accents_and_wide_letters_take_the_columns_that_they_show() {
        assert_eq!(width("café"), 4);
        assert_eq!(width("cafe\u{301}"), 4);
        assert_eq!(width("客厅"), 4);
        assert_eq!(truncate("客厅北", 5), "客厅…");
        assert_eq!(truncate("客厅北", 4), "客…");
        assert_eq!(pad("é", 3, Align::Right), "  é");
        assert_eq!(pad("客厅北", 4, Align::Left), "客… ");
    }

    #[test]
    fn text_wraps_between_words_and_breaks_only_what_is_too_long() {
        assert_eq!(wrap("move C to G6 or G5", 9), ["move C to", "G6 or G5"]);
        assert_eq!(wrap("abcdefgh ij", 3), ["abc", "def", "gh", "ij"]);
        assert_eq!(wrap("客厅 a", 1), ["客", "厅", "a"]);
        assert!(wrap("any", 0).is_empty());
    }

    #[test]
    fn what_a_terminal_would_act_on_is_shown_as_a_mark() {
        assert_eq!(visible("a\u{1b}[2J\u{202e}b\u{7f}"), "a\u{241b}[2J\u{fffd}b\u{2421}");
        assert_eq!(visible("\u{ad}\u{61c}\u{e0041}\u{200d}"), "\u{fffd}\u{fffd}\u{fffd}\u{200d}");
    }

    #[test]
    fn a_line_is_cut_across_its_spans() {
        let line = || Line::from(vec![Span::raw("dining"), Span::raw(" G3"), Span::raw(" held")]);
        assert_eq!(fit(line(), 14).to_string(), "dining G3 held");
        assert_eq!(fit(line(), 10).to_string(), "dining G3…");
        assert_eq!(fit(line(), 6).to_string(), "dinin…");
        assert_eq!(fit(line(), 0).to_string(), "");
    }

    proptest! {
        #[test]
        fn nothing_is_ever_wider_than_asked(text in "[a-z 客é\u{301}👩‍🔧]{0,20}", columns in 0..12_usize) {
            prop_assert!(width(&truncate(&text, columns)) <= columns);
            prop_assert_eq!(width(&pad(&text, columns, Align::Left)), columns);
            let line = Line::from(vec![Span::raw(text.clone()), Span::raw(text.clone())]);
            prop_assert!(line_width(&fit(line, columns)) <= columns);
            if columns >= 2 {
                // A grapheme that is wider than the line stands alone.
                let fits = |line: &String| width(line) <= columns || line.graphemes(true).count() == 1;
                prop_assert!(wrap(&text, columns).iter().all(fits));
            }
        }
    }
}
