//! `ampwalk explain`: how a number came about.

use std::path::Path;

use ampwalk_core::assess::Verdict;
use ampwalk_core::explain::{Asked, Explanation, Term, explain, find};
use ampwalk_core::network::SetupAt;
use ampwalk_core::order::Order as _;
use ampwalk_core::plan::FORMAT_VERSION;
use ampwalk_core::rule::words::list;
use indexmap::IndexMap;
use serde::Serialize;

use super::checked::{Checked, checked};
use super::layout::{HEADING, Stand, style, styled, table, wrapped};
use crate::output::{Answer, as_json, columns};
use crate::trouble::{CallTrouble, Trouble};

/// Blanks before all that belongs to a number.
const INDENT: usize = 4;

/// The answer that other programs read.
pub fn for_programs(plan: &Path, subject: &str, setup: Option<&str>) -> Result<Answer, Trouble> {
    let told = Told::of(plan, subject, setup)?;
    let text = as_json(&report(&told))?;
    Ok(told.answer(text))
}

/// The answer that people read.
pub fn for_people(plan: &Path, subject: &str, setup: Option<&str>) -> Result<Answer, Trouble> {
    let told = Told::of(plan, subject, setup)?;
    let text = people(&told, columns());
    Ok(told.answer(text))
}

/// What was asked for, explained setup by setup.
struct Told {
    checked: Checked,
    asked: Asked,
    by_setup: Vec<(SetupAt, Vec<Explanation>)>,
}

impl Told {
    fn of(plan: &Path, subject: &str, setup: Option<&str>) -> Result<Self, Trouble> {
        let checked = checked(plan, setup)?;
        let asked = find(&checked.network, subject)
            .map_err(|unknown| CallTrouble { message: unknown.message, remedy: unknown.remedy })?;
        let explained = |setup: SetupAt| {
            let one = |topic| explain(&checked.network, &checked.assessment, setup, topic);
            (setup, asked.topics().into_iter().filter_map(one).collect())
        };
        let by_setup = checked.setups().map(explained).collect();
        Ok(Self { checked, asked, by_setup })
    }

    fn answer(self, text: String) -> Answer {
        // It tells a number and judges nothing, so its exit status is that of an answer without findings.
        Answer { verdict: Verdict::Clear, text, notes: self.checked.notes }
    }
}

fn people(told: &Told, width: usize) -> String {
    let network = &told.checked.network;
    let mut text = styled(&told.asked.subject.path(network), HEADING);
    text.push('\n');
    for (explanation, setups) in together(&told.by_setup) {
        let setups = list(setups.iter().map(|setup| network.setup_id(*setup)));
        text.push('\n');
        text.push_str(&styled(&explanation.title, HEADING));
        text.extend(["  in ", &setups, "\n"]);
        text.push_str(&of_number(explanation, width));
    }
    let explained: usize = told.by_setup.iter().map(|(_, explained)| explained.len()).sum();
    if explained == 0 {
        text.push_str(&wrapped("Nothing of it is in use, so there is no number to explain.", 0, width));
    }
    text
}

/// Each explanation once, with all the setups in which it is the same.
fn together(by_setup: &[(SetupAt, Vec<Explanation>)]) -> Vec<(&Explanation, Vec<SetupAt>)> {
    let mut all: Vec<(&Explanation, Vec<SetupAt>)> = Vec::new();
    for (setup, explained) in by_setup {
        for explanation in explained {
            match all.iter_mut().find(|(known, _)| *known == explanation) {
                Some((_, setups)) => setups.push(*setup),
                None => all.push((explanation, vec![*setup])),
            }
        }
    }
    all.order_by_key(|(explanation, _)| place(by_setup, explanation.key));
    all
}

/// Where a number stands among those of its subject.
fn place(by_setup: &[(SetupAt, Vec<Explanation>)], key: &str) -> usize {
    let place = |explained: &[Explanation]| explained.iter().position(|told| told.key == key);
    by_setup.iter().filter_map(|(_, explained)| place(explained)).max().unwrap_or(0)
}

fn of_number(told: &Explanation, width: usize) -> String {
    let mut text = wrapped(&told.worked, INDENT, width);
    text.push_str(&wrapped(&format!("formula: {}", told.formula), INDENT, width));
    let cells = |term: &Term| vec![term.what.clone(), term.value.clone(), term.origin.clone()];
    let terms = table(
        &[("what", Stand::Left), ("value", Stand::Right), ("where it came from", Stand::Left)],
        told.terms.iter().map(cells),
        width.saturating_sub(INDENT),
    );
    if !told.terms.is_empty() {
        for line in terms.lines() {
            text.extend([" ".repeat(INDENT).as_str(), line, "\n"]);
        }
    }
    text.push_str(&wrapped(&format!("source: {}", told.source), INDENT, width));
    if !told.caution.is_empty() {
        let mind = styled(&wrapped(&format!("MIND: {}", told.caution), INDENT, width), style(Verdict::Risk));
        text.push_str(&mind);
    }
    text
}

#[derive(Debug, Serialize)]
struct Report<'a> {
    ampwalk: u32,
    subject: String,
    setups: IndexMap<&'a str, Vec<Explained<'a>>>,
}

#[derive(Debug, Serialize)]
struct Explained<'a> {
    number: &'static str,
    title: &'a str,
    formula: &'a str,
    worked: &'a str,
    terms: Vec<PutIn<'a>>,
    source: &'a str,
    mind: Option<&'a str>,
}

#[derive(Debug, Serialize)]
struct PutIn<'a> {
    what: &'a str,
    value: &'a str,
    from: &'a str,
    assumed: bool,
}

fn report(told: &Told) -> Report<'_> {
    let network = &told.checked.network;
    let setups = told.by_setup.iter().map(|(setup, explained)| {
        (network.setup_id(*setup).as_str(), explained.iter().map(number).collect())
    });
    Report { ampwalk: FORMAT_VERSION, subject: told.asked.subject.path(network), setups: setups.collect() }
}

fn number(told: &Explanation) -> Explained<'_> {
    Explained {
        number: told.key,
        title: &told.title,
        formula: &told.formula,
        worked: &told.worked,
        terms: told
            .terms
            .iter()
            .map(|term| PutIn {
                what: &term.what,
                value: &term.value,
                from: &term.origin,
                assumed: term.is_assumed(),
            })
            .collect(),
        source: &told.source,
        mind: (!told.caution.is_empty()).then_some(told.caution.as_str()),
    }
}
