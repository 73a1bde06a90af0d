//! Commands that open, close and use what lies over a screen.

use ampwalk_core::assess::{Finding, Subject};
use ampwalk_core::explain::Explanation;
use ampwalk_core::network::{HeadAt, Network, SetupAt, SocketAt};

use super::program::open;
use super::{Context, by_id};
use crate::effect::Effect;
use crate::guide::Step;
use crate::layer::{Layer, List, Page, Prompt};
use crate::matches::{self, Found};
use crate::model::{Model, Screen};
use crate::plot::Focus;
use crate::words;

pub(super) fn findings(model: &mut Model, _: &mut Vec<Effect>) {
    model.guide.done(Step::Findings);
    open(model, Layer::Findings(List::default()));
}

pub(super) fn problems(model: &mut Model, _: &mut Vec<Effect>) {
    if model.document.problems().is_empty() {
        model.say("Nothing is wrong with the file");
        return;
    }
    open(model, Layer::Problems(List::default()));
}

pub(super) fn help(model: &mut Model, _: &mut Vec<Effect>) {
    let context = model.context();
    let place = Context::ALL.iter().find(|(own, _)| *own == context).map_or("", |(_, words)| *words);
    let lines = super::help(&model.keymap, context);
    let paragraphs = lines.into_iter().map(|(keys, command)| format!("{keys:<12} {}", command.doc)).collect();
    open(model, Layer::Help(Page { title: format!("Keys: {place}"), paragraphs, scroll: 0 }));
}

pub(super) fn palette(model: &mut Model, _: &mut Vec<Effect>) {
    open(model, Layer::Palette(Prompt::default()));
}

pub(super) fn find(model: &mut Model, _: &mut Vec<Effect>) {
    open(model, Layer::Find(Prompt::default()));
}

pub(super) fn close(model: &mut Model, _: &mut Vec<Effect>) {
    if let Some(Layer::Went(question)) = model.layers.last_mut()
        && super::trip::back(question)
    {
        return;
    }
    if let Some(Layer::Moves(moves)) = model.layers.pop() {
        super::placing::left(model, &moves);
    }
}

pub(super) fn accept(model: &mut Model, effects: &mut Vec<Effect>) {
    match model.layers.last() {
        Some(Layer::Ask(_)) => return super::entries::answer(model, effects),
        Some(Layer::Form { .. }) => return super::entries::ask_value(model, effects),
        Some(Layer::Entries(_)) => return super::entries::form(model, effects),
        _ => {}
    }
    let Some(layer) = model.layers.pop() else { return };
    match layer {
        Layer::Findings(list) => {
            let found = finding_at(model, list.row).map(|finding| (finding.setup, finding.subject));
            if let Some((setup, subject)) = found
                && let Some(setup) = setup.or(model.setup)
            {
                go_to_subject(model, setup, subject);
            }
        }
        Layer::Palette(prompt) => {
            let matches = matches::commands(prompt.input.value(), model.context());
            if let Some(command) = matches.get(prompt.row) {
                run_by_name(model, command, effects);
            } else {
                model.refuse(format!("No command is called {}", prompt.input.value()));
                effects.push(Effect::Bell);
            }
        }
        Layer::Find(prompt) => {
            let found = matches::places(model.document.network(), model.setup, prompt.input.value());
            match found.get(prompt.row) {
                Some(Found::Head(head)) => go_to_head(model, *head),
                Some(Found::Socket(socket)) => go_to_socket(model, *socket),
                None => {
                    model.refuse(format!("Nothing is called {}", prompt.input.value()));
                    effects.push(Effect::Bell);
                }
            }
        }
        Layer::Problems(_)
        | Layer::Explanation { .. }
        | Layer::WhyNot(_)
        | Layer::Producer(_)
        | Layer::Traced(_)
        | Layer::Sheet(_)
        | Layer::Compare(_)
        | Layer::Help(_)
        | Layer::Entries(_)
        | Layer::Form { .. }
        | Layer::Ask(_)
        | Layer::Went(_)
        | Layer::Recovery(_)
        | Layer::Placing(_)
        | Layer::Moves(_) => {}
    }
}

fn run_by_name(model: &mut Model, command: &'static super::Command, effects: &mut Vec<Effect>) {
    let context = model.context();
    if command.when.contains(&context) {
        effects.extend(command.run(model));
        return;
    }
    let places = super::where_words(command.when);
    model.refuse(format!("{} works elsewhere: {places}", crate::text::capital(command.title)));
    effects.push(Effect::Bell);
}

/// The finding of a row of the list.
#[must_use]
pub(crate) fn finding_at(model: &Model, row: usize) -> Option<&Finding> {
    let setup = model.setup?;
    model.document.assessment().findings_in(setup).nth(row)
}

pub(super) fn go_to(model: &mut Model, effects: &mut Vec<Effect>) {
    let Some(setup) = model.setup else { return };
    if let Some(subject) = crate::view::subject(model) {
        go_to_subject(model, setup, subject);
    } else {
        model.refuse("There is nothing under the cursor to show");
        effects.push(Effect::Bell);
    }
}

fn go_to_head(model: &mut Model, head: HeadAt) {
    let network = model.document.network();
    let id = network.head_id(head).clone();
    let Some(setup) = model.setup.filter(|setup| network.setups[*setup].is_on[head]) else {
        model.refuse(format!("{id} is not on in this setup"));
        return;
    };
    let socket = network.setups[setup].placed[head].as_ref().map(|placed| placed.socket);
    model.screen = Screen::Plot;
    model.plot.held = None;
    if let Some(socket) = socket {
        model.go_to_socket(socket);
    }
    model.plot.head = Some(head);
    model.plot.focus = Focus::Heads;
}

fn go_to_socket(model: &mut Model, socket: SocketAt) {
    model.screen = Screen::Plot;
    super::plot::choose_socket(model, socket);
}

/// Goes to what something is about: a device stands for the head on it that leaks most.
fn go_to_subject(model: &mut Model, setup: SetupAt, subject: Subject) {
    match subject {
        Subject::Head(head) => go_to_head(model, head),
        Subject::Socket(socket) => go_to_socket(model, socket),
        other => go_to_device(model, setup, other),
    }
}

fn go_to_device(model: &mut Model, setup: SetupAt, device: Subject) {
    if let Some(head) = head_on(model, setup, device) {
        go_to_head(model, head);
        return;
    }
    let told = format!("No head is on {}", words::subject(model.document.network(), device));
    model.screen = Screen::Board;
    model.say(told);
}

fn head_on(model: &Model, setup: SetupAt, subject: Subject) -> Option<HeadAt> {
    let used = &model.document.assessment().setups[setup];
    match subject {
        Subject::Circuit(circuit) => heaviest(model.document.network(), &used.circuits[circuit].heads),
        Subject::Rcd(rcd) => heaviest(model.document.network(), &used.rcds[rcd].heads),
        Subject::Supply(supply) => used.supplies[supply].heads.first().copied(),
        _ => None,
    }
}

/// The head that leaks most while it is struck: the one to move.
fn heaviest(network: &Network, heads: &[HeadAt]) -> Option<HeadAt> {
    let peak = |head: HeadAt| {
        let node = &network.heads[head];
        node.leak.value.high + node.strike.value.high
    };
    heads.iter().copied().reduce(|best, next| if peak(next).is_over(peak(best)) { next } else { best })
}

pub(super) fn copy(model: &mut Model, effects: &mut Vec<Effect>) {
    let text = match model.layers.last() {
        Some(Layer::Findings(list)) => finding_at(model, list.row).map(|finding| {
            let told = format!("{}. {}.", finding.text, finding.remedy);
            words::told(model.document.network(), &told)
        }),
        Some(Layer::Problems(list)) => {
            model.document.problems().get(list.row).map(|problem| model.document.problem_words(problem))
        }
        Some(Layer::Explanation { explained, .. }) => {
            let told = explained.iter().map(explanation_text);
            Some(told.collect::<Vec<_>>().join("\n\n"))
        }
        Some(Layer::WhyNot(page) | Layer::Producer(page) | Layer::Traced(page) | Layer::Help(page)) => {
            Some(format!("{}\n{}", page.title, page.paragraphs.join("\n")))
        }
        Some(Layer::Sheet(shown)) => Some(shown.lines.join("\n")),
        Some(Layer::Compare(compare)) => Some(crate::view::compare::as_text(compare)),
        Some(Layer::Moves(moves)) => Some(crate::view::moves::as_text(model.document.network(), moves)),
        _ => None,
    };
    if let Some(text) = text {
        effects.push(Effect::Copy(text));
        model.say("Copied");
    }
}

/// An explanation as text, with all that was put in and all that is to be minded.
fn explanation_text(told: &Explanation) -> String {
    let terms = told.terms.iter().map(|term| format!("{}: {} ({})\n", term.what, term.value, term.origin));
    let mind = if told.caution.is_empty() { String::new() } else { format!("MIND: {}\n", told.caution) };
    format!(
        "{}\n{}\n{}\n{}{mind}source: {}",
        told.title,
        told.worked,
        told.formula,
        terms.collect::<String>(),
        told.source
    )
}

/// What a help line says that leads to all commands.
#[must_use]
pub(crate) fn palette_hint(model: &Model) -> String {
    let key = by_id("palette").and_then(|command| model.keymap.keys_of(command).into_iter().next());
    key.map_or_else(String::new, |key| format!("{key} finds every command by its name"))
}
