//! What tracing tells: what to test next, what clashes, what is proven.

use ampwalk_core::assess::Assessment;
use ampwalk_core::network::{CircuitAt, Network};
use ampwalk_core::shorthand::Subject;
use ampwalk_core::trace::{Advice, Basis, Next, Report, clamp_readings, words};

use super::entries;
use super::program::open;
use crate::ask::Next as Then;
use crate::effect::Effect;
use crate::layer::{Layer, Page};
use crate::model::Model;

/// Shows what tracing tells.
pub(super) fn show(model: &mut Model, _: &mut Vec<Effect>) {
    let page = page(model.document.network(), model.document.assessment(), model.scene().report());
    open(model, Layer::Traced(page));
}

/// Opens the line of what went dark, with the devices of the next test in it.
pub(super) fn enter_next_test(model: &mut Model, effects: &mut Vec<Effect>) {
    let Advice::Test(next) = &model.scene().report().advice else {
        model.refuse("There is no test to enter");
        effects.push(Effect::Bell);
        return;
    };
    let devices = next.test.off.iter().map(|one| words::device(model.document.network(), *one));
    let line = format!("{} off: ", devices.collect::<Vec<_>>().join(" "));
    model.layers.pop();
    entries::open_line(model, Subject::Trace, line, Then::Another);
}

/// How many devices the next test switches off.
pub(super) fn to_test(model: &Model) -> usize {
    match &model.scene().report().advice {
        Advice::Test(next) => next.test.off.len(),
        Advice::Known | Advice::NoTest { .. } => 0,
    }
}

fn page(network: &Network, assessment: &Assessment, report: &Report) -> Page {
    // Somebody may be about to reset once more.
    let stray = report.stray_trips.iter().map(|trip| words::stray_trip(network, trip));
    let mut paragraphs: Vec<String> = stray.map(|told| format!("DANGER     {told}.")).collect();
    paragraphs.extend(next_test(network, report));
    let mut section = |title: &str, told: Vec<String>| {
        if !told.is_empty() {
            paragraphs.extend([String::new(), title.to_owned()]);
            paragraphs.extend(told.into_iter().map(|words| format!("-  {words}")));
        }
    };
    let clashes = report.clashes.iter().map(|clash| words::clash(network, &report.survey, clash));
    let neutrals = report.shared_neutrals.iter().map(|neutral| words::shared_neutral(network, neutral));
    section("CLASHES", clashes.chain(neutrals).collect());
    section("RAMPS", report.stories.iter().map(|story| words::story(network, story)).collect());
    let clamps = clamp_readings(network, assessment);
    section("CLAMP METER", clamps.iter().map(|reading| words::clamp(network, reading)).collect());
    section("LABELS", words::all_labels(network, &report.labels));
    section("SPLIT PLATES", report.splits.iter().map(|split| words::split(network, split)).collect());
    section("TEST AGAIN", report.retests.iter().map(|retest| words::retest(network, retest)).collect());
    section("NOT CERTAIN", unknown(network, report));
    section("CERTAIN", certain(network, report));
    Page { title: title(report), paragraphs, scroll: 0 }
}

/// `Traced: 9 of 11, 1 clashes`.
fn title(report: &Report) -> String {
    let all = report.sockets.len();
    let clashes = match report.clashes.len() {
        0 => String::new(),
        1 => ", 1 clashes".to_owned(),
        clashes => format!(", {clashes} clash"),
    };
    format!("Traced: {} of {all}{clashes}", all - report.uncertain().count())
}

/// What to test next, what goes dark with it, and whom to ask before.
fn next_test(network: &Network, report: &Report) -> Vec<String> {
    let told = words::advice(network, &report.advice);
    let Advice::Test(next) = &report.advice else { return vec![format!("NEXT TEST  {told}.")] };
    let Next { other, dark, .. } = &**next;
    let mut paragraphs = vec![
        format!("BEFORE IT  {}; {}.", words::goes_dark(network, dark), words::ask(network, next)),
        format!("           {}", words::CAUTION),
        format!("NEXT TEST  {told}."),
    ];
    if let Some(other) = other {
        paragraphs.push(format!("or         {}.", words::other(network, other)));
    }
    paragraphs
}

/// Sockets that are not certain; those of which nothing was tested together.
fn unknown(network: &Network, report: &Report) -> Vec<String> {
    let (untested, narrowed): (Vec<_>, Vec<_>) =
        report.uncertain().partition(|at| report.sockets[*at].basis == Basis::Nothing);
    let narrowed = narrowed.into_iter().map(|at| words::socket(network, report, at));
    narrowed.chain(words::untested(network, report, &untested)).collect()
}

/// Sockets that are certain: those that a test bears out one by one, the others by their circuits.
fn certain(network: &Network, report: &Report) -> Vec<String> {
    let certain = report.sockets.iter().filter(|(_, known)| known.is_certain());
    let certain = certain.filter_map(|(at, known)| Some((at, known.circuits.only()?, known)));
    let (proven, given): (Vec<_>, Vec<_>) = certain.partition(|(_, _, known)| !known.proof.is_empty());
    let proven = proven.into_iter().map(|(at, ..)| words::socket(network, report, at));
    let on = |circuit: CircuitAt| {
        let here = given.iter().filter(|(_, on, _)| *on == circuit).map(|(at, ..)| network.socket_id(*at));
        let here: Vec<String> = here.map(ToString::to_string).collect();
        (!here.is_empty()).then(|| format!("{} {}", network.circuit_id(circuit), here.join(" ")))
    };
    let given: Vec<String> = network.circuits.indices().filter_map(on).collect();
    let given = (!given.is_empty())
        .then(|| format!("as the plan gives it, no test bears it out: {}", given.join(" · ")));
    proven.chain(given).collect()
}
