//! One line an entry: it never fails, its places are in it, what it gives is taken and goes back.

use std::sync::OnceLock;

use ampwalk_core::edit::apply;
use ampwalk_core::file::{Parsed, inert, parse};
use ampwalk_core::shorthand::{Subject, complete, read};

use super::plan::{are_told, goes_back, is_good};
use crate::seeds::HOUSE;

fn house() -> &'static Parsed {
    static PARSED: OnceLock<Parsed> = OnceLock::new();
    PARSED.get_or_init(|| parse(HOUSE))
}

/// Reads bytes as a line about what their first one says, and holds it to the laws.
pub fn check(bytes: &[u8]) {
    let Some((first, rest)) = bytes.split_first() else { return };
    let subject = Subject::ALL[usize::from(*first) % Subject::ALL.len()];
    let text = String::from_utf8_lossy(rest);
    let plan = &house().plan;
    let line = read(plan, subject, &text);
    assert!(read(plan, subject, &text) == line, "read twice it says two things");
    for place in line.parts.iter().map(|part| &part.span).chain(line.misread.iter().map(|one| &one.span)) {
        assert!(text.get(place.clone()).is_some(), "{place:?} is outside of the line");
    }
    let echo = line.echo();
    assert!(inert(&echo) == echo, "{echo:?} acts on a terminal");
    for misread in &line.misread {
        are_told([&misread.why, &misread.remedy()]);
    }
    let cursor = bytes.len() * 7 % (text.len() + 1);
    let completion = complete(plan, subject, &text, cursor);
    assert!(text.get(completion.span.clone()).is_some(), "{:?} is outside of the line", completion.span);
    let Ok(edit) = line.edit() else { return };
    let change = apply(HOUSE, &edit).unwrap_or_else(|refusal| panic!("{echo}: {refusal:?}"));
    let after = goes_back(HOUSE, &change);
    let now = parse(&after);
    // Another wiring of a supply, or another line of a circuit, leaves others a line to say: the echo tells, nothing
    // forbids it.
    if !echo.contains("then say the line of") {
        assert!(is_good(&now), "{echo}: {:?}", now.problems);
    }
}
