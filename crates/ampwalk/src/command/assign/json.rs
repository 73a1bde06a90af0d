//! The answer that other programs read. Keys are added, never renamed.

use ampwalk_core::plan::FORMAT_VERSION;
use ampwalk_core::solve::plan::WhyNot;
use serde::Serialize;

use super::Done;
use crate::command::objective::{Levels, Reached, levels};
use crate::output::as_json;
use crate::trouble::Trouble;

#[derive(Debug, Serialize)]
struct Report<'a> {
    ampwalk: u32,
    answer: &'static str,
    unplaced: Vec<&'a str>,
    moves: Vec<Move<'a>>,
    objective: Reached,
    bound: Levels,
    seconds: f64,
    why_not: Vec<Why<'a>>,
}

#[derive(Debug, Serialize)]
struct Move<'a> {
    setup: Option<&'a str>,
    head: &'a str,
    from: Option<&'a str>,
    to: Option<&'a str>,
    leads: Vec<&'a str>,
}

#[derive(Debug, Serialize)]
struct Why<'a> {
    head: &'a str,
    limit: &'static str,
    needed: Option<f64>,
    there: Option<f64>,
    unit: &'static str,
    heads: Vec<&'a str>,
    limits: &'a [&'static str],
    text: &'a str,
    #[serde(rename = "do")]
    remedy: &'a str,
}

pub(super) fn text(done: &Done) -> Result<String, Trouble> {
    let (network, assignment) = (&done.before, &done.assignment);
    let moves = assignment.moves.iter().map(|moved| Move {
        setup: moved.setup.map(|at| network.setup_id(at).as_str()),
        head: network.head_id(moved.head).as_str(),
        from: moved.from.map(|at| network.socket_id(at).as_str()),
        to: moved.to.map(|at| network.socket_id(at).as_str()),
        leads: moved
            .placement
            .iter()
            .flat_map(|placed| placed.leads.iter().map(ampwalk_core::id::LeadId::as_str))
            .collect(),
    });
    let why = |why: &'_ WhyNot| -> (&'static str, Option<f64>, Option<f64>, &'static str) {
        (why.limit, why.needed, why.there, why.unit)
    };
    let why_not = assignment.why_not.iter().map(|reason| {
        let (limit, needed, there, unit) = why(reason);
        let head = network.head_id(reason.head).as_str();
        let heads = reason.heads.iter().map(|head| network.head_id(*head).as_str()).collect();
        Why {
            head,
            limit,
            needed,
            there,
            unit,
            heads,
            limits: &reason.limits,
            text: &reason.text,
            remedy: &reason.remedy,
        }
    });
    let report = Report {
        ampwalk: FORMAT_VERSION,
        answer: assignment.answer.word(),
        unplaced: assignment.unplaced.iter().map(|(_, head)| network.head_id(*head).as_str()).collect(),
        moves: moves.collect(),
        objective: Reached {
            levels: levels(&assignment.objective),
            tightest_percent: assignment.tightest_percent,
        },
        bound: levels(&assignment.bound),
        seconds: done.seconds,
        why_not: why_not.collect(),
    };
    as_json(&report)
}
