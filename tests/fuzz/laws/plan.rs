//! A plan: read twice it says the same; what is told acts on no terminal; an edit goes back byte by byte, and
//! what is read again of it is what the whole text says.

use std::sync::Arc;

use ampwalk_core::assess::{Assessment, assess};
use ampwalk_core::edit::{Address, Change, Edit, Override, Table, Value, apply, apply_within};
use ampwalk_core::file::{Gravity, Parsed, Sections, inert, parse, parse_in_sections, position};
use ampwalk_core::network::{At, Network, SetupAt};
use ampwalk_core::plan::{Placement, Plan};
use ampwalk_papers::load_sheet;

use crate::mutate::{ACTS, Dice};

/// Reads bytes as a plan, works with it, and holds it to the laws.
pub fn check(bytes: &[u8]) {
    let text = String::from_utf8_lossy(bytes);
    let (parsed, sections) = parse_in_sections(&text);
    assert!(parse(&text) == parsed, "read twice it says two things");
    problems_are_told(&text, &parsed);
    let network = Network::of(Arc::new(parsed.plan.clone()));
    let assessment = assess(&network);
    // The same dice for the same input, whoever made it.
    let mut dice = Dice::of(bytes.iter().fold(17, |sum: u64, byte| sum.rotate_left(5) ^ u64::from(*byte)));
    if dice.roll(4) == 0 {
        assert!(assess(&network) == assessment, "assessed twice it says two things");
        is_inert_on_paper(&network, &assessment);
    }
    let edit = edit(&mut dice, &parsed.plan);
    is_undone(&text, &parsed, sections, network, &edit);
}

/// Every problem has its place in the text, a reason and a remedy, and nothing in it acts on a terminal.
pub fn problems_are_told(text: &str, parsed: &Parsed) {
    let mut last = 0;
    for problem in &parsed.problems {
        assert!(problem.span.start >= last, "in the order of the text: {problem:?}");
        last = problem.span.start;
        for span in std::iter::once(&problem.span).chain(problem.also.as_ref().map(|also| &also.0)) {
            assert!(text.get(span.clone()).is_some(), "{problem:?} is outside of the text");
            let (line, column) = position(text, span.start);
            assert!(line >= 1 && column >= 1);
        }
        are_told([&problem.message, &problem.remedy]);
        are_told(problem.also.as_ref().map(|also| &also.1));
    }
}

/// Words for a person: some, not too many, and none that acts on a terminal.
pub fn are_told<'a>(all: impl IntoIterator<Item = &'a String>) {
    for words in all {
        assert!(!words.is_empty(), "nothing is told");
        assert!(inert(words) == *words, "{words:?} acts on a terminal");
        assert!(words.chars().count() < 1_000, "{} letters are told", words.chars().count());
    }
}

fn is_inert_on_paper(network: &Network, assessment: &Assessment) {
    let sheet = load_sheet(network, assessment, Some(SetupAt::new(0)));
    let text = sheet.to_text(80);
    for line in text.lines() {
        assert!(inert(line) == line, "{line:?} acts on a terminal");
    }
}

/// The edit, its inverse, and reading again what it touched.
fn is_undone(text: &str, parsed: &Parsed, mut sections: Sections, mut network: Network, edit: &Edit) {
    let whole = apply(text, edit);
    let within = apply_within(text, edit, &sections);
    let Ok(change) = whole else {
        let refusal = whole.unwrap_err();
        are_told([&refusal.message, &refusal.remedy]);
        return;
    };
    let is_toml = !parsed.problems.iter().any(|problem| problem.code == "syntax");
    assert!(is_toml || change.is_empty(), "{edit:?} of what is no TOML");
    let after = goes_back(text, &change);
    if let Some(within) = &within {
        assert!(within.apply(text) == after, "{edit:?} within its part gives another text");
    }
    let (now, sections_now) = parse_in_sections(&after);
    assert!(!now.problems.iter().any(|problem| problem.code == "syntax"), "{edit:?} makes it no TOML");
    let mut problems = parsed.problems.clone();
    if let Some(entries) =
        sections.again(&after, within.as_ref().unwrap_or(&change), &parsed.plan, &mut problems)
    {
        network.put(entries);
        assert!(problems == now.problems, "{edit:?}: read again it has other problems");
        assert!(sections == sections_now, "{edit:?}: read again it has other parts");
        assert!(*network.plan == now.plan, "{edit:?}: read again it is another plan");
    }
}

/// The text after a change, whose inverse gives the bytes back.
pub fn goes_back(text: &str, change: &Change) -> String {
    let after = change.apply(text);
    assert!(change.inverse().apply(&after) == text, "the inverse gives other bytes: {change:?}");
    after
}

/// Whether commands work with a plan.
pub fn is_good(parsed: &Parsed) -> bool {
    parsed.worst().is_none_or(|worst| worst == Gravity::Note)
}

fn edit(dice: &mut Dice, plan: &Plan) -> Edit {
    let table = dice.one_of(&Table::ALL);
    let id = |dice: &mut Dice, table: Table| {
        let ids = table.ids(plan);
        if ids.is_empty() || dice.roll(16) == 0 {
            "nowhere".to_owned()
        } else {
            ids[dice.roll(ids.len())].clone()
        }
    };
    let of = Address::of(table, &id(dice, table));
    let placement = |dice: &mut Dice| Placement {
        socket: id(dice, Table::Socket).as_str().into(),
        leads: (0..dice.roll(3)).map(|_| id(dice, Table::Cable).as_str().into()).collect(),
    };
    let head = id(dice, Table::Head);
    match dice.roll(9) {
        0 => Edit::Plug { head: head.as_str().into(), placement: Some(placement(dice)) },
        1 => Edit::Plug { head: head.as_str().into(), placement: None },
        2 => Edit::PlugForSetup {
            setup: id(dice, Table::Setup).as_str().into(),
            head: head.as_str().into(),
            placement: Override::Plugged(placement(dice)),
        },
        3 => Edit::Pin { head: head.as_str().into() },
        4 | 5 => {
            let key = {
                let keys = of.schema().keys;
                keys[dice.roll(keys.len())].name.to_owned()
            };
            let value = value(dice);
            Edit::SetKey { of, key, value: (dice.roll(5) > 0).then_some(value) }
        }
        6 => Edit::AddEntry {
            of: Address::of(table, dice.one_of(&["New-1", "G1", "\u{1b}[2J", "a b", ""])),
            keys: vec![("name".to_owned(), value(dice))],
        },
        7 => Edit::RemoveEntry { of },
        _ => {
            let from = id(dice, table);
            Edit::Rename { table, from, to: dice.one_of(&["Q", "G1", "A", "x.y", "\u{202e}"]).to_owned() }
        }
    }
}

fn value(dice: &mut Dice) -> Value {
    match dice.roll(7) {
        0 => Value::Whole([0, 1, -1, 20, i64::MAX, i64::MIN][dice.roll(6)]),
        1 => Value::Number([0.0, -0.0, 0.5, 1e300, f64::NAN, f64::INFINITY][dice.roll(6)]),
        2 => Value::Flag(true),
        3 => Value::text(dice.one_of(&ACTS)),
        4 => Value::List(vec![Value::text("A"), Value::text("B")]),
        5 => Value::Table(vec![("socket".to_owned(), Value::text("G1"))]),
        _ => Value::text(dice.one_of(&["G1", "P1", "house", "hall", "ok", "a \"b\" \\ '''", "day"])),
    }
}
