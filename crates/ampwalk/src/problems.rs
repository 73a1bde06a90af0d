//! Problems of a plan file as a reader sees them: place, source line, message, what to do.

use std::ops::Range;

use ampwalk_core::file::{Gravity, Problem, is_hidden, position};
use annotate_snippets::renderer::DecorStyle;
use annotate_snippets::{AnnotationKind, Element, Group, Level, Origin, Renderer, Snippet};

use crate::input::Source;
use crate::output::error_columns;

/// Source lines longer than this are not shown, only their place.
const LONGEST_LINE: usize = 400;
/// More lines than this are not shown of one problem.
const MOST_LINES: usize = 3;

/// Every problem, in the order of the text, with colours that the stream takes out again.
pub fn render(source: &Source, problems: &[Problem]) -> String {
    if problems.is_empty() {
        return String::new();
    }
    let renderer = Renderer::styled().decor_style(DecorStyle::Ascii).term_width(error_columns());
    let mut told = String::new();
    for problem in problems {
        told.extend(renderer.render(&[group(source, problem)]).chars().map(|c| match c {
            // The renderer's own colours; it has put marks for those of the plan.
            '\n' | '\u{1b}' => c,
            c if is_hidden(c) => char::REPLACEMENT_CHARACTER,
            c => c,
        }));
        told.push_str("\n\n");
    }
    if let Some(line) = summary(source, problems) {
        told.push_str(&line);
    }
    told
}

fn group<'a>(source: &'a Source, problem: &'a Problem) -> Group<'a> {
    let level = match problem.gravity {
        Gravity::Error | Gravity::LaterVersion => Level::ERROR,
        Gravity::Note => Level::NOTE,
    };
    let title = level.primary_title(problem.message.as_str()).id(problem.code);
    let mut group =
        Group::with_title(title).element(place(source, &problem.span, AnnotationKind::Primary, None));
    if let Some((span, what)) = &problem.also {
        group = group.element(place(source, span, AnnotationKind::Context, Some(what)));
    }
    group.element(Level::HELP.message(problem.remedy.as_str()))
}

/// The lines of a span, or its place alone where they are long.
fn place<'a>(
    source: &'a Source,
    span: &Range<usize>,
    kind: AnnotationKind,
    label: Option<&'a str>,
) -> Element<'a> {
    let text = &source.text;
    let (line, column) = position(text, span.start);
    let lines = Lines::around(text, span);
    let Some(lines) = lines else {
        return Origin::path(source.name.as_str()).line(line).char_column(column).into();
    };
    Snippet::source(lines.text)
        .path(source.name.as_str())
        .line_start(line)
        .annotation(kind.span(lines.span).label(label))
        .into()
}

/// Whole lines of a text, and a span in them.
struct Lines<'a> {
    text: &'a str,
    span: Range<usize>,
}

impl<'a> Lines<'a> {
    /// The first lines of a span; `None` where one of them is too long to be shown.
    fn around(text: &'a str, span: &Range<usize>) -> Option<Self> {
        let start = boundary(text, span.start);
        let end = boundary(text, span.end).max(start);
        let from = text[..start].rfind('\n').map_or(0, |at| at + 1);
        let from = if from == 0 && text.starts_with('\u{feff}') { '\u{feff}'.len_utf8() } else { from };
        let mut to = from;
        for line in text[from..].split_inclusive('\n').take(MOST_LINES) {
            if line.len() > LONGEST_LINE {
                return None;
            }
            to += line.len();
            if to >= end {
                break;
            }
        }
        let shown = text[from..to].trim_end_matches('\n');
        let span = start.max(from) - from..end.clamp(from, to) - from;
        Some(Self {
            text: shown,
            span: span.start.min(shown.len())..span.end.clamp(span.start.min(shown.len()), shown.len()),
        })
    }
}

/// The nearest place at or before an offset where a character begins.
fn boundary(text: &str, offset: usize) -> usize {
    let mut at = offset.min(text.len());
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    at
}

/// How much is wrong, in a line; `None` where only notes are.
fn summary(source: &Source, problems: &[Problem]) -> Option<String> {
    let later = problems.iter().any(|problem| problem.gravity == Gravity::LaterVersion);
    let errors = problems.iter().filter(|problem| problem.gravity == Gravity::Error).count();
    let name = &source.name;
    match (later, errors) {
        (true, _) => Some(format!("ampwalk: {name} was written for a later version of this program\n")),
        (false, 0) => None,
        (false, 1) => Some(format!("ampwalk: {name} has 1 problem\n")),
        (false, more) => Some(format!("ampwalk: {name} has {more} problems\n")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn problem(span: Range<usize>) -> Problem {
        Problem {
            code: "unknown-key",
            gravity: Gravity::Error,
            span,
            also: None,
            message: "there is no key `wats`".to_owned(),
            remedy: "Write `watts`.".to_owned(),
        }
    }

    fn plain(source: &Source, problem: Problem) -> String {
        anstream::adapter::strip_str(&render(source, &[problem])).to_string()
    }

    fn source(text: &str) -> Source {
        Source { name: "p.toml".to_owned(), text: text.to_owned() }
    }

    #[test]
    fn a_place_counts_characters_and_not_bytes_or_columns() {
        let text = "name = \"Caf\u{e9} \u{6771}\u{4eac}\" # x\nwats = 3\n";
        let at = text.find("# x").unwrap();
        assert!(plain(&source(text), problem(at..at + 3)).contains("--> p.toml:1:18"), "letters");
        let at = text.find("wats").unwrap();
        let told = plain(&source(text), problem(at..at + 4));
        assert!(told.contains("--> p.toml:2:1\n"), "{told}");
        assert!(told.contains("2 | wats = 3"), "{told}");
        assert!(told.contains("= help: Write `watts`."), "{told}");
    }

    #[test]
    fn the_place_is_the_readers_own_for_any_offset_of_awkward_text() {
        let text = "\u{feff}a = 1\r\n\tb = \"\u{1f600}e\u{301}\u{202e}\"\r\n\r\nc = [\n1,\n2,\n3,\n4]";
        let source = source(text);
        for offset in (0..=text.len()).filter(|at| text.is_char_boundary(*at)) {
            for end in [offset, offset + 1, offset + 7, text.len() + 9] {
                let (line, column) = position(text, offset);
                let told = plain(&source, problem(offset..end));
                assert!(
                    told.contains(&format!("--> p.toml:{line}:{column}\n")),
                    "{offset} {end} {line} {column}: {told}"
                );
            }
        }
    }

    #[test]
    fn a_very_long_line_keeps_its_place_and_is_not_printed() {
        let text = format!("a = \"{}\"\n", "x".repeat(100_000));
        let told = plain(&source(&text), problem(4..9));
        assert!(told.contains("p.toml:1:5"), "{told}");
        assert!(told.len() < 500, "{}", told.len());
    }
}
