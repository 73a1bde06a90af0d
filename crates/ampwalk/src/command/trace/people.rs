//! What people read on the walk: what is known, what clashes, what to do next.

use ampwalk_core::assess::Verdict;
use ampwalk_core::network::Network;
use ampwalk_core::trace::{Advice, Basis, ClampReading, Report, words};

use crate::command::layout::{HEADING, style, styled, wrapped};

/// Guesses that are told; more of them say less.
const MOST_GUESSES: usize = 4;

pub(super) fn text(network: &Network, report: &Report, clamps: &[ClampReading], width: usize) -> String {
    let mut text = next(network, report, width);
    let mut part = |title: &str, lines: Vec<String>, verdict: Option<Verdict>| {
        if lines.is_empty() {
            return;
        }
        let look = verdict.map_or(HEADING, style);
        text.push('\n');
        text.push_str(&styled(&format!("{title}\n"), look));
        for line in lines {
            text.push_str(&wrapped(&line, 2, width));
        }
    };
    let clashes = report.clashes.iter().map(|clash| words::clash(network, &report.survey, clash));
    part("CLASHES: none of this is relied on; test again", clashes.collect(), Some(Verdict::Risk));
    let guesses = report.shared_neutrals.iter().take(MOST_GUESSES);
    part(
        "What would explain them",
        guesses.map(|guess| words::shared_neutral(network, guess)).collect(),
        None,
    );
    let stray = report.stray_trips.iter().map(|trip| words::stray_trip(network, trip));
    part("DANGER: a trip that heads do not explain", stray.collect(), Some(Verdict::Danger));
    part("What is known", known(network, report), None);
    part("Split plates", report.splits.iter().map(|split| words::split(network, split)).collect(), None);
    part("Labels", words::all_labels(network, &report.labels), None);
    part("Test again", report.retests.iter().map(|again| words::retest(network, again)).collect(), None);
    part("Ramp tests", report.stories.iter().map(|story| words::story(network, story)).collect(), None);
    part("Clamp readings", clamps.iter().map(|reading| words::clamp(network, reading)).collect(), None);
    text.push_str(&wrapped(
        "\nA trace tells which breaker makes a socket dead; it certifies nothing: local codes and a licensed electrician \
         decide.",
        0,
        width,
    ));
    text
}

fn next(network: &Network, report: &Report, width: usize) -> String {
    let mut text = styled("Next\n", HEADING);
    text.push_str(&wrapped(&words::advice(network, &report.advice), 2, width));
    if let Advice::Test(next) = &report.advice {
        text.push_str(&wrapped(&words::goes_dark(network, &next.dark), 2, width));
        text.push_str(&wrapped(&words::ask(network, next), 2, width));
        if let Some(other) = &next.other {
            text.push_str(&wrapped(&format!("or {}", words::other(network, other)), 2, width));
        }
        text.push_str(&styled(&wrapped(words::CAUTION, 2, width), style(Verdict::Risk)));
    }
    text
}

/// Sockets, those that nobody knows last. Those of which nothing is known at all are told together.
fn known(network: &Network, report: &Report) -> Vec<String> {
    let of = |wanted: &[Basis]| -> Vec<String> {
        let those = report.sockets.iter().filter(|(_, known)| wanted.contains(&known.basis));
        those.map(|(at, _)| words::socket(network, report, at)).collect()
    };
    let mut lines = of(&[Basis::Given, Basis::Proven]);
    lines.extend(of(&[Basis::ByItself, Basis::Narrowed]));
    let untested = report.sockets.iter().filter(|(_, known)| known.basis == Basis::Nothing);
    lines.extend(words::untested(network, report, &untested.map(|(at, _)| at).collect::<Vec<_>>()));
    lines
}
