//! Text in columns: widths are those of a terminal, so accents and wide letters line up.

use ampwalk_core::assess::Verdict;
use anstyle::{AnsiColor, Color, Style};
use comfy_table::{CellAlignment, ContentArrangement, Table, presets};
use unicode_width::UnicodeWidthStr;

/// A heading.
pub const HEADING: Style = Style::new().bold();

/// How a column stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stand {
    /// Words.
    Left,
    /// Numbers.
    Right,
}

/// A table: its columns, then its rows.
pub fn table(columns: &[(&str, Stand)], rows: impl IntoIterator<Item = Vec<String>>, width: usize) -> String {
    let mut table = Table::new();
    table
        .load_preset(presets::NOTHING)
        .set_content_arrangement(ContentArrangement::Dynamic)
        .set_width(u16::try_from(width).unwrap_or(u16::MAX))
        .set_header(columns.iter().map(|(name, _)| *name));
    for row in rows {
        table.add_row(row);
    }
    for (column, (_, stand)) in table.column_iter_mut().zip(columns) {
        column.set_padding((0, 2));
        column.set_cell_alignment(match stand {
            Stand::Left => CellAlignment::Left,
            Stand::Right => CellAlignment::Right,
        });
    }
    let mut text = table.trim_fmt();
    text.push('\n');
    text
}

/// Words in lines, each after `indent` spaces.
pub fn wrapped(text: &str, indent: usize, width: usize) -> String {
    let indent = " ".repeat(indent);
    let options = textwrap::Options::new(width)
        .initial_indent(&indent)
        .subsequent_indent(&indent)
        .word_splitter(textwrap::WordSplitter::NoHyphenation);
    let mut lines = textwrap::fill(text, options);
    lines.push('\n');
    lines
}

/// A word at the left, one at the right, as far apart as the width allows.
pub fn ends(left: &str, right: &str, width: usize) -> String {
    let gap = width.saturating_sub(left.width() + right.width());
    if gap < 2 { format!("{left}\n{right}") } else { format!("{left}{}{right}", " ".repeat(gap)) }
}

/// How a verdict or severity looks. The word says it; the colour only repeats it.
pub fn style(verdict: Verdict) -> Style {
    let colour = |colour: AnsiColor| Style::new().fg_color(Some(Color::Ansi(colour)));
    match verdict {
        Verdict::Clear => colour(AnsiColor::Green),
        Verdict::Note => colour(AnsiColor::Blue),
        Verdict::Risk => colour(AnsiColor::Yellow),
        Verdict::Dark => colour(AnsiColor::Magenta).bold(),
        Verdict::Danger => colour(AnsiColor::Red).bold(),
    }
}

/// A verdict as it is told: in capitals.
pub fn told(verdict: Verdict) -> String {
    verdict.word().to_uppercase()
}

/// Text in a style.
pub fn styled(text: &str, style: Style) -> String {
    format!("{style}{text}{style:#}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn wide_letters_and_accents_line_up() {
        let rows = [["\u{6771}\u{4eac}", "1"], ["Cafe\u{301}", "10"], ["Hall", "100"]];
        let columns = [("room", Stand::Left), ("A", Stand::Right)];
        let text = table(&columns, rows.map(|row| row.map(str::to_owned).to_vec()), 80);
        let widths: Vec<usize> = text.lines().map(UnicodeWidthStr::width).collect();
        assert_eq!(widths, vec![widths[0]; 4], "{text}");
    }

    #[test]
    fn nothing_is_cut_and_no_line_is_too_long() {
        let many = (0..60).map(|number| format!("H{number}")).collect::<Vec<_>>().join(", ");
        let columns = [("id", Stand::Left), ("heads", Stand::Left)];
        let text = table(&columns, [vec!["P1".to_owned(), many.clone()]], 80);
        assert!(text.lines().all(|line| line.width() <= 80), "{text}");
        assert!((0..60).all(|number| text.contains(&format!("H{number}"))), "{text}");
        assert!(wrapped(&many, 8, 80).lines().all(|line| line.width() <= 80));
    }
}
