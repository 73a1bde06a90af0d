//! `check` for people: findings, worst first, then the tables behind them.

mod tables;

use ampwalk_core::assess::{Finding, Verdict};
use ampwalk_core::network::{Network, SetupAt};
use ampwalk_core::rule::Severity;
use ampwalk_core::rule::words::list;
use indexmap::IndexMap;

use crate::command::checked::Checked;
use crate::command::layout::{HEADING, ends, style, styled, told, wrapped};

/// What the program is not.
const CLOSING: &str = "It plans, it certifies nothing: local codes and a licensed electrician decide.";
/// Where the words of a finding begin.
const INDENT: usize = 8;

/// Everything that a check came to, for a reader with so many columns.
pub fn report(checked: &Checked, width: usize) -> String {
    let network = &checked.network;
    let verdict = checked.verdict();
    let name = network.plan.location.name.as_deref().unwrap_or("unnamed location");
    let count = counts(checked.findings());
    let mut text = headline(name, &format!("{}{count}", told(verdict)), verdict, width);
    text.push('\n');
    for told in together(checked.findings()) {
        text.push_str(&finding(network, &told, width));
        text.push('\n');
    }
    for setup in checked.setups() {
        text.push_str(&setup_heading(checked, setup, width));
        text.push_str(&tables::of_setup(network, setup, &checked.assessment.setups[setup], width));
        text.push('\n');
    }
    if checked.setups().next().is_none() {
        text.push_str("The plan has no setup yet, so nothing is on.\n\n");
    }
    text.push_str(&wrapped(CLOSING, 0, width));
    text
}

/// A heading with the verdict at its right end.
fn headline(left: &str, right: &str, verdict: Verdict, width: usize) -> String {
    let plain = ends(left, right, width);
    let coloured = plain
        .strip_suffix(right)
        .map(|left| format!("{}{}", styled(left, HEADING), styled(right, style(verdict))));
    let mut text = coloured.unwrap_or(plain);
    text.push('\n');
    text
}

fn setup_heading(checked: &Checked, setup: SetupAt, width: usize) -> String {
    let network = &checked.network;
    let node = &network.setups[setup];
    let plan = network.plan.setups.get(node.id.as_str());
    let name = plan.and_then(|setup| setup.name.as_deref()).map(|name| format!(", {name}"));
    let start = node.start.map(|start| format!(", from {start}"));
    let left = format!(
        "Setup {}{}{}, {} min",
        node.id,
        name.unwrap_or_default(),
        start.unwrap_or_default(),
        node.minutes.0
    );
    let verdict = checked.assessment.verdict_in(setup);
    headline(&left, &told(verdict), verdict, width)
}

/// `: 1 danger, 2 dark, 3 risks, 1 note`; nothing where nothing was found.
fn counts<'a>(findings: impl Iterator<Item = &'a Finding>) -> String {
    let mut counts = [0_usize; 4];
    for finding in findings {
        counts[place(finding.severity)] += 1;
    }
    let words = [("danger", "dangers"), ("dark", "dark"), ("risk", "risks"), ("note", "notes")];
    let parts: Vec<String> = counts
        .iter()
        .zip(words)
        .filter(|(count, _)| **count > 0)
        .map(|(count, (one, more))| format!("{count} {}", if *count == 1 { one } else { more }))
        .collect();
    if parts.is_empty() { String::new() } else { format!(": {}", parts.join(", ")) }
}

const fn place(severity: Severity) -> usize {
    match severity {
        Severity::Danger => 0,
        Severity::Dark => 1,
        Severity::Risk => 2,
        Severity::Note => 3,
    }
}

/// A finding, and every setup in which it is the same.
struct Together<'a> {
    finding: &'a Finding,
    setups: Vec<SetupAt>,
}

/// Findings that say the same of several setups are told once, where the first of them stands.
fn together<'a>(findings: impl Iterator<Item = &'a Finding>) -> Vec<Together<'a>> {
    let mut all: IndexMap<_, Together<'a>> = IndexMap::new();
    for finding in findings {
        let said = (
            finding.rule.id,
            finding.severity,
            finding.subject,
            finding.text.as_str(),
            finding.remedy.as_str(),
        );
        let told = all.entry(said).or_insert_with(|| Together { finding, setups: Vec::new() });
        told.setups.extend(finding.setup);
    }
    all.into_values().collect()
}

fn finding(network: &Network, together: &Together<'_>, width: usize) -> String {
    let finding = together.finding;
    let verdict = Verdict::from(finding.severity);
    let setups = list(together.setups.iter().map(|setup| network.setup_id(*setup)));
    let setups = if setups.is_empty() { String::new() } else { format!("  in {setups}") };
    let word = told(verdict);
    let left = format!("{}{setups}", finding.subject.path(network));
    let mut text = styled(&format!("{word:INDENT$}"), style(verdict));
    text.push_str(&ends(&left, finding.rule.id, width.saturating_sub(INDENT)).replace('\n', "\n        "));
    text.push('\n');
    text.push_str(&wrapped(&finding.text, INDENT, width));
    text.push_str(&wrapped(&format!("Do: {}", finding.remedy), INDENT, width));
    if finding.assumed {
        text.push_str(&wrapped("assumed: it rests on a default", INDENT, width));
    }
    text
}
