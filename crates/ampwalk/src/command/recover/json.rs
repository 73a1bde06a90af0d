//! The JSON of `recover`: keys are added, never renamed.

use ampwalk_core::diagnose::{Standing, lead_ids};
use ampwalk_core::plan::FORMAT_VERSION;
use serde::Serialize;

use super::Recovered;
use crate::command::objective::{Levels, Reached, levels};
use crate::output::as_json;
use crate::trouble::Trouble;

#[derive(Serialize)]
struct Report<'a> {
    ampwalk: u32,
    answer: &'static str,
    unplaced: Vec<&'a str>,
    moves: Vec<Move<'a>>,
    objective: Reached,
    bound: Levels,
    seconds: f64,
    why_not: Vec<WhyNot<'a>>,
    setup: &'a str,
    lost: Vec<String>,
    causes: Vec<Guess<'a>>,
    unplug_first: Vec<&'a str>,
    unplug: Vec<Unplug<'a>>,
    relight_now: Vec<&'a str>,
    later: Vec<Later<'a>>,
    stay_lit: Vec<&'a str>,
    look_at: Vec<&'a str>,
    reset: Reset<'a>,
}

#[derive(Serialize)]
struct Move<'a> {
    setup: &'a str,
    head: &'a str,
    from: &'a str,
    to: &'a str,
    leads: Vec<String>,
}

#[derive(Serialize)]
struct WhyNot<'a> {
    head: &'a str,
    limit: Option<&'static str>,
    needed: Option<f64>,
    there: Option<f64>,
    unit: Option<&'static str>,
    text: &'a str,
    #[serde(rename = "do")]
    remedy: Option<&'a str>,
}

#[derive(Serialize)]
struct Guess<'a> {
    cause: &'a str,
    likelihood: &'static str,
    evidence: &'a str,
    #[serde(rename = "do")]
    remedy: &'a str,
}

#[derive(Serialize)]
struct Unplug<'a> {
    head: &'a str,
    socket: Option<&'a str>,
    reason: &'a str,
    suspect: bool,
}

#[derive(Serialize)]
struct Later<'a> {
    head: &'a str,
    minutes: f64,
    at: Option<String>,
    to: Option<&'a str>,
}

#[derive(Serialize)]
struct Reset<'a> {
    step: &'static str,
    so_far: u32,
    before: &'a [String],
    if_held: &'a str,
    if_not: &'a str,
}

pub(super) fn text(told: &Recovered) -> Result<String, Trouble> {
    as_json(&report(told))
}

fn report(told: &Recovered) -> Report<'_> {
    let network = &told.network;
    let diagnosis = &told.diagnosis;
    let head = |at| network.head_id(at).as_str();
    let socket = |at| network.socket_id(at).as_str();
    let causes = diagnosis.causes.iter().map(|cause| Guess {
        cause: &cause.cause,
        likelihood: cause.likelihood.word(),
        evidence: &cause.evidence,
        remedy: &cause.remedy,
    });
    let unplug = diagnosis.unplug.iter().map(|off| Unplug {
        head: head(off.head),
        socket: off.socket.map(socket),
        reason: &off.reason,
        suspect: off.standing == Standing::Suspect,
    });
    let later = diagnosis.later.iter().map(|later| Later {
        head: head(later.head),
        minutes: later.minutes.0,
        at: later.at.map(|at| at.to_string()),
        to: later.to.as_ref().map(|relight| socket(relight.to)),
    });
    Report {
        ampwalk: FORMAT_VERSION,
        answer: diagnosis.proof.answer.word(),
        unplaced: told.unplaced().map(head).collect(),
        moves: moves(told),
        objective: Reached {
            levels: levels(&diagnosis.proof.objective),
            tightest_percent: diagnosis.proof.tightest_percent,
        },
        bound: levels(&diagnosis.proof.bound),
        seconds: told.seconds,
        why_not: why_not(told),
        setup: network.setup_id(told.trip.setup).as_str(),
        lost: told.trip.lost.iter().map(|lost| lost.id(network).to_string()).collect(),
        causes: causes.collect(),
        unplug_first: diagnosis.unplug.iter().map(|off| head(off.head)).collect(),
        unplug: unplug.collect(),
        relight_now: diagnosis.now.iter().map(|relight| head(relight.head)).collect(),
        later: later.collect(),
        stay_lit: diagnosis.lit.iter().map(|at| head(*at)).collect(),
        look_at: diagnosis.unsure.iter().map(|at| head(*at)).collect(),
        reset: Reset {
            step: step(diagnosis.advice.step),
            so_far: diagnosis.advice.resets,
            before: &diagnosis.advice.before,
            if_held: &diagnosis.advice.if_held,
            if_not: &diagnosis.advice.if_not,
        },
    }
}

const fn step(step: ampwalk_core::diagnose::Step) -> &'static str {
    use ampwalk_core::diagnose::Step;
    match step {
        Step::Reset => "reset",
        Step::Held => "held",
        Step::NoReset => "no-reset",
        Step::Electrician => "electrician",
    }
}

fn moves(told: &Recovered) -> Vec<Move<'_>> {
    let network = &told.network;
    told.moves()
        .map(|relight| Move {
            setup: network.setup_id(told.trip.setup).as_str(),
            head: network.head_id(relight.head).as_str(),
            from: network.socket_id(relight.from).as_str(),
            to: network.socket_id(relight.to).as_str(),
            leads: lead_ids(network, &relight.links),
        })
        .collect()
}

fn why_not(told: &Recovered) -> Vec<WhyNot<'_>> {
    let of = |left: &'_ ampwalk_core::diagnose::LeftDark| {
        let crossing = left.finding.as_ref().and_then(|finding| finding.crossing);
        (crossing, left.finding.as_ref().map(|finding| finding.rule.id))
    };
    told.diagnosis
        .left
        .iter()
        .map(|left| {
            let (crossing, limit) = of(left);
            WhyNot {
                head: told.network.head_id(left.head).as_str(),
                limit,
                needed: crossing.map(|crossing| crossing.value),
                there: crossing.map(|crossing| crossing.limit),
                unit: crossing.map(|crossing| crossing.unit),
                text: &left.text,
                remedy: left.finding.as_ref().map(|finding| finding.remedy.as_str()),
            }
        })
        .collect()
}
