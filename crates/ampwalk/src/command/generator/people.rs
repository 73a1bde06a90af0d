//! The answer that a producer reads: the word first, then why, what else would do, and what to hire.

use ampwalk_core::assess::Verdict as Worst;
use ampwalk_core::network::Network;
use ampwalk_core::solve::verdict::{Asks, CAUTION, Hire, Need, ProducersAnswer, Reason};

use crate::command::layout::{HEADING, style, styled, wrapped};

pub(super) fn text(network: &Network, verdict: &ProducersAnswer, width: usize) -> String {
    let (headline, worst) = match verdict.need {
        Need::No => ("NO generator", Worst::Clear),
        Need::OnlyIf => ("NO generator, IF one of these is done", Worst::Risk),
        Need::Yes => ("YES, a generator", Worst::Dark),
    };
    let mut text = styled(&format!("{headline}\n"), style(worst));
    text.push_str(&wrapped(&verdict.summary, 0, width));
    if let Some(reason) = &verdict.reason {
        text.push_str(&why(reason, width));
    }
    if !verdict.ways_out.is_empty() {
        text.push_str(&styled("\nOne of these, and there is no need for it\n", HEADING));
        for way in &verdict.ways_out {
            let asks = match way.asks {
                Asks::Crew => "",
                Asks::Owner => " (the owner decides)",
            };
            text.push_str(&item(&format!("{}{asks}", way.action), width));
        }
    }
    if let Some(hire) = &verdict.hire {
        text.push_str(&to_hire(network, hire, verdict.need, width));
    }
    text.push('\n');
    text.push_str(&wrapped(CAUTION, 0, width));
    text
}

/// One of several, marked, its further lines under its first.
fn item(text: &str, width: usize) -> String {
    let lines = wrapped(text, 4, width);
    lines.replacen("    ", "  - ", 1)
}

fn why(reason: &Reason, width: usize) -> String {
    let mut text = styled("\nWhy\n", HEADING);
    text.push_str(&wrapped(&reason.text, 2, width));
    text
}

fn to_hire(network: &Network, hire: &Hire, need: Need, width: usize) -> String {
    let heading = if need == Need::OnlyIf { "\nElse hire\n" } else { "\nHire\n" };
    let mut text = styled(heading, HEADING);
    text.push_str(&wrapped(&hire.words(network), 2, width));
    let outlets = hire.outlets.iter().map(|(outlet, count)| format!("{count} × {outlet}"));
    text.push_str(&wrapped(&format!("outlets: {}", outlets.collect::<Vec<_>>().join(", ")), 2, width));
    for note in &hire.notes {
        text.push_str(&item(note, width));
    }
    text
}
