//! Names from a plan are somebody else's text: on paper, in a terminal and in a spreadsheet they must
//! act on nothing.

/// The text with every character that acts on a terminal, reorders what is beside it or hides
/// written out by its number, so that two names stay two.
#[must_use]
pub fn inert(text: &str) -> String {
    let mut shown = String::with_capacity(text.len());
    for c in text.chars() {
        if is_hidden(c) {
            shown.extend(c.escape_unicode());
        } else {
            shown.push(c);
        }
    }
    shown
}

/// Whether a character would act on a terminal, or reorder or hide what is beside it: no text of a plan has it.
///
/// Controls; Unicode's bidirectional marks, embeddings, overrides and isolates (UAX 9); and
/// characters that take no place and say nothing: soft hyphen, zero-width ones, line and paragraph
/// separators, annotation marks, tags (Unicode general categories Cf, Zl, Zp).
#[must_use]
pub fn is_hidden(c: char) -> bool {
    c.is_control()
        || matches!(c,
            '\u{ad}' | '\u{61c}' | '\u{180e}' | '\u{feff}'
            | '\u{200b}'..='\u{200f}'
            | '\u{2028}'..='\u{202e}'
            | '\u{2060}'..='\u{206f}'
            | '\u{fff9}'..='\u{fffb}'
            | '\u{e0000}'..='\u{e007f}')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_would_act_is_written_out_and_all_else_is_kept() {
        assert_eq!(inert("M\u{fc}hle \u{53f0}\u{6240}"), "M\u{fc}hle \u{53f0}\u{6240}");
        assert_eq!(inert("a\u{1b}[2Jb"), "a\\u{1b}[2Jb");
        assert_eq!(inert("a\u{202e}b\u{2066}c"), "a\\u{202e}b\\u{2066}c");
        assert_eq!(inert("two\r\nlines\tand\u{85}more"), "two\\u{d}\\u{a}lines\\u{9}and\\u{85}more");
        assert_eq!(inert("\u{61c}\u{200b}\u{feff}\u{e0041}"), "\\u{61c}\\u{200b}\\u{feff}\\u{e0041}");
    }
}
