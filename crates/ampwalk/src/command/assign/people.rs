//! The answer that people read.

use ampwalk_core::assess::Verdict;
use ampwalk_core::network::SocketAt;
use ampwalk_core::rule::words::number;
use ampwalk_core::solve::Answer;

use super::Done;
use crate::command::layout::{HEADING, Stand, style, styled, table, wrapped};

pub(super) fn text(done: &Done, width: usize) -> String {
    let (network, assignment) = (&done.before, &done.assignment);
    let mut text = wrapped(&summary(done), 0, width);
    let socket = |at: Option<SocketAt>| at.map_or("-".to_owned(), |at| network.socket_id(at).to_string());
    if !assignment.moves.is_empty() {
        text.push_str(&styled("\nMoves\n", HEADING));
        let rows = assignment.moves.iter().map(|moved| {
            let leads =
                moved.placement.iter().flat_map(|placed| placed.leads.iter().map(ToString::to_string));
            vec![
                network.head_id(moved.head).to_string(),
                moved.setup.map_or("all".to_owned(), |at| network.setup_id(at).to_string()),
                socket(moved.from),
                socket(moved.to),
                leads.collect::<Vec<_>>().join(", "),
            ]
        });
        let columns = [
            ("head", Stand::Left),
            ("setup", Stand::Left),
            ("from", Stand::Left),
            ("to", Stand::Left),
            ("leads", Stand::Left),
        ];
        text.push_str(&table(&columns, rows, width));
    }
    if !assignment.why_not.is_empty() {
        text.push_str(&styled("\nStays dark\n", HEADING));
        for why in &assignment.why_not {
            text.push_str(&styled(&wrapped(&why.text, 0, width), style(Verdict::Dark)));
            text.push_str(&wrapped(&format!("do: {}", why.remedy), 4, width));
        }
    }
    let worst = assignment.assessment.verdict.word();
    text.push_str(&wrapped(&format!("\nWith it, the plan's worst finding is: {worst}."), 0, width));
    text
}

fn summary(done: &Done) -> String {
    let assignment = &done.assignment;
    let objective = &assignment.objective;
    let sure = match assignment.answer {
        Answer::Optimal => "Proven: none is better.",
        Answer::Feasible => "It breaks no limit; whether another is better is not proven.",
        Answer::None => {
            return "Nothing was moved: what is pinned breaks a limit already. `ampwalk check` tells which."
                .to_owned();
        }
    };
    let placed = match assignment.unplaced.len() {
        0 => "Every head has a socket.".to_owned(),
        1 => "1 head stays dark.".to_owned(),
        count => format!("{count} heads stay dark."),
    };
    let set = match objective.on_generator {
        0 => "no generator".to_owned(),
        1 => "1 generator".to_owned(),
        count => format!("{count} generators"),
    };
    let saved = if done.is_saved { " Saved." } else { "" };
    format!(
        "{placed} {} to move, {} m of lead, {set}; RCDs may drop {} times while all is struck. {sure}{saved}",
        heads(assignment.moves.len()),
        number(objective.lead_m),
        number(objective.odds),
    )
}

fn heads(count: usize) -> String {
    if count == 1 { "1 head".to_owned() } else { format!("{count} heads") }
}
