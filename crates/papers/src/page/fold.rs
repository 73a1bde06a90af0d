//! Text in lines of a width.

use unicode_segmentation::UnicodeSegmentation;

use super::fonts::{Face, Fonts, printable};

/// From one line of text to the next, in parts of its size: over what the built-in faces need, ascent 0.928
/// and descent 0.236 of it (`hhea` of `DejaVuSans.ttf`).
pub(crate) const LINE: f32 = 1.2;
/// How far down its line a text's baseline is, in parts of its size.
pub(crate) const BASELINE: f32 = 0.945;

/// A line, and its width at the size 1, which a blank at its end is no part of.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Folded {
    pub(crate) text: String,
    pub(crate) width: f32,
}

/// `text` in lines of `width` at most, at the size 1: broken at blanks, and inside words that are wider. A
/// line that was broken at a blank ends in it, so that words stay apart for who hears or copies them.
pub(crate) fn fold(fonts: &Fonts<'_>, text: &str, face: Face, width: f32) -> Vec<Folded> {
    // What was measured before and fits exactly must not break for the last bit of a number.
    let width = width + 1e-3;
    let blank = fonts.width(" ", face);
    let mut lines: Vec<Folded> = Vec::new();
    let mut line = Folded { text: String::new(), width: 0.0 };
    for word in printable(text).split_whitespace() {
        let own = fonts.width(word, face);
        if !line.text.is_empty() {
            line.text.push(' ');
            if line.width + blank + own <= width {
                line.text.push_str(word);
                line.width += blank + own;
                continue;
            }
            lines.push(std::mem::replace(&mut line, Folded { text: String::new(), width: 0.0 }));
        }
        if own <= width {
            line = Folded { text: word.to_owned(), width: own };
        } else {
            broken(fonts, word, face, width, &mut lines, &mut line);
        }
    }
    lines.push(line);
    lines
}

/// A word that is wider than a line: broken between what is read as one letter, and inside of that only
/// where it alone is wider.
fn broken(fonts: &Fonts<'_>, word: &str, face: Face, width: f32, lines: &mut Vec<Folded>, line: &mut Folded) {
    let mut add = |part: &str, own: f32| {
        if line.width + own > width && !line.text.is_empty() {
            lines.push(std::mem::replace(line, Folded { text: String::new(), width: 0.0 }));
        }
        line.text.push_str(part);
        line.width += own;
    };
    for letter in word.graphemes(true) {
        let own = fonts.width(letter, face);
        if own <= width {
            add(letter, own);
            continue;
        }
        let mut bytes = [0; 4];
        for c in letter.chars() {
            add(c.encode_utf8(&mut bytes), fonts.glyph(face, c).advance);
        }
    }
}

/// The width of the widest word at the size 1.
pub(crate) fn widest_word(fonts: &Fonts<'_>, text: &str, face: Face) -> f32 {
    text.split_whitespace().map(|word| fonts.width(word, face)).fold(0.0, f32::max)
}

/// `text` on one line of `width` at the size 1, cut off with a sign where it is longer.
pub(crate) fn cut(fonts: &Fonts<'_>, text: &str, face: Face, width: f32) -> Folded {
    let mut lines = fold(fonts, text, face, width);
    if lines.len() == 1 {
        return lines.swap_remove(0);
    }
    let room = width - fonts.width("\u{2026}", face);
    let mut kept = Folded { text: String::new(), width: 0.0 };
    for letter in printable(text).graphemes(true) {
        let own = fonts.width(letter, face);
        if kept.width + own > room {
            break;
        }
        kept.text.push_str(letter);
        kept.width += own;
    }
    kept.text.push('\u{2026}');
    kept.width = fonts.width(&kept.text, face);
    kept
}
