//! What people read after a trip: the same three blocks as on the screen.

use ampwalk_core::assess::{Outlook, Verdict};
use ampwalk_core::diagnose::{Fetch, Proof, Relight, Step, lead_ids, went};
use ampwalk_core::rule::words::{list, number};

use super::super::layout::{HEADING, style, styled, wrapped};
use super::{Recovered, Write};

pub(super) fn text(told: &Recovered, write: Write, width: usize) -> String {
    let (network, diagnosis) = (&told.network, &told.diagnosis);
    let head = |at| network.head_id(at).as_str();
    let last = told.trip.last_struck.map_or(String::new(), |last| format!(", {} struck last", head(last)));
    let mut text = styled(&format!("{}{last}", went(network, &told.trip.lost)), HEADING);
    text.push_str("\n\n");
    let mut block = |title: &str, lines: Vec<String>, none: &str| {
        text.push_str(&styled(title, HEADING));
        text.push('\n');
        let lines = if lines.is_empty() { vec![none.to_owned()] } else { lines };
        for line in lines {
            text.push_str(&wrapped(&line, 3, width));
        }
        text.push('\n');
    };
    let unplug = diagnosis.unplug.iter().map(|off| {
        let at = off.socket.map_or(String::new(), |at| format!(" at {}", network.socket_id(at)));
        format!("{}{at}: {}", head(off.head), off.reason)
    });
    block("1  UNPLUG FIRST", unplug.collect(), "nothing that is known of");
    let mut now: Vec<String> = diagnosis.now.iter().map(|relight| relight_words(told, relight)).collect();
    if !diagnosis.lit.is_empty() {
        now.push(format!("lit, and stays: {}", list(diagnosis.lit.iter().map(|at| head(*at)))));
    }
    if !diagnosis.unsure.is_empty() {
        let ids = list(diagnosis.unsure.iter().map(|at| head(*at)));
        now.push(format!("look whether it is lit, no trace says: {ids}"));
    }
    if told.moves().next().is_some() || told.unplaced().next().is_some() {
        now.push(proof(&diagnosis.proof).to_owned());
    }
    block("2  RELIGHT NOW", now, "nothing fits elsewhere");
    let later = diagnosis.later.iter().map(|later| {
        let at = later.at.map_or(String::new(), |at| format!(" at {at}"));
        let to = later.to.as_ref().map_or(String::new(), |to| format!(", to {}", network.socket_id(to.to)));
        format!("{}{at}: hot, {} minutes{to}", head(later.head), number(later.minutes.0))
    });
    block("3  LATER", later.collect(), "no head waits to cool");
    let left: Vec<String> = diagnosis.left.iter().map(|left| left.text.clone()).collect();
    if !left.is_empty() {
        block("NO PLACE FOR NOW", left, "");
    }
    let causes = diagnosis.causes.iter().map(|cause| {
        format!("{}: {}. {}. Do: {}.", cause.likelihood.word(), cause.cause, cause.evidence, cause.remedy)
    });
    block("CAUSES", causes.collect(), "");
    text.push_str(&reset(told, width));
    if write == Write::Plan {
        text.push_str(&wrapped("Written: the moves, and the trip's line in the log.", 0, width));
    }
    text
}

/// How sure it is that the crew is asked for the least.
const fn proof(proof: &Proof) -> &'static str {
    if proof.is_fewest_moves() {
        "proven: no other way lights more, nor as much with fewer moves"
    } else if proof.is_most_light() {
        "proven: no other way lights more; the fewest moves that were found"
    } else {
        "the best that was found; that none lights more is not proven"
    }
}

fn relight_words(told: &Recovered, relight: &Relight) -> String {
    let network = &told.network;
    let leads = lead_ids(network, &relight.links).join(" + ");
    let lead = match (relight.is_move(), leads.is_empty(), relight.fetch) {
        (false, _, _) => "where it was".to_owned(),
        (true, true, _) => "by its own plug".to_owned(),
        (true, false, Fetch::There) => format!("{leads} comes along"),
        (true, false, Fetch::FromTheTruck) => format!("fetch {leads}"),
    };
    let risk = if relight.outlook == Outlook::Risk { "RISK " } else { "" };
    let id = network.head_id(relight.head);
    format!("{id} to {}: {lead}; {risk}{}", network.socket_id(relight.to), relight.words)
}

fn reset(told: &Recovered, width: usize) -> String {
    let advice = &told.diagnosis.advice;
    let heading = match advice.step {
        Step::Reset | Step::Held => HEADING,
        Step::NoReset | Step::Electrician => style(Verdict::Danger),
    };
    let mut text = styled(&advice.line, heading);
    text.push('\n');
    for line in &advice.before {
        text.push_str(&wrapped(line, 3, width));
    }
    if advice.step == Step::Reset {
        text.push_str(&wrapped(&format!("if it holds: {}", advice.if_held), 3, width));
        text.push_str(&wrapped(&format!("if it does not: {}", advice.if_not), 3, width));
    }
    text.push_str(&wrapped(&format!("Resets so far {}, never more than 2.", advice.resets), 3, width));
    text
}
